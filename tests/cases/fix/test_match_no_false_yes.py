"""Parts that look alike and are not: where one property is overlooked, none may say yes."""

from __future__ import annotations

import pytest
from tests.cases.fix.match_parts import matched, rows

from retrue.cases.reckon.method import method
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.hose import long_enough

CAGE = ("fed=drive", "need_sort=cage", "has_sort=cage", "need_volts=400", "need_hz=50",
        "need_ampere=9", "has_ampere=9", "drive_continuous_ampere=10")  # fmt: skip
LINE = ("fed=mains", "need_sort=cage", "has_sort=cage", "code=nec", "need_volts=460",
        "has_volts=460", "horsepower=5", "need_ampere=15", "has_ampere=10")  # fmt: skip


def fits(made: Reckoning, name: str) -> str:
    return rows(made)[name][2]


@pytest.mark.parametrize(
    ("plate", "answer"),
    [
        ("has_volts=400 has_hz=50", "yes"),
        ("has_volts=690 has_hz=50", "no"),  # whole flux to 50 x 400 / 690 = 29 Hz only
        ("has_volts=400 has_hz=87", "ask"),  # made for 230 V at 50 Hz
        ("has_volts=460 has_hz=60", "ask"),
        ("has_volts=400 has_hz=", "ask"),
    ],
)
def test_a_motor_on_a_drive_is_held_by_its_volts_a_hertz(plate: str, answer: str):
    """Flux is volts over hertz (by definition)."""
    made = matched("motor", *CAGE, *plate.split())
    assert fits(made, "frequency, on its drive") == answer
    if "690" in plate:
        (whole,) = [one.value for one in made.figures if one.key == "full_flux_hz"]
        assert whole == pytest.approx(50 * 400 / 690)


def test_a_motor_of_direct_current_runs_at_the_volts_it_is_given():
    direct = ("fed=drive", "need_sort=direct", "has_sort=direct", "need_volts=400")
    assert fits(matched("motor", *direct, "has_volts=400"), "rated volts") == "yes"
    assert fits(matched("motor", *direct, "has_volts=440"), "rated volts") == "ask"
    assert fits(matched("motor", *direct, "has_volts=600"), "rated volts") == "no"


@pytest.mark.parametrize("id", ["motor", "drive"])
def test_a_serial_feedback_is_asked_for_its_language(id: str):
    serial = ("need_feedback=serial", "has_feedback=serial")
    name = "feedback, its language"
    assert fits(matched(id, *serial), name) == "ask"
    both = ("need_feedback_language=two wires 2.2", "has_feedback_language=Two wires 2.2")
    assert fits(matched(id, *serial, *both), name) == "yes"
    assert fits(matched(id, *serial, both[0], "has_feedback_language=ring"), name) == "ask"


@pytest.mark.parametrize("id", ["motor", "drive"])
def test_pulses_are_asked_for_their_counts(id: str):
    pulses = ("need_feedback=ttl", "has_feedback=ttl")
    name = "feedback, counts a turn"
    assert fits(matched(id, *pulses, "need_counts=", "has_counts="), name) == "ask"
    assert fits(matched(id, *pulses, "need_counts=2048", "has_counts=2048"), name) == "yes"


def test_the_limit_of_the_magnets_is_asked_of_every_servo_drive():
    name = "highest current that the motor bears"
    assert fits(matched("drive", "need_limit_ampere="), name) == "ask"
    cage = ("need_sort=cage", "has_sort=cage", "need_limit_ampere=")
    assert name not in rows(matched("drive", *cage))


def test_a_smaller_motor_asks_for_its_device_and_sets_its_overload_down():
    """NFPA 70, 430.52 and 430.32: 5 hp at 460 V, 7.6 A, breaker of 19 and next 20 A."""
    made = matched("motor", *LINE, "device_ampere=200", "conductor_carries_ampere=10")
    assert fits(made, "short-circuit device") == "ask"
    assert fits(made, "conductor of its line") == "yes"  # 1.25 x 7.6 = 9.5 A
    assert fits(made, "overload, set down") == "ask"
    thin = matched("motor", *LINE, "conductor_carries_ampere=9")
    assert fits(thin, "conductor of its line") == "ask"
    good = matched("motor", *LINE, "device_ampere=20", "overload_set_ampere=11.5")
    assert fits(good, "short-circuit device") == "yes"
    assert fits(good, "overload, set down") == "yes"  # 1.15 x 10 A
    assert fits(matched("motor", *LINE, "overload_set_ampere=17"), "overload, set down") == "ask"


