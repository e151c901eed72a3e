"""What once passed and must not: each is out or asked, by its field; its neighbour passes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from tests.cases.wake.test_refused import BONDS, BUS, COIL, COILS, HEAD, MATCH, READ, WARM
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
THREE = {"first_c": "25.6694", "second_c": "29.7317", "third_c": "32.6424", "apart_minutes": "10",
         "room_c": "20", "reading_kelvin": "0.02"}  # fmt: skip
WHOLE = READ | {"of": "machine"}
FORM = READ | {"winding": "form"}
SLEPT = BUS | {"idle_months": "60"}
BACK = SLEPT | {"brought_back": "yes"}
CYLINDER = HEAD | {"balance": "cylinder", "bore_mm": "50", "balance_bar": "24"}


def told(id: str, typed: Mapping[str, Any]) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


ASKED = [
    # a bare number that no machine at rest has in °C
    ("insulation", READ | {"winding_c": "68"}, "winding_c"),
    ("insulation", READ | {"winding_c": "104"}, "winding_c"),
    ("insulation", READ | {"winding_c": "41", "air_c": "20"}, "winding_c"),
    ("insulation", READ | {"air_c": "70", "humidity_percent": "50"}, "air_c"),
    ("winding", COILS | {"measured_c": "68"}, "measured_c"),
    ("winding", COILS | {"printed_c": "68", "printed_ohm": "1.01"}, "printed_c"),
    ("winding", WARM | {"cold_c": "68"}, "cold_c"),
    ("winding", WARM | {"air_c": "68"}, "air_c"),
    ("warmup", THREE | {"room_c": "68"}, "room_c"),
    ("warmup", THREE | {"first_c": "77", "second_c": "85", "third_c": "90"}, "first_c"),
    ("warmup", THREE | {"first_c": "77", "second_c": "85", "third_c": "90", "room_c": "68"},
     "third_c"),
    ("warmup", THREE | {"first_c": "77", "second_c": "85", "third_c": "90", "room_c": ""},
     "second_c"),
    ("warmup", THREE | {"room_c": ""}, "room_c"),
    # insulation that nobody knows, hotter than its lower rule covers
    ("insulation", READ | {"winding_c": "85 °C"}, "winding_c"),
    ("insulation", READ | {"winding_c": "120 °C"}, "winding_c"),
    # the test voltage
    ("insulation", READ | {"tested_volts": ""}, "tested_volts"),
    ("insulation", WHOLE | {"tested_volts": ""}, "tested_volts"),
    ("insulation", WHOLE | {"tested_volts": "250"}, "tested_volts"),
    ("insulation", WHOLE | {"tested_volts": "1000"}, "tested_volts"),
    ("insulation", READ | {"wound_year": "85"}, "wound_year"),
    ("insulation", READ | {"wound_year": "2101"}, "wound_year"),
    # damp
    ("insulation", READ | {"winding_c": "9.9", "read_megohm": "900"}, "air_c"),
    ("insulation", READ | {"winding_c": "18", "air_c": "22"}, "humidity_percent"),
    ("insulation", READ | {"winding_c": "0", "read_megohm": "900"}, "winding_c"),
    ("insulation", READ | {"winding_c": "-5", "read_megohm": "900", "air_c": "-5",
                           "humidity_percent": "30"}, "winding_c"),
    ("insulation", READ | {"air_c": "20", "humidity_percent": "0.85"}, "humidity_percent"),
    # what is printed on a brake proves nothing
    ("brake", HEAD | {"dropped_mm": "", "crept_mm": ""}, "dropped_mm"),
    ("brake", HEAD | {"dropped_mm": ""}, "dropped_mm"),
    # earth
    ("earth", BONDS | {"points": "frame 0.06", "test_ampere": "0.1"}, "test_ampere"),
    ("earth", BONDS | {"points": "frame 0.06", "limit_ohm": "0.2"}, "limit_ohm"),
    # a rest
    ("bus", SLEPT | {"document_hours": "0"}, "brought_back"),
    ("bus", BACK, "applied_volts"),
    ("bus", BACK | {"document_hours": "0", "applied_volts": "565"}, "resistor_volts"),
    # how warm it got
    ("winding", WARM | {"warm_ohm": "109", "warm_after_s": "900"}, "cooling"),
    ("winding", WARM | {"warm_after_s": ""}, "warm_after_s"),
    ("winding", WARM | {"warm_ohm": "79"}, "warm_ohm"),
    ("winding", WARM | {"warm_ohm": "80"}, "warm_ohm"),
    ("winding", WARM | {"warm_ohm": "81", "air_c": "30"}, "warm_ohm"),
    # contactor and relay
    ("overload", COIL | {"contactor_ratings": "AC-1 25"}, "contactor_ratings"),
    ("overload", COIL | {"set_ampere": ""}, "set_ampere"),
    ("overload", COIL | {"trip_class": ""}, "trip_class"),
    ("matching", MATCH | {"measured_volts_per_krpm": "100"}, "measured_volts_per_krpm"),
    ("matching", MATCH | {"measured_volts_per_krpm": "55.1"}, "measured_volts_per_krpm"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "typed", "field"), ASKED)
def test_what_is_not_known_is_asked_by_its_field(id: str, typed: dict[str, str], field: str):
    made = told(id, typed)
    assert made.answer == "get_first", [one.reason for one in made.against]
    asked = [one.field for one in made.missing]
    assert field in asked
    assert len(set(asked)) == len(asked), "nothing is asked twice"


OUT = [
    # whatever the sort of winding: falling, or ending under the least
    ("insulation", READ | {"ten_minutes_megohm": "199"}, "ten_minutes_megohm"),
    ("insulation", FORM | {"ten_minutes_megohm": "199"}, "ten_minutes_megohm"),
    ("insulation", READ | {"read_megohm": "6 gigohm", "ten_minutes_megohm": "2"},
     "ten_minutes_megohm"),
    ("insulation", WHOLE | {"read_megohm": "0.9"}, "read_megohm"),
    ("brake", CYLINDER | {"brake_nm": "1"}, "brake_nm"),
    ("earth", BONDS | {"points": "frame 5", "limit_ohm": "10"}, "points"),
    ("earth", BONDS | {"points": "frame 0.22", "limit_ohm": "10", "area_mm2": "2.5"}, "points"),
    ("earth", BONDS | {"points": "frame 500 mohm"}, "points"),
    ("overload", COIL | {"set_ampere": "7.1"}, "set_ampere"),
    ("overload", COIL | {"contactor_ratings": "AC-3 8000 mA"}, "contactor_ratings"),
    ("bus", BUS | {"bus_volts": "590", "capacitor_volts": "640"}, "capacitor_volts"),
    ("matching", MATCH | {"measured_volts_per_krpm": "54", "bus_volts": "222"}, "bus_volts"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "typed", "field"), OUT)
def test_what_stands_against_it_is_out_by_its_field(id: str, typed: dict[str, str], field: str):
    made = told(id, typed)
    assert made.answer == "no_go"
    assert field in [one.field for one in made.against]


IN = [
    ("insulation", READ | {"winding_c": "68 °F"}),
    ("insulation", READ | {"winding_c": "68 °C"}),
    ("insulation", READ | {"winding_c": "84 °C", "read_megohm": "20"}),
    ("insulation", READ | {"winding_c": "90 °C", "material": "thermoplastic"}),
    ("insulation", READ | {"winding_c": "45"}),
    ("insulation", READ | {"winding_c": "9", "read_megohm": "900", "air_c": "9",
                           "humidity_percent": "50"}),
    ("insulation", READ | {"ten_minutes_megohm": "200"}),
    ("insulation", READ | {"read_megohm": "6.2 gigohm", "ten_minutes_megohm": "6 gigohm"}),
    ("insulation", READ | {"wound_year": "1985"}),
    ("winding", COILS | {"measured_c": "68 °F"}),
    ("winding", COILS | {"printed_c": "75 °C", "printed_ohm": "1.228"}),
    ("winding", WARM | {"cold_c": "68 °F", "air_c": "68 °F"}),
    ("warmup", THREE | {"room_c": "68 °F"}),
    ("earth", BONDS | {"points": "frame 0.20", "limit_ohm": "0.19", "area_mm2": "2.5"}),
    ("earth", BONDS | {"points": "frame 60 mohm", "test_ampere": "0.2"}),
    ("bus", BACK | {"applied_volts": "565", "resistor_volts": "10"}),
    ("bus", BUS | {"document_hours": "0"}),
    ("overload", COIL | {"set_ampere": "7.2"}),
    ("overload", {"load_ampere": "9000 mA", "category": "AC-1", "contactor_ratings": "AC-1 25 A"}),
    ("matching", MATCH | {"measured_volts_per_krpm": "55"}),
]  # fmt: skip


@pytest.mark.parametrize(("id", "typed"), IN)
def test_its_neighbour_is_in(id: str, typed: dict[str, str]):
    made = told(id, typed)
    assert made.answer == "go", [one.reason for one in (*made.against, *made.missing)]


def test_degrees_of_a_file_have_their_unit_in_its_column_and_its_room_is_asked():
    file = b"minutes,temperature_c\n0,77\n3,79\n6,80.5\n"
    made = told("warmup", {"log": file, "room_c": "20"})
    assert any("°F" in note for note in made.notes)
    made = told("warmup", {"log": file, "room_c": "68"})
    assert [one.field for one in made.missing] == ["room_c"]


def test_one_part_is_one_part_and_ratings_are_asked_in_good_words():
    assert told("earth", BONDS | {"points": "frame 0.06"}).headline.startswith("One part measured")
    asked = told("overload", {"load_ampere": "9"}).missing[0].reason
    assert asked == "rating by category, at that voltage is not known"


@pytest.mark.parametrize(("rest", "months"), [("5 years", 60), ("1 Year", 12), ("6 months", 6)])
def test_a_rest_is_told_in_months_or_in_years(rest: str, months: int):
    made = told("bus", BUS | {"idle_months": rest, "age_years": "20"})
    minutes = next(f.value for f in made.figures if f.key == "component_minutes")
    assert minutes == 5 + months
    assert ("brought_back" in [one.field for one in made.missing]) == (months >= 12)


def test_an_age_in_months_is_years_and_a_rest_in_days_is_refused():
    asked = told("bus", BUS | {"age_years": "180 months"}).missing
    assert [one.field for one in asked] == ["measured_uf"]
    with pytest.raises(Unusable) as refused:
        told("bus", BUS | {"idle_months": "90 d"})
    assert refused.value.problems[0].where == "idle_months"


def test_a_unit_that_measures_something_else_is_named():
    made = told("earth", BONDS | {"points": "frame 60 mA"})
    assert (made.answer, made.missing[0].field) == ("get_first", "points")
    with pytest.raises(Unusable):
        told("bus", BUS | {"idle_months": "5 V"})
