"""Figures that came out dearer or cheaper move their groups, and no outcome counts twice."""

from __future__ import annotations

import math

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.belief.ratios import group_shifts, spread_after


def conditional(ratios, groups, weights, sample):
    """The same by the covariance of a normal (Rasmussen and Williams 2006, equation 2.25)."""
    names = sorted({name for one in groups for name in one})
    prior = 1.0 / (sample * len(groups[0]))
    shares = np.array([[name in one for name in names] for one in groups], dtype=float)
    noise = np.diag(1.0 / np.asarray(weights))
    gain = prior * shares.T @ np.linalg.inv(prior * shares @ shares.T + noise)
    return dict(zip(names, gain @ np.asarray(ratios), strict=True))


def test_shares_are_those_of_a_normal_given_its_outcomes():
    chance = np.random.Generator(np.random.Philox(5))
    groups = [("all", f"f{k % 3}", f"f{k % 3} l{k % 5}") for k in range(14)]
    ratios, weights = chance.normal(0.3, 0.5, 14), chance.uniform(0.3, 1.0, 14)
    found = group_shifts(ratios, groups, weights)
    other = conditional(ratios, groups, weights, 4.0)
    assert found.keys() == other.keys()
    for name, value in found.items():
        assert value == pytest.approx(other[name], abs=1e-12)


@pytest.mark.parametrize("count", [1, 4, 20])
def test_a_lone_line_moves_as_the_mean_of_a_normal_worth_four_outcomes(count):
    """Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, equation 2.12: n / (n + 4) of it."""
    found = group_shifts([0.5] * count, [("all", "family", "line")] * count)
    assert sum(found.values()) == pytest.approx(0.5 * count / (count + 4.0))


def test_sisters_move_less_than_the_line_and_others_least():
    found = group_shifts([0.6] * 6, [("all", "family", "line")] * 6)
    line, sister, other = sum(found.values()), found["all"] + found["family"], found["all"]
    assert line > sister > other > 0
    assert sister == pytest.approx(2 * line / 3)


def test_half_a_weight_is_half_an_outcome():
    twice = group_shifts([0.4, 0.4], [("all",)] * 2, [0.5, 0.5])
    assert twice["all"] == pytest.approx(group_shifts([0.4], [("all",)])["all"])


def test_what_does_not_go_together_is_refused():
    with pytest.raises(Unusable, match="do not go together"):
        group_shifts([0.1], [])
    with pytest.raises(Unusable, match="do not go together"):
        group_shifts([0.1, 0.2], [("all",), ("all", "more")])
    with pytest.raises(Unusable, match="not a number"):
        group_shifts([math.nan], [("all",)])


def test_outcomes_as_wide_as_judged_leave_the_spread_as_it_is():
    assert spread_after(0.3, [0.3, -0.3, 0.3, -0.3]) == pytest.approx(0.3)
    assert spread_after(0.3, [0.0] * 12) == pytest.approx(0.3 * math.sqrt(4 / 16))
    assert spread_after(0.3, [0.9], [0.5]) == pytest.approx(
        math.sqrt((4 * 0.09 + 0.5 * 0.81) / 4.5)
    )
