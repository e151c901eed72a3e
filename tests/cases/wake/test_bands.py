"""Bands from the plate: each end by itself, so that one wrong sign or share shows."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.cases.wake.bands import Known, bands_of, motors_of, stamped_number, steps_of
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.lines import BandLine, Expected
from retrue.cases.wake.progress import changes_of, progress_of
from retrue.cases.wake.written import limits_words, read_written, ruling, written
from retrue.records.stripping import Taken

KINDS = load()
MILL, LATHE = KINDS["vertical_machining_centre"], KINDS["turning_centre"]
PLATE = {
    "N04": "400 V", "N06": "50 Hz", "N13": "110", "N14": "24 V", "N16": "30 A", "N36": "20 bar",
    "N37": "40 bar", "N39": "6 bar", "N46": "2 A",
}  # fmt: skip
# expected low and high, abort low and high. Supply: IEC 60204-1:2016, 4.3.2, 10 % (from memory);
# IEC 60204-1:2016, 18.3 and IEEE Std 43-2013, 1 and 5 megohm (from memory); bus: peak and mean of
# a rectified supply; everything else common practice, no source.
ENDS = {
    ("P0-V", "earth"): (None, 0.1, None, 0.1),
    ("P0-V", "insulation_40C"): (5, None, 1, None),
    ("P0-V", "winding_unbalance"): (None, 3, None, 10),
    ("P0-V", "bus_rest_volts"): (None, 50, None, None),
    ("P1-V", "line_volts"): (380, 420, 360, 440),
    ("P1-V", "supply_unbalance"): (None, 1, None, 5),
    ("P1-V", "frequency"): (49.5, 50.5, 49, 51),
    ("P2-V", "secondary_volts"): (104.5, 115.5, 99, 121),
    ("P2-V", "control_dc"): (22.8, 25.2, 21.6, 26.4),
    ("P2-V", "control_ripple"): (None, 5, None, 10),
    ("P2-V", "control_amps"): (None, 2, None, 3),
    ("P3-V", "cell"): (93, None, 80, None),
    ("P4-V", "motor_amps"): (None, 2, None, 2.2),
    ("P4-V", "air_bar"): (6, 6.9, 5.4, 7.8),
    ("P4-V", "lube_bar"): (18, 22, 16, 25),
    ("P5-V", "bus_volts"): (0.95 * 1.35 * 402, 1.05 * 1.41 * 402, None, 1.1 * 1.41 * 402),
    ("P5-V", "case_rise"): (None, 5, None, 5),
    ("P6-V", "axis_load"): (None, 30, None, 40),
    ("P7-V", "drop"): (None, 0.05, None, 0.05),
    ("P7-V", "current_up_down"): (None, 20, None, 35),
    ("P8-V", "nose"): (None, 55, None, 60),
    ("P8-V", "nose_rate"): (None, 0.5, None, 1),
    ("P8-V", "spindle_amps"): (1.5, 7.5, None, 10.5),
    ("P8-V", "nose_rise_step4"): (None, 15, None, 18),
    ("P9-V", "pull"): (85, None, 70, None),
    ("P10-V", "nose_rise"): (None, 20, None, 25),
    ("P10-V", "cabinet_rise"): (None, 10, None, 15),
    ("P10-V", "attended_hours"): (34, None, None, None),
    ("P10-V", "axes_run_in_step2"): (120, None, None, None),
    ("P4-L", "hydraulic_bar"): (38, 42, 36, 44),
    ("P4-L", "held_loss_5min"): (None, 5, None, 10),
    ("P4-L", "grip"): (85, None, 75, None),
    ("P8-L", "hydraulic_bar"): (38, 42, 36, 44),
}


def band(stage: str, name: str, known: Known) -> BandLine:
    kind = MILL if stage.endswith("V") else LATHE
    return next(one for one in bands_of(kind, kind.stages[stage], known) if one.name == name)


@pytest.mark.parametrize(("stage", "name"), ENDS)
def test_each_end_of_a_band_is_its_share_of_the_plate(stage: str, name: str):
    told = band(stage, name, Known(plate=PLATE, read={"line_volts": 402.0}))
    found = (told.expected_low, told.expected_high, told.abort_low, told.abort_high)
    assert [None if one is None else pytest.approx(one) for one in ENDS[stage, name]] == list(found)
    assert told.lacks == ""
    assert told.mark


def test_every_band_of_a_plate_that_nobody_typed_says_what_it_lacks():
    for kind in KINDS.values():
        for stage in kind.stages.values():
            for told in bands_of(kind, stage, Known()):
                ends = (told.expected_low, told.expected_high, told.abort_low, told.abort_high)
                assert bool(told.lacks) == (set(ends) == {None}), (stage.id, told.name)
                assert not told.lacks or told.lacks in kind.plate or told.lacks == "line_volts"


def test_one_phase_is_read_once_and_a_stamped_bus_takes_the_place_of_the_reckoned_one():
    assert len(band("P1-V", "line_volts", Known(plate=PLATE)).points) == 3
    assert len(band("P1-V", "line_volts", Known(plate={**PLATE, "N05": "1"})).points) == 1
    stamped = Known(plate={**PLATE, "N27": "650 V"}, read={"line_volts": 400.0})
    names = [one.name for one in bands_of(MILL, MILL.stages["P5-V"], stamped)]
    assert names == ["bus_volts_held", "bus_ripple", "case_rise"]
    assert band("P5-V", "bus_volts_held", stamped).abort_high == pytest.approx(715.0)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("400", "V", 400.0), ("0,4 kV", "V", 400.0), ("3x400", "V", None), ("-5 V", "V", None),
     ("6000 1/min", "1/min", 6000.0), ("6000 rpm", "1/min", 6000.0), ("", "V", None),
     ("58 psi", "bar", pytest.approx(3.999, abs=1e-3)), ("400 bar", "V", None)],
)  # fmt: skip
def test_a_plate_is_read_as_it_is_stamped(text, unit, value):
    assert stamped_number(text, unit) == value


@pytest.mark.parametrize(
    ("text", "motors"),
    [("3.2 A", {"": 3.2}), ("coolant 3.2; fan 0,4 A", {"coolant": 3.2, "fan": 0.4}),
     ("M2 pump: 3.2 A\nfan = 500 mA", {"M2 pump": 3.2, "fan": 0.5}), ("see the list", {}),
     ("coolant 3.2; fan", {})],
)  # fmt: skip
def test_small_motors_are_read_by_name(text, motors):
    assert motors_of(text) == motors


def test_a_typed_band_is_tighter_and_keeps_the_tables_own_abort_limits():
    known = Known(plate=PLATE)
    for high, expected in ((6.0, 6.0), (12.0, 7.5), (500.0, 7.5)):
        own = Expected(name="spindle_amps", low=2.0, high=high, why="the drive")
        told = next(one for one in bands_of(MILL, MILL.stages["P8-V"], known, typed=(own,))
                    if one.name == "spindle_amps")  # fmt: skip
        assert (told.expected_low, told.expected_high, told.abort_high) == (2.0, expected, 10.5)
        assert told.typed == "the drive"
    hard = Expected(name="line_volts", low=1.0, high=2.0, why="x")
    assert bands_of(MILL, MILL.stages["P1-V"], known, typed=(hard,)) == bands_of(
        MILL, MILL.stages["P1-V"], known
    )


def test_what_was_written_is_read_back_as_it_stood():
    known = Known(plate={**PLATE, "N21": "8000"})
    bands = bands_of(MILL, MILL.stages["P8-V"], known)
    text = written(bands, choice="jaws_off", steps=steps_of(MILL, MILL.stages["P8-V"]), known=known)
    back = read_written(text)
    assert (back.bands, back.choice) == (bands, "jaws_off")
    assert [one["speed_rpm"] for one in back.steps][:3] == [400.0, 800.0, 1600.0]
    assert read_written("").bands == ()


def test_a_reading_at_the_very_end_is_inside():
    line = BandLine(name="v", words="", unit="V", expected_low=2, expected_high=3, abort_low=1,
                    abort_high=4)  # fmt: skip
    told = {at: ruling(line, at) for at in (0.99, 1, 1.99, 2, 3, 3.01, 4, 4.01)}
    assert list(told.values()) == ["abort", "out", "out", "in", "in", "out", "out", "abort"]
    assert limits_words(line) == "2 to 3 V; it ends under 1 or over 4 V"
    assert ruling(BandLine(name="v", words="", unit="V"), 1e9) == "kept"


@pytest.mark.parametrize("sort", ["wire", "connector", "hose", "bag", "part"])
def test_what_came_off_opens_every_stage_but_live_work_only_for_wiring(sort):
    one = Taken(lot="l", machine="m", place="p", sort=sort, code="AB12CD34")
    for stage in MILL.stages.values():
        ((seq, change),) = changes_of(stage, [(7, one)], ())
        live_stands = stage.live and sort not in ("wire", "connector")
        assert (seq, change) == (7, "repaired" if live_stands else "off")


def test_a_stage_that_nobody_began_is_neither_signed_nor_aborted():
    told = progress_of(MILL.stages["P8-V"], steps_of(MILL, MILL.stages["P8-V"]), (), ())
    assert (told.signed, told.begun, told.aborts, told.step) == (False, None, 0, 1)


def test_every_fault_of_a_stage_has_a_look_that_clears_it_and_can_be_made_before():
    """A look that needs power is made at an earlier stage that has some."""
    live_from = {"power_up": 1, "visit_live": 1, "running": 8}
    for kind in KINDS.values():
        for stage in kind.stages.values():
            number = int(stage.stage[1:])
            before = [int(one.stage[1:]) for one in kind.stages.values()]
            for fault in stage.faults:
                assert clearing_looks(kind, fault), (stage.id, fault)
            looks = {clearing_looks(kind, fault)[0] for fault in stage.faults} | set(stage.checks)
            for look in looks:
                first = min(live_from.get(where, 0) for where in kind.checks[look].stages)
                assert number == 0 or any(first <= one < number for one in before), (stage.id, look)


def test_a_grinder_is_not_asked_for_a_stop_that_only_its_own_first_bump_can_try():
    stages = KINDS["surface_grinder"].stages
    assert "C62" not in stages["P4-G"].checks
    assert "C62" in stages["P8-G"].checks
    assert any("stop button" in one for one in stages["P4-G"].needs)
