"""Whatever is typed, a calculator of first power answers or refuses, and never says safe."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Refusal
from retrue.cases.reckon.method import Field, Method, answered, method
from retrue.cases.reckon.reckoning import flat

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
ELECTRIC = ("insulation", "winding", "earth", "bus", "overload", "matching", "brake")
SIZES = [0.0, 1e-6, 0.05, 0.5, 1.0, 3.0, 12.0, 24.0, 90.0, 230.0, 400.0, 2000.0, 1e5, 1e8]
TEXTS = ["", "1, 2", "x", "30, 98; 60, 96.5; 90, 95.2", "frame 0.06; door 0.09", "AC-3 9; AC-1 25",
         "AC-9 9", "0, 12; 3000, 6", "3,0.2; -2,0.2", "resolver"]  # fmt: skip
WAITS = re.compile(r"\bwait\b|then touch|\bafter \d+ min", re.IGNORECASE)


def values(field: Field) -> st.SearchStrategy[Any]:
    """Something that may be typed into a field."""
    if field.sort == "choice":
        return st.sampled_from([key for key, _ in field.choices])
    if field.sort == "flag":
        return st.booleans()
    if field.sort == "whole":
        return st.sampled_from([0, 1, 2, 3, 8, 1965, 2005])
    if field.sort == "number":
        sizes = st.sampled_from(SIZES) | st.floats(0, 1e6, allow_nan=False)
        return sizes | sizes.map(lambda size: -size) if field.signed else sizes
    return st.sampled_from(TEXTS)


def anything(one: Method) -> st.SearchStrategy[dict[str, Any]]:
    """Any fields of a calculator, filled with anything."""
    return st.fixed_dictionaries({}, optional={field.id: values(field) for field in one.fields})


@pytest.mark.parametrize("id", ELECTRIC)
def test_a_calculator_answers_or_refuses_and_its_answer_is_plain_json(id: str) -> None:
    one = method(id)

    @settings(max_examples=40, deadline=None)
    @given(anything(one))
    def answers(typed: dict[str, Any]) -> None:
        try:
            made = answered(one, typed, CAUTIONS)
        except Refusal:
            return
        told = json.dumps(flat(made), allow_nan=False)
        assert "safe" not in told.lower()
        assert not WAITS.search(" ".join((made.headline, *made.notes, *made.assumed)))
        assert not any(WAITS.search(one.reason + one.remedy) for one in made.against)
        assert (made.answer == "go") == (not made.against and not made.missing)
        assert all(f.value is None or math.isfinite(f.value) for f in made.figures)
        assert all(f.why or f.value is not None for f in made.figures)
        assert all(one.remedy and one.reason for one in (*made.against, *made.missing))
        assert len({figure.key for figure in made.figures}) == len(made.figures)

    answers()


@pytest.mark.parametrize("id", ELECTRIC)
def test_nothing_typed_is_a_question_and_cautions_stand_before_it(id: str) -> None:
    made = answered(method(id), {}, CAUTIONS)
    assert made.answer == "get_first"
    assert [one.text for one in made.cautions] == [CAUTIONS[c].text for c in method(id).cautions]
    assert len(made.cautions) >= 2


@pytest.mark.parametrize("id", ELECTRIC)
def test_no_field_and_no_sentence_is_a_step_of_work_on_what_is_live(id: str) -> None:
    one = method(id)
    told = " ".join((one.what, *(f"{field.name} {field.help}" for field in one.fields)))
    assert not WAITS.search(told)
    assert not re.search(r"\blive\b(?! while it turns)", told)
    assert all(field.help.endswith(".") for field in one.fields)


def test_every_caution_of_the_seven_is_one_of_the_library() -> None:
    wanted = {id for one in ELECTRIC for id in method(one).cautions}
    assert wanted <= set(CAUTIONS)
    assert {"X02", "X03", "X04", "X05", "X22", "X28", "X06"} <= wanted


def typed_of(example: tuple[str, ...]) -> dict[str, str]:
    """Options of a command as typed fields; an option without a value is a yes."""
    typed: dict[str, str] = {}
    for word in example:
        if word.startswith("--"):
            typed[word[2:].replace("-", "_")] = "yes"
        else:
            typed[list(typed)[-1]] = word
    return typed


@pytest.mark.parametrize("id", ELECTRIC)
def test_the_example_of_a_calculator_runs_and_gives_numbers(id: str) -> None:
    one = method(id)
    made = answered(one, typed_of(one.example), CAUTIONS)
    assert made.answer == ("get_first" if id == "matching" else "go")
    assert len([figure for figure in made.figures if figure.value is not None]) >= 2
    assert made.sources
