"""Several people walked through many runs do what they do quarter by quarter, and never idle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from functools import partial
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from bench.taking_turns import Shop

from retrue.plan.by_walk import by_walk
from retrue.plan.calendar import moment, working
from retrue.plan.freeze import freeze
from retrue.plan.gather import gathered
from retrue.plan.ground import ground
from retrue.plan.held_up import held_up
from retrue.plan.jobs import After, Draws, Hands, Schedule, Shared, Task
from retrue.plan.player import Player
from retrue.plan.promise import longer_leads, ordered_now
from retrue.plan.replay import replay
from retrue.plan.solve import solve
from retrue.plan.walk import walk

clock = partial(datetime, tzinfo=timezone(timedelta(hours=1)))
START = clock(2026, 11, 26, 20, 20)
ME = Hands(name="me", evenings=((0, 19.5, 22.0), (2, 19.5, 22.0), (3, 20.0, 23.0), (5, 9.0, 12.0)),
           away=((date(2026, 12, 24), date(2026, 12, 26)),))  # fmt: skip
SON = Hands(name="son", evenings=((2, 19.0, 21.0), (5, 10.0, 16.0)), may=0, helps_only=True)
FRIEND = Hands(name="friend", evenings=((1, 19.0, 22.0), (5, 9.0, 13.0)), may=2,
               also=((date(2026, 12, 6), 10.0, 15.0),))  # fmt: skip
HIRED = (date(2026, 11, 28), date(2026, 12, 12))


def shop(seed: int, hands: tuple[Hands, ...], count: int = 18) -> Schedule:
    """Two machines' tasks with all that may get in the way."""
    rng = np.random.default_rng(seed)
    tasks: list[Task] = []
    for number in range(count):
        machine = "AB"[int(rng.integers(0, 2))]
        mine = [t.key for t in tasks if t.machine == machine]
        after = tuple(
            After(task=str(key), days=float(rng.choice([0, 0, 0.5, 3, 7.25])), part="p")
            for key in rng.choice(mine, min(len(mine), 2), replace=False)
        )
        whole = bool(rng.random() < 0.3)
        tasks.append(Task(
            key=f"{machine}{number}", machine=machine, after=after, unbroken=whole,
            hours=float(rng.integers(1, 8 if whole else 16)) / 4,
            people=2 if len(hands) > 1 and rng.random() < 0.25 else 1,
            may=int(rng.random() < 0.2),
            needs=(("hoist", 1),) if rng.random() < 0.3 else (),
            not_before=float(rng.choice([0, 0, 0, 4.3])),
        ))  # fmt: skip
    for machine in "AB":
        mine = [t.key for t in tasks if t.machine == machine]
        if len(mine) > 2:
            tasks = [replace(t, holds=mine[-1], holding=(("floor", 1),))
                     if t.key in mine[: 1 + seed % 2] else t for t in tasks]  # fmt: skip
    days = HIRED if seed % 3 == 0 else ()
    return Schedule(start=START, tasks=tuple(tasks), hands=hands,
                    shared=(Shared(name="hoist", days=days), Shared(name="floor", count=2)),
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


def one_run(draws: Draws, world: int) -> list[dict[Any, float]]:
    rows: list[Mapping[Any, Any]] = [draws.hours, draws.days, draws.not_before]
    return [{key: float(row[world]) for key, row in one.items()} for one in rows]


@pytest.mark.parametrize(
    "hands", [(ME,), (ME, SON), (ME, FRIEND), (ME, FRIEND, SON)], ids=["1", "helper", "2", "3"]
)
@pytest.mark.parametrize("seed", range(5))
def test_every_run_is_what_a_plain_life_by_the_same_list_is(seed, hands):
    made = shop(seed, hands)
    laid = ground(made)
    keys = [job.key for job in laid.net.jobs]
    listed = [keys[at] for at in np.random.default_rng(seed).permutation(len(keys))]
    draws = luck(made, seed, 4)
    walked = walk(laid, listed, draws)
    life = Shop(made, listed, days=200)
    offset = (made.start - clock(2026, 11, 26)).total_seconds() / 86400
    for world in range(draws.worlds):
        lived = life.live(*one_run(draws, world))
        assert walked.given_up[world] == lived.cleared
        for key, at in lived.ended.items():
            assert walked.ends[key][world] == pytest.approx(at / 96 - offset, abs=1e-9), key


def test_a_run_in_which_all_places_are_held_clears_them_and_goes_on():
    held = {"holding": (("floor", 1),), "machine": "A"}
    tasks = (*(Task(key=key, hours=1.0, holds="z", **held) for key in "ab"),
             Task(key="z", machine="A", hours=1.0))  # fmt: skip
    made = Schedule(start=START, tasks=tasks, hands=(ME, SON), shared=(Shared(name="floor"),))
    draws = Draws(worlds=2, hours={"b": np.array([1.0, 0.0])})
    walked = walk(ground(made), ("a", "b", "z"), draws)
    assert walked.given_up.tolist() == [1, 0]
    lived = Shop(made, ["a", "b", "z"], days=30).live({}, {}, {})
    assert lived.cleared == 1
    assert walked.ends_at[:, 0].max() == lived.ended["z"]


def test_a_card_for_two_broken_off_leaves_the_evenings_between_to_other_work():
    tasks = (Task(key="two", machine="A", hours=4.0, people=2),
             Task(key="one", machine="A", hours=6.0))  # fmt: skip
    son = replace(SON, evenings=((5, 10.0, 12.0),))
    plan = solve(Schedule(start=START, tasks=tasks, hands=(ME, son)))
    two, one = (next(p for p in plan.placed if p.key == key) for key in ("two", "one"))
    assert [piece[0].date() for piece in two.pieces] == [date(2026, 11, 28), date(2026, 12, 5)]
    assert one.ends < two.ends
    assert plan.by_rule
    assert 0 <= plan.gap < 1


def test_a_plan_keeps_hours_people_and_their_evenings():
    made = shop(1, (ME, SON), 24)
    plan = by_walk(made, rounds=2)
    task = {one.key: one for one in made.tasks}
    there = {}
    for one in made.hands:
        quarters = np.flatnonzero(working(one, made.start, 400))
        there[one.name] = {moment(made.start, int(at)) for at in quarters}
    busy: dict[str, list[tuple[datetime, datetime]]] = {"me": [], "son": []}
    for placed in plan.placed:
        worked = sum((end - begin for begin, end in placed.pieces), timedelta())
        assert worked == timedelta(hours=task[placed.key].hours)
        assert (placed.pieces[0][0], placed.pieces[-1][1]) == (placed.begins, placed.ends)
        assert len(placed.people) == task[placed.key].people
        assert len(placed.pieces) == 1 or not task[placed.key].unbroken
        for name in placed.people:
            busy[name] += placed.pieces
            for begin, end in placed.pieces:
                assert {begin, end - timedelta(minutes=15)} <= there[name]
        for each in task[placed.key].after:
            before = next(p for p in plan.placed if p.key == each.task)
            assert placed.begins >= before.ends + timedelta(days=each.days)
    for pieces in busy.values():
        assert all(one[1] <= other[0] for one, other in pairwise(sorted(pieces)))


def test_who_may_work_out_of_turn_is_sooner_than_who_keeps_to_an_order():
    sooner = []
    for seed in range(4):
        made = replace(
            shop(seed, (ME,)), shared=(Shared(name="hoist"), Shared(name="floor", count=4))
        )
        plan = solve(made, seconds=0.05)  # any plan will do
        draws = luck(made, seed, 60)
        strict = replay(freeze(made, plan), draws).days
        free = walk(ground(made), [p.key for p in plan.placed], draws).days
        sooner.append(sum(float((strict[m] - free[m]).mean()) for m in strict))
    assert min(sooner) >= -0.5
    assert np.mean(sooner) > 0.1


def test_a_helper_who_comes_more_often_brings_dates_nearer():
    often = replace(SON, evenings=(*SON.evenings, (0, 19.5, 22.0), (3, 20.0, 23.0)))
    ends = []
    for hands in ((ME, SON), (ME, often)):
        plans = [by_walk(shop(seed, hands), rounds=1) for seed in range(1, 4)]
        ends.append([max(p.ends for p in plan.placed) for plan in plans])
    gained = [(one - other) / timedelta(days=1) for one, other in zip(*ends, strict=True)]
    assert np.mean(gained) > 0


def test_the_same_input_gives_the_same_plan_and_the_plan_until_now_stays():
    made = shop(2, (ME, FRIEND, SON), 12)
    few = 4  # rounds enough for a list that another seed does not better
    plan = by_walk(made, rounds=few)
    assert by_walk(made, rounds=few) == plan
    assert by_walk(made, rounds=few, before=plan, seed=8) == plan
    new = Task(key="new", machine="A", hours=0.25, good_part=False)
    more = by_walk(replace(made, tasks=(*made.tasks, new)), rounds=few, before=plan)
    listed = tuple(key for key in more.priority if key != "new")
    assert listed == plan.priority
    assert by_walk(made, rounds=1, seed=3).priority != ()


def test_what_cannot_be_done_is_left_out_by_name_and_all_else_is_planned():
    tasks = (Task(key="a", machine="A", hours=1.0, people=3), Task(key="b", machine="A", hours=1.0),
             Task(key="c", machine="A", hours=1.0, after=(After(task="a"),)),
             Task(key="d", machine="A", hours=1.0, people=2),
             Task(key="e", machine="A", hours=4.0, unbroken=True))  # fmt: skip
    plan = solve(Schedule(start=START, tasks=tasks, hands=(ME, SON)))
    assert [(one.key, one.why) for one in plan.left_out] == [
        ("a", "nobody"), ("c", "waits_for_left_out"), ("e", "no_evening")
    ]  # fmt: skip
    assert {placed.key for placed in plan.placed} == {"b", "d"}


def test_what_time_goes_by_adds_up_and_names_who_is_waited_for():
    wait = After(task="one", days=20.0, part="P")
    tasks = (Task(key="one", machine="A", hours=1.0),
             Task(key="fit", machine="A", hours=1.0, people=2, after=(wait,)),
             Task(key="other", machine="B", hours=30.0))  # fmt: skip
    made = Schedule(start=START, tasks=tasks, hands=(ME, SON), day_worth={"A": 2.0, "B": 1.0})
    walked = walk(ground(made), ("one", "fit", "other"), luck(made, 1, 50), why=True)
    for machine in "AB":
        assert sum(share for _, share in held_up(walked, machine)) == pytest.approx(1.0, abs=0.02)
    told = dict(held_up(walked, "A"))
    assert told["part:P"] > 0.3
    assert told["hands:son"] > 0
    late = dict(
        held_up(walk(ground(made), ("one", "fit", "other"), Draws(worlds=1), why=True), "A")
    )
    assert set(late) == {"one", "part:P", "hands:son", "fit"}
    assert late["part:P"] == max(late.values())


def test_ordering_now_brings_days_and_longer_waits_cost_them():
    wait = After(task="open", days=30, part="P")
    tasks = (Task(key="open", machine="A", hours=12.0),
             Task(key="fit", machine="A", hours=1.0, people=2, after=(wait,)))  # fmt: skip
    made = Schedule(start=START, tasks=tasks, hands=(ME, SON))
    player, draws = Player(made, solve(made)), Draws(worlds=2)
    now, late = player.gained(draws, [ordered_now(made, draws, "P"), longer_leads(made, draws, 2)])
    assert (now["A"] >= 7).all()
    assert (late["A"] <= -28).all()
    assert player.slack() == {"open": 1.0, "fit": 0.0}  # either way it is that Saturday


def test_what_is_hired_is_used_on_fewer_days_where_that_pays():
    saved = []
    for seed in (1, 2, 4):
        made = shop(seed, (ME, SON), 24)
        plan = by_walk(made, rounds=1)
        lifts = {task.key for task in made.tasks if task.needs}
        dear = gathered(made, plan, "hoist", 500.0)
        few, many = ({a.date() for p in one.placed if p.key in lifts for a, _ in p.pieces}
                     for one in (dear, plan))  # fmt: skip
        saved.append(len(many) - len(few))
        assert {p.key for p in dear.placed} == {p.key for p in plan.placed}
    assert min(saved) >= 0
    assert max(saved) > 0
