"""What happened in fault-finding is read in the order of its lines, and written back exactly."""

from __future__ import annotations

import re
from dataclasses import fields
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.cases.case import Event, Happened, Kept, LotCase
from retrue.cases.lot_events import EVENTS
from retrue.cases.lot_file import read_lot, write_lot
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble

KINDS = load()
MILL = KINDS["vertical_machining_centre"]
MANUAL = Path(__file__).resolve().parents[2] / "docs" / "lot-file.md"
SMALL = """
[lot]
name = "hall 3"

[[machine]]
name = "mill"
kind = "vertical_machining_centre"

[[machine]]
name = "other"
kind = "vertical_machining_centre"
"""
TOLD = '[[trouble]]\nmachine = "mill"\nsymptom = "Y05"\n'
SEEN = '[[finding]]\nmachine = "mill"\ncheck = "C12"\nanswer = "seen"\n'
DONE = '[[act]]\nmachine = "mill"\nsort = "repair"\nfault = "F02"\n'


def read(text: str) -> LotCase:
    return read_lot((SMALL + text).encode(), "lot.toml", KINDS)


# --- order -------------------------------------------------------------------------------------


def test_the_order_of_the_lines_is_the_order_of_events():
    case = read(TOLD + SEEN + DONE + SEEN + DONE)
    assert [(one.id, one.place) for one in case.happened] == [
        ("mill.Y05", 0),
        ("mill.act.F02", 1),
        ("mill.act.F02.2", 2),
    ]
    assert [kept.id for kept in case.findings] == ["mill.C12", "mill.C12.2"]


def test_sections_of_different_sorts_are_ordered_by_their_lines_not_by_their_sort():
    sign = '[[signed]]\nmachine = "mill"\nstage = "apart"\nname = "An"\n'
    assert [type(one.event) for one in read(sign + DONE + TOLD).happened] == [Signed, Act, Trouble]
    assert [type(one.event) for one in read(TOLD + DONE + sign).happened] == [Trouble, Act, Signed]


def test_a_file_in_which_nothing_happened_is_the_same_case_as_ever():
    case = read(SEEN)
    assert case.happened == ()
    assert "trouble" not in write_lot(case)


def test_a_day_may_be_written_bare_and_goes_with_its_event():
    (one,) = read(TOLD + "on = 2026-11-25\n").happened
    assert one.on == "2026-11-25"
    assert read(TOLD + 'on = "2026-11-25"\n').happened == (one,)


# --- round trip --------------------------------------------------------------------------------

words = st.text(
    st.characters(codec="utf-8", exclude_characters="\x00"), min_size=1, max_size=12
).filter(lambda text: bool(text.strip()))
free = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=12)
maybe = st.none
amounts = st.decimals(0, 10**6, allow_nan=False, places=2)
FAULTS = st.sampled_from(sorted(MILL.faults))


@st.composite
def events(draw: st.DrawFn, trouble: str) -> Event:
    def plain(name: str) -> dict[str, str]:
        return {"lot": "hall 3", "machine": "mill", name: draw(free)}

    pick = draw(st.integers(0, 5))
    if pick == 0:
        symptom = draw(st.sampled_from(sorted(MILL.symptoms)))
        return Trouble(**plain("words"), symptom=symptom, comes_and_goes=draw(st.booleans()))
    if pick == 1:
        return Hunch(**plain("text"), trouble=trouble, fault=draw(FAULTS))
    if pick == 2:
        return Trial(**plain("text"), trouble=trouble, passes=draw(st.booleans()))
    if pick == 3:
        return Act(
            **plain("seen"), trouble=draw(st.sampled_from([None, trouble])), sort="repair",
            fault=draw(FAULTS), money=draw(maybe() | amounts),
            hours=draw(maybe() | st.floats(0, 99)),
            cures=draw(maybe() | st.floats(0, 1)), needed=draw(maybe() | st.booleans()),
            pictures=draw(st.sampled_from([(), ("ab" * 32,)])), bought=draw(free),
        )  # fmt: skip
    if pick == 4:
        return PartMoved(
            **plain("text"), slot="X", from_machine="other", from_slot="Z", part="axis_drive",
            serial=draw(words), why="donor", same_type=draw(st.booleans()),
        )  # fmt: skip
    return Signed(**plain("text"), stage=draw(st.sampled_from(["apart", "power_up"])), name="An")


@st.composite
def cases(draw: st.DrawFn) -> LotCase:
    tell = Happened(id="it", event=Trouble(lot="hall 3", machine="mill", symptom="Y05"), place=0)
    count = draw(st.integers(0, 3))
    places = sorted(draw(st.lists(st.integers(0, count), max_size=5)))
    days = st.sampled_from(["", "2026-11-25"])
    more = [
        Happened(id=f"e{n}", event=draw(events("it")), place=place, on=draw(days))
        for n, place in enumerate(places)
    ]
    findings = [
        Kept(id=f"f{n}", finding=Finding(lot="hall 3", machine="mill", check="C12", answer="seen"))
        for n in range(count)
    ]
    machines = [Machine(lot="hall 3", name=name, kind=MILL.id) for name in ("mill", "other")]
    return LotCase(
        shop=Shop(), lot=Lot(name="hall 3"), terms=Terms(lot="hall 3"), machines=tuple(machines),
        findings=tuple(findings), happened=(tell, *more),
    )  # fmt: skip


