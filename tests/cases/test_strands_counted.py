"""Swaps, jobs, help, groups and teardown, against counting every way two machines could be."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cases.counted_lot import FAULTS, LOOKS, NAME, Counted, case_of, small_kind

from retrue.belief.posterior import update
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.records.facts import Finding
from retrue.records.seeking import Act, PartMoved, Trial, Trouble


def saw(check: str, answer: str, machine: str = "A") -> Finding:
    return Finding(lot="a", machine=machine, check=check, answer=answer, grade=3,
                   channel="running")  # fmt: skip


def apart(fault: str, answer: str, machine: str = "A") -> Finding:
    return Finding(lot="a", machine=machine, fault=fault, answer=answer, grade=5, channel="apart")


def told(symptom: str = "Y01", machine: str = "A", goes: bool = False) -> Trouble:
    return Trouble(lot="a", machine=machine, symptom=symptom, comes_and_goes=goes)


def again(trouble: str, passes: bool, machine: str = "A") -> Trial:
    return Trial(lot="a", machine=machine, trouble=trouble, passes=passes)


def group(passes: bool, machine: str = "A") -> Trial:
    return Trial(lot="a", machine=machine, group="spindle", level="like_new", passes=passes)


def did(fault: str | None = None, way: str = "", machine: str = "A", **more: Any) -> Act:
    sort = more.pop("sort", "repair")
    return Act(lot="a", machine=machine, trouble="T", sort=sort, fault=fault, way=way, **more)


SWAP = PartMoved(lot="a", machine="A", slot="1", from_machine="B", from_slot="1", part="motor",
                 serial="1", other_serial="2", same_type=True)  # fmt: skip
TURNS = ["look", "swap", "act", "try", "help"]
REPLACED = did("F16", "replace")
STORIES = {
    "a swap": [saw("C20", "seen"), told(), SWAP, saw("C20", "not_seen"), saw("C20", "seen", "B")],
    "still there with the other's part": [told(), SWAP, again("T", False)],
    "gone with the other's part, back with its own": [
        told(), SWAP, again("T", True), SWAP, again("T", False),
    ],
    "still there with the other's part, and with its own": [
        told(), SWAP, again("T", False), SWAP, again("T", False),
    ],
    "mended in the other machine, looked at there, and back": [
        told(), SWAP, did("F16", "replace", "B"), saw("C20", "seen", "B"),
        did("F16", "local", "B"), saw("C20", "not_seen", "B"), SWAP, saw("C47", "seen"),
    ],
    "a job": [told(), did(job="J99"), again("T", False), saw("C47", "seen")],
    "a way that cures others beside": [told(), did("F01", "outside"), again("T", True)],
    "help": [told(), did(sort="call_for_help"), again("T", False), saw("C20", "seen")],
    "a group that is not right, then is": [
        group(False), REPLACED, group(False), did("F01", "repair"), group(True),
    ],
    "what comes and goes": [told(goes=True), REPLACED, again("T", True), again("T", True)],
    "two troubles": [told(), told("Y02"), did("F01", "repair"), again("T", False),
                     again("e1", True)],
    "apart before and after": [told(), apart("F06", "present"), did("F06", "replace"),
                               again("T", False), apart("F06", "absent")],
    "the other machine's too": [told(), told("Y01", "B"), saw("C20", "seen", "B"), REPLACED,
                                again("T", False), again("e1", True, "B")],
}  # fmt: skip


def named(story: list) -> list:
    first = next((n for n, one in enumerate(story) if isinstance(one, Trouble)), None)
    return [("T" if n == first else f"e{n}", one) for n, one in enumerate(story)]


def agree(story: list) -> None:
    kind, steps = small_kind(), named(story)
    case = case_of(steps)
    built = build(case, {NAME: kind})
    made, unused = evidence(case, built)
    assert unused == ()
    counted = Counted(kind, built)
    for id, one in steps:
        counted.take(id, one)
    found = update(built.network, made).marginal
    now = built.marginal_now(found)
    for machine in "AB":
        for fault in FAULTS:
            share = now[built.faults[machine, fault]]
            assert share == pytest.approx(counted.there(machine, fault), abs=1e-12, rel=1e-10)
    for trouble in counted.troubles:
        shares = {one.fault: found[list(one.variables)].sum() for one in built.behind(trouble)}
        for fault in (*FAULTS, None):
            expected = counted.behind(trouble, fault)
            assert shares.get(fault, 0.0) == pytest.approx(expected, abs=1e-12, rel=1e-10)


@pytest.mark.parametrize("name", STORIES)
def test_a_story_of_two_machines_is_weighed_as_if_every_way_were_counted(name):
    agree(STORIES[name])


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_any_story_of_two_machines_is_weighed_as_if_every_way_were_counted(data):
    story: list = [told()]
    asked: set = set()
    for turn in data.draw(st.lists(st.sampled_from(TURNS), max_size=6)):
        machine = data.draw(st.sampled_from("AB"))
        if turn == "look":
            check = data.draw(st.sampled_from([c for c in LOOKS if c != "C48"]))
            if (check, machine) not in asked:  # one look twice with nothing done is one answer
                asked.add((check, machine))
                story.append(saw(check, data.draw(st.sampled_from(["seen", "not_seen"])), machine))
        elif turn == "swap":
            story.append(SWAP)
        elif turn == "act":
            done = data.draw(st.sampled_from([("F16", "replace"), ("F01", "outside")]))
            story.append(did(done[0], done[1], machine=machine))
        elif turn == "try":
            story.append(again("T", False))
        elif not any(isinstance(one, Act) and one.sort == "call_for_help" for one in story):
            story.append(did(sort="call_for_help"))
    agree(story)


def test_what_was_told_of_the_trouble_s_own_look_is_not_counted_beside_it():
    """One's own eyes stand before what was told: also where the look became the trouble's."""
    heard = Finding(lot="a", machine="A", check="C48", answer="seen", grade=0, channel="call",
                    informant="seller")  # fmt: skip
    own = saw("C48", "seen")
    keys = []
    for story in ([heard, own], [heard, own, told()], [own, own, told()]):
        case = case_of(named(story))
        made, _ = evidence(case, build(case, {NAME: small_kind()}))
        keys.append([one.key for one in made])
    assert keys == [["e1"], ["T"], ["T"]]


def test_the_look_made_again_after_something_unlike_is_still_one_sight():
    story = [saw("C48", "seen"), told(), did("F01", "repair", "B"), saw("C48", "seen")]
    case = case_of(named(story))
    made, _ = evidence(case, build(case, {NAME: small_kind()}))
    assert [one.key for one in made] == ["T"]
