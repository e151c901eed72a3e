from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, touching

from retrue.cases.prove.flatness import Drawing
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.flatness import draw

ROOMS = ("phone", "wide", "paper")


def grid(long: float, deep: float, heights: list[float], *, lines: bool = True) -> Drawing:
    places = [(x, y) for y in (0.0, 0.5, 1.0) for x in (0.0, 0.5, 1.0)]
    middle = (max(heights) + min(heights)) / 2
    return Drawing(
        x_mm=tuple(long * x for x, _ in places),
        y_mm=tuple(deep * y for _, y in places),
        deviations_um=tuple(height - middle for height in heights),
        chains=((0, 1, 2), (3, 4, 5), (6, 7, 8)) if lines else (),
        flatness_um=max(heights) - min(heights),
    )


@settings(max_examples=25, deadline=None)
@given(
    st.floats(100, 9000),
    st.floats(100, 9000),
    st.lists(st.floats(-500, 500), min_size=9, max_size=9),
    st.sampled_from(ROOMS),
    st.booleans(),
)
def test_words_of_the_relief_never_overlap_and_none_is_cut_off(long, deep, heights, room, lines):
    drawn = draw(grid(long, deep, heights, lines=lines), theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@pytest.mark.parametrize("room", ROOMS)
def test_it_says_how_flat_how_high_how_low_and_how_much_larger(room):
    drawn = draw(grid(800, 600, [0, 1, 2, 3, 4, 5, 6, 7, 8.0]), theme=PAPER, room=room)
    for text in ("+4.00 µm", "−4.00 µm", "heights drawn ×", "flat within 8.00 µm"):
        assert text in drawn
    assert "var(" not in drawn


def test_a_hollow_is_drawn_below_and_a_dome_above():
    hollow = draw(grid(800, 600, [0, 0, 0, 0, -8, 0, 0, 0, 0]), theme=PAPER, room="wide")
    dome = draw(grid(800, 600, [0, 0, 0, 0, 8, 0, 0, 0, 0]), theme=PAPER, room="wide")
    assert hollow != dome
