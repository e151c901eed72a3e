"""The planner against all orders there are, against a general library, and against the absurd."""

from __future__ import annotations

import builtins
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from functools import partial
from itertools import permutations

import numpy as np
import pytest
from bench.restorations import restoration

from retrue.plan.calendar import quarter
from retrue.plan.jobs import After, Hands, Order, Schedule, Shared, Task
from retrue.plan.network import network
from retrue.plan.priority import Bench, by_list, by_rule, cost
from retrue.plan.solve import solve

clock = partial(datetime, tzinfo=timezone(timedelta(hours=1)))
START = clock(2026, 11, 26, 12)
ME = Hands(name="me", evenings=((0, 19.5, 22.0), (2, 20.0, 22.0), (3, 19.5, 21.0), (5, 9.0, 12.0)))
YOU = Hands(name="you", evenings=((1, 19.0, 22.0), (5, 9.0, 12.0)), may=2)


def days_cost(made: Schedule, plan: Order) -> float:
    """Days until the good parts, by their worth, read off the plan."""
    tasks = {task.key: task for task in made.tasks}
    ends: dict[str, datetime] = {}
    for placed in plan.placed:
        machine = tasks[placed.key].machine
        if machine and tasks[placed.key].good_part:
            ends[machine] = max(ends.get(machine, placed.ends), placed.ends)
    return sum(
        made.day_worth[m] * (end - made.start) / timedelta(days=1) for m, end in ends.items()
    )


def small(seed: int, count: int = 6) -> Schedule:
    rng = np.random.default_rng(seed)
    tasks: list[Task] = []
    for number in range(count):
        machine = "AB"[int(rng.integers(0, 2))]
        mine = [task.key for task in tasks if task.machine == machine]
        after = tuple(After(task=str(key), days=float(rng.choice([0, 0, 1, 2.5, 9])))
                      for key in rng.choice(mine, min(len(mine), 1), replace=False))  # fmt: skip
        tasks.append(
            Task(key=f"{machine}{number}", machine=machine, hours=float(rng.integers(1, 7)) / 4,
                 unbroken=bool(rng.random() < 0.4), after=after,
                 not_before=float(rng.choice([0, 0, 0, 3, 8])))
        )  # fmt: skip
    firsts = [t for t in tasks if not t.after]
    for first in firsts:
        last = [t for t in tasks if t.machine == first.machine][-1]
        if last is not first and rng.random() < 0.7:
            tasks = [replace(t, holds=last.key, holding=(("floor", 1),)) if t.key == first.key
                     else t for t in tasks]  # fmt: skip
    worth = {"A": float(rng.integers(1, 9)), "B": float(rng.integers(1, 9))}
    return Schedule(start=START, tasks=tuple(tasks), hands=(ME,), shared=(Shared(name="floor"),),
                    day_worth=worth)  # fmt: skip


@pytest.mark.parametrize("seed", range(8))
def test_no_order_of_all_there_are_is_better(seed):
    made = small(seed)
    plan = solve(made)
    assert plan.proved
    net = network(made)
    bench = Bench(net)
    whole = [by_list(bench, order) for order in permutations(range(len(net.jobs)))]
    best = min(cost(net, spots)[1] for spots in whole if len(spots) == len(net.jobs))
    assert days_cost(made, plan) == pytest.approx(best * max(made.day_worth.values()), rel=1e-9)


def test_what_the_solver_proves_can_be_laid_out_as_it_says():
    """A wait modelled too loosely would promise what the calendar does not hold."""
    plan = solve(restoration(1, 2, 32))
    assert plan.proved
    assert plan.gap == 0


def test_the_same_input_gives_the_same_plan_to_the_byte():
    made = small(3, 14)
    assert repr(solve(made)).encode() == repr(solve(made)).encode()


@pytest.mark.parametrize("seed", range(3))
def test_a_general_library_finds_the_same_weighted_ends(seed):
    """PyJobShop, a general library for scheduling: one person at work round the clock."""
    pyjobshop = pytest.importorskip("pyjobshop", reason="the second model is not installed")
    rng = np.random.default_rng(seed)
    always = Hands(name="me", evenings=tuple((day, 0.0, 24.0) for day in range(7)))
    tasks: list[Task] = []
    for number in range(12):
        mine = [t.key for t in tasks if t.machine == "AB"[number % 2]]
        after = tuple(After(task=str(key), days=float(rng.integers(0, 40)) / 96)
                      for key in rng.choice(mine, min(len(mine), 2), replace=False))  # fmt: skip
        tasks.append(Task(key=f"{'AB'[number % 2]}{number}", machine="AB"[number % 2],
                          hours=float(rng.integers(1, 20)) / 4, after=after))  # fmt: skip
    made = Schedule(start=clock(2026, 11, 26), tasks=tuple(tasks), hands=(always,),
                    day_worth={"A": 2.0, "B": 1.0})  # fmt: skip
    model = pyjobshop.Model()
    me = model.add_machine()
    rows = {}
    jobs = {m: model.add_job(weight=int(made.day_worth[m])) for m in "AB"}
    for task in tasks:
        rows[task.key] = model.add_task(job=jobs[task.machine])
        model.add_mode(rows[task.key], me, duration=round(task.hours * 4))
        for each in task.after:
            model.add_end_before_start(rows[each.task], rows[task.key], round(each.days * 96))
    model.set_objective(weight_total_flow_time=1)
    theirs = model.solve(solver="ortools", time_limit=20, display=False, num_workers=1)
    assert days_cost(made, solve(made)) * 96 == pytest.approx(theirs.objective)


