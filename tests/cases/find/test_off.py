"""A trouble that means "off" keeps the machine off, whatever is searched for, until it is cleared.

Common practice of the trade, no one source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cases.find.machines import case, did, kinds, look, passed, signed, told, tried

from retrue.cases.case import Event, Happened
from retrue.cases.find.advice import Advice, Goal
from retrue.cases.find.advise import advise
from retrue.cases.find.dead import dead_looks_at
from retrue.cases.find.off import stays_off
from retrue.cases.find.options import RANK
from retrue.cases.find.standing import standing
from retrue.kinds.library import Symptom
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Trouble

MILL = kinds()["vertical_machining_centre"]
SMELLS = "Y48"  # hot plastic from the cabinet


def off_symptoms() -> list[Symptom]:
    """Of every kind."""
    return [
        one for kind in kinds().values() for one in kind.symptoms.values() if one.switch_off_first
    ]


def said(*line: Event | Finding, goal: Goal = "clear") -> Advice:
    return advise(case(*line), "mill", kinds(), goal=goal, worlds=200)


def offers_running(advice: Advice) -> bool:
    """Whether any step turns or feeds the machine."""
    for step in advice.steps:
        if step.sort in ("observe", "measure") and step.check:
            stages = MILL.checks[step.check].stages
            if min(RANK.get(stage, 0) for stage in stages) >= RANK["power_up"]:
                return True
    return any(step.sort == "try_again" for step in advice.steps)


def stays(*line: Event | Finding) -> bool:
    made = case(*line)
    return bool(stays_off(made, standing(made, "mill", MILL)))


def dead() -> tuple[Finding, ...]:
    """All looks that clear it, passed."""
    return passed(*(one.id for one in dead_looks_at(MILL.symptoms[SMELLS], MILL)))


def test_every_kind_has_troubles_that_mean_off_and_each_can_be_cleared_dead():
    assert len(off_symptoms()) >= 4
    for kind in kinds().values():
        for symptom in kind.symptoms.values():
            if symptom.switch_off_first:
                assert dead_looks_at(symptom, kind), symptom.id


@pytest.mark.parametrize("goal", ["right", "like_new", "just_running"])
def test_it_holds_for_every_level(goal):
    advice = said(signed("running"), told(SMELLS), goal=goal)
    assert advice.switch_off.startswith("Switch it off now")
    assert not offers_running(advice)
    assert any("off, and it stays off" in held.reason for held in advice.held)


def test_it_holds_for_every_other_trouble_of_the_machine():
    made = case(told("Y34"), signed("running"))
    alone = advise(made, "mill", kinds(), goal="clear", worlds=200)
    assert not alone.switch_off
    assert offers_running(alone)
    smells = Happened(id="u", event=told(SMELLS), place=0)
    both = replace(made, happened=(*made.happened, smells))
    other = advise(both, "mill", kinds(), goal="clear", trouble="t", worlds=200)
    assert "hot plastic" in other.switch_off
    assert not offers_running(other)


def test_a_try_that_passes_lifts_nothing_by_itself():
    line = (told(SMELLS), signed("running"), tried(True))
    assert stays(*line)
    assert not said(*line).met
    assert said(*line).switch_off


def test_dead_looks_that_passed_lift_it_and_one_that_is_missing_does_not():
    looks = dead()
    assert len(looks) > 1
    assert not stays(told(SMELLS), *looks)
    for left_out in range(len(looks)):
        assert stays(told(SMELLS), *looks[:left_out], *looks[left_out + 1 :])


def test_a_dead_look_that_found_something_keeps_it_off():
    first, *rest = dead()
    assert first.check is not None
    assert stays(told(SMELLS), look(first.check, "seen"), *rest)


def test_once_cleared_dead_and_gone_later_work_does_not_bring_it_back():
    looks = dead()
    fault = next(iter(MILL.checks[looks[0].check or ""].links))
    way = MILL.fixes[fault][0].way
    cleared = (told(SMELLS), *looks, tried(True))
    assert not stays(*cleared)
    assert not stays(*cleared, did(fault, way))
    assert stays(told(SMELLS), *looks, did(fault, way)), "worked on before it was tried: look again"


def test_a_trouble_of_another_machine_keeps_this_one_off_not():
    assert not stays(Trouble(lot="school", machine="lathe", symptom=SMELLS))


def test_gone_but_not_cleared_only_dead_looks_and_help_are_left():
    line = [told(SMELLS), signed("running"), tried(True)]
    wanted = {one.id for one in dead_looks_at(MILL.symptoms[SMELLS], MILL)}
    for _ in wanted:
        steps = said(*line).steps
        looks = [step.check for step in steps if step.check]
        assert set(looks) <= wanted
        assert steps[0].check in looks
        line += passed(str(steps[0].check))
    assert said(*line).met


def test_a_dead_look_that_failed_is_made_again_once_it_was_put_right():
    check = dead()[0].check or ""
    rest = [one for one in dead() if one.check != check]
    failed = [told(SMELLS), signed("running"), *rest, look(check, "seen"), tried(True)]
    first = said(*failed).steps[0]
    assert first.fault in MILL.checks[check].links
    done = did(str(first.fault), first.way)
    assert check in {step.check for step in said(*failed, done).steps}
    assert said(*failed, done, *passed(check)).switch_off == ""


def test_who_was_called_for_it_clears_it_and_a_try_before_he_came_does_not():
    helped = Act(lot="school", machine="mill", sort="call_for_help", trouble="t")
    assert not stays(told(SMELLS), helped, tried(True))
    assert stays(told(SMELLS), tried(True), helped)
    assert stays(told(SMELLS), helped)
    assert stays(told(SMELLS), helped, tried(False))
    for_another = replace(helped, trouble="u")
    assert stays(told(SMELLS), for_another, tried(True))
