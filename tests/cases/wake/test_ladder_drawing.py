"""The ladder and its run-in table as their pictures take them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from tests.cases.lots import kinds

from retrue.cases.wake.ladder import ladder_of_kind
from retrue.cases.wake.ladder_drawing import ladder_drawing, run_in_drawing
from retrue.records.shop import Record
from retrue.records.waking import StageEnded

KIND = "vertical_machining_centre"


def signed(stage: str) -> Record[StageEnded]:
    fact = StageEnded(lot="l", machine="m", stage=stage, begun="b", how="signed", name="Ann")
    at = datetime(2026, 11, 20, tzinfo=UTC)
    return Record(
        id="e", kind=fact.KIND, schema=1, seq=1, noted_at=at, observed_at=at, by="Ann", device="",
        replaces=None, fact=fact, sha256="", previous="",
    )  # fmt: skip


def test_each_stage_is_a_rung_with_how_it_stands():
    ladder = ladder_of_kind(kinds()[KIND])
    first = replace(ladder.stages[0], state="signed", ended=signed("P0-V"))
    made = ladder_drawing(
        replace(ladder, stages=(first, *ladder.stages[1:]), next=ladder.stages[1])
    )
    assert len(made.rungs) == len(ladder.stages) == 11
    assert (made.rungs[0].state, made.rungs[0].when, made.rungs[0].by) == (
        "signed", "2026-11-20", "Ann",
    )  # fmt: skip
    assert made.next == "P1-V"
    assert [one.stage for one in made.rungs if one.live] == ["P1-V", "P2-V", "P5-V"]
    assert made.rungs[1].when == ""
    assert made.rungs[1].wants == len(ladder.stages[1].wanting) > 0


@pytest.mark.parametrize(
    ("state", "step", "told"),
    [
        ("begun", 3, ["held", "held", "now", "to_come"]),
        ("open", 3, ["held", "held", "to_come", "to_come"]),
        ("begun", None, ["to_come"] * 4),
        ("signed", None, ["held"] * 4),
    ],
)
def test_steps_before_the_one_that_comes_are_held(state, step, told):
    kind = kinds()[KIND]
    steps = [one for one in kind.run_in if one.ladder == "spindle"][:4]
    stage = next(one for one in ladder_of_kind(kind).stages if one.stage.id == "P8-V")
    stands = replace(stage, state=state, step=None if step is None else steps[step - 1])
    assert [one.state for one in run_in_drawing(steps, stands).steps] == told


def test_speeds_are_shares_of_the_highest_where_it_is_known():
    steps = [one for one in kinds()[KIND].run_in if one.ladder == "spindle"]
    made = run_in_drawing(steps, highest_rpm=8000)
    assert [one.speed_rpm for one in made.steps] == [
        400, 800, 1600, 2400, 3600, 4800, 6000, 7200, 8000,
    ]  # fmt: skip
    assert made.what == "spindle"
    assert {one.speed_rpm for one in run_in_drawing(steps).steps} == {None}


def test_a_step_of_the_other_ladder_holds_none_of_this_one():
    kind = kinds()[KIND]
    spindle = [one for one in kind.run_in if one.ladder == "spindle"]
    axis = [one for one in kind.run_in if one.ladder == "axis"]
    stage = next(one for one in ladder_of_kind(kind).stages if one.stage.id == "P8-V")
    stands = replace(stage, state="begun", step=axis[-1])
    assert {one.state for one in run_in_drawing(spindle, stands).steps} == {"to_come"}
