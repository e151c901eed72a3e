"""What was said of shares on average, and what is refused where one of several is no number."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import brentq

from retrue.base.refusals import Unusable
from retrue.belief.base_odds import fault_table, solve_base
from retrue.belief.learning import learned_share, offset, share_between, shifted
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


def test_a_judged_share_is_worth_four_outcomes_where_nobody_says_how_many() -> None:
    """Beta(4 x 0.2, 4 x 0.8), then 3 of 4: mean 3.8 / 8 (Gelman et al. 2013, section 2.4)."""
    assert learned_share(0.2, came=3, looked=4) == pytest.approx(0.475)
    assert shifted(0.2, offset([0.2] * 4, [1, 1, 1, 0], 0.2)) == pytest.approx(0.475)
    assert share_between(0.2, 3, 4) == pytest.approx(stats.beta(3.8, 4.2).interval(0.9))


@pytest.mark.parametrize("prior", [0.001, 0.02, 0.5, 0.97])
def test_a_base_is_found_by_the_library_too_however_far_the_raisers_push(prior: float) -> None:
    """The same root by scipy's bracketing: the mean over two histories of one in ten and nine."""
    raisers, shares = (400.0, 0.01), (0.1, 0.9)
    weights = np.multiply.outer((0.9, 0.1), (0.1, 0.9))

    def gap(base: float) -> float:
        return float((weights * fault_table(base, raisers)).sum()) - prior

    assert solve_base(prior, raisers, shares) == pytest.approx(brentq(gap, -30.0, 30.0, xtol=1e-13))
