from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skspatial.objects import Plane
from tests.science.often import OFTEN

from retrue.science.bound import upper_bound
from retrue.science.flatness import LINES, flat, moody, network, shares_of
from retrue.science.minimum_zone import bearing, plane_design, widths

# A plate of 800 by 600 mm, stations every 100 mm; rises of each step in micrometres, rounded to
# 0.01, each line with a tilt of its own; true surface 4 (1.5 u² - v² + 0.8 u v + 0.6 u³).
STEPS = {
    "A": [0, -0.05, 0.02, 0.21, 0.51, 0.93, 1.46, 2.1, 2.87, 3.74],
    "B": [0.5, -0.05, -0.5, -0.82, -1.03, -1.13, -1.11, -0.98, -0.73, -0.36],
    "C": [1.46, 0.57, -0.32, -1.21, -2.1, -2.99],
    "D": [-0.84, -0.76, -0.46, 0.06, 0.81, 1.79, 2.99, 4.41],
    "E": [2.06, 1.17, 0.28, -0.61, -1.5, -2.39],
    "F": [-3.01, -1.59, -0.39, 0.59, 1.34, 1.86, 2.16, 2.24],
    "G": [1.62, 0.73, -0.16, -1.04, -1.93, -2.82],
    "H": [-0.74, -0.66, -0.36, 0.16, 0.91, 1.89, 3.09, 4.51],
}
COUNTS = {line: len(steps) for line, steps in STEPS.items()}
MOODY = {
    "A": [5.205, 4.026, 2.797, 1.638, 0.669, 0, -0.249, 0.032, 0.953, 2.644, 5.205],
    "B": [-1.205, -0.084, 0.487, 0.608, 0.409, 0, -0.509, -0.998, -1.357, -1.466, -1.205],
    "C": [5.205, 6.362, 6.628, 6.005, 4.492, 2.088, -1.205],
    "D": [-1.205, -2.244, -3.202, -3.861, -4.0, -3.389, -1.797, 0.994, 5.205],
    "E": [5.205, 6.362, 6.628, 6.005, 4.492, 2.088, -1.205],
    "F": [-1.205, -3.814, -5.003, -4.991, -4.0, -2.259, 0.002, 2.564, 5.205],
    "G": [-4.0, -1.78, -0.45, -0.01, -0.45, -1.78, -4.0],
    "H": [6.005, 4.165, 2.405, 0.945, 0.005, -0.185, 0.605, 2.595, 6.005],
}


def surface(shares):
    u, v = 2 * shares[..., 0] - 1, 2 * shares[..., 1] - 1
    return 4 * (1.5 * u**2 - v**2 + 0.8 * u * v + 0.6 * u**3)


def over(shares, heights):
    return flat(shares[:, 0], shares[:, 1], heights)


def steps_of(heights_at):
    tilts = dict(zip(LINES, (0.7, -1.1, 0.3, -0.4, 0.9, 0.2, -0.6, 0.5), strict=True))
    return {
        line: np.diff(heights_at(shares_of(line, count))) + tilts[line]
        for line, count in COUNTS.items()
    }


def test_the_union_jack_in_the_plane_of_its_diagonals():
    """Own plate with a known surface, computed beforehand by an independent programme."""
    jack = moody(STEPS)
    for line, printed in MOODY.items():
        assert jack.lines[line] == pytest.approx(printed, abs=0.0006)
    assert jack.closure_g == pytest.approx(-0.010, abs=5e-4)
    assert jack.closure_h == pytest.approx(0.005, abs=5e-4)
    assert jack.flatness == pytest.approx(11.6308, abs=5e-5)
    assert len(jack.heights) == 55


def test_the_least_squares_plane_gives_more_and_the_minimum_zone_less():
    """Of the same plate; the least-squares value may exceed that of the diagonals."""
    jack = moody(STEPS)
    made = flat(800 * jack.shares[:, 0], 600 * jack.shares[:, 1], jack.heights)
    assert made.least_squares == pytest.approx(12.0299, abs=5e-5)
    assert made.minimum_zone == pytest.approx(11.1041, abs=5e-5)
    assert made.minimum_zone < jack.flatness < made.least_squares


def test_the_network_over_all_lines():
    """Of the same plate: 62 readings, 55 heights and 8 tilts, rank 60."""
    made = network(STEPS)
    assert (made.rank, made.freedom, len(made.heights)) == (60, 2, 55)
    told = flat(800 * made.shares[:, 0], 600 * made.shares[:, 1], made.heights)
    assert told.least_squares == pytest.approx(12.0261, abs=5e-5)
    assert told.minimum_zone == pytest.approx(11.0999, abs=5e-5)
    assert made.scatter * np.sqrt(2 / 62) == pytest.approx(0.0009, abs=5e-5)


