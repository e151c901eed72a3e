"""What is not planned: each is named, and says what to get instead."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
LIFT = {"mass_kg": "4000", "legs": "2", "angle_deg": "60", "centre": "drawing",
        "leg_rated_kg": "5000", "hook_rated_kg": "6300"}  # fmt: skip
TRUCK = {"mass_kg": "3500", "rated_kg": "5000", "rated_centre_mm": "600", "centre_mm": "700"}
SKATES = {"mass_kg": "5000", "floor": "ground", "slab_mm": "150", "plate_width_mm": "100",
          "plate_length_mm": "150", "centre_height_mm": "1100",
          "half_width_mm": "350"}  # fmt: skip
RAMP = {"mass_kg": "5000", "slope_deg": "5", "hold_one_newton": "5 kN", "hold_two_newton": "5 kN",
        "centre_height_mm": "1100", "half_width_mm": "600",
        "pull_rated_newton": "10 kN"}  # fmt: skip
FED = {"plate_volts": "400", "plate_kva": "20", "plate_hz": "50", "supply_volts": "400",
       "supply_phases": "3", "supply_kva": "40", "earth": "tn_s"}  # fmt: skip
DOOR = {"width_mm": "2100", "height_mm": "2500", "door_width_mm": "2800",
        "door_height_mm": "2900"}  # fmt: skip


def told(id: str, typed: dict[str, str]) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


@pytest.mark.parametrize(
    ("id", "typed"),
    [("lift", LIFT), ("forklift", TRUCK), ("skates", SKATES), ("ramp", RAMP), ("supply", FED),
     ("door", DOOR)],
)  # fmt: skip
def test_what_is_known_and_fits_is_a_go(id, typed):
    made = told(id, typed)
    assert made.answer == "go", [one.reason for one in (*made.against, *made.missing)]


@pytest.mark.parametrize(
    ("id", "typed", "field", "get"),
    [
        ("lift", LIFT | {"angle_deg": "29"}, "angle_deg", "Longer slings"),
        ("lift", LIFT | {"leg_rated_kg": "2000"}, "leg_rated_kg", "sling of"),
        ("lift", LIFT | {"hook_rated_kg": "3500"}, "hook_rated_kg", "crane"),
        ("forklift", TRUCK | {"centre_mm": "900"}, "rated_kg", "truck rated"),
        ("forklift", TRUCK | {"under": "sheet"}, "under", "casting"),
        ("skates", SKATES | {"floor": "suspended"}, "floor", "structural engineer"),
        ("skates", SKATES | {"slab_mm": "80"}, "slab_mm", "Spread"),
        ("skates", SKATES | {"skate_rated_kg": "1000"}, "skate_rated_kg", "skates of"),
        ("skates", SKATES | {"skates": "2"}, "skates", "three or four"),
        ("ramp", RAMP | {"hold_two_newton": "1 kN"}, "hold_two_newton", "anchor of its own"),
        ("ramp", RAMP | {"slope_deg": "12"}, "slope_deg", "longer ramp"),
        ("ramp", RAMP | {"half_width_mm": "100"}, "half_width_mm", "long side"),
        ("supply", FED | {"earth": "none"}, "earth", "electrician"),
        ("supply", FED | {"earth": "corner_earthed"}, "earth", "isolating transformer"),
        ("supply", FED | {"supply_kva": "10"}, "supply_kva", "grid company"),
        ("supply", FED | {"volts_12": "400", "volts_23": "400", "volts_31": "350"}, "volts_12",
         "put right"),
        ("supply", FED | {"supply_phases": "1", "converter": "none"}, "converter", "converter"),
        ("supply", FED | {"supply_phases": "1", "converter": "solid_state", "brake": "line",
                          "largest_motor_kw": "11"}, "brake", "feeds back"),
        ("door", DOOR | {"door_height_mm": "2600"}, "door_height_mm", "lintel"),
        ("door", DOOR | {"door_width_mm": "2150"}, "door_width_mm", "end on"),
    ],
)  # fmt: skip
def test_a_no_go_names_its_field_and_what_to_get(id, typed, field, get):
    made = told(id, typed)
    assert made.answer == "no_go"
    assert made.headline.startswith("No-go")
    reasons = {one.field: one for one in made.against}
    assert field in reasons
    assert get in reasons[field].remedy


@pytest.mark.parametrize(
    ("id", "typed", "field", "get"),
    [
        ("lift", LIFT | {"centre": "unknown"}, "centre", "lifting drawing"),
        ("lift", {**LIFT, "centre": ""}, "centre", "lifting drawing"),
        ("lift", LIFT | {"mass_from": "guess"}, "mass_kg", "weigh it"),
        ("lift", LIFT | {"mass_kg": ""}, "mass_kg", "plate"),
        ("lift", LIFT | {"angle_deg": ""}, "angle_deg", "Measure"),
        ("forklift", TRUCK | {"centre_mm": ""}, "centre_mm", "centre of gravity"),
        ("forklift", TRUCK | {"attachment": "yes"}, "attachment", "written rating"),
        ("skates", SKATES | {"floor": "unknown"}, "floor", "owner of the building"),
        ("skates", SKATES | {"slab_mm": ""}, "slab_mm", "drawing"),
        ("ramp", RAMP | {"hold_two_newton": ""}, "hold_two_newton", "not the same one"),
        ("supply", FED | {"earth": "unknown"}, "earth", "meter board"),
        ("supply", {**FED, "earth": ""}, "earth", "meter board"),
        ("supply", FED | {"supply_phases": "1", "converter": "solid_state",
                          "largest_motor_kw": "11"}, "brake", "drive's own manual"),
    ],
)  # fmt: skip
def test_a_number_that_is_lacking_is_named_with_where_to_get_it(id, typed, field, get):
    made = told(id, typed)
    assert made.answer == "get_first"
    assert made.headline.startswith("Get this number first")
    lacking = {one.field: one for one in made.missing}
    assert field in lacking
    assert get in lacking[field].remedy


def test_a_door_too_low_passes_with_its_top_off_and_says_what_that_costs():
    low = DOOR | {"door_height_mm": "2600"}
    made = told("door", low | {"stripped_height_mm": "2300"})
    assert made.answer == "go"
    assert [one.cost for one in made.needs] == ["E28"]
    assert [one.cost for one in told("door", low).needs] == ["E29"]


def test_what_is_assumed_is_told():
    made = told("skates", SKATES)
    assert any("unverified" in line for line in made.assumed)
    stated = told("skates", SKATES | {"concrete_mpa": "30", "rolling_share": "0.03"})
    assert len(stated.assumed) == len(made.assumed) - 2


def test_an_uneven_lift_counts_the_most_that_the_nearer_leg_can_pull():
    """Statics by moments: at any depth of the centre W (1/2 + off / spread) / sin a holds."""
    typed = LIFT | {"spread_mm": "1600", "off_centre_mm": "200"}
    figures = {one.key: one.value for one in told("lift", typed).figures}
    assert figures["leg_kg"] == pytest.approx(4000 * 0.625 / 0.8660254, abs=0.1)
    slack = told("lift", LIFT | {"spread_mm": "1600", "off_centre_mm": "900"})
    assert slack.answer == "no_go"


def test_a_basket_is_rated_by_its_angle_and_a_choker_by_three_quarters():
    """ASME B30.9 (from memory)."""
    rated = LIFT | {"leg_rated_kg": "3000"}
    share = {}
    for hitch in ("vertical", "choker", "basket"):
        made = told("lift", rated | {"hitch": hitch})
        share[hitch] = next(f.value for f in made.figures if f.key == "leg_use_share")
    assert share["choker"] == pytest.approx(share["vertical"] / 0.75)
    assert share["basket"] == pytest.approx(share["vertical"] / 1.732, abs=0.001)


def test_air_too_hot_for_the_insulation_is_named():
    made = told("conductor", {"line_ampere": "20", "ambient_c": "75"})
    assert made.answer == "no_go"
    assert made.against[0].field == "ambient_c"


def test_your_own_copy_of_a_table_goes_before_ours():
    typed = {"line_ampere": "29", "device_ampere": "32", "size_mm2": "4"}
    assert told("conductor", typed).answer == "no_go"
    assert told("conductor", typed | {"carries_said_ampere": "34"}).answer == "go"
    nec = {"rule": "nec", "volts": "460", "table_said_ampere": "40"}
    made = told("conductor", nec | {"horsepower": "25"})
    assert next(f.value for f in made.figures if f.key == "conductor_ampere") == 50.0
    tie = told("tie", {"mass_kg": "5000", "tension_newton": "4 kN", "forward_share": "0.3"})
    assert next(f.value for f in tie.figures if f.key == "forward_lashings") == 0
    thin = SKATES | {"slab_mm": "110"}
    assert told("skates", thin).answer == "no_go"
    assert told("skates", thin | {"most_share": "0.9"}).answer == "go"
