"""What fault-finding says to a person, and that its numbers keep their bounds."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from tests.cases.find.machines import (
    LETTERS,
    case,
    did,
    hunch,
    kinds,
    look,
    passed,
    signed,
    teardown,
    told,
    tried,
)

from retrue.base.refusals import Unknown
from retrue.cases.find.advice import Advice
from retrue.cases.find.advice_json import flat, to_json
from retrue.cases.find.advise import advise
from retrue.cases.find.options import RANK
from retrue.cases.find.reasons import how_likely
from retrue.cases.find.rules import blocked
from retrue.cases.find.seek import Sought, seek
from retrue.cases.find.steps import offered

SYMPTOMS = [
    pytest.param(kind, symptom, id=f"{letter}-{symptom}")
    for letter, kind in LETTERS.items()
    for symptom in sorted(kinds()[kind].symptoms)
]


@cache
def said(*line: object, goal: str = "clear") -> Advice:
    """What is advised on a case, worked out once for all who only read it."""
    return advise(case(*line), "mill", kinds(), goal=goal, worlds=400)


@cache
def running(kind: str, symptom: str) -> Sought:
    """One trouble of a machine that may run; sought once, read by two tests."""
    made = case(told(symptom), signed("running"), kind=kind)
    return seek(made, "mill", kinds(), goal="clear", worlds=200)


@pytest.mark.parametrize(("kind", "symptom"), SYMPTOMS)
def test_every_trouble_of_every_kind_gets_an_answer_that_keeps_the_rules(kind: str, symptom: str):
    found = running(kind, symptom)
    steps = offered(found)
    assert steps.options
    for option in steps.options:
        assert blocked(found, option) is None
    for one in steps.held:
        assert one.block.reason
        assert one.block.remedy


@pytest.mark.parametrize(("kind", "symptom"), SYMPTOMS)
def test_no_price_lies_below_what_knowing_everything_would_cost(kind: str, symptom: str):
    found = running(kind, symptom).found
    assert found.bound <= found.plain + 1e-6
    assert all(move.value >= found.bound - 1e-6 for move in found.moves)
    assert found.moves[0].value <= found.plain + 1e-6


def test_the_answer_comes_first_with_its_goal_and_its_price():
    advice = said(told("Y01", words="it growls"), signed("running"))
    first = advice.steps[0]
    assert advice.title == "it growls"
    assert first.text in advice.headline
    assert "until this trouble is gone" in first.why
    assert advice.expected_cost == first.expected_cost
    far = [step.expected_cost for step in advice.steps if not step.tie]
    assert far == sorted(far)
    assert first.expected_cost <= 1.01 * min(step.expected_cost for step in advice.steps) + 1e-9


def test_a_level_says_which_level():
    advice = said(signed("running"), goal="right")
    assert "until it is right" in advice.steps[0].why
    assert advice.trouble is None
    assert advice.title == "until it is right"


def test_a_look_tells_which_suspects_it_parts_and_in_no_bare_numbers():
    advice = said(told("Y01"), signed("running"))
    looks = [step for step in advice.steps if step.check]
    assert looks
    for step in looks:
        for one in step.separates:
            assert min(one.if_yes, one.if_no) - 1e-9 <= one.now <= max(one.if_yes, one.if_no) + 1e-9
            assert "%" not in one.words
            assert how_likely(one.now) in one.words


def test_of_steps_that_are_as_good_the_one_that_may_end_it_comes_first():
    for symptom in ("Y02", "Y34", "Y39"):
        tied = [step for step in said(told(symptom), signed("running")).steps if step.tie]
        looks = [step.check is not None for step in tied]
        assert looks == sorted(looks)


def test_a_group_that_is_likely_right_is_proved():
    kind = kinds()[LETTERS["V"]]
    group = next(g for g in kind.groups.values() if "spindle" in g.subsystems)
    mine = [f.id for f in kind.faults.values() if f.subsystem in group.subsystems]
    seen = [teardown(fault, False) for fault in mine if fault != "F09"]
    clear = passed("C113", "C33", "C116", "C108", "C112")
    steps = said(signed("running"), *seen, *clear, goal="right").steps
    assert f"group:{group.id}" in {step.id for step in steps}


def test_a_proved_group_is_left_alone():
    proofs = [tried(True, group, "right") for group in kinds()[LETTERS["V"]].groups]
    assert said(signed("running"), *proofs, goal="right").met
    left = said(signed("running"), *proofs[1:], goal="right")
    assert not left.met


def test_help_can_always_be_called():
    for line in ((told("Y01"),), (told("Y53"),), (told("Y36"), signed("running"))):
        assert any(step.id == "help" for step in said(*line).steps)


def test_a_gone_trouble_is_met_and_asks_for_nothing():
    advice = said(told("Y01"), signed("running"), did("F06", "replace", "replace"), tried(True))
    assert advice.met
    assert advice.steps == ()
    assert advice.suspects == ()


def test_after_an_act_it_is_tried_again():
    advice = said(told("Y01"), signed("running"), did("F06", "replace", "replace"))
    assert "again" in {step.id for step in advice.steps}


def test_still_there_after_it_was_done_speaks_against_what_was_treated():
    before = {s.fault: s.share for s in said(told("Y01"), signed("running")).suspects}
    line = (told("Y01"), signed("running"), did("F06", "replace", "replace"), tried(False))
    after = {s.fault: s.share for s in said(*line).suspects}
    assert after.get("F06", 0.0) < 0.2 * before["F06"]
    assert after["F01"] > before["F01"]


def test_a_look_that_was_answered_is_not_offered_again():
    line = (told("Y01"), signed("running"), look("C20", "seen"))
    assert "C20" not in {step.id for step in said(*line).steps}


def test_suspects_hang_on_what_was_believed_before_by_a_factor_of_two():
    for one in said(told("Y01"), signed("running")).suspects:
        odds = one.share / (1.0 - one.share)
        assert one.low / (1.0 - one.low) == pytest.approx(odds / 2)
        assert one.high / (1.0 - one.high) == pytest.approx(2 * odds)


def test_a_severe_suspect_is_told_however_unlikely():
    line = (told("Y36"), signed("running"), look("C31", "not_seen"), look("C32", "not_seen"))
    assert "F15" in {one.fault for one in said(*line).suspects}


def test_the_hunch_is_priced_against_the_best_step():
    advice = said(told("Y01"), signed("running"), hunch("F01"))
    assert advice.hunch is not None
    assert advice.hunch.expected_cost >= advice.hunch.best_cost
    assert "Your hunch" in advice.hunch.text
    assert said(told("Y01")).hunch is None


def test_a_hunch_that_cannot_be_behind_it_is_only_paid_for():
    advice = said(told("Y01"), signed("running"), hunch("F104"))  # a work light
    assert advice.hunch is not None
    assert advice.hunch.expected_cost > advice.hunch.best_cost


def test_a_trouble_that_means_off_says_so_before_any_number():
    advice = said(told("Y53"), signed("running"))
    assert advice.switch_off.startswith("Switch it off now")
    assert "licensed practice" in advice.switch_off
    assert said(told("Y01"), signed("running")).switch_off == ""
    assert said(told("Y53"), signed("running"), *passed("C35")).switch_off == ""


def test_every_look_with_a_caution_has_it_before_it():
    kind = kinds()[LETTERS["V"]]
    advice = said(signed("running"), goal="right")
    for step in advice.steps:
        if step.check and kind.checks[step.check].caution:
            words = kind.cautions[kind.checks[step.check].caution].text
            assert any(words in caution for caution in step.cautions)
    assert any("does not say a machine is safe" in one for one in advice.cautions)


def test_live_work_is_the_electricians_and_says_so():
    found = seek(case(told("Y36"), signed("running")), "mill", kinds(), goal="clear", worlds=200)
    live = [one for one in found.looks.values() if one.check.who == "electrician"]
    assert live
    for one in live:
        assert RANK[one.needs] >= 1 or one.stage in ("photo", "call")


def test_the_same_case_gives_the_same_bytes():
    made = case(told("Y01"), signed("running"), look("C20", "seen"))
    one, again = (advise(made, "mill", kinds(), goal="clear", worlds=400) for _ in range(2))
    assert to_json(one) == to_json(again)


def test_the_order_of_findings_of_one_day_changes_nothing():
    looks = (look("C20", "seen"), look("C47", "not_seen"))
    one, other = case(told("Y01"), *looks), case(told("Y01"), *reversed(looks))
    renamed = {"f001": "f002", "f002": "f001"}
    other = replace(
        other, findings=tuple(replace(k, id=renamed.get(k.id, k.id)) for k in other.findings)
    )
    answers = [advise(c, "mill", kinds(), goal="clear", worlds=400) for c in (one, other)]
    assert answers[0].steps == answers[1].steps


def test_json_is_flat_and_says_why_a_field_is_empty():
    told_flat = flat(said(told("Y01"), signed("running")))
    assert {"steps", "bound", "guess_cost", "suspects", "schema", "currency"} <= told_flat.keys()
    asked = {
        "kind",
        "text",
        "expected_cost",
        "cost",
        "minutes",
        "separates",
        "cautions",
        "tie",
    }
    for step in told_flat["steps"]:
        assert asked <= step.keys()
    for suspect in told_flat["suspects"]:
        assert {"fault", "words", "low", "high"} <= suspect.keys()
    json.loads(to_json(said(told("Y01"))))
    empty = [f"steps.{i}.check" for i, s in enumerate(told_flat["steps"]) if s["check"] is None]
    assert set(empty) <= told_flat["why"].keys()
    assert "hunch" in told_flat["why"]


def test_a_machine_a_goal_or_a_trouble_nobody_knows_is_refused():
    made = case(told("Y01"))
    with pytest.raises(Unknown, match="no machine"):
        advise(made, "mil", kinds(), goal="clear")
    with pytest.raises(Unknown, match="no goal"):
        advise(made, "mill", kinds(), goal="perfect")
    with pytest.raises(Unknown, match="nobody has told"):
        advise(case(), "mill", kinds(), goal="clear")
    with pytest.raises(Unknown, match="nobody has told"):
        advise(made, "mill", kinds(), goal="clear", trouble="other")
