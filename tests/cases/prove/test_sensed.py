"""What stands beside sound, vibration and light: places, doubts, aims, and what may be learned."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import pytest
from tests.library import load

from retrue.base.refusals import Unknown, Unusable
from retrue.cases.prove.quiet import cautions_for
from retrue.cases.prove.sensed import (
    SENSES,
    SensedLine,
    give_or_take,
    plain,
    sense,
    typed_answer,
    typed_readings,
)
from retrue.cases.prove.sensed_aim import aim, heard, hours_words
from retrue.cases.prove.sensed_file import option_problems, recording_of
from retrue.cases.prove.sensed_finding import DEFECTS, LOOKS, learned
from retrue.cases.prove.table import read_table
from retrue.kinds.library import Kind
from retrue.records.adding import link, wish
from retrue.records.chain import START, opened
from retrue.records.waking import Sensed

AT = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def mill() -> Kind:
    return load(only=("vertical_machining_centre",))["vertical_machining_centre"]


def line(sort: str, value: float, doubt: float | None, **said: Any) -> SensedLine:
    one = sense(sort)
    state = "" if sort == "light" else "idling"
    key = next(iter(one.typed))
    fact = Sensed(lot="a", machine="b", sort=one.sort, readings=((key, value),),
                  **({"point": one.point, "state": state} | said))  # fmt: skip
    wanted = wish(fact, by="me", device="", observed_at=None, id="1", replaces=None)
    record = opened(link(wanted, seq=1, previous=START, now=AT))
    return SensedLine(id="1", record=record, sense=one, answer={one.key: value}, value=value,
                      give_or_take=doubt)  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other"),
    [("the operator's ear", "Operator\u2019s  ear"), ("at the spindle nose", "spindle nose")],
)
def test_places_are_the_same_by_their_words(one: str, other: str) -> None:
    assert plain(one) == plain(other)
    assert plain("the") == "the"


def test_every_sort_has_its_measure_its_look_and_cautions_on_every_kind_that_has_it() -> None:
    for kind in load().values():
        for one in SENSES.values():
            texts = cautions_for(one, kind)
            assert texts, one.sort
            if one.measure in kind.measures:
                assert kind.measures[one.measure].check in kind.checks


def test_the_doubt_of_a_file_goes_before_that_of_the_instrument_and_that_before_the_usual() -> None:
    shaken = sense("vibration")
    assert give_or_take(shaken, {shaken.key: 2.0}) == pytest.approx(0.3)
    assert give_or_take(shaken, {shaken.key: 2.0}, 0.1) == 0.1
    assert give_or_take(shaken, {shaken.key: 2.0, "uncertainty": {shaken.key: 0.5}}, 0.1) == 0.5
    assert give_or_take(shaken, {shaken.key: None}) is None
    loud = sense("sound")
    assert give_or_take(loud, {loud.key: 80.0, "calibrated": False}, 0.7) == 5.0
    assert give_or_take(loud, {loud.key: 80.0, "calibrated": True}, 0.7) == 0.7


@pytest.mark.parametrize(
    ("sort", "value", "doubt", "ruling"),
    [
        ("sound", 73.0, 2.0, "proved_good"),
        ("sound", 74.0, 2.0, "not_proved"),
        ("sound", 76.0, 2.0, "not_proved"),
        ("sound", 77.0, 2.0, "proved_bad"),
        ("light", 900.0, 90.0, "proved_good"),
        ("light", 800.0, 80.0, "not_proved"),
        ("light", 700.0, 70.0, "not_proved"),
        ("light", 600.0, 60.0, "proved_bad"),
        ("vibration", 1.3, 0.2, "proved_good"),
        ("vibration", 1.8, 0.2, "proved_bad"),
    ],
)
def test_an_aim_is_reached_by_more_than_the_guard_band(
    mill: Kind, sort: str, value: float, doubt: float, ruling: str
) -> None:
    """Aims 75 dB(A), 750 lux, 1.5 mm/s; guard band 1.645 of half the doubt (ISO 14253-1:2017)."""
    verdict = aim(line(sort, value, doubt), mill)
    assert verdict is not None
    assert verdict.ruling == ruling
    assert verdict.limit_mark == "from memory, unverified"
    assert aim(line(sort, value, doubt, point="elsewhere"), mill) is None


@pytest.mark.parametrize("conclusion", [*DEFECTS, "nothing_found", "not_conclusive", None])
@pytest.mark.parametrize("whose", ["spindle", "motor", "", "gearbox"])
def test_only_a_named_defect_of_a_bearing_that_a_look_listens_for_is_told(
    mill: Kind, conclusion: str | None, whose: str
) -> None:
    one = sense("vibration")
    said = Sensed(lot="a", machine="b", sort="vibration", point="belt cover", file="0" * 64,
                  options=(("bearing", whose),) if whose else ())  # fmt: skip
    answer: Mapping[str, Any] = {one.key: 1.0, "conclusion": conclusion, "measures": ["M27"],
                                 "others_said": True}  # fmt: skip
    unsaid = learned(one, said, {**answer, "others_said": False}, mill)
    assert unsaid.findings == ()  # a pump nearby draws the same line
    assert ("nobody said what else turns" in unsaid.why) == (conclusion in DEFECTS)
    made = learned(one, said, answer, mill)
    told = [(each.check, each.answer, each.channel) for each in made.findings]
    if conclusion in DEFECTS and whose in LOOKS:
        channel = {"C48": "running", "C123": "power_up"}[LOOKS[whose]]
        assert told == [(LOOKS[whose], "seen", channel)]
        assert made.why == ""
    else:
        assert told == []
        assert made.why


@pytest.mark.parametrize(
    ("answer", "why"),
    [
        ({"measures": []}, "whole band"),
        ({"measures": ["M27"], "clipped_share": 0.01}, "cut off"),
        ({"velocity_rms_mm_s": None}, "no number"),
    ],
)
def test_a_velocity_that_is_not_the_measure_teaches_nothing(
    mill: Kind, answer: dict[str, Any], why: str
) -> None:
    said = line("vibration", 2.0, 0.3).said
    one = sense("vibration")
    assert learned(one, said, {one.key: 2.0} | {"measures": ["M27"]}, mill).findings
    made = learned(one, said, {one.key: 2.0} | answer, mill)
    assert made.findings == ()
    assert why in made.why


def test_hours_stand_only_beside_a_level_at_the_ear() -> None:
    """2003/10/EC by ISO 1999: ten decibels over a value leave a tenth of its eight hours."""
    assert heard([line("sound", 95.0, None, point="at the pump")], []) == ()
    (one,) = heard([line("sound", 95.0, 2.0, point="at the operator's ear")], [], hours=4.0)
    hours = {rule.rule: rule.hours for rule in one.allowed}
    assert hours["eu_upper"] == pytest.approx(0.8)
    assert hours["osha"] == pytest.approx(4.0)  # 29 CFR 1910.95, table G-16: 95 dBA, 4 h
    assert one.day is not None
    assert one.day.lex_8h_db == pytest.approx(95 - 3.0103, abs=1e-4)
    assert one.finds
    assert [hours_words(h)[1] for h in (0.5, 1.0, 99.0)] == ["min", "h", "h"]


def test_what_is_no_reading_of_a_sort_is_named() -> None:
    with pytest.raises(Unknown):
        sense("smell")
    with pytest.raises(Unusable) as refused:
        typed_readings(sense("light"), [("lux", 3.0), ("level_a_db", 80.0)])
    assert [one.where for one in refused.value.problems] == ["level_a_db"]
    assert typed_answer(sense("vibration"), [("velocity_rms_mm_s", 1.0)])["why"]["conclusion"]
    problems = list(option_problems(sense("light"), {"tasks": "fine"}))
    assert "task" in problems[0].remedy
    with pytest.raises(Unusable):
        recording_of(read_table(b"lux\n3\n", "a.csv"), "a.csv")