def resource_project(seed: int) -> tuple[Schedule, int]:
    """A small project on two resources of four each, and its shortest end of all lists."""
    rng = np.random.default_rng(seed)
    tasks: list[Task] = []
    for number in range(6):
        before = rng.choice(number, min(number, int(rng.integers(0, 3))), replace=False)
        hours = float(rng.integers(1, 9)) / 4
        tasks.append(Task(key=str(number), machine="P", hours=hours, people=0,
                          needs=(("R1", int(rng.integers(0, 4))), ("R2", int(rng.integers(1, 4)))),
                          after=tuple(After(task=str(each)) for each in before)))  # fmt: skip
    sizes = [round(task.hours * 4) for task in tasks]
    shortest = sum(sizes)
    for order in permutations(range(6)):
        starts: dict[int, int] = {}
        for number in order:
            if any(int(a.task) not in starts for a in tasks[number].after):
                break
            at = max([starts[int(a.task)] + sizes[int(a.task)] for a in tasks[number].after] or [0])
            while any(
                sum(dict(tasks[other].needs)[name] for other in starts
                    if starts[other] <= t < starts[other] + sizes[other])
                + dict(tasks[number].needs)[name] > 4
                for t in range(at, at + sizes[number]) for name in ("R1", "R2")
            ):  # fmt: skip
                at += 1
            starts[number] = at
        else:
            shortest = min(shortest, max(starts[n] + sizes[n] for n in starts))
    made = Schedule(start=clock(2026, 11, 26), tasks=tuple(tasks), hands=(ME,),
                    shared=(Shared(name="R1", count=4), Shared(name="R2", count=4)))  # fmt: skip
    return made, shortest


@pytest.mark.parametrize("seed", range(3))
def test_projects_that_only_resources_bind_end_as_soon_as_any_list_ends(seed):
    made, shortest = resource_project(seed)
    plan = solve(made)
    assert plan.proved
    assert max(quarter(made.start, placed.ends) for placed in plan.placed) == shortest
    rule = by_rule(network(made))
    assert max(spot.ends for spot in rule) <= shortest * 1.03


def test_two_share_the_work_and_what_needs_both_waits_for_both():
    tasks = (Task(key="both", machine="A", hours=1.0, people=2),
             Task(key="wire", machine="A", hours=2.0, may=2),
             Task(key="one", machine="A", hours=2.0))  # fmt: skip
    made = Schedule(start=START, tasks=tasks, hands=(ME, YOU), day_worth={"A": 1.0})
    plan = solve(made)
    rows = {placed.key: placed for placed in plan.placed}
    assert rows["both"].people == ("me", "you")
    assert rows["both"].begins.date() == date(2026, 11, 28)
    assert max(placed.ends for placed in plan.placed) == clock(2026, 11, 28, 12)
    assert rows["wire"].people == ("you",)
    assert plan.by_rule
    assert 0 <= plan.gap < 0.5
    helper = replace(YOU, helps_only=True)
    alone = solve(replace(made, hands=(ME, helper)))
    assert [(each.key, each.why) for each in alone.left_out] == [("wire", "nobody")]


def test_two_with_the_same_hours_are_planned_by_the_solver_too():
    tasks = tuple(Task(key=str(n), machine="A", hours=1.25) for n in range(4))
    made = Schedule(start=START, tasks=tasks, hands=(ME, replace(ME, name="twin")))
    plan = solve(made)
    assert plan.proved
    assert max(placed.ends for placed in plan.placed) == clock(2026, 11, 28, 10)


def test_a_small_change_keeps_the_order_that_ran():
    made = small(5, 14)
    made = replace(made, tasks=tuple(replace(t, after=tuple(After(task=a.task) for a in t.after))
                                     for t in made.tasks))  # fmt: skip
    plan = solve(made)
    again = solve(made, before=plan)
    assert again.placed == plan.placed
    first = plan.placed[0].key
    done = replace(made, start=plan.placed[0].ends, tasks=tuple(
        replace(t, done=t.key == first) for t in made.tasks))  # fmt: skip
    later = solve(done, before=plan)
    assert first not in [placed.key for placed in later.placed]
    was = [placed.key for placed in plan.placed if placed.key != first]
    assert [placed.key for placed in later.placed] == was
    other = Order(placed=tuple(reversed(plan.placed)))
    keys = [t.key for t in made.tasks if not t.after and not t.holds][:2]
    kept = solve(made, before=other, fixed=keys)
    order = [placed.key for placed in kept.placed if placed.key in keys]
    assert order == [placed.key for placed in other.placed if placed.key in keys]


