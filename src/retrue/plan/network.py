"""A schedule made ready for planning: tasks by number, the ways each can be done, what is left out.

All time is in quarter-hours: of work along an `Axis`, of the calendar from the midnight before the
plan starts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

import numpy as np

from retrue.plan.calendar import (
    CAP_DAYS,
    QUARTERS_A_DAY,
    Axis,
    Counts,
    axis,
    fitting,
    next_start,
    quarter,
)
from retrue.plan.jobs import QUARTERS_AN_HOUR, LeftOut, Schedule, Task


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One way to man a task: who, their common time, where it may begin.

    Attributes
    ----------
    people : tuple of int
        Numbers of the hands.
    axis : int
        Number of their working time in `Network.axes`.
    starts : ndarray or None
        The next start from every working quarter, for the expected hours; None: at once.
    longest : int
        The longest stretch into which it can fit, in quarter-hours.
    """

    people: tuple[int, ...]
    axis: int
    starts: Counts | None = None
    longest: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """A task by number, all in quarter-hours.

    Attributes
    ----------
    before : tuple of (job, lag, part)
    gate : int
        Quarter of the calendar before which it cannot begin.
    takes : tuple of (thing, count)
        While it lasts.
    holds : tuple of (thing, count)
        From its beginning until the end of ``until``.
    """

    key: str
    machine: str
    quarters: int
    before: tuple[tuple[int, int, str], ...]
    gate: int
    ways: tuple[Way, ...]
    takes: tuple[tuple[int, int], ...] = ()
    holds: tuple[tuple[int, int], ...] = ()
    until: int = -1
    good_part: bool = True
    part: str = ""
    unbroken: bool = False
    least: int = 0  # quarters that must be left of an evening where it is begun
    dated: tuple[int, ...] = ()  # things it needs that are there on certain days


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """All that can be planned; jobs stand after what they come after."""

    schedule: Schedule
    jobs: tuple[Job, ...]
    axes: tuple[Axis, ...]
    counts: tuple[int, ...]  # of every shared thing
    start: int  # quarter of the calendar
    held: tuple[tuple[int, int, int], ...]  # from the start: thing, count, until which job
    left_out: tuple[LeftOut, ...]

    @property
    def machines(self) -> tuple[str, ...]:
        """Machines with something to do, in the order of the tasks."""
        return tuple(dict.fromkeys(job.machine for job in self.jobs if job.machine))


def quarters(hours: float) -> int:
    """Working hours in whole quarters, at least one if there is anything to do.

    Parameters
    ----------
    hours : float

    Returns
    -------
    int

    Examples
    --------
    >>> quarters(0.0), quarters(0.05), quarters(1.0)
    (0, 1, 4)
    """
    return max(1, round(hours * QUARTERS_AN_HOUR)) if hours > 0 else 0


def network(schedule: Schedule, *, days: int = CAP_DAYS) -> Network:
    """Number the tasks, find who can do each and where, and leave out what cannot be planned.

    Parameters
    ----------
    schedule : Schedule
    days : int
        How far ahead the calendar is laid out.

    Returns
    -------
    Network

    Notes
    -----
    What is done is over: it holds nobody up, and nothing dries after it any more; a wait that
    still runs after it belongs into ``not_before`` of what waits. What a done task holds, it
    holds from the start.

    References
    ----------
    Our own. Elementary loops: Tarjan 1972 is not needed at this size; a walk finds one.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import After, Hands
    >>> me = Hands(name="me", evenings=((3, 19.5, 22.0),))
    >>> tasks = (Task(key="a", machine="V", hours=1.0, after=(After(task="b"),)),
    ...          Task(key="b", machine="V", hours=1.0, after=(After(task="a"),)))
    >>> made = network(Schedule(start=datetime(2026, 11, 26), tasks=tasks, hands=(me,)))
    >>> [(each.key, each.why, each.about["loop"]) for each in made.left_out]
    [('a', 'circular', 'a > b > a'), ('b', 'circular', 'a > b > a')]
    """
    return _Reading(schedule, days).network()


