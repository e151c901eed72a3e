"""Each caution stands before its step: read off the words of the kind's own list."""

from __future__ import annotations

import re

import pytest
from tests.cases.find.machines import LETTERS, kinds, signed, sought, told

from retrue.cases.find.cautions import before, general, words
from retrue.cases.find.options import Option, option_of

READY = (told("Y04"), signed("running"))  # tool pulls down in a heavy cut


def said(key: str, *line: object, fault: str = "") -> tuple[str, ...]:
    found = sought(*(line or READY))
    option = option_of(found, key, fault)
    assert option is not None
    return before(found, option)


def text(id: str) -> str:
    return words(kinds()[LETTERS["V"]].cautions[id])


@pytest.mark.parametrize("letter", LETTERS)
def test_every_look_that_a_caution_names_has_it_before_it(letter: str):
    kind = kinds()[LETTERS[letter]]
    symptom = min(kind.symptoms)
    found = sought(told(symptom), signed("running"), kind=kind.id)
    for caution in kind.cautions.values():
        for check in set(re.findall(r"C\d+", caution.shown_before)) & kind.checks.keys():
            option = option_of(found, check)
            assert option is not None
            assert words(caution) in before(found, option)


@pytest.mark.parametrize("letter", LETTERS)
def test_a_look_carries_its_own_caution(letter: str):
    kind = kinds()[LETTERS[letter]]
    found = sought(told(min(kind.symptoms)), signed("running"), kind=kind.id)
    for check in kind.checks.values():
        if check.caution:
            option = option_of(found, check.id)
            assert option is not None
            assert words(kind.cautions[check.caution]) in before(found, option)


def test_drawbar_springs_have_theirs_and_ask_for_a_second_person():
    told_before = said("F03:repair")
    assert text("X09") in told_before
    assert text("X32") in told_before


def test_hands_go_nowhere_before_the_switch_is_locked():
    assert text("X02") in said("F06:replace", told("Y01"), signed("running"))
    assert text("X02") in said("sign:apart")


def test_a_head_is_propped_before_its_balance_is_touched():
    assert text("X06") in said("F60:repair", told("Y10"), signed("running"))
    assert text("X07") in said("F60:repair", told("Y10"), signed("running"))


def test_a_swap_says_like_with_like_and_dead():
    found = sought(told("Y36"), signed("running"))
    option = option_of(found, "swap:axis_drive")
    assert option is not None
    assert text("X26") in before(found, option)


def test_live_looks_are_the_electricians_and_need_a_second_person():
    told_before = said("C73", told("Y36"), signed("running"))
    assert text("X05") in told_before
    assert text("X32") in told_before


def test_a_step_that_hurts_nobody_has_no_caution():
    found = sought(*READY)
    assert before(found, Option("help", "help:0", -1, 0.0, 0.0)) == ()


def test_every_caution_defers_to_local_code_and_licensed_practice():
    for kind in kinds().values():
        assert "does not allow anything" in general(kind)[0]
        for caution in kind.cautions.values():
            assert "local code and licensed practice" in words(caution)
