"""Protection two ways: NFPA 70 by its worked examples, IEC by physics and by printed tables.

Where two printed values disagree, the wrong one is named and must not come out.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science import protection_iec, protection_nec
from retrue.science.conductor import (
    COPPER_75_C,
    one_phase_table_ampere,
    table_current_ampere,
)
from retrue.science.protection import (
    TRIP_S,
    in_trip_class,
    prospective_ampere,
    trip_class,
    withstands,
)
from retrue.science.protection_iec import (
    BREAKER_AMPERE,
    FUSE_AMPERE,
    HEAT,
    disconnection_s,
    earth_rod_ohm,
    fault_loop,
    least_area_mm2,
    magnetic_ampere,
    next_device_ampere,
)
from retrue.science.protection_nec import (
    STANDARD_AMPERE,
    feeder_ampere,
    feeder_device_ampere,
    next_standard_ampere,
    short_circuit,
    standard_below_ampere,
    transformer_fuses,
)


def test_the_overload_is_set_by_the_motors_plate():
    """NFPA 70, 430.32 (from memory); a worked example takes the table's 14 A instead."""
    plate, table = 12.4, table_current_ampere(10, 460)
    found = protection_nec.overload(plate, service_factor=1.15)
    assert found.setting_ampere == pytest.approx(15.5)
    assert found.setting_ampere != pytest.approx(1.25 * table)
    assert found.most_ampere == pytest.approx(17.36)


@pytest.mark.parametrize(
    ("factor", "rise", "setting", "most"),
    [(1.15, None, 1.25, 1.4), (1.0, 40, 1.25, 1.4), (1.0, 41, 1.15, 1.3), (1.0, None, 1.15, 1.3),
     (1.14, None, 1.15, 1.3)],
)  # fmt: skip
def test_a_generous_motor_gets_125_per_cent(
    factor: float, rise: float | None, setting: float, most: float
):
    """NFPA 70, 430.32(A)(1) and (C) (from memory)."""
    found = protection_nec.overload(100, service_factor=factor, rise_kelvin=rise)
    assert (found.setting_ampere, found.most_ampere) == pytest.approx((100 * setting, 100 * most))


@pytest.mark.parametrize("wrong", [(0, 1.0), (math.nan, 1.0), (10, 0.9)])
def test_a_plate_that_was_not_read_sets_no_overload(wrong: tuple[float, float]):
    with pytest.raises(Unusable, match="plate"):
        protection_nec.overload(wrong[0], service_factor=wrong[1])


@pytest.mark.parametrize(
    ("ampere", "device", "reckoned", "standard"),
    [
        (34, "dual_element_fuse", 59.5, 60),
        (34, "inverse_time_breaker", 85, 90),
        (34, "non_time_delay_fuse", 102, 110),
        (42, "dual_element_fuse", 73.5, 80),
        (42, "inverse_time_breaker", 105, 110),
        (28, "inverse_time_breaker", 70, 70),
        (14, "inverse_time_breaker", 35, 35),
    ],
)
def test_a_motors_short_circuit_device(ampere: float, device: str, reckoned: float, standard: int):
    """NFPA 70, table 430.52, worked examples (secondary sources); 5 hp at 230 V: 70 A."""
    found = short_circuit(ampere, device)
    assert found.reckoned_ampere == pytest.approx(reckoned)
    assert found.standard_ampere == standard
    assert found.most_ampere > found.reckoned_ampere


def test_how_far_the_exceptions_go():
    """NFPA 70, 430.52(C) (from memory; 400 per cent up to 100 A secondary source)."""
    assert short_circuit(100, "inverse_time_breaker").most_ampere == 400
    assert short_circuit(101, "inverse_time_breaker").most_ampere == 303
    assert short_circuit(10, "dual_element_fuse").most_ampere == 22.5
    trip = short_circuit(10, "instantaneous_trip")
    assert (trip.reckoned_ampere, trip.standard_ampere, trip.most_ampere) == (80, None, 130)
    for wrong in ((10, "wire"), (0, "dual_element_fuse"), (math.nan, "dual_element_fuse")):
        with pytest.raises(Unusable, match="device"):
            short_circuit(*wrong)


