"""Each sort of part on published or worked numbers, from field to figure.

Where a printed value is known to be wrong it is named, and must not come out.
"""

from __future__ import annotations

import pytest
from tests.cases.fix.match_parts import CAUTIONS, matched, rows

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning


def told(id: str, **typed: str) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


def figure(made: Reckoning, key: str) -> float:
    value = next(one.value for one in made.figures if one.key == key)
    assert value is not None
    return value


NEC = [
    # NFPA 70, table 430.250 (edition 2008, secondary source), 430.22, table 430.52: printed
    # 17.5 A for 10 hp 460 V, 50 A for 30 hp 460 V; 25 hp 460 V and 15 hp 230 V worked out.
    ("10", "460", "inverse_time_breaker", 14, 17.5, 35),
    ("30", "460", "inverse_time_breaker", 40, 50, 100),
    ("25", "460", "inverse_time_breaker", 34, 42.5, 85),
    ("25", "460", "dual_element_fuse", 34, 42.5, 59.5),
    ("25", "460", "non_time_delay_fuse", 34, 42.5, 102),
    ("15", "230", "inverse_time_breaker", 42, 52.5, 105),
    ("15", "230", "dual_element_fuse", 42, 52.5, 73.5),
    ("1.5", "575", "inverse_time_breaker", 2.4, 3.0, 6.0),  # a page prints 2.1
    ("0.75", "230", "inverse_time_breaker", 3.2, 4.0, 8.0),  # a page prints 3.1
    ("0.5", "575", "inverse_time_breaker", 0.9, 1.125, 2.25),  # a page prints 0.8
]


@pytest.mark.parametrize(("hp", "volts", "device", "table", "conductor", "share"), NEC)
def test_a_new_motors_line_by_the_code(
    hp: str, volts: str, device: str, table: float, conductor: float, share: float
):
    made = told("motor", fed="mains", code="nec", horsepower=hp, need_volts=volts, device=device,
                has_ampere="12.4", need_ampere="12")  # fmt: skip
    assert figure(made, "line_table_ampere") == pytest.approx(table)
    assert figure(made, "line_conductor_ampere") == pytest.approx(conductor)
    assert figure(made, "line_device_reckoned_ampere") == pytest.approx(share)
    assert figure(made, "overload_ampere") == pytest.approx(1.15 * 12.4), "by its plate"


def test_a_one_phase_motors_line():
    """NFPA 70, table 430.248 (secondary source): 5 hp at 230 V, 28 A: 35 A and 70 A printed."""
    typed = {"fed": "mains", "code": "nec", "horsepower": "5", "line_phases": "1"}
    made = told("motor", **typed, need_volts="230", has_ampere="26")
    assert figure(made, "line_table_ampere") == 28
    assert figure(made, "line_conductor_ampere") == 35
    assert figure(made, "line_device_reckoned_ampere") == 70
    other = told("motor", **typed, need_volts="460", has_ampere="26")
    assert not any(one.key == "line_table_ampere" for one in other.figures)
    four = told("motor", **typed | {"horsepower": "4"}, need_volts="230", has_ampere="26")
    assert any(one.field == "horsepower" for one in four.missing)


def test_a_motor_on_a_drive_is_held_against_what_the_drive_gives():
    """By definition; where the drive is not known, more than the old one's is asked."""
    typed = {"fed": "drive", "need_sort": "cage", "need_ampere": "20", "has_ampere": "24"}
    assert rows(told("motor", **typed))["full-load current"] == ("20 A", "24 A", "ask")
    for gives, fits in (("24", "yes"), ("23.9", "no")):
        made = told("motor", **typed, drive_continuous_ampere=gives)
        assert rows(made)["full-load current"][2] == fits


