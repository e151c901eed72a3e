"""Slings, centre of gravity and tipping: against published factors and against statics itself."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.lifting import centre_height_mm, centre_of_gravity, sling_leg_kg, tip_angle_deg


@pytest.mark.parametrize(
    ("angle", "factor"), [(90, 1.0), (75, 1.035), (60, 1.155), (45, 1.414), (30, 2.0)]
)
def test_leg_factors_are_those_of_the_handbook(angle: float, factor: float):
    """Secondary source citing 29 CFR 1910.184 and ASME B30.9: tension factors of a sling leg."""
    assert sling_leg_kg(4000, 2, angle) / 2000 == pytest.approx(factor, abs=5e-4)


@pytest.mark.parametrize("angle", [29.9, 0, -10, 90.1, math.nan])
def test_under_thirty_degrees_no_number_is_told(angle: float):
    """29 CFR 1910.184 (secondary source): not used under 30 degrees from the horizontal."""
    with pytest.raises(Unusable, match="30"):
        sling_leg_kg(4000, 2, angle)


@pytest.mark.parametrize("mass", [0, -1, math.nan])
def test_an_unknown_mass_is_refused(mass: float):
    with pytest.raises(Unusable, match="mass"):
        sling_leg_kg(mass, 2, 60)


def test_a_rigid_load_hangs_on_two_of_its_four_legs():
    """ASME B30.9 (from memory)."""
    assert sling_leg_kg(4000, 4, 60) == sling_leg_kg(4000, 3, 60) == sling_leg_kg(4000, 2, 60)
    equalised = sling_leg_kg(4000, 4, 60, equalised=True)
    assert equalised == pytest.approx(sling_leg_kg(4000, 2, 60) * 2 / 3)
    with pytest.raises(Unusable, match="legs"):
        sling_leg_kg(4000, 5, 60)


@given(
    mass=st.floats(1, 50_000), angle=st.floats(30, 89.5), legs=st.sampled_from([2, 3, 4]),
    more=st.floats(0.01, 0.5),
)  # fmt: skip
def test_a_steeper_leg_pulls_less_and_the_legs_carry_the_load(
    mass: float, angle: float, legs: int, more: float
):
    pull = sling_leg_kg(mass, legs, angle)
    assert sling_leg_kg(mass, legs, angle + more) < pull
    assert 2 * pull * math.sin(math.radians(angle)) == pytest.approx(mass)


cells = st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000), st.floats(1, 5000))


@given(readings=st.lists(cells, min_size=3, max_size=6), x=st.floats(-3000, 3000))
def test_the_centre_is_where_nothing_turns_and_moves_with_the_frame(
    readings: list[tuple[float, float, float]], x: float
):
    found = centre_of_gravity(readings)
    moment = sum(mass * (place - found.x_mm) for place, _, mass in readings)
    assert moment == pytest.approx(0, abs=1e-6 * found.mass_kg * 3000)
    moved = centre_of_gravity([(place + x, y, mass) for place, y, mass in readings])
    assert moved.x_mm == pytest.approx(found.x_mm + x, abs=1e-6)
    assert moved.mass_kg == pytest.approx(found.mass_kg)


@pytest.mark.parametrize(
    "readings", [[(0, 0, 1), (1, 0, 1)], [(0, 0, 0), (1, 0, 0), (0, 1, 0)],
                 [(0, 0, 5), (1, 0, 5), (0, 1, -1)]],
)  # fmt: skip
def test_cells_that_say_nothing_are_refused(readings: list[tuple[float, float, float]]):
    with pytest.raises(Unusable, match="centre of gravity"):
        centre_of_gravity(readings)


@given(height=st.floats(100, 3000), tilt=st.floats(1, 20), mass=st.floats(100, 20_000))
def test_tilting_finds_the_height_it_was_made_with(height: float, tilt: float, mass: float):
    """Moments about the lower support: the load's line moves by h tan(tilt) over the span."""
    moved = mass * height * math.tan(math.radians(tilt)) / 2000
    assert centre_height_mm(2000, mass, moved, tilt) == pytest.approx(height)


@pytest.mark.parametrize(("mass", "tilt"), [(0, 8), (4100, 0), (4100, 45), (math.nan, 8)])
def test_without_a_tilt_no_height(mass: float, tilt: float):
    with pytest.raises(Unusable, match="height"):
        centre_height_mm(2000, mass, 200, tilt)


@given(width=st.floats(1, 2000), height=st.floats(1, 3000))
def test_at_the_angle_of_tipping_the_centre_stands_over_the_edge(width: float, height: float):
    slope = math.radians(tip_angle_deg(width, height))
    assert width * math.cos(slope) == pytest.approx(height * math.sin(slope))
    with pytest.raises(Unusable, match="centre of gravity"):
        tip_angle_deg(width, 0)
