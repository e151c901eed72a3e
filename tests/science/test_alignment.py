"""Lines and centres against closed forms, in both directions, and how often the doubt covers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skspatial.objects import Line

from retrue.science.alignment import along, offset
from retrue.science.give_or_take import doubt_of

SMALL = st.floats(-50, 50)
ROUND = np.arange(0, 360, 45.0)


def test_a_bar_read_half_a_turn_on_gives_the_axis_and_not_the_bar():
    """By definition: at each place the run-out of the bar is added and taken away."""
    positions = [0, 0, 300, 300]
    readings = [3.0, -3.0, 12.0 + 5.0, 12.0 - 5.0]
    assert along(positions, readings).um_per_m == pytest.approx(40.0)
    assert along(positions, np.negative(readings)).um_per_m == pytest.approx(-40.0)


def test_the_line_is_the_one_that_a_geometry_library_fits():
    """scikit-spatial's orthogonal line: equal to second order where readings are micrometres."""
    positions = np.array([0.0, 75, 150, 225, 300])
    readings = np.array([0.0, 2.1, 3.9, 6.2, 8.0])
    line = Line.best_fit(np.column_stack([positions, readings / 1000]))
    assert isinstance(line, Line)
    slope = line.direction[1] / line.direction[0]
    assert along(positions, readings).um_per_m == pytest.approx(slope * 1e6, rel=1e-6)


@given(side=SMALL, height=SMALL, level=SMALL)
def test_a_bore_and_an_outside_are_felt_from_opposite_sides(side, height, level):
    turn = np.radians(ROUND)
    towards = side * np.cos(turn) + height * np.sin(turn)
    bore = offset(ROUND, level - towards, inside=True)
    outside = offset(ROUND, level + towards, inside=False)
    for found in (bore, outside):
        assert found.side_um == pytest.approx(side, abs=1e-9)
        assert found.height_um == pytest.approx(height, abs=1e-9)
    wrong = offset(ROUND, level - towards, inside=False)
    assert wrong.side_um == pytest.approx(-side, abs=1e-9)


def test_a_drooping_arm_looks_like_height_and_is_taken_out():
    droop = 7.0 * np.sin(np.radians(ROUND))
    assert offset(ROUND, droop, inside=False).height_um == pytest.approx(7.0)
    assert offset(ROUND, droop, inside=False, sag_um=7.0).height_um == pytest.approx(0.0, abs=1e-9)


def test_an_oval_surface_does_not_move_the_centre():
    oval = 9.0 * np.cos(2 * np.radians(ROUND))
    found = offset(ROUND, oval, inside=True)
    assert found.side_um == pytest.approx(0, abs=1e-9)
    assert found.height_um == pytest.approx(0, abs=1e-9)
    assert found.twofold_um == pytest.approx(9.0)


def test_too_few_places_are_refused():
    with pytest.raises(ValueError, match="two positions"):
        along([100, 100], [0, 1])
    with pytest.raises(ValueError, match="centre"):
        offset([0, 180], [0, 1], inside=True)


@pytest.mark.parametrize("known", [None, 2.0])
def test_the_doubt_covers_slope_and_offset_as_often_as_it_says(known):
    """2,000 simulated measurements of a machine that is known; the promise is 95 in 100."""
    draw = np.random.Generator(np.random.Philox(41))
    positions = np.repeat(np.linspace(0, 300, 6), 2)
    slopes = offsets = 0
    for _ in range(2000):
        line = along(positions, 0.03 * positions + draw.normal(0, 1.0, len(positions)))
        near = doubt_of(line.unit_uncertainty, line.scatter_um, line.freedom, known)
        slopes += abs(line.um_per_m - 30.0) <= near
        turn = np.radians(ROUND)
        swept = offset(ROUND, -12.0 * np.cos(turn) + draw.normal(0, 1.0, 8), inside=True)
        near = doubt_of(swept.unit_uncertainty, swept.scatter_um, swept.freedom, known)
        offsets += abs(swept.side_um - 12.0) <= near
    low, high = (0.93, 0.97) if known is None else (0.93, 0.995)  # the larger of two doubts
    assert low <= slopes / 2000 <= high
    assert low <= offsets / 2000 <= high