@settings(max_examples=30)
@given(cases())
def test_what_happened_is_written_and_read_back_exactly(case: LotCase):
    text = write_lot(case)
    again = read_lot(text.encode(), "lot.toml", KINDS)
    assert again == case
    assert write_lot(again) == text


# --- refusals ----------------------------------------------------------------------------------

BAD = {
    "no such symptom": (TOLD.replace("Y05", "Y055"), "trouble.1.symptom", "Did you mean Y05?"),
    "no such machine": (TOLD.replace("mill", "mil"), "trouble.1.machine", "Did you mean mill?"),
    "no such key": (TOLD + "word = 'x'\n", "trouble.1.word", "Did you mean words?"),
    "a key missing": ('[[trouble]]\nmachine = "mill"\n', "trouble.1", "Add it."),
    "no day": (TOLD + 'on = "yesterday"\n', "trouble.1.on", "2026-11-25"),
    "no such day": (TOLD + 'on = "2026-02-30"\n', "trouble.1.on", "2026-11-25"),
    "an id twice": (TOLD + 'id = "a"\n' + TOLD + 'id = "a"\n', "trouble.2.id", "make it new"),
    "an id of a finding": (SEEN + 'id = "a"\n' + TOLD + 'id = "a"\n', "trouble.1.id", "new"),
    "an id that is a number": (TOLD + "id = 3\n", "trouble.1.id", "Leave it out"),
    "no such fault": (DONE.replace("F02", "F0222"), "act.1.fault", "Did you mean"),
    "no such way": (DONE + 'way = "weld"\n', "act.1.way", "Known"),
    "no such sort": (DONE.replace("repair", "repare"), "act.1.sort", "repair"),
    "an act on nothing": (DONE.replace('fault = "F02"\n', ""), "act.1.fault", "put right"),
    "a job nobody knows": (DONE.replace('fault = "F02"', 'job = "J999"'), "act.1.job", ""),
    "no picture's hash": (DONE + 'pictures = ["a.jpg"]\n', "act.1.pictures", "Keep the file"),
    "negative money": (DONE + "money = -3\n", "act.1.money", "unknown"),
    "a chance above one": (DONE + "cures = 1.5\n", "act.1.cures", "0.18"),
    "a trouble not told": (DONE + 'trouble = "x"\n', "act.1.trouble", "Tell it first."),
    "a trouble told below": (DONE + 'trouble = "mill.Y05"\n' + TOLD, "act.1.trouble", "first"),
    "another machine's trouble": (
        TOLD + DONE.replace("mill", "other") + 'trouble = "mill.Y05"\n', "act.1.trouble", "own"),
    "a try of nothing": (
        '[[trial]]\nmachine = "mill"\npasses = true\n', "trial.1.trouble", "tried"),
    "a group without a level": (
        '[[trial]]\nmachine = "mill"\ngroup = "spindle"\npasses = true\n',
        "trial.1.level", "right"),
    "no such group": (
        '[[trial]]\nmachine = "mill"\ngroup = "x"\nlevel = "right"\npasses = true\n',
        "trial.1.group", "Known"),
    "no such part": (
        '[[part_moved]]\nmachine = "mill"\nslot = "X"\nfrom_machine = "other"\nfrom_slot = "X"\n'
        'part = "axis_drives"\nserial = "1"\nother_serial = "2"\n',
        "part_moved.1.part", "Did you mean axis_drive?"),
    "a part from nowhere": (
        '[[part_moved]]\nmachine = "mill"\nslot = "X"\nfrom_machine = "othr"\nfrom_slot = "X"\n'
        'part = "axis_drive"\nserial = "1"\nother_serial = "2"\n',
        "part_moved.1.from_machine", "Did you mean other?"),
    "nobody signed": (
        '[[signed]]\nmachine = "mill"\nstage = "apart"\nname = " "\n', "signed.1.name", "Fill"),
    "single brackets": (TOLD.replace("[[trouble]]", "[trouble]"), "trouble", "double"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_refused_with_its_key_and_what_helps(what: str):
    text, key, helps = BAD[what]
    with pytest.raises(Unusable) as told:
        read(text)
    rows = [str(problem) for problem in told.value.problems]
    assert any(f", {key}:" in row and helps in row for row in rows), rows


def test_the_line_of_what_is_wrong_is_named():
    with pytest.raises(Unusable) as told:
        read(DONE + 'way = "weld"\n')
    count = SMALL.count("\n") + 5
    assert told.value.problems[0].where == f"lot.toml, line {count}, act.1.way"


# --- the manual --------------------------------------------------------------------------------


def test_the_manual_names_every_section_and_key_of_what_happened():
    manual = MANUAL.read_text(encoding="utf-8")
    for section, fact in EVENTS.items():
        part = manual.split(f"### `[[{section}]]`", 1)[1].split("\n##", 1)[0]
        named = set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))
        assert named == {field.name for field in fields(fact)} - {"lot"} | {"id", "on"}, section


def test_the_example_of_the_manual_is_one():
    text = MANUAL.read_text(encoding="utf-8").split("## What happened", 1)[1]
    case = read(text.split("```\n", 1)[1].split("```", 1)[0])
    assert [type(one.event) for one in case.happened] == [Trouble, Act, Trial]
    assert [one.place for one in case.happened] == [0, 1, 1]
    act = case.happened[1].event
    assert isinstance(act, Act)
    assert act.money == Decimal(480)
