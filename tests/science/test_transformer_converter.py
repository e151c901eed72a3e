"""Transformer, taps, dip, and a converter for start and stop: against circuits and mechanics."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.converter import (
    brake_resistor,
    bus_takes_joule,
    judge_source,
    shortest_stop_s,
    stopping,
)
from retrue.science.transformer import (
    LOCKED_KVA_PER_HP,
    autotransformer_kva,
    choose_tap,
    dip_percent,
    short_circuit_kva,
    start_kva,
    transformer_currents,
)


def test_currents_of_a_transformer():
    """75 kVA at 480 V is 90.21 A (secondary source); inrush 8 to 12 times (from memory)."""
    found = transformer_currents(75, 480, 208)
    assert found.primary_ampere == pytest.approx(90.21, abs=0.005)
    assert found.primary_ampere * 480 == pytest.approx(found.secondary_ampere * 208)
    assert found.inrush_low_ampere == pytest.approx(721.7, abs=0.1)
    assert found.inrush_high_ampere == pytest.approx(1082.5, abs=0.1)
    assert transformer_currents(1.5, 480, 120, phases=1).primary_ampere == pytest.approx(3.125)


def test_the_tap_that_is_stamped_like_the_supply():
    found = choose_tap(400, [380, 400, 415, 440], 200, 200)
    assert found.best.tap_volts == 400
    assert [tap.fits for tap in found.taps] == [True, True, True, True]
    assert found.taps[0].secondary_volts == pytest.approx(210.5, abs=0.05)


def test_a_drives_ceiling_and_a_high_night_decide():
    """A supply of 240 V on a tap of 200 V gives 240 where 220 is the most: over 10 per cent."""
    wrong = choose_tap(240, [200], 200, 200)
    assert wrong.best is None
    assert wrong.taps[0].deviation_percent == pytest.approx(20)
    night = choose_tap(400, [380, 400, 440], 200, 200, highest_supply_volts=440)
    assert night.best.tap_volts == 400
    tight = choose_tap(400, [380, 400, 440], 200, 200, most_volts=205, highest_supply_volts=440)
    assert tight.best.tap_volts == 440
    assert choose_tap(400, [500], 200, 200).best is None  # 20 per cent under


@given(
    supply=st.floats(180, 520), taps=st.lists(st.floats(180, 520), min_size=1, max_size=6),
    wanted=st.floats(100, 480),
)  # fmt: skip
def test_the_best_tap_is_nearest_of_those_that_fit(supply: float, taps: list[float], wanted: float):
    found = choose_tap(supply, taps, wanted, wanted)
    for tap in found.taps:
        assert tap.secondary_volts * tap.tap_volts == pytest.approx(supply * wanted)
        inside = 0.9 <= tap.secondary_volts / wanted <= 1.1
        near_edge = min(abs(tap.secondary_volts / wanted - e) for e in (0.9, 1.1)) < 1e-6
        assert tap.fits is inside or near_edge
        if tap.fits:
            assert abs(found.best.deviation_percent) <= abs(tap.deviation_percent) + 1e-9


@pytest.mark.parametrize(
    "wrong", [(0, [400], 200, 200), (400, [], 200, 200), (400, [0], 200, 200),
              (400, [400], 200, math.nan)],
)  # fmt: skip
def test_taps_nobody_read_are_refused(wrong: tuple[float, list[float], float, float]):
    with pytest.raises(Unusable, match="taps"):
        choose_tap(*wrong)
    with pytest.raises(Unusable, match="taps"):
        choose_tap(400, [400], 200, 200, highest_supply_volts=390)


def test_an_autotransformers_frame():
    """Handbook, from memory: 400 to 230 V carries 42.5 per cent of the load in its iron."""
    assert autotransformer_kva(100, 400, 230) == pytest.approx(42.5)
    assert autotransformer_kva(100, 230, 400) == pytest.approx(42.5)
    assert autotransformer_kva(100, 400, 400) == 0
    with pytest.raises(Unusable, match="voltage"):
        autotransformer_kva(100, 0, 400)


def test_short_circuit_power():
    """1,000 kVA at 4 % is 25 MVA; behind as much again it is half."""
    assert short_circuit_kva(1000, 4) == pytest.approx(25_000)
    assert short_circuit_kva(1000, 4, behind_kva=25_000) == pytest.approx(12_500)
    for wrong in ((0, 4), (1000, 0), (1000, math.nan)):
        with pytest.raises(Unusable, match="short-circuit"):
            short_circuit_kva(*wrong)


def test_locked_rotor_letters():
    """NFPA 70, table 430.7(B) (from memory): G ends at 6.3, no I, O or Q."""
    assert start_kva(10, "G") == 63
    assert not {"I", "O", "Q", "V"} & set(LOCKED_KVA_PER_HP)
    rows = list(LOCKED_KVA_PER_HP.values())
    assert rows == sorted(rows)
    for wrong in ((10, "I"), (0, "G")):
        with pytest.raises(Unusable, match="start"):
            start_kva(*wrong)


@given(
    ratio=st.floats(0.001, 1), start_pf=st.floats(0.1, 0.9), supply_pf=st.floats(0.1, 0.9),
)  # fmt: skip
def test_the_dip_is_that_of_the_circuit(ratio: float, start_pf: float, supply_pf: float):
    """Two impedances in a row, as phasors (by definition)."""
    motor = 1 / ratio * cmath.exp(1j * math.acos(start_pf))
    supply = cmath.exp(1j * math.acos(supply_pf))
    left = abs(motor / (motor + supply))
    found = dip_percent(
        ratio, 1.0, start_power_factor_share=start_pf, supply_power_factor_share=supply_pf
    )
    assert found == pytest.approx(100 * (1 - left), abs=1e-9)
    careful = dip_percent(ratio, 1.0)
    assert careful >= found - 1e-9
    assert careful == pytest.approx(100 * ratio / (1 + ratio))


def test_a_dip_without_a_supply_is_refused():
    with pytest.raises(Unusable, match="dip"):
        dip_percent(63, 0)


@given(inertia=st.floats(0.01, 20), speed=st.floats(100, 12_000), seconds=st.floats(0.2, 30))
def test_a_stop_gives_back_its_energy(inertia: float, speed: float, seconds: float):
    """The power of an even stop, summed over it, is the energy; it is highest at its beginning."""
    found = stopping(inertia, speed, seconds)
    omega = speed * 2 * math.pi / 60
    at = np.linspace(0, seconds, 2001)
    power = inertia * omega / seconds * omega * (1 - at / seconds)
    assert np.trapezoid(power, at) == pytest.approx(found.energy_joule, rel=1e-6)
    assert power.max() == pytest.approx(found.peak_watt)
    assert power.mean() == pytest.approx(found.mean_watt, rel=1e-6)
    allowed = shortest_stop_s(inertia, speed, found.peak_watt)
    assert allowed == pytest.approx(seconds)
    half = stopping(inertia, speed, seconds, back_share=0.5)
    assert half.peak_watt == pytest.approx(found.peak_watt / 2)
    assert half.energy_joule == found.energy_joule


@pytest.mark.parametrize("wrong", [(0, 4000, 3), (0.4, 0, 3), (0.4, 4000, 0), (math.nan, 1, 1)])
def test_a_stop_nobody_timed_is_refused(wrong: tuple[float, float, float]):
    with pytest.raises(Unusable, match="pushes back"):
        stopping(*wrong)
    with pytest.raises(Unusable, match="takes"):
        shortest_stop_s(0.4, 4000, 0)


def test_a_brake_resistor_lies_between_two_limits():
    stop = stopping(0.4, 4000, 3)
    found = brake_resistor(stop, 760, 40, stops_per_hour=20)
    assert 760**2 / found.most_ohm == pytest.approx(stop.peak_watt)
    assert 760 / found.least_ohm == pytest.approx(40)
    assert found.pulse_joule == pytest.approx(stop.energy_joule)
    assert found.mean_watt == pytest.approx(stop.energy_joule * 20 / 3600)
    assert not brake_resistor(stop, 760, 20, stops_per_hour=20).possible
    soft = stopping(0.4, 4000, 3, back_share=0.5)
    assert brake_resistor(soft, 760, 40, stops_per_hour=20).pulse_joule == pytest.approx(
        stop.energy_joule / 2
    )
    with pytest.raises(Unusable, match="resistor"):
        brake_resistor(stop, 760, 40, stops_per_hour=0)


def test_bus_capacitors_take_almost_nothing():
    """2,000 uF hold 319.2 J at 565 V (computed twice); up to 800 V they take 320 J more."""
    full = 0.5 * 2000e-6 * 800**2
    assert bus_takes_joule(2000, 400, 800) == pytest.approx(full - 0.5 * 2000e-6 * 2 * 400**2)
    assert bus_takes_joule(2000, 400, 800) < 0.01 * stopping(0.4, 4000, 3).energy_joule
    with pytest.raises(Unusable, match="bus"):
        bus_takes_joule(2000, 400, 560)


@pytest.mark.parametrize(
    ("name", "more", "starts", "stops"),
    [
        ("grid", {}, True, True),
        ("transformer", {}, True, True),
        ("rotary", {}, True, True),
        ("rotary", {"rated_watt": 22_000}, False, True),
        ("rotary", {"rated_watt": 18_000}, False, False),
        ("solid_state", {}, True, False),
        ("solid_state", {"returns": True}, True, True),
        ("solid_state", {"resistor_watt": 20_000}, True, True),
        ("drive", {"resistor_watt": 19_999}, True, False),
    ],
)
def test_a_converter_for_start_and_for_stop(
    name: str, more: dict[str, float], starts: bool, stops: bool
):
    """Common practice, no source: an idler of two to three times the spindle."""
    asked = {"rated_watt": 30_000, "start_watt": 15_000, "stop_peak_watt": 20_000} | more
    found = judge_source(name, **asked)
    assert (found.starts, found.stops) == (starts, stops)
    assert found.why
    with pytest.raises(Unusable, match="source"):
        judge_source("sun", **asked)