def test_other_motors_than_a_cage():
    """NFPA 70, table 430.52 (secondary source): 150, 150, 800 or 250, 150 per cent."""
    for motor, trip in (("wound_rotor", 80), ("direct_current", 25)):
        for device in ("non_time_delay_fuse", "dual_element_fuse", "inverse_time_breaker"):
            assert short_circuit(10, device, motor=motor).reckoned_ampere == 15
        assert short_circuit(10, "instantaneous_trip", motor=motor).reckoned_ampere == trip
    saving = short_circuit(10, "instantaneous_trip", motor="design_b")
    assert (saving.reckoned_ampere, saving.most_ampere) == (110, 170)
    assert short_circuit(10, "dual_element_fuse", motor="design_b").reckoned_ampere == 17.5
    with pytest.raises(Unusable, match="device"):
        short_circuit(10, "dual_element_fuse", motor="steam")


def test_a_one_phase_motors_line():
    """NFPA 70, worked example (secondary source): 5 hp, 230 V: 28 A, conductor 35 A, breaker 70."""
    current = one_phase_table_ampere(5)
    assert current == 28
    assert 1.25 * current == 35
    assert short_circuit(current, "inverse_time_breaker").standard_ampere == 70
    assert [one_phase_table_ampere(hp) for hp in (1, 1.5, 2, 3, 7.5, 10)] == [8, 10, 12, 17, 40, 50]
    with pytest.raises(Unusable, match="no such motor"):
        one_phase_table_ampere(4)


def test_the_list_of_standard_ratings():
    """NFPA 70, 240.6(A) (from memory): 37 ratings from 15 to 6000 A, and five fuses more."""
    assert len(STANDARD_AMPERE) == len(set(STANDARD_AMPERE)) == 37
    assert list(STANDARD_AMPERE) == sorted(STANDARD_AMPERE)
    assert (STANDARD_AMPERE[0], STANDARD_AMPERE[-1]) == (15, 6000)
    for not_one in (55, 65, 75, 120, 160, 550):
        assert not_one not in STANDARD_AMPERE
    assert next_standard_ampere(0.5, fuse=True) == 1
    assert next_standard_ampere(0.5) == 15
    assert next_standard_ampere(600.5, fuse=True) == 601


@given(ampere=st.floats(15, 6000))
def test_a_current_lies_between_two_standard_ratings(ampere: float):
    up, down = next_standard_ampere(ampere), standard_below_ampere(ampere)
    assert down <= ampere + 1e-9
    assert up >= ampere - 1e-9
    assert STANDARD_AMPERE.index(up) - STANDARD_AMPERE.index(down) in (0, 1)


@pytest.mark.parametrize("wrong", [0, -1, 6001, math.nan])
def test_no_rating_for_no_current(wrong: float):
    with pytest.raises(Unusable, match="rating"):
        next_standard_ampere(wrong)


def test_the_rating_below_has_an_end():
    with pytest.raises(Unusable, match="rating"):
        standard_below_ampere(14.9)


def test_a_feeder_of_several_motors():
    """NFPA 70, 430.24 (secondary source): 1.25 times the largest and the others."""
    assert feeder_ampere([14, 34, 4.8]) == pytest.approx(1.25 * 34 + 14 + 4.8)
    assert feeder_ampere([40]) == pytest.approx(50)
    assert feeder_device_ampere(90, [14, 34, 4.8]) == 100  # 90 + 14 + 4.8 is 108.8, rounded down
    for wrong in ([], [14, 0], [14, math.nan]):
        with pytest.raises(Unusable, match="feeder"):
            feeder_ampere(wrong)


def test_a_control_transformers_fuses():
    """NFPA 70, 450.3(B) (secondary source): 1.5 kVA at 480 V is 3.13 A, times 2.5 is 7.81 A."""
    found = transformer_fuses(1500 / 480, 1500 / 120, secondary_too=True)
    assert found.primary_ampere == pytest.approx(7.81, abs=0.005)
    assert found.secondary_ampere == pytest.approx(1.25 * 12.5)
    alone = transformer_fuses(1500 / 480, 1500 / 120, secondary_too=False)
    assert alone.primary_ampere == pytest.approx(1.67 * 3.125)
    assert (alone.secondary_ampere, alone.secondary_standard_ampere) == (None, None)


