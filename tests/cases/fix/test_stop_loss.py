"""Go on or stop: what is spent stands on neither side, what is still to come stands one for one."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.cases.fix.choosing import burnt, figure, scene
from tests.cases.priced import lot

from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.fix.far import Far, far_of, from_here, plan_of
from retrue.cases.fix.options import stop_of
from retrue.cases.fix.scene import Scene
from retrue.cases.fix.stop_loss import stop_loss_of
from retrue.cases.plans import Plan

HERE = Far(here=True)


@cache
def both() -> Scene:
    return scene(lot())


def stop(far: Far = HERE, index: int = 0, plan: Plan | None = None, **more: float) -> StopLoss:
    return stop_loss_of(both().view.chooser, index, plan or plan_of("keep", "right"), far, **more)


def test_more_money_still_to_spend_lowers_going_on_one_for_one_and_stopping_not_at_all() -> None:
    less, more = stop(), stop(more_money=700.0)
    assert more.go_on == pytest.approx(less.go_on - 700.0)
    assert more.still_money == pytest.approx(less.still_money + 700.0)
    assert (more.sell_as_it_stands, more.part_out) == (less.sell_as_it_stands, less.part_out)
    assert more.stop_at == pytest.approx(less.stop_at)


@pytest.mark.parametrize("index", [0, 1])
def test_at_the_money_named_both_are_as_good(index: int) -> None:
    first = stop(index=index)
    assert first.ahead_by > 0.0, "nothing is asked where stopping is better already"
    tied = stop(index=index, more_money=first.stop_at - first.still_money)
    assert tied.ahead_by == pytest.approx(0.0, abs=1e-6)
    beyond = stop(index=index, more_money=first.stop_at - first.still_money + 1.0)
    assert beyond.best == "sell_as_it_stands"
    assert beyond.odds <= first.odds


def test_what_is_spent_moves_nothing_once_it_is_here() -> None:
    """Removal and rig-in at ten times their money: before it came it matters, after that not."""
    dear = burnt(cost_lines=(figure("E11", 20_000), figure("E12", 20_000), figure("E24", 20_000),
                             figure("E25", 20_000)))  # fmt: skip
    cheap = burnt()
    assert stop_of(scene(dear, arrived=True)) == stop_of(scene(cheap, arrived=True))
    assert stop_of(scene(dear)).go_on < stop_of(scene(cheap)).go_on - 10_000


def test_the_sum_is_what_comes_in_less_what_still_goes_out() -> None:
    prospect = from_here(both().view.chooser.prospects[0], HERE)
    told = stop()
    as_found = prospect.as_found
    out = prospect.landing.selling + prospect.months(as_found.days)
    hours = prospect.landing.selling_hours * prospect.settled.rate
    assert told.sell_as_it_stands == pytest.approx(float((as_found.brings - out - hours).mean()))
    assert not np.any(prospect.floor_money)
    assert told.ahead_by == pytest.approx(told.go_on - max(told.sell_as_it_stands, told.part_out))
    assert 0.0 <= told.odds <= 1.0


def test_hours_cost_their_rate_and_earlier_hours_of_another_machine_cost_time() -> None:
    assert stop(hours_before=200.0).go_on < stop().go_on
    assert stop(hours_before=200.0).sell_as_it_stands == stop().sell_as_it_stands


@pytest.mark.parametrize("index", [0, 1])
def test_the_choice_is_made_by_means_even_where_going_on_turns_out_better_more_often(
    index: int,
) -> None:
    """A unit of money over the tie stopping is better on average, and yet going on wins mostly."""
    first = stop(index=index)
    tie = first.stop_at - first.still_money
    before, beyond = stop(index=index, more_money=tie - 1), stop(index=index, more_money=tie + 1)
    assert (before.best, beyond.best) == ("go_on", "sell_as_it_stands")
    assert before.odds == pytest.approx(beyond.odds, abs=0.01)
    assert beyond.odds > 0.53  # a choice by the greater number of worlds would go on


def test_a_machine_that_runs_stands_for_more_than_one_nobody_woke() -> None:
    running = stop(far=Far(here=True, powered=True, running=True))
    assert running.sell_as_it_stands != stop().sell_as_it_stands
    assert running.still_money < stop().still_money
    prospect = from_here(both().prospect, Far(here=True, powered=True, running=True))
    bench = prospect.workshop.bench
    by_hand = np.ones(len(prospect.age))
    for fault, there in zip(bench.faults, bench.states, strict=True):
        by_hand[there] *= 1.0 - fault.resale_drop_share
    assert np.asarray(prospect.left_now) == pytest.approx(by_hand)


def test_nothing_done_nothing_behind() -> None:
    state = both().state
    assert far_of(state) == Far()
    assert far_of(state, arrived=True) == HERE
    assert from_here(both().prospect, Far()) is both().prospect
    woken = replace(state, signed=frozenset({"apart", "power_up"}))
    assert far_of(woken) == Far(here=True, powered=True)


def test_the_words_say_what_is_still_to_come_and_where_to_stop() -> None:
    assert "still takes about" in stop().words
    assert "would be as good if" in stop().words
    lost = stop(more_money=50_000.0)
    assert "is ahead of going on" in lost.words
    assert lost.stop_at == pytest.approx(stop().stop_at)
