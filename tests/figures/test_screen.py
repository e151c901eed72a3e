"""The picture of a catalogue: each lot a point with its number, the same numbers in words."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from tests.cases.screen.screened import row

from retrue.cases.screen.drawing import screen_drawing
from retrue.figures.axes import Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE

# four lots that stand almost on one another, and one apart
DRAWING = screen_drawing(
    [
        row("101", gain=3000.0, at_risk=9000.0),
        row("102", gain=3010.0, at_risk=9050.0),
        row("103", gain=2990.0, at_risk=8950.0),
        row("104", gain=3005.0, at_risk=9020.0),
        row("5", gain=500.0, at_risk=20000.0),
    ],
    "EUR",
)


@pytest.mark.parametrize("room", ["phone", "wide"])
def test_it_is_one_picture_that_names_every_lot(room: Room) -> None:
    drawn = ET.fromstring(picture(DRAWING, theme=PAGE, room=room))
    words = "".join(drawn.itertext())
    assert all(f"lot {number}" in words for number in ("101", "102", "103", "104", "5"))
    assert "lot 5: €\u202f500 for €\u202f20\u202f000 at risk" in drawn.attrib["aria-label"]
    places = [
        (one.attrib.get("x", "") + one.attrib.get("y", "") + one.attrib.get("transform", ""))
        for one in drawn.iter("{http://www.w3.org/2000/svg}text")
        if (one.text or "").startswith("lot ")
    ]
    assert len(set(places)) == len(places) == 5  # no name stands upon another


def test_its_table_has_every_lot_best_first() -> None:
    assert [name for name, _ in rows(DRAWING)] == [
        "lot 101",
        "lot 102",
        "lot 103",
        "lot 104",
        "lot 5",
    ]
