"""Conductor, air, rest: every number worked out a second time by hand, limits from both sides."""

from __future__ import annotations

import math

import pytest
from tests.library import load

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
G = 9.81
LIFT = {"mass_kg": "4000", "legs": "2", "angle_deg": "60", "centre": "drawing",
        "leg_rated_kg": "5000", "hook_rated_kg": "6300"}  # fmt: skip
IEC = {"line_ampere": "28", "volts": "400", "length_m": "30", "size_mm2": "6",
       "device_ampere": "32"}  # fmt: skip
NEC = {"rule": "nec", "horsepower": "10", "volts": "460", "size_awg": "12"}


def told(id: str, typed: dict[str, str], **more: str) -> Reckoning:
    return answered(method(id), typed | more, CAUTIONS)


def value(made: Reckoning, key: str) -> float:
    found = next(one.value for one in made.figures if one.key == key)
    assert found is not None
    return found


def has(made: Reckoning, key: str) -> bool:
    return any(one.key == key for one in made.figures)


class TestConductor:
    def test_drop_by_hand(self) -> None:
        """IEC 60364-5-52 annex G: copper of class 5 at 70 degrees, 0.08 ohm a kilometre."""
        made = told("conductor", IEC)
        ohm = 3.30 * (1 + 0.00393 * 50)
        sine = math.sqrt(1 - 0.85**2)
        drop = math.sqrt(3) * 28 * 0.030 * (ohm * 0.85 + 0.08 * sine)
        assert value(made, "drop_volts") == pytest.approx(drop, rel=0.002)
        assert value(made, "drop_percent") == pytest.approx(100 * drop / 400, rel=0.002)

    def test_three_per_cent_is_the_most_unless_somebody_says_otherwise(self) -> None:
        percent = value(told("conductor", IEC), "drop_percent")
        longer = f"{30 * 3.01 / percent:.2f}"
        assert told("conductor", IEC, length_m=longer).answer == "no_go"
        assert told("conductor", IEC, length_m=longer, most_drop_percent="4").answer == "go"

    def test_load_device_and_conductor_in_that_order(self) -> None:
        assert told("conductor", IEC).answer == "go"
        device = told("conductor", IEC, device_ampere="25")
        assert device.against[0].field == "device_ampere"
        thin = told("conductor", IEC, size_mm2="4")
        assert thin.against[0].field == "size_mm2"
        assert value(thin, "rating_share") == pytest.approx(32 / 27)
        assert value(thin, "load_share") == pytest.approx(28 / 32)

    def test_the_fault_loop_from_both_sides(self) -> None:
        """IEC 60364-4-41: C32, two thirds of 230 / 320 ohm when measured cold."""
        most = 2 / 3 * 230 / 320
        assert told("conductor", IEC, loop_ohm=f"{most - 0.001:.3f}").answer == "go"
        bad = told("conductor", IEC, loop_ohm=f"{most + 0.001:.3f}")
        assert [one.field for one in bad.against] == ["loop_ohm"]
        assert value(bad, "loop_most_ohm") == pytest.approx(most)

    def test_the_heat_of_a_short_circuit_from_both_sides(self) -> None:
        """IEC 60364-4-43: 115 S = I root t for PVC."""
        current = 6 * 115 / math.sqrt(0.1) / 1000
        hot = {"clears_s": "0.1", "panel_rated_ka": "50"}
        assert told("conductor", IEC, prospective_ka=f"{current - 0.01:.3f}",
                    **hot).answer == "go"  # fmt: skip
        bad = told("conductor", IEC, prospective_ka=f"{current + 0.01:.3f}", **hot)
        assert [one.field for one in bad.against] == ["size_mm2"]
        assert not has(told("conductor", IEC, clears_s="0.1"), "heat_least_mm2")

    def test_the_cabinet_bears_what_its_plate_says_else_five(self) -> None:
        assert told("conductor", IEC, prospective_ka="5").answer == "go"
        assert told("conductor", IEC, prospective_ka="5.1").answer == "no_go"
        assert told("conductor", IEC, prospective_ka="9", panel_rated_ka="10").answer == "go"

    def test_a_motor_by_the_american_tables(self) -> None:
        """NFPA 70 430.22, 430.52, 430.32: 10 hp at 460 V is 14 A; 17.5; 35; 125 % of the plate."""
        made = told("conductor", NEC, plate_ampere="13", service_factor="1.15")
        assert value(made, "table_ampere") == 14
        assert value(made, "conductor_ampere") == 17.5
        assert value(made, "device_standard_ampere") == 35
        assert value(made, "overload_ampere") == pytest.approx(16.25)
        assert value(made, "overload_most_ampere") == pytest.approx(18.2)
        assert value(made, "carries_ampere") == 25
        assert made.answer == "go"

    def test_a_feeder_takes_a_quarter_more_of_the_largest_and_the_others(self) -> None:
        made = told("conductor", NEC, other_ampere="4.8, 3.4")
        assert value(made, "conductor_ampere") == pytest.approx(17.5 + 8.2)
        assert made.against[0].field == "size_awg"

    def test_a_device_over_the_exception_is_refused(self) -> None:
        assert told("conductor", NEC, device_ampere="56").answer == "go"
        assert told("conductor", NEC, device_ampere="57").answer == "no_go"

    def test_an_instantaneous_trip_has_no_standard_size(self) -> None:
        made = told("conductor", NEC, device="instantaneous_trip")
        assert not has(made, "device_standard_ampere")

    def test_the_overload_is_never_taken_from_the_table(self) -> None:
        made = told("conductor", NEC)
        assert not has(made, "overload_ampere")
        assert any("on the motor's plate" in note for note in made.notes)

    def test_warm_air_and_company_count(self) -> None:
        """NFPA 70: 0.88 at 36 to 40 degrees; 0.8 for 4 to 6 conductors."""
        made = told("conductor", NEC, ambient_c="38", conductors="5")
        assert value(made, "carries_ampere") == pytest.approx(25 * 0.88 * 0.8)

    @pytest.mark.parametrize(("conductors", "factor"), [("3", 1.0), ("4", 0.8), ("6", 0.8),
                                                        ("7", 0.7)])  # fmt: skip
    def test_a_circuit_that_is_begun_counts_whole(self, conductors: str, factor: float) -> None:
        """IEC 60364-5-52:2009, table B.52.17: 1, 0.8 and 0.7 for one, two and three circuits."""
        alone = value(told("conductor", IEC), "carries_ampere")
        made = told("conductor", IEC, conductors=conductors)
        assert value(made, "carries_ampere") == pytest.approx(alone * factor)


