"""Each property of each sort of part: what fits, what does not, and what is asked first.

The rules and the standards they are after stand beside each row (the column "held how"); published
numbers are held in test_match_published. Limits marked as judgement are pinned here so that none
moves unseen.
"""

from __future__ import annotations

import pytest
from tests.cases.fix.match_parts import FITTING, fitting, matched, rows

from retrue.cases.reckon.books import BOOKS
from retrue.cases.reckon.method import method

# sort of part, what is changed, the property that then differs, no or ask
DIFFERENT = [
    ("motor", "has_sort=cage", "sort of motor", "ask"),
    ("motor", "has_volts=199", "rated volts", "no"),
    ("motor", "has_ampere=9.1", "full-load current", "ask"),
    ("motor", "continuous_nm=1.43", "torque for ever", "no"),
    ("motor", "peak_nm=2.9", "highest torque of the motor", "no"),
    ("motor", "drive_continuous_ampere=1.7", "current for ever of the drive", "no"),
    ("motor", "drive_peak_ampere=3.6", "highest current of the drive", "no"),
    ("motor", "motor_peak_ampere=5.9", "the drive's highest current is within the motor's", "no"),
    ("motor", "bus_volts=212", "volts at the highest speed", "no"),
    ("motor", "bus_volts=230", "volts at the highest speed", "ask"),
    ("motor", "motor_inertia_kg_cm2=1.2", "load over rotor, by inertia", "no"),
    ("motor", "motor_inertia_kg_cm2=4", "load over rotor, by inertia", "ask"),
    ("motor", "has_most_rpm=2999", "highest speed", "no"),
    ("motor", "has_poles=6", "poles", "no"),
    ("motor", "has_feedback=resolver", "feedback, sort", "no"),
    ("motor", "has_counts=2500", "feedback, counts a turn", "ask"),
    ("motor", "has_feedback_volts=12", "feedback, volts", "no"),
    ("motor", "has_thermal=kty", "sensor in its winding", "no"),
    ("motor", "has_brake=no", "brake", "no"),
    ("motor", "has_brake_current=ac", "brake, sort of current", "no"),
    ("motor", "has_brake_volts=90", "brake, volts", "no"),
    ("motor", "has_brake_nm=9", "brake, torque", "no"),
    ("motor", "has_mounting=IMB14", "mounting", "ask"),
    ("motor", "has_pilot_mm=115", "flange, centring", "no"),
    ("motor", "has_circle_mm=145", "flange, circle of its bolts", "no"),
    ("motor", "has_shaft_mm=19", "shaft, diameter", "no"),
    ("motor", "has_shaft_long_mm=60", "shaft, length", "ask"),
    ("motor", "has_shaft_long_mm=80", "shaft, length", "no"),
    ("motor", "has_key=plain", "shaft, key", "ask"),
    ("motor", "has_mass_kg=20", "mass", "ask"),
    ("motor", "has_enclosure=IP44", "protection class", "no"),
    ("motor", "has_insulation_class=B", "insulation class", "no"),
    ("motor", "has_cooling=own", "cooling", "ask"),
    ("motor", "has_duty=S3", "duty", "no"),
    ("drive", "drive_volts=370", "supply, volts", "no"),
    ("drive", "supply_phases=1 has_ampere=40", "supply, phases", "ask"),
    ("drive", "has_ampere=19", "current for ever", "no"),
    ("drive", "has_peak_ampere=39", "highest current", "no"),
    ("drive", "has_limit_ampere=51", "highest current that the motor bears", "ask"),
    ("drive", "has_short_circuit_ka=4", "short-circuit rating", "no"),
    ("drive", "has_bus_volts=210", "volts at the highest speed", "no"),
    ("drive", "has_sort=cage", "sort of motor", "no"),
    ("drive", "has_feedback=sine", "feedback", "no"),
    ("drive", "has_feedback_volts=8", "feedback, volts", "no"),
    ("drive", "has_thermal=kty", "sensor in the winding", "ask"),
    ("drive", "has_brake_current=ac", "brake, sort of current", "no"),
    ("drive", "has_brake_volts=90", "brake, volts it gives", "no"),
    ("drive", "has_command=analog", "commands from the control", "no"),
    ("drive", "has_protocol=ring3", "language of the bus", "ask"),
    ("drive", "has_torque_off=no", "input that takes its torque off", "no"),
    ("drive", "has_torque_off_level=c", "performance level of that input", "no"),
    ("drive", "has_encoder_out=no", "output of its feedback to the control", "no"),
    ("drive", "has_ready=no", "ready contact, fault contact", "no"),
    ("drive", "has_brake_peak_watt=1900", "braking, highest power", "no"),
    ("drive", "has_brake_watt=16", "braking, power for ever", "no"),
    ("drive", "resistor_ohm=29", "braking resistor that stays", "no"),
    ("drive", "has_wide_mm=101", "width", "no"),
    ("drive", "has_high_mm=401", "height, air above and below too", "no"),
    ("drive", "has_deep_mm=251", "depth, plugs too", "no"),
    ("drive", "has_cooling=through", "cooling", "ask"),
    ("drive", "has_lost_watt=81", "heat into the cabinet", "no"),
    ("drive", "has_firmware=v4", "type and software mark", "ask"),
    ("drive", "settings_kept=no", "settings of the old one are kept", "ask"),
    ("contactor", "need_ampere=9.1", "category and current", "no"),
    ("contactor", "has_ratings=AC-1 25", "category and current", "ask"),
    ("contactor", "has_volts=230", "volts it switches", "no"),
    ("contactor", "has_poles=2", "main poles", "no"),
    ("contactor", "has_make_contacts=0", "auxiliary contacts that make", "no"),
    ("contactor", "has_break_contacts=0", "auxiliary contacts that break", "no"),
    ("contactor", "need_mirror=yes", "mirror contact, read by a safety circuit", "no"),
    ("contactor", "need_lock=yes", "mechanical lock against its neighbour", "no"),
    ("contactor", "has_coil_volts=110", "coil, volts", "no"),
    ("contactor", "need_coil_volts=22", "coil, volts", "ask"),
    ("contactor", "has_coil_kind=ac", "coil, current", "no"),
    ("contactor", "has_coil_ampere=0.6", "coil, what it draws", "no"),
    ("contactor", "has_coil_hz=60", "coil, frequency", "no"),
    ("contactor", "has_suppression=none", "suppression over the coil", "no"),
    ("contactor", "has_suppression=varistor", "suppression over the coil", "ask"),
    ("contactor", "need_coordination=2 has_coordination=1", "coordination", "no"),
    ("contactor", "has_coordination=none", "coordination", "ask"),
    ("contactor", "has_mounting=screws", "mounting", "ask"),
    ("contactor", "has_wide_mm=51", "width", "no"),
    ("contactor", "has_high_mm=91", "height", "no"),
    ("contactor", "has_deep_mm=101", "depth", "no"),
    ("contactor", "has_starts_per_hour=59", "switchings an hour", "no"),
    ("relay", "has_sort=time", "sort", "no"),
    ("relay", "load_ampere=2.1", "contact, by category", "no"),
    ("relay", "has_ratings=DC-12 8", "contact, by category", "ask"),
    ("relay", "need_volts=110", "volts of what it switches", "no"),
    ("relay", "has_changeovers=1", "changeover contacts", "no"),
    ("relay", "need_make_contacts=1", "contacts that make", "no"),
    ("relay", "need_break_contacts=1", "contacts that break", "no"),
    ("relay", "has_least_load_ampere=0.01", "smallest current it must carry", "no"),
    ("relay", "need_guided=yes", "contacts guided by force", "no"),
    ("relay", "has_coil_volts=12", "coil, volts", "no"),
    ("relay", "has_coil_kind=ac", "coil, current", "no"),
    ("relay", "has_coil_ampere=0.11", "coil, what it draws", "no"),
    ("relay", "has_suppression=none", "suppression over the coil", "no"),
    ("relay", "has_pins=11round", "pins, socket", "ask"),
    ("relay", "has_wide_mm=31", "width", "no"),
    ("relay", "has_high_mm=61", "height", "no"),
    ("match_overload", "need_ampere=8.6 set_ampere=8.6 has_high_ampere=8.5", "range", "no"),
    ("match_overload", "inside_delta=yes set_ampere=", "range", "no"),
    ("match_overload", "set_ampere=8.6", "setting", "no"),
    ("match_overload", "has_class=20", "trip class", "ask"),
    ("match_overload", "start_s=4", "time to run up", "no"),
    ("match_overload", "has_reset=self", "reset", "no"),
    ("match_overload", "need_reset=self has_reset=hand", "reset", "ask"),
    ("match_overload", "has_lost_phase=no", "trips when a phase is lost", "no"),
    ("match_overload", "has_warm_cabinet=no", "made up for the warmth of its cabinet", "no"),
    ("match_overload", "has_make_contacts=0", "contacts that make", "no"),
    ("match_overload", "has_break_contacts=0", "contacts that break", "no"),
    ("match_overload", "need_fuse_ampere=40", "fuse or breaker before it", "no"),
    ("match_overload", "has_mounting=below", "mounting", "ask"),
    ("match_belt", "has_sort=v", "sort of belt", "no"),
    ("match_belt", "has_profile=8YU", "profile", "no"),
    ("match_belt", "has_marks=y", "its marks", "ask"),
    ("match_belt", "has_tooth_mm=5 centre_low_mm=155", "from tooth to tooth", "no"),
    ("match_belt", "has_teeth=126", "teeth", "no"),
    ("match_belt", "centre_low_mm=355", "length", "no"),
    ("match_belt", "has_width_mm=33", "width", "no"),
    ("match_belt", "has_width_mm=20", "width", "ask"),
    ("match_belt", "has_power_kw=6.9", "power", "no"),
    ("match_belt", "has_most_m_s=9", "speed of the belt", "no"),
    ("match_belt", "has_least_pulley_mm=62", "smallest pulley", "no"),
    ("match_belt", "shaft_most_newton=900", "pull on the shaft", "no"),
    ("match_belt", "has_oil=no", "bears oil and coolant", "no"),
    ("match_belt", "has_high_c=50", "highest temperature", "no"),
    ("match_belt", "has_static=no", "carries static away", "no"),
    ("match_bearing", "has_type=groove", "sort of bearing", "no"),
    ("match_bearing", "has_bore_mm=75", "bore", "no"),
    ("match_bearing", "has_outside_mm=115", "outside diameter", "no"),
    ("match_bearing", "has_width_mm=19", "width of one", "no"),
    ("match_bearing", "has_set=tandem", "pair or set", "no"),
    ("match_bearing", "need_set=set", "pair or set", "ask"),
    ("match_bearing", "whole_set=no", "the whole set is new, of one maker, matched", "no"),
    ("match_bearing", "wanted_hours=2401", "life at load and speed", "no"),
    ("match_bearing", "load_kn= need_rating_kn=31", "dynamic load rating", "no"),
    ("match_bearing", "has_most_rpm=1499", "highest speed", "no"),
    ("match_bearing", "has_angle_deg=25", "contact angle", "no"),
    ("match_bearing", "has_precision=P5", "precision class", "no"),
    ("match_bearing", "has_preload=heavy", "preload class", "ask"),
    ("match_bearing", "has_preload_newton=111", "preload", "ask"),
    ("match_bearing", "has_gap=C3", "gap inside", "ask"),
    ("match_bearing", "has_balls=ceramic", "balls or rollers of", "ask"),
    ("match_bearing", "has_cage=steel", "cage", "ask"),
    ("match_bearing", "has_static_kn=19", "static load rating", "no"),
    ("match_bearing", "has_seal=touch", "seal", "ask"),
    ("match_bearing", "has_grease=b", "grease or oil", "ask"),
    ("match_bearing", "has_marks=y", "its marks", "ask"),
    ("hose", "has_bore_mm=10", "inside diameter", "ask"),
    ("hose", "has_bore_mm=6", "inside diameter", "no"),
    ("hose", "has_bar=69", "working pressure", "no"),
    ("hose", "has_burst_bar=279", "burst pressure", "no"),
    ("hose", "has_length_mm=1020", "length", "ask"),
    ("hose", "has_length_mm=990", "length", "no"),
    ("hose", "has_low_c=5", "coldest", "no"),
    ("hose", "has_high_c=59", "hottest", "no"),
    ("hose", "has_fluid=emulsion", "fluid", "ask"),
    ("hose", "has_bend_mm=181", "bend, radius", "no"),
    ("hose", "has_end_one=G3/8", "fitting at one end", "ask"),
    ("hose", "has_end_two=M18", "fitting at the other end", "ask"),
    ("hose", "has_sleeve=no", "sleeve or guard over it", "no"),
    ("hose", "has_suction=no", "bears suction", "no"),
    ("hose", "has_static=no", "carries static away", "no"),
    ("hose", "has_age_years=3", "date", "ask"),
    ("hose", "has_age_years=7", "date", "no"),
    ("cell", "saved=no", "data copied and read back", "no"),
    ("cell", "saved=", "data copied and read back", "ask"),
    ("cell", "has_sort=nicd", "chemistry", "no"),
    ("cell", "need_sort=alkaline has_sort=zinc_carbon", "chemistry", "ask"),
    ("cell", "has_volts=3", "volts, whole pack", "no"),
    ("cell", "has_ends=plain", "its ends", "no"),
    ("cell", "has_cells=2", "cells in a row", "no"),
    ("cell", "has_mah=1900", "capacity", "no"),
    ("cell", "has_plug=black2", "plug", "ask"),
    ("cell", "has_diameter_mm=17", "diameter", "no"),
    ("cell", "has_length_mm=52", "length", "ask"),
    ("cell", "wanted_years=13", "how long it lasts", "no"),
    ("cell", "has_age_years=3", "date", "ask"),
    ("cell", "manual=unknown", "how it is changed", "ask"),
    ("lamp", "has_lm=700", "light", "no"),
    ("lamp", "has_volts=26", "volts", "ask"),
    ("lamp", "has_volts=12", "volts", "no"),
    ("lamp", "has_current=ac", "current", "no"),
    ("lamp", "has_watt=61", "heat", "no"),
    ("lamp", "has_enclosure=IP54", "protection class", "no"),
    ("lamp", "has_enclosure=IP67", "protection class", "ask"),
    ("lamp", "has_glass=no", "glass that bears chips and coolant", "no"),
    ("lamp", "has_mounting=clip", "mounting", "ask"),
    ("lamp", "has_ra=79", "colours told apart, Ra", "no"),
    ("lamp", "has_colour_k=6500", "colour", "ask"),
    ("lamp", "has_flicker_hz=100 most_rpm=4000", "flicker", "no"),
    ("lamp", "has_flicker_hz=", "flicker", "ask"),
    ("display", "has_signal=hdmi", "signal", "ask"),
    ("display", "has_sync=green", "how the picture is held", "ask"),
    ("display", "has_low_khz=31.5", "lines a second", "ask"),
    ("display", "has_low_frames_hz=60", "pictures a second", "ask"),
    ("display", "has_dots=639", "dots in a line that are seen", "no"),
    ("display", "has_lines=479", "lines that are seen", "no"),
    ("display", "has_clock_mhz=25", "dots a second", "ask"),
    ("display", "has_volts=12", "volts of its supply", "no"),
    ("display", "has_ampere=2.1", "current it draws", "no"),
    ("display", "has_seen_mm=305", "picture, across its corners", "ask"),
    ("display", "has_wide_mm=301", "width", "no"),
    ("display", "has_high_mm=251", "height", "no"),
    ("display", "has_deep_mm=121", "depth, plugs too", "no"),
    ("display", "has_mounting=arm", "mounting", "ask"),
    ("display", "has_enclosure=IP20", "protection class of its front", "no"),
    ("display", "need_touch=yes", "keys or touch on it", "no"),
]
ALSO = {  # a second row that the same change must touch
    ("match_belt", "has_tooth_mm=5 centre_low_mm=155"): {"length"},
    ("match_belt", "has_teeth=126"): {"length"},
    ("match_bearing", "has_type=groove"): set(),
    ("cell", "has_sort=nicd"): set(),
    ("match_overload", "need_ampere=8.6 set_ampere=8.6 has_high_ampere=8.5"): {"setting"},
}


