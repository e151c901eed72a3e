"""A closed case is read back as it was written; each field that does not fit is named."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from retrue.base.refusals import Unreadable
from retrue.cases.settle.closed_case import MOST_ROWS, ClosedCase, ComparedRow, case_text, read_case

ROWS = (
    ComparedRow(
        sort="fault", line="F15", words="motor", guessed=0.3, base=0.1, was=1.0, stands="was"
    ),
    ComparedRow(
        sort="money", line="E11", words="removal", guessed=700.0, low=350.0, high=1500.0,
        said=(300.0, 700.0, 1800.0), was=1600.0, stands="above",
    ),
    ComparedRow(sort="bucket", line="parts", words="parts", was=240.0, stands="not_foreseen"),
)  # fmt: skip
CASE = ClosedCase(
    kind="turning_centre", age_years=20.0, level="right", end="sold", currency="EUR", year=2026,
    rows=ROWS, brier=0.49, base_brier=0.81,
)  # fmt: skip


def test_it_comes_back_as_it_was():
    assert read_case(case_text(CASE)) == CASE
    assert case_text(read_case(case_text(CASE))) == case_text(CASE)


@pytest.mark.parametrize(
    ("field", "value", "where"),
    [
        ("schema", 2, "schema"),
        ("kind", "", "kind"),
        ("kind", 7, "kind"),
        ("year", "2026", "year"),
        ("year", True, "year"),
        ("token", "me", "token"),
        ("age_years", "old", "age_years"),
        ("rows", {}, "rows"),
        ("seller", "somebody", "seller"),
    ],
)
def test_a_field_that_does_not_fit_is_named(field, value, where):
    told = json.loads(case_text(CASE)) | {field: value}
    with pytest.raises(Unreadable) as refused:
        read_case(json.dumps(told), "theirs.json")
    assert f"theirs.json, {where}" in {problem.where for problem in refused.value.problems}


@pytest.mark.parametrize(
    ("place", "field", "value"),
    [
        (0, "sort", "price"),
        (0, "guessed", 1.5),
        (0, "was", float("1e400")),
        (1, "said", [3, 2, 1]),
        (1, "said", [1, 2]),
        (1, "said", [0, 0, 0]),
        (1, "low", True),
        (2, "stands", "perhaps"),
        (2, "words", None),
        (2, "whom", "a name"),
    ],
)
def test_a_row_that_does_not_fit_is_named_with_its_number(place, field, value):
    told = json.loads(case_text(CASE))
    told["rows"][place][field] = value
    with pytest.raises(Unreadable) as refused:
        read_case(json.dumps(told))
    assert [problem.where for problem in refused.value.problems] == [f"row {place + 1}, {field}"]


@pytest.mark.parametrize("text", ["", "[", "[]", "null", "7", '"sold"', "[[[[" * 50000])
def test_what_is_no_case_is_refused(text):
    with pytest.raises(Unreadable):
        read_case(text)


def test_more_rows_than_a_machine_has_are_refused():
    told = json.loads(case_text(CASE))
    told["rows"] = told["rows"][:1] * (MOST_ROWS + 1)
    with pytest.raises(Unreadable, match="at most"):
        read_case(json.dumps(told))


def test_a_row_that_is_no_row_is_named():
    told = json.loads(case_text(CASE)) | {"rows": ["text"]}
    with pytest.raises(Unreadable, match="row 1"):
        read_case(json.dumps(told))


def test_other_rows_are_another_text():
    assert case_text(replace(CASE, rows=CASE.rows[:2])) != case_text(CASE)
