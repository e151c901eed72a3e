"""People in a shop, quarter-hour by quarter-hour: whoever is there takes the next card he can do.

Slow and plain; shares nothing with the code that walks through many runs at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import combinations
from math import ceil, floor

from retrue.plan.jobs import Hands, Schedule, Task

DAY = 96  # quarter-hours
CALENDAR = 3 * 366  # days by which it is judged who is rarely there


def worked(one: Hands, schedule: Schedule, days: int) -> set[int]:
    """Quarter-hours, from the midnight before the start, that one person works."""
    found: set[int] = set()
    clock = schedule.start.hour * 60 + schedule.start.minute + schedule.start.second / 60
    for number in range(days):
        on = schedule.start.date() + timedelta(days=number)
        if any(first <= on <= last for first, last in one.away):
            continue
        hours = [(b, e) for weekday, b, e in one.evenings if weekday == on.weekday()]
        hours += [(b, e) for day, b, e in one.also if day == on]
        for begin, end in hours:
            found.update(range(number * DAY + ceil(begin * 4), number * DAY + floor(end * 4)))
    return {at for at in found if at * 15 >= clock}


@dataclass
class Now:
    """Where one run stands."""

    left: dict[str, int]
    days: Mapping[tuple[str, str], float]
    later: Mapping[str, float]
    begun: dict[str, int] = field(default_factory=dict)
    ended: dict[str, int] = field(default_factory=dict)
    going: dict[str, tuple[str, ...]] = field(default_factory=dict)
    held: dict[tuple[str, str], int] = field(default_factory=dict)  # by whom, what
    log: list[tuple[int, str, tuple[str, ...]]] = field(default_factory=list)
    cleared: int = 0


class Shop:
    """One schedule and one list of what is most pressing."""

    def __init__(self, schedule: Schedule, priority: Sequence[str], days: int = CALENDAR) -> None:
        self.schedule = schedule
        self.tasks = {task.key: task for task in schedule.tasks if task.key in set(priority)}
        self.rank = {key: at for at, key in enumerate(priority)}
        self.there = {one.name: worked(one, schedule, days) for one in schedule.hands}
        self.moments = sorted(set().union(*self.there.values()))
        self.start = -(-(schedule.start.hour * 60 + schedule.start.minute) // 15)
        self.count = {thing.name: thing.count for thing in schedule.shared}
        self.holders = {
            key: [one.key for one in self.tasks.values() if one.holds == key] for key in self.tasks
        }
        self.rooms: dict[tuple[str, ...], dict[int, tuple[int, int]]] = {}
        self.times: dict[tuple[str, ...], int] = {}
        self.crews = {key: self._crews(task) for key, task in self.tasks.items()}
        alone = [self._time(c) for k, cs in self.crews.items() for c in cs if len(c) == 1]
        self.scarce = {
            key: self.tasks[key].people > 1
            and max((self._time(c) for c in crews), default=0) <= max(alone, default=0) / 2
            for key, crews in self.crews.items()
        }

    def _time(self, crew: tuple[str, ...]) -> int:
        if crew not in self.times:
            self.times[crew] = len(set.intersection(*(self.there[name] for name in crew)))
        return self.times[crew]

    def _crews(self, task: Task) -> list[tuple[str, ...]]:
        found = []
        for crew in combinations(self.schedule.hands, task.people):
            names = tuple(one.name for one in crew)
            if not any(one.may >= task.may and not one.helps_only for one in crew):
                continue
            if self._longest(task, names) >= round(task.hours * 4):
                skill = sum(one.may + (not one.helps_only) for one in crew)
                found.append((skill, [self.schedule.hands.index(one) for one in crew], names))
        return [names for _, _, names in sorted(found)]

    def _longest(self, task: Task, names: tuple[str, ...]) -> int:
        names_needed = {name for name, _ in (*task.needs, *task.holding)}
        hired = [thing.days for thing in self.schedule.shared
                 if thing.days and thing.name in names_needed]  # fmt: skip
        if not task.unbroken and not hired:
            return self._time(names) and 1 << 20
        common = sorted(set.intersection(*(self.there[name] for name in names)))
        best = run = 0
        for place, at in enumerate(common):
            if task.unbroken and place and common[place - 1] != at - 1:
                run = 0
            here = all(self._on(at) in days for days in hired)
            run = run + 1 if here else 0
            best = max(best, run)
        return best

    def _on(self, at: int) -> date:
        return self.schedule.start.date() + timedelta(days=at // DAY)

    def live(self, hours: Mapping[str, float], days: Mapping[tuple[str, str], float],
             later: Mapping[str, float]) -> Now:  # fmt: skip
        """Live one run; what is not named takes what was expected."""
        left = {key: round(4 * hours.get(key, task.hours)) for key, task in self.tasks.items()}
        left = {key: max(size, 1) if hours.get(key, self.tasks[key].hours) > 0 else 0
                for key, size in left.items()}  # fmt: skip
        now = Now(left, days, later)
        for task in self.schedule.tasks:
            if task.done and task.holds in self.tasks:
                now.held.update({(task.key, name): count for name, count in task.holding})
        self._pass(now)
        last = -1
        for at in self.moments:
            self._quarter(now, at, at == last + 1)
            last = at
            if len(now.ended) == len(self.tasks):
                return now
        raise RuntimeError("the calendar is too short")

    def _ready(self, now: Now, task: Task) -> float:
        at = float(self.start + max(0, round(DAY * now.later.get(task.key, task.not_before))))
        before = [(a.task, now.days.get((task.key, a.task), a.days)) for a in task.after]
        before += [(holder, 0.0) for holder in self.holders[task.key]]
        for key, lag in before:
            if key in self.tasks:
                if key not in now.ended:
                    return float("inf")
                at = max(at, now.ended[key] + round(DAY * lag))
        return at

    def _end(self, now: Now, key: str, at: int) -> None:
        now.ended[key] = at
        for holder, name in list(now.held):
            task = next(t for t in self.schedule.tasks if t.key == holder)
            if task.holds == key:
                del now.held[holder, name]

    def _pass(self, now: Now) -> None:
        again = True
        while again:
            again = False
            for key, task in self.tasks.items():
                if not now.left[key] and key not in now.ended:
                    at = self._ready(now, task)
                    if at < float("inf"):
                        self._end(now, key, int(at))
                        again = True

    def _quarter(self, now: Now, at: int, goes_on: bool) -> None:
        there = {name for name, hours in self.there.items() if at in hours}
        ended = len(now.ended)
        now.going = {
            key: crew for key, crew in now.going.items()
            if goes_on and self.tasks[key].unbroken and now.left[key] and there.issuperset(crew)
        }  # fmt: skip
        self._take(now, at, there)
        if not now.going and now.held and self._stuck(now):
            now.held.clear()
            now.cleared += 1
            self._take(now, at, there)
        for key, crew in now.going.items():
            now.left[key] -= 1
            now.log.append((at, key, crew))
        for key in now.going:
            if not now.left[key]:
                self._end(now, key, at + 1)
        if len(now.ended) > ended:
            self._pass(now)

    def _order(self, now: Now) -> list[str]:
        todo = [key for key, size in now.left.items() if size]
        return sorted(todo, key=lambda key: (not self.scarce[key], key not in now.begun,
                                                   self.rank[key]))  # fmt: skip

    def _take(self, now: Now, at: int, there: set[str]) -> None:
        for key in self._order(now):
            if key in now.ended or key in now.going or self._ready(now, self.tasks[key]) > at:
                continue
            busy = {name for crew in now.going.values() for name in crew}
            crew = self._free_crew(now, key, at, there - busy)
            if crew and self._things(now, key, at):
                now.going[key] = crew
                if key not in now.begun:
                    now.begun[key] = at
                    task = self.tasks[key]
                    if task.holds in self.tasks and task.holds not in now.ended:
                        now.held.update({(key, name): n for name, n in task.holding})

    def _free_crew(self, now: Now, key: str, at: int, free: set[str]) -> tuple[str, ...]:
        whole = self.tasks[key].unbroken and key not in now.begun
        for crew in self.crews[key]:
            if free.issuperset(crew) and (not whole or self._fits(crew, at, now.left[key])):
                return crew
        return ()

    def _fits(self, crew: tuple[str, ...], at: int, size: int) -> bool:
        """Tell whether they stay long enough, or as long as they will ever stay again."""
        if crew not in self.rooms:
            common = set.intersection(*(self.there[name] for name in crew))
            room, best = 0, 0
            rooms = self.rooms[crew] = {}
            for quarter in range(self.moments[-1], -1, -1):
                room = room + 1 if quarter in common else 0
                best = max(best, room)
                rooms[quarter] = room, best
        room, best = self.rooms[crew][at]
        return room >= min(size, best)

    def _things(self, now: Now, key: str, at: int | None) -> bool:
        task = self.tasks[key]
        needs = self._takes(task)
        if key not in now.begun and task.holds in self.tasks:
            for name, count in task.holding:
                needs[name] = needs.get(name, 0) + count
        for name, count in needs.items():
            days = next(thing.days for thing in self.schedule.shared if thing.name == name)
            if at is not None and days and self._on(at) not in days and self._on(at) <= max(days):
                return False
            used = sum(n for (_, what), n in now.held.items() if what == name)
            if at is not None:
                used += sum(self._takes(self.tasks[k]).get(name, 0) for k in now.going)
            if count > self.count[name] - used:
                return False
        return True

    def _takes(self, task: Task) -> dict[str, int]:
        """What a task takes beside what is held for it."""
        needs = dict(task.needs)
        for name, count in task.holding:
            if task.holds in self.tasks:
                needs[name] = needs.get(name, 0) - count
        for other in self.schedule.tasks:
            if other.holds == task.key:
                for name, count in other.holding:
                    needs[name] = needs.get(name, 0) - count
        return {name: count for name, count in needs.items() if count > 0}

    def _stuck(self, now: Now) -> bool:
        return not any(
            key not in now.ended and now.left[key] and self.crews[key]
            and self._ready(now, self.tasks[key]) < float("inf") and self._things(now, key, None)
            for key in self.tasks
        )  # fmt: skip