@pytest.mark.parametrize(
    ("ampere", "share", "standard"),
    [(90.21, 1.25, 125), (9, 1.25, 15), (8.9, 1.67, 10), (2, 1.67, 3), (1.9, 3.0, 3),
     (40, 1.25, 50)],
)  # fmt: skip
def test_a_transformer_protected_on_its_primary_alone(ampere: float, share: float, standard: int):
    """NFPA 70, 450.3(B) (secondary source): 125, 167 under 9 A, 300 under 2 A."""
    found = transformer_fuses(ampere, 100, secondary_too=False)
    assert found.primary_ampere == pytest.approx(share * ampere)
    assert found.primary_standard_ampere == standard
    with pytest.raises(Unusable, match="transformer"):
        transformer_fuses(0, 100, secondary_too=False)


# The international way.


@pytest.mark.parametrize(
    ("load", "device", "carries", "sort", "fits"),
    [
        (28, 32, 34, "breaker", True),
        (33, 32, 40, "breaker", False),  # load over rating
        (28, 32, 31, "breaker", False),  # rating over what the line carries
        (28, 32, 34, "fuse", False),  # 1.6 x 32 is 51.2, over 1.45 x 34
        (28, 32, 35.4, "fuse", True),
        (28, 32, 32, "adjustable", True),
        (8, 10, 12, "fuse", False),  # 1.9 x 10 is 19, over 1.45 x 12
        (8, 10, 13.2, "fuse", True),
    ],
)
def test_three_rules_of_overload(load: float, device: float, carries: float, sort: str, fits: bool):
    """IEC 60364-4-43, 433.1 (from memory): Ib <= In <= Iz and I2 <= 1.45 Iz."""
    assert protection_iec.overload(load, device, carries, device=sort).protects is fits


def test_a_small_breaker_fulfils_the_second_rule_by_the_first():
    """IEC 60898-1 (from memory): it trips at 1.45 In, so I2 <= 1.45 Iz is In <= Iz."""
    found = protection_iec.overload(20, 25, 27)
    assert found.trips_share == pytest.approx(found.rating_share)
    for wrong in ((0, 25, 27), (20, math.nan, 27), (20, 25, -1)):
        with pytest.raises(Unusable, match="currents"):
            protection_iec.overload(*wrong)
    with pytest.raises(Unusable, match="device"):
        protection_iec.overload(20, 25, 27, device="wire")


def test_standard_devices():
    """IEC 60898-1 and IEC 60269 (from memory)."""
    assert next_device_ampere(32) == 32
    assert next_device_ampere(32.1) == 40
    assert next_device_ampere(2.5, fuse=True) == 4
    for row in (BREAKER_AMPERE, FUSE_AMPERE):
        assert list(row) == sorted(set(row))
    for wrong in (0, 126, math.nan):
        with pytest.raises(Unusable, match="rating"):
            next_device_ampere(wrong)


def test_a_fault_switches_itself_off():
    """IEC 60364-4-41 (from memory): C32 at 230 V allows 0.72 ohm, B16 2.87 ohm, D32 0.36."""
    for rating, curve, printed in ((32, "C", 0.72), (16, "B", 2.87), (32, "D", 0.36)):
        loop = fault_loop(230, magnetic_ampere(rating, curve), 0.1)
        assert loop.most_ohm == pytest.approx(printed, abs=0.006)
        assert loop.most_cold_ohm == pytest.approx(loop.most_ohm * 2 / 3)
        assert loop.disconnects
        assert loop.fault_ampere == pytest.approx(2300)
    most = fault_loop(230, 320, 1).most_cold_ohm
    assert fault_loop(230, 320, most * 0.999).disconnects
    assert not fault_loop(230, 320, most * 1.001).disconnects
    for wrong in ((0, 320, 1), (230, 0, 1), (230, 320, math.nan)):
        with pytest.raises(Unusable, match="loop"):
            fault_loop(*wrong)
    with pytest.raises(Unusable, match="curve"):
        magnetic_ampere(32, "K")


def test_an_earth_of_its_own():
    """IEC 60364-4-41, 411.5.3 (from memory): 30 mA 1,667 ohm, 300 mA 167 ohm, 1 A 50 ohm."""
    printed = {0.03: 1667, 0.3: 167, 1.0: 50}
    for residual, ohm in printed.items():
        assert earth_rod_ohm(residual) == pytest.approx(ohm, abs=0.5)
    with pytest.raises(Unusable, match="residual"):
        earth_rod_ohm(0)