def test_unrounded_readings_give_the_true_surface_back():
    jack = moody(steps_of(surface))
    assert jack.closure_g == pytest.approx(0, abs=1e-12)
    left = np.linalg.lstsq(
        plane_design(jack.shares[:, 0], jack.shares[:, 1]),
        jack.heights - surface(jack.shares),
        rcond=None,
    )
    assert float(left[1][0]) < 1e-14
    made = network(steps_of(surface))
    truth = over(made.shares, surface(made.shares))
    assert truth.least_squares == pytest.approx(12.0204, abs=5e-5)
    assert truth.minimum_zone == pytest.approx(11.0962, abs=5e-5)
    assert over(made.shares, made.heights).minimum_zone == pytest.approx(truth.minimum_zone)


def test_a_dome_is_no_bowl():
    bowl = moody({line: [-1.0, 1.0] for line in LINES})
    dome = moody({line: [1.0, -1.0] for line in LINES})
    assert bowl.lines["A"][0] == 1
    assert dome.lines["A"][0] == -1


def test_the_least_squares_plane_agrees_with_a_general_library():
    """scikit-spatial 10, Plane.best_fit: orthogonal, equal here to second order."""
    jack = moody(STEPS)
    x, y = 8e5 * jack.shares[:, 0], 6e5 * jack.shares[:, 1]
    points = np.column_stack([x, y, jack.heights])
    plane = Plane.best_fit(points)
    assert isinstance(plane, Plane)
    along = (points - np.asarray(plane.point)) @ np.asarray(plane.normal)
    assert np.ptp(along) == pytest.approx(flat(x, y, jack.heights).least_squares, abs=1e-4)


@settings(max_examples=12, deadline=None)
@given(st.floats(-9, 9), st.floats(-9, 9), st.integers(0, 99))
def test_a_tilt_of_the_plate_changes_no_flatness(along, across, seed):
    rng = np.random.Generator(np.random.Philox(seed))
    bumps = rng.normal(0, 2, 6)

    def rough(shares):
        x, y = shares[..., 0], shares[..., 1]
        return bumps[0] * x * x + bumps[1] * y * y + bumps[2] * x * y + bumps[3] * x**3

    def tilted(shares):
        return rough(shares) + along * shares[..., 0] + across * shares[..., 1]

    one, other = moody(steps_of(rough)), moody(steps_of(tilted))
    assert other.flatness == pytest.approx(one.flatness, abs=1e-9)
    width = over(one.shares, one.heights).minimum_zone
    assert over(other.shares, other.heights).minimum_zone == pytest.approx(width, abs=1e-6)


def test_a_line_that_is_missing_or_odd_is_named():
    with pytest.raises(ValueError, match="line H"):
        moody({line: steps for line, steps in STEPS.items() if line != "H"})
    with pytest.raises(ValueError, match="line A"):
        moody({**STEPS, "A": [1.0, 2.0, 3.0]})


@pytest.mark.parametrize("size", [0.0, 1.0])
def test_the_upper_bound_of_flatness_holds_as_often_as_promised(size):
    """Grids of twelve points, one height 0.5 µm; noise lifts the naked value."""
    rng = np.random.Generator(np.random.Philox(9))
    x, y = (side.ravel() for side in np.meshgrid([0.0, 1, 2, 3], [0.0, 1, 2]))
    design = plane_design(x, y)
    shape = size * surface(np.column_stack([x / 3, y / 2]))
    truth = flat(x, y, shape).minimum_zone

    def noise(generator, count):
        return generator.normal(0, 0.5, (count, 12))

    bear = bearing(design, shape)  # of all twelve points: exact for every set
    found = [
        upper_bound(partial(widths, bear), heights, noise, seed=7, draws=100)
        for heights in shape + noise(rng, OFTEN)
    ]
    assert np.mean([one.value for one in found]) > truth + 0.1
    assert np.mean([one.upper >= truth for one in found]) >= 0.93


@pytest.mark.parametrize("size", [0.1, 1.0])
def test_the_upper_bound_of_a_union_jack_holds_as_often_as_promised(size):
    """Union-jacks of eight short lines, one step 0.3 µm, worked out as a file would be."""
    counts = dict(zip(LINES, (4, 4, 2, 4, 2, 4, 2, 4), strict=True))
    true = {line: size * np.diff(surface(shares_of(line, n))) for line, n in counts.items()}
    units = [
        {name: (np.eye(n)[step] if name == line else np.zeros(n)) for name, n in counts.items()}
        for line in counts
        for step in range(counts[line])
    ]
    spread = 0.3 * np.column_stack([moody(unit).heights for unit in units])
    shape = moody(true)
    design = plane_design(shape.shares[:, 0], shape.shares[:, 1])
    truth = flat(shape.shares[:, 0], shape.shares[:, 1], shape.heights).minimum_zone

    def noise(generator, count):
        return generator.normal(0, 1, (count, spread.shape[1])) @ spread.T

    rng = np.random.Generator(np.random.Philox(10))
    way = partial(widths, bearing(design, shape.heights))  # of all 19 points: exact
    found = [
        upper_bound(way, heights, noise, seed=7, draws=100)
        for heights in shape.heights + noise(rng, OFTEN)
    ]
    assert np.mean([one.value for one in found]) > truth
    assert np.mean([one.upper >= truth for one in found]) >= 0.93
