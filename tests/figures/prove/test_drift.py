"""The picture of a drift says its number and keeps to its room."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from retrue.cases.prove.drift import DriftDrawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.drift import draw


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
@pytest.mark.parametrize("rest", [None, 40.0])
def test_a_picture_is_named_by_its_number(room, rest):
    curves = (
        ("Z", (0.0, 60.0, 90.0), (0.0, 9.0, 10.0), (0.0, 8.0, 10.0)),
        ("X", (0.0,), (1.0,), ()),
    )
    drawing = DriftDrawing(curves, (0.0, 50.0, 90.0), rest, 9.0)
    made = draw(drawing, theme=PAPER if room == "paper" else PAGE, room=room)
    assert "9.0" in ET.fromstring(made).attrib["aria-label"]
    assert ("after 40" in made) is (rest is not None)
