"""The short cuts that somebody in a hurry would try, and what each is answered."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.phases.wake.test_wake_watch import healthy, rows
from tests.powering import AN, BEA, begun, close, read_all, signed_up_to

from retrue.base.refusals import NotYet, Overtaken, Unusable
from retrue.phases import wake
from retrue.records.facts import Finding
from retrue.records.seeking import Act

AT = ("school", "mill")


def state(floor, stage: str, machine: str = "mill"):
    return wake.stage(floor, "school", machine, stage, floor.kinds)


def at(floor, stage: str, machine: str = "mill", **more):
    """A stage goes on, everything before it closed."""
    kind = floor.kinds["turning_centre" if machine == "lathe" else "vertical_machining_centre"]
    of = next(one for one in kind.stages.values() if one.stage == stage)
    signed_up_to(floor, "school", machine, floor.kinds, f"P{int(stage[1:]) - 1}")
    close(floor, "school", machine, floor.kinds, of)
    return begun(floor, "school", machine, floor.kinds, stage, **more)


def sign(floor, stage: str, machine: str = "mill", **more):
    return wake.sign(floor, "school", machine, stage, AN, floor.kinds, by=AN, **more)


def open_at_signing(floor, stage: str, **more) -> list[str]:
    with pytest.raises(NotYet) as refused:
        sign(floor, stage, **more)
    return [one.where for one in refused.value.problems]


def read(floor, stage: str, name: str, reading: float, **more):
    return wake.read(floor, *AT, stage, name, reading, floor.kinds, by=AN, **more)


def watch(floor, **more):
    said = {"stage": "P8", "heard": True, "room_c": 21.0, "by": AN}
    return wake.begin_watch(floor, *AT, floor.kinds, **{**said, **more})


# not fitted


@pytest.mark.parametrize("deed", ["aborted", "left", "back"])
def test_what_was_begun_once_is_there(floor, deed):
    start = at(floor, "P7", "lathe")
    here = ("school", "lathe", "P7")
    if deed == "aborted":
        wake.read(floor, *here, "drop", 5.0, floor.kinds, by=AN)
        wake.found(floor, *here, AN, "brake", floor.kinds, by=AN)
    elif deed == "left":
        wake.leave(floor, *here, AN, floor.kinds, by=AN)
    else:  # a start made by mistake is none
        wake.take_back(floor, start.id, by=AN)
        wake.not_fitted(floor, *here, AN, floor.kinds, by=AN)
        assert state(floor, "P7", "lathe").signed
        return
    with pytest.raises(NotYet, match="the machine has it"):
        wake.not_fitted(floor, *here, AN, floor.kinds, by=AN)


def test_a_slide_that_creeps_is_called_off(floor):
    at(floor, "P7")
    read(floor, "P7", "creep", 0.05)
    assert state(floor, "P7").state == "begun"
    read(floor, "P7", "creep", 0.06)
    assert state(floor, "P7").state == "aborted"


def test_the_supply_hands_back_rotation_fault_current_and_taps(floor):
    at(floor, "P1")
    read_all(floor, *AT, floor.kinds, "P1-V", but=("rotation",))
    assert open_at_signing(floor, "P1", text="it turns") == ["rotation"]
    read(floor, "P1", "rotation", 1.0)
    read(floor, "P1", "fault_current_share", 101.0, point="10.1 of 10 kA")
    assert open_at_signing(floor, "P1", text="nearly") == ["fault_current_share"]
    read(floor, "P1", "rotation", 0.0)
    assert state(floor, "P1").state == "aborted"


# what must be closed, at signing


def test_what_opens_while_a_stage_goes_on_keeps_it_from_being_signed(floor):
    start = at(floor, "P8")
    read_all(floor, *AT, floor.kinds, "P8-V")
    here = {"lot": start.fact.lot, "machine": start.fact.machine}
    floor.add(Finding(**here, check="C35", answer="seen", grade=3, channel="running"), by=AN)
    assert open_at_signing(floor, "P8", text="it is fine") == ["F86"]
    floor.add(Act(**here, sort="repair", fault="F86"), by=AN)
    floor.add(Finding(**here, check="C35", answer="not_seen", grade=3, channel="apart"), by=AN)
    sign(floor, "P8")


def test_with_an_earlier_signature_taken_back_a_stage_is_left(floor):
    at(floor, "P8")
    read_all(floor, *AT, floor.kinds, "P8-V")
    wake.take_back(floor, state(floor, "P7").ended.id, by=AN)
    with pytest.raises(NotYet) as refused:
        sign(floor, "P8")
    assert [(one.where, one.remedy[:16]) for one in refused.value.problems] == [
        ("P7-V", "Leave this stage")
    ]
    with pytest.raises(NotYet, match="is open again"):
        watch(floor)
    wake.leave(floor, *AT, "P8", AN, floor.kinds, by=AN)


# beside its watch


def test_a_step_beside_a_laptop_needs_a_watch_that_levelled(floor):
    at(floor, "P8", laptop=True, heard=True)
    read_all(floor, *AT, floor.kinds, "P8-V")  # its minutes typed as well
    assert open_at_signing(floor, "P8", text="it was watched") == ["watch"]
    gone = watch(floor)
    assert open_at_signing(floor, "P8") == ["watch"]  # it runs
    wake.end_watch(floor, gone.id, "left", AN, by=AN)
    assert open_at_signing(floor, "P8") == ["watch"]  # it was left
    start = floor.clock.now - timedelta(minutes=36)
    good = watch(floor, observed_at=start)
    wake.add_readings(floor, good.id, rows(start, range(36), healthy), by=AN)
    wake.end_watch(floor, good.id, "levelled", AN, by=AN)
    minutes = {one.name: one.readings[-1].reading for one in state(floor, "P8").bands
               if one.readings}  # fmt: skip
    assert minutes["step_minutes_step1"] == pytest.approx(35.0, abs=0.1)  # brought by the watch
    sign(floor, "P8")
    assert state(floor, "P8").step.step == 2
    with pytest.raises(NotYet, match="a signature stands on"):
        wake.take_back(floor, good.id, reason="away with it", by=AN)


def test_a_watch_whose_rows_are_taken_back_did_not_run_its_minutes(floor):
    at(floor, "P8", laptop=True, heard=True)
    start = floor.clock.now - timedelta(minutes=36)
    good = watch(floor, observed_at=start)
    wake.add_readings(floor, good.id, rows(start, range(6), healthy), by=AN)
    late = wake.add_readings(floor, good.id, rows(start, range(6, 36), healthy), by=AN)
    wake.end_watch(floor, good.id, "levelled", AN, by=AN)
    wake.take_back(floor, late.id, by=AN)
    read_all(floor, *AT, floor.kinds, "P8-V")
    with pytest.raises(NotYet) as refused:
        sign(floor, "P8")
    assert [one.what for one in refused.value.problems] == ["its watch ran 5 of 10 min"]


def test_a_watch_of_an_earlier_start_is_ended_before_the_next(floor):
    at(floor, "P8", laptop=True, heard=True)
    old = watch(floor)
    wake.leave(floor, *AT, "P8", AN, floor.kinds, by=AN)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P8")
    assert [one.where for one in refused.value.problems] == ["watch"]
    wake.end_watch(floor, old.id, "left", AN, by=AN)
    begun(floor, *AT, floor.kinds, "P8")


def test_on_paper_the_minutes_of_the_step_are_typed(floor):
    at(floor, "P8", laptop=False)
    read_all(floor, *AT, floor.kinds, "P8-V", but=("step_minutes_step1",))
    assert open_at_signing(floor, "P8") == ["step_minutes_step1"]
    read(floor, "P8", "step_minutes", 9.9)
    assert open_at_signing(floor, "P8", text="nearly") == ["step_minutes_step1"]
    read(floor, "P8", "step_minutes", 10.0)
    sign(floor, "P8")


def test_on_paper_silence_stops_nothing_and_what_is_read_still_does(floor):
    at(floor, "P8", laptop=False)
    paper = watch(floor, alarm="paper", heard=False)
    start = floor.clock.now
    floor.clock.passes(25)
    assert wake.call(floor, paper.id, floor.clock.now, floor.kinds, by="server") is None
    stands = wake.watch_stands(floor, paper.id, floor.clock.now, floor.kinds)
    assert (stands.call in ("stop", "no_reading"), stands.next_reading_by) == (False, None)
    assert state(floor, "P8").state == "begun"
    assert any("timer" in one for one in stands.notes)
    hot = rows(start, (20, 21, 22, 23), lambda minute: 62.0 + minute / 10)
    wake.add_readings(floor, paper.id, hot, by=AN)
    assert wake.call(floor, paper.id, floor.clock.now, floor.kinds, by="s").fact.call == "stop"
    assert state(floor, "P8").state == "aborted"


# attended hours


def test_attended_hours_are_those_of_the_clock_and_none_counts_twice(floor):
    now = floor.clock.now
    at(floor, "P10", observed_at=now - timedelta(hours=12))
    hours = {"taken_by": BEA, "floor": floor, "stage": "P10", "name": "attended_hours"}
    for wrong, where in (
        ({"reading": 2.0}, "until"),
        ({"reading": 12.0, "observed_at": now - timedelta(hours=1)}, "reading"),
    ):
        with pytest.raises(Unusable) as refused:
            read(**hours, **wrong)
        assert [one.where for one in refused.value.problems] == [where]
    read(**hours, reading=4.0, observed_at=now - timedelta(hours=6))
    with pytest.raises(Unusable, match="attended hours"):
        read(**hours, reading=3.0, observed_at=now - timedelta(hours=4))
    read(**hours, reading=2.0, observed_at=now - timedelta(hours=4))
    assert state(floor, "P10").hours == pytest.approx(6.0)
    read(**hours, reading=12.0, observed_at=now + timedelta(hours=10))  # not over yet
    assert state(floor, "P10").hours == pytest.approx(8.0, abs=0.01)


# what stopped a machine


def test_an_abort_goes_only_with_the_reading_that_made_it_and_with_a_reason(floor):
    start = at(floor, "P8")
    wrong = read(floor, "P8", "nose", 75.0)
    end = state(floor, "P8").ended
    with pytest.raises(NotYet, match="a reading called it off"):
        wake.take_back(floor, end.id, reason="mistyped", by=AN)
    with pytest.raises(NotYet, match="this start was called off"):
        wake.take_back(floor, start.id, reason="mistyped", by=AN)
    with pytest.raises(Unusable) as refused:
        wake.take_back(floor, wrong.id, by=AN)
    assert [one.where for one in refused.value.problems] == ["reason"]
    wake.take_back(floor, wrong.id, reason="25 was read", by=AN)
    assert (state(floor, "P8").state, state(floor, "P8").aborts) == ("begun", 0)


def test_a_stop_that_a_watch_called_stays(floor):
    start = at(floor, "P8", laptop=True, heard=True)
    seen = watch(floor)
    floor.clock.passes(7)
    called = wake.call(floor, seen.id, floor.clock.now, floor.kinds, by="server")
    for one in (called.id, seen.id, state(floor, "P8").ended.id, start.id):
        with pytest.raises(NotYet):
            wake.take_back(floor, one, reason="mistake", by=AN)
    assert state(floor, "P8").state == "aborted"


def test_a_warm_room_beside_the_spindle_is_no_room(floor):
    at(floor, "P8", laptop=True, heard=True)
    seen = watch(floor)  # at 21 degrees
    wake.abort(floor, *AT, "P8", AN, "growl", floor.kinds, by=AN)
    wake.end_watch(floor, seen.id, "stopped", AN, by=AN)
    told = (floor, *AT, "P8", AN, "grease", floor.kinds)
    for nose_c, room_c, sort in ((45.0, 45.0, Unusable), (34.0, 30.0, Unusable),
                                 (-20.0, -20.0, Unusable), (30.5, 26.0, NotYet)):  # fmt: skip
        with pytest.raises(sort):
            wake.found(*told, nose_c=nose_c, room_c=room_c, by=AN)
    wake.found(*told, nose_c=25.9, room_c=23.0, by=AN)


# an id that was used


def test_an_id_sent_again_for_another_deed_is_no_answer(floor):
    at(floor, "P8", id="one")
    read_all(floor, *AT, floor.kinds, "P8-V")
    reading = read(floor, "P8", "nose", 30.0, id="two")
    assert read(floor, "P8", "nose", 30.0, id="two") == reading
    signed = sign(floor, "P8", id="three")
    assert sign(floor, "P8", id="three") == signed
    more = {"by": AN, "id": "three"}
    for deed in (
        lambda: wake.sign(floor, "school", "lathe", "P0", AN, floor.kinds, **more),
        lambda: wake.sign(floor, *AT, "P7", AN, floor.kinds, **more),
        lambda: wake.abort(floor, *AT, "P8", AN, "fire", floor.kinds, **more),
        lambda: wake.leave(floor, *AT, "P8", AN, floor.kinds, **more),
        lambda: wake.not_fitted(floor, "school", "lathe", "P7", AN, floor.kinds, **more),
        lambda: begun(floor, "school", "lathe", floor.kinds, "P0", id="one"),
        lambda: read(floor, "P8", "nose", 31.0, id="two"),
        lambda: read(floor, "P8", "spindle_amps", 30.0, id="two"),
    ):
        with pytest.raises(Overtaken):
            deed()
