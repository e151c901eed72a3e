"""Taper and test bar from form to remedy."""

from __future__ import annotations

import numpy as np
import pytest
from tests.cases.prove.spindle import cells_of, doubt, example, filled, proof_of, value

from retrue.base.refusals import Unusable

HEAD = "insertion_deg,z_mm,run_out_um,high_spot_deg\n"


def rows(spindle, bar, z=0, insertions=(0, 90, 180, 270)):
    told = ""
    for turn in insertions:
        vector = spindle + bar * np.exp(1j * np.radians(turn))
        told += f"{turn},{z},{2 * abs(vector):.6f},{np.degrees(np.angle(vector)):.6f}\n"
    return told


def test_the_example_gives_the_closed_form_and_names_the_trap():
    """Closed form, spindle (2, 1) and bar (3, -1.5) µm: 4.472, not the mean 7.547."""
    proof = example("taper", reading_uncertainty=1.0, limit=10.0)
    assert proof.quantities[0].key == "spindle_run_out_nose_um"
    assert value(proof, "spindle_run_out_nose_um") == pytest.approx(4.472, abs=2e-3)
    assert value(proof, "mean_of_run_outs_um") == pytest.approx(7.547, abs=2e-3)
    assert value(proof, "bar_run_out_nose_um") == pytest.approx(2 * abs(3 - 1.5j), abs=2e-3)
    assert value(proof, "parallel_offset_um") == pytest.approx(5**0.5, abs=2e-3)
    lean = abs((4.5 - 1j) - (2 + 1j)) / 0.3
    assert value(proof, "angular_error_um_per_m") == pytest.approx(lean, abs=0.02)
    assert doubt(proof, "spindle_run_out_nose_um") == pytest.approx(2 * 0.5 * 0.5**0.5)
    assert proof.verdict.ruling == "proved_good"
    assert any("is not the spindle's" in one for one in proof.finds)
    assert {one.measure for one in proof.measures} == {"M01", "M02", "M57"}
    assert proof.measures[0].value == pytest.approx(0.004472, abs=2e-6)


def test_readings_at_marks_give_the_same_as_run_outs():
    told = "insertion_deg,z_mm,angle_deg,reading_um\n"
    for turn in (0, 180):
        vector = (2 + 1j) + (3 - 1.5j) * np.exp(1j * np.radians(turn))
        for mark in (0, 90, 180, 270):
            size = (vector * np.exp(-1j * np.radians(mark))).real + 12
            told += f"{turn},0,{mark},{size:.6f}\n"
    assert value(proof_of("taper", told), "spindle_run_out_nose_um") == pytest.approx(4.472136)
    with pytest.raises(Unusable, match="not read through"):
        proof_of("taper", "insertion_deg,z_mm,angle_deg,reading_um\n0,0,0,1\n0,0,90,2\n")


def test_after_one_insertion_spindle_and_bar_are_not_told_apart():
    proof = proof_of("taper", HEAD + rows(2 + 1j, 3 - 1.5j, insertions=(0,)), limit=10.0)
    assert value(proof, "spindle_run_out_nose_um") is None
    assert proof.verdict is None
    assert not proof.measures
    assert "one way only" in proof.cannot_tell[0]
    assert "180" in proof.remedy[-1].text


def test_the_bar_goes_in_where_it_works_against_the_spindle():
    """Put in there, spindle and bar give what is promised; half a turn on, they do not."""
    proof = proof_of("taper", HEAD + rows(3 + 0j, 2 + 0j))
    assert "at 180°" in proof.remedy[1].text
    assert proof.then_read[0].value == pytest.approx(2.0, abs=1e-5)
    halves = proof_of("taper", HEAD + rows(3j, -2j, insertions=(0, 180)))
    assert "at 0°" in halves.remedy[1].text


def test_a_taper_that_is_proved_bad_is_blamed():
    bad = proof_of("taper", HEAD + rows(9, 1), reading_uncertainty=1.0, limit=10.0)
    good = proof_of("taper", HEAD + rows(1, 9), reading_uncertainty=1.0, limit=10.0)
    assert bad.blames
    assert not good.blames


def test_a_bar_that_seats_anew_each_time_widens_the_doubt():
    told = HEAD + rows(2, 3, insertions=(0, 90)) + rows(6, 3, insertions=(180, 270))
    assert doubt(proof_of("taper", told, reading_uncertainty=0.5), "bar_run_out_nose_um") > 4


def test_a_form_filled_in_part_is_no_mishap():
    typed = {"insertions": "2"}
    cells = cells_of("taper", typed)
    assert len(cells) == 8
    values = dict(zip(cells, ["10", "90", "12", "80", "4", "270", "6", "200"], strict=True))
    assert value(filled("taper", typed, values), "spindle_run_out_end_um") is not None
    for n in range(1, 8):
        part = dict(list(values.items())[:n])
        if n % 2:  # a high spot is still missing
            with pytest.raises(Unusable):
                filled("taper", typed, part)
        else:
            assert filled("taper", typed, part).quantities
    readings = cells_of("taper", {"insertions": "2", "read_as": "readings"})
    assert len(readings) == 16
    with pytest.raises(Unusable, match="not read through"):
        filled("taper", {"insertions": "2", "read_as": "readings"}, {readings[0]: "1"})


def test_a_run_out_below_nothing_is_refused():
    with pytest.raises(Unusable) as refused:
        proof_of("taper", HEAD + "0,0,-4,10\n")
    assert "row 2" in refused.value.problems[0].where


def test_very_many_insertions_make_no_endless_table():
    proof = proof_of("taper", HEAD + rows(2 + 1j, 3 - 1.5j) * 100)
    assert len(proof.tables[0].rows) == 4
    assert value(proof, "spindle_run_out_nose_um") == pytest.approx(4.472136)
