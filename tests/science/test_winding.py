"""Windings by their ohms: balance, temperature by resistance, back to the moment of switching off.

IEC 60034-1 and IEEE Std 112 are from memory; printed examples are secondary sources.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from retrue.base.refusals import Unusable
from retrue.science.winding import (
    ALUMINIUM_C,
    CLASS_C,
    COPPER_IEC_C,
    RISE_KELVIN,
    Joined,
    at_switching_off,
    at_temperature_ohm,
    largest_deviation_percent,
    phase_ohm,
    phases_ohm,
    rise_limit_kelvin,
    spread_percent,
    temperature_c,
)

OHM = st.floats(0.05, 20)


def test_temperature_by_resistance():
    """80 to 100 ohm from 20 degrees: 83.63 printed (secondary source); 83.625 and 63.6 K exact."""
    warm = temperature_c(100, 80, 20)
    assert warm == pytest.approx(83.625, abs=1e-9)
    assert warm - 20 == pytest.approx(63.6, abs=0.05)
    assert temperature_c(100, 80, 20, metal_c=ALUMINIUM_C) == pytest.approx(81.25)
    assert temperature_c(100, 80, 20, metal_c=COPPER_IEC_C) == pytest.approx(83.75)


@given(ohm=OHM, cold_c=st.floats(0, 40), warm_c=st.floats(0, 180))
def test_bringing_to_a_temperature_and_telling_it_are_each_others_way_back(
    ohm: float, cold_c: float, warm_c: float
):
    warm_ohm = at_temperature_ohm(ohm, cold_c, warm_c)
    assert temperature_c(warm_ohm, ohm, cold_c) == pytest.approx(warm_c, abs=1e-6)
    assert (warm_ohm > ohm) == (warm_c > cold_c) or warm_c == pytest.approx(cold_c)


def test_copper_grows_by_a_fifth_from_20_to_75_degrees():
    """(234.5 + 75) / (234.5 + 20) = 1.2161 (by definition)."""
    assert at_temperature_ohm(1.0, 20, 75) == pytest.approx(1.2161, abs=5e-5)
    with pytest.raises(Unusable, match="that cold"):
        at_temperature_ohm(1.0, -200, 20)


def test_spread_and_deviation_are_not_the_same_number():
    """1.00, 1.02, 1.01 ohm: 1.98 % from smallest to largest, 0.99 % from the mean."""
    assert spread_percent([1.00, 1.02, 1.01]) == pytest.approx(1.980, abs=5e-4)
    assert largest_deviation_percent([1.00, 1.02, 1.01]) == pytest.approx(0.990, abs=5e-4)
    for measured in (spread_percent, largest_deviation_percent):
        with pytest.raises(Unusable, match="three resistances"):
            measured([1.0, 0.0, 1.0])
        with pytest.raises(Unusable, match="three resistances"):
            measured([1.0, 1.0])


@given(ohms=st.tuples(OHM, OHM, OHM), joined=st.sampled_from(["star", "delta"]))
def test_phases_come_back_from_what_is_measured_between_lines(
    ohms: tuple[float, float, float], joined: Joined
):
    """Series in star, one parallel to two in series in delta (by definition)."""
    a, b, c = ohms
    if joined == "star":
        lines = a + b, b + c, c + a
    else:
        total = a + b + c
        lines = a * (b + c) / total, b * (c + a) / total, c * (a + b) / total
    assert phases_ohm(*lines, joined) == pytest.approx(ohms, rel=1e-6)


@given(line=OHM, joined=st.sampled_from(["star", "delta"]))
def test_like_phases_are_half_or_one_and_a_half_of_what_is_measured(line: float, joined: Joined):
    assert phases_ohm(line, line, line, joined)[0] == pytest.approx(phase_ohm(line, joined))
    assert phase_ohm(line, "delta") == pytest.approx(3 * phase_ohm(line, "star"))


def test_three_resistances_that_no_winding_has_are_refused():
    with pytest.raises(Unusable, match="no winding"):
        phases_ohm(1.0, 1.0, 2.5, "star")


def test_rise_limits_of_the_classes():
    """IEC 60034-1, by resistance, 40 degrees: B 80, F 105, H 125 K (from memory)."""
    assert [rise_limit_kelvin(letter) for letter in "BFH"] == [80, 105, 125]
    assert rise_limit_kelvin("F", air_c=20) == 105
    assert rise_limit_kelvin("F", air_c=50) == 95
    assert all(RISE_KELVIN[letter] + 40 <= CLASS_C[letter] for letter in RISE_KELVIN)
    with pytest.raises(Unusable, match="class"):
        rise_limit_kelvin("X")
    with pytest.raises(Unusable, match="class"):
        rise_limit_kelvin("F", air_c=61)


TIMES = np.arange(30.0, 331.0, 30.0)


def test_readings_while_it_cools_lead_back_to_the_moment_of_switching_off():
    cooled = 80 + 20 * np.exp(-TIMES / 300)
    found = at_switching_off(TIMES, cooled, 80)
    assert found.ohm == pytest.approx(100, abs=1e-6)
    assert found.constant_s == pytest.approx(300, abs=1e-4)
    assert found.give_or_take_ohm == pytest.approx(0, abs=1e-6)
    assert found.ohm > cooled[0]


def test_its_line_agrees_with_a_fit_of_the_curve_itself_and_its_give_or_take_holds():
    """Scipy's curve_fit as reference; 95 % of 300 noisy coolings cover what was true."""
    noise, held = np.random.default_rng(7), 0
    for _ in range(300):
        cooled = 80 + 20 * np.exp(-TIMES / 300) + noise.normal(0, 0.05, TIMES.size)
        found = at_switching_off(TIMES, cooled, 80)
        (over, tau), _ = curve_fit(
            lambda t, a, c: 80 + a * np.exp(-t / c), TIMES, cooled, (15, 200)
        )
        assert found.ohm == pytest.approx(80 + over, abs=0.02)
        assert found.constant_s == pytest.approx(tau, rel=0.01)
        held += abs(found.ohm - 100) <= found.give_or_take_ohm
    assert 0.92 * 300 <= held <= 0.985 * 300


@pytest.mark.parametrize(
    ("after_s", "ohms", "settled", "what"),
    [
        ([30, 60], [95.0, 90.0], 80, "three readings"),
        ([30, 30, 30], [95.0, 94.0, 93.0], 80, "three readings"),
        ([30, 60, 90], [95.0, 90.0, 79.0], 80, "not above"),
        ([30, 60, 90], [95.0, math.nan, 85.0], 80, "not above"),
        ([-30, 60, 90], [95.0, 90.0, 85.0], 80, "not above"),
        ([30, 60, 90], [85.0, 90.0, 95.0], 80, "does not cool"),
    ],
)
def test_readings_that_tell_nothing_are_refused(after_s, ohms, settled, what):
    with pytest.raises(Unusable, match=what):
        at_switching_off(after_s, ohms, settled)