class TestAirAndRest:
    def test_air_that_is_not_made_is_told_unless_a_receiver_carries_over(self) -> None:
        short = told("air", {"used_l_min": "300", "made_l_min": "200"})
        assert [one.field for one in short.against] == ["made_l_min"]
        assert told("air", {"used_l_min": "200", "made_l_min": "200"}).answer == "go"
        carried = told("air", {"used_l_min": "300", "made_l_min": "200", "carry_minutes": "2",
                               "high_bar": "8", "low_bar": "6", "outside_bar": "1"})  # fmt: skip
        assert carried.answer == "go"
        assert value(carried, "receiver_l") == pytest.approx(2 * 100 * 1 / 2)
        assert [one.key for one in carried.needs] == ["receiver"]

    def test_use_alone_does_not_say_that_the_air_fits(self) -> None:
        alone = told("air", {"used_l_min": "500"})
        assert alone.answer == "get_first"
        assert [one.field for one in alone.missing] == ["made_l_min"]

    def test_the_receivers_lowest_pressure_is_held_against_what_is_asked(self) -> None:
        asked = {"wanted_bar": "6", "high_bar": "8", "used_l_min": "100", "made_l_min": "200"}
        assert told("air", asked, low_bar="6").answer == "go"
        low = told("air", asked, low_bar="5.9")
        assert [one.field for one in low.against] == ["low_bar"]
        assert told("air", {"wanted_bar": "6", "high_bar": "5"}).answer == "no_go"

    def test_what_the_pipe_loses_is_taken_off_before(self) -> None:
        pipe = {"used_l_min": "1000", "made_l_min": "1200", "pipe_m": "30", "bore_mm": "21.6",
                "wanted_bar": "6"}  # fmt: skip
        lost = value(told("air", pipe), "pipe_drop_bar")
        assert told("air", pipe, low_bar=f"{6 + lost + 0.001:.4f}").answer == "go"
        low = told("air", pipe, low_bar=f"{6 + lost - 0.001:.4f}")
        assert [one.field for one in low.against] == ["low_bar"]

    def test_a_leak_is_told_as_a_share(self) -> None:
        made = told("air", {"volume_l": "300", "fell_bar": "1", "fell_minutes": "10",
                            "made_l_min": "296"})  # fmt: skip
        assert value(made, "leak_share") == pytest.approx(0.1, abs=0.001)

    def test_a_narrow_pipe_is_refused(self) -> None:
        pipe = {"used_l_min": "1000", "pipe_m": "30", "wanted_bar": "7"}
        assert told("air", pipe, bore_mm="21.6").answer == "go"
        assert told("air", pipe, bore_mm="12").answer == "no_go"

    def test_a_dryer_is_held_against_the_class_that_is_asked(self) -> None:
        """ISO 8573-1, water: +3 degrees is class 4."""
        dry = {"dryer_dew_c": "3", "wanted_bar": "7"}
        assert value(told("air", dry), "water_class") == 4
        assert told("air", dry, wanted_class="4").answer == "go"
        assert told("air", dry, wanted_class="3").answer == "no_go"
        assert value(told("air", dry), "frost_point_c") == pytest.approx(-20.5, abs=0.2)

    def test_a_surface_under_three_kelvin_is_a_no_go(self) -> None:
        room = {"air_c": "20", "humidity_percent": "50"}  # dew point 9.26
        assert told("layup", room, surface_c="12.3").answer == "go"
        assert told("layup", room, surface_c="12.2").answer == "no_go"
        assert told("layup", room).missing[0].field == "surface_c"

    def test_over_forty_five_per_cent_iron_rusts_slowly(self) -> None:
        room = {"air_c": "20", "surface_c": "20"}
        for damp, warned in (("45", False), ("46", True)):
            notes = told("layup", room, humidity_percent=damp).notes
            assert any("rusts slowly" in note for note in notes) is warned

    def test_a_wrapping_names_what_is_lacking_and_ends_after_three_years(self) -> None:
        made = told("layup", {"volume_m3": "12", "area_m2": "30"})
        assert [one.field for one in made.missing] == ["days"]
        wrap = {"volume_m3": "12", "area_m2": "30"}
        assert told("layup", wrap, days="1095").answer == "go"
        assert told("layup", wrap, days="1097").answer == "no_go"
        damp = told("layup", wrap, days="100", inside_percent="45")
        assert damp.against[0].field == "inside_percent"


