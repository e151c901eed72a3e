"""A frozen plan played through many runs says what a plain life of it says, run by run."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from functools import partial

import numpy as np
import pytest
from bench.evenings import Life

from retrue.plan.by_walk import by_walk
from retrue.plan.freeze import freeze
from retrue.plan.jobs import After, Draws, Hands, Order, Schedule, Shared, Task
from retrue.plan.player import Player
from retrue.plan.promise import days_gained, longer_leads, ordered_now, promises, slack
from retrue.plan.replay import replay
from retrue.plan.solve import solve

clock = partial(datetime, tzinfo=timezone(timedelta(hours=1)))
ME = Hands(name="me", evenings=((0, 19.5, 22.0), (2, 19.5, 22.0), (3, 20.0, 23.0), (5, 9.0, 12.0)),
           away=((date(2026, 12, 24), date(2026, 12, 26)),))  # fmt: skip
SON = Hands(name="son", evenings=((2, 19.0, 21.0), (5, 10.0, 16.0)), may=0, helps_only=True)
FRIEND = Hands(name="friend", evenings=((1, 19.0, 22.0), (5, 9.0, 13.0)), may=2,
               also=((date(2026, 12, 6), 10.0, 15.0),))  # fmt: skip
SATURDAYS = tuple(date(2026, 11, 28 + 14 * n) if n == 0 else date(2026, 12, 12) for n in range(2))


def shop(seed: int, hands: tuple[Hands, ...], count: int = 16) -> Schedule:
    """Two machines' tasks with all that may get in the way."""
    rng = np.random.default_rng(seed)
    tasks: list[Task] = []
    for number in range(count):
        machine = "AB"[int(rng.integers(0, 2))]
        before = [t for t in tasks if t.machine == machine]
        after = tuple(
            After(task=str(key), days=float(rng.choice([0, 0, 0.5, 3, 7.25])), part="p")
            for key in rng.choice([t.key for t in before], min(len(before), 2), replace=False)
        )
        tasks.append(
            Task(key=f"{machine}{number}", machine=machine, hours=float(rng.integers(1, 13)) / 4,
                 people=2 if len(hands) > 1 and rng.random() < 0.2 else 1,
                 unbroken=bool(rng.random() < 0.3) and len(hands) < 3,
                 needs=(("hoist", 1),) if rng.random() < 0.3 else (),
                 not_before=float(rng.choice([0, 0, 0, 4.3])), after=after)
        )  # fmt: skip
    tasks = [replace(t, hours=min(t.hours, 2.0)) if t.unbroken else t for t in tasks]
    mine = [t for t in tasks if t.machine == "A"]
    tasks = [replace(t, holds=mine[-1].key, holding=(("floor", 1),))
             if t is mine[0] and len(mine) > 1 else t for t in tasks]  # fmt: skip
    return Schedule(start=clock(2026, 11, 26, 20, 20), tasks=tuple(tasks), hands=hands,
                    shared=(Shared(name="hoist"), Shared(name="floor", count=2)),
                    day_worth={"A": 3.0, "B": 2.0}, run_in_days={"A": 2.0})  # fmt: skip


def luck(made: Schedule, seed: int, worlds: int) -> Draws:
    rng = np.random.default_rng(seed)
    hours = {t.key: t.hours * rng.lognormal(0, 0.5, worlds) * (rng.random(worlds) < 0.8)
             for t in made.tasks}  # fmt: skip
    days = {(t.key, a.task): a.days * rng.lognormal(0, 0.3, worlds) * (rng.random(worlds) < 0.7)
            for t in made.tasks for a in t.after if a.days}  # fmt: skip
    later = {t.key: t.not_before * rng.lognormal(0, 0.3, worlds)
             for t in made.tasks if t.not_before}  # fmt: skip
    return Draws(worlds=worlds, hours=hours, days=days, not_before=later)


@pytest.mark.parametrize("hands", [(ME,), (ME, SON), (ME, FRIEND, SON)], ids=len)
@pytest.mark.parametrize("seed", range(3))
def test_every_run_ends_each_task_when_a_plain_life_of_the_plan_does(seed, hands):
    made = shop(seed, hands)  # any plan will do, so the search is short
    plan = by_walk(made, rounds=1) if len(hands) > 1 else solve(made, seconds=0.05)
    assert len(plan.placed) + len(plan.left_out) == len(made.tasks)
    draws = luck(made, seed, 12)
    played = replay(freeze(made, plan), draws)
    life = Life(made, plan, days=200)
    midnight = clock(2026, 11, 26)
    for world in range(draws.worlds):
        ended = life.live(
            {key: values[world] for key, values in draws.hours.items()},
            {key: values[world] for key, values in draws.days.items()},
            {key: values[world] for key, values in draws.not_before.items()},
        )
        for key, at in ended.items():
            days = at / 96 - (made.start - midnight).total_seconds() / 86400
            assert played.ends[key][world] == pytest.approx(days, abs=1e-9), (key, world)


def test_as_expected_nothing_ends_later_than_the_plan_says():
    made = shop(3, (ME, SON))
    plan = solve(made, seconds=0.5)
    once = Player(made, plan).play(Draws(worlds=1))
    for placed in plan.placed:
        planned = (placed.ends - made.start).total_seconds() / 86400
        assert once.ends[placed.key][0] <= planned + 1e-9
        assert once.begins[placed.key][0] <= once.ends[placed.key][0]


