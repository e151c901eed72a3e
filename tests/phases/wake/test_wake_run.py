"""Readings against bands written before; aborts, causes, steps, hours, what is mistaken."""

from __future__ import annotations

import pytest
from tests.powering import AN, begun, climb, close, read_all, signed_up_to

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import strip, wake, worth
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Signed
from retrue.records.waking import StageEnded, StageReading

AT = ("school", "mill")


def state(floor, stage: str, machine: str = "mill"):
    return wake.stage(floor, "school", machine, stage, floor.kinds)


def read(floor, stage: str, name: str, reading: float, **more):
    return wake.read(floor, *AT, stage, name, reading, floor.kinds, by=AN, **more)


def at_p1(floor) -> None:
    """The electrician has begun at the main switch."""
    signed_up_to(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    begun(floor, *AT, floor.kinds, "P1")


# readings


def test_the_band_is_written_before_the_start_and_no_later_plate_changes_it(floor):
    at_p1(floor)
    worth.keep_plate(floor, "school", "mill", "N04", "200 V", floor.kinds, by=AN)
    band = next(one for one in state(floor, "P1").bands if one.name == "line_volts")
    assert (band.expected_low, band.expected_high) == (380.0, 420.0)
    assert (band.abort_low, band.abort_high) == (360.0, 440.0)
    read(floor, "P1", "line_volts", 400.0, point="L1 to L2")
    assert state(floor, "P1").state == "begun"
    wake.leave(floor, *AT, "P1", AN, floor.kinds, by=AN)
    begun(floor, *AT, floor.kinds, "P1")  # begun anew, it is worked out anew
    band = next(one for one in state(floor, "P1").bands if one.name == "line_volts")
    assert band.expected_high == 210.0


@pytest.mark.parametrize(
    ("volts", "ruling"), [(380.0, "in"), (420.0, "in"), (379.9, "out"), (440.0, "out")]
)
def test_a_reading_inside_its_abort_limits_goes_on(floor, volts, ruling):
    at_p1(floor)
    read(floor, "P1", "line_volts", volts, point="l1 to  l2", taken_by=AN)
    (line,) = next(one for one in state(floor, "P1").bands if one.name == "line_volts").readings
    assert (line.point, line.ruling, line.by) == ("L1 to L2", ruling, AN)
    assert state(floor, "P1").state == "begun"


@pytest.mark.parametrize("volts", [359.9, 440.1])
def test_a_reading_outside_its_abort_limits_ends_the_stage_with_its_number(floor, volts):
    at_p1(floor)
    read(floor, "P1", "line_volts", volts, point="L1 to L2", taken_by="Electrician Jo")
    told = state(floor, "P1")
    assert told.state == "aborted"
    assert (told.ended.fact.how, told.ended.fact.name) == ("aborted", "Electrician Jo")
    assert f"{volts:g} V" in told.ended.fact.why
    with pytest.raises(NotYet, match="not going on"):
        read(floor, "P1", "frequency", 50.0)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1")
    assert "cause" in [one.where for one in refused.value.problems]


def test_a_reading_in_another_unit_is_converted_and_one_of_another_sort_is_refused(floor):
    at_p1(floor)
    kept = read(floor, "P1", "line_volts", 0.4, unit="kV", point="L2 to L3")
    assert (kept.fact.reading, kept.fact.unit) == (400.0, "V")
    with pytest.raises(Unusable):
        read(floor, "P1", "line_volts", 400.0, unit="bar", point="L2 to L3")
    with pytest.raises(Unusable) as refused:
        read(floor, "P1", "line_volts", 400.0, point="L9")
    assert [one.where for one in refused.value.problems] == ["point"]
    for impossible in (float("nan"), -400.0):
        with pytest.raises(Unusable):
            read(floor, "P1", "line_volts", impossible, point="L1 to L2")
    with pytest.raises(Unknown, match="no reading of this stage"):
        read(floor, "P1", "line_amps", 1.0)
    with pytest.raises(Unusable):
        read(floor, "P1", "other", 1.0)
    assert read(floor, "P1", "other", 6.0, unit="kA", point="fault current").fact.unit == "kA"


def test_nothing_is_read_of_a_stage_that_is_not_going_on(floor):
    with pytest.raises(NotYet, match="not going on"):
        read(floor, "P1", "line_volts", 400.0, point="L1 to L2")
    with pytest.raises(NotYet):
        wake.abort(floor, *AT, "P1", AN, "smell", floor.kinds, by=AN)
    with pytest.raises(NotYet):
        wake.leave(floor, *AT, "P1", AN, floor.kinds, by=AN)
    with pytest.raises(NotYet):
        wake.found(floor, *AT, "P1", AN, "a fuse", floor.kinds, by=AN)


def test_a_reading_is_a_finding_too_and_closes_its_look_without_being_typed_twice(floor):
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P0-V"], but=("C31", "C32", "C35"))
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V")
    kept = {one.fact.measure: one.fact for one in floor.current(Finding) if one.fact.measure}
    assert {name: one.check for name, one in kept.items()} == {
        "M07": "C31", "M08": "C32", "M09": "C35",
    }  # fmt: skip
    assert {one.grade for one in kept.values()} == {4}  # a meter is named
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)


