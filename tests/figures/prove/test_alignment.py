"""The picture of an alignment says its number and keeps to its room."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from retrue.cases.prove.alignment_bar import AlignmentDrawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.alignment import draw

BAR = AlignmentDrawing(
    method="headstock", series=(("side", (0.0, 300.0), (0.0, 9.0), 0.0, 30.0),), largest=9.0
)
BORE = AlignmentDrawing(method="turret", side=-6.0, height=8.0, doubt=2.0, largest=10.0)


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
@pytest.mark.parametrize("drawing", [BAR, BORE])
def test_a_picture_is_named_by_its_number_and_has_no_style_of_its_own(drawing, room):
    made = draw(drawing, theme=PAPER if room == "paper" else PAGE, room=room)
    root = ET.fromstring(made)
    assert f"{drawing.largest:.1f}" in root.attrib["aria-label"]
    assert float(root.attrib["width"]) == {"phone": 340, "wide": 680, "paper": 520}[room]
    assert "style" not in made
    assert ("var(" in made) is (room != "paper")


def test_the_arrow_points_to_where_the_bore_lies():
    left = draw(BORE, theme=PAPER, room="phone")
    right = draw(
        AlignmentDrawing(method="turret", side=6.0, height=8.0, doubt=2.0, largest=10.0),
        theme=PAPER,
        room="phone",
    )
    assert left != right
