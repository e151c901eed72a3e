"""A line of compressed air: beside fluids and PsychroLib, a printed chart, ISO 8573-1."""

from __future__ import annotations

import math

import fluids
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.air_line import (
    atmospheric_frost_c,
    darcy_drop,
    friction_factor,
    leak_share,
    pressure_dew_c,
    water_class,
)
from retrue.science.compressed_air import pipe_drop_bar

psychrolib.SetUnitSystem(psychrolib.SI)


@given(reynolds=st.floats(4001, 1e8), rough=st.floats(0, 0.05))
def test_friction_beside_fluids(reynolds: float, rough: float):
    """fluids, Colebrook solved in closed form."""
    theirs = fluids.Colebrook(reynolds, rough)
    assert friction_factor(reynolds, rough) == pytest.approx(theirs, rel=1e-9)


def test_friction_of_a_documented_example():
    """Fluids' own example, Clamond's Colebrook: Re 1e5, 1e-4 is 0.01851386607747165."""
    assert friction_factor(1e5, 1e-4) == pytest.approx(0.01851386607747165, rel=1e-9)
    assert friction_factor(2299, 0.01) == 64 / 2299
    between = friction_factor(3000, 0.001)
    assert between >= 64 / 3000
    assert between >= fluids.Colebrook(3000, 0.001) - 1e-9
    for wrong in ((0, 0.001), (1e5, -0.1), (1e5, 0.1), (math.nan, 0.001)):
        with pytest.raises(Unusable, match="friction"):
            friction_factor(*wrong)


def test_a_pipe_beside_fluids():
    """1 m3/min of free air at 1.2 kg/m3, 7 bar, 21.6 mm, 30 m, 45 um: 0.0569 bar (fluids)."""
    found = darcy_drop(1000 / 60, 30, 21.6, 7, free_c=21.0)
    assert found.speed_m_s == pytest.approx(5.73, abs=0.005)
    assert found.reynolds == pytest.approx(64_597, rel=0.008)  # their viscosity 1.825e-5
    assert found.friction == pytest.approx(0.02610, abs=2e-5)
    assert found.drop_bar == pytest.approx(0.0569, abs=3e-4)  # theirs is a real gas


@given(
    flow=st.floats(1, 60), length=st.floats(1, 100), bore=st.floats(15, 80), gauge=st.floats(4, 12),
    air=st.floats(0, 50),
)  # fmt: skip
def test_a_pipe_beside_fluids_isothermal_flow(
    flow: float, length: float, bore: float, gauge: float, air: float
):
    """fluids.isothermal_gas, which lets the air expand: alike while little is lost."""
    try:
        found = darcy_drop(flow, length, bore, gauge, air_c=air)
    except Unusable:
        return
    absolute = (gauge + 1.01325) * 1e5
    density = absolute / (287.05 * (air + 273.15))
    mass = flow / 1000 * 1.01325e5 / (287.05 * (air + 273.15))
    if found.drop_bar > 0.03 * absolute / 1e5 or found.drop_bar < 1e-6:
        return
    if found.friction * length / (bore / 1000) < 3:
        return  # so short that theirs is mostly what the air gains in speed
    end = fluids.isothermal_gas(
        rho=density, fd=found.friction, P1=absolute, L=length, D=bore / 1000, m=mass
    )
    assert found.drop_bar == pytest.approx((absolute - end) / 1e5, rel=0.03)
    assert found.drop_bar < (absolute - end) / 1e5 * 1.0001


def test_the_handbooks_rule_lies_a_little_above():
    """450 q^1.85 L / (d^5 p) (from memory): 0.0653 bar where Darcy says 0.0570."""
    darcy = darcy_drop(1000 / 60, 30, 21.6, 7).drop_bar
    assert darcy < pipe_drop_bar(1000 / 60, 30, 21.6, 8.01325) < 1.25 * darcy


@given(flow=st.floats(2, 20), bore=st.floats(20, 60))
def test_a_wider_pipe_loses_less_and_a_longer_more(flow: float, bore: float):
    one = darcy_drop(flow, 10, bore, 7).drop_bar
    assert darcy_drop(flow, 10, 1.5 * bore, 7).drop_bar < one / 4
    assert darcy_drop(flow, 20, bore, 7).drop_bar == pytest.approx(2 * one)
    assert darcy_drop(flow, 10, bore, 7, rough_um=150).drop_bar >= one


