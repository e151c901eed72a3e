"""The run-in: steps that follow each other, are held, cool and go back; the dry run's hours."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.powering import AN, BEA, begun, close, read_all, signed_up_to

from retrue.base.refusals import NotYet, Unusable
from retrue.cases.wake.written import read_written
from retrue.phases import wake
from retrue.records.facts import Finding
from retrue.records.seeking import Signed

AT = ("school", "mill")


def state(floor, stage: str, machine: str = "mill"):
    return wake.stage(floor, "school", machine, stage, floor.kinds)


def read(floor, stage: str, name: str, reading: float, **more):
    return wake.read(floor, *AT, stage, name, reading, floor.kinds, by=AN, **more)


def at_p8(floor) -> None:
    """The spindle may turn for the first time."""
    signed_up_to(floor, *AT, floor.kinds, "P7")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P8-V"])


def step(floor, number: int | None = None) -> None:
    """One step of the run-in, from its start to its signature."""
    begun(floor, *AT, floor.kinds, "P8", step=number)
    read_all(floor, *AT, floor.kinds, "P8-V")
    wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)


def test_the_steps_follow_each_other_and_only_the_last_opens_running(floor):
    at_p8(floor)
    first = begun(floor, *AT, floor.kinds, "P8")
    table = read_written(first.fact.bands)
    assert [one["step"] for one in table.steps] == list(range(1, 10))  # all of it, before
    assert table.steps[1]["speed_rpm"] == pytest.approx(800.0)  # 10 % of 8000
    read_all(floor, *AT, floor.kinds, "P8-V")
    wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)
    told = state(floor, "P8")
    assert (told.state, told.step.step, told.step_rpm) == ("open", 2, 800.0)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P8", step=4)
    assert [one.where for one in refused.value.problems] == ["step"]
    for _ in range(2, 9):
        step(floor)
    assert "running" not in [one.fact.stage for one in floor.current(Signed)]
    step(floor, 9)
    told = state(floor, "P8")
    assert told.state == "signed"
    rises = [one for one in told.bands if one.name.startswith("nose_rise_step")]
    assert [len(one.readings) for one in rises] == [1] * 9  # of every step, on the signed sheet
    assert len(next(one for one in told.bands if one.name == "nose").readings) == 9
    assert "running" in [one.fact.stage for one in floor.current(Signed)]
    assert [one.fact.measure for one in floor.current(Finding)].count("M11") == 1


def test_a_step_is_held_until_it_changes_by_less_than_half_a_kelvin(floor):
    at_p8(floor)
    begun(floor, *AT, floor.kinds, "P8")
    read_all(floor, *AT, floor.kinds, "P8-V", but=("change_5min",))
    read(floor, "P8", "change_5min", 0.51)
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P8", AN, floor.kinds, text="near enough", by=AN)
    assert [one.where for one in refused.value.problems] == ["change_5min"]
    read(floor, "P8", "change_5min", 0.5)
    wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)


def test_after_an_abort_it_cools_and_goes_on_two_steps_lower(floor):
    at_p8(floor)
    for _ in range(4):
        step(floor)
    begun(floor, *AT, floor.kinds, "P8")
    read(floor, "P8", "nose_rise", 21.5)  # step 5 ends over 21
    told = state(floor, "P8")
    assert (told.state, told.ended.fact.how) == ("aborted", "aborted")
    more = {"kinds": floor.kinds, "by": AN}
    with pytest.raises(Unusable) as refused:
        wake.found(floor, *AT, "P8", AN, "grease", **more)
    assert [one.where for one in refused.value.problems] == ["nose_c", "room_c"]
    with pytest.raises(NotYet, match="over the room"):
        wake.found(floor, *AT, "P8", AN, "grease", nose_c=26.1, room_c=21.0, **more)
    wake.found(floor, *AT, "P8", AN, "grease", nose_c=26.0, room_c=21.0, **more)
    assert state(floor, "P8").step.step == 3
    step(floor)
    step(floor)
    begun(floor, *AT, floor.kinds, "P8")
    wake.abort(floor, *AT, "P8", AN, "a new growl", **more)
    assert state(floor, "P8").state == "strip"  # steps between do not make it a first one


def test_the_dry_run_adds_up_attended_hours_and_never_soaks_alone(floor):
    signed_up_to(floor, *AT, floor.kinds, "P9")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P10-V"])
    with pytest.raises(NotYet):
        begun(floor, *AT, floor.kinds, "P10", at_switch="")
    evening = floor.clock.now - timedelta(hours=60)
    begun(floor, *AT, floor.kinds, "P10", observed_at=evening)
    hours = "attended_hours"
    for wrong in ({"reading": 2.0}, {"reading": 12.5, "taken_by": BEA}, {"reading": 0.0,
                  "taken_by": BEA}):  # fmt: skip
        with pytest.raises(Unusable):
            read(floor, "P10", hours, **wrong)
    day = evening + timedelta(hours=20)
    read(floor, "P10", hours, 10.0, taken_by=BEA, observed_at=evening + timedelta(hours=10))
    wake.leave(floor, *AT, "P10", AN, floor.kinds, by=AN)
    begun(floor, *AT, floor.kinds, "P10", observed_at=day)
    read_all(floor, *AT, floor.kinds, "P10-V", but=(hours,))
    read(floor, "P10", hours, 12.0, taken_by=AN, observed_at=day + timedelta(hours=12))
    assert state(floor, "P10").hours == 22.0
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P10", AN, floor.kinds, by=AN)
    assert "22 of 34 h" in refused.value.problems[0].what
    read(floor, "P10", hours, 12.0, taken_by=BEA, observed_at=day + timedelta(hours=24))
    wake.sign(floor, *AT, "P10", AN, floor.kinds, by=AN)
