"""The picture of a sale: the falling line, every offer as a point, the same numbers in words."""

from __future__ import annotations

from datetime import date, timedelta
from xml.etree import ElementTree as ET

import pytest

from retrue.cases.settle.sale_drawing import OfferPoint, OffersDrawing
from retrue.figures.axes import Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE

FIRST = date(2026, 11, 26)
DRAWING = OffersDrawing(
    days=tuple(FIRST + timedelta(weeks=week) for week in range(10)),
    take=tuple(5000.0 - 250.0 * week for week in range(10)),
    unsold=tuple(1.0 - 0.06 * week for week in range(10)),
    ask=5900.0,
    dump=2700.0,
    offers=(
        OfferPoint(on=FIRST, amount=3300.0, whom="a school"),
        OfferPoint(on=FIRST + timedelta(days=20), amount=4700.0, whom="a shop in Aalst"),
    ),
    currency="EUR",
)


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_it_is_one_picture_that_says_its_numbers(room: Room) -> None:
    drawn = ET.fromstring(picture(DRAWING, theme=PAGE, room=room))
    told = drawn.attrib["aria-label"]
    assert "a shop in Aalst" in told
    assert "still there" in told
    words = "".join(drawn.itertext())
    assert all(one in words for one in ("take", "ask", "let it go"))


def test_the_table_has_start_middle_end_and_every_offer() -> None:
    told = rows(DRAWING)
    assert len(told) == 1 + 3 + 1 + 2
    assert told[1][0] == "take on 2026-11-26"
    assert "2\u202f750" in told[3][1]
