"""Air, damp and laying up: against PsychroLib, fluids, a handbook and a standard's own example."""

from __future__ import annotations

import math

import fluids
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.compressed_air import (
    leak_litre_per_minute,
    outside_pressure_bar,
    pipe_drop_bar,
    receiver_volume,
)
from retrue.science.damp import dew_point_c, margin_kelvin, water_g_per_m3
from retrue.science.desiccant import WOOD_G_PER_KG, desiccant
from retrue.science.memory_cell import cell_years

psychrolib.SetUnitSystem(psychrolib.SI)


@given(air=st.floats(-5, 40), humidity=st.floats(20, 99))
def test_dew_point_beside_psychrolib(air: float, humidity: float):
    """PsychroLib (ASHRAE Handbook, Fundamentals 2017): agree to 0.06 K where dew is over frost."""
    theirs = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
    if theirs > 0.5:
        assert dew_point_c(air, humidity) == pytest.approx(theirs, abs=0.06)


@pytest.mark.parametrize(
    ("air", "humidity", "printed"), [(20, 50, 9.255), (25, 80, 21.307), (15, 100, 15.0)]
)
def test_dew_point_values(air: float, humidity: float, printed: float):
    assert dew_point_c(air, humidity) == pytest.approx(printed, abs=5e-4)


@pytest.mark.parametrize("humidity", [0, -3, 100.1, math.nan])
def test_a_humidity_that_cannot_be_is_refused(humidity: float):
    with pytest.raises(Unusable, match="humidity"):
        dew_point_c(20, humidity)


@given(air=st.floats(0, 40), humidity=st.floats(5, 100))
def test_water_in_air_beside_psychrolib(air: float, humidity: float):
    """Ideal gas on PsychroLib's vapour pressure, R of water 461.5 J/(kg K)."""
    vapour = psychrolib.GetVapPresFromRelHum(air, humidity / 100)
    theirs = vapour / (461.5 * (air + 273.15)) * 1000
    assert water_g_per_m3(air, humidity) == pytest.approx(theirs, rel=0.006)


def test_water_in_air_beside_the_standards_own_table():
    """DIN 55474 (secondary source): 13.83 g/m3 at 20 degrees and 80 %."""
    assert water_g_per_m3(20, 80) == pytest.approx(13.83, abs=0.05)


def test_the_margin_is_surface_less_dew_point():
    assert margin_kelvin(dew_point_c(20, 50), 20, 50) == pytest.approx(0)


def test_the_receiver_of_the_handbook():
    """Compressed Air and Gas Handbook (secondary source): 183.75 ft3, 1374.5 gal, 5.203 m3."""
    found = receiver_volume(5, 350, 250, 100, 60, outside=14.7)
    assert found == pytest.approx(183.75)
    assert found * 7.48052 == pytest.approx(1374.5, abs=0.1)
    assert found * 0.0283168 == pytest.approx(5.203, abs=5e-4)
    with pytest.raises(Unusable, match="fall"):
        receiver_volume(5, 350, 250, 60, 60, outside=14.7)


def test_a_leak():
    assert leak_litre_per_minute(300, 1, 10) == pytest.approx(29.6, abs=0.05)


def test_pipe_drop_beside_fluids():
    """Darcy with fluids: 1 m3/min free air at 7 bar, 21.6 mm, 30 m is 0.0569 bar; rule 0.0653."""
    density = (7 + 1.01325) * 1e5 / (287.05 * 293.15)
    speed = 1 / 60 * 1.01325 / (7 + 1.01325) / (math.pi / 4 * 0.0216**2)
    reynolds = fluids.Reynolds(V=speed, D=0.0216, rho=density, mu=1.825e-5)
    factor = fluids.friction_factor(reynolds, eD=45e-6 / 0.0216)
    drop = factor * 30 / 0.0216 * density * speed**2 / 2 / 1e5
    assert drop == pytest.approx(0.0569, abs=5e-4)
    ours = pipe_drop_bar(1000 / 60, 30, 21.6, 7 + 1.01325)
    assert ours == pytest.approx(0.0653, abs=1e-4)
    assert drop < ours < 1.25 * drop, "the handbook's rule lies on the careful side"


