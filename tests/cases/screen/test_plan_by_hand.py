"""A plan of bids of one lot in two hundred worlds, written out: what it brings, takes and needs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retrue.cases.screen.bid_plan import BidPlan, Ended, Limits, choose_bids
from retrue.cases.screen.stakes import Stake
from retrue.choose.commit import Candidate

WORLDS = 200  # half to choose on, half to hold against it


def stake() -> Stake:
    """100 at the hammer is 250 in the shop's money; won in every second world, brings 1 000.

    It takes 0, 1, .. 99 beside the price in the worlds it is held against, and 30 hours.
    """
    row, world = np.ones((1, WORLDS)), np.arange(WORLDS)
    lot = Candidate(
        bids=np.array([100.0]), wins=(world % 2 == 0)[None, :], pays=250.0 * row,
        gain=1_000.0 * row, money=row * (world % 100), hours=30.0 * row, floor=8.0 * row[0],
    )  # fmt: skip
    return Stake(
        number="7", line=2, title="lathe", sale="sealed", currency="CHF", shop_currency="EUR",
        exchange=2.0, k=1.25, walk_away=120.0, why="", candidate=lot, worlds=WORLDS,
    )  # fmt: skip


@pytest.fixture(scope="module")
def plan() -> BidPlan:
    return choose_bids([stake()], Limits(money=1_000.0, hours=50.0, odds=0.9))


def test_its_line_says_what_it_takes_where_it_is_won(plan: BidPlan) -> None:
    """By hand: 750 more in every second world; even numbers up to 98 are 49 on average."""
    (line,) = plan.lines
    assert (line.bid, line.wins, line.pays, line.walk_away) == pytest.approx(
        (100.0, 0.5, 100.0, 120.0)
    )
    assert (line.gain, plan.gain) == pytest.approx((375.0, 375.0))
    assert (line.money, line.hours, line.floor_m2) == pytest.approx((299.0, 30.0, 8.0))
    assert (line.held, plan.held, plan.holds, line.won) == (1.0, 1.0, True, False)
    assert (plan.wins_some, plan.held_where_won) == (0.5, 1.0)
    assert plan.at_most == pytest.approx(plan.gain)
    assert (plan.best, plan.currency, plan.worlds) == (True, "EUR", WORLDS)


def test_its_limits_are_held_against_quantiles_and_against_winning_all(plan: BidPlan) -> None:
    """By hand: of 50 nothings and 250, 252, .. 348 the ninetieth is 328; of 250 to 349, 339."""
    told = {one.name: one for one in plan.limits}
    money, hours, floor = told["money"], told["hours"], told["floor"]
    assert money.expected == pytest.approx(0.5 * 299.0)
    assert (money.likely, money.if_all, money.over) == pytest.approx((328.0, 339.0, 0.0))
    assert (hours.expected, hours.likely, hours.if_all) == pytest.approx((15.0, 30.0, 30.0))
    assert floor.limit is None
    assert floor.expected == pytest.approx(4.0)
    assert (money.limit, hours.limit) == (1_000.0, 50.0)


def test_odds_move_the_quantile(plan: BidPlan) -> None:
    """By hand: seven in ten are not above 250 + 2 x 19."""
    other = choose_bids([stake()], Limits(money=1_000.0, odds=0.7))
    assert other.limits[0].likely == pytest.approx(288.0)


def test_what_is_won_is_paid_for_sure_and_what_is_lost_is_told(plan: BidPlan) -> None:
    won = choose_bids([stake()], Limits(money=1_000.0), [Ended(number="7", won=True, amount=80.0)])
    (line,) = won.lines
    assert (line.wins, line.bid, line.pays, line.won) == pytest.approx((1.0, 80.0, 80.0, True))
    assert line.gain == pytest.approx(1_000.0 - 80.0 * 2.5)
    lost = choose_bids(
        [stake()], Limits(money=1_000.0), [Ended(number="7", won=False, amount=300.0)]
    )
    assert lost.lines == ()
    assert [one.why for one in lost.left_out] == ["it has gone to another"]


def test_a_lot_that_takes_a_hair_too_much_is_left_out_and_says_what_would_do() -> None:
    """By hand: half of the worlds take 250 to 348; with 300 they hold in 76 of 100."""
    none = choose_bids([stake()], Limits(money=300.0, odds=0.9))
    assert none.lines == ()
    assert "400" in none.left_out[0].why  # 328, in whole hundreds
    sure = replace(stake(), why="it has no age")
    assert choose_bids([sure], Limits()).left_out[0].why == "it has no age"


def test_each_of_two_lots_gains_what_would_be_lost_without_it_the_better_one_first() -> None:
    """By hand: half of 1 000 - 250 and half of 500 - 250; they share nothing."""
    lot = stake().candidate
    assert lot is not None
    small = replace(stake(), number="3", line=1, candidate=replace(lot, gain=lot.gain / 2))
    both = choose_bids([small, stake()], Limits())
    assert [one.number for one in both.lines] == ["7", "3"]
    assert [one.gain for one in both.lines] == pytest.approx([375.0, 125.0])
    assert both.gain == pytest.approx(500.0)


def test_nothing_to_spend_and_a_lot_that_went_for_nothing_can_be() -> None:
    assert choose_bids([stake()], Limits(money=0.0)).lines == ()
    free = choose_bids([stake()], Limits(), [Ended(number="7", won=True, amount=0.0)])
    assert free.lines[0].gain == pytest.approx(1_000.0)
