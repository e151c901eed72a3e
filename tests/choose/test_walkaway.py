"""The walk-away price against a worked lot, its own definition and its own error."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from hypothesis.extra import numpy as arrays

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.choose.normal import inverse_normal, normal_chance
from retrue.choose.ranked import Ranked, effective_worlds, weighted_quantile
from retrue.choose.walkaway import best, down_to_step, prices, sorry_chance, walk_away

money = some.floats(-50_000, 50_000).map(lambda value: round(value, 2))
gains = arrays.arrays(np.float64, some.integers(1, 60), elements=money)


def normal_worlds(mean, sd, worlds=20_001):
    return mean + sd * inverse_normal((np.arange(worlds) + 0.5) / worlds)


def test_a_lot_of_mean_12750_and_deviation_4500_carries_8970_all_in_and_7730_on_the_hammer():
    """Lot arithmetic of a keeper and a surplus machine; invented figures, common practice.

    12 750 - 0.84 x 4 500 = 8 970 all in; at 16 % premium 7 732.76, on a step of 10 it is 7 730.
    """
    price = walk_away(
        normal_worlds(12_750, 4_500), odds=float(normal_chance(0.84)), k=1.16, step=10
    )
    assert price.all_in == pytest.approx(8_970, abs=1)
    assert price.amount == 7_730
    assert price.limited_by == "odds"
    on_the_mean = down_to_step(price.mean / 1.16, 10)
    assert on_the_mean - price.amount == 3_260


def test_when_most_worlds_lose_a_little_and_few_win_much_the_mean_does_not_carry_the_price():
    price = walk_away([100.0] * 9 + [100_000.0], odds=0.8, k=1.0, step=1)
    assert (price.amount, price.limited_by) == (100.0, "odds")


def test_when_a_rare_ruin_pulls_the_mean_below_the_odds_the_mean_rules():
    price = walk_away([1_000.0] * 9 + [-5_000.0], odds=0.8, k=1.0, step=1)
    assert (price.amount, price.limited_by) == (400.0, "mean")


def test_an_option_worse_than_the_alternative_carries_no_price():
    price = walk_away([-10.0, -20.0], odds=0.8, k=1.0, step=10)
    assert (price.amount, price.all_in, price.limited_by) == (0.0, 0.0, "nothing_gained")


@given(gains, some.floats(0.05, 0.95), some.floats(1, 1.5))
def test_at_the_walk_away_price_the_chance_of_being_sorry_is_no_more_than_allowed(gain, odds, k):
    price = walk_away(gain, odds=odds, k=k, step=10)
    if price.amount > 0:
        assert sorry_chance(gain, price.exact, k=k) <= 1 - odds + 1e-9
        assert gain.mean() - k * price.amount >= -1e-6


@given(gains, some.floats(0.05, 0.95), some.floats(0, 20_000))
def test_a_gain_in_every_world_raises_the_price_by_as_much(gain, odds, more):
    low = walk_away(gain + 50_001, odds=odds, k=1.25, step=1).exact
    assert walk_away(gain + 50_001 + more, odds=odds, k=1.25, step=1).exact == pytest.approx(
        low + more / 1.25
    )


@given(gains, some.floats(0.05, 0.9))
def test_wanting_better_odds_never_raises_the_price(gain, odds):
    loose, tight = (walk_away(gain, odds=each, k=1.0, step=1).exact for each in (odds, odds + 0.05))
    assert tight <= loose


@given(gains, some.data())
def test_whole_number_weights_are_the_same_as_repeated_worlds(gain, data):
    times = np.array(
        data.draw(some.lists(some.integers(0, 4), min_size=len(gain), max_size=len(gain)))
    )
    if not times.sum():
        times[0] = 1
    repeated = np.repeat(gain, times)
    for chance in (0.1, 0.2, 0.5, 0.8):
        assert weighted_quantile(gain, chance, weights=times) == weighted_quantile(repeated, chance)
    weighed = walk_away(gain, odds=0.8, k=1.16, step=10, weights=times)
    assert weighed.exact == pytest.approx(walk_away(repeated, odds=0.8, k=1.16, step=10).exact)


def test_the_quantile_is_the_first_definition_of_hyndman_and_fan():
    """Hyndman and Fan 1996, definition 1, as a general-purpose array library computes it."""
    values = stream(1, "quantile").normal(size=1_001)
    for chance in (0.013, 0.1, 0.2, 0.5, 0.8, 0.9):
        wanted = np.quantile(values, chance, method="inverted_cdf")
        assert weighted_quantile(values, chance) == wanted
        equal = weighted_quantile(values, chance, weights=np.full(1_001, 0.3))
        assert equal == wanted


@pytest.mark.parametrize("odds", [0.5, 0.8])
def test_the_stated_error_is_the_scatter_of_the_price_over_fresh_draws(odds):
    source = stream(2, "error", str(odds))
    draws = [
        walk_away(source.normal(9_000, 4_000, 2_000), odds=odds, k=1.16, step=10)
        for _ in range(300)
    ]
    scatter = np.std([price.exact for price in draws])
    stated = np.mean([price.error for price in draws])
    assert stated == pytest.approx(scatter, rel=0.15)


def test_the_best_option_is_the_one_that_carries_the_highest_price():
    table = np.array([normal_worlds(9_000, 6_000), normal_worlds(8_000, 1_000)])
    row, price = best(table, odds=0.8, k=1.16, step=10)
    assert row == 1
    assert price == walk_away(table[1], odds=0.8, k=1.16, step=10)


def test_each_option_may_have_its_own_cost_of_a_unit_of_hammer():
    table = [[1_000.0, 1_000.0], [1_000.0, 1_000.0]]
    row, price = best(table, odds=0.8, k=[1.25, 1.0], step=10)
    assert (row, price.amount) == (1, 1_000.0)


@given(some.integers(0, 500), some.integers(1, 30), some.floats(0.05, 0.95), some.booleans())
def test_many_prices_at_once_are_those_of_each_option_alone(seed, worlds, odds, weighed):
    source = stream(seed, "prices")
    table = source.normal(2_000, 4_000, (6, worlds))
    weights = source.random(worlds) + 0.01 if weighed else None
    k = np.linspace(1.0, 1.5, 6)
    alone = [
        walk_away(row, odds=odds, k=cost, step=10, weights=weights).exact
        for row, cost in zip(table, k, strict=True)
    ]
    found = prices(table, odds=odds, k=k, weights=weights)
    assert found == pytest.approx(alone, abs=1e-9)
    row, price = best(table, odds=odds, k=k, step=10, weights=weights)
    assert price.exact == pytest.approx(max(alone), abs=1e-9)
    assert found[row] == found.max()


def test_of_options_that_carry_the_same_price_the_one_with_the_higher_mean_is_taken():
    row, _ = best([[100.0] * 10, [100.0] * 9 + [500.0], [100.0] * 10], odds=0.8, k=1.0, step=10)
    assert row == 1


def test_a_row_ranked_once_gives_the_same_price_under_every_weighting():
    source = stream(3, "ranked")
    gain = source.normal(5_000, 3_000, 500)
    ranked = Ranked(gain)
    for _ in range(5):
        weights = source.random(500)
        plain = walk_away(gain, odds=0.8, k=1.16, step=10, weights=weights)
        assert ranked.price(odds=0.8, k=1.16, weights=weights) == pytest.approx(plain.exact)


def test_equal_weights_leave_all_worlds_and_one_heavy_world_leaves_one():
    assert effective_worlds(None, 400) == pytest.approx(400)
    assert effective_worlds([1.0] + [0.0] * 9, 10) == pytest.approx(1)


@pytest.mark.parametrize(("odds", "k", "step"), [(0, 1, 1), (1, 1, 1), (0.8, 0, 1), (0.8, 1, 0)])
def test_odds_cost_and_step_that_cannot_be_are_refused(odds, k, step):
    with pytest.raises(Unusable):
        walk_away([1.0], odds=odds, k=k, step=step)


@pytest.mark.parametrize("gain", [[], [np.nan], [[1.0, 2.0]]])
def test_gains_that_are_not_one_number_a_world_are_refused(gain):
    with pytest.raises(Unusable):
        walk_away(gain, odds=0.8, k=1.0, step=1)


@pytest.mark.parametrize("weights", [[1.0], [-1.0, 2.0], [0.0, 0.0], [np.nan, 1.0]])
def test_weights_that_cannot_be_are_refused(weights):
    with pytest.raises(Unusable):
        walk_away([1.0, 2.0], odds=0.8, k=1.0, step=1, weights=weights)