class _Reading:
    """One reading of a schedule."""

    def __init__(self, schedule: Schedule, days: int) -> None:
        self.schedule = schedule
        self.days = days
        self.start = quarter(schedule.start, schedule.start)
        self.tasks = {task.key: task for task in schedule.tasks}
        self.things = {thing.name: number for number, thing in enumerate(schedule.shared)}
        self.axes: list[Axis] = []
        self.axis_of: dict[tuple[int, ...], int] = {}
        self.out: dict[str, LeftOut] = {}
        self.way = cache(self._way)

    def network(self) -> Network:
        before = {key: self._before(task) for key, task in self.tasks.items()}
        self._circular(before)
        ways = {
            key: self._ways(task)
            for key, task in self.tasks.items()
            if key not in self.out and not task.done
        }
        self._waiting(before)
        order = self._sorted(before)
        number = {key: place for place, key in enumerate(order)}
        jobs = tuple(self._job(self.tasks[key], number, ways[key]) for key in order)
        held = tuple(
            (thing, count, number[task.holds])
            for task in self.schedule.tasks
            if task.done and task.holds in number
            for thing, count in self._holding(task)
        )
        return Network(
            self.schedule,
            jobs,
            tuple(self.axes),
            tuple(thing.count for thing in self.schedule.shared),
            self.start,
            held,
            tuple(self.out[key] for key in self.tasks if key in self.out),
        )

    def _before(self, task: Task) -> tuple[str, ...]:
        """What comes before a task; whoever holds something until it ends does too."""
        if task.done:
            return ()
        holders = [t.key for t in self.schedule.tasks if t.holds == task.key and t.holding]
        return tuple(dict.fromkeys([*(each.task for each in task.after), *holders]))

    def _leave(self, key: str, why: str, **about: str) -> None:
        self.out.setdefault(key, LeftOut(key=key, why=why, about=about))

    def _circular(self, before: dict[str, tuple[str, ...]]) -> None:
        for key in before:
            if key not in self.out and (loop := _loop(before, key)):
                for each in loop:
                    self._leave(each, "circular", loop=" > ".join((*loop, loop[0])))

    def _waiting(self, before: dict[str, tuple[str, ...]]) -> None:
        again = True
        while again:
            again = False
            for key, needed in before.items():
                lost = [each for each in needed if each in self.out or each not in self.tasks]
                if key not in self.out and lost:
                    self._leave(key, "waits_for_left_out", task=lost[0])
                    again = True

    def _sorted(self, before: dict[str, tuple[str, ...]]) -> list[str]:
        """Tasks to plan, each after what it waits for, else as they were given."""
        order: list[str] = []
        seen: set[str] = set()

        def visit(key: str) -> None:
            if key in seen or key in self.out or self.tasks[key].done:
                return
            seen.add(key)
            for each in before[key]:
                visit(each)
            order.append(key)

        for key in before:
            visit(key)
        return order

    def _job(self, task: Task, number: dict[str, int], ways: tuple[Way, ...]) -> Job:
        before = [
            (number[each.task], max(0, round(each.days * QUARTERS_A_DAY)), each.part)
            for each in task.after
            if each.task in number
        ]
        before += [
            (number[each.key], 0, "")
            for each in self.schedule.tasks
            if each.holds == task.key and each.holding and each.key in number
        ]
        until = number.get(task.holds, -1)
        takes, holds = self._things(task, until >= 0)
        return Job(
            key=task.key,
            machine=task.machine,
            quarters=quarters(task.hours),
            before=tuple(before),
            gate=self.start + max(0, round(task.not_before * QUARTERS_A_DAY)),
            ways=ways,
            takes=takes,
            holds=holds,
            until=until,
            good_part=task.good_part,
            part=task.part,
            unbroken=task.unbroken,
            least=_least(task),
            dated=self._dated(task),
        )

    def _things(
        self, task: Task, kept: bool
    ) -> tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]:
        """What a task takes while it lasts beside what is held, and what it holds."""
        takes = dict(task.needs)
        over = task.holds in self.tasks and self.tasks[task.holds].done
        for name, count in task.holding:
            if kept:
                takes[name] = takes.get(name, 0) - count
            elif not over:
                takes[name] = max(takes.get(name, 0), count)
        for each in self.schedule.tasks:
            if each.holds == task.key:
                for name, count in each.holding:
                    takes[name] = takes.get(name, 0) - count
        return (
            tuple((self.things[name], count) for name, count in takes.items() if count > 0),
            self._holding(task) if kept else (),
        )

    def _holding(self, task: Task) -> tuple[tuple[int, int], ...]:
        return tuple((self.things[name], count) for name, count in task.holding if count > 0)

    def _ways(self, task: Task) -> tuple[Way, ...]:
        if not self._countable(task):
            return ()
        crews = self._crews(task)
        if not crews:
            self._leave(task.key, "nobody", people=str(task.people), may=str(task.may))
            return ()
        timed = [crew for crew in crews if self._axis(crew).quarters]
        if not timed:
            alone = [c for c in range(len(self.schedule.hands)) if self._axis((c,)).quarters]
            apart = task.people > 1 and len(alone) >= task.people
            self._leave(task.key, "nobody" if apart else "no_end", people=str(task.people),
                        **({"together": "never"} if apart else {}))  # fmt: skip
            return ()
        return self._fitting(task, timed)

    def _dated(self, task: Task) -> tuple[int, ...]:
        named = {self.things[name] for name, _ in (*task.needs, *task.holding)}
        return tuple(sorted(each for each in named if self.schedule.shared[each].days))

    def _fitting(self, task: Task, crews: Sequence[tuple[int, ...]]) -> tuple[Way, ...]:
        """Of the ways to man a task those into whose evenings and days it fits."""
        size = quarters(task.hours)
        dated = self._dated(task)
        ways = [self.way(crew, task.unbroken, dated, size, _least(task)) for crew in crews]
        good = tuple(way for way in ways if way.starts is None or way.longest >= max(size, 1))
        if good or not size:
            return good or tuple(ways)
        evening = max(self._axis(crew).longest() for crew in crews)
        about = {"hours": f"{size / QUARTERS_AN_HOUR:g}"}
        if task.unbroken and evening < size:
            about["longest_hours"] = f"{evening / QUARTERS_AN_HOUR:g}"
            self._leave(task.key, "no_evening", **about)
        else:
            about["thing"] = ", ".join(self.schedule.shared[each].name for each in dated)
            about["longest_hours"] = f"{max(w.longest for w in ways) / QUARTERS_AN_HOUR:g}"
            self._leave(task.key, "no_day", **about)
        return ()

    def _way(
        self, crew: tuple[int, ...], unbroken: bool, dated: tuple[int, ...], size: int, least: int
    ) -> Way:
        one = self._axis(crew)
        if least and not unbroken and not dated:
            ends = fitting(one, self.schedule.start, unbroken=True, days=())
            starts = next_start(ends, max(min(size, least), 1), runs_over=True)
            return Way(crew, self.axis_of[crew], starts, max(one.quarters, size))
        if not unbroken and not dated:
            return Way(crew, self.axis_of[crew])
        days = [self.schedule.shared[thing].days for thing in dated]
        ends = fitting(one, self.schedule.start, unbroken=unbroken, days=days)
        longest = int((ends - np.arange(len(ends))).max(initial=0))
        return Way(crew, self.axis_of[crew], next_start(ends, max(size, 1)), longest)

    def _countable(self, task: Task) -> bool:
        """Tell whether there is as much of every shared thing as a task needs."""
        for name, count in (*task.needs, *task.holding):
            have = self.schedule.shared[self.things[name]].count if name in self.things else 0
            if count > have:
                self._leave(task.key, "no_day", thing=name, needs=str(count), count=str(have))
                return False
        return True

    def _crews(self, task: Task) -> list[tuple[int, ...]]:
        hands = self.schedule.hands

        def leads(number: int) -> bool:
            return not hands[number].helps_only and hands[number].may >= task.may

        return [
            crew
            for crew in combinations(range(len(hands)), task.people)
            if any(leads(each) for each in crew) or not task.people
        ]

    def _axis(self, crew: tuple[int, ...]) -> Axis:
        if crew not in self.axis_of:
            people = [self.schedule.hands[each] for each in crew]
            made = axis(people, self.schedule.start, self.days)
            same = [
                place
                for place, old in enumerate(self.axes)
                if old.quarters == made.quarters and (old.begins == made.begins).all()
            ]
            self.axis_of[crew] = same[0] if same else len(self.axes)
            if not same:
                self.axes.append(made)
        return self.axes[self.axis_of[crew]]


def _least(task: Task) -> int:
    """Quarters that must be left of an evening; 0: none, or other rules say where it begins."""
    return quarters(task.least_hours) if not task.unbroken else 0


def _loop(before: dict[str, tuple[str, ...]], key: str) -> tuple[str, ...]:
    """The shortest way round from a task back to itself, each before the next; empty: none."""
    paths: list[tuple[str, ...]] = [(key,)]
    seen = {key}
    for path in paths:  # grows while it is walked
        for each in before.get(path[0], ()):
            if each == key:
                return (key, *path[:-1])
            if each not in seen:
                seen.add(each)
                paths.append((each, *path))
    return ()
