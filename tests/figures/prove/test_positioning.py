from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from retrue.cases.prove.positioning import PositioningDrawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.positioning import draw

NONE = (math.nan,) * 3


def drawing(**changed):
    told = {
        "targets": (0.0, 250.0, 500.0), "unit": "mm", "forward": (0.0, 5.0, 14.0),
        "backward": (6.0, 10.5, 19.5), "forward_spread": (1.0, 1.2, 0.8),
        "backward_spread": (1.0, 0.7, 1.4), "after_forward": (0.0, 0.0, 0.0),
        "after_backward": (0.0, -0.5, -0.5), "entered": True, "accuracy": 23.6,
        "systematic": 19.5, "systematic_after": 0.5,
    }  # fmt: skip
    return PositioningDrawing(**(told | changed))


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_the_picture_says_its_main_number_and_names_both_directions(room):
    svg = draw(drawing(), theme=PAGE, room=room)
    root = ET.fromstring(svg)
    assert "accuracy 23.6 µm" in root.attrib["aria-label"]
    assert "0.5 µm" in root.attrib["aria-label"]
    told = [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]
    for words in ("forward", "backward", "two spreads", "after entering", "target, mm"):
        assert words in told
    assert PAGE.blue in svg
    assert PAGE.brass in svg
    assert "style=" not in svg


def test_on_paper_it_is_black():
    assert "var(" not in draw(drawing(), theme=PAPER, room="paper")


def test_what_was_not_measured_is_not_drawn():
    one = drawing(backward=NONE, backward_spread=NONE, after_backward=NONE, accuracy=None,
                  forward_spread=NONE, entered=False)  # fmt: skip
    svg = draw(one, theme=PAGE, room="phone")
    assert "backward" not in svg
    assert "two spreads" not in svg
    assert "the means range over 19.5 µm" in svg
