"""A damp log: against PsychroLib reading by reading, and against the lag's own equation."""

from __future__ import annotations

import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from retrue.base.refusals import Unusable
from retrue.science.damp import dew_point_c, margin_kelvin
from retrue.science.damp_log import by_day, casting_c, dew_points_c, read_log

psychrolib.SetUnitSystem(psychrolib.SI)

AIR = st.floats(-5, 35)
HUMID = st.floats(10, 100)
READINGS = st.lists(st.tuples(AIR, HUMID, AIR), min_size=3, max_size=60)


@given(readings=READINGS)
def test_dew_points_are_those_of_one_reading_at_a_time(readings: list[tuple[float, float, float]]):
    """PsychroLib (ASHRAE Handbook, Fundamentals 2017), to 0.06 K where dew is over frost."""
    air, humidity, _ = np.array(readings).T
    found = dew_points_c(air, humidity)
    for one, warm, damp in zip(found, air, humidity, strict=True):
        assert one == pytest.approx(dew_point_c(warm, damp))
        theirs = psychrolib.GetTDewPointFromRelHum(warm, damp / 100)
        if theirs > 0.5:
            assert one == pytest.approx(theirs, abs=0.06)


@given(readings=READINGS, step=st.floats(0.05, 3))
def test_hours_at_risk_are_counted_one_by_one(
    readings: list[tuple[float, float, float]], step: float
):
    air, humidity, surface = np.array(readings).T
    hours = np.arange(len(air)) * step
    found = read_log(hours, air, humidity, surface_c=surface)
    each = [margin_kelvin(s, a, h) for a, h, s in readings]
    weights = [step if 0 < k < len(each) - 1 else step / 2 for k in range(len(each))]
    assert found.hours_logged == pytest.approx(step * (len(each) - 1))
    assert found.hours_near == pytest.approx(
        sum(w for w, m in zip(weights, each, strict=True) if m < 3), abs=1e-9
    )
    assert found.hours_sweating == pytest.approx(
        sum(w for w, m in zip(weights, each, strict=True) if m < 0), abs=1e-9
    )
    assert found.hours_sweating <= found.hours_near + 1e-9
    assert found.worst_kelvin == pytest.approx(min(each))
    assert found.near_a_day_hours == pytest.approx(24 * found.hours_near / found.hours_logged)
    assert found.sweating_a_day_hours <= 24 + 1e-9
    assert 0 <= found.damp_share <= 1 + 1e-9
    assert min(humidity) - 1e-9 <= found.mean_percent <= max(humidity) + 1e-9
    assert found.gaps == ()
    assert not found.surface_assumed


def test_a_thaw_wets_a_cold_machine():
    """Air of 20 degrees and 60 % over iron of 8: dew point 12.0 (computed twice), 4 K under."""
    hours = np.arange(48)
    air, humidity = np.where(hours < 24, 8.0, 20.0), np.where(hours < 24, 40.0, 60.0)
    found = read_log(hours, air, humidity, surface_c=np.full(48, 8.0))
    assert found.worst_kelvin == pytest.approx(8 - 12.0, abs=0.05)
    assert found.worst_hours == 24
    assert found.hours_sweating == pytest.approx(23.5)
    assert found.damp_share == pytest.approx(23.5 / 47)
    lagging = read_log(hours, air, humidity)
    assert lagging.surface_assumed
    assert 0 < lagging.hours_sweating < found.hours_sweating
    light = read_log(hours, air, humidity, follows_hours=0.05)
    assert light.hours_sweating == 0, "a thin sheet follows the air and stays dry"
    slow = read_log(hours, air, humidity, follows_hours=24)
    assert slow.hours_sweating > lagging.hours_sweating


def test_a_gap_counts_for_nothing():
    hours = [0, 1, 2, 3, 30, 31, 32]
    found = read_log(hours, [20] * 7, [99] * 7, surface_c=[5] * 7)
    assert [(gap.from_hours, gap.to_hours) for gap in found.gaps] == [(3, 30)]
    assert found.hours_logged == pytest.approx(5)
    assert found.hours_sweating == pytest.approx(5)
    assert found.near_a_day_hours == pytest.approx(24)
    even = read_log([0, 1, 4], [20] * 3, [50] * 3)
    assert even.gaps == (), "three times the usual step: not yet a gap"