def test_a_motor_that_starts_with_more_is_asked_about():
    """IEC 60034-12 (from memory): a start opens a device that held the old one."""
    typed = {"fed": "mains", "need_start_times": "6"}
    for has, fits in (("6", "yes"), ("8", "ask")):
        made = told("motor", **typed, has_start_times=has)
        assert rows(made)["current while it starts"][2] == fits


def test_the_overload_of_a_new_motor_goes_by_its_plate_and_not_by_the_table():
    """NFPA 70, 430.6(A)(2) and 430.32 (from memory): a worked example takes the table's 14 A."""
    relay = {"need_ampere": "12.4", "code": "nec", "horsepower": "10", "line_volts": "460"}
    for more, most in (({"service_factor": "1.15"}, 15.5), ({"rise_kelvin": "40"}, 15.5),
                       ({"rise_kelvin": "41"}, 14.26), ({}, 14.26)):  # fmt: skip
        made = told("match_overload", **relay, **more)
        assert figure(made, "overload_ampere") == pytest.approx(most)
        assert figure(made, "overload_ampere") != pytest.approx(1.25 * 14)
    for set_to, fits in (("14.26", "yes"), ("14.3", "no"), ("17.5", "no")):
        made = told("match_overload", **relay, set_ampere=set_to)
        assert rows(made)["setting"][2] == fits
    made = told("match_overload", **relay, set_ampere="15.5", service_factor="1.15")
    assert rows(made)["setting"][2] == "yes"
    inside = told("match_overload", need_ampere="10", inside_delta="yes", set_ampere="5.77")
    assert rows(inside)["setting"][2] == "yes"


def test_a_line_is_asked_about_only_where_the_new_motor_takes_more():
    """IEC 60364-4-43, 433.1 (from memory): load, device, conductor in that order."""
    typed = {"fed": "mains", "need_ampere": "21", "has_ampere": "29", "need_volts": "400"}
    made = rows(told("motor", **typed))
    assert made["conductor of its line"] == ("32 A", "?", "ask")
    assert made["full-load current"][2] == "ask"
    fed = rows(told("motor", **typed, device_ampere="32", conductor_carries_ampere="36"))
    assert fed["conductor of its line"][2] == fed["short-circuit device"][2] == "yes"
    edge = rows(told("motor", **typed, device_ampere="29", conductor_carries_ampere="29"))
    assert edge["conductor of its line"] == ("29 A", "29 A", "yes")
    assert edge["short-circuit device"][2] == "yes"
    thin = rows(told("motor", **typed, device_ampere="32", conductor_carries_ampere="31"))
    assert thin["conductor of its line"][2] == "ask"
    small = rows(told("motor", **typed, device_ampere="25", conductor_carries_ampere="36"))
    assert small["short-circuit device"][2] == "ask"
    assert "conductor of its line" not in rows(told("motor", **typed | {"has_ampere": "21"}))
    nec = rows(told("motor", **typed | {"code": "nec", "need_volts": "460", "horsepower": "25"},
                    device_ampere="90", conductor_carries_ampere="42.5"))  # fmt: skip
    assert nec["conductor of its line"][2] == nec["short-circuit device"][2] == "yes"
    large = rows(told("motor", **typed | {"code": "nec", "need_volts": "460", "horsepower": "25"},
                      device_ampere="100", conductor_carries_ampere="42.4"))  # fmt: skip
    assert large["conductor of its line"][2] == large["short-circuit device"][2] == "ask"


def test_a_voltage_without_a_column_in_the_codes_table_is_asked():
    """NFPA 70, table 430.250 has 460 V; 400 V stands in no column."""
    made = told("motor", fed="mains", code="nec", horsepower="10", need_volts="400",
                has_ampere="15", need_ampere="14")  # fmt: skip
    assert rows(made)["conductor of its line"] == ("?", "?", "ask")
    assert any("no column" in note for note in made.notes)
    for volts, known in (("414", True), ("413", False), ("506", True), ("", False)):
        made = told("motor", fed="mains", code="nec", horsepower="10", need_volts=volts,
                    has_ampere="15", need_ampere="14")  # fmt: skip
        assert any(one.key == "line_table_ampere" for one in made.figures) == known, volts
    bare = told("motor", fed="mains", code="nec", need_volts="460", has_ampere="15")
    assert not any(one.key == "line_table_ampere" for one in bare.figures)


