"""Ageing against its integral, the published example, and the table of ages that follows."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from retrue.base.refusals import Unusable
from retrue.science.ageing import chance_of_failing, renewing, survives

# Worked out from the cost rate of Barlow and Hunter 1960, Operations Research 8(1), 90-100 (from
# memory): shape, life, planned, failing, best age, cost rate.
TABLE = [
    (2.5, 1000.0, 1.0, 5.0, 493.047, 0.0034620427),
    (2.0, 500.0, 5.0, 100.0, 115.213, 0.087562183),
    (2.0, 1.0, 1.0, 5.0, 0.510655, 4.0852418),
    (2.0, 1.0, 1.0, 10.0, 0.336451, 6.0561214),
    (3.0, 1.0, 1.0, 5.0, 0.502610, 3.0313967),
    (3.0, 1.0, 1.0, 10.0, 0.382456, 3.9493503),
    (4.0, 1.0, 1.0, 5.0, 0.538402, 2.4971249),
    (1.5, 1.0, 1.0, 10.0, 0.378144, 8.3016163),
]


@pytest.mark.parametrize(("shape", "life", "planned", "failing", "age", "rate"), TABLE)
def test_the_best_age_and_its_cost(shape, life, planned, failing, age, rate):
    found = renewing(shape, life, planned, failing)
    assert found.age == pytest.approx(age, rel=5e-6)
    assert found.rate == pytest.approx(rate, rel=1e-7)
    assert found.rate < found.rate_failing


def test_the_example_of_a_public_library_of_reliability():
    """Its grid gave 493.185 and 0.003462042919 (secondary source: its own test file)."""
    found = renewing(2.5, 1000.0, 1.0, 5.0)
    assert found.age == pytest.approx(493.1851185, rel=5e-4)
    assert found.rate == pytest.approx(0.0034620429189943167, rel=1e-6)
    assert found.rate_failing == pytest.approx(0.0056353025, rel=1e-8)


@pytest.mark.parametrize(("shape", "life", "planned", "failing"), [row[:4] for row in TABLE])
def test_the_rate_is_that_of_the_integral_and_no_other_age_is_cheaper(
    shape, life, planned, failing
):
    def rate(age: float) -> float:
        lived = math.exp(-((age / life) ** shape))
        passed = quad(lambda t: math.exp(-((t / life) ** shape)), 0, age)[0]
        return (planned * lived + failing * (1 - lived)) / passed

    found = renewing(shape, life, planned, failing)
    assert found.rate == pytest.approx(rate(found.age), rel=1e-9)
    best = minimize_scalar(rate, bounds=(0.05 * life, 2 * life), method="bounded")
    assert found.rate <= best.fun * (1 + 1e-9)


@pytest.mark.parametrize("shape", [0.4, 0.9, 1.0])
def test_what_does_not_wear_out_is_never_renewed_by_age(shape):
    found = renewing(shape, 10.0, 1.0, 50.0)
    assert found.age is None
    assert found.rate == found.rate_failing
    assert found.rate_failing == pytest.approx(50.0 / stats.weibull_min(shape, scale=10.0).mean())


def test_what_costs_no_more_broken_is_left_until_it_breaks():
    assert renewing(3.0, 10.0, 5.0, 5.0).age is None
    assert renewing(3.0, 10.0, 5.0, 4.0).age is None
    assert renewing(1.001, 10.0, 5.0, 6.0).age is None  # hardly one would live to that age


def test_the_dearer_a_failure_the_earlier_it_is_renewed():
    ages = [renewing(2.0, 10.0, 1.0, failing).age for failing in (1.5, 3.0, 10.0, 1000.0, 1e14)]
    assert all(ages)
    assert ages == sorted(ages, reverse=True)


def test_failing_within_is_conditional_on_working_now():
    part = stats.weibull_min(2.3, scale=11.0)
    ages, within = np.array([0.0, 3.0, 24.0]), 5.0
    expected = (part.cdf(ages + within) - part.cdf(ages)) / part.sf(ages)
    found = chance_of_failing(ages, within, 2.3, 11.0)
    np.testing.assert_allclose(found, expected, rtol=1e-9)
    np.testing.assert_allclose(survives(ages, 2.3, 11.0), part.sf(ages), rtol=1e-12)
    assert found[0] < found[1] < found[2] < 1
    young = chance_of_failing(ages, within, 0.7, 11.0)
    assert young[0] > young[1] > young[2]  # what fails young has less ahead of it
    assert chance_of_failing(7.0, 0.0, 2.0, 10.0) == 0
    assert float(chance_of_failing(0.0, 1e-9, 1.0, 1.0)) == pytest.approx(1e-9, rel=1e-6)


@pytest.mark.parametrize(
    ("given", "field"),
    [((-1, 1, 1, 1), "age"), ((1, 1, 0, 1), "shape"), ((1, 1, 1, math.nan), "life")],
)
def test_what_cannot_age_is_named(given, field):
    with pytest.raises(Unusable) as refused:
        chance_of_failing(*given)
    assert [problem.where for problem in refused.value.problems] == [field]


def test_a_cost_that_is_none_is_refused():
    with pytest.raises(Unusable):
        renewing(2.0, 10.0, 0.0, 5.0)
