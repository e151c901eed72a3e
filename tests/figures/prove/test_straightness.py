from __future__ import annotations

import pytest

from retrue.cases.prove.straightness import Drawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.straightness import draw

HEIGHTS = (-2.125, -0.5, 2.125, 0.75, -2.125, -1.0, 2.125, 1.25, -1.125)


def drawing(**changed: object) -> Drawing:
    plain = {
        "positions_mm": tuple(250.0 * place for place in range(9)),
        "deviations_um": HEIGHTS,
        "reference": "minimum-zone",
        "error_um": 4.25,
    }
    return Drawing(**{**plain, **changed})


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_the_picture_says_its_zone_its_line_and_its_magnification(room):
    drawn = draw(drawing(window_mm=(250.0, 750.0)), theme=PAGE, room=room)
    for words in ("zone 4.25 µm wide", "worst stretch", "heights drawn ×"):
        assert words in drawn
    assert "minimum-zone line over 2" in drawn
    assert "style=" not in drawn


def test_a_flatter_line_is_drawn_larger():
    flat_line = drawing(deviations_um=tuple(one / 100 for one in HEIGHTS), error_um=0.0425)
    assert draw(flat_line, theme=PAPER, room="wide") != draw(drawing(), theme=PAPER, room="wide")


def test_a_perfectly_straight_line_and_a_long_one_are_drawn():
    straight = drawing(deviations_um=(0.0,) * 9, error_um=0.0)
    assert draw(straight, theme=PAPER, room="phone").startswith("<svg")
    many = drawing(
        positions_mm=tuple(float(i) for i in range(500)),
        deviations_um=tuple(float(i % 7) for i in range(500)),
    )
    assert draw(many, theme=PAPER, room="phone").startswith("<svg")