@pytest.mark.parametrize(
    "wrong", [(0, 30, 21.6, 7), (16, 0, 21.6, 7), (16, 30, 0, 7), (16, 30, 21.6, -1),
              (math.nan, 30, 21.6, 7)],
)  # fmt: skip
def test_a_pipe_nobody_measured_is_refused(wrong: tuple[float, float, float, float]):
    with pytest.raises(Unusable, match="pipe"):
        darcy_drop(*wrong)


def test_a_pipe_far_too_thin_gives_no_number():
    with pytest.raises(Unusable, match="tenth"):
        darcy_drop(1000 / 60, 30, 10, 7)


def test_air_dried_to_three_degrees():
    """+3 degrees at 8 bar absolute is a frost point of -20.5 in the room (CoolProp)."""
    assert atmospheric_frost_c(3, 8 - 1.01325) == pytest.approx(-20.5, abs=0.1)


CHART = {  # bar gauge: pressure dew point of air with -20, -10 and 0 in the room (secondary source)
    0: (-20.0, -10.0, 0.0),
    1: (-12.64, -2.03, 9.83),
    5: (0.03, 13.45, 27.28),
    7: (4.05, 17.93, 32.27),
    10: (8.66, 23.08, 38.03),
}


@pytest.mark.parametrize("gauge", list(CHART))
def test_pressure_dew_points_of_a_printed_chart(gauge: int):
    """A maker's chart after Sonntag, air as an ideal gas: 0.7 K is what real air differs by."""
    for outside, inside in zip((-20, -10, 0), CHART[gauge], strict=True):
        found = pressure_dew_c(outside, gauge)
        assert found == pytest.approx(inside, abs=0.05 + 0.1 * gauge**0.85)
        assert found <= inside + 0.06


@given(dew=st.floats(-40, 40), gauge=st.floats(0, 15))
def test_squeezed_and_let_go_it_is_the_same_air(dew: float, gauge: float):
    there = pressure_dew_c(dew, gauge)
    if -80 <= there <= 60:
        assert atmospheric_frost_c(there, gauge) == pytest.approx(dew, abs=1e-9)
        assert there >= dew - 1e-9
        if gauge > 0.1:
            assert there > dew


@given(dew=st.floats(-40, 40))
def test_vapour_over_ice_and_water_beside_psychrolib(dew: float):
    """ASHRAE Handbook, Fundamentals 2017: saturation over ice below 0, over water above."""
    theirs = psychrolib.GetSatVapPres(dew)
    doubled = pressure_dew_c(dew, 1.01325)  # twice the pressure: twice the vapour, less a little
    if doubled < 0 or dew > 0.2:
        ratio = psychrolib.GetSatVapPres(doubled) / theirs
        assert ratio == pytest.approx(2 * 0.9968, rel=0.006)


@pytest.mark.parametrize(
    ("dew", "class_"), [(-70, 1), (-69.9, 2), (-40, 2), (-20, 3), (3, 4), (3.1, 5), (7, 5), (10, 6)]
)
def test_classes_of_water(dew: float, class_: int):
    """ISO 8573-1:2010 (secondary source): -70, -40, -20, +3, +7, +10 degrees."""
    assert water_class(dew) == class_


def test_wetter_than_the_last_class():
    assert water_class(10.1) is None
    with pytest.raises(Unusable, match="dew point"):
        water_class(math.nan)


def test_what_leaks_of_what_is_made():
    assert leak_share(29.6, 296) == pytest.approx(0.1)
    for wrong in ((10, 0), (-1, 100), (math.nan, 100)):
        with pytest.raises(Unusable, match="compressor"):
            leak_share(*wrong)


@pytest.mark.parametrize("wrong", [(70, 7), (-90, 7), (math.nan, 7), (3, -1), (3, math.nan)])
def test_no_dew_point_without_numbers(wrong: tuple[float, float]):
    for function in (atmospheric_frost_c, pressure_dew_c):
        with pytest.raises(Unusable):
            function(*wrong)
