"""A sweep from reading to shim: sides, signs, and what is then read."""

from __future__ import annotations

import numpy as np
import pytest
from tests.cases.prove.spindle import cells_of, doubt, example, filled, proof_of, value

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import options_of
from retrue.cases.prove.sweep import DEED

LENGTHS = {
    "radius_mm": "100", "joint_mm": "450", "swivel_mm": "250", "cutter_mm": "80", "width_mm": "60",
}  # fmt: skip
HEAD = "angle_deg,reading_um\n"


def swept(*readings: float, typed=None, **conditions):
    rows = "".join(f"{90 * i},{one}\n" for i, one in enumerate(readings))
    return proof_of("sweep", HEAD + rows, LENGTHS if typed is None else typed, **conditions)


def test_the_example_gives_the_numbers_worked_out_by_hand():
    """By definition: 40 and -25 µm/m on 100 mm; 25 over 450 mm is 11.25, 40 over 250 is 10."""
    proof = example("sweep", LENGTHS, reading_uncertainty=1.0, limit=20.0)
    assert proof.quantities[0].key == DEED.judged[0] == "sweep_300_um"
    assert value(proof, "sweep_300_um") == pytest.approx(14.151, abs=5e-4)
    assert value(proof, "shim_um") == pytest.approx(11.25)
    assert value(proof, "swivel_um") == pytest.approx(10.0)
    assert value(proof, "dish_um") == pytest.approx(0.542, abs=5e-4)
    assert doubt(proof, "tilt_um_per_m") == pytest.approx(1.0 / (0.1 * 2**0.5))
    assert proof.verdict.ruling == "proved_good"
    assert proof.measures[0].measure == "M25"
    assert proof.measures[0].value == pytest.approx(0.014151, abs=5e-7)


@pytest.mark.parametrize(("nod", "side"), [(5.0, "at the top"), (-5.0, "at the bottom")])
def test_the_shim_goes_where_the_spindle_leans_away_from(nod, side):
    """More at the back: the top leans back, the column is behind, so the top is pushed away."""
    assert side in swept(0, nod, 0, -nod).remedy[0].text


@pytest.mark.parametrize(("tilt", "way"), [(5.0, "to the left"), (-5.0, "to the right")])
def test_the_head_turns_against_its_tilt(tilt, way):
    assert way in swept(tilt, 0, -tilt, 0).remedy[0].text
    assert swept(0, 0, 0, 0).remedy == ()


@pytest.mark.parametrize("readings", [(9.0, -6.0, -9.0, 6.0), (-3.1, 7.7, 3.1, -7.7)])
def test_after_the_moves_the_sweep_reads_as_promised(readings):
    proof = swept(*readings)
    shim = round(value(proof, "shim_um") / 5) * 5 * np.sign(readings[1])
    swivel = round(value(proof, "swivel_um") / 5) * 5 * np.sign(readings[0])
    left = (readings[0] * 2 - swivel / 250 * 200, readings[1] * 2 - shim / 450 * 200)
    assert [one.value for one in proof.then_read] == pytest.approx(left)


def test_the_lean_of_the_table_is_taken_off():
    proof = swept(4, -2.5, -4, 2.5, typed={**LENGTHS, "table_x_um_per_m": "+10", "foil_um": "0"})
    assert value(proof, "tilt_um_per_m") == pytest.approx(30.0)
    assert proof.then_read[0].value == pytest.approx(2.0)  # the table still rises
    assert len(proof.cannot_tell) == 2
    both = {**LENGTHS, "table_x_um_per_m": "+10", "table_y_um_per_m": "-5"}
    assert value(swept(4, -2.5, -4, 2.5, typed=both), "nod_um_per_m") == pytest.approx(-20.0)
    assert len(swept(4, -2.5, -4, 2.5, typed=both).cannot_tell) == 1


def test_nobody_said_how_far_a_reading_may_be_off():
    proof = swept(4, -2.5, -4, 2.5, limit=20.0)
    assert doubt(proof, "sweep_300_um") is None
    assert proof.verdict.ruling == "not_proved"


def test_without_lengths_the_shim_is_told_for_each_hundred_millimetres():
    proof = swept(4, -2.5, -4, 2.5, typed={"radius_mm": "100"})
    assert value(proof, "shim_um") is None
    assert "2.5" in proof.remedy[0].text
    assert all(one.why for one in proof.quantities if one.value is None)


def test_a_first_place_that_reads_otherwise_is_told():
    assert swept(4, -2.5, -4, 2.5, 4.5).warnings == ()
    assert "something moved" in " ".join(swept(4, -2.5, -4, 2.5, 12).warnings)
    assert "not flat" in " ".join(swept(9, 0, 9, 0).warnings)


def test_very_many_readings_make_no_endless_table():
    rows = "".join(f"{turn % 360},{turn % 7}\n" for turn in range(5000))
    proof = proof_of("sweep", HEAD + rows, LENGTHS)
    assert len(proof.tables[0].rows) == len(proof.drawing.angles) == 72


def test_a_form_filled_in_part_says_what_is_missing():
    with pytest.raises(Unusable, match="three places"):
        filled("sweep", {"radius_mm": "100"}, {"at_0": "4", "at_90": "-2"})
    cells = cells_of("sweep", {"radius_mm": "100", "points": "8"})
    assert len(cells) == 9
    proof = filled("sweep", {"radius_mm": "100", "points": "8"}, dict.fromkeys(cells, "+3"))
    assert value(proof, "sweep_300_um") == pytest.approx(0, abs=1e-9)


def test_bad_fields_and_places_are_refused():
    with pytest.raises(Unusable):
        options_of(DEED, {})
    with pytest.raises(Unusable, match="plane"):
        swept(1, 2, 3, 4, typed={"radius_mm": "0"})
    with pytest.raises(Unusable, match="wider"):
        swept(1, 2, 3, 4, typed={**LENGTHS, "width_mm": "90"})
    with pytest.raises(Unusable):
        proof_of("sweep", HEAD + "0,4\n90,\n180,inf\n", LENGTHS)