@pytest.mark.parametrize("id", FITTING)
def test_what_fits_in_every_property_may_replace_it(id: str):
    made = matched(id)
    assert made.answer == "go", [one.reason for one in (*made.against, *made.missing)]
    assert made.headline.startswith("It may replace it: all ")
    assert {fits for *_, fits in rows(made).values()} == {"yes"}


@pytest.mark.parametrize(("id", "changes", "name", "fits"), DIFFERENT)
def test_one_property_that_differs_is_named_and_no_other(
    id: str, changes: str, name: str, fits: str
):
    made = matched(id, *_split(changes))
    told = rows(made)
    assert told[name][2] == fits, told[name]
    off = {row for row, (*_, how) in told.items() if how != "yes"} - {name}
    assert off <= ALSO.get((id, changes), set()), off
    assert made.answer == ("no_go" if fits == "no" else "get_first")
    listed = made.against if fits == "no" else made.missing
    reasons = [one for one in listed if one.reason.startswith(f"{name}: ")]
    assert len(reasons) == 1
    assert reasons[0].remedy.endswith(".")
    assert reasons[0].field in {field.id for field in method(id).fields}
    assert fits == "ask" or made.headline.startswith("No: ")


def _split(changes: str) -> list[str]:
    if "has_ratings=" in changes:
        return [changes]
    return changes.split()


