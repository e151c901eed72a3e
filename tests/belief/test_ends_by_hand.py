"""What was said of shares on average, and what is refused where one of several is no number."""

from __future__ import annotations

import math

import pytest

from retrue.base.refusals import Unusable
from retrue.belief.ratios import group_shifts
from retrue.belief.scores import reliability


def test_a_range_of_shares_says_what_was_said_in_it_on_average_and_how_often_it_came() -> None:
    """By hand: 0.10 and 0.16, one of the two came; 0.90, which came."""
    low, high = reliability([0.10, 0.90, 0.16], [False, True, True])
    assert (low.count, low.mean, low.came) == pytest.approx((2, 0.13, 0.5))
    assert (high.count, high.mean, high.came) == pytest.approx((1, 0.90, 1.0))


@pytest.mark.parametrize(
    ("ratios", "weights"),
    [([0.1, math.nan], [1.0, 1.0]), ([0.1, 0.2], [1.0, math.inf]), ([0.1, 0.2], [1.0, -1.0])],
)
def test_one_that_is_no_number_is_not_hidden_by_another(
    ratios: list[float], weights: list[float]
) -> None:
    with pytest.raises(Unusable, match="not a number"):
        group_shifts(ratios, [("all",)] * 2, weights)


def test_an_outcome_of_no_weight_moves_nothing() -> None:
    found = group_shifts([0.4, 9.0], [("all",)] * 2, [1.0, 0.0])
    assert found["all"] == pytest.approx(group_shifts([0.4], [("all",)])["all"])
