"""Where a rule turns at its very edge, which field is asked for, and what is told to do instead.

Edges that are judgement or common practice are pinned here; the others stand with their source.
"""

from __future__ import annotations

import pytest
from tests.cases.fix.match_parts import matched, rows

from retrue.cases.reckon.method import method

EDGES = [  # sort of part, what is changed, property, fits
    ("motor", "fed=mains need_hz=50 has_hz=50 need_volts= has_volts=", "frequency", "yes"),
    ("motor", "fed=mains need_hz=50 has_hz=60 need_volts= has_volts=", "frequency", "ask"),
    ("motor", "fed=mains need_hz=50 has_hz=60 need_volts=350 has_volts=400", "frequency", "ask"),
    ("motor", "fed=mains need_hz=50 has_hz=60 need_volts=352 has_volts=400", "frequency", "no"),
    ("motor", "need_brake=no has_brake=no", "brake", "yes"),
    ("motor", "need_brake=no has_brake=", "brake", "ask"),
    ("drive", "has_phases=1", "supply, phases", "no"),
    ("drive", "supply_phases=1 has_phases=1", "supply, phases", "yes"),
    ("contactor", "need_coordination=1 has_coordination=1", "coordination", "yes"),
    ("contactor", "need_coordination=2 has_coordination=2", "coordination", "yes"),
    ("contactor", "has_coil_low_volts=20 has_coil_high_volts=28", "coil, volts", "yes"),
    ("contactor", "has_coil_low_volts=25 has_coil_high_volts=28", "coil, volts", "no"),
    ("contactor", "has_coil_low_volts=25", "coil, volts", "yes"),
    ("contactor", "has_coil_high_volts=20", "coil, volts", "yes"),
    ("match_overload", "set_ampere=8.5 has_high_ampere=8.5", "range", "yes"),
    ("match_overload", "start_s=3.9", "time to run up", "yes"),
    ("match_belt", "driver_teeth=12 driven_teeth=12 has_teeth=101 need_teeth=101 "
     "has_least_pulley_mm=20", "teeth in mesh", "yes"),
    ("match_belt", "driver_teeth=11 driven_teeth=11 has_teeth=100 need_teeth=100 "
     "has_least_pulley_mm=20", "teeth in mesh", "ask"),
    ("match_belt", "driver_teeth= need_length_mm=1000 has_length_mm=1000", "length", "yes"),
    ("match_belt", "driver_teeth= need_length_mm=1000 has_length_mm=1010", "length", "ask"),
    ("match_belt", "driver_teeth= need_length_mm= need_teeth=", "length", "ask"),
    ("match_belt", "need_width_mm=", "width", "yes"),
    ("match_belt", "pulley_wide_mm=", "width", "ask"),
    ("match_belt", "speed_rpm=", "speed of the belt", "ask"),
    ("match_belt", "driver_teeth=", "speed of the belt", "ask"),
    ("match_belt", "driver_mm=70", "smallest pulley", "yes"),
    ("match_bearing", "load_kn=2000 has_rating_kn=2000", "life at load and speed", "no"),
    ("match_bearing", "load_kn=2001 has_rating_kn=2000", "life at load and speed", "ask"),
    ("cell", "has_age_years=2", "date", "yes"),
    ("cell", "cell_ua=20 wanted_years=", "how long it lasts", "ask"),
    ("cell", "cell_ua= wanted_years=5", "how long it lasts", "ask"),
    ("lamp", "has_flicker_hz=1 most_rpm=4000", "flicker", "no"),
    ("lamp", "has_flicker_hz=0.9 most_rpm=4000", "flicker", "no"),
    ("lamp", "has_flicker_hz=20000 most_rpm=60", "flicker", "ask"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "changes", "name", "fits"), EDGES)
def test_a_rule_turns_at_its_edge(id: str, changes: str, name: str, fits: str):
    assert rows(matched(id, *changes.split()))[name][2] == fits