def test_every_property_of_every_sort_of_part_was_changed_once():
    for id in BOOKS["fix"]:
        named = {name for one, _, name, _ in DIFFERENT if one == id}
        assert set(rows(matched(id))) - named <= {"teeth in mesh"}, id  # held below


@pytest.mark.parametrize("id", FITTING)
def test_a_property_of_which_nobody_knows_one_side_is_asked_for_there(id: str):
    known = fitting(id)
    reckoned = {"has_bus_volts", "has_length_mm"}  # else from supply, or from teeth
    for field in [name for name in known if name.startswith("has_") and name not in reckoned][:9]:
        if field.replace("has_", "need_") in known and known[field] == "no":
            continue  # what nobody needs is not asked for
        made = matched(id, f"{field}=")
        assert made.answer == "get_first", field
        assert any(one.field.startswith(("has_", "need_")) for one in made.missing), field


@pytest.mark.parametrize("id", FITTING)
def test_each_row_names_its_rule_and_how_sure_it_is(id: str):
    listing = matched(id).listings[0]
    assert listing.columns == ("property", "needed", "offered", "held how", "fits")
    for name, _, _, rule, _ in listing.rows:
        assert len(str(rule)) > 8, name
        assert str(rule).endswith(")"), (name, rule)
        assert "((" not in str(rule), rule
        assert "safe " not in str(rule).replace("torque off safely", ""), rule


