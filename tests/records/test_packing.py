"""A fact becomes canonical text and comes back as it was; what cannot be read is named."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from typing import Any, Literal, get_args, get_origin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.records.screened_facts import screened
from tests.records.settled_facts import settled

from retrue.base.refusals import Unreadable, Unusable
from retrue.records import packing
from retrue.records.checking import (
    ABOVE_ZERO,
    AT_MOST,
    COLDEST_C,
    FIRST_YEAR,
    LAST_YEAR,
    SHARES,
    SIGNED,
    TEMPERATURES,
    is_a_day,
    problems_of,
    types_of,
)
from retrue.records.facts import (
    FACTS,
    Alternative,
    Fact,
    Finding,
    Machine,
    Note,
    Outcome,
    Shop,
    Terms,
)
from retrue.records.fixing import (
    CardMarked,
    Chosen,
    Gear,
    Out,
    OutEnded,
    PlanKept,
    Quoted,
    Rung,
    Worker,
)
from retrue.records.joining import DeviceJoined
from retrue.records.measuring import Instrument, OwnLimit, ReadingSet, Result
from retrue.records.moving import Arrived, DataCopy, LaidUp
from retrue.records.packing import KINDS, RAISES, pack, raises, unpack
from retrue.records.seeking import Act, PartMoved, Trial
from retrue.records.stripping import AsFound, CleanReading, Taken
from retrue.records.waking import Sensed, StageEnded, WatchBegun, WatchReadings

TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=12)
FILLED = TEXT.filter(str.strip)
MONEY = st.decimals(0, 10**9, places=2) | st.sampled_from(
    [Decimal("0"), Decimal("-0.00"), Decimal("1E+3"), Decimal("0.000000000001"), Decimal("7.50")]
)
A_DAY = st.dates(date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31)).map(str)
WORDS = {
    "currency": st.sampled_from(["EUR", "GBP", "CHF"]),
    "at": st.datetimes().map(lambda at: at.isoformat() + "+01:00"),
    "closes_at": st.datetimes().map(lambda at: at.isoformat() + "+01:00"),
    "taken": st.datetimes().map(str),
    "sha256": st.binary(min_size=32, max_size=32).map(bytes.hex),
    "last_sha256": st.binary(min_size=32, max_size=32).map(bytes.hex),
    "ruling": st.sampled_from(["", "proved_good", "not_proved", "proved_bad"]),
    "device": st.sampled_from(["phone-1a2b3c4d", "phone-1"]),
    "of_kind": st.sampled_from(sorted(KINDS.keys() - {"withdrawn"})),
}


def values(name: str, hint: Any, default: object) -> st.SearchStrategy[Any]:
    """Values that fit one field."""
    origin, inner = get_origin(hint), get_args(hint)
    if name == "supply_phases":
        return st.sampled_from([None, 1, 3])
    if origin is Literal:
        return st.sampled_from(inner)
    if origin is tuple and inner[-1] is Ellipsis:
        return st.lists(values(name, inner[0], None), max_size=3).map(tuple)
    if origin is tuple:
        return st.tuples(*(values(name, one, None) for one in inner))
    if inner:
        return st.one_of(*(values(name, one, None) for one in inner))
    if hint is float:
        low: float | None = None if name in SIGNED else 1e-9 if name in ABOVE_ZERO else 0
        low = COLDEST_C if name in TEMPERATURES else low
        high = 1 if name in SHARES else AT_MOST.get(name)
        return st.floats(low, high, allow_nan=False, allow_infinity=False)
    if hint is int:
        return st.integers(1 if name in ABOVE_ZERO else 0, AT_MOST.get(name, 2**62))
    filled = A_DAY if is_a_day(name) else TEXT if default == "" else FILLED
    text = WORDS.get(name, filled)
    strategies: dict[Any, st.SearchStrategy[Any]] = {
        Decimal: MONEY.filter(bool) if name in ABOVE_ZERO else MONEY,
        str: text,
        bool: st.booleans(),
        type(None): st.none(),
    }
    return strategies[hint]


def whole(fact: Fact) -> Fact:
    """Make the fields of a drawn fact agree with each other."""
    if isinstance(fact, Finding):
        return replace(
            fact, check="C01", history=None, fault=None, answer="", measure="ohm", reading=-0.0
        )
    if isinstance(fact, Alternative) and fact.price:
        low, likely, high = sorted(fact.price)
        return replace(fact, price=(low, likely, high))
    if isinstance(fact, Shop):
        return replace(fact, histories=tuple((name, "no") for name, _ in fact.histories))
    if isinstance(fact, DeviceJoined):
        lent = {"given": "r1", "until_on": "2026-12-01"}
        return replace(fact, **(lent if fact.role == "buyer" else dict.fromkeys(lent)))
    return measured(fact)


def measured(fact: Fact) -> Fact:
    """The same for the facts of measuring."""
    if isinstance(fact, Instrument):
        hire = fact.hire_a_day if fact.way == "hire" else None
        return replace(fact, hire_a_day=hire, unit="µm", due_on=None)
    if isinstance(fact, ReadingSet):
        once = tuple(dict(fact.options).items())
        return replace(fact, options=once, file=HASH if fact.file else None)
    if isinstance(fact, Result):
        return replace(fact, readings=HASH, provisional="" if fact.ruling else fact.provisional)
    if isinstance(fact, OwnLimit):
        return replace(fact, standard="ISO 230-2", edition="2014")
    return replace(fact, text="x") if isinstance(fact, Note) else sought(fact)


def sought(fact: Fact) -> Fact:
    """The same for the facts of fault-finding."""
    if isinstance(fact, Trial):
        group = None if fact.trouble else fact.group or "spindle"
        return replace(fact, group=group, level=(fact.level or "right") if group else "")
    if isinstance(fact, Act):
        fact = replace(fact, pictures=tuple(HASH for _ in fact.pictures), sort="repair")
        job = None if fact.fault else fact.job or "J07"
        return replace(fact, job=job, way=fact.way if fact.fault else "")
    if isinstance(fact, PartMoved):
        other = "" if fact.why == "donor" else fact.serial + "2"
        return replace(fact, from_slot=fact.slot + "2", other_serial=other)
    return stripped(fact)


def stripped(fact: Fact) -> Fact:
    """The same for the facts of moving and taking apart."""
    if isinstance(fact, AsFound):
        return replace(fact, why="too oily")
    if isinstance(fact, CleanReading):
        return replace(fact, seen="clean")
    if isinstance(fact, Taken):
        return replace(fact, what="x", from_end="x")
    if isinstance(fact, DataCopy):
        return replace(fact, how="card", sha256=HASH, none="" if fact.read_back else fact.none)
    if isinstance(fact, Arrived):
        return replace(fact, text="x", found_on=None)
    return replace(fact, until_on=None) if isinstance(fact, LaidUp) else woken(fact)


def woken(fact: Fact) -> Fact:
    """The same for the facts of first power."""
    if isinstance(fact, StageEnded):
        return replace(fact, why="smell")
    if isinstance(fact, WatchBegun):
        return replace(fact, heard=True)
    if isinstance(fact, WatchReadings):
        told = tuple((AT, channel, value) for _, channel, value in fact.rows)
        return replace(fact, rows=(*told, (AT, "nose", -0.5)))
    if isinstance(fact, Sensed):
        return replace(fact, readings=(("level_a_db", -3.0),), file=HASH if fact.file else None)
    return fixed(fact)


def fixed(fact: Fact) -> Fact:
    """The same for the facts of what to do."""
    if isinstance(fact, Chosen):
        return replace(
            fact, what="F15", way="local" if fact.sort == "way" else "keep", level="right"
        )
    if isinstance(fact, Quoted):
        return replace(fact, valid_until_on=None, rate_on="2026-11-25" if fact.rate else None)
    if isinstance(fact, Out):
        return replace(fact, promised_on=None, ring_on=None)
    if isinstance(fact, Rung):
        return replace(fact, promised_on=None, ring_on=None, nobody=True)
    if isinstance(fact, OutEnded):
        return replace(fact, judged="good" if fact.how == "back" else "")
    if isinstance(fact, Worker):
        return replace(
            fact,
            evenings=(("mon", "19:30", "22:00"),),
            away=(("2026-12-24", "2026-12-31"),),
            also=(("2026-11-28", "09:00", "12:00"),),
        )
    if isinstance(fact, Gear):
        return replace(fact, days=("2026-11-28",))
    if isinstance(fact, CardMarked):
        hours, left = (None if one is None else one % 200 for one in (fact.hours, fact.left_hours))
        return replace(fact, hours=hours, left_hours=left, until_on=None)
    return replace(fact, at=AT) if isinstance(fact, PlanKept) else screened(settled(fact))


def facts(kind: type[Fact]) -> st.SearchStrategy[Fact]:
    """Facts of a kind with anything in their fields that may be there."""
    hints = types_of(kind)
    drawn = {one.name: values(one.name, hints[one.name], one.default) for one in fields(kind)}
    built: st.SearchStrategy[Any] = st.builds(kind, **drawn)
    return built.map(whole)


HASH = "9f" * 32
AT = "2026-11-25T20:00:05+01:00"
ANY = st.one_of(*(facts(kind) for kind in FACTS))


@pytest.mark.parametrize("kind", FACTS, ids=lambda kind: kind.KIND)
def test_every_kind_of_fact_comes_back_as_it_was(kind):
    @settings(max_examples=8)  # a hundred kinds are many facts
    @given(facts(kind))
    def comes_back(fact):
        text = pack(fact)
        again = unpack(kind.KIND, kind.SCHEMA, text)
        assert again == fact
        assert type(again) is kind
        assert pack(again) == text

    comes_back()


@given(ANY)
def test_the_text_is_canonical_json(fact):
    text = pack(fact)
    plain = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert list(plain) == sorted(one.name for one in fields(fact))
    assert text == json.dumps(plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    assert text.encode().decode() == text
    for name, hint in types_of(type(fact)).items():
        if "Decimal" in str(hint) and isinstance(getattr(fact, name), Decimal):
            assert isinstance(plain[name], str)


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        (
            Outcome(lot="l1", result="won", amount=Decimal("1E+3")),
            '{"amount":"1000","lot":"l1","result":"won","text":""}',
        ),
        (
            Outcome(lot="Größe", result="lost", amount=Decimal("-0.00")),
            '{"amount":"0.00","lot":"Größe","result":"lost","text":""}',
        ),
    ],
)
def test_the_bytes_are_these(fact, text):
    assert pack(fact) == text


def test_a_whole_number_in_a_measured_field_is_written_as_it_is_read():
    kept = pack(Terms(lot="l1", distance_km=40))
    assert '"distance_km":40.0' in kept
    assert kept == pack(Terms(lot="l1", distance_km=40.0))


def test_nothing_that_is_no_number_is_ever_written():
    for bad in (float("nan"), float("inf"), -float("inf")):
        with pytest.raises(Unusable):
            pack(Terms(lot="l1", distance_km=bad))
    for money in (Decimal("NaN"), Decimal("Infinity"), Decimal("sNaN")):
        with pytest.raises(Unusable):
            pack(Terms(lot="l1", asking=money))


TERMS = json.loads(pack(Terms(lot="l1")))


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"lot": 7}, "lot"),
        ({"premium": "0.18"}, "premium"),
        ({"premium": True}, "premium"),
        ({"asking": 6150}, "asking"),
        ({"asking": 6150.5}, "asking"),
        ({"asking": "NaN"}, "asking"),
        ({"asking": "many"}, "asking"),
        ({"sale": "raffle"}, "sale"),
        ({"rivals": 2.5}, "rivals"),
        ({"wheel": 1}, "wheel"),
    ],
)
def test_a_field_that_does_not_fit_is_named(change, field):
    with pytest.raises(Unreadable) as refusal:
        unpack("terms", 1, json.dumps({**TERMS, **change}))
    assert [problem.where for problem in refusal.value.problems] == [field]
    assert field in refusal.value.reason
    assert refusal.value.remedy


def test_all_fields_that_do_not_fit_are_named():
    with pytest.raises(Unreadable) as refusal:
        unpack("terms", 1, json.dumps({**TERMS, "lot": 1, "rivals": "two"}))
    assert {problem.where for problem in refusal.value.problems} == {"lot", "rivals"}


def test_a_missing_field_that_must_be_there_is_named():
    with pytest.raises(Unreadable, match="lot"):
        unpack("terms", 1, "{}")


@pytest.mark.parametrize("text", ["", "{", "[]", "7", '{"lot":NaN}', '{"lot":"\udc80"}'])
def test_text_that_is_no_fact_is_refused(text):
    with pytest.raises(Unreadable):
        unpack("terms", 1, text)


def test_an_unknown_kind_is_refused():
    with pytest.raises(Unreadable, match="wheelbarrow") as refusal:
        unpack("wheelbarrow", 1, "{}")
    assert "newer version" in refusal.value.remedy


def test_a_newer_schema_is_refused_and_says_what_helps():
    with pytest.raises(Unreadable, match="schema 2; this version reads up to 1") as refusal:
        unpack("terms", 2, "{}")
    assert "Update the program" in refusal.value.remedy


def test_an_older_schema_is_raised_step_by_step_on_reading(monkeypatch):
    """A made-up history: mass was once typed in tonnes, and before that the type was `sort`."""
    monkeypatch.setattr(packing, "RAISES", dict(RAISES))

    @raises("machine", -1)
    def sort_became_kind(old):
        return {"kind": old.pop("sort"), **old}

    @raises("machine", 0)
    def tonnes_became_kilograms(old):
        return {"mass_kg": old.pop("mass_t") * 1000, **old}

    older = '{"lot":"l1","mass_t":3.4,"name":"V","sort":"vertical_machining_centre"}'
    wanted = Machine(lot="l1", name="V", kind="vertical_machining_centre", mass_kg=3400.0)
    assert unpack("machine", -1, older) == wanted
    with pytest.raises(Unreadable, match="nothing is known of schema -2"):
        unpack("machine", -2, older)


@given(ANY)
def test_a_fact_that_is_kept_has_no_problem(fact):
    assert list(problems_of(fact)) == []