def test_how_fast_a_fault_must_be_off():
    """IEC 60364-4-41, table 41.1 (from memory): 120 V 0.8 s, 230 V 0.4 s, 400 V 0.2 s, over 0.1."""
    assert [disconnection_s(u) for u in (100, 120, 127, 230, 277, 400, 500)] == [
        0.8, 0.8, 0.4, 0.4, 0.2, 0.2, 0.1
    ]  # fmt: skip
    for wrong in (50, math.nan):
        with pytest.raises(Unusable, match="50 V"):
            disconnection_s(wrong)


@pytest.mark.parametrize(
    ("insulation", "heat", "beta", "ohm", "first", "last"),
    [
        ("pvc", 3.45e-3, 234.5, 17.241e-6, 70, 160),
        ("xlpe", 3.45e-3, 234.5, 17.241e-6, 90, 250),
        ("pvc_aluminium", 2.5e-3, 228, 28.264e-6, 70, 160),
        ("xlpe_aluminium", 2.5e-3, 228, 28.264e-6, 90, 250),
    ],
)
def test_the_heat_a_conductor_bears_is_its_physics(
    insulation: str, heat: float, beta: float, ohm: float, first: float, last: float
):
    """IEC 60364-5-54, annex A (from memory): k from heat capacity and resistance."""
    k = math.sqrt(heat * (beta + 20) / ohm * math.log((beta + last) / (beta + first)))
    assert HEAT[insulation] == pytest.approx(k, abs=1.0)


@given(current=st.floats(100, 50_000), seconds=st.floats(0.1, 5))
def test_a_conductor_bears_its_short_circuit(current: float, seconds: float):
    area = least_area_mm2(current, seconds)
    assert (115 * area) ** 2 == pytest.approx(current**2 * seconds)
    assert least_area_mm2(current, seconds, "xlpe") < area


@pytest.mark.parametrize("wrong", [(0, 1, "pvc"), (1000, 5.1, "pvc"), (1000, 0, "pvc"),
                                   (1000, 1, "paper"), (math.nan, 1, "pvc")])  # fmt: skip
def test_a_heat_that_cannot_be_told(wrong: tuple[float, float, str]):
    with pytest.raises(Unusable, match="heat"):
        least_area_mm2(*wrong)


# What both share.


def test_trip_classes():
    """IEC 60947-4-1, at 7.2 times the setting (from memory; a maker's answer, secondary source)."""
    assert TRIP_S == {"10A": (2, 10), "10": (4, 10), "20": (6, 20), "30": (9, 30)}
    assert [trip_class(s) for s in (0, 1.9, 2, 3.9, 4, 6, 8.9)] == [
        "10A", "10A", "10", "10", "20", "30", "30"
    ]  # fmt: skip
    for wrong in (9, -1, math.nan):
        with pytest.raises(Unusable, match="trip class"):
            trip_class(wrong)
    assert in_trip_class(10, "10")
    assert not in_trip_class(10.1, "10")
    assert not in_trip_class(4, "10")
    assert in_trip_class(2.1, "10A")
    with pytest.raises(Unusable, match="trip class"):
        in_trip_class(5, "5")


def test_the_short_circuit_of_a_transformer_and_a_panel():
    """1,000 kVA, 4 %, 400 V: 36.1 kA (handbook value, from memory)."""
    assert prospective_ampere(400, short_circuit_kva=25_000) == pytest.approx(36_100, abs=50)
    assert withstands(4999).bears
    assert not withstands(5001).bears
    assert not withstands(5001).rating_marked
    assert withstands(36_100, 50_000).bears
    assert not withstands(36_100, 36_000).bears
    with pytest.raises(Unusable, match="short-circuit"):
        prospective_ampere(400, short_circuit_kva=0)
    for wrong in (0, math.inf, math.nan):
        with pytest.raises(Unusable, match="short-circuit"):
            withstands(wrong)


def test_copper_of_the_code_carries_what_its_motors_ask():
    """NFPA 70 worked examples (secondary sources): 17.5 A, 42.5 A, 50 A, 35 A, 52.5 A."""
    asked = {17.5: "14", 42.5: "8", 50: "8", 35: "10", 52.5: "6"}
    for ampere, size in asked.items():
        assert next(s for s, carries in COPPER_75_C.items() if carries >= ampere) == size