@given(height=st.floats(0, 4000))
def test_outside_pressure_beside_fluids(height: float):
    """ISO 2533 beside the US standard atmosphere 1976 in fluids, alike below 11 km."""
    theirs = fluids.ATMOSPHERE_1976(height).P / 1e5
    assert outside_pressure_bar(height) == pytest.approx(theirs, rel=1e-3)


def test_desiccant_of_the_standard():
    """DIN 55474 (secondary source): 553.2, 1600 and 6552 g are 1450.9 units."""
    found = desiccant(volume_m3=40, packing_kg=20, area_m2=65, days=360, film_g_per_m2_day=0.4)
    assert (found.air_g, found.packing_g) == pytest.approx((553.2, 1600))
    assert found.through_g == pytest.approx(6552)
    assert found.units == pytest.approx(1450.9, abs=0.05)


def test_desiccant_is_not_a_faulty_print():
    """A page prints 60 units for (0.4 x 6 m2 x 90 d + 20 x 1.2 kg) / 6; that is 40."""
    assert WOOD_G_PER_KG == 80, "another page takes 140"
    printed, right = 60, (0.4 * 6 * 90 + 20 * 1.2) / 6
    assert right == pytest.approx(40)
    assert right != pytest.approx(printed)
    found = desiccant(volume_m3=0, packing_kg=0, area_m2=6, days=90, film_g_per_m2_day=0.4)
    assert found.through_g == pytest.approx(0.4 * 6 * 90 * 0.7)
    with pytest.raises(Unusable, match="table"):
        desiccant(volume_m3=1, packing_kg=0, area_m2=6, days=90, film_g_per_m2_day=0.4,
                  humidity_percent=45)  # fmt: skip


@pytest.mark.parametrize(
    ("percent", "takes", "left"), [(20, 3, 0.9), (40, 6, 0.7), (50, 7, 0.65), (60, 8, 0.6)]
)
def test_the_standards_table_of_humidities(percent: int, takes: float, left: float):
    """DIN 55474 (secondary source): 3, 6, 7 and 8 g a unit; 0.9, 0.7, 0.65, 0.6."""
    found = desiccant(volume_m3=0, packing_kg=0, area_m2=10, days=10, film_g_per_m2_day=1,
                      humidity_percent=percent)  # fmt: skip
    assert found.through_g == pytest.approx(100 * left)
    assert found.units == pytest.approx(100 * left / takes)


def test_a_film_is_never_counted_tighter_than_a_tenth_of_a_gram():
    """DIN 55474 (secondary source)."""
    tight = desiccant(volume_m3=1, packing_kg=0, area_m2=6, days=90, film_g_per_m2_day=0.01)
    assert tight.through_g == pytest.approx(0.1 * 6 * 90 * 0.7)


def test_the_memory_cell():
    """225 mAh, 1.15 uA, 1 % a year is 20.16 years; 220 mAh at 5 uA is 5.02 (secondary sources)."""
    assert cell_years(225, 1.15) == pytest.approx(20.16, abs=5e-3)
    assert cell_years(220, 5, 0.0) == pytest.approx(5.02, abs=5e-3)
    linear = 1 / (10 * 8.76 / 1200 + 0.02)  # losing 2 % of the first charge every year: 10.7
    assert linear == pytest.approx(10.75, abs=0.01)
    assert linear < cell_years(1200, 10, 0.02) < cell_years(1200, 10, 0.0)
    assert cell_years(225, 1.15, 1e-12) == pytest.approx(cell_years(225, 1.15, 0.0), rel=1e-6)


@given(capacity=st.floats(10, 5000), current=st.floats(0.5, 100), loses=st.floats(0.001, 0.2))
def test_the_cell_balances_what_it_gives_and_loses(capacity: float, current: float, loses: float):
    years = cell_years(capacity, current, loses)
    drawn = current * 8760 / 1000
    left = (capacity + drawn / loses) * math.exp(-loses * years) - drawn / loses
    assert left == pytest.approx(0, abs=1e-6 * (capacity + drawn / loses))
    assert years < cell_years(capacity, current, 0.0)


@pytest.mark.parametrize("wrong", [(0, 1, 0.01), (225, 0, 0.01), (225, 1, -0.1)])
def test_a_cell_nobody_read_gives_no_life(wrong: tuple[float, float, float]):
    with pytest.raises(Unusable, match="life"):
        cell_years(*wrong)
