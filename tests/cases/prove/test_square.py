"""Square: from the readings to the way to swing, checked by swinging the model."""

from __future__ import annotations

import contextlib
from pathlib import Path

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import read_table

HOME = Path(__file__).resolve().parents[3]
CHECKED = Conditions(reading_uncertainty=1.0)
METHODS = ("reversal", "lines", "diameters", "straightedge")


def proof_of(text, conditions=CHECKED, **typed):
    one = deed("square")
    content = text if isinstance(text, bytes) else text.encode()
    return one.prove(read_table(content, "readings.csv"), options_of(one, typed), conditions)


def value(proof, key):
    return next(q.value for q in proof.quantities if q.key == key)


def test_the_example_gives_what_stands_in_it():
    content = (HOME / "examples/prove/square.csv").read_bytes()
    proof = proof_of(content)
    assert value(proof, "squareness_um_per_m") == pytest.approx(40.0)
    assert value(proof, "square_error_um_per_m") == pytest.approx(10.0)
    assert value(proof, "squareness_arcsec") == pytest.approx(8.25, abs=0.005)
    same = proof_of(content, turned_from="same_side")
    assert value(same, "squareness_um_per_m") == pytest.approx(10.0)


@pytest.mark.parametrize("angle", [40.0, -40.0])
def test_after_the_swing_the_gauge_reads_what_was_said(angle):
    """The same model, the machine swung: the second set-up of a leaning square reads its lean."""
    places, square = np.linspace(0, 300, 6), 10.0

    def text(machine):
        rows = ["setup,position_mm,reading_um"]
        rows += [f"first,{x:g},{(machine + square) * x / 1000:.6f}" for x in places]
        rows += [f"turned,{x:g},{-(machine - square) * x / 1000:.6f}" for x in places]
        return "\n".join(rows)

    proof = proof_of(text(angle))
    (remedy,) = proof.remedy
    assert ("towards +X" in remedy.text) is (angle > 0)
    after = proof_of(text(0.0))
    assert value(after, "squareness_um_per_m") == pytest.approx(0.0, abs=1e-6)
    assert after.remedy == ()
    assert proof.then_read[0].value == pytest.approx(square * 0.3)


def test_the_measure_of_the_belief_is_a_size_in_millimetres():
    proof = proof_of("diagonal_deg,diameter_um\n45,6\n135,-6\n", method="diameters")
    (one,) = proof.measures
    assert (one.measure, one.value) == ("M49", pytest.approx(0.020))


def test_one_half_alone_proves_nothing():
    with pytest.raises(Unusable) as refused:
        proof_of("setup,position_mm,reading_um\nfirst,0,0\nfirst,100,2\n")
    assert "turned" in refused.value.problems[0].what


def test_a_diameter_at_another_angle_is_named():
    with pytest.raises(Unusable) as refused:
        proof_of("diagonal_deg,diameter_um\n45,6\n120,-6\n", method="diameters")
    assert "row 3" in refused.value.problems[0].where


def test_a_straightedge_read_elsewhere_is_refused():
    rows = "setup,position_mm,reading_um\nfirst,0,0\nfirst,100,1\nfirst,200,0\n"
    with pytest.raises(Unusable, match="same positions"):
        proof_of(rows + "turned,0,0\nturned,90,1\nturned,200,0\n", method="straightedge")


@pytest.mark.parametrize("method", METHODS)
def test_a_form_filled_one_by_one_is_refused_softly_until_it_is_enough(method):
    one = deed("square")
    options = options_of(one, {"method": method})
    cells = one.cells(options)
    values = {cell.id: str(index % 4) for index, cell in enumerate(cells)}
    for count in range(1, len(cells)):
        some = {cell.id: values[cell.id] for cell in cells[:count]}
        with contextlib.suppress(Unusable):  # and nothing else may come out of it
            one.prove(table_from(one, cells, some), options, Conditions())
    assert one.prove(table_from(one, cells, values), options, CHECKED).headline
