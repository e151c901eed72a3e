"""Several bids under limits: against every choice there is, textbooks, and simulated auctions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.choose.invented_sales import every_choice, sale, sure, tight

from retrue.base.refusals import Unusable
from retrue.choose.commit import Candidate, Limits, came_of, each_of
from retrue.choose.commit_bound import bounded
from retrue.choose.commit_choice import choose
from retrue.choose.commit_search import Table, climb

CASES = 200
AUCTIONS = 10_000


@pytest.fixture(scope="module")
def small():
    """Small sales, each with its limits and the best there is."""
    found = []
    for case in range(CASES):
        rng = np.random.Generator(np.random.Philox(case))
        lots, levels = ((4, 3), (5, 2), (3, 4))[case % 3]
        candidates = sale(rng, lots, levels, worlds=40)
        limits = tight(rng, candidates)
        table = Table(tuple(candidates), limits)
        climbed = climb(table, limits.over)
        found.append((table, climbed, every_choice(candidates, limits)))
    return found


def test_climbing_alone_comes_within_one_per_cent_of_the_best_of_every_choice(small):
    short = []
    for table, climbed, best in small:
        part = table.whole(climbed)
        assert table.holds(part.spent, table.limits.over)
        short.append(1 - part.gain / best if best > 0 else 0.0)
    assert min(short) > -1e-9, "better than the best: one of the two is wrong"
    assert max(short) <= 0.01
    assert np.mean(short) <= 0.001


def test_branch_and_bound_finds_the_best_of_every_choice_and_proves_it(small):
    for case, (table, climbed, best) in enumerate(small):
        begin = table.least() if case % 4 == 0 else climbed
        found = bounded(table, table.limits.over, begin)
        assert found.gain == pytest.approx(best, abs=1e-6)
        assert found.at_most == pytest.approx(found.gain, abs=1e-6)


@pytest.mark.parametrize("nodes", [0, 3, 20])
def test_cut_short_the_bound_is_still_above_the_best(small, nodes):
    for table, _, best in small[:30]:
        found = bounded(table, table.limits.over, table.least(), nodes=nodes)
        assert found.at_most >= best - 1e-9
        assert table.holds(table.whole(found.levels).spent, table.limits.over)


@pytest.mark.parametrize(
    ("profits", "weights", "room", "best"),
    [
        ((15, 100, 90, 60, 40, 15, 10, 1), (2, 20, 20, 30, 40, 30, 60, 10), 102, 280),
        ((70, 20, 39, 37, 7, 5, 10), (31, 10, 20, 19, 4, 3, 6), 50, 107),
    ],
)
def test_lots_surely_had_are_a_knapsack(profits, weights, room, best):
    """Martello and Toth 1990, Knapsack Problems, chapter 2, examples: optimal values 280, 107."""
    lots = [sure(p, w) for p, w in zip(profits, weights, strict=True)]
    choice = choose(lots, Limits(money=room))
    assert choice.gain == pytest.approx(best)
    assert choice.short == pytest.approx(0, abs=1e-9)
    assert choice.came.money.max() <= room


@pytest.mark.parametrize(
    ("profits", "weights", "room", "wanted"),
    [
        ((15, 100, 90, 60, 40, 15, 10, 1), (2, 20, 20, 30, 40, 30, 60, 10), 102, 295.0),
        ((70, 20, 39, 37, 7, 5, 10), (31, 10, 20, 19, 4, 3, 6), 50, 107.55),
    ],
)
def test_before_any_search_the_bound_is_dantzigs(profits, weights, room, wanted):
    """Dantzig 1957, Operations Research 5(2): fill by profit a unit, the last lot in part.

    By hand: 15 + 100 + 90 + 60 + 40 * 30 / 40; 70 + 20 + 39 * 9 / 20.
    """
    lots = [sure(p, w) for p, w in zip(profits, weights, strict=True)]
    table = Table(tuple(lots), Limits(money=room))
    found = bounded(table, table.limits.over, table.least(), nodes=0)
    assert found.at_most == pytest.approx(wanted)


def test_as_many_alike_lots_are_bid_on_as_the_binomial_table_allows():
    """Binomial distribution, by a general-purpose library: P(more than k of m) with p = 0.3.

    Money is there for k lots. Of so many alike ones, each won three times in ten and independent
    of the others, the most that may be bid on is the largest m with P(X > k) <= 0.1.
    """
    worlds, rng = 16_000, np.random.Generator(np.random.Philox(5))
    wins = rng.random((10, worlds)) < 0.3
    lots = [replace(sure(10.0, 100.0, worlds), wins=row[None]) for row in wins]
    for afford in (1, 2):
        allowed = [m for m in range(1, 11) if stats.binom.sf(afford, m, 0.3) <= 0.1]
        choice = choose(lots, Limits(money=100.0 * afford), nodes=50)
        assert sum(choice.levels) == max(allowed)
        exact = stats.binom.sf(afford, max(allowed), 0.3)
        assert choice.over == pytest.approx(exact, abs=4 * math.sqrt(exact / (worlds / 2)))


@pytest.mark.parametrize(("bidders", "wanted"), [(2, 0.400), (3, 0.53333), (5, 0.640)])
def test_one_sealed_bid_without_limits_is_the_value_times_n_minus_1_over_n(bidders, wanted):
    """Vickrey 1961: equilibrium of the first-price sealed auction; value 0.8."""
    even = (np.arange(4_000) + 0.5) / 4_000
    highest = (bidders - 1) / bidders * np.append(even, even) ** (1 / (bidders - 1))
    bids = np.arange(1, 101) / 100
    row, worlds = np.full((1, 8_000), 0.8), 8_000
    one = Candidate(
        bids, highest < bids[:, None], np.repeat(bids[:, None], worlds, 1), row, row * 0, row * 0,
        np.zeros(worlds),
    )  # fmt: skip
    (level,) = choose([one], Limits()).levels
    assert bids[level - 1] == pytest.approx(wanted, abs=0.0101)


@pytest.mark.parametrize("seed", range(3))
def test_over_commitment_is_held_in_ten_thousand_auctions_that_were_never_seen(seed):
    """Three standard errors of a share counted in 10,000 auctions are allowed, no more."""
    rng = np.random.Generator(np.random.Philox(100 + seed))
    every = sale(rng, 8, 4, worlds=4_000 + AUCTIONS)
    limits = tight(rng, every)
    choice = choose([one.within(slice(0, 4_000)) for one in every], limits, nodes=60)
    unseen = came_of([one.within(slice(4_000, None)) for one in every], choice.levels)
    over = float(unseen.breaks(limits).mean())
    assert sum(map(bool, choice.levels)) >= 2
    assert over <= limits.over + 3 * math.sqrt(limits.over * limits.odds / AUCTIONS)
    assert over > 0, "limits that are never reached prove nothing"
    scatter = choice.error + float(unseen.gain.std()) / math.sqrt(AUCTIONS)
    assert choice.gain == pytest.approx(float(unseen.gain.mean()), abs=4 * scatter)


@pytest.mark.parametrize(("each", "bid"), [(100, 0), (10_000, 1)])
def test_one_standard_error_is_spared(each, bid):
    """A lot breaks the limit in 9 of 100 worlds, 10 are allowed: enough only in many worlds.

    Standard error of a share, sqrt(p (1 - p) / n): 0.030 of 100 worlds, 0.003 of 10,000
    (de Moivre 1738, The Doctrine of Chances; any handbook of statistics).
    """
    worlds = 2 * each  # half to choose on, half to hold it against
    dear = np.arange(worlds) % 100 < 9
    row = np.full((1, worlds), 50.0)
    lot = Candidate(
        bids=np.array([10.0]), wins=row > 0, pays=np.where(dear, 200.0, 10.0)[None],
        gain=row + 20.0, money=row * 0, hours=row * 0, floor=row[0] * 0,
    )  # fmt: skip
    assert choose([lot], Limits(money=100.0, odds=0.9)).levels == (bid,)


def lathe(kept: float, sold: float, costs: float) -> Candidate:
    """A lathe for the one need of turning, at a fixed price."""
    two = np.repeat([[kept], [sold]], 4, 1)
    return Candidate(
        np.array([costs]), np.ones((1, 4), bool), np.full((1, 4), costs), two, two * 0, two * 0,
        np.full(4, 8.0), ("turning",), (0, 1), (1, 0),
    )  # fmt: skip


def test_five_lathes_for_one_need_are_not_bought():
    lots = [lathe(200.0 + i, 40.0, 50.0) for i in range(5)]
    choice = choose(lots, Limits())
    assert choice.levels == (0, 0, 0, 0, 1)
    assert choice.gain == pytest.approx(154.0)


def test_a_second_one_is_bought_where_it_pays_to_sell_it_on():
    lots = [lathe(200.0, 60.0, 50.0), lathe(190.0, 65.0, 50.0)]
    choice = choose(lots, Limits())
    assert choice.levels == (1, 1)
    assert choice.gain == pytest.approx(150.0 + 15.0)
    assert [float(came.gain[0]) for came in each_of(lots, (1, 1))] == [150.0, 15.0]


def test_what_is_won_already_is_spent_and_meets_its_need():
    held = replace(lathe(200.0, 60.0, 80.0), held=True)
    lots = [held, lathe(190.0, 40.0, 50.0), sure(30.0, 60.0)]
    assert choose(lots, Limits(money=200.0)).levels == (1, 0, 1)
    choice = choose(lots, Limits(money=100.0))
    assert choice.levels == (1, 0, 0)
    assert choice.held


def test_where_what_is_won_breaks_the_limits_nothing_more_is_bid():
    choice = choose([replace(sure(9.0, 80.0), held=True), sure(30.0, 0.0)], Limits(money=50.0))
    assert choice.levels == (1, 0)
    assert not choice.held
    assert choice.over == 1.0


def test_a_lot_for_two_needs_takes_what_others_leave_to_it():
    """By hand: mill and lathe together are kept as mill only, where the better lathe is won."""
    both = np.repeat([[300.0], [180.0], [170.0], [50.0]], 2, 1)
    pair = Candidate(
        np.array([100.0]), np.ones((1, 2), bool), np.full((1, 2), 100.0), both, both * 0, both * 0,
        np.zeros(2), ("milling", "turning"), (0, 1, 2, 3), (3, 2, 1, 0),
    )  # fmt: skip
    single = Candidate(
        np.array([100.0]), np.array([[True, False]]), np.full((1, 2), 100.0),
        np.array([[500.0, 500.0], [100.0, 100.0]]), both[:2] * 0, both[:2] * 0, np.zeros(2),
        ("turning",), (0, 1), (1, 0),
    )  # fmt: skip
    came = came_of([pair, single], (1, 1))
    assert came.gain.tolist() == [400.0 + 70.0, 200.0]


def test_the_order_of_lots_changes_nothing():
    rng = np.random.Generator(np.random.Philox(3))
    candidates = sale(rng, 6, 3, worlds=300)
    limits = tight(rng, candidates)
    one = choose(candidates, limits, nodes=200)
    turned = choose(candidates[::-1], limits, nodes=200)
    assert turned.gain == pytest.approx(one.gain, rel=0.01)
    again = choose(candidates, limits, nodes=200)
    assert (again.levels, again.gain, again.short) == (one.levels, one.gain, one.short)


def test_without_a_lot_there_is_nothing():
    choice = choose([], Limits(money=5.0))
    assert (choice.levels, choice.gain, choice.over, choice.held) == ((), 0.0, 0.0, True)


def test_no_bid_is_made_where_none_gains():
    assert choose([sure(-1.0, 10.0)], Limits()).levels == (0,)


@pytest.mark.parametrize("wrong", [{"money": -1.0}, {"odds": 1.0}, {"hours": math.nan}])
def test_limits_that_cannot_be_are_refused(wrong):
    with pytest.raises(Unusable):
        Limits(**wrong)


def test_candidates_of_different_worlds_are_refused():
    with pytest.raises(Unusable, match="4, 6 worlds"):
        choose([sure(1.0, 1.0, 4), sure(1.0, 1.0, 6)], Limits())


def test_a_candidate_whose_tables_do_not_belong_together_is_refused():
    with pytest.raises(Unusable, match="belong together"):
        replace(sure(1.0, 1.0), option_of=(1,))
