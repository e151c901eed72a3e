from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, touching

from retrue.cases.prove.feet import Foot
from retrue.cases.prove.level_numbers import Drawing, Place
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.level import draw

ROOMS = ("phone", "wide", "paper")


def plan(long: float, deep: float, rise: float, tilt: float, count: int = 4) -> Drawing:
    xs = [long * step / (count // 2 - 1) for step in range(count // 2)]
    feet = tuple(
        Foot(name=f"F{i}", x_mm=x, y_mm=y, raise_um=rise * i, turns=rise * i / 2000)
        for i, (x, y) in enumerate((x, y) for y in (0.0, deep) for x in xs)
    )
    places = tuple(
        Place(x_mm=x * long, y_mm=y * deep, tilt_x=tilt, tilt_y=-tilt / 2)
        for x in (0.1, 0.9)
        for y in (0.1, 0.9)
    )
    return Drawing(feet=feet, places=places, worst=tilt)


@settings(max_examples=30, deadline=None)
@given(
    st.floats(300, 9000),
    st.floats(200, 5000),
    st.floats(0, 5000),
    st.floats(-900, 900),
    st.sampled_from([4, 6, 8, 10]),
    st.sampled_from(ROOMS),
)
def test_words_in_the_plan_never_overlap_and_none_is_cut_off(long, deep, rise, tilt, count, room):
    drawn = draw(plan(long, deep, rise, tilt, count), theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@pytest.mark.parametrize("room", ROOMS)
def test_each_foot_is_told_beside_it_or_below(room):
    drawn = draw(plan(2000, 1000, 40, 60, 10), theme=PAPER, room=room)
    for name in ("F1", "F9"):
        assert f"{name} up" in drawn
    assert "var(" not in drawn
    assert "Plan of the feet: largest tilt 60" in drawn


def test_an_arrow_points_to_the_high_end():
    high_right = draw(plan(2000, 1000, 0, 60), theme=PAPER, room="wide")
    high_left = draw(plan(2000, 1000, 0, -60), theme=PAPER, room="wide")
    assert high_right != high_left


def test_a_plan_without_feet_or_of_one_place_is_drawn():
    one = Drawing(feet=(), places=(Place(x_mm=5, y_mm=5, tilt_x=3, tilt_y=None),), worst=3)
    assert draw(one, theme=PAGE, room="phone").startswith("<svg")
