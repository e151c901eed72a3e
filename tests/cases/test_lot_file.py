"""A lot file is read exactly, written exactly, and refused line by line."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Refusal, Unreadable, Unusable
from retrue.cases.case import Kept, LotCase
from retrue.cases.lot_file import BIGGEST_BYTES, MANY, ONE, read_lot, write_lot
from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Finding,
    Lot,
    Machine,
    Need,
    Plate,
    Shop,
    Terms,
)

KINDS = load()
MILL, LATHE = KINDS["vertical_machining_centre"], KINDS["turning_centre"]
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SMALL = """
[lot]
name = "hall 3"

[[machine]]
name = "mill"
kind = "vertical_machining_centre"
"""


def refused(text: str | bytes) -> Refusal:
    content = text.encode() if isinstance(text, str) else text
    with pytest.raises(Refusal) as told:
        read_lot(content, "lot.toml", KINDS)
    assert told.value.remedy
    return told.value


# --- round trips -------------------------------------------------------------------------------

words = st.text(
    st.characters(codec="utf-8", exclude_characters="\x00"),
    min_size=1,
    max_size=20,
).filter(lambda text: bool(text.strip()))
free = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20)
amounts = st.decimals(0, 10**7, allow_nan=False, places=2)
sizes = st.floats(0, 1e9, allow_nan=False, allow_infinity=False)
shares = st.floats(0, 1)
maybe = st.none


@st.composite
def cases(draw: st.DrawFn) -> LotCase:
    name = draw(words)
    names = draw(st.lists(words, min_size=1, max_size=3, unique=True))
    machines = tuple(
        Machine(
            lot=name,
            name=one,
            kind=draw(st.sampled_from(sorted(KINDS))),
            age_years=draw(maybe() | sizes),
            mass_kg=draw(maybe() | sizes),
            new_price=draw(maybe() | amounts),
            travel_mm=tuple(draw(st.lists(sizes, max_size=3))),
            wet=draw(maybe() | st.booleans()),
            tooling=draw(st.sampled_from([None, "all", "some", "none"])),
        )
        for one in names
    )
    of = {machine.name: KINDS[machine.kind] for machine in machines}
    findings, plates, asked, lines = [], [], [], []
    for place in range(draw(st.integers(0, 4))):
        machine = draw(st.sampled_from(names))
        kind = of[machine]
        findings.append(
            Kept(
                id=f"{place} {draw(free)}",
                finding=Finding(
                    lot=name,
                    machine=machine,
                    check=draw(st.sampled_from(sorted(kind.checks))),
                    answer=draw(st.sampled_from(["seen", "not_seen", "cant_tell"])),
                    grade=draw(st.sampled_from([0, 1, 2, 3])),
                    channel=draw(st.sampled_from(["photo", "call", "visit_dead"])),
                    informant=draw(maybe() | words),
                    text=draw(free),
                ),
            )
        )
        if kind.plate:
            entry = draw(st.sampled_from(sorted(kind.plate)))
            plates.append(Plate(machine=machine, entry=entry, value=draw(words)))
        asked.append(
            Asked(
                lot=name,
                machine=draw(st.sampled_from([None, machine])),
                what=draw(st.sampled_from(sorted(kind.checks))),
                informant=draw(words),
                came=draw(maybe() | st.booleans()),
            )
        )
        lines.append(
            CostLine(
                lot=name,
                machine=machine,
                line=draw(st.sampled_from(sorted(kind.costs) or ["E11"])),
                amount=draw(amounts),
                hours=draw(maybe() | sizes),
                reason=draw(words),
            )
        ) if kind.costs else None
    return LotCase(
        shop=Shop(
            name=draw(words),
            hour_full=draw(maybe() | amounts),
            interest=draw(maybe() | shares),
            supply_phases=draw(st.sampled_from([None, 1, 3])),
            instruments=tuple(draw(st.lists(words, max_size=2))),
            histories=tuple(draw(st.sampled_from([(), (("PQ", "no"),)]))),
        ),
        lot=Lot(name=name, seller=draw(words), listing=draw(free)),
        terms=Terms(
            lot=name,
            asking=draw(maybe() | amounts),
            premium=draw(maybe() | shares),
            rivals=draw(maybe() | st.integers(0, 50)),
            nothing_left_behind=draw(maybe() | st.booleans()),
        ),
        machines=machines,
        needs=(Need(name=draw(words), kind=machines[0].kind, hours_a_year=draw(maybe() | sizes)),),
        alternatives=(
            Alternative(
                name=draw(words),
                kind=machines[0].kind,
                price=draw(maybe() | st.lists(amounts, min_size=3, max_size=3).map(_rising)),
            ),
        ),
        plates=tuple(plates),
        findings=tuple(findings),
        asked=tuple(asked),
        cost_lines=tuple(lines),
        as_of=draw(st.sampled_from([None, "2026-11-25"])),
    )


def _rising(prices: list[Decimal]) -> tuple[Decimal, Decimal, Decimal]:
    low, likely, high = sorted(prices)
    return low, likely, high


@settings(max_examples=30)
@given(cases())
def test_what_is_written_is_read_back_exactly(case: LotCase):
    text = write_lot(case)
    again = read_lot(text.encode(), "lot.toml", KINDS)
    assert again == case
    assert write_lot(again) == text


def test_the_example_and_its_rounds_are_read():
    text = (EXAMPLES / "ghent-school-lot.toml").read_bytes()
    case = read_lot(text, "ghent-school-lot.toml", KINDS)
    found = [len(case.findings)]
    for name in sorted((EXAMPLES / "rounds").glob("*.toml")):
        text += b"\n" + name.read_bytes()
        case = read_lot(text, name.name, KINDS)
        found.append(len(case.findings))
    assert found == sorted(set(found))
    assert len(found) == 4
    assert [machine.name for machine in case.machines] == ["mill", "lathe"]
    assert len({kept.id for kept in case.findings}) == len(case.findings)


def test_what_nobody_said_is_none_and_no_refusal():
    case = read_lot(SMALL.encode(), "lot.toml", KINDS)
    (mill,) = case.machines
    assert (mill.age_years, mill.mass_kg, mill.new_price) == (None, None, None)
    assert (case.shop.hour_alternative, case.shop.hour_full) == (None, None)
    assert case.alternatives == ()
    assert case.terms == Terms(lot="hall 3")


def test_dates_and_times_may_be_written_bare():
    text = SMALL + "\n[terms]\nremoval_by = 2026-12-20\ncloses_at = 2026-12-03T18:00:00+01:00\n"
    terms = read_lot(text.encode(), "lot.toml", KINDS).terms
    assert (terms.removal_by, terms.closes_at) == ("2026-12-20", "2026-12-03T18:00:00+01:00")


def test_money_is_exact_and_windows_may_have_written_it():
    text = "\ufeff" + SMALL.replace("\n", "\r\n") + "\r\n[terms]\r\nasking = 0.10\r\n"
    assert read_lot(text.encode(), "lot.toml", KINDS).terms.asking == Decimal("0.10")


def test_ids_of_findings_come_from_what_they_answer_whatever_their_order():
    one = '[[finding]]\nmachine = "mill"\ncheck = "C12"\nanswer = "seen"\n'
    other = '[[finding]]\nmachine = "mill"\nhistory = "ID"\nanswer = "yes"\n'
    first = read_lot((SMALL + one + other).encode(), "lot.toml", KINDS)
    second = read_lot((SMALL + other + one).encode(), "lot.toml", KINDS)
    assert [kept.id for kept in first.findings] == ["mill.C12", "mill.ID"]
    assert {kept.id: kept for kept in first.findings} == {k.id: k for k in second.findings}


# --- refusals ----------------------------------------------------------------------------------

FINDING = SMALL + '\n[[finding]]\nmachine = "mill"\ncheck = "C12"\nanswer = "seen"\n'

BAD = {
    "unknown kind": (
        SMALL.replace("vertical_machining_centre", "vertical_machining_center"),
        7,
        "machine.1.kind",
        "Did you mean vertical_machining_centre?",
    ),
    "unknown check": (FINDING.replace("C12", "C1222"), 11, "finding.1.check", "Did you mean C122?"),
    "unknown key": (SMALL + "age = 3\n", 8, "machine.1.age", "Did you mean age_years?"),
    "unknown section": (SMALL + "[machin]\n", 8, "machin", "Did you mean machine?"),
    "probability": (SMALL + "[terms]\npremium = 1.5\n", 9, "terms.premium", "0.18"),
    "negative money": (SMALL + "[terms]\nasking = -5\n", 9, "terms.asking", "unknown"),
    "negative hours": (SMALL + "[shop]\nhours_a_week = -1\n", 9, "shop.hours_a_week", "unknown"),
    "infinite": (SMALL + "mass_kg = inf\n", 8, "machine.1.mass_kg", "Leave it out"),
    "not a number": (SMALL + "mass_kg = nan\n", 8, "machine.1.mass_kg", "Leave it out"),
    "words for a number": (SMALL + 'mass_kg = "3 t"\n', 8, "machine.1.mass_kg", "Leave the key"),
    "two of one name": (
        SMALL + '[[machine]]\nname = "mill"\nkind = "turning_centre"\n',
        9,
        "machine.2.name",
        "own name",
    ),
    "check the kind lacks": (
        FINDING.replace("C12", "C37"),
        11,
        "finding.1.check",
        "Did you mean",
    ),
    "no such machine": (FINDING.replace('machine = "mill"\ncheck', 'machine = "mil"\ncheck'), 10,
                        "finding.1.machine", "Did you mean mill?"),
    "no such answer": (FINDING.replace("seen", "sene"), 12, "finding.1.answer", "seen"),
    "two things at once": (FINDING + 'history = "ID"\n', 11, "finding.1.check", "exactly one"),
    "no lot": ("[[machine]]\nname = 'a'\nkind = 'turning_centre'\n", 1, "lot", "Add it"),
    "no machine": ("[lot]\nname = 'x'\n", 1, "machine", "[[machine]]"),
    "single brackets": (SMALL.replace("[[machine]]", "[machine]"), 5, "machine", "double"),
    "no reason": (
        SMALL + '[[cost_line]]\nline = "J24"\namount = 600\n',
        8,
        "cost_line.1.reason",
        "winder",
    ),
    "no such line": (
        SMALL + '[[cost_line]]\nline = "J999"\namount = 600\nreason = "I know one"\n',
        9,
        "cost_line.1.line",
        "Did you mean",
    ),
    "no such plate": (
        SMALL + '[[plate]]\nmachine = "mill"\nentry = "N999"\nvalue = "3"\n',
        10,
        "plate.1.entry",
        "Did you mean",
    ),
    "nothing like it asked": (
        SMALL + '[[asked]]\nwhat = "Z99"\ninformant = "seller"\n', 9, "asked.1.what", "",
    ),
    "living with a stop": (SMALL + 'live_with = ["F83"]\n', 8, "machine.1.live_with", "cleared"),
    "no earth fitted": (SMALL + 'not_fitted = ["F86"]\n', 8, "machine.1.not_fitted", "look"),
    "falling price": (
        SMALL
        + '[[alternative]]\nname = "x"\nkind = "turning_centre"\nprice = [3, 2, 1]\n',
        11,
        "alternative.1.price",
        "low",
    ),
    "a moment without offset": (
        SMALL + '[terms]\ncloses_at = "2026-12-03 18:00"\n',
        9,
        "terms.closes_at",
        "2026-11-25T20:00+01:00",
    ),
    "a currency by name": (SMALL.replace('"hall 3"', '"hall 3"\ncurrency = "euro"'), 4,
                           "lot.currency", "EUR"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_refused_with_its_line_its_key_and_what_helps(what: str):
    text, line, key, helps = BAD[what]
    refusal = refused(text)
    assert isinstance(refusal, Unusable)
    told = [str(problem) for problem in refusal.problems]
    assert any(row.startswith(f"lot.toml, line {line}, {key}") and helps in row for row in told), (
        told
    )


def test_all_that_is_wrong_is_told_at_once():
    text = SMALL + "age = 3\nmass_kg = -1\n[terms]\npremium = 3\nasking = -1\n[lott]\n"
    assert len(refused(text).problems) == 5


def test_an_empty_file_is_refused():
    for content in (b"", b"  \n\n"):
        assert isinstance(refused(content), Unreadable)


def test_a_huge_file_is_refused_unread():
    refusal = refused(b"#" * (BIGGEST_BYTES + 1))
    assert isinstance(refusal, Unreadable)
    assert "too many" in refusal.reason


def test_another_encoding_is_refused_at_its_byte_and_line():
    refusal = refused(SMALL.replace("hall 3", "hall é").encode("latin-1"))
    assert isinstance(refusal, Unreadable)
    assert "line 3, byte 21" in refusal.reason
    assert "0xe9" in refusal.reason
    assert "UTF-8" in refusal.remedy


def test_what_is_no_toml_is_refused_at_its_line():
    refusal = refused(SMALL + "age_years = = 3\n")
    assert isinstance(refusal, Unreadable)
    assert refusal.problems[0].where == "lot.toml, line 8"


@pytest.mark.parametrize(
    "text",
    [
        "a = 9999999999999999999999e99999999999",
        "x = " + "[" * 5000,
        "\x00",
        "lot = 3",
        "machine = 3",
    ],
)
def test_nonsense_is_refused_not_run_into(text: str):
    refused(text)


@given(st.binary(max_size=200))
def test_no_bytes_are_too_strange_to_be_refused(content: bytes):
    with pytest.raises(Refusal):
        read_lot(content, "lot.toml", KINDS)


def test_a_case_is_left_as_it_was_by_writing():
    case = read_lot(FINDING.encode(), "lot.toml", KINDS)
    before = replace(case)
    write_lot(case)
    assert case == before


# --- the manual --------------------------------------------------------------------------------


def test_the_manual_names_every_section_and_key():
    manual = (EXAMPLES.parent / "docs" / "lot-file.md").read_text(encoding="utf-8")
    for section, fact in {**ONE, **MANY}.items():
        head = f"[[{section}]]" if section in MANY else f"[{section}]"
        part = manual.split(f"### `{head}`", 1)[1].split("\n##", 1)[0]
        named = set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))
        keys = {field.name for field in fields(fact)} - {"lot"}
        assert named == keys | ({"id"} if section == "finding" else set()), section


def test_the_example_of_the_manual_is_one():
    manual = (EXAMPLES.parent / "docs" / "lot-file.md").read_text(encoding="utf-8")
    text = manual.split("```toml\n", 1)[1].split("```", 1)[0]
    assert read_lot(text.encode(), "manual", KINDS).machines[0].age_years == 24
    shown = manual.split("```\nlot.toml: 2", 1)[1].split("```", 1)[0]
    refusal = refused(SMALL + "age = 3\nmass_kg = -1\n")
    for problem in refusal.problems:
        assert str(problem) in shown
    assert refusal.remedy in shown
