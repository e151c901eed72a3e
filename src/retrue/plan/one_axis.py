"""The solver's model where all keep the same hours: everything on that working time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from retrue.plan.bounds import Window, wait_steps
from retrue.plan.calendar import Counts
from retrue.plan.network import Network
from retrue.plan.priority import Spot

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Piece = tuple[int, int, int | None]


class OneAxis:
    """Starts on the working axis, waits as steps of the calendar, ends by their weight.

    Parameters
    ----------
    model : cp_model.CpModel
        Empty.
    domain : callable
        Makes a domain of values.
    net : Network
        With one axis.
    found : Window
    spots : sequence of Spot
        A plan, given as a hint.
    """

    def __init__(
        self,
        model: cp_model.CpModel,
        domain: Callable[[list[int]], Any],
        net: Network,
        found: Window,
        spots: Sequence[Spot],
    ) -> None:
        self.model, self.domain, self.net, self.found = model, domain, net, found
        self.axis = net.axes[0]
        self.begun = {spot.job: int(self.axis.up[spot.begins]) for spot in spots}
        self.crew = {spot.job: spot.people for spot in spots}
        self.start: dict[int, Any] = {}
        self.interval: dict[int, Any] = {}

    def build(self) -> None:
        """Write the model down."""
        for job in self.found.needed:
            self._place(job)
        self._man()
        for job in self.found.needed:
            for before, lag, _ in self.net.jobs[job].before:
                self._follow(before, job, lag)
        self._share()
        self._finish()

    def order(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Jobs by their beginning, what takes no time before what does."""
        at = {job: solver.value(start) for job, start in self.start.items()}
        return tuple(sorted(at, key=lambda job: (at[job], self.net.jobs[job].quarters, job)))

    def _hinted(self, low: int, high: int, hint: int) -> Any:
        new = self.model.new_int_var(low, high, "")
        self.model.add_hint(new, min(max(hint, low), high))
        return new

    def _ended(self, job: int) -> int:
        return self.begun[job] + self.net.jobs[job].quarters

    def _end(self, job: int) -> Any:
        return self.start[job] + self.net.jobs[job].quarters

    def _place(self, number: int) -> None:
        job, low, high = self.net.jobs[number], self.found.first[number], self.found.last
        for machine, tails in self.found.tails.items():
            if number in tails:
                high = min(high, self.found.most[machine] - tails[number])
        high = max(high - job.quarters, low)
        starts = job.ways[0].starts if job.quarters else None
        if starts is None:
            start = self.model.new_int_var(low, high, "")
        else:
            at = np.arange(low, high + 1)
            allowed = at[starts[low : high + 1] == at].tolist()
            start = self.model.new_int_var_from_domain(self.domain(allowed), "")
        self.model.add_hint(start, self.begun[number])
        self.start[number] = start
        self.interval[number] = self.model.new_fixed_size_interval_var(start, job.quarters, "")

    def _man(self) -> None:
        """Nobody does two things at once; where several could do it, one crew does."""
        busy: dict[int, list[Any]] = {}
        for number in self.found.needed:
            job = self.net.jobs[number]
            if not job.quarters:
                continue
            if len(job.ways) == 1:
                for person in job.ways[0].people:
                    busy.setdefault(person, []).append(self.interval[number])
                continue
            crews = []
            for way in job.ways:
                crew = self._flag(way.people == self.crew.get(number))
                crews.append(crew)
                row = self.model.new_optional_fixed_size_interval_var(
                    self.start[number], job.quarters, crew, ""
                )
                for person in way.people:
                    busy.setdefault(person, []).append(row)
            self.model.add_exactly_one(crews)
        for rows in busy.values():
            self.model.add_no_overlap(rows)

    def _follow(self, before: int, job: int, lag: int) -> None:
        """A job begins so many calendar quarters after the end of another: steps by evenings."""
        start, end = self.start[job], self._end(before)
        if not lag:
            self.model.add(start >= end)
            return
        first = self.found.first[before] + self.net.jobs[before].quarters
        ends = np.arange(first, self.found.last + 1)
        begins = wait_steps(self.net, ends, lag)
        least = int((begins - ends).min())
        self.model.add(start >= end + least)
        for low, high, level in pieces(ends, begins):
            if level == least:
                continue
            reached = self._flag(self._ended(before) >= low)
            self.model.add(end <= low - 1).only_enforce_if(~reached)
            self.model.add(start >= int(begins[low - first])).only_enforce_if(reached)
            if level is not None and high > low:
                passed = self._flag(self._ended(before) > high)
                self.model.add(end >= high + 1).only_enforce_if(passed)
                self.model.add(start >= end + level).only_enforce_if([~passed, reached])

    def _flag(self, hint: bool) -> Any:
        flag = self.model.new_bool_var("")
        self.model.add_hint(flag, hint)
        return flag

    def _share(self) -> None:
        """Things held from job to job; who is alone uses but one thing at a time."""
        kept: dict[int, list[tuple[Any, int]]] = {}
        for thing, count, until in self.net.held:
            size = self._hinted(0, self.found.last, self._ended(until))
            row = self.model.new_interval_var(0, size, self._end(until), "")
            kept.setdefault(thing, []).append((row, count))
        for number in self.found.needed:
            job = self.net.jobs[number]
            for thing, count in job.holds:
                lasts = self._ended(job.until) - self.begun[number]
                size = self._hinted(0, self.found.last, lasts)
                row = self.model.new_interval_var(
                    self.start[number], size, self._end(job.until), ""
                )
                kept.setdefault(thing, []).append((row, count))
        for number in self.found.needed:
            for thing, count in self.net.jobs[number].takes:
                if (thing in kept or not self.found.alone) and self.net.jobs[number].quarters:
                    kept.setdefault(thing, []).append((self.interval[number], count))
        for thing, rows in kept.items():
            counts = [count for _, count in rows]
            self.model.add_cumulative([row for row, _ in rows], counts, self.net.counts[thing])

    def _finish(self) -> None:
        """Ends of the machines on the calendar, by their weight."""
        ends: dict[str, Any] = {}
        total: Any = 0
        for machine in self.found.machines:
            low, high = self.found.least[machine], self.found.most[machine]
            hint = int(self.axis.up[self.found.upper[machine] - 1]) + 1
            end = self._hinted(low, high, hint)
            for number, tail in self.found.tails[machine].items():
                self.model.add(end >= self._end(number) + tail)
            table = [int(at) for at in self.axis.ends[low : high + 1]]
            on = self._hinted(table[0], table[-1], self.found.upper[machine])
            place = self._hinted(0, high - low, hint - low)
            self.model.add(place == end - low)
            self.model.add_element(place, table, on)
            ends[machine] = end
            total += self.found.weight[machine] * on
        if self.found.alone:
            self._behind(ends)
        self.model.minimize(total)

    def _behind(self, ends: dict[str, Any]) -> None:
        """The later of two machines has the work of both behind it."""
        upper, work = self.found.upper, self.found.work

        def quarters(jobs: frozenset[int]) -> int:
            return sum(self.net.jobs[at].quarters for at in jobs)

        shared = frozenset[int]()
        if len(work) > 1:
            shared = frozenset(at for at in frozenset().union(*work.values())
                               if sum(at in jobs for jobs in work.values()) > 1)  # fmt: skip
        least: dict[str, Any] = {machine: quarters(jobs) for machine, jobs in work.items()}
        earlier: dict[str, list[Any]] = {machine: [] for machine in ends}
        machines = list(ends)
        for place, one in enumerate(machines):
            for other in machines[:place]:
                sooner = self.model.new_bool_var("")
                self.model.add_hint(sooner, upper[one] <= upper[other])
                self.model.add(ends[one] <= ends[other]).only_enforce_if(sooner)
                self.model.add(ends[other] <= ends[one]).only_enforce_if(~sooner)
                earlier[other].append(sooner)
                earlier[one].append(~sooner)
                least[other] = least[other] + quarters(work[one] - shared) * sooner
                least[one] = least[one] + quarters(work[other] - shared) * (1 - sooner)
        for machine, end in ends.items():
            self.model.add(end >= least[machine])
            self.model.add(end >= self.found.all_least).only_enforce_if(earlier[machine])


def pieces(ends: Counts, begins: Counts) -> list[Piece]:
    """Cut the steps of a wait into pieces: from, to, and how far behind it begins throughout.

    Parameters
    ----------
    ends, begins : ndarray, shape (ends,)
        Working quarters: each end of the one, and where the other may begin then.

    Returns
    -------
    list of (int, int, int or None)
        None where it begins at the same moment throughout.

    References
    ----------
    Our own.

    Examples
    --------
    >>> pieces(np.array([3, 4, 5, 6]), np.array([8, 9, 10, 10]))
    [(3, 5, 5), (6, 6, 4)]
    """
    level = begins - ends
    steady = np.append(np.flatnonzero(np.diff(level)), len(ends) - 1)
    still = np.append(np.flatnonzero(np.diff(begins)), len(ends) - 1)
    found: list[Piece] = []
    at = 0
    while at < len(ends):
        a = int(steady[np.searchsorted(steady, at)])
        b = int(still[np.searchsorted(still, at)])
        last = max(a, b)
        found.append((int(ends[at]), int(ends[last]), int(level[at]) if a >= b else None))
        at = last + 1
    return found
