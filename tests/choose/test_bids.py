"""Bids against auction theory, all through the functions the price page uses."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.choose.bids import (
    Rivals,
    bid_steps,
    last_bidder_weights,
    one_bid,
    pivot_price,
    sealed_bid,
    stops_below,
)
from retrue.choose.normal import inverse_normal

BIDS = np.arange(1, 1_001) / 1_000


def best_answer(value, bidders):
    """The best bid for a value, where each rival bids (n - 1)/n of a uniform value."""
    wins = np.minimum(BIDS * bidders / (bidders - 1), 1.0) ** (bidders - 1)
    return one_bid([value], BIDS, wins, k=1.0)


@pytest.mark.parametrize(("bidders", "wanted"), [(2, 0.400), (3, 0.53333), (5, 0.640), (10, 0.720)])
def test_first_price_bid_for_a_uniform_value_is_value_times_n_minus_1_over_n(bidders, wanted):
    """Vickrey 1961: equilibrium of the first-price sealed auction; value 0.8."""
    assert best_answer(0.8, bidders).bid == pytest.approx(wanted, abs=0.0006)


@pytest.mark.parametrize(("bidders", "wanted"), [(2, 1 / 3), (3, 0.5), (5, 2 / 3), (10, 0.818182)])
def test_first_price_revenue_is_n_minus_1_over_n_plus_1(bidders, wanted):
    """Vickrey 1961: the highest of n uniform values, bid as above."""
    highest = ((np.arange(400) + 0.5) / 400) ** (1 / bidders)
    assert np.mean([best_answer(value, bidders).bid for value in highest]) == pytest.approx(
        wanted, abs=0.001
    )


def test_one_bid_pays_the_premium_too():
    wins = BIDS
    assert one_bid([0.8], BIDS, wins, k=1.25).bid == pytest.approx(0.8 / 1.25 / 2, abs=0.001)


def test_one_bid_looks_at_nothing_above_the_ceiling():
    assert one_bid([0.8], BIDS, BIDS, k=1.0, ceiling=0.3).bid == pytest.approx(0.3)


def test_no_bid_is_made_where_none_gains():
    assert one_bid([-1.0, 0.0], BIDS, BIDS, k=1.0).bid == 0


TABLE = {  # scatter of signals, bidders: mean overpayment k s E[max of n normal], see below
    (0.5, 2): 0.2257,
    (0.5, 4): 0.4118,
    (0.5, 8): 0.5694,
    (1.0, 2): 0.2821,
    (1.0, 4): 0.5147,
    (1.0, 8): 0.7118,
}


@pytest.mark.parametrize(("scatter", "bidders"), TABLE)
def test_bidding_what_the_own_estimate_says_overpays_as_the_winners_curse_table_says(
    scatter, bidders
):
    """Capen, Clapp and Campbell 1971; values computed: k s E[largest of n standard normals].

    Value N(0, 1), each signal value + N(0, s**2), each bids the mean of the value given the own
    signal alone, k = 1 / (1 + s**2) times it. The winner holds the highest signal x: what the lot
    is then worth is the mean over worlds weighted by the density of the highest of n estimates.
    """
    value = inverse_normal((np.arange(2_000) + 0.5) / 2_000)
    rivals = Rivals(np.exp(value), share=1.0, log_sd=scatter, count=bidders)
    signals = np.linspace(-6, 9, 151)
    slope = 1 / (1 + scatter**2)
    z = (signals[:, None] - value) / scatter
    below = np.exp(signals)[:, None] / np.exp(value)
    largest = np.exp(-0.5 * z * z) * stops_below(
        below, median=1.0, log_sd=scatter, count=bidders - 1
    )
    happens = largest.mean(axis=1)
    happens /= happens.sum()
    worth = [np.average(value, weights=last_bidder_weights(rivals, math.exp(x))) for x in signals]
    overpaid = (happens * (slope * signals - worth)).sum()
    assert overpaid == pytest.approx(TABLE[scatter, bidders], abs=0.002)


def lognormal_lot(worlds=40_000, spread=0.27):
    return 14_000 * np.exp(spread * inverse_normal((np.arange(worlds) + 0.5) / worlds))


def test_with_one_rival_the_pivot_price_is_where_the_lognormal_update_says():
    """Conjugate normal update of the logarithm; any text of Bayesian statistics.

    ln V ~ N(m, t**2), the rival stops at ln b = ln share + ln V + N(0, s**2); then E[V | b] = b at
    ln b = ln V' with weights by precision.
    """
    spread, scatter, share = 0.27, 0.3, 0.9
    lot = lognormal_lot(spread=spread)
    trust = spread**2 / (spread**2 + scatter**2)
    left = spread**2 * scatter**2 / (spread**2 + scatter**2)
    wanted = math.exp(
        ((1 - trust) * math.log(14_000) - trust * math.log(share) + left / 2) / (1 - trust)
    )
    rivals = Rivals(lot, share=share, log_sd=scatter, count=1)
    found = pivot_price(lot, rivals, k=1.0, step=10, ceiling=30_000)
    assert found == pytest.approx(wanted, rel=0.01)


def test_more_rivals_and_rivals_who_pay_more_of_what_they_know_lower_the_pivot_price():
    lot = lognormal_lot(4_000)
    few, many, keen = (
        pivot_price(lot, Rivals(lot, share=share, log_sd=0.3, count=n), k=1.0, step=10, ceiling=4e4)
        for n, share in ((1, 0.75), (3, 0.75), (3, 0.9))
    )
    assert few > many > keen > 0


@given(some.integers(0, 200), some.floats(100, 9_000), some.integers(1, 6))
def test_neither_the_pivot_price_nor_the_sealed_bid_is_ever_above_the_ceiling(seed, ceiling, count):
    source = stream(seed, "ceiling")
    gain = source.normal(9_000, 3_000, 300)
    rivals = Rivals(source.lognormal(9, 0.4, 300), share=0.75, log_sd=0.45, count=count)
    assert pivot_price(gain, rivals, k=1.16, step=50, ceiling=ceiling) <= ceiling
    assert sealed_bid(gain, rivals, k=1.16, step=50, ceiling=ceiling).bid <= ceiling


def test_a_sealed_bid_allows_for_the_news_that_winning_is():
    lot = lognormal_lot(4_000)
    rivals = Rivals(lot, share=0.75, log_sd=0.3, count=3)
    blind = [
        np.mean(stops_below(bid, median=0.75 * lot, log_sd=0.3, count=3))
        for bid in bid_steps(20_000, 50)
    ]
    careless = one_bid(lot, bid_steps(20_000, 50), blind, k=1.0)
    careful = sealed_bid(lot, rivals, k=1.0, step=50, ceiling=20_000)
    assert careful.bid < careless.bid
    assert careful.mean_gain < careless.mean_gain


def test_grouping_worlds_changes_the_sealed_bid_by_less_than_a_step():
    lot = lognormal_lot(6_000)
    rivals = Rivals(lot, share=0.75, log_sd=0.45, count=2)
    bids = bid_steps(12_000, 50)
    wins = stops_below(bids[:, None] / lot, median=0.75, log_sd=0.45, count=2)
    plain = one_bid(lot, bids, wins, k=1.16)
    grouped = sealed_bid(lot, rivals, k=1.16, step=50, ceiling=12_000)
    assert grouped.bid == pytest.approx(plain.bid, abs=50)
    assert grouped.mean_gain == pytest.approx(plain.mean_gain, rel=1e-3)


def test_bids_stand_on_steps_and_reach_the_ceiling():
    bids = bid_steps(9_975, 10)
    assert len(bids) <= 400
    assert bids[-1] == 9_970
    assert (np.round(bids / 10) * 10 == bids).all()
    assert len(bid_steps(9, 10)) == 0


@pytest.mark.parametrize(
    "change", [{"share": 0.0}, {"log_sd": 0.0}, {"count": 0}, {"value": np.array([0.0])}]
)
def test_rivals_that_cannot_be_are_refused(change):
    fields = {"value": np.array([1.0]), "share": 0.75, "log_sd": 0.45, "count": 1} | change
    with pytest.raises(Unusable):
        Rivals(**fields)
