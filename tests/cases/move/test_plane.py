from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.cases.move.plane import Frame, cut, from_point, inside, overlap, rectangle, sector

HALL = (
    (0.0, 0.0),
    (6000.0, 0.0),
    (6000.0, 2000.0),
    (3000.0, 2000.0),
    (3000.0, 5000.0),
    (0.0, 5000.0),
)
turns = st.floats(-360, 360)
sizes = st.floats(1, 5000)
places = st.floats(-9000, 9000)


def area(outline) -> float:
    pairs = [(outline[place - 1], outline[place]) for place in range(len(outline))]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


@given(places, places, turns, sizes, sizes)
def test_turning_a_rectangle_keeps_its_sides(x, y, turn, wide, deep):
    made = rectangle(Frame((x, y), turn), 0, 0, wide, deep)
    assert math.dist(made[0], made[1]) == pytest.approx(wide, abs=1e-6)
    assert math.dist(made[1], made[2]) == pytest.approx(deep, abs=1e-6)


@pytest.mark.parametrize("turn", [0, 90, 180, 270, -90])
def test_a_quarter_turn_is_exact(turn):
    made = rectangle(Frame((100.0, 200.0), turn), 0, 0, 1234.5, 678.9)
    assert all(round(value, 4) == value for point in made for value in point)


@settings(max_examples=40)
@given(places, places, turns, sizes, sizes, turns)
def test_what_lies_left_and_right_of_a_line_is_the_whole(x, y, turn, wide, deep, way):
    made = rectangle(Frame((x, y), turn), 0, 0, wide, deep)
    start = (x + wide / 3, y + deep / 5)
    left, right = cut(made, start, way), cut(made, start, way + 180)
    assert area(left) + area(right) == pytest.approx(wide * deep, rel=1e-4, abs=0.1)


@settings(max_examples=40)
@given(places, places, turns, sizes, sizes, places, places, turns, sizes, sizes)
def test_two_outlines_meet_the_same_seen_from_either(x, y, t, w, d, x2, y2, t2, w2, d2):
    one = rectangle(Frame((x, y), t), 0, 0, w, d)
    other = rectangle(Frame((x2, y2), t2), 0, 0, w2, d2)
    assert overlap(one, other) == overlap(other, one)
    middle = (sum(p[0] for p in other) / 4, sum(p[1] for p in other) / 4)
    if inside(one, middle) and min(w2, d2) > 1:
        assert overlap(one, other)


def test_a_hall_that_is_no_rectangle_has_a_corner_outside():
    assert inside(HALL, (2000.0, 4000.0))
    assert not inside(HALL, (4000.0, 4000.0))
    assert inside(HALL, (3000.0, 4000.0))


@given(st.floats(-180, 180), st.floats(10, 180), st.floats(100, 2000))
def test_a_swept_leaf_stays_within_its_length_and_ends_where_it_opens_to(start, by, leaf):
    made = sector((50.0, 60.0), start, by, leaf)
    reach = [math.dist(made[0], point) for point in made[1:]]
    assert reach == pytest.approx([leaf] * len(reach))
    end = math.radians(start + by)
    assert made[-1] == pytest.approx((50 + leaf * math.cos(end), 60 + leaf * math.sin(end)))


def test_the_shortest_way_to_a_side_is_square_to_it_and_to_a_corner_straight():
    side = ((0.0, 0.0), (100.0, 0.0))
    assert from_point(side, (50.0, 30.0)) == 30
    assert from_point(side, (130.0, 40.0)) == 50
