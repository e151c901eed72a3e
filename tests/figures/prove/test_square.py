"""The picture of a squareness leans the way the axis does and says by how much."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from retrue.cases.prove.square_read import SquareDrawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.square import draw


def drawing(um_per_m):
    return SquareDrawing(method="reversal", axes="XY", um_per_m=um_per_m, doubt=3.0)


def tip(made):
    """Where the drawn second axis ends, against where it starts."""
    start, end = re.findall(r"M([\d.]+) [\d.]+L([\d.]+) [\d.]+", made)[2]
    return float(end) - float(start)


def test_over_ninety_degrees_leans_to_minus():
    assert tip(draw(drawing(40.0), theme=PAPER, room="phone")) < 0
    assert tip(draw(drawing(-40.0), theme=PAPER, room="phone")) > 0
    assert tip(draw(drawing(0.0), theme=PAPER, room="phone")) == 0


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_a_picture_is_named_by_its_number(room):
    made = draw(drawing(40.0), theme=PAPER if room == "paper" else PAGE, room=room)
    assert "40" in ET.fromstring(made).attrib["aria-label"]
    traces = SquareDrawing(
        method="straightedge", axes="XY", largest=3.0,
        traces=(("motion", (0, 1, 2), (0, 1, 0)), ("edge", (0, 1, 2), (0, -1, 0))),
    )  # fmt: skip
    assert "3.0" in ET.fromstring(draw(traces, theme=PAPER, room=room)).attrib["aria-label"]
