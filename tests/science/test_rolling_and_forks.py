"""Forks, skates, ramps, floors and lashings: against published examples and statics."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.forklift import allowed_kg
from retrue.science.rolling import (
    hold_newton,
    pull_newton,
    skate_load_newton,
    slab_stress_mpa,
)
from retrue.science.tie_down import lashings_over_the_top, working_load_needed_kg


@pytest.mark.parametrize(
    ("rated", "plate", "at", "printed"),
    [(4000, 24, 36, 2666), (5000, 24, 28, 4285), (6000, 24, 30, 4800)],
)
def test_forks_lift_what_the_published_examples_say(
    rated: float, plate: float, at: float, printed: float
):
    """OSHA eTool, Powered Industrial Trucks, and two training pages (secondary sources)."""
    assert allowed_kg(rated, plate, at) == pytest.approx(printed, abs=1)


@given(
    rated=st.floats(500, 10_000), plate=st.floats(300, 900), at=st.floats(100, 3000),
    axle=st.floats(0, 900),
)  # fmt: skip
def test_forks_are_never_allowed_more_than_their_plate(
    rated: float, plate: float, at: float, axle: float
):
    allowed = allowed_kg(rated, plate, at, to_axle_mm=axle)
    assert allowed <= rated
    assert allowed_kg(rated, plate, at + 50, to_axle_mm=axle) <= allowed
    assert allowed_kg(rated, plate, plate + 50) <= allowed_kg(rated, plate, plate + 50,
                                                            to_axle_mm=axle) + 1e-9  # fmt: skip


@pytest.mark.parametrize("wrong", [(0, 24, 36), (4000, 0, 36), (4000, 24, 0), (4000, 24, math.nan)])
def test_an_unknown_load_centre_is_refused(wrong: tuple[float, float, float]):
    with pytest.raises(Unusable, match="plate"):
        allowed_kg(*wrong)


def test_pull_on_a_ramp_and_on_the_level():
    """Computed twice: 5000 kg at 5 degrees and 0.05 is 6,718 N; level 2,453 N with g = 9.81."""
    assert pull_newton(5000, 5, 0.05) == pytest.approx(6718, abs=1)
    assert pull_newton(5000, 0, 0.05) == pytest.approx(2453, abs=1)


@given(mass=st.floats(1, 20_000), slope=st.floats(0.1, 20), share=st.floats(0.0, 0.1))
def test_what_holds_gets_nothing_from_rolling_resistance(mass: float, slope: float, share: float):
    assert hold_newton(mass, slope) <= pull_newton(mass, slope, share)
    assert hold_newton(mass, slope) == pytest.approx(pull_newton(mass, slope, 0.0))


def test_skates_and_floor():
    """A quarter and a quarter more (from memory); 100 x 150 mm plate: 1,022 kPa."""
    load = skate_load_newton(5000, 4)
    assert load == pytest.approx(15_330, abs=5)
    assert load / (0.1 * 0.15) / 1000 == pytest.approx(1022, abs=1)
    assert skate_load_newton(5000, 3) > load
    with pytest.raises(Unusable, match="three"):
        skate_load_newton(5000, 2)


def test_the_slab_under_a_skate_by_westergaard():
    """Westergaard 1926, interior loading (from memory): 15.33 kN, 150 mm, radius 70: 1.03 MPa."""
    assert slab_stress_mpa(15_330, thick_mm=150, radius_mm=70) == pytest.approx(1.03, abs=0.005)
    assert slab_stress_mpa(15_330, thick_mm=120, radius_mm=70) > 1.3


@pytest.mark.parametrize(("radius", "equal"), [(200, 192.8), (258, 257.8), (300, 300.0)])
def test_a_wide_foot_counts_by_its_own_radius(radius: float, equal: float):
    """Westergaard 1926 (from memory): from 1.724 times the thickness the radius itself counts."""
    stress = slab_stress_mpa(15_330, thick_mm=150, radius_mm=radius)
    bend = 3 * 15_330 * 1.15 / (2 * math.pi * 150**2)
    assert stress == pytest.approx(bend * (math.log(615.9 / equal) + 0.6159), rel=1e-3)


@pytest.mark.parametrize("asked", [{"suspended": True}, {"thick_mm": 0}, {"radius_mm": math.nan}])
def test_a_floor_with_a_room_below_or_unknown_gets_no_number(asked: dict[str, float]):
    with pytest.raises(Unusable):
        slab_stress_mpa(15_330, **{"thick_mm": 150, "radius_mm": 70} | asked)


@pytest.mark.parametrize(
    ("share", "allowance", "exact", "needed"), [(0.8, 1.25, 12.97, 13), (0.5, 1.1, 4.57, 5)]
)
def test_lashings_over_the_top(share: float, allowance: float, exact: float, needed: int):
    """EN 12195-1, friction lashing (formula from memory): 5 t, 0.3, 4 kN, 80 degrees."""
    found = lashings_over_the_top(
        5000, acceleration_share=share, friction_share=0.3, tension_newton=4000, angle_deg=80,
        allowance=allowance,
    )  # fmt: skip
    assert found.exact == pytest.approx(exact, abs=0.01)
    assert found.needed == needed


def test_half_of_the_load_by_49_cfr_393():
    """49 CFR 393.106(d) (clause from memory; half rule secondary source)."""
    assert working_load_needed_kg(5000) == 2500


def test_a_load_that_friction_holds_needs_no_lashing_by_this_rule():
    held = lashings_over_the_top(
        5000, acceleration_share=0.3, friction_share=0.6, tension_newton=4000, angle_deg=80
    )
    assert held.needed == 0
    with pytest.raises(Unusable, match="lashings"):
        lashings_over_the_top(5000, acceleration_share=0.8, friction_share=0.0, tension_newton=4000,
                              angle_deg=80)  # fmt: skip
