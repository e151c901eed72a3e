from __future__ import annotations

from decimal import Decimal

import pytest
from starlette.datastructures import FormData

from retrue.base.refusals import Unusable
from retrue.web.forms import Typed


def form(**fields: str) -> Typed:
    return Typed(FormData(fields))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1250,50", "1250.50"),
        ("1250.50", "1250.50"),
        ("6\u202f150", "6150"),
        ("6'150,25", "6150.25"),
        (",5", "0.5"),
    ],
)
def test_one_comma_or_one_point_is_the_decimal_mark(text: str, value: str) -> None:
    typed = form(bid_now=text)
    assert typed.amount("bid_now") == Decimal(value)
    assert not typed.problems


@pytest.mark.parametrize("text", ["1.250,50", "1,250.50", "1.2.3", "12,5,0", "twelve", "4 kg"])
def test_what_could_be_read_two_ways_is_refused_and_named(text: str) -> None:
    typed = form(bid_now=text)
    assert typed.amount("bid_now") is None
    assert [problem.where for problem in typed.problems] == ["bid_now"]


def test_an_empty_field_means_that_nobody_has_said() -> None:
    assert form(bid_now=" ").amount("bid_now") is None
    assert form().share("premium") is None
    assert form(loading_help="").yes_no("loading_help") is None


def test_per_cent_becomes_a_share() -> None:
    assert form(premium="18").share("premium") == pytest.approx(0.18)


def test_a_share_over_one_hundred_per_cent_is_refused() -> None:
    typed = form(premium="180")
    assert typed.share("premium") is None
    assert typed.problems[0].where == "premium"


def test_every_wrong_field_is_gathered_before_anything_is_refused() -> None:
    typed = form(bid_now="-3", premium="x", rivals="1.5")
    typed.amount("bid_now"), typed.share("premium"), typed.whole("rivals")
    with pytest.raises(Unusable) as refusal:
        typed.check()
    assert {problem.where for problem in refusal.value.problems} == {"bid_now", "premium", "rivals"}
    assert all(problem.remedy for problem in refusal.value.problems)