def test_without_the_solver_the_plain_rule_plans(monkeypatch):
    real = builtins.__import__

    def missing(name, *rest, **more):
        if name.startswith("ortools"):
            raise ImportError(name)
        return real(name, *rest, **more)

    made = small(2)
    best = days_cost(made, solve(made))
    monkeypatch.setattr(builtins, "__import__", missing)
    plan = solve(made)
    assert plan.by_rule
    assert not plan.proved
    assert len(plan.placed) == len(made.tasks)
    assert best <= days_cost(made, plan) <= 1.1 * best


def left_out(*tasks: Task, hands: tuple[Hands, ...] = (ME,), **more: object) -> dict[str, tuple]:
    made = Schedule(start=START, tasks=(*tasks, Task(key="fine", machine="A", hours=1.0)),
                    hands=hands, **more)  # fmt: skip
    plan = solve(made)
    assert len(plan.placed) + len(plan.left_out) == len(made.tasks)
    if hands[0].evenings:
        assert "fine" in [placed.key for placed in plan.placed]
    return {each.key: (each.why, dict(each.about)) for each in plan.left_out}


def test_openings_that_go_in_a_circle_name_the_circle_and_who_waits():
    a = Task(key="a", machine="A", hours=1.0, after=(After(task="c"),))
    b = Task(key="b", machine="A", hours=1.0, after=(After(task="a"),))
    c = Task(key="c", machine="A", hours=1.0, after=(After(task="b"),))
    d = Task(key="d", machine="A", hours=1.0, after=(After(task="b"),))
    found = left_out(a, b, c, d)
    assert found["a"] == ("circular", {"loop": "a > b > c > a"})
    assert found["d"] == ("waits_for_left_out", {"task": "b"})
    lost = left_out(Task(key="x", machine="A", hours=1.0, after=(After(task="unheard"),)))
    assert lost["x"] == ("waits_for_left_out", {"task": "unheard"})


def test_what_nobody_may_do_or_nobody_can_join_is_named():
    found = left_out(Task(key="two", machine="A", hours=1.0, people=2),
                     Task(key="wire", machine="A", hours=1.0, may=2))  # fmt: skip
    assert found["two"] == ("nobody", {"people": "2", "may": "0"})
    assert found["wire"] == ("nobody", {"people": "1", "may": "2"})
    apart = replace(YOU, evenings=((1, 19.0, 22.0),))
    found = left_out(Task(key="two", machine="A", hours=1.0, people=2), hands=(ME, apart))
    assert found["two"][1]["together"] == "never"


def test_what_is_longer_than_any_evening_names_the_longest():
    found = left_out(Task(key="pour", machine="A", hours=4.0, unbroken=True))
    assert found["pour"] == ("no_evening", {"hours": "4", "longest_hours": "3"})


def test_what_is_never_there_or_too_few_is_named():
    lift = Shared(name="lift", days=(date(2026, 11, 27),))
    found = left_out(Task(key="a", machine="A", hours=1.0, needs=(("lift", 1),)),
                     Task(key="b", machine="A", hours=1.0, needs=(("floor", 3),)),
                     Task(key="c", machine="A", hours=1.0, needs=(("crane", 1),)),
                     shared=(lift, Shared(name="floor", count=2)))  # fmt: skip
    assert found["a"] == ("no_day", {"hours": "1", "thing": "lift", "longest_hours": "0"})
    assert found["b"] == ("no_day", {"thing": "floor", "needs": "3", "count": "2"})
    assert found["c"][1]["count"] == "0"


def test_what_would_wait_for_itself_to_let_go_is_named():
    holds = Task(key="lift", machine="A", hours=1.0, holds="lower", holding=(("hoist", 1),))
    between = Task(key="turn", machine="A", hours=1.0, needs=(("hoist", 1),),
                   after=(After(task="lift"),))  # fmt: skip
    last = Task(key="lower", machine="A", hours=1.0, after=(After(task="turn"),))
    found = left_out(holds, between, last, shared=(Shared(name="hoist"),))
    assert found["turn"] == ("no_day", {"thing": "hoist", "held": "yes"})
    assert found["lower"] == ("waits_for_left_out", {"task": "turn"})


def test_a_calendar_that_never_works_again_is_named():
    once = Hands(name="me", evenings=(), also=((date(2026, 11, 28), 9.0, 11.0),))
    found = left_out(Task(key="long", machine="A", hours=9.0), hands=(once,))
    assert found == {"long": ("no_end", {})}
    found = left_out(Task(key="x", machine="A", hours=1.0), hands=(replace(ME, evenings=()),))
    assert found["x"][0] == "no_end"
