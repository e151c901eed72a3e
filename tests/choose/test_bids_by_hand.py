"""Bids where worlds differ: chances, news and the price above which it is bad news, by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import lognorm, norm

from retrue.base.refusals import Unusable
from retrue.choose.bids import (
    OneBid,
    Rivals,
    bid_steps,
    last_bidder_weights,
    one_bid,
    pivot_price,
    sealed_bid,
    stops_below,
)

WORTH = np.array([4_000.0, 9_000.0])
RIVALS = Rivals(WORTH, share=0.8, log_sd=0.4, count=3)


def told(found: OneBid) -> tuple[float, float, float]:
    return found.bid, found.wins, found.mean_gain


def test_a_bid_wins_as_often_as_its_worlds_do() -> None:
    """By hand: at 20, (100 - 22) / 2 in the one and (50 - 22) / 10 in the other, a half each.

    Weighed three to one: 3/4 of 39 and 1/4 of 2.8; it wins in 3/8 and 1/40.
    """
    chances = [[0.1, 0.1], [0.5, 0.1]]
    alike = one_bid([100.0, 50.0], [10.0, 20.0], chances, k=1.1)
    assert told(alike) == pytest.approx((20.0, 0.3, 39.0 / 2 + 2.8 / 2))
    weighed = one_bid([100.0, 50.0], [10.0, 20.0], chances, k=1.1, weights=[3, 1])
    assert told(weighed) == pytest.approx((20.0, 0.4, 29.25 + 0.7))
    same = one_bid([100.0, 50.0], [10.0, 20.0], [0.2, 0.6], k=1.1, weights=[3, 1])
    assert told(same) == pytest.approx((20.0, 0.6, 0.6 * (87.5 - 22.0)))


@pytest.mark.parametrize(("ceiling", "bid"), [(20.0, 20.0), (19.0, 10.0), (9.0, 0.0)])
def test_a_bid_may_reach_the_ceiling(ceiling: float, bid: float) -> None:
    assert one_bid([100.0], [10.0, 20.0], [0.1, 0.9], k=1.0, ceiling=ceiling).bid == bid


def test_rivals_stop_as_the_library_has_it() -> None:
    """Of n independent lognormals the largest lies below by the nth power (order statistics)."""
    prices = np.array([2_000.0, 5_000.0, 8_000.0])
    below = stops_below(prices, median=5_000.0, log_sd=0.4, count=3)
    assert below == pytest.approx(lognorm.cdf(prices, 0.4, scale=5_000.0) ** 3)
    assert stops_below(5_000.0, median=5_000.0, log_sd=0.4) == pytest.approx(0.5)


@pytest.mark.parametrize("count", [1, 2, 5])
def test_what_the_last_rival_tells_is_the_density_of_the_largest(count: int) -> None:
    """David and Nagaraja 2003, section 2.1: n f(x) F(x)^(n - 1); densities by the library."""
    z = (np.log(5_000.0) - np.log(0.8 * WORTH)) / 0.4
    dense = norm.pdf(z) * norm.cdf(z) ** (count - 1)
    made = last_bidder_weights(replace(RIVALS, count=count), 5_000.0)
    assert made == pytest.approx(dense / dense.max())


def test_the_pivot_is_the_last_step_that_the_news_still_covers() -> None:
    """Milgrom and Weber 1982, every step tried with the library's densities; 1.16 goes up with it.

    A lot that is worth 300 more to us than to them.
    """

    def gains(bid: float) -> float:
        z = (np.log(bid) - np.log(0.8 * WORTH)) / 0.4
        return float(norm.pdf(z) * norm.cdf(z) ** 2 @ (WORTH + 300.0 - 1.16 * bid))

    wanted = max(bid for bid in np.arange(10.0, 8_000.0, 10.0) if gains(bid) >= 0)
    found = pivot_price(WORTH + 300.0, RIVALS, k=1.16, step=10.0, ceiling=4_000.0)
    assert 3_000.0 < wanted < 4_000.0
    assert found == wanted
    lower = pivot_price(WORTH + 300.0, RIVALS, k=1.16, step=10.0, ceiling=2_500.0)
    assert lower == 2_500.0
    assert pivot_price(WORTH * 0.0, RIVALS, k=1.16, step=10.0, ceiling=4_000.0) == 0.0


def test_a_sealed_bid_wins_in_each_world_by_its_own_chance() -> None:
    """Every step tried with the library's distribution: Capen, Clapp and Campbell 1971."""
    steps = np.arange(10.0, 6_000.0 + 1, 20.0)[:, None]
    chance = lognorm.cdf(steps, 0.4, scale=0.8 * WORTH) ** 3
    mean = ((WORTH - 1.16 * steps) * chance).mean(axis=1)
    best = int(mean.argmax())
    made = sealed_bid(WORTH, RIVALS, k=1.16, step=10.0, ceiling=6_000.0)
    assert made.bid == pytest.approx(float(steps[best, 0]), abs=20.0)
    assert made.mean_gain == pytest.approx(float(mean[best]), rel=1e-3)
    there = lognorm.cdf(made.bid, 0.4, scale=0.8 * WORTH) ** 3
    assert made.wins == pytest.approx(float(np.mean(there)))
    assert told(sealed_bid(WORTH, RIVALS, k=1.16, step=10.0, ceiling=9.0)) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("ceiling", "count", "first", "last"),
    [(4_000.0, 400, 10.0, 4_000.0),  # as many steps as are tried
     (4_010.0, 201, 10.0, 4_010.0),  # one more: every second, down from the top
     (-5.0, 0, 0.0, 0.0)],
)  # fmt: skip
def test_at_most_four_hundred_bids_are_tried(
    ceiling: float, count: int, first: float, last: float
) -> None:
    bids = bid_steps(ceiling, 10.0)
    assert len(bids) == count
    if count:
        assert (bids[0], bids[-1]) == (first, last)


@pytest.mark.parametrize("wrong", [{"value": np.array([1.0, 0.0])}, {"count": 0}, {"log_sd": 0.0}])
def test_one_world_without_a_value_is_enough_to_refuse(wrong: dict[str, object]) -> None:
    with pytest.raises(Unusable):
        replace(RIVALS, **wrong)
