"""Days of hire: lifts of several machines share one; what is hardly needed asks for none."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from retrue.cases.fix.calendar_entries import calendar_entries
from retrue.cases.fix.hire import USUAL_DAY_COSTS, hire_days, likely_days, put_together
from retrue.cases.fix.lines import Card
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.week_lines import week_of
from retrue.cli.fix_card_lines import plan_lines
from retrue.kinds.judged import Three
from retrue.plan.jobs import After, Hands, Order, Placed, Schedule, Shared, Task
from retrue.plan.solve import solve

NOW = datetime(2026, 11, 26, 12, tzinfo=UTC)
ME = Hands(name="me", evenings=tuple((day, 19.0, 22.0) for day in range(5)))
LIFT = (("hoist", 1),)


def task(key: str, hours: float, *after: str, lift: bool = False) -> Task:
    return Task(key=key, machine=key[0], hours=hours, needs=LIFT if lift else (),
                after=tuple(After(task=one) for one in after))  # fmt: skip


def shop(*tasks: Task, worth: float = 10.0) -> Schedule:
    machines = dict.fromkeys((one.machine for one in tasks), worth)
    return Schedule(start=NOW, tasks=tasks, hands=(ME,), shared=(Shared(name="hoist"),),
                    day_worth=machines)  # fmt: skip


def planned(schedule: Schedule, *keys: str) -> Order:
    """Its own plan, listed in this order, as if the hoist were there every day."""
    rows = {one.key: one for one in solve(schedule, seconds=0.1).placed}
    return Order(placed=tuple(rows[key] for key in keys))


def days(order: Order, *keys: str) -> set[date]:
    return {one.begins.date() for one in order.placed if one.key in keys}


TWO = shop(
    task("a1", 1.0, lift=True), task("a2", 6.0), task("b1", 1.0, lift=True), task("b2", 6.0),
    task("a3", 1.0, "a1", "a2", lift=True), task("b3", 1.0, "b1", "b2", lift=True),
)  # fmt: skip
IN_TURN = ("a1", "a2", "a3", "b1", "b2", "b3")


def test_lifts_of_both_machines_share_a_day():
    order = planned(TWO, *IN_TURN)
    together = put_together(TWO, order, "hoist", 100.0)
    lifts = [key for key in IN_TURN if not key.endswith("2")]
    assert len(days(order, *lifts)) >= 3
    assert len(days(together, *lifts)) == 2
    assert {one.key for one in together.placed} == set(IN_TURN)


def test_nothing_is_put_off_for_a_lift_that_is_hardly_there():
    """A day of hire saved is worth its chance only: below what a day of the machine is worth."""
    made = shop(task("a1", 1.0, lift=True), task("a2", 6.0, "a1"), task("a3", 1.0, "a2", lift=True),
                task("b1", 2.0, lift=True), worth=40.0)  # fmt: skip
    order = planned(made, "a1", "a2", "a3", "b1")
    sure = put_together(made, order, "hoist", 100.0)
    rare = put_together(made, order, "hoist", 100.0, {"b1": 0.02})
    assert len(days(sure, "a1", "a3", "b1")) == 2
    assert days(rare, "a1", "a3") == days(order, "a1", "a3")


def test_with_several_people_a_day_counts_by_its_chance_as_well():
    """Together on the helper's evening the last ends an hour later: it pays for what is sure."""
    me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    son = Hands(name="son", evenings=((4, 20.0, 22.0),), helps_only=True)
    tasks = (task("a1", 1.0, lift=True), replace(task("a2", 1.0, lift=True), people=2))
    made = replace(shop(*tasks, worth=50.0), hands=(me, son))
    order = solve(made)
    assert order.priority
    sure = put_together(made, order, "hoist", 60.0)
    rare = put_together(made, order, "hoist", 60.0, {"a1": 0.01})
    assert len(days(sure, "a1", "a2")) == 1
    assert len(days(rare, "a1", "a2")) == 2


def card(key: str, chance: float) -> Card:
    return Card(key=key, lot="l", machine="a", machine_name="mill", sort="open", title=key,
                place="head", place_name="Head", steps=(), hours=Three(1.0, 1.0, 1.0), hoist=True,
                chance=chance)  # fmt: skip


def test_a_day_costs_what_is_usual_where_nobody_said_and_hardly_needed_ones_are_not_hired():
    at = {"a1": 1, "b1": 1, "a3": 5, "b3": 12}
    order = Order(placed=tuple(
        Placed(key=key, people=("me",), begins=NOW + timedelta(days=day),
               ends=NOW + timedelta(days=day, hours=1)) for key, day in at.items()
    ))  # fmt: skip
    chances = {"a1": 0.9, "a3": 0.05, "b1": 0.1, "b3": 0.6}
    cards = {key: (card(key, chance),) for key, chance in chances.items()}
    told = hire_days(TWO, order, "hoist", cards, None)
    assert all(one.assumed and one.costs == USUAL_DAY_COSTS for one in told)
    assert {one.costs for one in hire_days(TWO, order, "hoist", cards, 80.0)} == {80.0}
    assert [one.cards for one in told] == [("a1", "b1"), ("a3",), ("b3",)]
    assert [one.chance for one in told] == pytest.approx([0.91, 0.05, 0.6])
    assert [one.saved for one in told] == [USUAL_DAY_COSTS, 0, 0]
    assert [one.cards for one in likely_days(told)] == [("a1", "b1"), ("b3",)]
    view = PlanView(at="2026-11-26T12:00+00:00", lots=(), machines=(), rows=(), hire=told,
                    refused=(), hands=("me",), proved=True, by_rule=False, gap=0.0, seed=7,
                    worlds=1, currency="EUR")  # fmt: skip
    lines = " ".join(plan_lines(view))
    assert "hire it only if it is needed, about 1 in 20" in lines
    assert lines.count("the cost of a day is assumed") == 1
    weeks = [week_of(view, date.fromisoformat(one.on), {}).hire for one in told]
    assert [len(week) for week in weeks] == [1, 0, 1]
    marks = [entry.begins for entry in calendar_entries(view)]
    assert marks == [date.fromisoformat(told[at].on) for at in (0, 2)]
