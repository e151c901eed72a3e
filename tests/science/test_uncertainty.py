"""Doubt put together: the worked examples of the guide, the table of factors, outside libraries."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import uncertainties  # type: ignore[import-untyped]
import uncertainties.umath  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from retrue.base.chance import stream
from retrue.science import uncertainty as doubt
from retrue.science.least_squares import fit
from retrue.science.uncertainty import Component, budget, coverage_factor

# JCGM 100:2008 (GUM), H.1: a gauge block of 50 mm; lengths in nm, temperatures in degrees.
STANDARD, THETA, ALPHA = 50_000_623.0, -0.1, 11.5e-6


def gauge_block(*, rounded: bool) -> doubt.Budget:
    d = budget(
        [
            Component(name="repeated", standard_uncertainty=5.8, freedom=24),
            Component(name="comparator, random", standard_uncertainty=3.9, freedom=5),
            Component(name="comparator, systematic", standard_uncertainty=6.7, freedom=8),
        ]
    )
    half_degree = 0.05 / math.sqrt(3)
    return budget(
        [
            Component(name="standard", standard_uncertainty=25.0, freedom=18),
            Component(
                name="difference",
                standard_uncertainty=9.7 if rounded else d.combined,
                freedom=25.6 if rounded else d.freedom,
            ),
            Component(name="expansion", standard_uncertainty=1.2e-6, sensitivity=0.0),
            Component(name="temperature", standard_uncertainty=0.41, sensitivity=0.0),
            Component(
                name="difference of expansion",
                standard_uncertainty=0.58e-6 if rounded else 1e-6 / math.sqrt(3),
                sensitivity=-STANDARD * THETA,
                freedom=50,
            ),
            Component(
                name="difference of temperature",
                standard_uncertainty=0.029 if rounded else half_degree,
                sensitivity=-STANDARD * ALPHA,
                freedom=2,
            ),
        ]
    )


def test_the_gauge_block_of_the_guide():
    """JCGM 100:2008 (GUM), H.1, table H.1: u = 32 nm, effective freedom 16, U(99 %) = 93 nm."""
    made = gauge_block(rounded=True)
    assert made.contributions.round(1).tolist() == [25.0, 9.7, 0.0, 0.0, 2.9, -16.7]
    assert made.combined == pytest.approx(31.71, abs=0.005)
    assert round(made.combined) == 32
    assert made.freedom == pytest.approx(16.66, abs=0.005)
    assert math.floor(made.freedom) == 16
    assert coverage_factor(made.freedom, 0.99, whole=True) == pytest.approx(2.92, abs=0.005)
    # The guide multiplies what it has rounded: 2.92 times 32 is 93.
    assert round(2.92 * round(made.combined)) == 93


def test_the_gauge_block_without_rounding_on_the_way():
    """JCGM 100:2008, H.1, inputs unrounded; 92.48 nm stands against the printed 93 (2.92 x 32)."""
    made = gauge_block(rounded=False)
    assert made.combined == pytest.approx(31.6639, abs=5e-5)
    assert made.freedom == pytest.approx(16.7519, abs=5e-5)
    assert made.expanded(0.99, whole=True) == pytest.approx(92.48, abs=0.005)


def test_the_difference_of_the_gauge_block():
    """JCGM 100:2008, H.1.3.2: 5.8, 3.9 and 6.7 nm make 9.7 nm with 25.6 degrees of freedom."""
    sizes = [5.8, 3.9, 6.7]
    assert np.hypot.reduce(sizes) == pytest.approx(9.7, abs=0.05)
    # The guide takes the fourth power of the rounded 9.7; unrounded it is 25.45.
    made = doubt.effective_freedom(sizes, [24, 5, 8])
    assert made == pytest.approx(25.447, abs=5e-4)
    assert made * 9.7**4 / np.hypot.reduce(sizes) ** 4 == pytest.approx(25.6, abs=0.05)


def test_the_second_order_of_the_gauge_block():
    """JCGM 100:2008, H.1.7: terms of 11.7 (unrounded 11.89) and 1.7 nm make 34 nm of the 32."""
    # Inputs: standard, difference, expansion, temperature, and the two small differences.
    gradient = [1.0, 1.0, 0.0, 0.0, -STANDARD * THETA, -STANDARD * ALPHA]
    sizes = [25.0, 9.7, 1.2e-6, 0.41, 0.58e-6, 0.029]
    hessian = np.zeros((6, 6))
    hessian[3, 4] = hessian[4, 3] = -STANDARD
    hessian[2, 5] = hessian[5, 2] = -STANDARD
    first = doubt.second_order(gradient, sizes, np.zeros((6, 6)))
    assert first == pytest.approx(gauge_block(rounded=True).combined)
    assert pytest.approx(11.890, abs=5e-4) == STANDARD * 0.41 * 0.58e-6
    assert pytest.approx(1.740, abs=5e-4) == STANDARD * 1.2e-6 * 0.029
    assert doubt.second_order(gradient, sizes, hessian) == pytest.approx(33.911, abs=5e-4)


def test_the_second_order_needs_the_third_derivatives():
    """The variance of x cubed about 0 is 15 s^6: by definition of the normal distribution.

    The series stops earlier (0 by second order for a cube at 0), so a square is checked: x^2 at
    0 has the variance 2 s^4; and (1 + x)^3 at 0 gets 9 s^2 + 18 s^4 + 18 s^4.
    """
    assert doubt.second_order([0.0], [0.5], [[2.0]]) == pytest.approx(math.sqrt(2) * 0.25)
    made = doubt.second_order([3.0], [0.1], [[6.0]], [[6.0]])
    assert made**2 == pytest.approx(9 * 0.1**2 + 18 * 0.1**4 + 18 * 0.1**4)


# JCGM 100:2008 (GUM), H.2, table H.2: volts, milliamperes, radians, read together five times.
SETS = np.array(
    [
        (5.007, 19.663, 1.0456),
        (4.994, 19.639, 1.0438),
        (5.005, 19.640, 1.0468),
        (4.990, 19.685, 1.0428),
        (4.999, 19.678, 1.0433),
    ]
)
OHMS: dict[str, tuple[Callable[[Any], float], float, float]] = {
    "resistance": (lambda x: x[0] / x[1] * 1000 * math.cos(x[2]), 127.732, 0.071),
    "reactance": (lambda x: x[0] / x[1] * 1000 * math.sin(x[2]), 219.847, 0.295),
    "impedance": (lambda x: x[0] / x[1] * 1000, 254.260, 0.236),
}


@pytest.mark.parametrize("name", OHMS)
def test_inputs_that_were_read_together_are_correlated(name: str):
    """JCGM 100:2008, H.2, table H.4: 127.732 (0.071), 219.847 (0.295), 254.260 (0.236) ohm."""
    model, value, size = OHMS[name]
    means = [doubt.repeated(column) for column in SETS.T]
    centre = np.array([one.mean for one in means])
    sizes = np.array([one.standard_uncertainty for one in means])
    slopes = doubt.sensitivities(model, centre, sizes)
    matrix = np.corrcoef(SETS.T)
    made = budget(
        [
            Component(name="", standard_uncertainty=u, sensitivity=c, freedom=4)
            for u, c in zip(sizes, slopes, strict=True)
        ],
        correlation=matrix,
    )
    assert model(centre) == pytest.approx(value, abs=6e-4)
    # The guide prints u(X) = 0.295; unrounded it is 0.29558.
    assert made.combined == pytest.approx(size, abs=6e-4)
    assert made.freedom == pytest.approx(4.0)
    alone = budget(made.components)
    assert alone.combined > 1.3 * made.combined or alone.combined < 0.95 * made.combined


def test_correlated_inputs_agree_with_an_outside_library():
    """The Python package uncertainties, correlated_values_norm, on the data of GUM H.2."""
    means = [doubt.repeated(column) for column in SETS.T]
    pairs = [(one.mean, one.standard_uncertainty) for one in means]
    v, i, phase = uncertainties.correlated_values_norm(pairs, np.corrcoef(SETS.T))
    theirs = v / i * 1000 * uncertainties.umath.cos(phase)
    sizes = np.array([u for _, u in pairs])
    slopes = doubt.sensitivities(OHMS["resistance"][0], [m for m, _ in pairs], sizes)
    ours = budget(
        [
            Component(name="", standard_uncertainty=u, sensitivity=c)
            for u, c in zip(sizes, slopes, strict=True)
        ],
        correlation=np.corrcoef(SETS.T),
    )
    assert ours.combined == pytest.approx(theirs.std_dev, rel=1e-5)
    assert math.isinf(ours.freedom)


def test_independent_inputs_agree_with_an_outside_library():
    """The Python package uncertainties on the gauge block of GUM H.1, rounded inputs: 31.7106."""
    standard = uncertainties.ufloat(STANDARD, 25)
    d, theta = uncertainties.ufloat(215, 9.7), uncertainties.ufloat(-0.1, 0.41)
    alpha = uncertainties.ufloat(ALPHA, 1.2e-6)
    d_alpha, d_theta = uncertainties.ufloat(0, 0.58e-6), uncertainties.ufloat(0, 0.029)
    theirs = standard + d - standard * (d_alpha * theta + alpha * d_theta)
    assert theirs.nominal_value == pytest.approx(50_000_838)
    assert gauge_block(rounded=True).combined == pytest.approx(theirs.std_dev, rel=1e-9)


def test_a_thermometer_calibrated_by_a_straight_line():
    """JCGM 100:2008, H.3: -0.1712 (29), 0.00218 (67), r -0.930; at 30 degrees -0.1494 (41)."""
    t = np.array(
        [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    )
    b = -np.array([171, 169, 166, 159, 164, 165, 156, 157, 159, 161, 160]) / 1000
    line = fit(np.column_stack([np.ones(11), t - 20]), b)
    assert line.parameters == pytest.approx([-0.1712, 0.00218], abs=5e-5)
    assert line.standard_uncertainties == pytest.approx([0.0029, 0.00067], abs=5e-5)
    assert line.residual_sd == pytest.approx(0.0035, abs=5e-5)
    sizes = line.standard_uncertainties
    r = line.covariance[0, 1] / sizes[0] / sizes[1]
    assert r == pytest.approx(-0.930, abs=5e-4)
    at_30 = budget(
        [
            Component(name="intercept", standard_uncertainty=sizes[0], freedom=9),
            Component(name="slope", standard_uncertainty=sizes[1], sensitivity=10, freedom=9),
        ],
        correlation=[[1, r], [r, 1]],
    )
    assert line.parameters @ [1, 10] == pytest.approx(-0.1494, abs=5e-5)
    assert at_30.combined == pytest.approx(0.0041, abs=5e-5)
    assert at_30.freedom == pytest.approx(9)


TABLE: dict[float, dict[float, float]] = {
    0.95: {
        1: 12.71, 2: 4.30, 3: 3.18, 4: 2.78, 5: 2.57, 6: 2.45, 7: 2.36, 8: 2.31, 9: 2.26,
        10: 2.23, 15: 2.13, 20: 2.09, 30: 2.04, 50: 2.01, 100: 1.984, math.inf: 1.960,
    },
    0.9545: {1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 10: 2.28, 20: 2.13, 50: 2.05},
    0.99: {1: 63.66, 2: 9.92, 5: 4.03, 10: 3.17, 16: 2.92, 20: 2.85},
}  # fmt: skip


@pytest.mark.parametrize(
    ("coverage", "freedom"), [(p, v) for p, column in TABLE.items() for v in column]
)
def test_the_table_of_coverage_factors(coverage: float, freedom: float):
    """NIST Technical Note 1297 (1994), appendix B, table B.1, as printed (7 at 95 %: 2.36)."""
    printed = TABLE[coverage][freedom]
    digits = 3 if printed in (1.984, 1.960) else 2
    assert round(coverage_factor(freedom, coverage), digits) == pytest.approx(printed, abs=1e-9)


@given(st.floats(0.6, 1e6), st.floats(0.01, 0.9999))
def test_coverage_factors_are_those_of_the_t_distribution(freedom: float, coverage: float):
    """scipy.stats.t is the reference."""
    theirs = stats.t.ppf((1 + coverage) / 2, freedom)
    assert coverage_factor(freedom, coverage) == pytest.approx(theirs, rel=1e-9)


def test_two_means_are_compared_as_by_welch():
    """scipy.stats.ttest_ind(equal_var=False) is the reference for freedom and interval."""
    before, after = [3.0, 5.0, 4.0, 4.5], [9.0, 8.0, 9.5, 12.0, 7.0, 8.5]
    change, made = doubt.difference(before, after)
    theirs = stats.ttest_ind(after, before, equal_var=False)
    low, high = theirs.confidence_interval(0.95)
    assert change > 0  # after less before
    assert change == pytest.approx((low + high) / 2)
    assert made.freedom == pytest.approx(theirs.df)
    assert made.expanded() == pytest.approx((high - low) / 2)
    back, _ = doubt.difference(after, before)
    assert back == -change


def test_the_interval_of_two_means_holds_the_true_change_as_often_as_it_says():
    """2,000 simulated pairs of sets with unlike spreads; 93 to 97 % is asked of 95 %."""
    source = stream(3, "two means")
    first = source.normal(10, 3, (2000, 5))
    second = source.normal(14, 1, (2000, 7))
    held = 0
    for a, b in zip(first, second, strict=True):
        change, made = doubt.difference(a, b)
        held += abs(change - 4) <= made.expanded()
    assert 0.93 <= held / 2000 <= 0.97


def test_the_interval_of_one_mean_holds_the_true_value_as_often_as_it_says():
    """2,000 simulated sets of five readings; with k = 2 it would hold about 88 %."""
    sets = stream(4, "one mean").normal(0, 2, (2000, 5))
    made = [doubt.repeated(row) for row in sets]
    held = [abs(m.mean) <= coverage_factor(m.freedom) * m.standard_uncertainty for m in made]
    assert 0.93 <= np.mean(held) <= 0.97
    assert np.mean([abs(m.mean) <= 2 * m.standard_uncertainty for m in made]) < 0.92


sizes = st.lists(st.floats(0.01, 100), min_size=1, max_size=6)


@given(sizes, st.randoms(use_true_random=False))
def test_the_order_of_components_does_not_matter(values: list[float], shuffle):
    made = [Component(name="", standard_uncertainty=v, freedom=1 + i) for i, v in enumerate(values)]
    mixed = list(made)
    shuffle.shuffle(mixed)
    one, other = budget(made), budget(mixed)
    assert one.combined == pytest.approx(other.combined)
    assert one.freedom == pytest.approx(other.freedom)
    assert min(c.freedom for c in made) <= one.freedom * (1 + 1e-12)
    assert one.freedom <= sum(c.freedom for c in made) * (1 + 1e-12)


@given(sizes)
def test_fully_correlated_components_add_up_and_opposed_ones_cancel(values: list[float]):
    made = [Component(name="", standard_uncertainty=v) for v in values]
    ones = np.ones((len(values), len(values)))
    assert budget(made, correlation=ones).combined == pytest.approx(sum(values))
    pair = [
        Component(name="", standard_uncertainty=values[0]),
        Component(name="", standard_uncertainty=values[0], sensitivity=-1.0),
    ]
    assert budget(pair, correlation=np.ones((2, 2))).combined == pytest.approx(0, abs=1e-5)


def test_a_correlated_pair_counts_once_with_the_smaller_freedom():
    pair = [
        Component(name="a", standard_uncertainty=1.0, freedom=4),
        Component(name="b", standard_uncertainty=1.0, freedom=9),
    ]
    assert budget(pair, correlation=[[1, 0.5], [0.5, 1]]).freedom == pytest.approx(4)
    assert budget(pair).freedom > 9


@pytest.mark.parametrize(
    ("components", "correlation"),
    [
        ([], None),
        ([Component(name="", standard_uncertainty=-1.0)], None),
        ([Component(name="", standard_uncertainty=1.0, freedom=0)], None),
        ([Component(name="", standard_uncertainty=1.0)] * 2, [[1, 0.5], [0.4, 1]]),
        ([Component(name="", standard_uncertainty=1.0)] * 2, [[1, 1.5], [1.5, 1]]),
        ([Component(name="", standard_uncertainty=1.0)] * 2, [[1.0]]),
    ],
)
def test_what_is_no_budget_is_refused(components, correlation):
    with pytest.raises(ValueError, match=r"\w"):
        budget(components, correlation=correlation)


@pytest.mark.parametrize(("freedom", "coverage"), [(0, 0.95), (-1, 0.95), (5, 0), (5, 1), (5, 95)])
def test_what_is_no_chance_or_freedom_is_refused(freedom: float, coverage: float):
    with pytest.raises(ValueError, match="freedom"):
        coverage_factor(freedom, coverage)


def test_one_reading_says_nothing_of_its_spread():
    with pytest.raises(ValueError, match="two readings"):
        doubt.repeated([1.0])


def test_no_uncertainty_at_all_stays_none():
    made = budget([Component(name="", standard_uncertainty=0.0, freedom=3)])
    assert (made.combined, made.expanded()) == (0.0, 0.0)
    assert doubt.sensitivities(lambda x: float(x[0]), [1.0], [0.0]).tolist() == [0.0]
