"""What feeds a machine: currents, converters, conductors, unbalance, against published examples.

Where two printed values disagree, the wrong one is named and must not come out.
"""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.conductor import (
    COPPER_75_C,
    drop_by_area_volts,
    drop_volts,
    motor_branch,
    table_current_ampere,
)
from retrue.science.supply import (
    line_current_ampere,
    motor_current_ampere,
    on_one_phase,
    transformer_kva,
)
from retrue.science.unbalance import derating, largest_deviation_percent, negative_sequence_percent


def test_full_load_currents():
    """75 kVA at 480 V is 90.21 A, 42 A at 480 V is 34.92 kVA (secondary sources)."""
    assert line_current_ampere(75, 480) == pytest.approx(90.21, abs=0.005)
    assert line_current_ampere(10, 230) == pytest.approx(25.102, abs=5e-4)
    assert transformer_kva(42, 480) == pytest.approx(34.92, abs=0.005)
    shaft = motor_current_ampere(15 * 745.7, 230, efficiency_share=0.91, power_factor_share=0.85)
    assert shaft == pytest.approx(36.30, abs=0.005)


@given(kva=st.floats(0.1, 500), volts=st.floats(100, 690))
def test_current_and_transformer_are_each_others_way_back(kva: float, volts: float):
    assert transformer_kva(line_current_ampere(kva, volts), volts) == pytest.approx(kva)
    assert line_current_ampere(kva, volts, phases=1) > line_current_ampere(kva, volts)


@pytest.mark.parametrize("wrong", [(0, 400, 3), (10, 0, 3), (10, 400, 2), (math.nan, 400, 3)])
def test_a_plate_that_was_not_read_gives_no_current(wrong: tuple[float, float, int]):
    with pytest.raises(Unusable, match="kVA"):
        line_current_ampere(wrong[0], wrong[1], phases=wrong[2])


def test_a_three_phase_machine_on_one_phase():
    """26 A: 45.03 A in, and a drive rated for 52 A (secondary source)."""
    asked = on_one_phase(26, 11)
    assert asked.input_ampere == pytest.approx(45.03, abs=0.005)
    assert asked.drive_ampere == 52
    assert asked.idler_kw_low >= 11
    assert asked.idler_kw_high > asked.idler_kw_low


def test_a_converters_losses_come_on_top():
    """20 kVA at 230 V through a converter of 0.9 draws 97 A from one phase (from memory)."""
    three = line_current_ampere(20, 230)
    assert on_one_phase(three, 11, efficiency_share=0.9).input_ampere == pytest.approx(97, abs=0.5)


def test_hours_of_load_ask_a_quarter_more():
    """Common practice, no source."""
    assert transformer_kva(42, 480, continuous=True) == pytest.approx(1.25 * 34.92, abs=0.01)


@given(
    power_factor=st.floats(0.5, 1), ohm=st.floats(0.1, 3), reactance=st.floats(0, 0.3),
    length=st.floats(1, 60),
)  # fmt: skip
def test_the_drop_is_that_of_the_phasors(
    power_factor: float, ohm: float, reactance: float, length: float
):
    """Sending less receiving volts of a line, as phasors; the rule leaves out the cross term."""
    current = 40 * cmath.exp(-1j * math.acos(power_factor))
    lost = current * (ohm + 1j * reactance) * length / 1000
    exact = math.sqrt(3) * (abs(230 + lost) - 230)
    found = drop_volts(
        40, length, ohm_per_km=ohm, reactance_ohm_per_km=reactance, power_factor_share=power_factor
    )
    assert found == pytest.approx(exact, abs=abs(lost) ** 2 / 230 + 1e-9)
    assert drop_volts(40, length, ohm_per_km=ohm, phases=1) == pytest.approx(
        2 / math.sqrt(3) * drop_volts(40, length, ohm_per_km=ohm)
    )


@pytest.mark.parametrize(
    ("horsepower", "volts", "right", "wrong"),
    [(1.5, 230, 6.0, None), (0.75, 230, 3.2, 3.1), (1.5, 575, 2.4, 2.1), (0.5, 575, 0.9, 0.8),
     (10, 460, 14, None), (15, 230, 42, None),
     (30, 460, 40, None), (25, 460, 34, None), (100, 208, 273, None)],
)  # fmt: skip
def test_the_motor_table_is_the_codes_and_not_a_faulty_print(
    horsepower: float, volts: int, right: float, wrong: float | None
):
    """NFPA 70:2008, table 430.250 (secondary source).

    Charts print 3.1 A at 3/4 hp, 230 V, and 2.1 A at 1 1/2 hp and 0.8 A at 1/2 hp, 575 V.
    """
    assert table_current_ampere(horsepower, volts) == right
    assert table_current_ampere(horsepower, volts) != wrong