def test_a_dead_test_that_stands_in_the_records_is_not_typed_again(floor):
    begun(floor, *AT, floor.kinds, "P0")
    key = state(floor, "P0").begun.fact
    floor.add(
        Finding(lot=key.lot, machine=key.machine, check="C31", measure="M07", reading=80.0,
                grade=4, channel="apart", temperature_c=20.0, text="X motor"), by=AN,
    )  # fmt: skip
    band = next(one for one in state(floor, "P0").bands if one.name == "insulation_40C")
    (line,) = band.readings  # halved for every 10 K: IEEE Std 43-2013
    assert (line.reading, line.point, line.ruling) == (pytest.approx(20.0), "X motor", "in")


def test_of_dead_tests_in_the_records_those_since_it_was_put_right_count_at_each_point(floor):
    begun(floor, *AT, floor.kinds, "P0")
    key = state(floor, "P0").begun.fact
    where = {"lot": key.lot, "machine": key.machine}
    told = ((0.4, "X motor"), (None, ""), (60.0, "X motor"), (3.0, "spindle"), (70.0, "Z motor"))
    for megohm, point in told:
        if megohm is None:
            floor.add(Act(**where, sort="clean", fault="F14", way="clean"), by=AN)
        else:
            read_there = Finding(**where, check="C31", measure="M07", reading=megohm, grade=4,
                                 channel="apart", text=point)  # fmt: skip
            floor.add(read_there, by=AN)
    band = next(one for one in state(floor, "P0").bands if one.name == "insulation_40C")
    assert [(one.point, one.reading, one.ruling) for one in band.readings] == [
        ("X motor", 60.0, "in"), ("spindle", 3.0, "out"), ("Z motor", 70.0, "in"),
    ]  # fmt: skip


def test_a_good_motor_does_not_speak_for_a_bad_one(floor):
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P0-V"], but=("C31",))
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=("insulation_40C",))

    def kept() -> list[tuple[str, float | None]]:
        mine = (one.fact for one in floor.current(Finding) if one.fact.measure == "M07")
        return [(one.text, one.reading) for one in mine]

    read(floor, "P0", "insulation_40C", 90.0, point="X motor")
    read(floor, "P0", "insulation_40C", 3.0, point="spindle motor")
    read(floor, "P0", "insulation_40C", 71.0, point="Z motor")
    assert kept() == [("spindle motor", 3.0)]
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P0", AN, floor.kinds, text="it is only the spindle", by=AN)
    assert "C31" in [one.where for one in refused.value.problems]
    read(floor, "P0", "insulation_40C", 80.0, point="spindle motor")  # dried
    read(floor, "P0", "insulation_40C", 75.0, point="Y motor")
    assert kept() == [("Z motor; X motor; spindle motor; Y motor", 71.0)]
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)


def test_control_volts_are_told_as_their_distance_from_the_plate(floor):
    signed_up_to(floor, *AT, floor.kinds, "P1")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P2-V"])
    begun(floor, *AT, floor.kinds, "P2")
    read(floor, "P2", "control_dc", 23.4)
    (kept,) = (one.fact for one in floor.current(Finding) if one.fact.measure == "M24")
    assert kept.reading == pytest.approx(2.5)  # 0.6 of 24
    assert kept.check == "C75"


