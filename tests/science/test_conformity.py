"""What a value proves against a limit: the rules of the standards and their chances."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from retrue.base.chance import stream
from retrue.science.conformity import GUARD, interval_conformance, ruling_of, upper_conformance


def test_the_worked_example_of_conformance_probability():
    """JCGM 106:2012, 7.4: 13.6 with u = 1.8 between 12.5 and 16.3 conforms with 0.66."""
    made = interval_conformance(13.6, 12.5, 16.3, 1.8)
    assert round(made, 2) == 0.66
    assert made == pytest.approx(0.66263, abs=5e-6)
    assert made == pytest.approx(stats.norm.cdf(1.5) - stats.norm.cdf(-1.1 / 1.8))


def test_the_guard_band_of_the_default_rule():
    """ISO 14253-1:2017, 95 % (from memory): limit 20 and u = 1 prove up to 18.3551 and no more."""
    assert pytest.approx(1.644854, abs=5e-7) == GUARD
    assert pytest.approx(stats.norm.ppf(0.95), rel=1e-12) == GUARD
    edge = 20 - GUARD
    assert edge == pytest.approx(18.3551, abs=5e-5)
    assert upper_conformance(edge, 20, 1) == pytest.approx(0.95, abs=1e-12)
    assert ruling_of(edge, 20, 1) == "proved_good"
    assert ruling_of(math.nextafter(edge, 30), 20, 1) == "not_proved"
    assert upper_conformance(18, 20, 1) == pytest.approx(0.97725, abs=5e-6)


def test_outside_is_proved_only_beyond_the_band_on_the_other_side():
    assert ruling_of(20 + GUARD, 20, 1) == "not_proved"
    assert ruling_of(20 + GUARD + 1e-9, 20, 1) == "proved_bad"
    assert ruling_of(20.0, 20, 1) == "not_proved"


def test_a_guard_band_as_wide_as_the_expanded_uncertainty_errs_one_time_in_forty():
    """ILAC-G8:09/2019, 4.2: with w = U (k = 2) a false acceptance is below 2.5 %.

    Ours is narrower, 1.645 instead of 2 standard uncertainties: one time in twenty at its edge.
    """
    assert 1 - upper_conformance(20 - 2.0, 20, 1) < 0.025
    assert 1 - upper_conformance(20 - GUARD, 20, 1) == pytest.approx(0.05, abs=1e-12)
    assert ruling_of(20 - 2.0, 20, 1) == "proved_good"


def test_without_a_stated_doubt_nothing_is_proved_by_the_guarded_rule():
    assert ruling_of(1.0, 20, None) == "not_proved"
    assert ruling_of(99.0, 20, None) == "not_proved"
    assert ruling_of(20.0, 20, None, rule="simple") == "proved_good"
    assert ruling_of(20.1, 20, None, rule="simple") == "proved_bad"


def test_a_rule_that_nobody_wrote_is_refused():
    with pytest.raises(ValueError, match="guarded or simple"):
        ruling_of(1, 2, 0.1, rule="generous")


def test_without_any_doubt_the_chance_is_one_or_nothing():
    assert upper_conformance(20, 20, 0) == 1
    assert upper_conformance(math.nextafter(20, 21), 20, 0) == 0
    assert ruling_of(20, 20, 0) == "proved_good"


def test_what_is_proved_good_is_false_at_most_as_often_as_the_rule_says():
    """20,000 simulated readings of a machine exactly at its limit: 5 % pass, 5 % are condemned."""
    readings = 20 + stream(8, "at the limit").standard_normal(20_000)
    ruled = [ruling_of(reading, 20, 1) for reading in readings]
    assert ruled.count("proved_good") / 20_000 == pytest.approx(0.05, abs=0.006)
    assert ruled.count("proved_bad") / 20_000 == pytest.approx(0.05, abs=0.006)


sizes = st.floats(0, 100)
doubts = st.floats(1e-3, 50)
ORDER = ["proved_good", "not_proved", "proved_bad"]


@given(sizes, sizes, st.floats(0.1, 100), doubts)
def test_a_larger_value_is_never_ruled_better(one: float, other: float, limit: float, u: float):
    low, high = sorted((one, other))
    assert ORDER.index(ruling_of(low, limit, u)) <= ORDER.index(ruling_of(high, limit, u))
    assert upper_conformance(low, limit, u) >= upper_conformance(high, limit, u)


@given(sizes, st.floats(0.1, 100), doubts, st.floats(1.0, 10))
def test_more_doubt_never_proves_more(value: float, limit: float, u: float, more: float):
    if ruling_of(value, limit, u) == "not_proved":
        assert ruling_of(value, limit, u * more) == "not_proved"


@given(sizes, st.floats(0.1, 100), doubts, st.floats(1e-3, 1e3))
def test_the_unit_does_not_matter(value: float, limit: float, u: float, scale: float):
    before = upper_conformance(value, limit, u)
    assert upper_conformance(value * scale, limit * scale, u * scale) == pytest.approx(before)
