"""Made-up restorations: cards of machines in bits, with hoist, waits, drying and places held."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from typing import Any

import numpy as np
from numpy.random import Generator

from retrue.plan.jobs import After, Draws, Hands, Schedule, Shared, Task

START = datetime(2026, 11, 26, 18, 0, tzinfo=timezone(timedelta(hours=1)))
ME = Hands(
    name="me",
    evenings=((0, 19.5, 22.0), (1, 19.5, 22.0), (2, 19.5, 22.0), (3, 19.5, 22.0), (5, 9.0, 13.0)),
    away=((date(2026, 12, 24), date(2026, 12, 27)),),
)
SON = Hands(name="son", evenings=((2, 19.0, 22.0), (5, 9.0, 12.0)), may=0, helps_only=True)
FRIEND = Hands(name="friend", evenings=((1, 19.5, 22.0), (3, 19.5, 22.0), (5, 10.0, 16.0)), may=2)
HOURS_SD, LEAD_SD, PACE_SD = 0.45, 0.3, 0.15  # of logarithms
PLACES = 7


def tasks_of(rng: Generator, machine: str, cards: int, *, hired: bool = False) -> list[Task]:
    """Cards of one machine: found, places opened, worked in and closed, then power to paint."""
    made: list[Task] = []

    def add(name: str, hours: float, *after: After, **more: Any) -> str:
        key = f"{machine}:{name}"
        made.append(
            Task(key=key, machine=machine, hours=round(4 * hours) / 4, after=tuple(after), **more)
        )
        return key

    def hours(low: float, high: float) -> float:
        return float(np.exp(rng.uniform(np.log(low), np.log(high))))

    found = add("found", hours(1, 3))
    ends = 9
    work = cards - ends - 1 - 3 * PLACES
    shares = np.bincount(rng.integers(0, PLACES, work), minlength=PLACES)
    opened: list[str] = []
    closed: list[str] = []
    for place in range(PLACES):
        behind = [After(task=str(rng.choice(opened)))] if opened and rng.random() < 0.4 else []
        heavy = rng.random() < 0.3
        shut = f"{machine}:close{place}"
        opening = add(f"open{place}", hours(0.5, 3), After(task=found), *behind,
                      needs=(("hoist", 1),) if heavy else (), unbroken=heavy and rng.random() < 0.5,
                      holds=shut if heavy else "",
                      holding=(("floor", 1),) if heavy else ())  # fmt: skip
        opened.append(opening)
        clean = add(f"clean{place}", hours(0.5, 4), After(task=opening))
        done = [After(task=clean, days=float(rng.integers(0, 2)))]
        for number in range(shares[place]):
            key, sort = f"work{place}.{number}", rng.random()
            part = f"{machine}:{key}"
            if sort < 0.2 and shares[place] - number > 1:
                lead = float(rng.choice([7, 10, 14, 21, 28, 42]))
                wait = After(task=opening, days=lead, part=part)
                done.append(After(task=add(key, hours(0.5, 3), wait, After(task=clean))))
            elif sort < 0.3:
                sent = add(f"send{place}.{number}", hours(0.5, 1.5), After(task=opening))
                lead = float(rng.choice([10, 14, 21, 30]))
                done.append(After(task=add(key, hours(1, 4), After(task=sent, days=lead, part=part),
                                           needs=(("hoist", 1),) if heavy else ())))  # fmt: skip
            elif sort < 0.4:
                done.append(After(task=add(key, hours(0.5, 3), After(task=clean), part=part,
                                           not_before=float(rng.integers(3, 30)))))  # fmt: skip
            else:
                short = rng.random() < 0.2
                done.append(After(task=add(key, hours(0.5, 2.25 if short else 5),
                                           After(task=clean), unbroken=short),
                                  days=1.0 if rng.random() < 0.1 else 0.0))  # fmt: skip
        closed.append(add(f"close{place}", hours(0.5, 2), *done,
                          needs=(("hoist", 1),) if heavy else ()))  # fmt: skip
    data = add("cells", 0.5, After(task=found), not_before=float(rng.integers(0, 10)))
    power = add("power", 1.5, *(After(task=each) for each in closed), After(task=data))
    stops = add("stops", 1.0, After(task=power))
    grip = add("grip", 0.5, After(task=stops))
    level = add("level", hours(1, 3), After(task=grip), unbroken=False)
    shape = add("geometry", hours(2, 6), After(task=level, days=1.0))
    add("run_in", hours(2, 4), After(task=shape))
    paint = add("paint", hours(2, 8), After(task=shape), good_part=False)
    add("covers", hours(1, 3), After(task=paint, days=2.0), good_part=False)
    while len(made) > cards:
        made = _less(made)
    if hired:
        made = [_lifted(t) for t in made]
    return made


def _less(tasks: list[Task]) -> list[Task]:
    """Without the first piece of work that was not sent out."""
    here = [task for task in tasks if ":work" in task.key
            and not any(":send" in each.task for each in task.after)]  # fmt: skip
    return [replace(task, after=tuple(a for a in task.after if a.task != here[0].key))
            for task in tasks if task is not here[0]]  # fmt: skip


def _lifted(task: Task) -> Task:
    return replace(task, needs=tuple(("lift", n) if name == "hoist" else (name, n)
                                     for name, n in task.needs))  # fmt: skip


def restoration(
    seed: int,
    machines: int = 2,
    cards: int = 60,
    *,
    hands: tuple[Hands, ...] = (ME,),
    hired: bool = False,
) -> Schedule:
    """One lot of machines, all its cards; the same seed gives the same."""
    rng = np.random.default_rng([seed, machines, cards])
    names = [chr(ord("A") + number) for number in range(machines)]
    tasks = [task for name in names for task in tasks_of(rng, name, cards, hired=hired)]
    saturdays = tuple(START.date() + timedelta(days=2 + 14 * n) for n in range(40))
    return Schedule(
        start=START,
        tasks=tuple(tasks),
        hands=hands,
        shared=(Shared(name="hoist"), Shared(name="floor", count=2),
                Shared(name="lift", days=saturdays)),
        day_worth={name: float(rng.integers(3, 30)) for name in names},
        run_in_days=dict.fromkeys(names, 3.0),
    )  # fmt: skip


def luck(schedule: Schedule, worlds: int, seed: int) -> Draws:
    """How it could go: every task, every wait, one pace for all."""
    rng = np.random.default_rng([seed, worlds])

    def about(spread: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.exp(spread * rng.standard_normal(worlds) - spread**2 / 2)

    pace = about(PACE_SD)
    hours, days, later = {}, {}, {}
    for task in schedule.tasks:
        hours[task.key] = task.hours * pace * about(HOURS_SD)
        needed = rng.random(worlds) < (0.7 if "work" in task.key else 1.0)
        hours[task.key] = hours[task.key] * needed
        for each in task.after:
            if each.part:
                days[task.key, each.task] = each.days * about(LEAD_SD) * needed
        if task.not_before:
            later[task.key] = task.not_before * about(LEAD_SD)
    return Draws(worlds=worlds, hours=hours, days=days, not_before=later)
