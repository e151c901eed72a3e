"""Vibration: published numbers, known tones, and the traps that make a velocity wrong."""

from __future__ import annotations

import math

import numpy as np
import pytest

from retrue.science.spectrum_lines import lines_at, strongest
from retrue.science.vibration import (
    STANDARD_G_M_S2,
    line_reading,
    noise_floor_mm_s,
    reach_hz,
    rms_in_band,
    spectrum,
    velocity_mm_s,
    velocity_rms_mm_s,
)
from retrue.science.vibration_zones import GENERAL, change_db, zone

RATE = 6400.0


def tone(velocity_mm_s, hertz, *, rate=RATE, seconds=4.0):
    """Acceleration of a pure tone whose velocity is so many mm/s, root-mean-square."""
    t = np.arange(int(rate * seconds)) / rate
    peak = math.sqrt(2) * velocity_mm_s / 1000 * 2 * math.pi * hertz
    return peak * np.cos(2 * math.pi * hertz * t)


def noise(rms, count, seed=5):
    return rms * np.random.Generator(np.random.Philox(seed)).standard_normal(count)


@pytest.mark.parametrize(
    ("acceleration", "hertz", "published"),
    [
        (STANDARD_G_M_S2 / math.sqrt(2), 30.0, 36.788),  # 1 g peak at 30 Hz
        (STANDARD_G_M_S2, 100.0, 15.608),  # 1 g root-mean-square at 100 Hz
    ],
)
def test_a_tone_s_velocity_is_its_acceleration_over_two_pi_f(acceleration, hertz, published):
    """Velocity a / (2 pi f), standard gravity 9.80665 m/s² (ISO 80000-3); by definition."""
    assert velocity_mm_s(acceleration, hertz) == pytest.approx(published, abs=5e-4)
    wave = math.sqrt(2) * acceleration * np.sin(2 * np.pi * hertz * np.arange(25600) / RATE)
    assert velocity_rms_mm_s(wave, RATE) == pytest.approx(published, rel=2e-4)


@pytest.mark.parametrize("hertz", [10.6, 29.7, 30.0, 50.13, 300.0, 997.0])
def test_a_known_velocity_is_read_on_and_between_the_lines(hertz):
    assert velocity_rms_mm_s(tone(4.5, hertz), RATE) == pytest.approx(4.5, rel=2e-3)


def test_offset_earth_s_pull_and_a_slow_swing_do_not_count():
    """ISO 20816-1 (from memory): the band begins at 10 Hz; what is slower is not in it."""
    t = np.arange(25600) / RATE
    still = tone(1.0, 120.0) + STANDARD_G_M_S2 + 0.3 * t + 0.5 * np.sin(2 * np.pi * 1.7 * t)
    assert velocity_rms_mm_s(still, RATE) == pytest.approx(1.0, rel=5e-3)


def test_a_short_recording_that_drifts_is_freed_of_its_slope():
    short = tone(1.0, 120.0, seconds=1.0) + 80.0 * np.arange(6400) / RATE
    assert velocity_rms_mm_s(short, RATE) == pytest.approx(1.0, rel=5e-3)


def test_a_sum_in_time_runs_away_where_the_division_does_not():
    """The trap: an offset of a thousandth of its peak spoils a velocity summed in time."""
    seen = tone(4.5, 300.0) + 0.012 + 0.002 * np.arange(25600) / RATE
    summed = 1000 * np.cumsum((seen[1:] + seen[:-1]) / 2) / RATE
    assert np.std(summed) > 2.5 * 4.5
    assert velocity_rms_mm_s(seen, RATE) == pytest.approx(4.5, rel=1e-3)


@pytest.mark.parametrize("low", [1.0, 2.0, 10.0])
def test_the_noise_of_a_sensor_counts_the_more_the_lower_the_band_begins(low):
    """White noise of 0.02 m/s² at 6.4 kHz: 0.0177 mm/s from 10 Hz, three times that from 1 Hz."""
    seen = noise(0.02, 64 * 6400)
    expected = noise_floor_mm_s(0.02, RATE, low)
    assert velocity_rms_mm_s(seen, RATE, low) == pytest.approx(expected, rel=0.15)
    exact = 1000 * math.sqrt(0.02**2 / 3200 / (4 * math.pi**2) * (1 / low - 1 / 1000))
    assert expected == pytest.approx(exact, rel=1e-9)
    assert noise_floor_mm_s(0.02, RATE, 1.0) > 3 * noise_floor_mm_s(0.02, RATE, 10.0)


