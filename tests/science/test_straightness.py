from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skspatial.objects import Line, Points
from tests.science.often import OFTEN

from retrue.science.bound import upper_bound
from retrue.science.minimum_zone import bearing, line_design, widths
from retrue.science.straightness import REFERENCES, cumulated, local, straight, windows

TILTS = [8.0, 12, -4, -10, 6, 14, -2, -8]
X = np.arange(9) * 250.0
H = cumulated(TILTS, 0.25)


def test_eight_steps_of_a_level_three_reference_lines():
    """Closed form (derived here): base 0.25 m; errors 4.5, 4.5, 4.25; minimum zone 1.5 µm/m."""
    assert H.tolist() == [0, 2, 5, 4, 1.5, 3, 6.5, 6, 4]
    ends = straight(X, H, "end-point")
    assert ends.deviations == pytest.approx([0, 1.5, 4, 2.5, -0.5, 0.5, 3.5, 2.5, 0])
    assert ends.error == pytest.approx(4.5)
    least = straight(X, H, "least-squares")
    assert 1000 * least.slope == pytest.approx(2.0)
    assert least.offset == pytest.approx(1.5556, abs=5e-5)
    assert least.error == pytest.approx(4.5)
    zone = straight(X, H, "minimum-zone")
    assert 1000 * zone.slope == pytest.approx(1.5)
    assert zone.error == pytest.approx(4.25)


def test_least_squares_agrees_with_a_general_library():
    """scikit-spatial 10, Line.best_fit: orthogonal, equal here to second order."""
    fitted = Line.best_fit(Points(np.column_stack([X * 1000, H])))
    assert isinstance(fitted, Line)
    along, up = np.asarray(fitted.direction)
    assert up / along * 1000 == pytest.approx(straight(X, H, "least-squares").slope, rel=1e-6)


def test_a_step_up_makes_the_far_end_high_and_the_opposite_sign_does_not():
    assert cumulated([10.0], 0.2)[-1] == 2
    assert cumulated([-10.0], 0.2)[-1] == -2
    hollow = straight(X, cumulated([-8, -4, 0, 4, 8, 8, 8, 8], 0.25), "end-point")
    assert hollow.deviations.min() < -5
    assert hollow.deviations.max() == pytest.approx(0)


def test_every_local_window_has_a_line_of_its_own():
    assert windows(X, 500) == [(i, i + 3) for i in range(7)]
    found = local(X, H, 500, "minimum-zone")
    brute = max((straight(X[i : i + 3], H[i : i + 3], "minimum-zone").error, i) for i in range(7))
    assert found[0] == pytest.approx(brute[0])
    assert local(X, H, 100, "minimum-zone") is None


HEIGHTS = st.lists(st.floats(-90, 90).map(lambda v: round(v, 3)), min_size=3, max_size=15)


@settings(max_examples=25, deadline=None)
@given(HEIGHTS, st.floats(-30, 30), st.floats(-5, 5))
def test_no_line_is_narrower_than_the_minimum_zone_and_a_line_added_changes_nothing(h, up, slope):
    x = np.arange(len(h), dtype=float)
    heights = np.array(h)
    errors = {name: straight(x, heights, name).error for name in REFERENCES}
    assert errors["minimum-zone"] <= min(errors.values()) + 1e-9
    for name, error in errors.items():
        again = straight(x, heights + up + slope * x, name)
        assert again.error == pytest.approx(error, abs=1e-6)


def test_end_point_doubt_follows_the_closed_form():
    """u(e_k) = u sqrt(k (n - k) / n) for equal independent steps; derived here, n = 8."""
    rng = np.random.Generator(np.random.Philox(2))
    sets = cumulated(rng.normal(0, 4.0, (20_000, 8)), 0.25)
    left = sets - sets[:, -1:] * np.arange(9) / 8
    printed = [0, 0.935, 1.225, 1.369, 1.414, 1.369, 1.225, 0.935, 0]
    assert left.std(axis=0) == pytest.approx(printed, abs=0.03)


def test_slopes_lie_within_their_doubt_as_often_as_promised():
    """Coverage over 2,000 measurements of the least-squares slope, one height 0.5 µm."""
    rng = np.random.Generator(np.random.Philox(3))
    spread = 0.5 / np.sqrt(((X - X.mean()) ** 2).sum())
    found = [straight(X, H + rng.normal(0, 0.5, 9), "least-squares").slope for _ in range(2000)]
    assert 0.93 <= np.mean(np.abs(np.array(found) - 0.002) <= 1.96 * spread) <= 0.97


@pytest.mark.parametrize("size", [0.0, 1.0])
def test_the_upper_bound_of_straightness_holds_as_often_as_promised(size):
    """Measurements by level steps; noise lifts the naked value, the bound covers it."""
    rng = np.random.Generator(np.random.Philox(4))
    truth = size * 4.25
    values, upper = [], []

    def noise(generator, count):
        return cumulated(generator.normal(0, 2.0, (count, 8)), 0.25)

    way = partial(widths, bearing(line_design(X), H))  # of all nine points: exact for every set
    for heights in size * H + noise(rng, OFTEN):
        made = upper_bound(way, heights, noise, seed=7, draws=200)
        values.append(made.value)
        upper.append(made.upper)
    assert np.mean(values) > truth + 0.1
    assert np.mean(np.array(upper) >= truth) >= 0.93
