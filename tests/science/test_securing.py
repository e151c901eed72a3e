"""Securing on the road: 49 CFR 393's own examples, EN 12195-1 against the forces themselves."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.securing import (
    blocking_newton,
    corner_tie_downs,
    direct_lashing,
    least_tie_downs,
    road_forces,
    tips,
)

FOOT, POUND, G = 304.8, 0.45359237, 9.81


@pytest.mark.parametrize(
    ("foot", "pound", "free", "blocked"),
    [(5, 1100, 1, 1), (5, 1101, 2, 1), (5.1, 500, 2, 1), (10, 9000, 2, 1), (10.1, 500, 3, 2),
     (20, 9000, 3, 2), (24, 9000, 4, 3), (30, 9000, 4, 3)],
)  # fmt: skip
def test_how_many_tie_downs(foot: float, pound: float, free: int, blocked: int):
    """49 CFR 393.110 (FMCSA, cargo securement rules; secondary source)."""
    assert least_tie_downs(foot * FOOT, pound * POUND) == free
    assert least_tie_downs(foot * FOOT, pound * POUND, blocked=True) == blocked


def test_four_corners_from_ten_thousand_pounds():
    """49 CFR 393.130 (from memory)."""
    assert corner_tie_downs(10_000 * POUND) == 4
    assert corner_tie_downs(9_999 * POUND) == 0
    with pytest.raises(Unusable, match="mass"):
        corner_tie_downs(math.nan)


@pytest.mark.parametrize(
    ("direction", "breaking", "working"),
    [("forward", 0.8, 0.435), ("rearward", 0.5, 0.5), ("sideways", 0.5, 0.25)],
)
def test_what_the_road_asks(direction: str, breaking: float, working: float):
    """49 CFR 393.102(a) (secondary source): 0.8, 0.5, 0.5 g; 0.435, 0.5, 0.25 g."""
    found = road_forces(1000 / G, direction)
    assert found.at_breaking_newton == pytest.approx(1000 * breaking)
    assert found.at_working_load_newton == pytest.approx(1000 * working)
    with pytest.raises(Unusable, match="direction"):
        road_forces(1000, "up")


@given(
    mass=st.floats(100, 20_000), rise=st.floats(0, 80), aside=st.floats(0, 80),
    friction=st.floats(0, 0.6), count=st.integers(1, 6), capacity=st.floats(1000, 200_000),
)  # fmt: skip
def test_direct_lashings_balance_the_forces(
    mass: float, rise: float, aside: float, friction: float, count: int, capacity: float
):
    """Vectors: pull along, pull down and its friction, against the load's own (statics)."""
    found = direct_lashing(
        mass, "forward", lashings=count, capacity_newton=capacity, angle_deg=rise,
        aside_deg=aside, friction_share=friction,
    )  # fmt: skip
    a, b = math.radians(rise), math.radians(aside)
    pull = found.needed_newton * np.array(
        [math.cos(a) * math.cos(b), math.cos(a) * math.sin(b), -math.sin(a)]
    )
    holds = count * (pull[0] - 0.75 * friction * pull[2]) + 0.75 * friction * mass * G
    assert holds >= 0.8 * mass * G - 1e-6 * mass
    if found.asked_newton > 0:
        assert holds == pytest.approx(0.8 * mass * G)
    assert found.holds is (found.needed_newton <= capacity)
    assert found.each_newton * count >= found.asked_newton or not found.holds


def test_a_machine_of_five_tonnes_on_four_chains():
    """Two of four chains of 40 kN LC pull against braking at 45 and 45 degrees (computed twice)."""
    asked = {"angle_deg": 45, "aside_deg": 45, "friction_share": 0.3, "lashings": 2}
    found = direct_lashing(5000, "forward", capacity_newton=40_000, **asked)
    assert found.asked_newton == pytest.approx((0.8 - 0.225) * 5000 * G)
    assert found.each_newton == pytest.approx(40_000 * (0.5 + 0.225 * math.sqrt(0.5)))
    assert found.holds
    assert not direct_lashing(5000, "forward", capacity_newton=20_000, **asked).holds
    back = direct_lashing(5000, "rearward", capacity_newton=20_000, **asked)
    assert back.asked_newton < found.asked_newton
    assert direct_lashing(
        5000, "forward", capacity_newton=20_000, blocked_newton=10_000, **asked
    ).asked_newton == pytest.approx(found.asked_newton - 10_000)


def test_friction_enough_needs_no_lashing_by_this_rule():
    found = direct_lashing(5000, "sideways", lashings=2, capacity_newton=100, angle_deg=30,
                           aside_deg=30, friction_share=0.7)  # fmt: skip
    assert (found.asked_newton, found.needed_newton, found.holds) == (0, 0, True)


@pytest.mark.parametrize(
    "wrong", [{"mass_kg": 0}, {"direction": "down"}, {"lashings": 0}, {"angle_deg": 90},
              {"aside_deg": 90}, {"capacity_newton": math.nan}, {"friction_share": -0.1},
              {"blocked_newton": -1}],
)  # fmt: skip
def test_lashings_nobody_measured_are_refused(wrong: dict[str, object]):
    asked = {
        "mass_kg": 5000, "direction": "forward", "lashings": 2, "capacity_newton": 20_000,
        "angle_deg": 40, "aside_deg": 30, "friction_share": 0.3,
    }  # fmt: skip
    with pytest.raises(Unusable):
        direct_lashing(**asked | wrong)


def test_blocking_takes_what_is_left():
    """EN 12195-1, blocking (from memory): (0.8 - mu) of the weight forward."""
    assert blocking_newton(5000, "forward", 0.3) == pytest.approx(0.5 * 5000 * G)
    assert blocking_newton(5000, "sideways", 0.3) == pytest.approx(0.2 * 5000 * G)
    assert blocking_newton(5000, "forward", 0.3, lashings_newton=24_525) == pytest.approx(0)
    assert blocking_newton(5000, "rearward", 0.6) == 0
    for wrong in ((0, "forward", 0.3), (5000, "up", 0.3), (5000, "forward", -1)):
        with pytest.raises(Unusable):
            blocking_newton(*wrong)


def test_a_tall_narrow_load_tips_before_it_slides():
    """EN 12195-1, tilting (from memory): 0.8 forward, 0.6 across for what is unstable."""
    assert tips(799, 1000, "forward")
    assert not tips(801, 1000, "forward")
    assert tips(599, 1000, "sideways")
    assert not tips(601, 1000, "sideways")
    assert not tips(501, 1000, "rearward")
    with pytest.raises(Unusable):
        tips(0, 1000, "forward")


@pytest.mark.parametrize("wrong", [(0, 100), (1000, 0), (math.inf, 100)])
def test_a_load_nobody_weighed_gets_no_count(wrong: tuple[float, float]):
    with pytest.raises(Unusable, match="mass"):
        least_tie_downs(*wrong)
