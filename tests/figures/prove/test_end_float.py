"""The picture of an end float says its number and keeps to its room."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from retrue.cases.prove.end_float import EndFloatDrawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.end_float import draw

DRAWING = EndFloatDrawing(pushed=(6.0, 7.0), pulled=(0.0,), float_um=6.5, doubt=1.0)


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_a_picture_is_named_by_its_number(room):
    made = draw(DRAWING, theme=PAPER if room == "paper" else PAGE, room=room)
    assert "6.5" in ET.fromstring(made).attrib["aria-label"]
    assert "pushed" in made
    assert "style" not in made
