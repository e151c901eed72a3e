"""The rules that stand above every price: common practice of the trade, no one source."""

from __future__ import annotations

from tests.cases.find.machines import (
    did,
    look,
    passed,
    signed,
    sought,
    teardown,
    told,
)

from retrue.cases.find.clearing import covering_looks
from retrue.cases.find.options import Option, option_of
from retrue.cases.find.rules import Block, blocked
from retrue.cases.find.steps import offered

TRIPS = told("Y36")  # main fuse or drive trips at once
GROWLS = told("Y01")
STEP = told("Y11")  # milled face shows a step between passes
ONE_PLACE = told("Y33")  # backlash at one place, none at the ends
TINGLE = told("Y53")


def stopped(key: str, *line: object, fault: str = "", goal: str = "clear") -> Block | None:
    """The first rule that a step runs into."""
    found = sought(*line, goal=goal)
    option = option_of(found, key, fault)
    assert option is not None, key
    return blocked(found, option)


def rule(key: str, *line: object, fault: str = "", goal: str = "clear") -> str:
    block = stopped(key, *line, fault=fault, goal=goal)
    return "" if block is None else block.rule


def first_of(part: str) -> tuple[str, ...]:
    return sought(TRIPS).kind.swappable[part].first


def test_a_dead_axis_drive_waits_until_motor_and_cable_have_passed():
    looks = first_of("axis_drive")
    assert looks
    ready = signed("running")
    assert rule("F25:replace", TRIPS, ready) == "drive_last"
    for count in range(len(looks)):
        assert rule("F25:replace", TRIPS, ready, *passed(*looks[:count])) == "drive_last"
    assert rule("F25:replace", TRIPS, ready, *passed(*looks)) != "drive_last"


def test_a_drive_seen_dead_at_teardown_still_waits_for_motor_and_cable():
    assert rule("F25:replace", TRIPS, signed("running"), teardown("F25", True)) == "drive_last"


def test_a_spindle_drive_waits_too_and_so_does_a_second_hand_one():
    for way in ("second_hand", "local"):
        assert rule(f"F20:{way}", TRIPS, signed("running")) == "drive_last"


def test_a_motor_that_failed_is_treated_before_the_drive():
    looks = first_of("axis_drive")
    line = (TRIPS, signed("running"), look(looks[0], "seen"), *passed(*looks[1:]))
    block = stopped("F25:replace", *line)
    assert block is not None
    assert block.rule == "drive_last"
    assert block.opens_with.split(":")[0] not in ("F25", "F20", *looks)


def test_a_motor_whose_insulation_failed_may_be_treated():
    line = (TRIPS, signed("running"), look("C31", "seen"))
    assert rule("F26:local", *line, *passed("C100", "C103")) == ""


def test_a_swap_of_drives_waits_for_motor_and_cable():
    looks = first_of("axis_drive")
    assert rule("swap:axis_drive", TRIPS, signed("running"), *passed("C113")) == "drive_last"
    assert rule("swap:axis_drive", TRIPS, signed("running"), *passed(*looks, "C113", "C33")) == ""


def test_a_look_under_power_waits_for_a_signature():
    assert rule("C49", GROWLS, signed("power_up")) == "not_signed"
    assert rule("C49", GROWLS, signed("running")) == ""


def test_a_dead_look_needs_no_signature():
    assert rule("C20", GROWLS) == ""


def test_opening_a_place_waits_for_the_signature_before_it_comes_apart():
    block = stopped("F06:replace", GROWLS)
    assert block is not None
    assert (block.rule, block.opens_with) == ("not_signed", "sign:apart")
    assert rule("F06:replace", GROWLS, signed("apart")) == ""


def test_the_signature_before_power_waits_for_what_is_rare_and_severe():
    found = sought(GROWLS)
    severe = {covering_looks(found, fault)[0] for fault in found.kind.severe}
    assert {"F15", "F20", "F60", "F53"} <= found.kind.severe.keys()
    block = stopped("sign:running", GROWLS)
    assert block is not None
    assert block.rule == "severe"
    assert block.opens_with in severe
    assert rule("sign:running", GROWLS, *passed(*severe)) == ""


def test_a_rare_and_severe_suspect_is_looked_at_however_unlikely_and_whoever_signed():
    line = (TRIPS, signed("running"))
    assert sought(*line).share("F15") < 0.3
    block = stopped("C56", *line)
    assert block is not None
    assert (block.rule, block.opens_with) == ("severe", "C113")