def test_a_safety_relay_is_never_replaced_by_a_plain_one_and_asks_who_answers_for_it():
    safety = ("need_sort=safety", "has_sort=safety", "need_category_kept=3", "has_category_kept=4",
              "need_level_kept=d", "has_level_kept=d", "need_reset=no", "has_guided=yes",
              "need_channels=2", "has_channels=2", "need_cross_fault=yes",
              "has_cross_fault=yes")  # fmt: skip
    asked = matched("relay", *safety)
    assert asked.answer == "get_first"
    assert [one.field for one in asked.missing] == ["safety_agreed"]
    assert matched("relay", *safety, "safety_agreed=yes").answer == "go"
    for change in ("has_sort=control", "has_sort=time"):
        made = matched("relay", *safety, "safety_agreed=yes", change)
        assert (made.answer, made.against[0].remedy) == (
            "no_go", "A safety relay only by a safety relay.")  # fmt: skip
    for change, name in (("has_category_kept=2", "category of its safety function"),
                         ("has_level_kept=c", "performance level"),
                         ("has_channels=1", "channels that it watches"),
                         ("has_cross_fault=no", "finds a fault between its channels"),
                         ("has_guided=no", "contacts guided by force")):  # fmt: skip
        made = matched("relay", *safety, "safety_agreed=yes", change)
        assert rows(made)[name][2] == "no"
    made = matched("relay", *safety, "safety_agreed=yes", "need_reset=yes", "has_reset=no")
    assert rows(made)["reset by hand, watched"][2] == "no"


