from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cases.move.plans import HALL, MILL, floor
from tests.figures.drawings import cut_off, touching, written

from retrue.cases.move.drawings import FloorDrawing, FloorPiece
from retrue.cases.move.floor import METHOD
from retrue.cases.reckon.method import values_of
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.move.floor_plan import PAPER_UNIT_MM, SCALES, draw, rows, to_scale

ROOMS = ("phone", "wide", "paper")
EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "move" / "floor.csv"


def example() -> FloorDrawing:
    made = METHOD.reckon(values_of(METHOD, {"plan": EXAMPLE.read_bytes()}))
    assert isinstance(made.drawing, FloorDrawing)
    return made.drawing


@pytest.mark.parametrize("room", ROOMS)
def test_words_of_the_example_do_not_touch_and_none_is_cut_off(room):
    drawn = draw(example(), theme=PAPER, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []
    assert "var(" not in drawn


@settings(max_examples=25, deadline=None)
@given(
    st.floats(500, 60_000),
    st.floats(500, 60_000),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(-180, 180),
    st.sampled_from(ROOMS),
)
def test_words_never_touch_wherever_things_stand(wide, deep, x, y, turn, room):
    made = floor(
        f"shop,,,,0,0,{wide:.3f},{deep:.3f},,,,",
        f"machine,mill,,,{x * wide:.3f},{y * deep:.3f},{wide / 4:.3f},{deep / 5:.3f},{turn:.3f},,,",
        f"cabinet,cabinet,mill,rear,,,,,,{wide / 9:.3f},,",
        f"service,pull the screw,mill,left,,,,{deep / 6:.3f},,,,",
        f"column,C1,,,{y * wide:.3f},{x * deep:.3f},200,200,,,,",
        f"joint,J,,,{wide / 2:.3f},0,{deep:.3f},,90,,,",
        f"hall_door,gate,,,0,0,{wide / 3:.3f},,,,,",
    )
    drawn = draw(made.drawing, theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@pytest.mark.parametrize("room", ROOMS)
def test_every_name_stands_in_the_plan_or_below_it(room):
    drawn = " ".join(one.text for one in written(draw(example(), theme=PAPER, room=room)))
    for name in (
        "mill",
        "lathe",
        "bar",
        "feed",
        "saw",
        "bench",
        "pull the",
        "way",
        "door of the hall",
    ):
        assert name in drawn, name


def test_what_has_no_room_is_told_by_word_and_crossed_through():
    made = floor(HALL, MILL, "column,C1,,,4500,2500,200,200,,,,",
                 "operator,op,mill,front,,,,900,,,,")  # fmt: skip
    drawn = draw(made.drawing, theme=PAPER, room="wide")
    assert "op: no room" in drawn
    assert "Crossed through: no room." in drawn
    assert "no room: op" in re.search(r'aria-label="([^"]*)"', drawn)[1]
    assert any("no room" in value for _, value in rows(made.drawing))
    free = draw(floor(HALL, MILL, "operator,op,mill,front,,,,900,,,,").drawing, theme=PAPER,
                room="wide")  # fmt: skip
    assert "no room" not in free


def test_lengths_are_true_to_one_scale():
    """The machine's outline and the hall's outline have the ratio of their millimetres."""
    hall = ((0.0, 0.0), (10_000.0, 0.0), (10_000.0, 8000.0), (0.0, 8000.0))
    mill = ((4000.0, 3000.0), (6000.0, 3000.0), (6000.0, 4500.0), (4000.0, 4500.0))
    drawing = FloorDrawing(outline=hall, pieces=(
        FloorPiece(sort="machine", name="mill", outline=mill),))  # fmt: skip
    shapes = re.findall(r'd="M([^"]*)Z"', draw(drawing, theme=PAPER, room="wide"))
    spans = []
    for shape in shapes:
        points = [[float(v) for v in pair.split()] for pair in shape.split("L")]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        spans.append((max(xs) - min(xs), max(ys) - min(ys)))
    wide, high = spans[0]
    assert high / wide == pytest.approx(0.8, abs=1e-3)
    assert any(s == pytest.approx((wide * 0.2, wide * 0.15), abs=0.05) for s in spans)


@pytest.mark.parametrize(
    ("wide", "high", "scale"), [(380, 240, 50), (260, 190, 100), (500, 400, 50)]
)
def test_on_paper_the_scale_is_the_largest_usual_one_that_fits_and_is_true(wide, high, scale):
    made = to_scale(example(), theme=PAPER, wide_mm=wide, high_mm=high)
    assert made.scale == scale
    assert made.scale in SCALES
    assert made.wide_mm <= wide
    assert made.high_mm <= high
    first = re.search(r'd="M([^"]*)Z"', made.svg)[1]
    xs = [float(pair.split()[0]) for pair in first.split("L")]
    assert (max(xs) - min(xs)) * PAPER_UNIT_MM * made.scale == pytest.approx(12_000, rel=1e-3)


def test_the_numbers_stand_in_rows_with_their_unit():
    told = dict(rows(example()))
    assert told["hall"].startswith("12\u202f000 x 8\u202f000 mm")
    assert told["mill"] == "2\u202f400 x 2\u202f300 mm at 1\u202f000, 4\u202f700"
    assert told["before cabinet, open"].endswith("wanted 900\u202fmm")


def test_the_same_plan_is_drawn_the_same():
    assert draw(example(), theme=PAGE, room="wide") == draw(example(), theme=PAGE, room="wide")