def test_a_choker_leg_over_three_quarters_of_its_rating_is_refused():
    assert told("lift", LIFT, leg_rated_kg="3000").answer == "go"
    assert told("lift", LIFT, leg_rated_kg="3000", hitch="choker").answer == "no_go"
    assert told("lift", LIFT, leg_rated_kg="3100", hitch="choker").answer == "go"


def test_friction_alone_is_no_plan_and_an_unsaid_origin_of_the_mass_is_told():
    light = told("tie", {"mass_kg": "5000", "tension_newton": "4 kN", "friction_share": "0.9"})
    assert any("two lashings at least" in note for note in light.notes)
    assert any("nobody has said where" in line for line in told("lift", LIFT).assumed)
    weighed = told("lift", LIFT, mass_from="weighed")
    assert not any("nobody has said where" in line for line in weighed.assumed)


@pytest.mark.parametrize("typed", [{"air_c": "9"}, {"humidity_percent": "60"}])
def test_half_of_a_room_says_nothing_and_breaks_nothing(typed: dict[str, str]) -> None:
    assert not has(told("layup", typed), "dew_point_c")
    assert not has(told("air", typed), "dew_point_c")
    assert not has(told("air", {"volume_l": "300", "fell_bar": "1"}), "leak_l_min")


def test_the_headline_of_rest_tells_the_number_to_act_on():
    assert "1.5" not in told("layup", {"cell_mah": "1200", "cell_ua": "15"}).headline
    years = told("layup", {"cell_mah": "1200", "cell_ua": "15"})
    assert f"{value(years, 'cell_years'):.2f} years" in years.headline
    room = told("layup", {"air_c": "20", "humidity_percent": "50", "surface_c": "20"})
    assert "10.7 K" in room.headline
    rows = "\n".join(f"{hour},20,50" for hour in range(5)).encode()
    logged = answered(
        method("layup"), {"log": b"time,air_c,humidity_percent\n" + rows, "air_c": "9"}, CAUTIONS
    )
    assert "10.7 K over the dew point at worst" in logged.headline
