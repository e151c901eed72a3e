"""The picture of three places: its numbers, the brass only where something is entered."""

from __future__ import annotations

import re

import pytest
from tests.cases.prove.spindle import example, proof_of

from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.backlash import draw


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_it_names_what_is_lost_at_each_place(room):
    drawn = draw(example("backlash").drawing, theme=PAGE, room=room)
    label = re.search(r'aria-label="([^"]*)"', drawn)[1]
    assert "12.0" in label
    assert "low end 7.0" in label
    assert PAGE.blue in drawn
    assert PAGE.brass in drawn
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)', drawn)) >= 12


def test_where_nothing_is_entered_there_is_no_brass_and_paper_has_one_ink():
    told = "place,approach,reading_um\nlow,forward,0\nlow,backward,4\n"
    drawing = proof_of("backlash", told).drawing
    assert PAGE.brass not in draw(drawing, theme=PAGE, room="phone")
    assert "var(" not in draw(drawing, theme=PAPER, room="paper")
