"""Lines that do not begin at nothing, open directions, largest values: by hand and by table."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from retrue.science.bound import Bound, upper_bound, upper_bound_by_trials, upper_bound_of_fit
from retrue.science.conformity import GUARD
from retrue.science.least_squares import fit
from retrue.science.straightness import REFERENCES, local, straight, windows
from retrue.science.uncertainty import repeated

X = np.array([100.0, 200.0, 300.0, 500.0])
H = np.array([3.0, 5.0, 4.0, 11.0])


def test_a_line_through_both_ends_wherever_it_begins() -> None:
    """By hand: (11 - 3) / 400 = 0.02, 3 - 0.02 x 100 = 1; the third point lies 3 below."""
    for order in (slice(None), slice(None, None, -1)):
        made = straight(X[order], H[order], "end-point")
        assert (made.slope, made.offset, made.error) == pytest.approx((0.02, 1.0, 3.0))
        assert made.deviations[order] == pytest.approx([0.0, 0.0, -3.0, 0.0])


def test_a_line_of_least_squares_is_the_librarys() -> None:
    """numpy.polyfit, away from the origin; residuals sum to nothing."""
    made = straight(X + 4_000.0, H, "least-squares")
    slope, offset = np.polyfit(X + 4_000.0, H, 1)
    assert (made.slope, made.offset) == pytest.approx((slope, offset))
    assert made.deviations == pytest.approx(H - np.polyval([slope, offset], X + 4_000.0))
    assert made.deviations.sum() == pytest.approx(0.0, abs=1e-9)


def test_a_narrowest_zone_is_touched_on_both_sides_in_turn() -> None:
    """Chebyshev's alternation: three points lie as far off, above, below and above again.

    By hand: through (200, 5) and (500, 11) rises 0.02, and (300, 4) lies 3 below it.
    """
    made = straight(X, H, "minimum-zone")
    assert (made.slope, made.error) == pytest.approx((0.02, 3.0))
    assert made.deviations == pytest.approx(H - made.offset - 0.02 * X)
    assert np.ptp(made.deviations) == pytest.approx(3.0)
    moved = straight(X, H + 7.0, "minimum-zone")
    assert moved.offset == pytest.approx(made.offset + 7.0)


@pytest.mark.parametrize("reference", REFERENCES)
def test_two_points_are_a_line_and_one_is_none(reference: str) -> None:
    made = straight([100.0, 300.0], [2.0, 8.0], reference)
    assert (made.slope, made.error) == pytest.approx((0.03, 0.0), abs=1e-12)
    assert made.deviations == pytest.approx(made.deviations[0] * np.ones(2), abs=1e-9)
    near = straight([0.0, 0.5], [2.0, 8.0], reference)
    assert near.slope == pytest.approx(12.0)
    for wrong in ([100.0], [100.0, 100.0]):
        with pytest.raises(ValueError, match="two points"):
            straight(wrong, [1.0] * len(wrong), reference)


def test_a_stretch_within_another_is_no_stretch_of_its_own() -> None:
    """By hand: 300 long from 0, 100, 200 and 300; the last two reach no further than the end."""
    assert windows([0, 100, 200, 300, 400, 500], 300) == [(0, 4), (1, 5), (2, 6)]
    assert windows([0, 100, 250, 300, 305], 1_000) == [(0, 5)]
    assert windows([0, 500, 1_000], 400) == []
    assert local([0, 500, 1_000], [0, 1, 0], 400, "end-point") is None


def test_each_of_several_unknown_directions_leaves_its_own_parameters_open() -> None:
    """By hand: a pair that is the same twice over; the fifth column alone is determined."""
    a, b, c = (np.array(row, float) for row in ([1, 2, 0, 0, 0, 0, 1], [0, 0, 3, 1, 0, 0, 1],
                                                [0, 1, 0, 0, 1, 1, 0]))  # fmt: skip
    made = fit(np.column_stack([a, a, b, 2 * b, c]), 2 * a + 10 * b + 4 * c)
    assert (made.rank, made.freedom, len(made.null_space)) == (3, 4, 2)
    assert np.isinf(made.standard_uncertainties).tolist() == [True] * 4 + [False]
    assert made.parameters[4] == pytest.approx(4.0)
    assert made.parameters[:2] == pytest.approx([1.0, 1.0])
    assert made.parameters[2] + 2 * made.parameters[3] == pytest.approx(10.0)


def test_against_a_limit_a_bound_comes_out_as_far_as_it_reaches() -> None:
    """JCGM 106:2012, 8.3.2: with a guard of 1.645 standard uncertainties an edge is one in twenty.

    By hand: the value with its guard reaches the upper bound; against a limit below, what noise has
    lifted it by is taken off as well as the guard.
    """
    made = Bound(value=10.0, bias=0.4, standard_uncertainty=0.3, upper=11.3)
    assert made.value + GUARD * made.expanded / 2 == pytest.approx(11.3)
    assert made.value - GUARD * made.expanded_down / 2 == pytest.approx(10.0 - GUARD * 0.3 - 0.4)
    near = replace(made, upper=10.1, bias=-0.4)
    assert near.expanded == near.expanded_down == pytest.approx(0.6)


def test_two_readings_have_a_spread_and_one_has_none() -> None:
    """By hand: 1 and 3 scatter by the root of 2, their mean by 1."""
    made = repeated([1.0, 3.0])
    assert (made.mean, made.spread, made.standard_uncertainty, made.freedom) == pytest.approx(
        (2.0, np.sqrt(2.0), 1.0, 1)
    )
    with pytest.raises(ValueError, match="readings"):
        repeated([1.0])


LARGEST_OF_THREE = 1.5 / np.sqrt(np.pi)  # mean of three standard normals' largest: 0.8463
SPREAD_OF_THREE = 0.7480  # and its standard deviation


def largest(values: np.ndarray) -> np.ndarray:
    return np.asarray(values.max(axis=-1))


def below(share: float) -> float:
    """What the largest of three standard normals is below so often: F(q)^3."""
    return float(norm.ppf(share ** (1 / 3)))


def test_noise_lifts_the_largest_of_three_as_the_table_of_order_statistics_says() -> None:
    """David and Nagaraja 2003, Order Statistics, section 3.2: 0.8463 and 0.7480 of one reading's.

    The upper end is twice the value less what three in a hundred of the noisy ones are below.
    """
    made = upper_bound(
        largest, [40.0, 40.0, 40.0], lambda rng, count: rng.normal(0, 2.0, (count, 3)), seed=7,
        draws=40_000,
    )  # fmt: skip
    assert made.value == 40.0
    assert made.bias == pytest.approx(2.0 * LARGEST_OF_THREE, abs=0.04)
    assert made.standard_uncertainty == pytest.approx(2.0 * SPREAD_OF_THREE, rel=0.02)
    assert made.upper == pytest.approx(40.0 - 2.0 * below(0.03), abs=0.04)


@pytest.mark.parametrize(("draws", "upper"), [(40_000, 47.0 - 2.0 * below(0.05)), (90, None)])
def test_a_fitted_largest_value_is_lifted_alike(draws: int, upper: float | None) -> None:
    """The same table; observed at 47. Of fewer than a hundred draws no quantile is taken."""
    chance = np.random.Generator(np.random.Philox(3))
    made = upper_bound_of_fit(np.full(3, 40.0), 2.0, 47.0, largest, chance, draws=draws)
    wide = 4.5 * 2.0 * SPREAD_OF_THREE / np.sqrt(draws)
    assert made.value == 47.0
    assert made.bias == pytest.approx(2.0 * LARGEST_OF_THREE, abs=wide)
    assert made.standard_uncertainty == pytest.approx(2.0 * SPREAD_OF_THREE, rel=4.5 / draws**0.5)
    wanted = 47.0 - made.bias + GUARD * made.standard_uncertainty if upper is None else upper
    assert made.upper == pytest.approx(wanted, abs=0.04)


def test_of_several_places_the_highest_bound_counts() -> None:
    """By hand: 0 to 100 and 0 to 10 in even steps; 95 in a hundred are not above 95 and 9.5."""
    steps = np.linspace(0.0, 1.0, 101)
    places = np.column_stack([100.0 * steps, 10.0 * steps])
    for order in (slice(None), slice(None, None, -1)):
        made = upper_bound_by_trials(20.0, [21.0, 23.0], places[:, order])
        assert (made.upper, made.bias) == pytest.approx((95.0, 2.0))
        assert made.standard_uncertainty == pytest.approx(np.sqrt(2.0))
    assert upper_bound_by_trials(97.0, [97.0, 97.0], places).upper == 97.0
    for again, possible in (([1.0], [1.0, 2.0]), ([1.0, 2.0], [1.0])):
        with pytest.raises(ValueError, match="nothing was drawn"):
            upper_bound_by_trials(1.0, again, possible)


def test_a_long_line_is_measured_in_parts_and_as_often_as_was_said() -> None:
    """By definition: as many repeated measurements, however many stand in memory together."""
    rows: list[int] = []

    def noted(values: np.ndarray) -> np.ndarray:
        rows.append(len(values))
        return values[:, 0]

    chance = np.random.Generator(np.random.Philox(3))
    upper_bound_of_fit(np.zeros(400_000), 1.0, 0.0, noted, chance, draws=5)
    assert (rows[0], sum(rows[1:]), max(rows)) == (1, 5, 2)