def test_a_hired_lift_is_waited_for_and_a_task_stays_within_its_days():
    lift = Shared(name="lift", days=SATURDAYS)
    tasks = (Task(key="A1", machine="A", hours=2.0, needs=(("lift", 1),)),
             Task(key="A2", machine="A", hours=2.0, needs=(("lift", 1),)))  # fmt: skip
    made = Schedule(start=clock(2026, 11, 26), tasks=tasks, hands=(ME,), shared=(lift,))
    plan = solve(made)
    assert [each.begins for each in plan.placed] == [
        clock(2026, 11, 28, 9), clock(2026, 12, 12, 9)
    ]  # fmt: skip
    hours = {"A1": np.array([1.0, 2.0]), "A2": np.array([2.0, 1.0])}
    played = replay(freeze(made, plan), Draws(worlds=2, hours=hours))
    assert played.ends["A2"].tolist() == pytest.approx([2.5, 2.5])
    assert played.days["A"].tolist() == pytest.approx([2.5, 2.5])


def test_a_run_longer_than_the_calendar_laid_out_lays_out_more():
    made = Schedule(start=clock(2026, 11, 26), hands=(ME,),
                    tasks=(Task(key="a", machine="A", hours=1.0),))  # fmt: skip
    hours = {"a": np.array([1.0, 1100.0])}
    days = replay(freeze(made, solve(made)), Draws(worlds=2, hours=hours)).days["A"]
    assert 690 < days[1] < 710  # 11 hours a week


def test_what_a_date_hangs_on_is_what_moves_it():
    wait = After(task="open", days=20, part="P")
    part = Task(key="fit", machine="A", hours=1.0, after=(wait,))
    side = Task(key="side", machine="A", hours=1.0, after=(After(task="open"),))
    made = Schedule(start=clock(2026, 11, 26), hands=(ME,), day_worth={"A": 1.0},
                    tasks=(Task(key="open", machine="A", hours=1.0), part, side))  # fmt: skip
    plan = solve(made)
    draws = Draws(worlds=3, days={("fit", "open"): np.array([20.0, 40.0, 0.0])})
    one = promises(made, plan, draws)[0]
    shares = dict(one.late_by)
    assert shares["part:P"] == pytest.approx(2 / 3)
    assert shares["open"] == 1.0
    assert shares["fit"] == 1.0
    assert shares["side"] == pytest.approx(1 / 3)  # where nothing is waited for, in the way
    assert one.nine_of_ten > one.even >= one.expected
    waits = slack(made, plan)
    assert waits["open"] == waits["fit"] == 0
    assert 10 < waits["side"] < 20
    chain = (Task(key="a", machine="A", hours=1.0), Task(key="b", machine="A", hours=1.0),
             Task(key="c", machine="A", hours=1.0, after=(After(task="a", days=5),)))  # fmt: skip
    waits = slack(replace(made, tasks=chain), solve(replace(made, tasks=chain)))
    assert waits["c"] == 0
    assert 0 < waits["a"] < 0.2  # until the end of the evening: c begins on one anyway


def test_who_is_idle_while_a_part_is_awaited_does_not_hang_the_date_on_what_he_did_before():
    late = Task(key="late", machine="A", hours=1.0, not_before=20.0, part="P")
    last = Task(key="last", machine="A", hours=1.0, not_before=20.0)
    wait = Task(key="fit", machine="B", hours=1.0, after=(After(task="first", days=3, part="Q"),))
    made = Schedule(start=clock(2026, 11, 26), hands=(ME,), tasks=(
        Task(key="first", machine="B", hours=1.0), wait, late, last))  # fmt: skip
    draws = Draws(worlds=2, days={("fit", "first"): np.array([3.0, 0.0])})
    found = {one.machine: dict(one.late_by) for one in promises(made, solve(made), draws)}
    assert set(found["A"]) == {"late", "last", "part:P"}
    assert found["B"] == {"first": 1.0, "fit": 1.0, "part:Q": 0.5}


def test_ordering_now_wins_the_days_of_opening_and_longer_waits_cost_theirs():
    wait = After(task="open", days=7, part="P")
    tasks = (
        Task(key="open", machine="A", hours=22.0),
        Task(key="fit", machine="A", hours=1.0, after=(wait,)),
        Task(key="use", machine="A", hours=1.0, after=(After(task="fit", days=7),)),
    )
    steady = replace(ME, away=())
    made = Schedule(start=clock(2026, 11, 26), hands=(steady,), tasks=tasks)
    frozen = freeze(made, solve(made))
    draws = Draws(worlds=2)
    played = replay(frozen, draws)
    gained = days_gained(frozen, played.days, ordered_now(made, draws, "P"))
    assert ordered_now(made, draws, "P").not_before["fit"].tolist() == [7.0, 7.0]
    assert gained["A"].tolist() == pytest.approx(
        [7.0, 7.0]
    )  # 22 hours are two weeks: it is there before
    longer = days_gained(frozen, played.days, longer_leads(made, draws, 2.0))
    assert longer["A"].tolist() == pytest.approx([-7.0, -7.0])  # what dries dries as before


def test_a_task_that_waits_with_nothing_to_do_keeps_nobody_from_work():
    tasks = (Task(key="A1", machine="A", hours=1.0, not_before=10.0),
             Task(key="B1", machine="B", hours=1.0, not_before=11.0))  # fmt: skip
    made = Schedule(start=clock(2026, 11, 26), hands=(ME,), tasks=tasks)
    draws = Draws(worlds=1, hours={"A1": np.zeros(1)}, not_before={"B1": np.zeros(1)})
    played = replay(freeze(made, solve(made)), draws)
    assert played.ends["B1"][0] == 0.875
    assert played.ends["A1"][0] == 10.0


def test_an_empty_plan_plays_to_nothing():
    made = Schedule(start=clock(2026, 11, 26), hands=(ME,), tasks=())
    assert promises(made, Order(placed=()), Draws(worlds=5)) == ()
