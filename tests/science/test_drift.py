from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import curve_fit

from retrue.science.drift import per_kelvin, range_within, settle
from retrue.science.uncertainty import coverage_factor

NIST = Path(__file__).resolve().parents[1] / "data" / "nist" / "Misra1a.dat"
CERTIFIED = {
    "b1": 2.3894212918e02, "b2": 5.5015643181e-04, "sd1": 2.7070075241, "sd2": 7.2668688436e-06,
    "squares": 1.2455138894e-01, "sd": 1.0187876330e-01,
}  # fmt: skip


def rise(times, start, settled, constant):
    return start + settled * (1 - np.exp(-times / constant))


def test_the_certified_rise_is_found():
    """NIST Statistical Reference Datasets, nonlinear, Misra1a: y = b1 (1 - exp(-b2 x))."""
    lines = NIST.read_text(encoding="utf-8").splitlines()
    data = np.array([[float(x) for x in line.split()] for line in lines[-14:]])
    made = settle(data[:, 1], data[:, 0], with_start=False)
    assert made.settled == pytest.approx(CERTIFIED["b1"], rel=1e-8)
    assert 1 / made.time_constant == pytest.approx(CERTIFIED["b2"], rel=1e-8)
    assert made.settled_uncertainty == pytest.approx(CERTIFIED["sd1"], rel=1e-6)
    # of b2 = 1 / time constant, to first order
    doubt = made.time_constant_uncertainty / made.time_constant**2
    assert doubt == pytest.approx(CERTIFIED["sd2"], rel=1e-6)
    assert made.squares == pytest.approx(CERTIFIED["squares"], rel=1e-9)
    assert made.residual_sd == pytest.approx(CERTIFIED["sd"], rel=1e-9)
    assert (made.start, made.freedom) == (0, 12)


def test_a_general_library_finds_the_same():
    """scipy.optimize.curve_fit as reference, parameters and covariance."""
    rng = np.random.Generator(np.random.Philox(4))
    times = np.linspace(0, 240, 33)
    values = rise(times, -3, -28, 47) + rng.normal(0, 0.5, times.size)
    made = settle(times, values)
    found, covariance = curve_fit(rise, times, values, p0=(0, -20, 40))
    told = (made.start, made.settled, made.time_constant)
    doubt = (made.start_uncertainty, made.settled_uncertainty, made.time_constant_uncertainty)
    assert told == pytest.approx(found, rel=1e-5)
    assert doubt == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-4)


def test_start_end_and_time_constant_are_covered_as_claimed():
    """Coverage over 2,000 simulated warm-ups; k = 2 means 95.45 %."""
    rng = np.random.Generator(np.random.Philox(8))
    times = np.linspace(0, 240, 25)
    clean, truth = rise(times, 1, 25, 45), np.array([1, 25, 45])
    held = []
    for noise in rng.normal(0, 0.5, (2000, times.size)):
        made = settle(times, clean + noise)
        told = np.array([made.start, made.settled, made.time_constant])
        doubt = np.array(
            [made.start_uncertainty, made.settled_uncertainty, made.time_constant_uncertainty]
        )
        held.append(np.abs(told - truth) <= coverage_factor(made.freedom, 0.9545) * doubt)
    coverage = np.mean(held, axis=0)
    assert (coverage >= 0.93).all(), coverage
    assert (coverage <= 0.97).all(), coverage


def test_growth_is_plus_and_shrinking_is_minus():
    times = np.linspace(0, 200, 21)
    assert settle(times, rise(times, 5, 20, 40)).settled == pytest.approx(20)
    assert settle(times, rise(times, 5, -20, 40)).settled == pytest.approx(-20)
    assert settle(times, rise(times, 5, -20, 40)).over(0, 40) < 0


def test_what_is_left_and_when_it_is_small_enough():
    """By definition: after three time constants a twentieth is left."""
    times = np.linspace(0, 240, 25)
    made = settle(times, rise(times, 0, 20, 40))
    assert made.levelled
    assert made.until(1.0) == pytest.approx(40 * np.log(20))
    assert abs(made.over(made.until(1.0, 15.0), 15.0)) == pytest.approx(1.0)
    assert made.until(30.0) == 0
    assert made.over(0, 1e9) == pytest.approx(20)


def test_a_straight_climb_has_no_end_to_tell():
    times = np.linspace(0, 60, 13)
    made = settle(times, 0.5 * times)
    assert made is None or not made.levelled
    short = settle(times, rise(times, 0, 20, 90))
    assert short is None or not short.levelled
    assert settle(times, np.zeros(13)) is None


@pytest.mark.parametrize(
    ("times", "values"),
    [([0, 1, 2], [0, 1, 2]), ([0, 1, 2, 3], [0, 1, np.nan, 2]), ([1] * 5, [1] * 5), ([1], [1, 2])],
)
def test_readings_that_tell_no_curve_are_refused(times, values):
    with pytest.raises(ValueError, match="reading"):
        settle(times, values)


def test_the_first_hour_is_not_the_whole_day():
    assert range_within([0, 1800, 3600, 7200], [0, 5, 4, 12], 3600) == 5
    assert range_within([0, 1800, 3600, 7200], [0, 5, 4, 12], 1e9) == 12


def test_a_published_line_of_readings_over_temperature():
    """JCGM 100:2008 (GUM), H.3: slope 0.00218 with standard uncertainty 0.00067."""
    warm = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    off = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    slope, doubt = per_kelvin(warm, off)
    assert slope == pytest.approx(0.00218, abs=5e-6)
    assert doubt == pytest.approx(0.00067, abs=5e-6)
    assert per_kelvin(warm, [-one for one in off])[0] == pytest.approx(-slope)
    assert per_kelvin([20, 20, 20], [1, 2, 3]) is None
