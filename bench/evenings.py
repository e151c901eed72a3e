"""A plan lived through evening by evening, quarter by quarter: slow, plain, without the tables.

Shares nothing with the code that plays a plan through many runs at once: people go through their
lists, pieces of what is shared lie with whoever has them, work goes on while all who are needed
are there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from math import ceil, floor

from retrue.plan.jobs import Hands, Order, Schedule, Task

DAY = 96  # quarter-hours


def worked(one: Hands, schedule: Schedule, days: int) -> set[int]:
    """Quarter-hours, from the midnight before the start, that one person works."""
    found: set[int] = set()
    first = schedule.start.date()
    clock = schedule.start.hour * 60 + schedule.start.minute + schedule.start.second / 60
    for number in range(days):
        on = first + timedelta(days=number)
        if any(a <= on <= b for a, b in one.away):
            continue
        hours = [(b, e) for weekday, b, e in one.evenings if weekday == on.weekday()]
        hours += [(b, e) for day, b, e in one.also if day == on]
        for begin, end in hours:
            found.update(range(number * DAY + ceil(begin * 4), number * DAY + floor(end * 4)))
    return {at for at in found if at * 15 >= clock}


@dataclass
class Piece:
    """One piece of what is shared: who has it after whom, until which task ends."""

    uses: list[tuple[str, str]] = field(default_factory=list)  # from, until
    free: float = 0.0


class Life:
    """One run of a plan."""

    def __init__(self, schedule: Schedule, order: Order, days: int = 900) -> None:
        self.schedule, self.order = schedule, order
        self.tasks = {task.key: task for task in schedule.tasks}
        self.hours = {one.name: worked(one, schedule, days) for one in schedule.hands}
        self.moments = sorted(set().union(*self.hours.values()))
        self.pieces = self._pieces()
        self.crew = {placed.key: placed.people for placed in order.placed}

    def _pieces(self) -> list[Piece]:
        """Hand the pieces out as the plan does: what lay idle shortest goes first."""
        pieces = {thing.name: [Piece() for _ in range(thing.count)]
                  for thing in self.schedule.shared}  # fmt: skip
        ends = {placed.key: placed.ends.timestamp() for placed in self.order.placed}

        def give(name: str, count: int, at: float, use: tuple[str, str]) -> None:
            free = [piece for piece in pieces[name] if piece.free <= at]
            for piece in sorted(free, key=lambda piece: -piece.free)[:count]:
                piece.uses.append(use)
                piece.free = ends[use[1]]

        for task in self.schedule.tasks:
            if task.done and task.holds in ends:
                for name, count in task.holding:
                    give(name, count, 0.0, (task.key, task.holds))
        for placed in self.order.placed:
            task, at = self.tasks[placed.key], placed.begins.timestamp()
            held = [t for t in self.schedule.tasks if t.holds == task.key]
            for name, count in task.needs:
                mine = sum(n for t in [task, *held] for what, n in t.holding if what == name)
                if task.hours > 0 and count > mine:
                    give(name, count - mine, at, (task.key, task.key))
            if task.holds in ends:
                for name, count in task.holding:
                    give(name, count, at, (task.key, task.holds))
        return [piece for group in pieces.values() for piece in group]

    def live(
        self,
        hours: Mapping[str, float],
        days: Mapping[tuple[str, str], float],
        later: Mapping[str, float],
    ) -> dict[str, int]:
        """Quarter of the calendar at which every task ended."""
        start = ceil((self.schedule.start.hour * 60 + self.schedule.start.minute) / 15)
        left = {key: max(1, round(4 * hours[key])) if hours[key] > 0 else 0 for key in self.crew}
        lists = {one.name: [p.key for p in self.order.placed if one.name in p.people
                            and left[p.key]] for one in self.schedule.hands}  # fmt: skip
        uses = [[use for use in piece.uses if left.get(use[0], 1) or left[use[1]]]
                for piece in self.pieces]  # fmt: skip
        ended: dict[str, int] = {}
        begun: dict[str, int] = {}

        def ready(task: Task) -> float:
            at = float(start + round(DAY * later.get(task.key, task.not_before)))
            before = [(a.task, days.get((task.key, a.task), a.days)) for a in task.after]
            before += [(t.key, 0.0) for t in self.schedule.tasks if t.holds == task.key]
            for key, lag in before:
                if key in self.crew:
                    if key not in ended:
                        return float("inf")
                    at = max(at, ended[key] + round(DAY * lag))
            return at

        def pass_at_once() -> None:
            again = True
            while again:
                again = False
                for key, size in left.items():
                    if not size and key not in begun and key not in ended:
                        at = ready(self.tasks[key])
                        if at < float("inf"):
                            ended[key] = int(at)
                            again = True

        pass_at_once()
        for now in self.moments:
            for piece in uses:
                while piece and ended.get(piece[0][1], 1 << 40) <= now:
                    piece.pop(0)
            for queue in lists.values():
                while queue and ended.get(queue[0], 1 << 40) <= now:
                    queue.pop(0)
            for key in dict.fromkeys(queue[0] for queue in lists.values() if queue):
                crew = [self.hours[name] for name in self.crew[key]]
                if not all(now in one for one in crew):
                    continue
                if key not in begun:
                    mine = [piece for piece in uses if any(key in use for use in piece)]
                    if (
                        any(lists[name][0] != key for name in self.crew[key])
                        or any(key not in piece[0] for piece in mine)
                        or ready(self.tasks[key]) > now
                        or not self._fits(self.tasks[key], crew, now, left[key])
                    ):
                        continue
                    begun[key] = now
                left[key] -= 1
                if not left[key]:
                    ended[key] = now + 1
                    pass_at_once()
            if len(ended) == len(self.crew):
                return ended
        raise RuntimeError("the calendar is too short")

    def _fits(self, task: Task, crew: list[set[int]], now: int, size: int) -> bool:
        """Tell whether it can be begun here without being broken off or losing what is hired."""
        names = [*task.needs, *task.holding]
        hired = [thing for thing in self.schedule.shared
                 if thing.days and any(name == thing.name for name, _ in names)]  # fmt: skip
        if not task.unbroken and not hired:
            return True
        common = sorted(at for at in set.intersection(*crew) if at >= now)
        first_day = self.schedule.start.date()
        days = {day for day in {at // DAY for at in common}
                if all(first_day + timedelta(days=day) in one.days for one in hired)}  # fmt: skip
        there = {at for at in common if at // DAY in days}
        lengths, run = [], 0
        for place, at in enumerate(common):
            broken = task.unbroken and place > 0 and common[place - 1] != at - 1
            if at not in there or broken:
                lengths.append(run)
                run = 0
            run += at in there
        lengths.append(run)
        first = lengths[0] if now in there else 0
        return first >= min(size, max(lengths)) and first > 0
