"""Another frequency: the affinity laws and the transformer equation, from their own terms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.frequency import (
    changed_frequency,
    gear_pump_power_share,
    motor_rpm,
    same_frequency,
)


def test_sixty_on_fifty():
    """Common practice, no source: 17 per cent less flow, 20 more flux at the same volts."""
    found = changed_frequency(60, 50, made_for_volts=460)
    assert found.flow_share - 1 == pytest.approx(-0.17, abs=0.005)
    assert found.flux_share - 1 == pytest.approx(0.20, abs=1e-9)
    assert found.saturates
    assert found.volts_for_same_flux == pytest.approx(383.3, abs=0.05)
    held = changed_frequency(60, 50, made_for_volts=460, supply_volts=380)
    assert held.flux_share == pytest.approx(0.991, abs=5e-4)
    assert not held.saturates


def test_fifty_on_sixty_asks_more_power_of_a_pump():
    found = changed_frequency(50, 60, made_for_volts=400)
    assert found.power_share == pytest.approx(1.728)
    assert found.pressure_share == pytest.approx(1.44)
    assert found.flux_share == pytest.approx(0.8333, abs=5e-5)
    assert not found.saturates
    assert gear_pump_power_share(50, 60) == pytest.approx(1.2)


@given(
    made=st.floats(40, 70), supply=st.floats(40, 70), volts=st.floats(100, 500),
    given_volts=st.floats(100, 500), turns=st.integers(50, 500), area=st.floats(1e-4, 1e-2),
)  # fmt: skip
def test_flux_is_that_of_the_coil(
    made: float, supply: float, volts: float, given_volts: float, turns: int, area: float
):
    """U = 4.44 f N B A, solved for B before and after; pump power is flow times pressure."""
    before, after = (
        u / (4.44 * f * turns * area) for u, f in ((volts, made), (given_volts, supply))
    )
    found = changed_frequency(made, supply, made_for_volts=volts, supply_volts=given_volts)
    assert found.flux_share == pytest.approx(after / before)
    assert found.power_share == pytest.approx(found.flow_share * found.pressure_share)
    assert found.speed_share == pytest.approx(motor_rpm(supply, 4) / motor_rpm(made, 4))
    same = changed_frequency(
        made, supply, made_for_volts=volts, supply_volts=found.volts_for_same_flux
    )
    assert same.flux_share == pytest.approx(1)


def test_synchronous_speeds():
    """Handbook: 3000, 1500, 1000 at 50 Hz; 3600, 1800, 1200 at 60 Hz."""
    assert [motor_rpm(50, p) for p in (2, 4, 6)] == [3000, 1500, 1000]
    assert [motor_rpm(60, p) for p in (2, 4, 6)] == [3600, 1800, 1200]
    assert motor_rpm(50, 4, slip_share=0.04) == pytest.approx(1440)  # a plate's own speed
    for wrong in ((0, 4, 0.0), (50, 3, 0.0), (50, 0, 0.0), (50, 4, 1.0), (math.nan, 4, 0.0)):
        with pytest.raises(Unusable, match="speed"):
            motor_rpm(wrong[0], wrong[1], slip_share=wrong[2])


def test_the_band_of_five_per_cent():
    """NEMA MG 1-2011 (secondary source): frequency within 5 per cent."""
    assert same_frequency(60, 57)
    assert same_frequency(50, 52.5)
    assert not same_frequency(60, 56.9)
    assert not same_frequency(50, 60)


@pytest.mark.parametrize("wrong", [(0, 50), (60, 0), (math.nan, 50)])
def test_a_frequency_nobody_read_is_refused(wrong: tuple[float, float]):
    for function in (same_frequency, gear_pump_power_share):
        with pytest.raises(Unusable, match="frequency"):
            function(*wrong)
    with pytest.raises(Unusable, match="frequency"):
        changed_frequency(*wrong, made_for_volts=400)
    with pytest.raises(Unusable, match="volts"):
        changed_frequency(60, 50, made_for_volts=0)
