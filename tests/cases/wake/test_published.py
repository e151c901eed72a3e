"""Each electric calculator on published or worked values, from field to figure."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions


def told(id: str, **typed: str) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


def figure(made: Reckoning, key: str) -> float:
    value = next(one.value for one in made.figures if one.key == key)
    assert value is not None
    return value


def test_two_hundred_megohm_at_twenty_degrees():
    """IEEE Std 43-2013, 6.3: 50 by halving, 152 by the resin rule (constants from memory)."""
    made = told("insulation", read_megohm="200", winding_c="20", rated_volts="400",
                tested_volts="500", apart="yes")  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "halved_megohm") == pytest.approx(50)
    assert figure(made, "resin_megohm") == pytest.approx(152.4, abs=0.1)
    assert figure(made, "judged_megohm") == figure(made, "halved_megohm")
    assert figure(made, "least_megohm") == 5
    assert figure(made, "test_volts") == 500
    both = next(one for one in made.listings if one.title == "The reading by both rules")
    assert [row[1] for row in both.rows] == pytest.approx([0.25, 0.762], abs=5e-4)
    assert [row[2] for row in both.rows] == pytest.approx([50, 152.4], abs=0.1)


def test_a_test_with_more_volts_than_asked_is_told_and_one_with_as_much_is_not():
    """IEEE Std 43, table 1: 500 V under 1,000 V (from memory)."""
    for tested, notes in (("500", 1), ("1000", 2)):
        made = told("insulation", read_megohm="200", winding_c="20", rated_volts="400",
                    apart="yes", tested_volts=tested)  # fmt: skip
        assert (made.answer, len(made.notes)) == ("go", notes)


def test_what_is_printed_is_compared_at_its_own_temperature():
    """1.01 ohm at 31 degrees is 0.968 at 20: 12 % under 1.10 (copper, by definition)."""
    made = told("winding", ohm_12="1.00", ohm_23="1.01", ohm_31="1.02", measured_c="31",
                printed_ohm="1.10")  # fmt: skip
    at_20 = 1.01 * (234.5 + 20) / (234.5 + 31)
    assert figure(made, "at_printed_ohm") == pytest.approx(at_20)
    assert figure(made, "off_printed_percent") == pytest.approx(100 * (at_20 / 1.10 - 1))
    assert made.missing[0].reason == "it has 88 % of what is printed"
    star = [row for row in made.listings[0].rows if row[0] == "star"]
    assert [row[2] for row in star] == pytest.approx([0.505, 0.495, 0.515])
    assert [row[3] for row in star] == pytest.approx([ohm * at_20 / 1.01 for ohm in
                                                      (0.505, 0.495, 0.515)])  # fmt: skip


def test_three_megohm_at_seventy_degrees_is_twenty_four_and_not_a_faulty_print():
    """2 ** 3 times 3; a page reads its factor off a graph and prints 21."""
    made = told("insulation", read_megohm="3", winding_c="70 °C", rated_volts="400", apart="yes",
                tested_volts="500", material="thermoplastic")  # fmt: skip
    assert figure(made, "judged_megohm") == pytest.approx(24)
    assert made.answer == "go"


def test_an_armature_was_a_hundred_and_is_five():
    """IEEE Std 43, 2000 and 2013 (secondary source)."""
    typed = {"read_megohm": "60", "winding_c": "40", "rated_volts": "180", "apart": "yes",
             "winding": "armature", "tested_volts": "500"}  # fmt: skip
    assert told("insulation", **typed).answer == "go"
    assert told("insulation", **typed, edition="2000").answer == "no_go"


def test_temperature_by_resistance_and_its_class():
    """80 to 100 ohm: 83.63 printed (secondary source), 63.6 K; IEC 60034-1 class limits."""
    typed = {"cold_ohm": "80", "cold_c": "20", "warm_ohm": "100", "air_c": "20",
             "warm_after_s": "20"}  # fmt: skip
    made = told("winding", **typed, insulation_class="B")
    assert figure(made, "winding_c") == pytest.approx(83.625)
    assert figure(made, "rise_kelvin") == pytest.approx(63.6, abs=0.05)
    assert figure(made, "limit_kelvin") == 80
    assert made.answer == "go"
    assert told("winding", **typed, insulation_class="A").answer == "no_go"
    aluminium = told("winding", **typed, insulation_class="B", metal="aluminium")
    assert figure(aluminium, "winding_c") == pytest.approx(81.25)


def test_readings_while_it_cooled_lead_back():
    """80 + 20 exp(-t / 300): 100 ohm when it was switched off, so 83.6 degrees again."""
    made = told(
        "winding",
        cold_ohm="80",
        cold_c="20",
        air_c="20",
        insulation_class="F",
        cooling="60, 96.3746; 120, 93.4064; 180, 90.9762; 240, 88.9866",
    )
    assert figure(made, "switched_off_ohm") == pytest.approx(100, abs=0.001)
    assert figure(made, "winding_c") == pytest.approx(83.6, abs=0.05)
    doubt = figure(made, "switched_off_give_or_take_ohm") * (234.5 + 20) / 80
    assert figure(made, "winding_give_or_take_kelvin") == pytest.approx(doubt)
    assert 0 < doubt < 0.1
    assert made.answer == "go"


def test_a_late_reading_is_led_back_and_one_within_half_a_minute_stands():
    """IEC 60034-1, up to 50 kW: 30 s (from memory); nobody is hurried."""
    for after, field in (("", "warm_after_s"), ("31", "cooling"), ("900", "cooling"), ("30", "")):
        made = told("winding", cold_ohm="80", cold_c="20", warm_ohm="100", air_c="20",
                    insulation_class="F", warm_after_s=after)  # fmt: skip
        assert made.answer == ("get_first" if field else "go")
        assert [one.field for one in made.missing] == ([field] if field else [])
        assert not field or "Nobody hurries" in made.missing[0].remedy


def test_a_bus_of_two_thousand_microfarad():
    """565.7 V behind 400 V; 319.2 J at 565 V; 5 RC is 1.00 s (worked out)."""
    made = told("bus", line_volts="400", capacity_uf="2000", precharge_ohm="100",
                bleeder_ohm="47 kohm", idle_months="6")  # fmt: skip
    assert figure(made, "peak_volts") == pytest.approx(565.7, abs=0.05)
    assert figure(made, "mean_volts") == pytest.approx(540.2, abs=0.05)
    assert figure(made, "stored_joule") == pytest.approx(319.2, abs=1)
    assert figure(made, "precharge_ampere") == pytest.approx(5.65, abs=0.01)
    assert figure(made, "precharge_s") == pytest.approx(1.00)
    assert figure(made, "falls_to_60_s") == pytest.approx(210.8, abs=0.2)
    assert made.answer == "go"
    assert any("warning label" in note for note in made.notes)


def test_the_band_of_a_bus_lies_around_mean_and_peak_or_around_its_own_plate():
    """0.95 of the mean to 1.05 of the peak, stop at 1.10 (judgement); fed back: of the plate."""
    plain = told("bus", line_volts="400", idle_months="6", bus_plate_volts="565", bus_volts="550",
                 capacitor_volts="800")  # fmt: skip
    band = [figure(plain, key) for key in ("low_volts", "high_volts", "most_volts")]
    assert band == pytest.approx([513.2, 594.0, 622.3], abs=0.05)
    assert plain.answer == "go"
    thin = told("bus", line_volts="400", idle_months="6", capacitor_volts="622")
    assert "made for 622 V and a supply 10 % high makes 622 V" in thin.against[0].reason
    assert told("bus", line_volts="400", idle_months="6", capacitor_volts="623").answer == "go"
    back = told("bus", feeds_back="yes", bus_plate_volts="600", idle_months="6", bus_volts="640")
    band = [figure(back, key) for key in ("low_volts", "high_volts", "most_volts")]
    assert band == pytest.approx([570, 630, 660])
    assert [one.field for one in back.missing] == ["bus_volts"]


def test_a_banks_age_and_leakage():
    """Under 10 % over the resistor after an hour (secondary source); 15 years is judgement."""
    typed = {"line_volts": "400", "idle_months": "6"}
    assert told("bus", **typed, age_years="20").answer == "get_first"
    assert told("bus", **typed, age_years="10").answer == "go"
    good = told("bus", **typed, applied_volts="400", resistor_volts="30")
    assert (good.answer, figure(good, "leak_percent")) == ("go", 7.5)
    bad = told("bus", **typed, applied_volts="400", resistor_volts="50")
    assert "12.5 %" in bad.against[0].reason
    assert "from 10 %" in bad.against[0].remedy


def test_a_motor_on_its_axis():
    """1.4376 Nm; 0.8270 Nm/A; 500 kg on 10 mm is 1.2665e-3 kg m2 (worked out)."""
    made = told("matching", cycle="3, 0.2; 1, 0.5; -2, 0.2; 0, 0.6", volts_per_krpm="50",
                speed_rpm="3000", bus_volts="565", moved_kg="500", pitch_mm="10",
                motor_inertia_kg_cm2="12")  # fmt: skip
    assert figure(made, "rms_nm") == pytest.approx(1.4376, abs=5e-5)
    assert figure(made, "nm_per_ampere") == pytest.approx(0.8270, abs=5e-5)
    assert figure(made, "felt_kg_cm2") == pytest.approx(12.665, abs=5e-4)
    assert figure(made, "back_peak_volts") == pytest.approx(212.1, abs=0.05)


def test_contactor_and_relay_of_a_motor():
    """IEC 60947-4-1: AC-3 10 and 8 times; class 10 from 4 to 10 s; 1.05 and 1.2 (from memory)."""
    made = told("overload", load_ampere="8.5", contactor_ratings="AC-3 9; AC-1 25",
                set_ampere="8.5", trip_class="10", start_s="2", tested_s="7")  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "makes_ampere") == 85
    assert figure(made, "breaks_ampere") == 68
    assert figure(made, "size_ampere") == 9
    assert (figure(made, "soonest_s"), figure(made, "latest_s")) == (4, 10)
    assert figure(made, "holds_ampere") == pytest.approx(8.925)
    assert figure(made, "trips_ampere") == pytest.approx(10.2)


def test_a_head_of_five_hundred_kilogram():
    """4,905 N on 10 mm: 7.807 Nm; 50 bar on 50 mm carries twice that weight (by definition)."""
    bare = {"head_kg": "500", "pitch_mm": "10", "brake_nm": "12", "prop": "yes"}
    made = told("brake", **bare, balance="none", dropped_mm="0.02", crept_mm="0")
    assert figure(made, "holding_nm") == pytest.approx(7.807, abs=5e-4)
    assert figure(made, "proof_nm") == pytest.approx(10.149, abs=5e-4)
    assert made.answer == "go"
    held = told("brake", **bare, balance="cylinder", balance_bar="25", bore_mm="50", delay_s="0.1")
    assert figure(held, "carried_newton") == pytest.approx(4908.7, abs=0.1)
    assert figure(held, "carried_percent") == pytest.approx(100.1, abs=0.05)
    assert figure(held, "full_bar") == pytest.approx(24.98, abs=0.005)
    assert figure(held, "falls_mm") == pytest.approx(0, abs=0.001)


def test_earth_and_control_volts():
    """Leads taken off; 10 A drop; 1/58 ohm mm2 a metre (IEC 60028); 0.9 to 1.1 (IEC 60204-1)."""
    made = told("earth", points="frame 0.08; door 0.11", leads_ohm="0.02", length_m="10",
                area_mm2="2.5", secondary_plate_volts="110", secondary_volts="112.2",
                control_plate_volts="24", control_volts="23.4", ripple_volts="0.1")  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "worst_ohm") == pytest.approx(0.09)
    assert figure(made, "copper_ohm") == pytest.approx(0.069, abs=5e-5)
    assert figure(made, "secondary_off_percent") == pytest.approx(2.0)
    assert figure(made, "control_off_percent") == pytest.approx(-2.5)
    assert figure(made, "ripple_percent") == pytest.approx(1.443, abs=5e-4)
    assert not made.notes
    weak = told("earth", points="frame 0.14", leads_ohm="0.02", length_m="10", area_mm2="2.5",
                test_ampere="0.2", limit_ohm="0.19")  # fmt: skip
    assert [note[:22] for note in weak.notes] == [
        "A test with 0.2 A pass",
        "The copper alone has 0",
    ]
    bonds = next(one for one in made.listings if one.title == "Bonds")
    assert [row[3] for row in bonds.rows] == pytest.approx([0.6, 0.9])