def test_the_limit_of_dry_is_45_per_cent():
    """Common practice, no source."""
    found = read_log([0, 1, 2, 3, 4], [20] * 5, [45, 45, 45.1, 45, 45])
    assert found.damp_share == pytest.approx(0.25)
    assert read_log([0, 1, 2], [20] * 3, [45.1] * 3, dry_percent=50).damp_share == 0


@given(
    air=st.lists(st.floats(-10, 35), min_size=3, max_size=12), tau=st.floats(0.5, 20),
    step=st.floats(0.1, 4),
)  # fmt: skip
def test_the_casting_follows_its_own_equation(air: list[float], tau: float, step: float):
    """First-order lag, beside SciPy's integration of dT/dt = (air - T) / tau."""
    hours = np.arange(len(air)) * step
    found = casting_c(hours, air, follows_hours=tau)
    temperature = air[0]
    for k in range(len(air) - 1):
        solved = solve_ivp(
            lambda t, y: (np.interp(t, hours, air) - y) / tau,
            (hours[k], hours[k + 1]), [temperature], rtol=1e-9, atol=1e-9,
        )  # fmt: skip
        temperature = solved.y[0, -1]
        assert found[k + 1] == pytest.approx(temperature, abs=1e-5)
    assert found.min() >= min(air) - 1e-9
    assert found.max() <= max(air) + 1e-9


def test_after_its_time_constant_a_casting_has_gone_63_per_cent():
    hours = np.concatenate([[0, 1e-6], np.linspace(0.01, 6, 600)])
    air = np.where(hours > 0, 10.0, 0.0)
    assert casting_c(hours, air, follows_hours=6)[-1] == pytest.approx(10 * (1 - math.exp(-1)))


def test_hours_at_risk_by_day():
    hours = np.arange(0, 72, 0.5)
    margin = np.where((hours % 24) < 6, 1.0, 8.0)
    table = by_day(hours, margin)
    assert table.shape == (3, 2)
    assert table[1].tolist() == pytest.approx([6, 24])
    assert table[:, 1].sum() == pytest.approx(71.5)
    assert by_day(hours, margin, 0.5)[:, 0].sum() == 0
    later = by_day(hours + 240, margin)
    assert later.tolist() == table.tolist(), "days count from the first that was logged"


@pytest.mark.parametrize(
    ("log", "words"),
    [
        (([0, 1], [20, 20], [50, 50]), "fewer than three"),
        (([0, 2, 1], [20] * 3, [50] * 3), "do not rise"),
        (([0, 1, 1], [20] * 3, [50] * 3), "do not rise"),
        (([0, 1, 2], [20] * 3, [50] * 2), "length"),
        (([0, 1, 2], [20] * 2, [50] * 2), "length"),
        (([0, 1, 2], [20, math.nan, 20], [50] * 3), "missing"),
        (([0, 1, 2], [20] * 3, [50, 0, 50]), "humidity"),
        (([0, 1, 2], [20] * 3, [50, 101, 50]), "humidity"),
        (([0, 1, 2], [20, 200, 20], [50] * 3), "cannot be air"),
        (([[0, 1, 2]], [20] * 3, [50] * 3), "missing"),
    ],
)
def test_a_faulty_log_is_refused(log: tuple[list[float], list[float], list[float]], words: str):
    with pytest.raises(Unusable, match=words):
        read_log(*log)


def test_a_faulty_surface_is_refused():
    with pytest.raises(Unusable, match="length"):
        read_log([0, 1, 2], [20] * 3, [50] * 3, surface_c=[20, 20])
    with pytest.raises(Unusable, match="follows"):
        casting_c([0, 1, 2], [20] * 3, follows_hours=0)
    with pytest.raises(Unusable, match="length"):
        by_day([0, 1, 2], [1, 1])


def test_a_year_of_minutes_is_read_at_once():
    """A year logged every ten minutes: the heart of it is arrays."""
    hours = np.arange(0, 24 * 365, 1 / 6)
    air = 12 + 10 * np.sin(2 * math.pi * hours / (24 * 365)) + 3 * np.sin(2 * math.pi * hours / 24)
    found = read_log(hours, air, np.full(hours.shape, 75.0))
    assert found.margin.shape == hours.shape
    assert found.hours_logged == pytest.approx(hours[-1])
    assert found.hours_near > 0
