"""How often limits hold where something is won, what would let a lot in, when a bound is told.

Oracles: relative frequencies counted world by world, and by hand.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.priced import kinds
from tests.cases.screen.listed import listed

from retrue.base.formatter import money
from retrue.cases.screen.bid_odds import limits_needed, where_some_won
from retrue.cases.screen.bid_plan import Ended, Limits, choose_bids
from retrue.cases.screen.bid_shapes import BidPlan, LimitLine
from retrue.cases.screen.bid_table import bid_json, bid_table
from retrue.cases.screen.stakes import stake_of
from retrue.choose.commit import Came, Candidate, came_of
from retrue.choose.commit import Limits as Bounds
from retrue.cli.worth_bids_lines import bid_lines

HOURS = 300.0


def seldom(brings: float, hours: float, share: float, worlds: int = 400) -> Candidate:
    """Won in a share of the worlds for 100, evenly spread, with hours that are the same in all."""
    row = np.ones((1, worlds))
    won = (np.arange(worlds) % round(1 / share) == 0)[None, :]
    return Candidate(
        np.array([100.0]), won, row * 100, row * brings, row * 0, row * hours, np.zeros(worlds)
    )


def test_a_bid_that_is_mostly_lost_keeps_the_limits_only_by_losing():
    """Won in one of ten: the limits hold in nine of ten, and in none in which it is won."""
    one = seldom(500.0, 400.0, 0.1)
    bounds = Bounds(hours=HOURS)
    came = came_of((one,), (1,))
    told = where_some_won((one,), (1,), came, bounds)
    assert 1 - came.breaks(bounds).mean() == pytest.approx(0.9)
    assert told.wins_some == pytest.approx(0.1)
    assert told.held == 0.0


def test_what_is_held_already_is_nothing_that_is_won():
    one = replace(seldom(500.0, 100.0, 1.0), held=True)
    told = where_some_won((one,), (1,), came_of((one,), (1,)), Bounds(hours=HOURS))
    assert (told.wins_some, told.held) == (0.0, None)


@pytest.mark.parametrize("odds", [0.5, 0.8, 0.9])
def test_a_limit_that_is_raised_as_told_is_the_least_that_holds(odds):
    rng = np.random.default_rng(4)
    spent, hours = rng.uniform(0, 100, 500), rng.uniform(0, 400, 500)
    came = Came(spent, spent, hours, 0 * spent)
    bounds = Bounds(money=99.0, hours=100.0, odds=odds)
    ((name, least),) = limits_needed(came, bounds)
    assert name == "hours"
    assert came.breaks(replace(bounds, hours=least)).mean() <= 1 - odds + 1e-12
    below = np.nextafter(least, 0) * (1 - 1e-6)
    assert came.breaks(replace(bounds, hours=below)).mean() > 1 - odds


def test_two_limits_are_named_where_both_are_in_the_way():
    """Of 0 to 99 nine in ten are not above 89; of two that fall apart the joint odds count."""
    row = np.arange(100.0)
    bounds = Bounds(money=50.0, hours=50.0)
    assert limits_needed(Came(row, row, row, row), bounds) == (("money", 89.0), ("hours", 89.0))
    apart = Came(row, row, row[::-1].copy(), row)
    needed = dict(limits_needed(apart, bounds))
    assert set(needed) == {"money", "hours"}
    assert apart.breaks(replace(bounds, **needed)).mean() <= 0.1


@pytest.fixture(scope="module")
def stakes():
    """Two lathes and a mill in the same worlds."""
    made = (listed("11", "mill"), listed("12"), listed("14", sale="sealed"))
    return tuple(stake_of(one, kinds(), worlds=1_000) for one in made)


@pytest.fixture(scope="module")
def plan(stakes):
    return choose_bids(stakes, Limits(money=50_000.0, hours=500.0))


def test_odds_of_a_plan_are_counted_where_each_lot_is_won(stakes, plan):
    fresh = {one.number: one.candidate.within(slice(500, None)) for one in stakes}
    levels = dict.fromkeys(fresh, 0)
    for line in plan.lines:
        levels[line.number] = int(np.searchsorted(fresh[line.number].bids, line.bid)) + 1
    came = came_of(list(fresh.values()), list(levels.values()))
    keeps = (came.money <= 50_000) & (came.hours <= 500)
    some = np.zeros(500, dtype=bool)
    assert plan.lines
    for line in plan.lines:
        won = fresh[line.number].wins[levels[line.number] - 1]
        some |= won
        assert line.held == pytest.approx(keeps[won].mean())
    assert plan.wins_some == pytest.approx(some.mean())
    assert plan.held_where_won == pytest.approx(keeps[some].mean())
    assert plan.held == pytest.approx(keeps.mean())


def test_a_lot_that_is_left_out_says_what_would_let_it_in(stakes):
    tight = choose_bids(stakes, Limits(hours=60.0))
    told = [one.why for one in tight.left_out]
    assert any("own hours it could be bid, for €" in why for why in told), told
    assert all("would hold only" in why or "nothing more" in why for why in told)


def test_where_nothing_is_bid_there_are_no_such_odds(stakes):
    gone = tuple(Ended(number=one.number, won=False) for one in stakes)
    nothing = choose_bids(stakes, Limits(hours=500.0), gone)
    assert nothing.held_where_won is None
    assert bid_json(nothing)["why"]["held_where_won"] == "nothing is bid"


PLAN = BidPlan(
    lines=(), left_out=(), odds=0.9, held=0.92, holds=True, gain=2_746.0, error=10.0,
    at_most=20_413.0, best=False, why="", currency="EUR", worlds=8000, seed=7,
    limits=(LimitLine(name="hours", limit=HOURS, expected=90.0, likely=280.0, if_all=400.0,
                      over=0.08),),
    wins_some=0.25, held_where_won=0.6,
)  # fmt: skip


@pytest.mark.parametrize(
    ("at_most", "bound"), [(20_413.0, None), (3_100.0, None), (3_000.0, 3_000.0)]
)
def test_a_bound_is_told_only_where_it_is_near(at_most, bound):
    plan = replace(PLAN, at_most=at_most)
    text = "\n".join(bid_lines(plan))
    told = bid_json(plan)
    assert told["at_most"] == bound
    assert ("at_most" in told["why"]) == (bound is None)
    assert (f"brings more than {money(3_000, 'EUR')}." in text) == (bound is not None)
    assert ("It is not known how much better another choice of bids could be." in text) == (
        bound is None
    )
    assert money(20_413, "EUR") not in text


def test_limits_that_hold_by_losing_are_told_before_the_number():
    lines = list(bid_lines(PLAN))
    caution = "These limits hold mostly because often nothing is won."
    given = "Something is won about 1 in 4; where it is, all limits hold about 3 in 5."
    assert lines[1:4:2] == [caution, given]
    for held in (0.95, 0.85):
        assert caution not in "\n".join(bid_lines(replace(PLAN, held_where_won=held)))
    free = replace(PLAN, limits=(replace(PLAN.limits[0], limit=None),))
    assert "Something is won about 1 in 4." in list(bid_lines(free))
    assert bid_table(PLAN)[-1][-3:] == [0.25, "hold where something is won", 0.6]