def test_a_severe_fault_that_has_nothing_to_do_with_it_is_the_signers():
    assert rule("C49", GROWLS, signed("running")) == ""


def test_an_open_stop_item_lets_nothing_run():
    line = (GROWLS, signed("running"), look("C111", "seen"))
    block = stopped("C49", *line)
    assert block is not None
    assert block.rule == "stop_open"
    assert block.opens_with.startswith("F97:")
    spindle_speed = told("Y15")  # its own look needs it running
    found = sought(spindle_speed, *line[1:])
    block = blocked(found, Option("again", "again", -1, 0.0, 0.0))
    assert block is not None
    assert block.rule == "stop_open"


def test_an_open_stop_look_is_put_right_where_its_cause_most_likely_is():
    line = (GROWLS, signed("running"), look("C31", "seen"))
    line = (*line, teardown("F15", False), teardown("F29", False))
    found, block = sought(*line), stopped("C49", *line)
    assert block is not None
    links = found.kind.checks["C31"].links
    likeliest = max(links, key=lambda fault: found.share(fault))
    assert block.fault == likeliest


def test_a_stop_item_put_right_and_looked_at_again_lets_it_run():
    line = (GROWLS, signed("running"), look("C111", "seen"), did("F97", "replace", "replace"))
    assert rule("C49", *line, look("C111", "not_seen")) == ""


def test_a_stop_fault_seen_at_teardown_is_open_too():
    assert rule("C49", GROWLS, signed("running"), teardown("F86", True)) == "stop_open"
    assert rule("C49", GROWLS, signed("running"), teardown("F86", False)) == ""


def test_geometry_is_not_read_before_the_level_is_proved():
    ready = signed("running")
    block = stopped("C122", STEP, ready)
    assert block is not None
    assert (block.rule, block.opens_with) == ("level_first", "C90")
    assert rule("C122", STEP, ready, *passed("C90")) == ""


def test_the_level_itself_may_be_read():
    assert rule("C90", STEP, signed("running")) == ""


def test_wear_is_not_treated_before_the_level_is_proved():
    line = (STEP, signed("running"))
    block = stopped("F47:adjust", *line)
    assert block is not None
    assert (block.rule, block.opens_with) == ("imitates", "C90")
    assert rule("F47:adjust", *line, *passed("C90")) == ""


def test_a_level_that_is_out_is_put_right_first():
    block = stopped("F47:adjust", STEP, signed("running"), look("C90", "seen"))
    assert block is not None
    assert block.rule == "imitates"
    assert block.fault == "F45"
    assert block.opens_with not in ("", "C90")


def test_first_what_killed_it():
    line = (ONE_PLACE, signed("running"))
    block = stopped("F36:replace", *line)
    assert block is not None
    assert block.rule == "killer_first"
    assert block.fault in ("F48", "F100")


def test_what_killed_it_is_out_of_the_way_by_its_look_or_by_being_put_right():
    looks = passed("C63", "C25", "C40")
    assert rule("F36:replace", ONE_PLACE, signed("running"), *looks) == ""
    done = (did("F48", "clean", "clean"), did("F100", "replace", "replace"))
    assert rule("F36:replace", ONE_PLACE, signed("running"), *done) == ""


def test_a_trouble_that_means_off_runs_nothing_and_says_so_first():
    found = sought(TINGLE, signed("running"))
    steps = offered(found)
    assert rule("C86", TINGLE, signed("running")) == "switch_off"
    for option in steps.options:
        assert option.look is None or option.look.needs not in ("power_up", "running")
        assert option.sort != "again"


def test_a_trouble_that_means_off_may_run_once_it_is_cleared_dead():
    line = (TINGLE, signed("running"), *passed("C35"))
    assert rule("C86", *line) != "switch_off"


def test_what_opens_a_step_is_offered_in_its_place():
    steps = offered(sought(STEP, signed("running")))
    offers = {option.key for option in steps.options}
    held = {one.option.key: one for one in steps.held}
    for one in held.values():
        assert one.option.key not in offers
        if one.opens is not None and one.option.value + one.opens.cost < steps.options[0].value:
            assert one.opens.key in offers
    assert "C90" in offers
