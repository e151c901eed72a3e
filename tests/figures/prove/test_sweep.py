"""The picture of a sweep: its number, its signs, its magnification; words that fit."""

from __future__ import annotations

import re

import pytest
from tests.cases.prove.spindle import example, proof_of

from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.sweep import draw


def picture(room="phone", theme=PAGE, content=None):
    typed = {"radius_mm": "100"}
    proof = proof_of("sweep", content, typed) if content else example("sweep", typed)
    return draw(proof.drawing, theme=theme, room=room)


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_it_names_its_main_number_and_its_magnification(room):
    drawn = picture(room)
    assert re.search(r'aria-label="14\.2.µm on a 300 mm circle', drawn)
    assert "times too" in re.sub(r"<[^>]+>", " ", drawn)
    assert "NaN" not in drawn
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', drawn)) >= 12


def test_a_higher_table_stands_outward_and_a_lower_one_inward():
    dots = re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="4"', picture())
    right, back, left, front = [(float(x) - 170, 150 - float(y)) for x, y in dots]
    assert right[0] > 82 > -left[0] > 0
    assert -front[1] > 82 > back[1] > 0


def test_paper_has_one_ink_and_a_flat_sweep_can_be_drawn():
    assert "var(" not in picture(theme=PAPER)
    assert "NaN" not in picture(content="angle_deg,reading_um\n0,1\n90,1\n180,1\n270,1\n")