def test_the_torque_the_volts_and_the_inertia_of_an_axis():
    """1.4376 Nm, 0.8270 Nm/A, 150 V, 12.665 kg cm2 for 500 kg on 10 mm (all worked out)."""
    made = matched("motor")
    assert figure(made, "rms_nm") == pytest.approx(1.4376, abs=5e-5)
    assert figure(made, "nm_per_ampere") == pytest.approx(0.8270, abs=5e-5)
    assert figure(made, "back_volts") == pytest.approx(150)
    assert figure(made, "felt_kg_cm2") == pytest.approx(12.665, abs=5e-4)
    assert figure(made, "inertia_ratio") == pytest.approx(1.0554, abs=5e-5)


def test_the_torque_of_a_plate_and_the_flux_of_other_hertz():
    """9.549 kW over rpm times a thousand (handbooks); a motor for 60 Hz has 1.2 flux at 50."""
    mains = {"fed": "mains", "need_volts": "400", "has_volts": "400", "need_hz": "50",
             "need_kw": "7.5", "has_kw": "7.5", "need_rated_rpm": "1450"}  # fmt: skip
    made = told("motor", **mains, has_hz="60", has_rated_rpm="1740")
    assert figure(made, "old_nm") == pytest.approx(9549 * 7.5 / 1450, rel=1e-4)
    assert figure(made, "flux_times") == pytest.approx(1.2)
    assert rows(made)["frequency"][2] == "no"
    assert rows(made)["torque at rated speed"][2] == "no"
    assert rows(made)["rated speed"][2] == "no"
    like = rows(told("motor", **mains, has_hz="50", has_rated_rpm="1450"))
    assert {like[name][2] for name in ("frequency", "power", "rated speed",
                                       "torque at rated speed")} == {"yes"}  # fmt: skip
    other = told("motor", **mains | {"need_volts": "380", "has_volts": "460"}, has_hz="60")
    assert rows(other)["frequency"][2] == "ask"  # 380/50 over 460/60 is 0.99
    for has, fits in (("415", "yes"), ("440", "ask"), ("450", "no")):
        row = rows(told("motor", **mains | {"has_volts": has}))["rated volts"]
        assert row[2] == fits, has
    weak = rows(told("motor", **mains | {"has_kw": "5.5"}))
    assert weak["power"][2] == "no"


def test_a_drive_for_three_phases_on_one():
    """Twice the motor's current: 26 A ask 52 A (a drive maker's sizing page, secondary)."""
    typed = {"need_ampere": "26", "supply_phases": "1", "has_phases": "3"}
    assert figure(told("drive", **typed), "asked_ampere") == pytest.approx(52)
    for has, fits in (("51.9", "no"), ("52", "yes")):
        assert rows(told("drive", **typed, has_ampere=has))["current for ever"][2] == fits
    three = told("drive", **typed | {"supply_phases": "3"}, has_ampere="26")
    assert rows(three)["current for ever"][2] == "yes"
    two = told("drive", **typed | {"supply_phases": "3", "has_phases": "1"})
    assert rows(two)["supply, phases"][2] == "no"


def test_where_the_energy_of_a_stop_goes():
    """0.4 kg m2 from 4,000 rpm in 3 s: 35,092 J, 23,395 W at first (by definition)."""
    made = told("drive", load_kg_m2="0.4", speed_rpm="4000", stop_s="3", stops_per_hour="20")
    assert figure(made, "stop_joule") == pytest.approx(35092, abs=1)
    assert figure(made, "stop_peak_watt") == pytest.approx(2 * 35092 / 3, abs=1)
    assert figure(made, "stop_mean_watt") == pytest.approx(35092 * 20 / 3600, abs=0.1)


