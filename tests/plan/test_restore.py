"""Carrying out a plan in every world, against sums made by hand."""

import numpy as np
import pytest

from retrue.base.chance import two_sixteens
from retrue.plan.inverse import coarse, pert_table
from retrue.plan.restore import Restorer, Steps, WayNumbers

WORLDS = 40_000


def way(key: str, money: float, hours: float, cures: float, **more: object) -> WayNumbers:
    """A way whose money and hours are certain."""
    given = {"paid_if_it_fails": 1.0, "lead_days": 0.0, "opens": 0, **more}
    return WayNumbers(
        key=key,
        money=coarse(pert_table([money], [money], [money])[0]),
        hours=coarse(pert_table([hours], [hours], [hours])[0]),
        cures=cures,
        **given,
    )


def draw(name: str) -> np.ndarray:
    return two_sixteens(1, "a lot", name, worlds=WORLDS)


def present(*shares: float) -> np.ndarray:
    rng = np.random.Generator(np.random.Philox(5))
    return rng.random((len(shares), WORLDS)) < np.array(shares)[:, None]


def test_money_and_hours_are_those_of_the_steps_reached() -> None:
    """Mean by hand: 10 + 0.6 x 100 + 0.6 x 0.1 x 100 where the fault is there."""
    states = np.ones((1, WORLDS), dtype=bool)
    ways = (way("F:clean", 10, 1, 0.4), way("F:replace", 100, 2, 0.9))
    effort = Restorer(states, ways, draw).effort((Steps(row=0, ways=(0, 1), surest=1),))
    assert effort.parts.mean() == pytest.approx(10 + 60 + 6, rel=0.01)
    assert effort.hours.mean() == pytest.approx(1 + 1.2 + 0.12, rel=0.01)
    assert set(np.unique(effort.parts)) == {10.0, 110.0, 210.0}


def test_where_the_fault_is_not_nothing_is_spent() -> None:
    states = present(0.3)
    effort = Restorer(states, (way("F:r", 50, 3, 1.0, opens=5),), draw).effort(
        (Steps(row=0, ways=(0,), surest=0),)
    )
    assert not effort.parts[~states[0]].any()
    assert not effort.opened[~states[0]].any()
    assert (effort.parts[states[0]] == 50).all()
    assert (effort.opened[states[0]] == 5).all()


def test_failed_outside_work_is_paid_in_part_but_the_surest_in_full() -> None:
    states = np.ones((1, WORLDS), dtype=bool)
    ways = (way("F:outside", 100, 0, 0.5, paid_if_it_fails=0.2, bucket="outside"),)
    effort = Restorer(states, ways, draw).effort((Steps(row=0, ways=(0,), surest=0),))
    assert set(np.round(np.unique(effort.outside), 3)) == {100.0, 120.0}
    assert not effort.parts.any()
    assert effort.outside.mean() == pytest.approx(0.5 * 100 + 0.5 * 120, rel=0.01)


def test_a_rewind_brings_the_bearings_along() -> None:
    """What a way heals beside is not paid again; what it misses is."""
    states = np.ones((2, WORLDS), dtype=bool)
    ways = (way("rewind", 600, 5, 1.0, also=((1, 0.75),)), way("bearings", 200, 4, 1.0))
    plan = (Steps(row=0, ways=(0,), surest=0), Steps(row=1, ways=(1,), surest=1))
    effort = Restorer(states, ways, draw).effort(plan)
    assert effort.parts.mean() == pytest.approx(600 + 0.25 * 200, rel=0.01)


def test_the_longest_wait_counts_and_the_price_of_a_unit_is_multiplied() -> None:
    states = np.ones((2, WORLDS), dtype=bool)
    ways = (way("a", 10, 1, 1.0, lead_days=12.0), way("b", 10, 1, 1.0, lead_days=20.0))
    plan = (Steps(row=0, ways=(0,), surest=0, units=3), Steps(row=1, ways=(1,), surest=1))
    effort = Restorer(states, ways, draw).effort(plan)
    assert (effort.lead_days == 20).all()
    assert (effort.parts == 40).all()
    assert (effort.hours == 4).all()


def test_living_with_it_lowers_the_resale_only_where_it_holds() -> None:
    states = np.ones((1, WORLDS), dtype=bool)
    ways = (way("F:live_with", 0, 0, 0.7, log_drop=-0.1), way("F:repair", 80, 2, 1.0))
    effort = Restorer(states, ways, draw).effort((Steps(row=0, ways=(0, 1), surest=1),))
    lived = effort.log_drop < 0
    assert lived.mean() == pytest.approx(0.7, abs=0.01)
    assert (effort.parts[lived] == 0).all()
    assert (effort.parts[~lived] == 80).all()


def test_what_is_healed_before_costs_nothing_and_the_bill_is_not_remembered_wrongly() -> None:
    states = np.ones((1, WORLDS), dtype=bool)
    restorer = Restorer(states, (way("F:r", 50, 1, 1.0),), draw)
    plan = (Steps(row=0, ways=(0,), surest=0),)
    gone = np.arange(WORLDS) % 2 == 0
    assert (restorer.effort(plan, already={0: gone}).parts == np.where(gone, 0, 50)).all()
    assert (restorer.effort(plan).parts == 50).all()


def test_more_worlds_leave_the_first_ones_as_they_were() -> None:
    states = present(0.4, 0.7)
    ways = (way("a", 10, 1, 0.5), way("b", 30, 2, 0.8))
    plan = (Steps(row=0, ways=(0,), surest=0), Steps(row=1, ways=(1,), surest=1))
    many = Restorer(states, ways, draw).effort(plan)

    def fewer(name: str) -> np.ndarray:
        return two_sixteens(1, "a lot", name, worlds=500)

    few = Restorer(states[:, :500], ways, fewer).effort(plan)
    assert (few.parts == many.parts[:500]).all()
    assert (few.hours == many.hours[:500]).all()