def test_the_motor_table_rises_with_power_and_falls_with_voltage():
    """A printed chart shifted by one column would break this."""
    sizes = [0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100]
    for volts in (200, 208, 230, 460, 575):
        row = [table_current_ampere(size, volts) for size in sizes]
        assert row == sorted(row)
    for size in sizes:
        each = [table_current_ampere(size, volts) for volts in (200, 208, 230, 460, 575)]
        assert each == sorted(each, reverse=True)
        assert each[3] == pytest.approx(each[2] / 2, rel=0.05)
        assert each[4] == pytest.approx(each[3] * 460 / 575, rel=0.05)


def test_a_motor_that_is_not_in_the_table_is_refused():
    with pytest.raises(Unusable, match="no such motor"):
        table_current_ampere(12, 460)
    with pytest.raises(Unusable, match="no such motor"):
        table_current_ampere(10, 400)


@pytest.mark.parametrize(
    ("ampere", "conductor", "delay", "breaker", "plain"),
    [(34, 42.5, 59.5, 85, 102), (42, 52.5, 73.5, 105, 126), (14, 17.5, 24.5, 35, 42),
     (40, 50, 70, 100, 120), (28, 35, 49, 70, 84)],
)  # fmt: skip
def test_a_motors_line(ampere: float, conductor: float, delay: float, breaker: float, plain: float):
    """NFPA 70, 430.22 and table 430.52, worked examples (secondary sources)."""
    line = motor_branch(ampere)
    assert line.conductor_ampere == pytest.approx(conductor)
    assert line.most_short_circuit_ampere["dual_element_fuse"] == pytest.approx(delay)
    assert line.most_short_circuit_ampere["inverse_time_breaker"] == pytest.approx(breaker)
    assert line.most_short_circuit_ampere["non_time_delay_fuse"] == pytest.approx(plain)


def test_copper_at_75_degrees():
    """NFPA 70, table 310.16 (secondary source); one worked example prints 20 A for 12 AWG."""
    assert COPPER_75_C["12"] == 25
    row = list(COPPER_75_C.values())
    assert row == sorted(row)


def test_voltage_drop_two_ways():
    """42 A, 100 ft, 8 AWG: 5.684 V by area, 5.659 by 0.778 ohm (stranded), 5.558 by the solid."""
    assert drop_by_area_volts(42, 100, 16510) == pytest.approx(5.684, abs=5e-4)
    stranded = drop_volts(42, 30.48, ohm_per_km=0.778 / 0.3048)
    solid = drop_volts(42, 30.48, ohm_per_km=0.764 / 0.3048)
    assert stranded == pytest.approx(5.659, abs=0.002)
    assert solid == pytest.approx(5.558, abs=0.002)
    assert stranded != pytest.approx(solid, abs=0.05), "a page calls the solid values stranded"


@pytest.mark.parametrize(
    ("volts", "printed", "within"),
    [((462, 463, 455), 1.087, 5e-4), ((203, 210, 212), 2.56, 5e-3), ((460, 467, 450), 1.961, 5e-4),
     ((480, 476, 472), 0.84, 5e-3), ((400, 395, 388), 1.606, 5e-4)],
)  # fmt: skip
def test_unbalance_by_largest_deviation(
    volts: tuple[float, float, float], printed: float, within: float
):
    """NEMA MG 1, 14.36, worked examples (secondary sources); one prints 1.45 % for the last."""
    assert largest_deviation_percent(volts) == pytest.approx(printed, abs=within)


@given(forward=st.floats(200, 500), back=st.floats(0, 0.05), angle=st.floats(0, 2 * math.pi))
def test_negative_sequence_from_line_voltages_is_that_of_the_phasors(
    forward: float, back: float, angle: float
):
    """Symmetrical components: built from a positive and a negative system (by definition)."""
    turn = cmath.exp(2j * math.pi / 3)
    behind = forward * back * cmath.exp(1j * angle)
    lines = [abs(forward * turn**-k + behind * turn**k) for k in range(3)]
    assert negative_sequence_percent(lines) == pytest.approx(100 * back, abs=2e-5)


@pytest.mark.parametrize(("volts", "percent"), [((462, 463, 455), 1.091), ((460, 467, 450), 2.146)])
def test_negative_sequence_examples(volts: tuple[float, float, float], percent: float):
    assert negative_sequence_percent(volts) == pytest.approx(percent, abs=5e-4)


def test_derating_follows_the_figure_and_stops_at_five_per_cent():
    """NEMA MG 1, figure 14-1 read off (secondary source); another page reads 0.90 at 3 %."""
    assert derating(3.0) == pytest.approx(0.90, abs=0.015)
    assert [derating(x) for x in (0, 0.5, 2, 5)] == [1.0, 1.0, 0.95, 0.76]
    for percent in (5.01, -0.1, math.nan):
        with pytest.raises(Unusable, match="5 per cent"):
            derating(percent)


@pytest.mark.parametrize("volts", [(400, 400), (400, 0, 400), (400, math.nan, 400)])
def test_three_voltages_are_needed(volts: tuple[float, ...]):
    with pytest.raises(Unusable, match="three voltages"):
        largest_deviation_percent(volts)


def test_voltages_that_close_no_triangle_are_refused():
    with pytest.raises(Unusable, match="cannot belong"):
        negative_sequence_percent([100, 100, 300])
