"""The picture of a rotation: its words, its rings, its lines."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree as ET

import pytest

from retrue.cases.prove.rotation import RotationDrawing
from retrue.figures.axes import WIDTHS
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.letters import width
from retrue.figures.prove.rotation import RADIUS, draw, ring_um

ANGLES = tuple(30.0 * n for n in range(12))
SPINDLE = (0.8, -0.433, -1.233, 0.0, 1.233, 0.433, -0.8, -0.433, 0.367, 0.0, -0.367, 0.433)
PARTED = RotationDrawing(
    angles=ANGLES,
    spindle=SPINDLE,
    part=SPINDLE[::-1],
    low=(),
    high=(),
    synchronous=2.466,
    asynchronous=None,
)
BANDED = RotationDrawing(
    angles=ANGLES,
    spindle=SPINDLE,
    part=(),
    low=tuple(v - 0.5 for v in SPINDLE),
    high=tuple(v + 0.5 for v in SPINDLE),
    synchronous=2.466,
    asynchronous=1.0,
)
every_room = pytest.mark.parametrize("room", ["phone", "wide", "paper"])


def letters(drawn: str) -> list[tuple[str, float, float, float, str]]:
    """Words with place, size and anchor."""
    root = ET.fromstring(drawn)
    return [
        (
            found.text or "",
            float(found.get("x")),
            float(found.get("y")),
            float(found.get("font-size")),
            found.get("text-anchor"),
        )
        for found in root.iter("{http://www.w3.org/2000/svg}text")
    ]


@every_room
@pytest.mark.parametrize("drawing", [PARTED, BANDED])
def test_words_are_large_enough_inside_and_do_not_touch(drawing: RotationDrawing, room):
    drawn = draw(drawing, theme=PAGE, room=room)
    high = float(ET.fromstring(drawn).get("height"))
    boxes = []
    for text, x, y, size, anchor in letters(drawn):
        assert size >= 12
        wide = width(text, size)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        assert left >= 1, text
        assert left + wide <= WIDTHS[room] - 1, text
        assert y + 0.25 * size <= high, text
        boxes.append((left, y - 0.8 * size, left + wide, y + 0.2 * size, text))
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]
            assert apart, (one[4], other[4])


@every_room
def test_it_says_its_number_and_its_magnification(room):
    drawn = draw(PARTED, theme=PAPER, room=room)
    told = " ".join(text for text, *_ in letters(drawn))
    assert "2.47 µm" in told
    assert "rings 1 µm apart" in told
    assert "2.47 µm" in ET.fromstring(drawn).get("aria-label")


def test_a_value_outside_the_circle_is_drawn_outside():
    """The first place lies to the right: +0.8 beyond the circle, and inside if it were -0.8."""

    def first(spindle: tuple[float, ...]) -> float:
        drawing = RotationDrawing(ANGLES, spindle, (), (), (), 2.466, None)
        drawn = draw(drawing, theme=PAGE, room="wide")
        lines = [shape for shape in re.findall(r'd="M([^"]+)Z"', drawn) if shape.count("L") == 11]
        return float(lines[0].split()[0]) - WIDTHS["wide"] / 2

    assert first(SPINDLE) > RADIUS["wide"]
    assert first(tuple(-v for v in SPINDLE)) < RADIUS["wide"]


def test_the_band_is_drawn_only_where_there_are_turns():
    assert PAPER.blue_tint in draw(BANDED, theme=PAPER, room="phone")
    assert PAPER.blue_tint not in draw(PARTED, theme=PAPER, room="phone")


@pytest.mark.parametrize(
    ("largest", "ring"), [(1.3, 1.0), (2.0, 2.0), (0.49, 0.2), (7, 5), (0.05, 0.05)]
)
def test_rings_are_round_numbers_below_the_largest(largest: float, ring: float):
    assert ring_um(largest) == pytest.approx(ring)


def test_of_very_many_places_the_peaks_stay_and_the_picture_stays_small():
    angles = tuple(360 * n / 10_000 for n in range(10_000))
    peak = tuple(1.0 if n == 3_333 else 0.01 for n in range(10_000))
    drawing = RotationDrawing(angles, peak, (), (), (), 0.99, None)
    drawn = draw(drawing, theme=PAGE, room="wide")
    assert len(drawn) < 30_000
    lines = [shape for shape in re.findall(r'd="M([^"]+)Z"', drawn) if shape.count("L") > 100]
    spots = [tuple(float(part) for part in spot.split()) for spot in lines[0].split("L")]
    assert len(spots) == 720
    middle = (WIDTHS["wide"] / 2, sum(y for _, y in spots) / 720)
    away = [math.dist(spot, middle) for spot in spots]
    assert max(away) > 1.3 * RADIUS["wide"]
    assert away.index(max(away)) == 240  # a third of a turn


def test_a_perfect_spindle_is_a_circle():
    flat = RotationDrawing(ANGLES, (0.0,) * 12, (), (), (), 0.0, None)
    assert "0.00 µm" in draw(flat, theme=PAGE, room="phone")