def test_the_bus_behind_a_supply():
    """Root two times 400 V: 565.7 V (by definition)."""
    assert figure(told("drive", drive_volts="400"), "bus_volts") == pytest.approx(565.7, abs=0.05)


@pytest.mark.parametrize(
    ("category", "makes", "breaks"),
    [("AC-1", 15, 15), ("AC-3", 100, 80), ("AC-4", 120, 100), ("DC-1", 15, 15), ("DC-3", 40, 40),
     ("DC-5", 40, 40)],
)  # fmt: skip
def test_what_a_contactor_makes_and_breaks(category: str, makes: float, breaks: float):
    """IEC 60947-4-1, table 7 (from memory, unverified): times its rated current."""
    made = told("contactor", need_ampere="10", category=category)
    assert (figure(made, "makes_ampere"), figure(made, "breaks_ampere")) == (makes, breaks)


@pytest.mark.parametrize(
    ("category", "makes", "breaks"),
    [("AC-12", 1, 1), ("AC-13", 2, 1), ("AC-14", 6, 1), ("AC-15", 10, 1), ("DC-13", 1, 1)],
)
def test_what_a_control_contact_makes_and_breaks(category: str, makes: float, breaks: float):
    """IEC 60947-5-1 as a maker's classification sheet prints it (secondary source): 1, 2, 6, 10."""
    made = told("relay", load_ampere="2", category=category)
    assert (figure(made, "makes_ampere"), figure(made, "breaks_ampere")) == (2 * makes, 2 * breaks)


@pytest.mark.parametrize(
    ("name", "soonest", "latest"), [("10A", 2, 10), ("10", 4, 10), ("20", 6, 20), ("30", 9, 30)]
)
def test_the_window_of_a_trip_class(name: str, soonest: float, latest: float):
    """IEC 60947-4-1, at 7.2 times the setting (from memory); 1.05 holds and 1.2 trips in 2 h."""
    made = told("match_overload", need_ampere="10", need_class=name, has_class=name)
    assert (figure(made, "soonest_s"), figure(made, "latest_s")) == (soonest, latest)
    assert (figure(made, "holds_ampere"), figure(made, "trips_ampere")) == (10.5, 12)


def test_the_life_of_a_bearing_and_its_speed_number():
    """ISO 281: 30 kN, 5 kN, 1500 rpm: 216 million turns, 2,400 h; rollers 392.5 (secondary)."""
    typed = {"has_rating_kn": "30 kN", "load_kn": "5 kN", "speed_rpm": "1500",
             "wanted_hours": "2400"}  # fmt: skip
    ball = told("match_bearing", **typed)
    assert figure(ball, "life_million_turns") == pytest.approx(216)
    assert figure(ball, "life_hours") == pytest.approx(2400)
    assert rows(ball)["life at load and speed"][2] == "yes"
    roller = told("match_bearing", **typed, has_type="cylinder")
    assert figure(roller, "life_million_turns") == pytest.approx(392.5, abs=0.05)
    fast = told("match_bearing", need_bore_mm="70", need_outside_mm="110", speed_rpm="8000")
    assert figure(fast, "speed_number") == pytest.approx(720_000)  # worked out
    wrong = told("match_bearing", **typed | {"load_kn": "5000"})
    assert any(one.field == "load_kn" and "newton" in one.remedy for one in wrong.missing)


