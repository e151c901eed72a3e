"""What moves the price: re-weighted worlds against worlds drawn anew."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.choose.moving import (
    condition_moves,
    odds_weights,
    price_without,
    rank,
    reweighted_price,
    shifted_price,
)
from retrue.choose.walkaway import best, walk_away

COSTS = np.array([4_000.0, 2_500.0, 1_200.0, 600.0, 300.0])
CHANCES = np.array([0.15, 0.3, 0.25, 0.5, 0.4])


def worlds(count, chances=CHANCES, seed=1):
    source = stream(seed, "moving")
    faults = source.random((5, count)) < np.asarray(chances)[:, None]
    bill = COSTS @ faults + source.normal(0, 800, count)
    return np.array([9_000 - bill, 7_000 - 0.5 * bill]), faults


@pytest.mark.parametrize("ratio", [0.5, 2.0])
def test_re_weighting_for_other_odds_gives_the_price_of_worlds_drawn_with_those_odds(ratio):
    gains, faults = worlds(100_000)
    other = CHANCES.copy()
    other[0] = ratio * other[0] / (1 - other[0] + ratio * other[0])
    fresh, _ = worlds(100_000, other, seed=2)
    moved = reweighted_price(gains, odds_weights(faults[0], ratio, 0.15), odds=0.8, k=1.16)
    wanted = best(fresh, odds=0.8, k=1.16, step=1)[1]
    assert moved.price == pytest.approx(wanted.exact, abs=6 * wanted.error)


def test_weights_of_other_odds_have_mean_one_and_do_multiply_the_odds():
    weights = odds_weights([True] * 3 + [False] * 7, 2.0, 0.3)
    assert weights.mean() == pytest.approx(1)
    share = weights[:3].sum() / 10
    assert share / (1 - share) == pytest.approx(2 * 0.3 / 0.7)


@given(
    some.integers(0, 1_000), some.sampled_from([60, 100, 101, 350, 1_234]), some.floats(0.1, 0.9)
)
def test_many_conditions_at_once_give_what_each_gives_alone(seed, count, odds):
    gains, faults = worlds(count, seed=seed)
    ranked = rank(gains)
    fast = condition_moves(ranked, faults, odds=odds, k=1.16, ratios=(0.5, 2.0, 7.0))
    for condition, states in enumerate(faults):
        for column, ratio in enumerate((0.5, 2.0, 7.0)):
            weights = odds_weights(states, ratio, float(states.mean()))
            slow = reweighted_price(ranked, weights, odds=odds, k=1.16).price
            assert fast[condition, column] == pytest.approx(slow, abs=1e-6)


def test_more_of_a_costly_fault_lowers_the_price_and_less_raises_it():
    gains, faults = worlds(20_000)
    now = best(gains, odds=0.8, k=1.16, step=1)[1].exact
    moves = condition_moves(gains, faults, odds=0.8, k=1.16)
    assert (moves[:3, 0] > now).all()
    assert (moves[:3, 1] < now).all()


def test_a_condition_that_costs_nothing_moves_nothing_much():
    gains, _ = worlds(20_000)
    barren = stream(9, "barren").random((1, 20_000)) < 0.3
    now = best(gains, odds=0.8, k=1.16, step=1)[1]
    assert condition_moves(gains, barren, odds=0.8, k=1.16) == pytest.approx(
        now.exact, abs=4 * now.error
    )


def test_taking_a_finding_out_gives_the_price_of_worlds_that_never_knew_it():
    gains, faults = worlds(200_000)
    likelihood = np.where(faults[0], 0.9, 0.2)
    knows = stream(3, "finding").random(200_000) < likelihood
    wanted = best(gains, odds=0.8, k=1.16, step=1)[1]
    informed = best(gains[:, knows], odds=0.8, k=1.16, step=1)[1]
    found = price_without(gains[:, knows], likelihood[knows], odds=0.8, k=1.16)
    assert informed.exact < wanted.exact - 10 * wanted.error
    assert found.price == pytest.approx(wanted.exact, abs=8 * wanted.error)
    assert 0 < found.worlds_left < knows.sum()


def test_a_finding_that_was_impossible_cannot_be_taken_out():
    with pytest.raises(Unusable):
        price_without([[1.0, 2.0]], [0.0, 1.0], odds=0.8, k=1.0)


def test_a_number_that_adds_the_same_to_every_gain_moves_the_price_by_it_over_k():
    gains, _ = worlds(5_000)
    now = best(gains, odds=0.8, k=1.25, step=1)[1].exact
    assert shifted_price(gains, 500.0, odds=0.8, k=1.25) == pytest.approx(now + 400)


def test_a_number_may_move_each_option_and_each_world_differently():
    gains, faults = worlds(5_000)
    shift = np.array([[-10_000.0], [0.0]]) - 300.0 * faults[3]
    wanted = walk_away(gains[1] - 300.0 * faults[3], odds=0.8, k=1.16, step=1).exact
    assert shifted_price(gains, shift, odds=0.8, k=1.16) == pytest.approx(wanted)


def test_the_option_that_carries_the_price_may_change():
    gains = np.array([[5_000.0] * 9 + [-4_000.0], [4_500.0] * 10])
    bad = np.array([False] * 9 + [True])
    plain = reweighted_price(gains, np.ones(10), odds=0.8, k=1.0)
    rare = reweighted_price(gains, odds_weights(bad, 0.1, 0.1), odds=0.8, k=1.0)
    assert (plain.option, rare.option) == (1, 0)


@pytest.mark.parametrize("ratio", [0.0, -1.0, np.inf])
def test_odds_can_only_be_multiplied_by_a_number_above_zero(ratio):
    with pytest.raises(Unusable):
        odds_weights([True], ratio, 0.5)
    with pytest.raises(Unusable):
        condition_moves([[1.0]], [[True]], odds=0.8, k=1.0, ratios=(ratio,))