TOLD = [  # sort of part, what is changed, property, field, a word of what to do
    ("motor", "has_volts=", "rated volts", "has_volts", "On its plate"),
    ("motor", "need_volts=", "rated volts", "need_volts", "On the old one"),
    ("motor", "has_volts=100", "rated volts", "has_volts", "never by trying it out"),
    ("motor", "has_ampere=10", "full-load current", "has_ampere", "Ask whether its drive gives"),
    ("motor", "fed=mains has_ampere=10", "full-load current", "has_ampere", "Overload, contactor"),
    ("drive", "has_low_volts=", "supply, volts", "has_low_volts", "On its plate"),
    ("drive", "has_high_volts=", "supply, volts", "has_high_volts", "On its plate"),
    ("drive", "volts_per_krpm=", "volts at the highest speed", "volts_per_krpm", "motor's"),
    ("drive", "has_phases=1", "supply, phases", "has_phases", "never by trying it out"),
    ("drive", "supply_phases=1 has_ampere=40", "supply, phases", "has_phases", "on one phase"),
    ("drive", "load_kg_m2=", "braking, highest power", "load_kg_m2", "Rotor"),
    ("drive", "stop_s=", "braking, highest power", "stop_s", "by a watch"),
    ("drive", "stops_per_hour=", "braking, power for ever", "stops_per_hour", "busiest"),
    ("contactor", "has_ratings=AC-1 25", "category and current", "has_ratings", "never converted"),
    ("contactor", "need_ampere=", "category and current", "need_ampere", "motor's plate"),
    ("contactor", "need_ampere=10", "category and current", "has_ratings", "trying it out"),
    ("contactor", "has_suppression=none", "suppression over the coil", "has_suppression",
     "output dies"),
    ("contactor", "has_suppression=rc", "suppression over the coil", "has_suppression", "a side"),
    ("contactor", "has_suppression=", "suppression over the coil", "has_suppression", "plate"),
    ("contactor", "need_suppression=", "suppression over the coil", "need_suppression", "old one"),
    ("contactor", "need_coil_volts=22", "coil, volts", "has_coil_volts", "everything pulled in"),
    ("contactor", "has_coil_volts=110", "coil, volts", "has_coil_volts", "trying it out"),
    ("relay", "load_ampere=", "contact, by category", "load_ampere", "on its plate"),
    ("relay", "category=", "contact, by category", "category", "A coil is AC-15"),
    ("relay", "has_ratings=DC-12 8", "contact, by category", "has_ratings", "never converted"),
    ("relay", "load_ampere=3", "contact, by category", "has_ratings", "trying it out"),
    ("relay", "has_sort=time", "sort", "has_sort", "trying it out"),
    ("match_overload", "has_low_ampere=", "range", "has_low_ampere", "Printed on it"),
    ("match_overload", "has_high_ampere=", "range", "has_high_ampere", "Printed on it"),
    ("match_overload", "need_ampere=5", "range", "has_low_ampere", "trying it out"),
    ("match_overload", "need_ampere=10", "range", "has_high_ampere", "trying it out"),
    ("match_overload", "has_class=20", "trip class", "has_class", "A slower one"),
    ("match_overload", "has_class=10A start_s=1", "trip class", "has_class", "A faster one"),
    ("match_belt", "speed_rpm=", "speed of the belt", "speed_rpm", "As it is run"),
    ("match_belt", "pulley_wide_mm=", "width", "pulley_wide_mm", "Between its flanges"),
    ("match_belt", "has_width_mm=33", "width", "has_width_mm", "trying it out"),
    ("match_belt", "has_span_newton=", "pull on the shaft", "has_span_newton", "standing still"),
    ("match_bearing", "load_kn=3 speed_rpm=", "life at load and speed", "speed_rpm", "it is run"),
    ("match_bearing", "has_rating_kn=", "life at load and speed", "has_rating_kn", "On its plate"),
    ("hose", "has_length_mm=", "length", "has_length_mm", "On its plate"),
    ("hose", "has_length_mm=1001", "length", "has_length_mm", "without a twist"),
    ("hose", "has_age_years=", "date", "has_age_years", "Quarter and year"),
    ("cell", "has_sort=nicd", "chemistry", "has_sort", "Only the same chemistry"),
    ("cell", "has_ends=plain", "its ends", "has_ends", "welds them"),
    ("cell", "has_ends=", "its ends", "has_ends", "On its plate"),
    ("cell", "cell_ua=", "how long it lasts", "cell_ua", "control's manual"),
    ("cell", "has_mah=", "how long it lasts", "has_mah", "On its plate"),
    ("cell", "saved=", "data copied and read back", "saved", "Copy them"),
    ("display", "need_signal=", "signal", "need_signal", "By its plug"),
    ("display", "has_signal=hdmi", "signal", "has_signal", "a converter for exactly"),
    ("display", "has_clock_mhz=", "dots a second", "has_clock_mhz", "In its document"),
    ("display", "whole_dots=", "dots a second", "whole_dots", "800 for 640"),
    ("display", "has_low_khz=", "lines a second", "has_low_khz", "In its document"),
    ("display", "has_high_khz=", "lines a second", "has_high_khz", "In its document"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "changes", "name", "field", "word"), TOLD)
