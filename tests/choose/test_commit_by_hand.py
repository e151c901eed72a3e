"""Several bids under limits: what a choice comes to and how well that is known, by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.choose.invented_sales import sure

from retrue.choose.commit import Candidate, Limits, came_of, each_of, in_order
from retrue.choose.commit_bound import bounded
from retrue.choose.commit_choice import choose
from retrue.choose.commit_search import Table


def lot(gains: list[float], costs: float = 0.0, **more: object) -> Candidate:
    """A lot that is surely had and brings so much in each world, its price paid."""
    made = sure(0.0, costs, len(gains), **more)
    return replace(made, gain=np.array([gains]) + costs)


def test_what_is_told_of_a_choice_is_of_the_worlds_it_was_not_made_on() -> None:
    """By hand: 10 and 30 by turns have the mean 20 and lie 10 from it: 10 / sqrt(8) of 8 worlds."""
    choice = choose([lot([100.0] * 8 + [10.0, 30.0] * 4)], Limits())
    assert choice.levels == (1,)
    assert choice.came.gain.tolist() == [10.0, 30.0] * 4
    assert (choice.gain, choice.error) == pytest.approx((20.0, 10.0 / math.sqrt(8)))
    assert (choice.over, choice.short, choice.held) == (0.0, 0.0, True)


def test_of_an_odd_number_of_worlds_the_one_more_is_held_against() -> None:
    assert choose([lot([5.0] * 2 + [4.0] * 3)], Limits()).gain == 4.0
    assert choose([lot([5.0] * 2 + [4.0] * 3)], Limits()).came.gain.size == 3


@pytest.mark.parametrize(("after", "bid"), [(-9.0, 1), (-10.0, 0), (-11.0, 0)])
def test_a_bid_that_was_luck_is_left_out_again(after: float, bid: int) -> None:
    """By hand: 10 in the half it was chosen on; over all worlds it must bring something."""
    assert choose([lot([10.0] * 4 + [after] * 4)], Limits()).levels == (bid,)


def test_of_two_that_were_luck_the_worse_one_goes_and_what_is_won_stays() -> None:
    """By hand, over all worlds: 1, -2, and -5 that is won already."""
    good, bad, won = (lot([10.0] * 4 + [-10.0 + more] * 4) for more in (2.0, -4.0, -10.0))
    assert choose([good, bad, replace(won, held=True)], Limits()).levels == (1, 0, 1)


@pytest.mark.parametrize("limit", ["money", "hours", "floor"])
def test_every_limit_holds_by_itself_and_may_be_filled_to_the_brim(limit: str) -> None:
    """By hand: two lots of 60 fit into 120 and not into 119; each leaves the others alone."""
    takes = {"money": {}, "hours": {"hours": np.full((1, 4), 60.0)},
             "floor": {"floor": np.full(4, 60.0)}}  # fmt: skip
    lots = [lot([9.0] * 4, 60.0 if limit == "money" else 0.0, **takes[limit]) for _ in range(2)]
    assert choose(lots, Limits(**{limit: 120.0})).levels == (1, 1)
    assert sum(choose(lots, Limits(**{limit: 119.0})).levels) == 1
    came = came_of(lots, (1, 1))
    taken = {name: float(getattr(came, name)[0]) for name in ("money", "hours", "floor")}
    assert taken == {"money": 0.0, "hours": 0.0, "floor": 0.0} | {limit: 120.0}
    assert came.breaks(Limits(**{limit: 119.0})).all()
    assert not came.breaks(Limits(**{limit: 120.0})).any()


def test_a_hair_over_a_limit_is_none_and_more_is() -> None:
    """By hand: a billionth of the limit, or of one where that is less."""
    came = came_of([sure(0.0, 2_000.0)], (1,))
    assert not came.breaks(Limits(money=2_000.0 - 1.9e-6)).any()
    assert came.breaks(Limits(money=2_000.0 - 2.1e-6)).all()
    assert not came_of([sure(0.0, 1.5e-9)], (1,)).breaks(Limits(money=0.6e-9)).any()
    assert came_of([sure(0.0, 1.7e-9)], (1,)).breaks(Limits(money=0.6e-9)).all()


def of_one_need(mine: float, else_where: float, costs: float = 0.0) -> Candidate:
    """A lot that meets a need, or brings the other sum where that is met."""
    made = sure(0.0, costs)
    two = np.repeat([[mine], [else_where]], 4, 1) + costs
    return replace(
        made, gain=two, money=two * 0, hours=two * 0, needs=("turning",), option_of=(0, 1),
        meets=(1, 0),
    )  # fmt: skip


def test_the_one_to_which_a_need_is_worth_most_meets_it_first() -> None:
    """By hand: 90, 140, 90 more; of two alike the first."""
    lots = [of_one_need(100.0, 10.0), of_one_need(150.0, 10.0), of_one_need(95.0, 5.0)]
    assert in_order(lots) == (1, 0, 2)
    assert [one.extra for one in lots] == [90.0, 140.0, 90.0]
    assert came_of(lots, (1, 1, 1)).gain.tolist() == [10.0 + 150.0 + 5.0] * 4
    assert came_of(lots, (1, 0, 1)).gain.tolist() == [100.0 + 5.0] * 4


def test_before_any_search_a_need_is_bounded_as_one() -> None:
    """By hand, from the dual: who is met brings most, 140; what is sold on brings 10 each.

    Money for one and a half of them: 10 + 140 of one, half of the other's 10.
    """
    lots = [of_one_need(150.0, 10.0, 60.0), of_one_need(150.0, 10.0, 60.0)]
    free = Table(tuple(lots), Limits())
    assert bounded(free, 0.1, (0, 0), nodes=0).at_most == pytest.approx(160.0)
    short = Table(tuple(lots), Limits(money=90.0))
    assert bounded(short, 0.1, (0, 0), nodes=0).at_most == pytest.approx(155.0)
    assert bounded(short, 0.1, (0, 0)).at_most == pytest.approx(150.0)


def test_how_far_from_the_best_it_may_be_is_the_bound_less_what_was_found() -> None:
    """Martello and Toth 1990, Knapsack Problems, chapter 2: 280 is the best.

    Dantzig's bound before any search: 15 + 100 + 90 + 60 + 40 x 30 / 40 = 295. Searched to the end
    nothing is left.
    """
    profits, weights = (15, 100, 90, 60, 40, 15, 10, 1), (2, 20, 20, 30, 40, 30, 60, 10)
    lots = [sure(p, w) for p, w in zip(profits, weights, strict=True)]
    cut = choose(lots, Limits(money=102.0), nodes=0)
    assert (cut.gain, cut.short) == pytest.approx((280.0, 15.0))
    assert choose(lots, Limits(money=102.0)).short == pytest.approx(0.0, abs=1e-9)


def test_what_breaks_a_limit_oftener_than_it_did_is_given_up_and_no_more() -> None:
    """By hand: 5 of 100 worlds where it was chosen, 20 of 100 where it is held against; 10 may be.

    The other lot never costs more than its 10.
    """
    at = np.arange(8_000)
    dear = np.where(at < 4_000, at % 100 < 5, at % 100 < 20)
    row = np.full((1, 8_000), 200.0)
    now_and_then = replace(sure(0.0, 10.0, 8_000), pays=np.where(dear, 900.0, 10.0)[None], gain=row)
    choice = choose([now_and_then, sure(40.0, 10.0, 8_000)], Limits(money=100.0))
    assert choice.levels == (0, 1)
    assert (choice.over, choice.held) == (0.0, True)
    assert choose([now_and_then], Limits(money=1_000.0)).levels == (1,)


def test_what_is_won_and_breaks_a_limit_just_as_often_as_it_may_is_held() -> None:
    """By hand: 1 of 10 worlds, 1 of 10 may be; of 2 of 10 it is not."""
    at = np.arange(40)
    for dear, held in ((at % 10 < 1, True), (at % 10 < 2, False)):
        won = replace(sure(9.0, 10.0, 40), pays=np.where(dear, 900.0, 10.0)[None], held=True)
        choice = choose([won], Limits(money=100.0, odds=0.9))
        assert (choice.levels, choice.held) == ((1,), held)
        assert choice.over == pytest.approx(dear.mean())


def test_a_lot_that_meets_one_of_two_needs_leaves_the_other_to_the_next() -> None:
    """By hand: it turns and does not mill, so the mill is kept for 90 and the lathe sold for 20."""
    row = np.zeros((2, 1))
    turns = Candidate(
        np.zeros(1), row[:1] == 0, row[:1], np.array([[500.0], [100.0]]), row, row, row[0],
        ("milling", "turning"), (0, 0, 0, 1), (2, 0),
    )  # fmt: skip
    mill = replace(turns, gain=np.array([[90.0], [10.0]]), needs=("milling",), option_of=(0, 1),
                   meets=(1, 0))  # fmt: skip
    lathe = replace(mill, gain=np.array([[70.0], [20.0]]), needs=("turning",))
    lots = [lathe, mill, turns]
    assert in_order(lots) == (2, 1, 0)
    assert [float(one.gain[0]) for one in each_of(lots, (1, 1, 1))] == [20.0, 90.0, 500.0]


@pytest.mark.parametrize(("level", "wins"), [(1, 1), (2, 2)])
def test_what_is_lost_takes_nothing_and_what_is_won_what_that_bid_pays(
    level: int, wins: int
) -> None:
    """By hand: the lower bid wins in one of three worlds at 50, the higher one in two at 80."""
    one = Candidate(
        bids=np.array([50.0, 80.0]), wins=np.arange(3) < np.array([[1], [2]]),
        pays=np.repeat([[50.0], [80.0]], 3, 1), gain=np.full((1, 3), 200.0),
        money=np.full((1, 3), 30.0), hours=np.full((1, 3), 12.0), floor=np.full(3, 9.0),
    )  # fmt: skip
    came, paid, won = came_of([one], (level,)), one.bids[level - 1], np.arange(3) < wins
    assert came.gain == pytest.approx(np.where(won, 200.0 - paid, 0.0))
    assert came.money == pytest.approx(np.where(won, paid + 30.0, 0.0))
    assert came.hours == pytest.approx(np.where(won, 12.0, 0.0))
    assert came.floor == pytest.approx(np.where(won, 9.0, 0.0))
    table = Table((one,), Limits(money=1e6, hours=1e6, floor=1e6))
    part = table.whole((level,))
    assert part.gain == pytest.approx(float(came.gain.mean()))
    assert part.spent == pytest.approx(np.stack([came.money, came.hours, came.floor]))
    assert table.over(part.spent) == 0.0
    tight = Table((one,), Limits(hours=11.0))
    assert tight.over(tight.whole((level,)).spent) == pytest.approx(wins / 3)