def test_more_current_at_the_start_than_anybody_knows_of_is_asked_about():
    mains = ("fed=mains", "need_start_times=", "has_start_times=9")
    assert fits(matched("motor", *mains), "current while it starts") == "ask"


@pytest.mark.parametrize(("set_to", "answer"), [("2", "no"), ("6", "yes"), ("8", "yes"),
                                                ("8.1", "no"), ("10.1", "no")])  # fmt: skip
def test_an_overload_is_set_inside_its_range(set_to: str, answer: str):
    made = matched("match_overload", "need_ampere=8", "has_low_ampere=6", "has_high_ampere=10",
                   f"set_ampere={set_to}")  # fmt: skip
    assert fits(made, "setting") == answer


def test_no_hose_of_oil_has_a_burst_of_less_than_four_times():
    """SAE J517, four to one (secondary source)."""
    made = matched("hose", "need_bar=200", "has_bar=200", "has_burst_bar=200", "burst_times=1")
    assert fits(made, "burst pressure") == "no"
    air = matched("hose", "part=air", "need_bar=10", "has_burst_bar=30", "burst_times=3")
    assert fits(air, "burst pressure") == "ask"


def test_a_hose_that_is_far_too_long_is_none():
    assert [long_enough(has, 1000) for has in (1100, 1101, 1500, 1501, 3000)] == [
        "yes", "ask", "ask", "no", "no"]  # fmt: skip
    assert fits(matched("hose", "has_length_mm=3000"), "length") == "no"


def test_a_measure_of_rooms_clears_no_chuck():
    """Visible strobing up to 0.4 is for what moves in a room (from memory)."""
    chuck = ("has_svm=0.3", "most_rpm=4000", "alike=3")
    assert fits(matched("lamp", *chuck, "has_flicker_hz=100"), "flicker") == "ask"
    assert fits(matched("lamp", *chuck, "has_flicker_hz="), "flicker") == "ask"
    assert fits(matched("lamp", *chuck, "has_flicker_hz=0"), "flicker") == "yes"
    assert fits(matched("lamp", "has_svm=0.9", "has_flicker_hz=100", "most_rpm=4000"),
                "flicker") == "no"  # fmt: skip


def test_a_safety_relay_has_guided_contacts_whatever_was_ticked():
    safety = ("need_sort=safety", "has_sort=safety", "need_guided=no")
    assert fits(matched("relay", *safety, "has_guided=no"), "contacts guided by force") == "no"
    assert fits(matched("relay", *safety, "has_guided="), "contacts guided by force") == "ask"
    for name in ("channels that it watches", "finds a fault between its channels"):
        assert fits(matched("relay", *safety), name) == "ask"


def test_an_input_that_takes_torque_off_has_a_level():
    name = "performance level of that input"
    assert fits(matched("drive", "need_torque_off_level="), name) == "ask"
    off = ("need_torque_off=no", "has_torque_off=no", "need_torque_off_level=")
    assert name not in rows(matched("drive", *off))


def test_a_bearing_of_a_motor_is_asked_for_its_gap_and_its_marks():
    """ISO 5753-1: C3 is wider than normal."""
    groove = ("need_type=groove", "has_type=groove")
    assert fits(matched("match_bearing", *groove, "need_gap="), "gap inside") == "ask"
    assert fits(matched("match_bearing", *groove, "has_gap=C3"), "gap inside") == "ask"
    assert "gap inside" not in rows(matched("match_bearing", "need_gap="))  # it is preloaded
    assert fits(matched("match_bearing", "need_marks="), "its marks") == "ask"


def test_every_new_question_says_where_its_answer_is_found():
    for id in ("motor", "drive", "relay"):
        assert all(field.help for field in method(id).fields)
