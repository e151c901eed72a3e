"""What a date hangs on: which tasks and waits lie on the longest way, run by run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import Counts
from retrue.plan.freeze import Link
from retrue.plan.replay import Replayed, Steps

Marks = NDArray[np.bool_]
PART = "part:"  # before the name of what is waited for, so that it is no task's
DRIES = "dries:"  # before the task after which nothing but time is waited for


def longest_way(played: Replayed, machine: str) -> tuple[tuple[str, float], ...]:
    """Share of the runs in which each task or awaited part lies on a machine's longest way.

    Parameters
    ----------
    played : Replayed
    machine : str

    Returns
    -------
    tuple of (str, float)
        Key of a task, ``part:`` and what is waited for, or ``dries:`` and the task after which it
        is waited; largest share first.

    Notes
    -----
    Something lies on the longest way where the next on that way begins at the very quarter-hour
    which it alone allows. A part that comes in the afternoon and a task that ends the evening
    before both hold up this evening.

    References
    ----------
    Criticality index: Van Slyke 1963; on calendars our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.freeze import freeze
    >>> from retrue.plan.jobs import Draws, Hands, Schedule, Task
    >>> from retrue.plan.replay import replay
    >>> from retrue.plan.solve import solve
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> wait = Task(key="b", machine="V", hours=1.0, not_before=3.0, part="b")
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                 tasks=(Task(key="a", machine="V", hours=1.0), wait))
    >>> draws = Draws(worlds=2, not_before={"b": np.array([3.0, 0.0])})
    >>> longest_way(replay(freeze(shop, solve(shop)), draws), "V")
    (('b', 1.0), ('a', 0.5), ('part:b', 0.5))
    """
    return _Back(played, machine).shares()


@dataclass(slots=True, eq=False)
class _Back:
    """One way back through all links, for one machine."""

    played: Replayed
    machine: str
    marked: dict[int, Marks] = field(default_factory=dict)  # jobs on the way
    wanted: dict[int, Marks] = field(default_factory=dict)  # tokens awaited on the way
    found: dict[str, Marks] = field(default_factory=dict)

    def shares(self) -> tuple[tuple[str, float], ...]:
        self._last()
        prepared = self.played.prepared
        before = list(self._free())
        for place in range(len(prepared.frozen.links) - 1, -1, -1):
            self._link(prepared.frozen.links[place], prepared.steps[place], before[place])
        shares = [(name, float(marks.mean())) for name, marks in self.found.items()]
        return tuple(sorted((row for row in shares if row[1] > 0), key=lambda r: (-r[1], r[0])))

    def _last(self) -> None:
        net = self.played.prepared.frozen.net
        mine = [link.number for link in self.played.prepared.frozen.links
                if net.jobs[link.number].machine == self.machine
                and net.jobs[link.number].good_part]  # fmt: skip
        if mine:
            ends = self.played.ends_at[mine]
            latest = ends.max(axis=0)
            self.marked = {job: row == latest for job, row in zip(mine, ends, strict=True)}

    def _free(self) -> Iterator[dict[int, Counts]]:
        """When each link's tokens were passed on to it."""
        prepared = self.played.prepared
        start = np.full(prepared.worlds, prepared.frozen.net.start)
        free = dict.fromkeys(range(prepared.frozen.tokens), start)
        for link in prepared.frozen.links:
            yield {token: free[token] for token in link.takes}
            end = self.played.ends_at[link.number]
            for token in link.frees:
                free[token] = np.where(prepared.some[link.number] > 0, end, free[token])
            for token, holder in link.lets_go:
                free[token] = np.where(self._held(holder, link.number), end, free[token])

    def _held(self, holder: int, last: int) -> Marks:
        some = self.played.prepared.some
        if holder < 0:
            return np.ones(some.shape[1], dtype=bool)
        return np.asarray((some[holder] | some[last]) > 0)

    def _link(self, link: Link, steps: Steps, free: dict[int, Counts]) -> None:
        prepared, number = self.played.prepared, link.number
        busy = np.asarray(prepared.some[number] > 0)
        here = self.marked.pop(number, np.zeros_like(busy))
        for token in link.frees:
            here = here | self._claim(token, busy)
        for token, holder in link.lets_go:
            here = here | self._claim(token, self._held(holder, number))
        if not here.any():
            return
        job = prepared.frozen.net.jobs[number]
        self._note(job.key, here & busy)
        for place, (before, _, part) in enumerate(job.before):
            lag = prepared.lags[number, place]
            binds = here & self._binds(self.played.ends_at[before] + lag, link, steps, busy)
            self.marked[before] = self.marked.get(before, False) | binds
            named = PART + part if part else DRIES + prepared.frozen.net.jobs[before].key
            self._note(named, binds & (np.asarray(lag) > 0))
        if job.part:
            gate = np.broadcast_to(prepared.gates[number], busy.shape)
            late = gate > prepared.frozen.net.start
            self._note(PART + job.part, here & late & self._binds(gate, link, steps, busy))
        for token in link.takes:
            binds = here & busy & self._binds(free[token], link, steps, busy)
            self.wanted[token] = self.wanted.get(token, False) | binds

    def _claim(self, token: int, where: Marks) -> Marks:
        """Who waited for a token waited for this link, where it passed it on."""
        wanted = self.wanted.get(token)
        if wanted is None:
            return np.zeros_like(where)
        self.wanted[token] = wanted & ~where
        return wanted & where

    def _binds(self, arrival: Counts, link: Link, steps: Steps, busy: Marks) -> Marks:
        """Where an arrival by itself lets a link begin no sooner than it did."""
        begin = steps.axis.up.take(arrival, mode="clip")
        if steps.starts is not None:
            begin = steps.starts.take(begin + steps.rows, mode="clip")
        same_quarter = begin == self.played.starts_at[link.number]
        same_moment = arrival == self.played.ends_at[link.number]
        return np.asarray(np.where(busy, same_quarter, same_moment))

    def _note(self, name: str, marks: Marks) -> None:
        self.found[name] = self.found.get(name, False) | marks
