"""The minimum zone of a circle against a published-size vector, brute force and a programme."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from retrue.science.circle import least_squares_circle
from retrue.science.circle_zone import _programme, minimum_zone

EIGHT = np.radians(np.arange(0, 360, 45))
READ = np.array([0, 3, -1, 2, 4, -2, 1, 0.0])


def widths(angle, deviation, xs, ys):
    """Ring widths about every centre of a grid, shape (len(xs), len(ys))."""
    left = deviation - xs[:, None, None] * np.cos(angle) - ys[None, :, None] * np.sin(angle)
    return left.max(axis=2) - left.min(axis=2)


def test_eight_points_have_the_zone_worked_out_by_hand():
    """By definition: at (-1, 1) four points touch two circles 5 µm apart; least squares 5.3410.

    Least-squares circle after NIST/SEMATECH e-Handbook, measurement process characterization.
    """
    zone = minimum_zone(EIGHT, READ)
    assert zone.width_um == pytest.approx(5.0, abs=1e-9)
    assert (zone.centre_x_um, zone.centre_y_um, zone.radius_um) == pytest.approx((-1, 1, 0.5))
    x, y, radius = least_squares_circle(EIGHT, READ)
    assert (x, y, radius) == pytest.approx((-0.4696699, 0.7374369, 0.875), abs=1e-7)
    assert np.ptp(READ - x * np.cos(EIGHT) - y * np.sin(EIGHT)) == pytest.approx(5.3410, abs=5e-5)


def test_no_centre_of_a_fine_grid_gives_a_narrower_ring():
    grid = np.linspace(-2, 2, 401)
    found = widths(EIGHT, READ, grid, grid)
    assert found.min() == pytest.approx(5.0, abs=1e-9)
    chance = np.random.Generator(np.random.Philox(3))
    for count in (5, 12, 60):
        angle = chance.uniform(0, 2 * np.pi, count)
        read = chance.normal(size=count)
        zone = minimum_zone(angle, read)
        near = np.linspace(-0.05, 0.05, 81)
        fine = widths(angle, read, zone.centre_x_um + near, zone.centre_y_um + near)
        coarse = widths(angle, read, np.linspace(-4, 4, 161), np.linspace(-4, 4, 161))
        assert zone.width_um <= fine.min() + 1e-9
        assert zone.width_um <= coarse.min() + 1e-9
        assert fine.min() == pytest.approx(zone.width_um, abs=1e-9)


def by_programme(angle, read):
    """The whole linear programme, all points at once (scipy, HiGHS)."""
    rows = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle)])
    ones = np.ones((len(angle), 1))
    sides = np.vstack([np.hstack([rows, -ones]), np.hstack([-rows, -ones])])
    bounds = [(None, None)] * 3 + [(0, None)]
    solved = linprog([0, 0, 0, 1], A_ub=sides, b_ub=np.concatenate([read, -read]), bounds=bounds)
    return 2 * solved.x[3]


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32), st.integers(4, 60), st.booleans())
def test_the_exchange_ends_where_a_linear_programme_ends(seed, count, rounded):
    chance = np.random.Generator(np.random.Philox(seed))
    angle = np.radians(chance.choice(360, count, replace=False).astype(float))
    read = chance.normal(size=count).round(1 if rounded else 9)
    assert minimum_zone(angle, read).width_um == pytest.approx(by_programme(angle, read), abs=1e-7)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32), st.floats(-50, 50), st.floats(-50, 50), st.floats(-50, 50))
def test_a_moved_centre_or_radius_leaves_the_zone_and_never_beats_least_squares(seed, a, b, r):
    chance = np.random.Generator(np.random.Philox(seed))
    angle = np.sort(chance.uniform(0, 2 * np.pi, 90))
    read = chance.normal(size=90)
    width = minimum_zone(angle, read).width_um
    moved = minimum_zone(angle, read + r + a * np.cos(angle) + b * np.sin(angle))
    assert moved.width_um == pytest.approx(width, abs=1e-7)
    assert minimum_zone(angle, -read).width_um == pytest.approx(width, abs=1e-9)
    x, y, _ = least_squares_circle(angle, read)
    assert width <= np.ptp(read - x * np.cos(angle) - y * np.sin(angle)) + 1e-9


def test_points_that_stand_twice_at_one_angle_are_held_between_the_circles():
    """Two directions read at the same angles: many ties for the exchange."""
    angle = np.tile(np.radians(np.arange(0, 360, 10.0)), 2)
    read = np.concatenate([np.full(36, 2.0), np.full(36, -1.0)])
    assert minimum_zone(angle, read).width_um == pytest.approx(3.0)
    assert by_programme(angle, read) == pytest.approx(3.0)
    rows = np.stack([np.ones(72), np.cos(angle), np.sin(angle)])
    assert _programme(rows, read).width_um == pytest.approx(3.0)


def test_three_angles_fit_any_ring_and_two_are_refused():
    assert minimum_zone([0.0, 2.0, 4.0], [1.0, 5.0, -3.0]).width_um == pytest.approx(0.0)
    with pytest.raises(ValueError, match="different angles"):
        minimum_zone([0.0, 1.0, 1.0], [1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="one deviation"):
        minimum_zone([0.0, 1.0], [1.0])
