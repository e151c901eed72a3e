from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.science.minimum_zone import (
    bearing,
    line_design,
    line_zone,
    plane_design,
    widths,
    zone,
)

HEIGHTS = [0.0, 2, 5, 4, 1.5, 3, 6.5, 6, 4]  # micrometres, every 250 mm
HEIGHT = st.floats(-50, 50).map(lambda value: round(value, 3))
SETTINGS = settings(max_examples=12, deadline=None)


def narrowest_over_pairs(x, h):
    """Brute force: one edge of the zone of a line passes through two points."""
    slopes = [(h[j] - h[i]) / (x[j] - x[i]) for i, j in combinations(range(len(x)), 2)]
    return min(float(np.ptp(h - slope * x)) for slope in slopes)


def narrowest_over_triples_and_quads(x, y, h):
    """Brute force: the zone's planes hold three points, or two and two on skew edges."""
    normals = []
    points = np.column_stack([x, y, h])
    for a, b, c in combinations(points, 3):
        normals.append(np.cross(b - a, c - a))
    pairs = list(combinations(range(len(points)), 2))
    for (i, j), (k, m) in combinations(pairs, 2):
        if len({i, j, k, m}) == 4:
            normals.append(np.cross(points[j] - points[i], points[m] - points[k]))
    found = np.inf
    for normal in normals:
        if abs(normal[2]) > 1e-9:
            found = min(found, float(np.ptp(points @ (normal / normal[2]))))
    return found


def test_the_line_of_the_straightness_example():
    """Closed form of eight level steps; brute force over pairs of points gives the same."""
    x = np.arange(9) * 0.25
    made = line_zone(x, HEIGHTS)
    assert made.width == pytest.approx(4.25)
    assert made.parameters[1] == pytest.approx(1.5)
    assert made.width == pytest.approx(narrowest_over_pairs(x, np.array(HEIGHTS)))
    assert zone(line_design(x), HEIGHTS).width == pytest.approx(4.25)


@SETTINGS
@given(st.lists(HEIGHT, min_size=2, max_size=12))
def test_hull_programme_and_brute_force_find_the_same_line(heights):
    x, h = np.arange(len(heights), dtype=float), np.array(heights)
    width = line_zone(x, h).width
    assert width == pytest.approx(narrowest_over_pairs(x, h), abs=1e-9)
    if len(h) > 2:
        assert width == pytest.approx(zone(line_design(x), h).width, abs=1e-7)


@SETTINGS
@given(st.lists(HEIGHT, min_size=6, max_size=6), st.integers(0, 1000))
def test_programme_and_brute_force_find_the_same_plane(heights, seed):
    rng = np.random.Generator(np.random.Philox(seed))
    x, y = rng.uniform(0, 1, 6), rng.uniform(0, 1, 6)
    h = np.array(heights)
    brute = narrowest_over_triples_and_quads(x, y, h)
    assert zone(plane_design(x, y), h).width == pytest.approx(brute, abs=1e-6)


@SETTINGS
@given(
    st.lists(HEIGHT, min_size=9, max_size=9), st.floats(-20, 20), st.floats(-20, 20),
    st.floats(-20, 20),
)  # fmt: skip
def test_a_plane_added_changes_nothing(heights, level, along, across):
    x, y = (side.ravel() for side in np.meshgrid([0.0, 1, 2], [0.0, 1, 2]))
    design, h = plane_design(x, y), np.array(heights)
    width = zone(design, h).width
    assert zone(design, h + level + along * x + across * y).width == pytest.approx(width, abs=1e-6)
    assert zone(design, -h).width == pytest.approx(width, abs=1e-6)


@SETTINGS
@given(st.lists(HEIGHT, min_size=12, max_size=12), st.integers(0, 1000))
def test_bearing_sets_give_the_width_of_many_at_once(heights, seed):
    rng = np.random.Generator(np.random.Philox(seed))
    x, y = (side.ravel() for side in np.meshgrid([0.0, 1, 2, 3], [0.0, 1, 2]))
    design = plane_design(x, y)
    weights = bearing(design, heights)
    sets = rng.normal(0, 3, (5, 12))
    one_by_one = [zone(design, h).width for h in sets]
    assert widths(weights, sets) == pytest.approx(one_by_one, abs=1e-6)


def test_the_deviations_touch_both_edges_of_the_zone():
    made = zone(plane_design([0, 1, 0, 1, 0.5], [0, 0, 1, 1, 0.5]), [0.0, 0, 0, 0, 3])
    assert made.width == pytest.approx(3)
    assert made.deviations.max() == pytest.approx(1.5)
    assert made.deviations.min() == pytest.approx(-1.5)


def test_twenty_thousand_points_are_no_trouble():
    rng = np.random.Generator(np.random.Philox(1))
    x, y = rng.uniform(0, 1, (2, 20_000))
    h = rng.normal(0, 1, 20_000)
    assert zone(plane_design(x, y), h).width < np.ptp(h)
    assert line_zone(x, h).width < np.ptp(h)


def test_points_on_one_line_make_no_plane():
    with pytest.raises(ValueError, match="determine"):
        zone(plane_design([0, 1, 2, 3], [0, 1, 2, 3]), [0.0, 1, 0, 1])
    with pytest.raises(ValueError, match="two positions"):
        line_zone([1, 1], [0.0, 1])