def test_a_bus_that_is_not_dead_yet_is_no_abort_and_no_signature(floor):
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P0-V"])
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V")
    read(floor, "P0", "bus_rest_volts", 80.0)
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P0", AN, floor.kinds, text="it will fall", by=AN)
    assert [one.where for one in refused.value.problems] == ["bus_rest_volts"]
    read(floor, "P0", "bus_rest_volts", 4.0)
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)


def test_small_motors_that_are_named_on_the_plate_each_have_their_own_band(floor):
    signed_up_to(floor, *AT, floor.kinds, "P3")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P4-V"])
    begun(floor, *AT, floor.kinds, "P4")
    bands = {one.points: one for one in state(floor, "P4").bands if one.name == "motor_amps"}
    assert {at: one.abort_high for at, one in bands.items()} == {
        ("coolant pump",): pytest.approx(3.52), ("conveyor",): pytest.approx(0.88),
    }  # fmt: skip
    read(floor, "P4", "motor_amps", 0.9, point="coolant pump")
    assert state(floor, "P4").state == "begun"
    read(floor, "P4", "motor_amps", 0.9, point="conveyor")
    assert state(floor, "P4").state == "aborted"


def test_a_bus_is_held_against_the_volts_that_were_read_or_against_its_own_stamp(floor):
    climb(floor, *AT, floor.kinds, "P1")
    band = next(one for one in state(floor, "P5").bands if one.name == "bus_volts")
    assert band.expected_low == pytest.approx(0.95 * 1.35 * 400)
    assert band.abort_high == pytest.approx(1.10 * 1.41 * 400)
    worth.keep_plate(floor, "school", "mill", "N27", "650 V", floor.kinds, by=AN)
    names = {one.name: one for one in state(floor, "P5").bands}
    assert "bus_volts" not in names
    assert names["bus_volts_held"].expected_high == pytest.approx(682.5)


# signing


def test_nothing_is_signed_before_every_band_is_read_and_by_nobody(floor):
    at_p1(floor)
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN)
    assert [one.where for one in refused.value.problems] == [
        "line_volts", "supply_unbalance", "frequency", "rotation", "fault_current_share",
        "taps_decided",
    ]  # fmt: skip
    read_all(floor, *AT, floor.kinds, "P1-V", but=("line_volts",))
    read(floor, "P1", "line_volts", 400.0, point="L1 to L2")
    with pytest.raises(NotYet, match="1 things are open") as refused:
        wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN)
    assert "L2 to L3, L3 to L1" in refused.value.problems[0].what
    for point in ("L2 to L3", "L3 to L1"):
        read(floor, "P1", "line_volts", 401.0, point=point)
    with pytest.raises(Unusable):
        wake.sign(floor, *AT, "P1", "", floor.kinds, licence="7", by=AN)
    wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN)
    with pytest.raises(NotYet, match="not going on"):
        wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1")
    assert "signed already" in refused.value.problems[0].what


def test_a_reading_outside_what_was_expected_is_signed_only_with_a_word_on_it(floor):
    at_p1(floor)
    read_all(floor, *AT, floor.kinds, "P1-V")
    read(floor, "P1", "supply_unbalance", 2.5)
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN)
    assert [one.where for one in refused.value.problems] == ["supply_unbalance"]
    wake.sign(floor, *AT, "P1", AN, floor.kinds, text="derated to 90 %", by=AN)


# aborts


