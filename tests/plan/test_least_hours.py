"""What is not begun with an evening's leftovers waits for an evening with room."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone

import numpy as np
import pytest

from retrue.plan.freeze import freeze
from retrue.plan.ground import ground
from retrue.plan.jobs import After, Draws, Hands, Schedule, Task
from retrue.plan.replay import replay
from retrue.plan.solve import solve
from retrue.plan.walk import walk

START = datetime(2026, 11, 30, 12, tzinfo=timezone(timedelta(hours=1)))  # a Monday
ME = Hands(name="me", evenings=((0, 19.5, 22.0), (2, 19.5, 22.0)))
FRIEND = Hands(name="friend", evenings=((4, 19.5, 20.0),), helps_only=True)
FIRST = Task(key="close", machine="A", hours=1.5)
POWER = Task(key="power", machine="A", hours=4.0, least_hours=2.0, after=(After(task="close"),))


def begins(power: Task, *hands: Hands) -> datetime:
    made = solve(Schedule(start=START, tasks=(FIRST, power), hands=hands), seconds=0.1)
    return next(one.begins for one in made.placed if one.key == "power")


@pytest.mark.parametrize("hands", [(ME,), (ME, FRIEND)])
def test_it_waits_for_an_evening_with_room_and_without_the_rule_it_would_not(
    hands: tuple[Hands, ...],
):
    assert begins(POWER, *hands).day == 2
    assert begins(replace(POWER, least_hours=0.0), *hands).day == 30
    assert begins(replace(POWER, hours=1.0), *hands).day == 30  # it fits whole


def test_where_no_evening_is_that_long_it_begins_with_the_longest():
    long = replace(POWER, least_hours=8.0)
    assert begins(long, ME).isoformat(timespec="minutes") == "2026-12-02T19:30+01:00"


@pytest.mark.parametrize("hands", [(ME,), (ME, FRIEND)])
def test_in_the_runs_as_in_the_plan(hands: tuple[Hands, ...]):
    made = Schedule(start=START, tasks=(FIRST, POWER), hands=hands)
    draws = Draws(worlds=2, hours={"close": np.array([1.5, 0.5]), "power": np.array([4.0, 2.0])},
                  days={}, not_before={}, run_in_days={"A": np.zeros(2)})  # fmt: skip
    order = solve(made, seconds=0.1)
    if order.priority:
        days = walk(ground(made), order.priority, draws).days["A"]
    else:
        days = replay(freeze(made, order), draws).days["A"]
    ends = [START + timedelta(days=float(one)) for one in days]
    assert [one.isoformat(timespec="minutes") for one in ends] == [
        "2026-12-07T21:00+01:00", "2026-11-30T22:00+01:00"]  # fmt: skip
