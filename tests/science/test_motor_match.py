"""Motor, drive and axis: torque over a cycle, volts, inertia; formulas by definition."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.inertia import (
    at_motor_kg_m2,
    belt_inertia_kg_m2,
    cylinder_inertia_kg_m2,
    ratio_fits,
    screw_inertia_kg_m2,
)
from retrue.science.motor_match import (
    alike,
    back_volts,
    bus_carries,
    enough,
    magnet_left_percent,
    rms_torque_nm,
    torque_at_nm,
    torque_constant,
    volt_second_per_rad,
    volts_alike,
)


def test_the_torque_that_warms():
    """3 Nm 0.2 s, 1 Nm 0.5 s, -2 Nm 0.2 s, rest 0.6 s: 1.4376 Nm (worked out)."""
    cycle = [(3, 0.2), (1, 0.5), (-2, 0.2), (0, 0.6)]
    assert rms_torque_nm(cycle) == pytest.approx(1.4376, abs=5e-5)
    fine = np.concatenate([np.full(round(s * 1000), t) for t, s in cycle])
    assert rms_torque_nm(cycle) == pytest.approx(math.sqrt(np.mean(fine**2)), abs=1e-9)
    mean = sum(t * s for t, s in cycle) / 1.5
    assert rms_torque_nm(cycle) > abs(mean), "braking warms as much as driving"


@pytest.mark.parametrize("cycle", [[], [(1, 0)], [(1, -1), (2, 3)], [(1, math.nan)]])
def test_a_cycle_without_time_is_refused(cycle: list[tuple[float, float]]):
    with pytest.raises(Unusable, match="cycle"):
        rms_torque_nm(cycle)


def test_torque_at_a_speed_and_no_further_than_the_curve():
    curve = [(0, 12), (2000, 10), (3000, 6)]
    assert [torque_at_nm(curve, n) for n in (0, 1000, -2500, 3000)] == [12, 11, 8, 6]
    for speed, wrong in ((3001, curve), (10, []), (10, [(2000, 1), (0, 2)])):
        with pytest.raises(Unusable, match="curve"):
            torque_at_nm(wrong, speed)


def test_volts_a_thousand_turns_give_torque_an_ampere():
    """50 V effective between lines: 0.47746 V s/rad and 0.8270 Nm/A (worked out)."""
    assert volt_second_per_rad(50) == pytest.approx(0.47746, abs=5e-6)
    assert torque_constant(50) == pytest.approx(0.8270, abs=5e-5)


@given(volts=st.floats(5, 200), ampere=st.floats(0.1, 100), rpm=st.floats(1, 6000))
def test_what_goes_in_as_volts_and_current_comes_out_as_torque_and_speed(
    volts: float, ampere: float, rpm: float
):
    """Root three times line volts times ampere is torque times angular speed (by definition)."""
    effective, peak = back_volts(volts, rpm)
    assert math.sqrt(3) * effective * ampere == pytest.approx(
        torque_constant(volts) * ampere * rpm * 2 * math.pi / 60
    )
    assert peak == pytest.approx(math.sqrt(2) * effective)
    assert back_volts(volts, -rpm) == (effective, peak)


def test_a_bus_carries_a_speed_or_does_not():
    """Peak between lines must stay under the bus; the tenth for current is judgement."""
    assert bus_carries(508, 565) == "yes"
    assert bus_carries(509, 565) == "ask"
    assert bus_carries(565.1, 565) == "no"


def test_weak_magnets_show_as_low_volts():
    assert magnet_left_percent(46, 50) == pytest.approx(92)
    with pytest.raises(Unusable, match="constants"):
        magnet_left_percent(46, 0)


def test_a_sliding_mass_on_a_screw():
    """500 kg on 10 mm a turn: 1.2665e-3 kg m2 (worked out)."""
    assert screw_inertia_kg_m2(500, 10) == pytest.approx(1.2665e-3, abs=5e-8)


@given(mass=st.floats(1, 5000), pitch=st.floats(1, 50), rpm=st.floats(1, 6000))
def test_the_motor_feels_what_moves_by_its_energy(mass: float, pitch: float, rpm: float):
    """Half J omega squared is half m v squared, for a screw, a belt and a gear (by definition)."""
    omega = rpm * 2 * math.pi / 60
    slides = pitch / 1000 * rpm / 60
    screw = screw_inertia_kg_m2(mass, pitch)
    assert screw * omega**2 == pytest.approx(mass * slides**2)
    belt = belt_inertia_kg_m2(mass, 60)
    assert belt * omega**2 == pytest.approx(mass * (0.03 * omega) ** 2)
    for turns in (2, 3):
        felt = at_motor_kg_m2(screw, turns)
        assert felt * (turns * omega) ** 2 == pytest.approx(screw * omega**2)


def test_a_steel_screw_of_40_mm_and_a_metre():
    """Solid cylinder: 9.86 kg times the square of 20 mm, halved (by definition)."""
    mass = 7850 * math.pi * 0.02**2
    assert cylinder_inertia_kg_m2(40, 1000) == pytest.approx(mass * 0.02**2 / 2)
    assert cylinder_inertia_kg_m2(40, 500) == pytest.approx(mass * 0.02**2 / 4)
    with pytest.raises(Unusable, match="ratio"):
        at_motor_kg_m2(1.0, 0)


def test_property_by_property_it_is_yes_no_or_ask():
    assert [ratio_fits(r) for r in (3, 3.1, 10, 10.1)] == ["yes", "ask", "ask", "no"]
    assert [enough(10, 10), enough(9.9, 10), enough(10, None)] == ["yes", "no", "ask"]
    assert [alike(8, 8.0), alike("Resolver", " resolver"), alike(4, 6)] == ["yes", "yes", "no"]
    assert [alike(None, 6), alike("sine 1 Vpp", "")] == ["ask", "ask"]
    assert [volts_alike(24, 22), volts_alike(24, 21), volts_alike(24, 27)] == ["yes", "no", "no"]
    assert volts_alike(90, None) == "ask"
