"""Hitches and uneven legs: against the trade's factors and against statics done another way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from retrue.base.refusals import Unusable
from retrue.science.hitch import (
    bend_factor,
    capacity_factor,
    choke_factor,
    hanging_tilt_deg,
    legs_over_centre,
    rated_needed_kg,
    two_legs_tension,
)
from retrue.science.lifting import sling_leg_kg


def test_hitch_factors_are_the_trades():
    """ASME B30.9 (from memory): straight 1, choker 0.75 to 0.80, basket twice the sine."""
    assert capacity_factor("vertical") == 1
    assert 0.75 <= capacity_factor("choker") <= 0.80
    printed = {90: 2.0, 60: 1.732, 45: 1.414, 30: 1.0}
    for angle, factor in printed.items():
        assert capacity_factor("basket", angle) == pytest.approx(factor, abs=5e-4)


@pytest.mark.parametrize("wrong", [("knot", 90), ("basket", 29.9), ("basket", math.nan)])
def test_no_such_hitch_and_no_flat_basket(wrong: tuple[str, float]):
    with pytest.raises(Unusable):
        capacity_factor(*wrong)


def test_a_tight_choke_costs_rating():
    """ASME B30.9, choke angles (from memory)."""
    assert [choke_factor(a) for a in (180, 120, 119, 90, 60, 30, 29, 0)] == [
        1.0, 1.0, 0.87, 0.87, 0.74, 0.62, 0.49, 0.49
    ]  # fmt: skip
    for angle in (-1, 181, math.nan):
        with pytest.raises(Unusable, match="choke"):
            choke_factor(angle)


@given(at=st.floats(1, 60), more=st.floats(0.1, 10))
def test_a_thicker_pin_never_costs_strength(at: float, more: float):
    assert 0.5 <= bend_factor(at * 10, 10) <= bend_factor((at + more) * 10, 10) <= 0.95


def test_a_rope_round_an_edge_is_refused():
    assert bend_factor(10, 10) == 0.5
    with pytest.raises(Unusable, match="diameter"):
        bend_factor(9, 10)


def test_the_rating_on_the_tag():
    assert rated_needed_kg(3000) == 3000
    assert rated_needed_kg(3000, "choker", used_share=0.8) == pytest.approx(5000)
    assert rated_needed_kg(3000, "basket", angle_deg=30) == pytest.approx(3000)
    for wrong in ({"pull_kg": 0}, {"pull_kg": 1, "used_share": 1.01}, {"pull_kg": math.nan}):
        with pytest.raises(Unusable, match="rating"):
            rated_needed_kg(**wrong)


@given(
    mass=st.floats(100, 20_000), spread=st.floats(300, 3000), angle=st.floats(30, 85),
    off=st.floats(0, 0.45), below=st.floats(0, 1500),
)  # fmt: skip
def test_two_legs_hang_where_the_load_lies_lowest(
    mass: float, spread: float, angle: float, off: float, below: float
):
    """Least energy: the hanging load's centre is as low as it can be; moments about the hook."""
    at = off * spread
    near, far = two_legs_tension(mass, spread, at, angle, below_mm=below)
    height = spread / 2 * math.tan(math.radians(angle))
    points = np.array([[spread / 2, -height], [-spread / 2, -height], [at, -height - below]])

    def lowest(turn: float) -> float:
        return float(points[2] @ [math.sin(turn), math.cos(turn)])

    turn = minimize_scalar(lowest, bounds=(-1.5, 1.5), method="bounded",
                           options={"xatol": 1e-12}).x  # fmt: skip
    sine, cosine = math.sin(turn), math.cos(turn)
    hung = points @ np.array([[cosine, sine], [-sine, cosine]])
    legs = hung[:2] / np.linalg.norm(hung[:2], axis=1)[:, None]
    across, down = near * legs[0] + far * legs[1]
    assert across == pytest.approx(0, abs=2e-5 * mass)
    assert -down == pytest.approx(mass, rel=2e-5)
    assert near >= far - 1e-9 * mass
    tilt = hanging_tilt_deg(at, height + below)
    assert abs(math.degrees(turn)) == pytest.approx(tilt, abs=1e-3)


@given(mass=st.floats(100, 20_000), spread=st.floats(300, 3000), angle=st.floats(30, 85))
def test_a_centre_in_the_middle_gives_two_like_legs(mass: float, spread: float, angle: float):
    near, far = two_legs_tension(mass, spread, 0.0, angle)
    assert near == pytest.approx(far) == pytest.approx(sling_leg_kg(mass, 2, angle))
    aside = two_legs_tension(mass, spread, -0.1 * spread, angle)
    assert aside == pytest.approx(two_legs_tension(mass, spread, 0.1 * spread, angle))


@given(off=st.floats(1, 700), angle=st.floats(30, 80), below=st.floats(0, 3000))
def test_hanging_askew_no_leg_pulls_more_than_level(off: float, angle: float, below: float):
    """Held level the nearer leg takes the share of its moment (by definition)."""
    level = 4000 * (0.5 + off / 1600) / math.sin(math.radians(angle))
    near, far = two_legs_tension(4000, 1600, off, angle, below_mm=below)
    assert far - 1e-9 <= near <= level * (1 + 1e-9)
    shallow = two_legs_tension(4000, 1600, off, angle)[0]
    tilt = hanging_tilt_deg(off, 800 * math.tan(math.radians(angle)))
    assert shallow == pytest.approx(level * math.cos(math.radians(tilt)))
    deep = two_legs_tension(4000, 1600, off, angle, below_mm=1e8)
    assert deep == pytest.approx((sling_leg_kg(4000, 2, angle),) * 2, rel=1e-4)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ((4000, 1600, 801, 60), "slack"),
        ((4000, 1600, 200, 29), "30"),
        ((4000, 1600, 200, 90), "upright"),
        ((0, 1600, 200, 60), "cannot be told"),
        ((4000, 0, 200, 60), "cannot be told"),
        ((4000, 1600, math.nan, 60), "cannot be told"),
    ],
)
def test_what_hangs_by_one_leg_is_refused(asked: tuple[float, ...], words: str):
    with pytest.raises(Unusable, match=words):
        two_legs_tension(*asked)


def test_a_hook_that_is_not_above_the_centre_is_refused():
    with pytest.raises(Unusable, match="below the hook"):
        two_legs_tension(4000, 1600, 200, 60, below_mm=-1400)
    with pytest.raises(Unusable, match="below the hook"):
        hanging_tilt_deg(200, 0)


@given(
    mass=st.floats(100, 20_000), near=st.floats(0, 1500), far=st.floats(1, 1500),
    height=st.floats(1000, 4000),
)  # fmt: skip
def test_legs_of_two_lengths_balance_below_the_hook(
    mass: float, near: float, far: float, height: float
):
    pull, other = legs_over_centre(mass, near, far, height)
    lifts = [pull * height / math.hypot(near, height), other * height / math.hypot(far, height)]
    assert sum(lifts) == pytest.approx(mass)
    assert lifts[0] * near == pytest.approx(lifts[1] * far, rel=1e-9, abs=1e-6)


def test_two_ways_to_the_same_two_legs():
    """Legs trimmed for a centre off the middle: level, so the same lift as by moments."""
    assert legs_over_centre(4000, 800, 800, 1200)[0] == pytest.approx(
        two_legs_tension(4000, 1600, 0, math.degrees(math.atan2(1200, 800)))[0]
    )
    with pytest.raises(Unusable, match="30"):
        legs_over_centre(4000, 600, 2200, 1200)
    with pytest.raises(Unusable, match="cannot be told"):
        legs_over_centre(4000, 600, 0, 1200)
