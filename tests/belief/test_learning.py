"""What outcomes say: against worked values, enumeration and a general library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from retrue.belief.learning import (
    NEAR,
    chance_of_all,
    learned_share,
    log_odds,
    offset,
    share_between,
    shifted,
)
from retrue.belief.scores import brier, log_score, reliability, tempered, trust

SHARE = st.floats(0.01, 0.99)


def test_three_of_five_after_two_of_ten():
    """Beta(2, 8), then 3 of 5. Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.4.

    Mean 0.3333, central 90 % 0.1527 to 0.5400, next two both 0.125: worked out from the Beta
    distribution; held against SciPy's.
    """
    assert round(learned_share(0.2, 3, 5, sample=10), 4) == 0.3333
    low, high = share_between(0.2, 3, 5, sample=10)
    assert (round(low, 4), round(high, 4)) == (0.1527, 0.5400)
    assert round(chance_of_all(0.2, 3, 5, 2, sample=10), 6) == 0.125
    after = stats.beta(5, 10)
    assert learned_share(0.2, 3, 5, sample=10) == pytest.approx(after.mean())
    assert (low, high) == pytest.approx(after.interval(0.9))
    assert chance_of_all(0.2, 3, 5, 2, sample=10) == pytest.approx(after.moment(2))


def rms_error(true: float, guess: float, looked: int, sample: float) -> float:
    """Root mean square error of the learned share, summed over all outcomes there can be."""
    came = np.arange(looked + 1)
    chance = stats.binom(looked, true).pmf(came)
    learned = np.array([learned_share(guess, one, looked, sample) for one in came])
    return float(np.sqrt(chance @ (learned - true) ** 2))


@pytest.mark.parametrize(
    ("looked", "of_a_guess", "of_a_sure_guess"),
    [(5, 0.145, 0.174), (20, 0.092, 0.127), (60, 0.057, 0.077)],
)
def test_a_guess_is_worth_few_outcomes_so_that_it_is_soon_outweighed(
    looked, of_a_guess, of_a_sure_guess
):
    """True share 0.30, guessed 0.10: error after 5, 20, 60 machines, by a simulation of our own.

    0.145, 0.092, 0.057 where the guess is worth 4 outcomes; 0.174, 0.127, 0.077 where it is
    worth 30. Summed exactly here; the simulation's last digit is its own.
    """
    assert rms_error(0.3, 0.1, looked, 4) == pytest.approx(of_a_guess, abs=0.0015)
    assert rms_error(0.3, 0.1, looked, 30) == pytest.approx(of_a_sure_guess, abs=0.0015)
    assert rms_error(0.3, 0.1, 0, 4) == pytest.approx(0.2)


def test_the_score_of_four_guesses():
    """Brier 1950, two classes: 0.9, 0.7, 0.2, 0.1 against yes, yes, no, yes: 0.2375 by hand."""
    assert brier([0.9, 0.7, 0.2, 0.1], [1, 1, 0, 1]) == pytest.approx(0.2375, abs=1e-12)
    assert brier([0.5] * 3, [1, 0, 1]) == 0.25
    assert math.isnan(brier([], []))
    assert math.isnan(log_score([], []))


@given(st.lists(st.tuples(SHARE, st.booleans()), min_size=1, max_size=30))
def test_the_log_score_is_that_of_the_bernoulli_distribution(pairs):
    shares, came = (np.array(side) for side in zip(*pairs, strict=True))
    assert log_score(shares, came) == pytest.approx(
        -float(np.mean(stats.bernoulli(shares).logpmf(came.astype(int))))
    )


def test_who_was_sure_and_wrong_is_not_ruined_for_ever():
    assert log_score([1.0], [0]) == pytest.approx(-math.log(NEAR))


@given(st.lists(st.tuples(st.integers(0, 9), st.booleans()), min_size=1, max_size=60))
def test_the_score_parts_into_reliability_resolution_and_what_cannot_be_known(pairs):
    """Murphy 1973: Brier = reliability - resolution + uncertainty, for shares of ten values."""
    shares = np.array([(place + 0.5) / 10 for place, _ in pairs])
    came = np.array([one for _, one in pairs], dtype=float)
    rows = reliability(shares, came, bins=10)
    rate, whole = came.mean(), len(pairs)
    assert sum(row.count for row in rows) == whole
    reliable = sum(row.count * (row.mean - row.came) ** 2 for row in rows) / whole
    resolved = sum(row.count * (row.came - rate) ** 2 for row in rows) / whole
    assert brier(shares, came) == pytest.approx(reliable - resolved + rate * (1 - rate))


def test_a_share_of_one_lies_in_the_last_range():
    assert [(row.low, row.high) for row in reliability([0.0, 1.0], [0, 1])] == [
        (0.0, 0.2), (0.8, 1.0),
    ]  # fmt: skip


@given(SHARE, st.lists(st.booleans(), min_size=1, max_size=12), st.floats(0.5, 30))
def test_without_findings_the_shift_is_that_of_the_counted_share(share, came, sample):
    moved = shifted(share, offset([share] * len(came), came, share, sample))
    assert moved == pytest.approx(learned_share(share, sum(came), len(came), sample), abs=1e-9)


@given(st.lists(SHARE, min_size=1, max_size=12), SHARE)
def test_what_came_as_often_as_was_said_moves_nothing(shares, centre):
    """Looking first at what is suspected biases nothing: the outcome is held against that."""
    assert offset(shares, shares, centre) == pytest.approx(0.0, abs=1e-9)


def test_outcomes_are_held_against_what_findings_had_said():
    sure = offset([0.9] * 6, [1] * 6, 0.2)
    surprised = offset([0.2] * 6, [1] * 6, 0.2)
    assert 0.0 < sure < surprised
    assert offset([0.9] * 6, [0] * 6, 0.2) < offset([0.2] * 6, [0] * 6, 0.2) < 0.0


@given(SHARE, st.floats(-5, 5))
def test_odds_are_multiplied_and_the_ends_stay(share, by):
    moved = shifted(share, by)
    assert log_odds(moved) - log_odds(share) == pytest.approx(by, abs=1e-6) or not (
        NEAR < moved < 1 - NEAR
    )
    assert (shifted(0.0, by), shifted(1.0, by)) == (0.0, 1.0)


@given(st.lists(st.tuples(SHARE, SHARE, st.booleans()), min_size=1, max_size=20))
def test_the_weight_is_the_one_with_the_least_score(rows):
    """Against a search over a thousand weights, with the start as so many more outcomes."""
    shares, base, came = (np.array(side, dtype=float) for side in zip(*rows, strict=True))
    weight = trust(shares, base, came)

    def score(w):
        drawn = np.array([tempered(s, b, w) for s, b in zip(shares, base, strict=True)])
        return float(np.sum((drawn - came) ** 2)) + 0.4 * (w - 0.5) ** 2

    assert score(weight) <= min(score(w) for w in np.linspace(0, 1, 101)) + 1e-9


def test_a_model_that_is_right_is_trusted_and_one_that_is_wrong_is_not():
    chance = np.random.Generator(np.random.Philox(7))
    said, base = chance.uniform(0, 1, 400), np.full(400, 0.5)
    right, wrong = chance.uniform(0, 1, 400) < said, chance.uniform(0, 1, 400) < base
    assert trust(said, base, right) > 0.85
    assert trust(said, base, wrong) < 0.15
    assert trust([], [], []) == 0.5
    with pytest.raises(ValueError, match="its outcome"):
        trust([0.5], [0.5], [])


def test_an_outcome_of_half_a_weight_counts_half():
    """The Beta mean of counts that need not be whole: Gelman et al. 2013, section 2.4."""
    moved = shifted(0.2, offset([0.2] * 6, [1, 1, 1, 1, 0, 0], 0.2, 10, [0.5] * 6))
    assert moved == pytest.approx(learned_share(0.2, came=2.0, looked=3.0, sample=10))
    assert offset([0.2], [1], 0.2, weights=[0.0]) == pytest.approx(0.0)
