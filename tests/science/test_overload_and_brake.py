"""Contactors, overload relays, and what holds an upright axis.

IEC 60947-4-1, tables and limits: from memory, unverified. Mechanics by definition.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.brake import (
    balance_bar,
    balance_newton,
    drop,
    fall_mm,
    holding_nm,
    up_down_percent,
)
from retrue.science.overload import (
    CATEGORIES,
    category,
    contactor,
    holds_and_trips_ampere,
    made_and_broken_ampere,
    setting_ampere,
    trips_after_s,
)


@pytest.mark.parametrize(
    ("id", "make", "breaks"),
    [("AC-1", 1.5, 1.5), ("AC-2", 4, 4), ("AC-3", 10, 8), ("AC-4", 12, 10), ("DC-1", 1.5, 1.5),
     ("DC-3", 4, 4), ("DC-5", 4, 4)],
)  # fmt: skip
def test_what_a_contactor_makes_and_breaks(id: str, make: float, breaks: float):
    """IEC 60947-4-1, table 7 (from memory)."""
    assert made_and_broken_ampere(id, 9) == (9 * make, 9 * breaks)


def test_a_heavier_category_is_heavier_in_every_way():
    for heavy in CATEGORIES.values():
        for name in heavy.covers:
            mild = category(name)
            assert heavy.make_times >= mild.make_times
            assert heavy.break_times >= mild.break_times
            assert name[:2] == heavy.id[:2], "no rating for one current holds for the other"


@pytest.mark.parametrize(
    ("wanted", "load", "rated", "choice"),
    [
        ("AC-3", 9, {"AC-3": 9}, "fits"),
        ("AC-3", 9.1, {"AC-3": 9}, "too_small"),
        ("AC-3", 9, {"AC-4": 9}, "fits"),
        ("AC-1", 9, {"AC-3": 9}, "fits"),
        ("AC-4", 9, {"AC-3": 12}, "ask"),
        ("AC-4", 9, {"AC-3": 11.25}, "ask"),
        ("AC-4", 9, {"AC-3": 11.2}, "too_small"),
        ("AC-3", 9, {"AC-1": 25}, "ask"),
        ("AC-3", 9, {"AC-2": 22.4}, "too_small"),
        ("AC-3", 9, {"AC-2": 22.5}, "ask"),
        ("AC-4", 9, {"AC-3": 40, "AC-4": 8}, "too_small"),
        ("AC-3", 9, {"DC-1": 60}, "ask"),
        ("AC-3", 9, {}, "ask"),
    ],
)
def test_a_contactor_is_chosen_by_its_own_rating(
    wanted: str, load: float, rated: dict[str, float], choice: str
):
    """A rating of a milder category is never converted; it may show that it cannot do it."""
    assert contactor(wanted, load, rated) == choice


def test_what_is_unknown_is_refused():
    with pytest.raises(Unusable, match="category"):
        category("AC-5")
    with pytest.raises(Unusable, match="current"):
        contactor("AC-3", 0, {})


def test_a_relay_holds_and_trips():
    """IEC 60947-4-1: 1.05 held, 1.2 trips within 2 h (from memory)."""
    assert holds_and_trips_ampere(10) == (10.5, 12.0)
    assert setting_ampere(10) == 10
    assert setting_ampere(10, inside_delta=True) == pytest.approx(5.7735, abs=5e-5)


@pytest.mark.parametrize(
    ("name", "soonest", "latest"), [("10A", 2, 10), ("10", 4, 10), ("20", 6, 20), ("30", 9, 30)]
)
def test_trip_classes(name: str, soonest: float, latest: float):
    """IEC 60947-4-1, at 7.2 times the setting (from memory)."""
    assert trips_after_s(name, 7.2) == (soonest, latest)
    assert trips_after_s(name, 6)[0] == pytest.approx(1.44 * soonest)
    assert trips_after_s(name, 8)[1] < latest
    for wrong in ((name, 2.9), ("15", 7.2), (name, math.nan)):
        with pytest.raises(Unusable, match="relay"):
            trips_after_s(*wrong)


@given(mass=st.floats(50, 2000), pitch=st.floats(2, 40), turns=st.floats(0.5, 5))
def test_one_turn_of_the_brake_is_the_work_of_lifting(mass: float, pitch: float, turns: float):
    """2 pi T i = m g p (by definition)."""
    torque = holding_nm(mass, pitch, turns_of_brake=turns)
    assert 2 * math.pi * torque * turns == pytest.approx(mass * 9.81 * pitch / 1000)
    assert holding_nm(mass, pitch, balanced_newton=mass * 9.81) == pytest.approx(0, abs=1e-9)
    assert holding_nm(mass, pitch, balanced_newton=100) < holding_nm(mass, pitch)


def test_a_head_of_500_kg_on_10_mm():
    """4,905 N times 10 mm over 2 pi is 7.807 Nm."""
    assert holding_nm(500, 10) == pytest.approx(7.807, abs=5e-4)
    with pytest.raises(Unusable, match="mass"):
        holding_nm(500, 0)


def test_drop_and_creep():
    """0.05 mm, and no creep in two minutes (common practice, no source)."""
    assert drop(0.05, 0).holds
    assert (drop(0.051, 0).holds, drop(0.051, 0).why) == (False, "drop")
    assert (drop(0.0, 0.001).holds, drop(0.0, 0.001).why) == (False, "creep")
    assert drop(0.08, 0, most_mm=0.1).holds
    with pytest.raises(Unusable, match="downward"):
        drop(-0.01, 0)


def test_a_head_falls_while_the_brake_is_late():
    """Free fall: 4.9 mm in 32 ms, 49 mm in a tenth of a second (by definition)."""
    assert fall_mm(0.1) == pytest.approx(49.05)
    assert fall_mm(0.2) == pytest.approx(4 * fall_mm(0.1))
    assert fall_mm(0.1, balanced_share=1) == 0
    with pytest.raises(Unusable, match="delay"):
        fall_mm(-0.1)


def test_a_balance_carries_pressure_times_area():
    """50 bar on 50 mm is 9,817 N (by definition)."""
    assert balance_newton(50, 50) == pytest.approx(9817.5, abs=0.1)
    assert balance_newton(50, 50, rod_mm=20) == pytest.approx(9817.5 * (1 - 0.16), abs=0.1)
    assert balance_newton(50, 50, cylinders=2, turns=2) == pytest.approx(balance_newton(50, 50))
    with pytest.raises(Unusable, match="bore"):
        balance_newton(50, 20, rod_mm=20)


@given(mass=st.floats(50, 2000), bore=st.floats(20, 120), turns=st.sampled_from([1, 2]))
def test_the_pressure_that_carries_a_head_carries_it(mass: float, bore: float, turns: int):
    pressure = balance_bar(mass, bore, turns=turns)
    assert balance_newton(pressure, bore, turns=turns) == pytest.approx(mass * 9.81)


def test_a_heavy_head_takes_more_upward():
    assert up_down_percent(5.5, 4.5) == pytest.approx(20)
    assert up_down_percent(4.5, 5.5) == pytest.approx(-20)
    assert up_down_percent(6.5, 3.5) == pytest.approx(60)
    assert up_down_percent(13, 7) == pytest.approx(60)
    with pytest.raises(Unusable, match="each way"):
        up_down_percent(0, 0)