def test_a_time_relay_keeps_its_function_and_its_time():
    times = ("need_sort=time", "has_sort=time", "need_function=on", "has_function=on",
             "need_seconds=10", "has_least_seconds=1", "has_seconds=60")  # fmt: skip
    assert matched("relay", *times).answer == "go"
    assert rows(matched("relay", *times, "has_function=off"))["what it does with time"][2] == "no"
    for change, fits in (("has_seconds=9", "no"), ("has_least_seconds=11", "no"),
                         ("has_least_seconds=", "ask")):  # fmt: skip
        assert rows(matched("relay", *times, change))["time it is set to"][2] == fits


def test_a_converter_that_was_shown_working_is_no_hindrance():
    made = matched("display", "has_signal=hdmi", "need_sync=", "has_low_khz=60", "converter=yes")
    assert made.answer == "go"


def test_several_belts_side_by_side_are_all_new():
    v = ("need_sort=v", "has_sort=v", "need_count=3", "need_teeth=", "has_teeth=",
         "has_length_mm=1000", "need_length_mm=1000", "driver_mm=61", "driven_mm=122")  # fmt: skip
    assert rows(matched("match_belt", *v, "has_count=2"))["belts side by side"][2] == "no"
    assert matched("match_belt", *v, "has_count=3").answer == "go"


def test_few_teeth_in_mesh_are_asked_about():
    made = matched("match_belt", "driver_teeth=11", "need_teeth=118", "has_teeth=118",
                   "has_least_pulley_mm=20")  # fmt: skip
    assert rows(made)["teeth in mesh"][1:] == ("5", "ask")


def test_a_brake_too_many_is_fed_or_left_out():
    made = matched("motor", "need_brake=no")
    assert rows(made)["brake"][2] == "ask"
    assert "holds for ever" in made.missing[0].remedy


def test_the_limits_of_an_inertia_are_the_owners_to_change():
    assert matched("motor", "motor_inertia_kg_cm2=4", "ratio_easy=4").answer == "go"
    assert matched("motor", "motor_inertia_kg_cm2=1.2", "ratio_most=12").answer == "get_first"


def test_a_motor_with_no_known_cycle_is_held_against_the_old_ones_torque():
    bare = ("cycle=", "need_standstill_nm=5")
    assert rows(matched("motor", *bare, "has_standstill_nm=5"))[
        "torque at standstill, for ever"][2] == "yes"  # fmt: skip
    assert matched("motor", *bare, "has_standstill_nm=4.9").answer == "no_go"
