"""Whatever is typed, a calculator answers or refuses; it never breaks, and never says safe."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Refusal
from retrue.cases.reckon.method import Field, Method, answered, methods
from retrue.cases.reckon.reckoning import flat

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
SIZES = [0.0, 1e-9, 1e-6, 0.01, 0.5, 0.9, 1.0, 3.0, 50.0, 90.0, 230.0, 400.0, 4000.0, 1e8, 1e12]


def values(field: Field) -> st.SearchStrategy[Any]:
    """Something that may be typed into a field."""
    if field.sort == "choice":
        return st.sampled_from([key for key, _ in field.choices])
    if field.sort == "flag":
        return st.booleans()
    if field.sort == "whole":
        return st.sampled_from([0, 1, 2, 3, 4, 20, 40, 50, 1000])
    if field.sort == "number":
        sizes = st.sampled_from(SIZES) | st.floats(0, 1e6, allow_nan=False)
        return sizes | sizes.map(lambda size: -size) if field.signed else sizes
    return st.sampled_from(["", "1, 2", "x", "0,0,900; 2000,0,1400; 2000,1200,1100", "200;400"])


def anything(one: Method) -> st.SearchStrategy[dict[str, Any]]:
    """Any fields of a calculator, filled with anything."""
    fields = {field.id: values(field) for field in one.fields if field.sort != "file"}
    return st.fixed_dictionaries({}, optional=fields)


@pytest.mark.parametrize("one", methods("move"), ids=lambda one: one.id)
def test_a_calculator_answers_or_refuses_and_its_answer_is_plain_json(one: Method) -> None:
    @settings(max_examples=50)
    @given(anything(one))
    def answers(typed: dict[str, Any]) -> None:
        try:
            made = answered(one, typed, CAUTIONS)
        except Refusal:
            return
        told = json.dumps(flat(made), allow_nan=False)
        assert "safe" not in made.headline
        assert "Infinity" not in told
        assert (made.answer == "go") == (not made.against and not made.missing)
        assert all(f.value is None or math.isfinite(f.value) for f in made.figures)
        assert all(one.remedy and one.reason for one in (*made.against, *made.missing))

    answers()
