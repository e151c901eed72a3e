"""The bus of a drive and its capacitors; formulas by definition, rules from secondary sources."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from retrue.base.refusals import Unusable
from retrue.science import bus as science
from retrue.science.bus import energy_joule, falls_s, precharge, rectified, residual
from retrue.science.capacitor import (
    RULES,
    asked,
    capacity_left_percent,
    component_minutes,
    leaks_too_much,
    slowest,
)


def test_volts_behind_a_rectifier():
    """Peak root two times: 400 V gives 565.7, 240 V gives 339.4; mean 1.35 and 0.90 times."""
    assert rectified(400).peak_volts == pytest.approx(565.7, abs=0.05)
    assert rectified(240).peak_volts == pytest.approx(339.4, abs=0.05)
    assert rectified(400).mean_volts == pytest.approx(1.3505 * 400, abs=0.05)
    assert rectified(240, phases=1).mean_volts == pytest.approx(0.9003 * 240, abs=0.05)


@pytest.mark.parametrize("phases", [1, 3])
def test_the_mean_is_that_of_the_waves(phases: int):
    turn = np.linspace(0, 2 * math.pi, 60001)[:-1]
    lines = [np.sin(turn - k * 2 * math.pi / 3) for k in range(3)]
    between = [lines[0] - lines[1], lines[1] - lines[2], lines[2] - lines[0]]
    waves = between if phases == 3 else [np.sqrt(3) * lines[0]]
    behind = np.max(np.abs(waves), axis=0) / math.sqrt(3) * math.sqrt(2) * 400
    assert rectified(400, phases=phases).mean_volts == pytest.approx(behind.mean(), rel=1e-6)


def test_what_a_bus_stores_and_what_filling_it_takes():
    """2000 uF at 565 V is 319.2 J; through 100 ohm 5.65 A and 1.00 s (worked out)."""
    assert energy_joule(2000, 565) == pytest.approx(319.2, abs=0.05)
    found = precharge(2000, 100, 565)
    assert found.peak_ampere == pytest.approx(5.65)
    assert found.filled_s == pytest.approx(1.00)
    assert found.resistor_joule == pytest.approx(319.2, abs=0.05)


def test_filling_by_steps_gives_the_same_time_and_burns_as_much_as_it_stores():
    """Scipy's integrator as reference: capacitor volts and joule in the resistor."""
    found, capacity = precharge(2000, 100, 565), 2000e-6

    def slope(_: float, now: np.ndarray) -> list[float]:
        ampere = (565 - now[0]) / 100
        return [ampere / capacity, ampere**2 * 100]

    end = solve_ivp(slope, (0, found.filled_s), [0.0, 0.0], rtol=1e-9, atol=1e-9).y[:, -1]
    assert end[0] / 565 == pytest.approx(1 - math.exp(-5), abs=1e-6)
    assert end[1] == pytest.approx(found.resistor_joule, rel=1e-3)


def test_how_long_it_falls():
    """2000 uF, 47 kohm, 565 V: 210.8 s to 60 V, 227.9 s to 50 V (worked out)."""
    assert falls_s(2000, 47000, 565, 60) == pytest.approx(210.8, abs=0.05)
    assert falls_s(2000, 47000, 565, 50) == pytest.approx(227.9, abs=0.05)
    assert falls_s(2000, 47000, 40) == 0.0


@given(capacity=st.floats(1, 1e4), ohm=st.floats(10, 1e6), volts=st.floats(60, 900))
def test_a_falling_bus_is_where_its_exponential_is(capacity: float, ohm: float, volts: float):
    seconds = falls_s(capacity, ohm, volts, 50)
    assert volts * math.exp(-seconds / (ohm * capacity * 1e-6)) == pytest.approx(50)


def test_sixty_volts_in_five_seconds_and_its_exemption():
    """IEC 60204-1:2016, 6.2.4, with 60 microcoulomb exempt (secondary source)."""
    slow = residual(2000, 47000, 565)
    assert (slow.kept, slow.exempt) == (False, False)
    assert slow.falls_s == pytest.approx(210.8, abs=0.05)
    assert residual(2000, 1000, 565).kept
    assert not residual(2000, 1120, 565).kept
    small = residual(0.1, 1e9, 600)
    assert small.charge_microcoulomb == pytest.approx(60)
    assert small.exempt
    assert small.kept
    assert small.falls_s > 5
    assert not residual(0.1001, 1e9, 600).exempt


def test_no_sentence_of_it_tells_anyone_to_wait_and_touch():
    told = (science.__doc__ or "") + (falls_s.__doc__ or "")
    assert "measured" in told
    assert "never a leave to touch" in told


@pytest.mark.parametrize("wrong", [(0, 100, 565), (2000, 0, 565), (2000, 100, math.nan)])
def test_a_bus_that_was_not_read_gives_no_number(wrong: tuple[float, float, float]):
    for rule in (precharge, falls_s, residual):
        with pytest.raises(Unusable, match="microfarad"):
            rule(*wrong)
    with pytest.raises(Unusable, match="rectifier"):
        rectified(400, phases=2)


def test_a_component_is_brought_back_five_minutes_and_one_a_month():
    """Guides to electrolytic capacitors (secondary source)."""
    assert [component_minutes(months) for months in (0, 12, 36)] == [5, 17, 41]


@pytest.mark.parametrize(
    ("months", "hours"),
    [
        (6, {"storage_notes": 0, "bulletin": 0, "article": 0}),
        (12, {"storage_notes": 1, "bulletin": 0, "article": 0}),
        (24, {"storage_notes": 2, "bulletin": 0.5, "article": 8}),
        (30, {"storage_notes": 2, "bulletin": 0.5, "article": 8}),
        (36, {"storage_notes": 8, "bulletin": 1.5, "article": 8}),
        (240, {"storage_notes": 8, "bulletin": 1.5, "article": 8}),
    ],
)
def test_the_sources_disagree_and_all_are_shown(months: float, hours: dict[str, float]):
    """Storage notes from memory: 1 h; 4 x 30 min; 4 x 2 h. The others are secondary sources."""
    assert {one.rule.id: one.most_hours for one in asked(months)} == hours
    assert slowest(months).most_hours == max(hours.values())


def test_the_slowest_is_taken_and_none_gets_shorter_with_a_longer_rest():
    assert slowest(18).rule.id == "storage_notes"
    assert slowest(60).rule.id == "storage_notes"
    for rule in RULES:
        most = [hours[1] for _, hours in rule.bands]
        assert most == sorted(most)
        assert rule.mark


def test_after_an_hour_the_resistor_has_less_than_a_tenth():
    """Guides to electrolytic capacitors (secondary source)."""
    assert not leaks_too_much(39.9, 400)
    assert leaks_too_much(40, 400)
    with pytest.raises(Unusable, match="resistor"):
        leaks_too_much(401, 400)


def test_capacity_left():
    assert capacity_left_percent(1500, 2000) == 75
    with pytest.raises(Unusable, match="capacities"):
        capacity_left_percent(0, 2000)
    with pytest.raises(Unusable, match="rested"):
        asked(-1)
