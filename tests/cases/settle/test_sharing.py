"""What leaves the shop names nobody; what comes in is taken once, or not at all."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from tests.library import load

from retrue.base.refusals import Unreadable
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow
from retrue.cases.settle.sharing import print_of, read_shared, shared_text

CASE = ClosedCase(
    kind="turning_centre", age_years=20.0, level="right", end="sold", currency="EUR", year=2026,
    rows=(
        ComparedRow(sort="bucket", line="price", words="price", guessed=5200.0, was=4983.17),
        ComparedRow(sort="fault", line="F15", words="motor", guessed=0.31234, base=0.1, was=1.0),
        ComparedRow(
            sort="money", line="E11", words="removal", guessed=700.0, low=300.0, high=1800.0,
            said=(300.0, 700.0, 1800.0), was=1634.5,
        ),
    ),
)  # fmt: skip


@pytest.fixture(scope="module")
def kinds():
    return load()


def read(text, known=(), kinds=None):
    return read_shared(text.encode(), "theirs.json", known, kinds or {})


def test_what_leaves_comes_in_with_three_digits(kinds):
    taken = read(shared_text([CASE]), kinds=kinds)
    (case,) = taken.cases
    assert [row.was for row in case.rows] == [4980.0, 1.0, 1630.0]
    assert case.rows[2].said == (300.0, 700.0, 1800.0)
    assert (taken.known, taken.strange) == (0, ())


def test_rows_the_owner_leaves_out_do_not_leave():
    text = shared_text([CASE], {"price", "fault"})
    assert [row["line"] for row in json.loads(text)["cases"][0]["rows"]] == ["E11"]
    assert "498" not in text


def test_the_same_file_twice_and_ones_own_add_nothing(kinds):
    text = shared_text([CASE, replace(CASE, year=2025)])
    first = read(text, kinds=kinds)
    again = read(text, {print_of(one) for one in first.cases}, kinds)
    assert (len(first.cases), again.cases, again.known) == (2, (), 2)
    own = read(text, {print_of(CASE)}, kinds)
    assert (len(own.cases), own.known) == (1, 1)


@pytest.mark.parametrize("left", ["price", "fault", "money", "total"])
def test_a_case_of_which_something_stayed_home_is_still_the_same_case(kinds, left):
    own = replace(CASE, token="0123456789abcdef")
    assert read(shared_text([own], {left}), {print_of(own)}, kinds).known == 1
    again = replace(own, end="scrapped", year=2027)
    assert read(shared_text([again], {left}), {print_of(own)}, kinds).known == 1


def test_a_type_nobody_has_here_is_named(kinds):
    assert read(shared_text([replace(CASE, kind="loom")]), kinds=kinds).strange == ("loom",)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "not JSON"),
        ("[]", "no file of closed machines"),
        ('{"form": "closed machines", "schema": 1, "cases": 3}', "not a list"),
        ('{"form": "closed machines", "schema": 2, "cases": []}', "no file of closed machines"),
        ('{"form": "closed machines", "schema": 1, "cases": [{}]}', "case 1"),
    ],
)
def test_a_file_that_does_not_fit_is_refused_by_name(text, told):
    with pytest.raises(Unreadable, match=told):
        read(text)


def test_one_bad_row_refuses_the_whole_file():
    told = json.loads(shared_text([CASE, replace(CASE, year=2025)]))
    told["cases"][1]["rows"][0]["was"] = "many"
    with pytest.raises(Unreadable) as refused:
        read(json.dumps(told))
    assert [one.where for one in refused.value.problems] == ["theirs.json, case 2, row 1, was"]