def test_a_row_names_its_field_and_what_to_do(
    id: str, changes: str, name: str, field: str, word: str
):
    made = matched(id, *([changes] if "has_ratings=" in changes else changes.split()))
    found = [one for one in (*made.against, *made.missing) if one.reason.startswith(f"{name}: ")]
    assert [one.field for one in found] == [field]
    assert word in found[0].remedy


WHY = [
    ("motor", "need_volts=", "rated volts: what is needed is not known"),
    ("motor", "has_volts=", "rated volts: what is offered is not known"),
    ("motor", "has_volts=100", "rated volts: 200 V needed, 100 V offered"),
    ("drive", "settings_kept=", "settings of the old one are kept: nobody has said so yet"),
    ("drive", "settings_kept=no", "settings of the old one are kept: it is not so"),
    ("hose", "has_age_years=", "date: its date is not known"),
    ("hose", "has_age_years=3", "date: 2 years or less needed, 3 years offered"),
    ("cell", "has_age_years=", "date: its date is not known"),
    ("cell", "manual=", "how it is changed: its manual is not known"),
    ("cell", "manual=unknown", "how it is changed: as its manual says needed, it does not say "
     "offered"),
    ("lamp", "has_flicker_hz=100 most_rpm=", "flicker: the highest speed beside it is not known"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "changes", "reason"), WHY)
def test_a_reason_is_told_in_words(id: str, changes: str, reason: str):
    made = matched(id, *changes.split())
    assert reason in [one.reason for one in (*made.against, *made.missing)]


def test_notes_of_a_cell_go_by_its_manual_and_by_its_volts():
    """Under nine tenths of what is printed it is near its end (judgement)."""
    on, off = matched("cell"), matched("cell", "manual=off")
    assert any("by an electrician" in note for note in on.notes)
    assert not any("wants the power off" in note for note in on.notes)
    assert any("wants the power off" in note for note in off.notes)
    for measured, weak in (("3.25", False), ("3.23", True), ("", False)):
        notes = matched("cell", f"measured_volts={measured}").notes
        assert any("near its end" in note for note in notes) == weak, measured
    assert matched("cell", "need_volts=", "measured_volts=1").answer == "get_first"
    bare = rows(matched("cell", "cell_ua=", "wanted_years="))
    assert "how long it lasts" not in bare


def test_the_width_of_a_v_belt_is_its_profiles():
    """ISO 4184: a V profile names its width; only who writes one down is asked."""
    v = ("need_sort=v", "has_sort=v")
    assert "width" not in rows(matched("match_belt", *v, "need_width_mm="))
    assert rows(matched("match_belt", *v))["width"][2] == "yes"
    wide = matched("match_belt", "has_width_mm=33")
    assert "width: the pulley is 32 mm wide" in [one.reason for one in wide.against]


def test_figures_that_cannot_be_reckoned_are_left_out():
    for id, change, key in (
        ("hose", "litre_min=", "flow_m_s"), ("hose", "has_bore_mm=", "flow_m_s"),
        ("display", "whole_dots=", "clock_mhz"), ("drive", "speed_rpm=", "back_peak_volts"),
        ("motor", "volts_per_krpm=", "back_volts"),
    ):  # fmt: skip
        assert key in {one.key for one in matched(id).figures}
        assert key not in {one.key for one in matched(id, change).figures}
    slow = matched("lamp", "has_flicker_hz=0.9", "most_rpm=4000")
    assert slow.figures == ()
    assert "nearly any speed" in slow.against[0].reason
    listed = matched("lamp", "has_flicker_hz=1", "most_rpm=4000")
    assert [one.value for one in listed.figures] == [20.0]


def test_the_burst_pressure_is_reckoned_and_never_asked():
    assert "need_burst_bar" not in {field.id for field in method("hose").fields}


def test_sorts_of_fields_follow_their_rules():
    sorts = {field.id: field.sort for field in method("motor").fields}
    assert {id: sorts[f"need_{id}"] for id in ("sort", "brake", "poles", "kw", "shaft_mm",
                                               "mounting", "insulation_class")} == {
        "sort": "choice", "brake": "flag", "poles": "whole", "kw": "number", "shaft_mm": "number",
        "mounting": "text", "insulation_class": "choice"}  # fmt: skip
    assert {field.sort for field in method("display").fields if field.unit} == {"number"}
