"""Drift against certified data, in both directions, and how often its doubt covers the truth."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.science.often import OFTEN

from retrue.science.drift import largest_range, settling, until_at_rest, within_a_part
from retrue.science.give_or_take import expanded

DATA = Path(__file__).resolve().parents[1] / "data" / "nist" / "Misra1a.dat"
HOUR = np.arange(0.0, 121.0, 5.0)


def misra():
    rows = re.findall(r"^\s+(\d+\.\d+)E0\s+(\d+\.\d+)E0\s*$", DATA.read_text(), re.MULTILINE)
    assert len(rows) == 14
    return np.array(rows, dtype=float).T


def test_the_fit_is_the_certified_one():
    """NIST StRD, Misra1a: b1 238.94212918 (2.7070075241), b2 5.5015643181e-4 (7.2668688436e-6)."""
    y, x = misra()
    found = settling(x, y, from_zero=True)
    assert found.rise == pytest.approx(2.3894212918e2, rel=1e-8)
    assert found.rise_u == pytest.approx(2.7070075241, rel=1e-6)
    assert 1 / found.time_constant == pytest.approx(5.5015643181e-4, rel=1e-8)
    doubt = found.time_constant_u / found.time_constant**2
    assert doubt == pytest.approx(7.2668688436e-6, rel=1e-6)
    assert found.residual_sum == pytest.approx(1.2455138894e-1, rel=1e-9)
    assert found.freedom == 12
    assert not found.settled  # the record ends long before the curve does


@settings(max_examples=25, deadline=None)
@given(rise=st.floats(2, 80), constant=st.floats(8, 80), start=st.floats(-50, 50))
@pytest.mark.parametrize("sign", [1, -1])
def test_a_curve_is_found_again_up_or_down(sign, rise, constant, start):
    found = settling(HOUR, start + sign * rise * (1 - np.exp(-HOUR / constant)))
    assert found.rise == pytest.approx(sign * rise, rel=1e-4)
    assert found.time_constant == pytest.approx(constant, rel=1e-4)
    assert found.start == pytest.approx(start, abs=1e-3)


def test_what_is_still_to_come_is_what_the_curve_says():
    found = settling(HOUR, -24 * (1 - np.exp(-HOUR / 30)))
    rest = until_at_rest(found, 2.0)
    assert rest == pytest.approx(30 * np.log(12), rel=1e-6)
    assert found.at([1e6])[0] - found.at([rest])[0] == pytest.approx(-2.0, abs=1e-4)
    assert within_a_part(found, rest, 1e6) == pytest.approx(2.0, abs=1e-4)
    assert until_at_rest(found, 30.0) == 0


def test_ranges_do_not_care_where_the_zero_is():
    seen = [3.0, 9.0, -1.0, 30.0]
    assert largest_range([0, 10, 60, 61], seen, 60) == 10.0
    assert largest_range([5, 15, 65, 66], np.add(seen, 100), 60) == 10.0
    assert largest_range([0, 10, 60, 61], seen) == 31.0


def test_nothing_is_fitted_to_too_little():
    with pytest.raises(ValueError, match="five"):
        settling([0, 1, 2, 3], [0, 1, 2, 3])
    with pytest.raises(ValueError, match="change"):
        settling(HOUR, np.zeros_like(HOUR))


def test_the_doubt_covers_rise_and_time_constant_as_often_as_it_says():
    """Simulated warm-ups; the promise is 95 in 100."""
    draw = np.random.Generator(np.random.Philox(44))
    times = np.arange(0.0, 181.0, 10.0)
    truth = 24 * (1 - np.exp(-times / 35))
    rises = constants = 0
    for _ in range(OFTEN):
        found = settling(times, truth + draw.normal(0, 0.5, len(times)))
        rises += abs(found.rise - 24) <= expanded(found.rise_u, found.freedom)
        doubt = expanded(found.time_constant_u, found.freedom)
        constants += abs(found.time_constant - 35) <= doubt
    assert 0.93 <= rises / OFTEN <= 0.97
    assert 0.93 <= constants / OFTEN <= 0.97