def test_a_cause_comes_before_a_second_try_and_a_second_abort_means_strip(floor):
    at_p1(floor)
    wake.abort(floor, *AT, "P1", AN, "smell", floor.kinds, by=AN)
    with pytest.raises(Unusable):
        wake.found(floor, *AT, "P1", AN, "  ", floor.kinds, by=AN)
    wake.found(floor, *AT, "P1", AN, "a loose neutral", floor.kinds, by=AN)
    assert state(floor, "P1").state == "open"
    begun(floor, *AT, floor.kinds, "P1")
    with pytest.raises(Unusable) as refused:
        wake.abort(floor, *AT, "P1", AN, "", floor.kinds, by=AN)
    assert "why" in [one.where for one in refused.value.problems]
    wake.abort(floor, *AT, "P1", AN, "smell again", floor.kinds, by=AN)
    told = state(floor, "P1")
    assert (told.state, told.aborts) == ("strip", 2)
    wake.found(floor, *AT, "P1", AN, "the same neutral", floor.kinds, by=AN)
    with pytest.raises(NotYet) as stripped:
        begun(floor, *AT, floor.kinds, "P1")
    assert [one.where for one in stripped.value.problems] == ["strip"]
    here = {"lot": told.ended.fact.lot, "machine": told.ended.fact.machine}
    floor.add(Act(**here, sort="replace", fault="F86", bought="neutral bar"), by=AN)
    close(floor, *AT, floor.kinds, told.stage, again=("C35",))
    told = state(floor, "P1")
    assert (told.state, told.aborts) == ("open", 0)


def test_looking_repairs_nothing_and_taking_off_is_as_good_as_a_repair(floor):
    at_p1(floor)
    for turn in range(2):
        if turn:
            begun(floor, *AT, floor.kinds, "P1")
        ended = wake.abort(floor, *AT, "P1", AN, "smell", floor.kinds, by=AN)
        wake.found(floor, *AT, "P1", AN, "unknown yet", floor.kinds, by=AN)
    here = {"lot": ended.fact.lot, "machine": ended.fact.machine}
    floor.add(Act(**here, sort="observe", fault="F86"), by=AN)
    assert state(floor, "P1").state == "strip"
    one = strip.take_off(floor, "school", "mill", "outside", "wire", floor.kinds, by=AN,
                         from_end="N", to_end="bar")  # fmt: skip
    strip.put_back(floor, "school", "mill", one.id, by=AN)
    assert state(floor, "P1").state == "closed"  # proved dead again first
    signed_up_to(floor, *AT, floor.kinds, "P0")
    assert state(floor, "P1").state == "open"


# mistakes, and the same thing sent twice


def test_a_mistyped_reading_is_taken_back_with_its_finding_and_its_abort(floor):
    at_p1(floor)
    wrong = read(floor, "P1", "supply_unbalance", 15.0)
    assert state(floor, "P1").state == "aborted"
    wake.take_back(floor, wrong.id, reason="1.5", by=AN)
    assert state(floor, "P1").state == "begun"
    assert [one.fact.measure for one in floor.current(Finding)].count("M23") == 0
    read(floor, "P1", "supply_unbalance", 1.5)
    with pytest.raises(Unknown):
        wake.take_back(floor, wrong.id, by=AN)


def test_with_a_signature_taken_back_power_falls(floor):
    climb(floor, *AT, floor.kinds, "P2")
    signed = state(floor, "P2").ended
    assert [one.fact.stage for one in floor.current(Signed)] == ["power_up"]
    wake.take_back(floor, signed.id, by=AN)
    assert floor.current(Signed) == []
    assert state(floor, "P2").state == "begun"
    wake.sign(floor, *AT, "P2", AN, floor.kinds, by=AN)
    assert [one.fact.stage for one in floor.current(Signed)] == ["power_up"]


def test_with_a_start_taken_back_its_readings_go(floor):
    at_p1(floor)
    read(floor, "P1", "supply_unbalance", 0.5)
    wake.take_back(floor, state(floor, "P1").begun.id, by=AN)
    assert floor.current(StageReading) == []
    assert state(floor, "P1").state == "open"


def test_whatever_is_sent_twice_is_kept_once(floor):
    signed_up_to(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    deeds = [
        lambda: begun(floor, *AT, floor.kinds, "P1", id="b"),
        lambda: read(floor, "P1", "supply_unbalance", 6.0, id="r"),
        lambda: wake.found(floor, *AT, "P1", AN, "one line is off", floor.kinds, by=AN, id="f"),
    ]
    for deed in deeds:
        assert deed() == deed()
    assert len(floor.current(StageReading)) == 1
    assert [one.fact.how for one in floor.current(StageEnded)].count("aborted") == 1
    assert [one.fact.measure for one in floor.current(Finding)].count("M23") == 1