def test_a_belt_of_a_textbook():
    """Mott, Machine Elements in Mechanical Design, 4th ed., example 7-1.

    100 in, 12.4 and 21.1 in: printed 23.30 in between the shafts (he takes 6.28 for two pi, with
    pi it is 23.28), 158 degrees, 70 hp by a factor of 1.4.
    """
    made = told("match_belt", has_length_mm="100 in", driver_mm="12.4 in", driven_mm="21.1 in",
                speed_rpm="1160", power_kw="37.3", service_factor="1.4")  # fmt: skip
    assert figure(made, "centre_mm") / 25.4 == pytest.approx(23.30, abs=0.03)
    assert figure(made, "wrap_deg") == pytest.approx(158, abs=0.5)
    assert figure(made, "asked_kw") == pytest.approx(70 * 0.746, rel=0.001)  # 70 hp printed
    assert figure(made, "belt_m_s") == pytest.approx(3.14159 * 0.31496 * 1160 / 60, rel=1e-5)
    assert figure(made, "pull_newton") == pytest.approx(37300 / 19.13, rel=1e-3)


def test_a_hose_of_a_textbook():
    """SAE J517, four to one: 5,000 psi ask 20,000 (a training page, secondary source)."""
    for burst, fits in (("20001 psi", "yes"), ("19999 psi", "no")):
        made = told("hose", need_bar="5000 psi", has_burst_bar=burst)
        assert figure(made, "burst_bar") == pytest.approx(20000 * 0.0689476, rel=1e-5)
        assert rows(made)["burst pressure"][2] == fits
    fewer = {"need_bar": "10", "has_burst_bar": "30", "burst_times": "3"}
    assert rows(told("hose", part="air", **fewer))["burst pressure"][2] == "ask"
    assert rows(told("hose", part="hydraulic", **fewer))["burst pressure"][2] == "no"


def test_a_cell_lasts_by_its_capacity():
    """2,400 mAh and 20 microampere: 13.7 years, less one per cent a year (worked out)."""
    made = matched("cell")
    naive = 2400 * 1000 / 20 / 8760
    assert figure(made, "cell_years") < naive
    assert figure(made, "cell_years") == pytest.approx(12.84, abs=0.01)
    weak = matched("cell", "measured_volts=3.2")
    assert figure(weak, "left_percent") == pytest.approx(88.9, abs=0.05)
    assert any("near its end" in note for note in weak.notes)
    assert not any("near its end" in note for note in made.notes)


def test_a_chuck_seems_to_stand_in_light_of_the_mains():
    """Three jaws, 100 flickers: first as they are at 2,000 a minute (stroboscopic effect)."""
    made = matched("lamp", "has_flicker_hz=", "has_current=ac", "need_current=ac", "most_rpm=4000")
    assert figure(made, "stands_rpm") == pytest.approx(2000)
    assert rows(made)["flicker"][2] == "no"
    calm = matched("lamp", "has_flicker_hz=", "has_svm=0.4", "most_rpm=4000")
    assert rows(calm)["flicker"][2] == "ask"  # a measure of what moves in a room
    for change in ("has_svm=0.41", "most_rpm="):
        made = matched("lamp", "has_flicker_hz=100", "most_rpm=4000", change)
        assert rows(made)["flicker"][2] == ("ask" if change.endswith("=") else "no")


def test_the_clock_of_a_picture():
    """Industry standard timing, 640 by 480 at 60 Hz (secondary source): 31.469 kHz, 25.175 MHz."""
    made = matched("display")
    assert figure(made, "lines_khz") == pytest.approx(31.469, abs=0.001)
    assert figure(made, "clock_mhz") == pytest.approx(25.175, abs=0.001)
    given = matched("display", "whole_lines=", "line_khz=15.75")
    assert figure(given, "lines_khz") == pytest.approx(15.75)
    assert rows(given)["lines a second"][2] == "ask", "under what it takes: a converter"


def test_what_is_in_volts_hertz_horsepower_and_feet_is_read_as_such():
    made = told("motor", need_kw="10 hp_mechanical", has_kw="7.5 kW", need_mass_kg="40 lb",
                has_mass_kg="18 kg")  # fmt: skip
    assert rows(made)["power"] == ("7.46 kW", "7.50 kW", "yes")
    assert rows(made)["mass"][2] == "yes"