def test_what_is_in_the_band_is_what_parseval_says():
    """Against NumPy's transform of the whole record, lines of the band added up."""
    seen = noise(1.0, 128 * 2000, seed=8)
    lines = np.fft.rfft(seen)
    hertz = np.fft.rfftfreq(len(seen), 1 / 2000)
    inside = (hertz >= 20) & (hertz <= 300)
    by_numpy = math.sqrt(2 * float((np.abs(lines[inside]) ** 2).sum())) / len(seen)
    assert rms_in_band(seen, 2000, low_hz=20, high_hz=300) == pytest.approx(by_numpy, rel=0.02)


@pytest.mark.parametrize("off", [0.0, 0.03, 0.07, 0.125])
def test_a_line_is_read_without_loss_between_the_steps(off):
    """A tone of 0.51670 m/s² rms: within a hundredth of a decibel wherever it stands."""
    hertz = 120.0 + off
    wave = 0.51670 * math.sqrt(2) * np.sin(2 * np.pi * hertz * np.arange(25600) / RATE)
    found, rms = line_reading(wave, RATE, 119.0)
    assert rms == pytest.approx(0.51670, rel=1.2e-3)
    assert found == pytest.approx(hertz, abs=0.01)
    seen = spectrum(wave, RATE)
    assert 0.84 * 0.5167 < float(seen.rms.max()) <= 0.5168  # the plain spectrum loses up to 1.4 dB


def test_zones_are_those_of_the_table_and_a_limit_belongs_to_the_better():
    """ISO 10816-1:1995, annex B, classes I to IV (secondary source)."""
    printed = {
        "I": (0.71, 1.8, 4.5), "II": (1.12, 2.8, 7.1), "III": (1.8, 4.5, 11.2),
        "IV": (2.8, 7.1, 18.0),
    }  # fmt: skip
    assert {name: one.limits_mm_s for name, one in GENERAL.items()} == printed
    for name, limits in printed.items():
        told = [zone(limit, GENERAL[name]) for limit in limits]
        over = [zone(limit * 1.001, GENERAL[name]) for limit in limits]
        assert (told, over) == (["A", "B", "C"], ["B", "C", "D"])
        assert "unverified" in GENERAL[name].mark


def test_how_far_a_recording_reaches_is_told_by_its_rate_and_length():
    assert reach_hz(2560, 1.0) == (10.0, 1000.0)
    assert reach_hz(2000, 10.0)[1] < 1000


def test_a_change_is_a_level():
    assert change_db(2.0, 1.0) == pytest.approx(6.0206, abs=1e-4)
    assert change_db(1.0, 2.0) == pytest.approx(-6.0206, abs=1e-4)
    with pytest.raises(ValueError, match="over zero"):
        change_db(0.0, 1.0)


@pytest.mark.parametrize("bad", [np.zeros(4), np.array([1.0] * 9 + [np.nan]), np.full(20, np.inf)])
def test_nothing_is_told_of_too_little_or_of_holes(bad):
    with pytest.raises(ValueError, match="eight"):
        velocity_rms_mm_s(bad, 1000.0)


def test_lines_stand_where_they_are_expected_or_are_not_told():
    seen = tone(2.0, 24.9) + tone(0.5, 400.0) + noise(0.05, 25600)
    shaft, belt, far = lines_at(seen, RATE, {"shaft": 25.0, "belt": 61.0, "teeth": 400.0,
                                             "too high": 3300.0})  # fmt: skip
    assert shaft.found_hz == pytest.approx(24.9, abs=0.02)
    assert velocity_mm_s(shaft.rms, shaft.found_hz) == pytest.approx(2.0, rel=0.02)
    assert (belt.found_hz, belt.rms) == (None, None)
    assert belt.score_db < 12 < far.score_db
    strong = strongest(seen, RATE, low_hz=10, high_hz=1000, integrate=True)
    assert [round(hertz, 1) for hertz, _ in strong[:2]] == [25.0, 400.0]
