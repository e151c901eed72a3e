"""Warm-up: the three-point formula, the fit against it and a library, its doubt, its honesty."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit, minimize

from retrue.base.refusals import Unusable
from retrue.science.drift import settling
from retrue.science.temperature import growth_um
from retrue.science.warm_up import fit, three_points

RISE, TAU = 20.0, 30.0
AT = np.array([10.0, 20.0, 30.0])


def points(three, apart=10.0):
    first, second, third = three
    return three_points(first, second, third, apart)


def curve(at, rise=RISE, tau=TAU, start=0.0):
    return start + rise * (1 - np.exp(-np.asarray(at, float) / tau))


def test_three_readings_of_a_known_curve_give_it_back():
    """First-order lag, worked by hand: 20.000 K and 30.000 min from 10, 20 and 30 minutes."""
    found = points(curve(AT))
    assert found.settles == pytest.approx(20.0, abs=1e-9)
    assert found.tau_minutes == pytest.approx(30.0, abs=1e-9)
    rounded = three_points(5.6694, 9.7317, 12.6424, 10.0)
    assert rounded.settles == pytest.approx(20.0, abs=1e-3)
    assert rounded.tau_minutes == pytest.approx(30.0, abs=5e-3)


def test_three_points_do_not_care_for_the_zero_of_the_scale_and_know_cooling():
    warm = points(21.0 + curve(AT))
    assert warm.settles == pytest.approx(41.0, abs=1e-9)
    cool = points(60.0 - curve(AT))
    assert (cool.settles, cool.tau_minutes) == pytest.approx((40.0, 30.0), abs=1e-9)


@pytest.mark.parametrize("three", [(1, 2, 3), (1, 2, 4), (1, 3, 2), (2, 2, 2), (1, 2, 2)])
def test_three_readings_that_do_not_bend_to_rest_are_refused(three):
    with pytest.raises(Unusable):
        points(three)


def test_growth_of_a_length_by_the_part_of_the_rise_that_is_still_to_come():
    """Linear expansion, worked by hand: 12e-6 x 300 mm x 5.276 K = 19.0 um."""
    assert growth_um(300.0, 12.0, 5.276) == pytest.approx(18.99, abs=0.01)


def test_the_fit_is_that_of_a_general_library():
    """scipy.optimize.curve_fit, the same model and the same readings."""
    rng = np.random.default_rng(4)
    at = np.arange(0.0, 91.0, 3.0)
    seen = curve(at, start=21.0) + rng.normal(0, 0.2, len(at))
    theirs, _ = curve_fit(
        lambda t, a, r, tau: a + r * (1 - np.exp(-t / tau)), at, seen, p0=(20, 10, 20)
    )
    ours = fit(at, seen)
    assert ours.settles_c == pytest.approx(theirs[0] + theirs[1], abs=1e-4)
    assert ours.tau_minutes == pytest.approx(theirs[2], rel=1e-4)
    other = settling(at, seen)
    assert ours.start_c == pytest.approx(other.start, abs=1e-4)
    assert ours.at(45.0) == pytest.approx(other.at(45.0), abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(
    rise=st.floats(3, 60), tau=st.floats(8, 60), start=st.floats(-10, 40), later=st.floats(0, 99)
)
@pytest.mark.parametrize("sign", [1, -1])
def test_a_curve_is_found_again_up_and_down_wherever_its_time_begins(sign, rise, tau, start, later):
    at = np.linspace(0, 90, 25)
    found = fit(later + at, curve(at, sign * rise, tau, start), reading_sd=0.02)
    assert found.settles_c == pytest.approx(start + sign * rise, abs=1e-3)
    assert found.tau_minutes == pytest.approx(tau, rel=1e-3)
    assert found.start_minute == later
    assert found.settles_low_c < start + sign * rise < found.settles_high_c
    levels = tau * math.log(rise * math.expm1(5 / tau) / 0.5)
    if levels > 5:
        assert found.level_minute - later == pytest.approx(levels, rel=1e-3, abs=1e-3)


def test_when_it_levels_is_when_it_changes_by_half_a_kelvin_in_five_minutes():
    found = fit(AT, curve(AT), reading_sd=0.01)
    before, then = found.at([found.level_minute - 5.0, found.level_minute])
    assert then - before == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("sd", [0.05, 0.3])
def test_the_truth_lies_within_the_give_or_take_about_as_often_as_it_says(sd):
    """Its own claim, about 95 of 100, on drawn warm-ups of all lengths; fifteen draws of seeds."""
    rng = np.random.default_rng(15)
    told = inside = levels = 0
    for _ in range(250):
        tau, rise = rng.uniform(8, 40), rng.uniform(5, 40)
        at = np.linspace(0, rng.uniform(0.7, 3) * tau, rng.integers(6, 40))
        found = fit(at, curve(at, rise, tau, 20.0) + rng.normal(0, sd, len(at)))
        assert found.shape != "faster"
        if found.told and found.shape == "settles":
            told += 1
            inside += found.settles_low_c <= 20.0 + rise <= found.settles_high_c
            true = max(tau * math.log(max(rise * math.expm1(5 / tau) / 0.5, 1.0)), 0.0)
            levels += found.level_low_minute - 5 <= true <= found.level_high_minute
    assert told > 150
    assert 0.91 < inside / told < 0.985
    assert levels / told > 0.91


@pytest.mark.parametrize("end", ["settles_low_c", "settles_high_c"])
def test_through_each_end_of_the_give_or_take_the_best_curve_fits_worse_by_just_so_much(end):
    """Profile of the sum of squares (Bates and Watts, from memory), by a general minimiser."""
    rng = np.random.default_rng(8)
    at, sd = np.arange(0.0, 46.0, 3.0), 0.2
    seen = curve(at, 20.0, 30.0, 21.0) + rng.normal(0, 0.02, len(at))
    found = fit(at, seen, reading_sd=sd)
    edge = getattr(found, end)

    def squares(both):
        start, tau = both
        return float(np.sum((edge + (start - edge) * np.exp(-at / tau) - seen) ** 2))

    least = float(np.sum((found.at(at) - seen) ** 2))
    through = minimize(squares, (found.start_c, found.tau_minutes), method="Nelder-Mead",
                       options={"xatol": 1e-8, "fatol": 1e-12, "maxiter": 4000}).fun  # fmt: skip
    assert through - least == pytest.approx((2 * sd) ** 2, rel=0.02)


def test_a_beginning_that_is_still_straight_does_not_tell_where_it_settles():
    rng = np.random.default_rng(2)
    at = np.arange(0.0, 7.0)
    found = fit(at, curve(at, 25.0, 40.0, 20.0) + rng.normal(0, 0.15, len(at)))
    assert found.shape == "straight"
    assert not found.told
    assert math.isnan(found.settles_c)
    assert math.isinf(found.settles_give_or_take_k)
    assert math.isinf(found.level_minute)


def test_three_readings_without_a_stated_doubt_give_a_curve_and_no_give_or_take():
    found = fit(AT, curve(AT))
    assert found.settles_c == pytest.approx(20.0, abs=1e-4)
    assert not found.told
    assert fit(AT, curve(AT), reading_sd=0.01).told


def test_what_heats_faster_and_faster_is_called_so_and_never_said_to_settle():
    at = np.arange(0.0, 31.0, 3.0)
    found = fit(at, 30 + 2.0 * np.exp(at / 12.0), reading_sd=0.2)
    assert found.shape == "faster"
    assert not found.told
    assert found.bending_per_min == pytest.approx(-1 / 12, rel=1e-3)


def test_what_does_not_change_is_level_already():
    at = np.arange(0.0, 21.0, 2.0)
    found = fit(at, 33 + 0.05 * np.cos(at * 9), reading_sd=0.1)
    assert found.shape == "flat"
    assert found.settles_c == pytest.approx(33.0, abs=0.1)
    assert found.level_minute == 0.0


def test_a_wider_doubt_is_wider():
    at = np.arange(0.0, 40.0, 3.0)
    one, two = (fit(at, curve(at), reading_sd=0.1, doubt_times=k) for k in (1.0, 1.5))
    assert two.settles_give_or_take_k > 1.3 * one.settles_give_or_take_k


def test_readings_long_on_one_side_of_the_curve_widen_its_doubt():
    at = np.arange(0.0, 60.0, 1.0)
    bent = curve(at) + 0.4 * np.sin(at / 6.0)
    mixed = curve(at) + 0.4 * math.sqrt(0.5) * np.where(np.arange(60) % 2, 1.0, -1.0)
    assert fit(at, bent).settles_give_or_take_k > 2 * fit(at, mixed).settles_give_or_take_k


@pytest.mark.parametrize(
    ("at", "seen"),
    [([0, 1], [20, 21]), ([0, 0, 1], [20, 21, 22]), ([0, 1, 2], [20, math.nan, 22]), ([0, 1], [1])],
)
def test_too_few_or_missing_readings_are_refused(at, seen):
    with pytest.raises(Unusable):
        fit(at, seen)
