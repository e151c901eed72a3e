"""The picture of a circular test: nothing overlaps, nothing is cut off, its numbers are true."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from tests.figures.drawings import cut_off, touching, written

from retrue.cases.prove.circle_drawing import CircleDrawing, Trace
from retrue.cases.prove.deed import deed, options_of
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import read_table
from retrue.figures.axes import Room
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.circle import SMALL, STEP, draw, thinned

ROOMS: tuple[Room, ...] = ("phone", "wide", "paper")
EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "prove" / "circle.csv"


@pytest.fixture(scope="module")
def drawing() -> CircleDrawing:
    test = deed("circle")
    table = read_table(EXAMPLE.read_bytes(), EXAMPLE.name)
    made = test.prove(table, options_of(test, {}), Conditions()).drawing
    assert isinstance(made, CircleDrawing)
    return made


@pytest.mark.parametrize("room", ROOMS)
def test_words_stand_clear_of_each_other_and_inside(drawing, room):
    svg = draw(drawing, theme=PAPER if room == "paper" else PAGE, room=room)
    assert touching(svg) == []
    assert cut_off(svg) == []
    assert all(float(size) >= 12 for size in re.findall(r'font-size="([\d.]+)"', svg))


@pytest.mark.parametrize("room", ROOMS)
def test_the_main_number_each_cause_and_the_magnification_stand_in_the_drawing(drawing, room):
    told = " ".join(text.text for text in written(draw(drawing, theme=PAGE, room=room)))
    assert "17.9 µm" in told
    assert "times larger than the circle" in told.replace("\n", " ")
    for cause in drawing.causes:
        assert cause.size in told
    label = re.search(r'aria-label="([^"]+)"', draw(drawing, theme=PAGE, room=room))
    assert label is not None
    assert "17.9" in label[1]


def test_measured_is_blue_and_fitted_is_brass(drawing):
    svg = draw(drawing, theme=PAGE, room="wide")
    strokes = re.findall(r'stroke="([^"]+)"', svg)
    assert strokes.count(PAGE.blue) == 2 + 2  # two paths, and their lines in the legend
    assert strokes.count(PAGE.brass) == 2 + 1 + 2 * len(drawing.causes)


def ends(svg: str, colour: str) -> list[tuple[float, float]]:
    shape = re.search(rf'<path d="([^"]+)" fill="none" stroke="{re.escape(colour)}"', svg)
    assert shape is not None
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", shape[1])]


def test_outwards_is_drawn_outwards_and_the_second_axis_upwards(drawing):
    """The opposite sign fails."""
    degrees = tuple(float(d) for d in range(360))
    bump = tuple(4.0 if 80 <= d <= 100 else -1.0 for d in degrees)
    one = replace(drawing, measured=(Trace("ccw", degrees, bump),), fitted=(), causes=())
    points = ends(draw(one, theme=PAGE, room="wide"), PAGE.blue)
    x, y = points[90]
    others = [math.dist(p, (340, sum(q[1] for q in (points[0], points[180])) / 2)) for p in points]
    assert others[90] > others[45]
    assert y < min(q[1] for q in points[150:210])
    assert x == pytest.approx(340, abs=1)


def test_a_million_points_become_no_more_than_can_be_seen_and_keep_their_spike():
    count = 100_000
    degrees = tuple(360 * k / count for k in range(count))
    off = [0.0] * count
    off[33_333] = 5.0
    kept = thinned(Trace("ccw", degrees, tuple(off)), int(2 * math.pi * SMALL / STEP))
    assert len(kept) <= 2 * math.pi * SMALL / STEP
    assert max(value for _, value in kept) == 5.0
    assert [angle for angle, _ in kept] == sorted(angle for angle, _ in kept)


def test_a_part_of_a_circle_is_left_open(drawing):
    half = tuple(float(d) for d in range(200))
    one = replace(drawing, measured=(Trace("ccw", half, (1.0,) * 200),), fitted=(), causes=())
    assert (
        "Z"
        not in re.findall(
            r'd="([^"]+)" fill="none" stroke="var\(--blue', draw(one, theme=PAGE, room="wide")
        )[0]
    )
    whole = replace(drawing, causes=())
    assert (
        "Z"
        in re.findall(
            r'd="([^"]+)" fill="none" stroke="var\(--blue', draw(whole, theme=PAGE, room="wide")
        )[0]
    )


def test_a_perfect_circle_can_be_drawn(drawing):
    still = Trace("ccw", (0.0, 90.0, 180.0, 270.0), (0.0,) * 4)
    one = replace(drawing, measured=(still,), fitted=(still,), causes=(), deviation_um=0.0)
    assert "0.0 µm" in draw(one, theme=PAPER, room="phone")
