"""The picture of run-out vectors: its number, its scale, its directions."""

from __future__ import annotations

import re

import pytest
from tests.cases.prove.spindle import example, proof_of

from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.taper import draw

HEAD = "insertion_deg,z_mm,run_out_um,high_spot_deg\n"


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_it_names_its_main_number_and_its_scale(room):
    drawn = draw(example("taper").drawing, theme=PAGE, room=room)
    assert re.search(r'aria-label="The spindle itself runs out 4\.5.µm', drawn)
    assert "is drawn as" in drawn
    assert drawn.count('r="4"') == 8
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', drawn)) >= 12


def test_a_high_spot_at_ninety_degrees_points_up_and_at_nought_to_the_right():
    proof = proof_of("taper", HEAD + "0,0,4,0\n0,0,4,90\n")
    drawn = draw(proof.drawing, theme=PAPER, room="phone")
    (right, level), (middle, up) = [
        (float(x), float(y)) for x, y in re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="4"', drawn)
    ]
    assert right > middle
    assert up < level
    assert "var(" not in drawn
    assert "insertion cannot part" in drawn
