"""A plan's order played through many runs at once: who passes on what, on the real calendars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import (
    NEVER,
    QUARTERS_A_DAY,
    Axis,
    Counts,
    axis,
    days_after,
    fitting,
    next_start,
)
from retrue.plan.freeze import LONGEST_DAYS, Frozen, Link
from retrue.plan.jobs import QUARTERS_AN_HOUR, Draws

Floats = NDArray[np.float64]
CHUNK = 10_000  # runs at a time: their numbers stay near the processor


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """The calendar steps of one job: up to its crew's working time, and back.

    Attributes
    ----------
    axis : Axis
    starts : ndarray or None, shape (distinct sizes * (working quarters + 1),)
        Next start that fits, for every size that occurs.
    rows : ndarray, shape (worlds,), or int
        Where in ``starts`` the size of every run begins.
    """

    axis: Axis
    starts: Counts | None = None
    rows: Counts | int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """What the jobs take in every run, in quarter-hours.

    Attributes
    ----------
    sizes, some : ndarray, shape (jobs, worlds)
        Working time; 1 where there is any.
    always : tuple of bool, one a job
        There is some in every run.
    lags : mapping of (job, place among what comes before it) to ndarray, shape (worlds,), or int
    gates : mapping of job to ndarray, shape (worlds,), or int
    run_in_days : mapping of machine to ndarray, shape (worlds,), or float
    steps : tuple of Steps
        One a link.
    days : int
        How far the calendar is laid out.
    """

    frozen: Frozen
    worlds: int
    sizes: Counts
    some: Counts
    always: tuple[bool, ...]
    lags: Mapping[tuple[int, int], Counts | int]
    gates: Mapping[int, Counts | int]
    run_in_days: Mapping[str, Floats | float]
    steps: tuple[Steps, ...]
    days: int


@dataclass(frozen=True, slots=True, eq=False)
class Replayed:
    """When everything was done, run by run.

    Attributes
    ----------
    prepared : Prepared
        With the calendar as far as it took.
    ends_at : ndarray, shape (jobs, worlds)
        Quarter of the calendar.
    starts_at : ndarray, shape (jobs, worlds)
        Working quarter of the job's crew; where nothing is to do, any.
    days : mapping of machine to ndarray, shape (worlds,)
        Calendar days from the start of the plan until its first good part.
    """

    prepared: Prepared
    ends_at: Counts
    starts_at: Counts
    days: Mapping[str, Floats]

    @property
    def ends(self) -> dict[str, Floats]:
        """Days from the start of the plan until each task was done, shape (worlds,)."""
        return {key: self._days(self.ends_at[at]) for key, _, at in self._placed()}

    @property
    def begins(self) -> dict[str, Floats]:
        """Days from the start of the plan until each task began, shape (worlds,)."""
        return {key: self._days(self.begins_at(place)) for key, place, _ in self._placed()}

    def begins_at(self, place: int) -> Counts:
        """Quarter of the calendar at which the job of one link began, shape (worlds,)."""
        at = self.prepared.frozen.links[place].number
        begins = self.prepared.steps[place].axis.begins.take(self.starts_at[at], mode="clip")
        return np.asarray(np.where(self.prepared.some[at] > 0, begins, self.ends_at[at]))

    def _placed(self) -> list[tuple[str, int, int]]:
        frozen = self.prepared.frozen
        return [(frozen.net.jobs[link.number].key, place, link.number)
                for place, link in enumerate(frozen.links)]  # fmt: skip

    def _days(self, at: Counts) -> Floats:
        shift = days_after(self.prepared.frozen.net.schedule.start, 0)
        return np.asarray(at / QUARTERS_A_DAY + shift)


def prepare(frozen: Frozen, draws: Draws) -> Prepared:
    """Bring what was drawn into whole quarter-hours.

    Parameters
    ----------
    frozen : Frozen
    draws : Draws

    Returns
    -------
    Prepared

    Notes
    -----
    Hours to the nearest quarter, at least one where there is anything to do; days likewise to
    the nearest quarter-hour.
    """
    net, worlds = frozen.net, draws.worlds
    sizes = np.empty((len(net.jobs), worlds), dtype=np.int64)
    lags: dict[tuple[int, int], Counts | int] = {}
    gates: dict[int, Counts | int] = {}
    for at, job in enumerate(net.jobs):
        drawn = draws.hours.get(job.key)
        sizes[at] = job.quarters if drawn is None else _quarters(drawn)
        for place, (before, lag, _) in enumerate(job.before):
            days = draws.days.get((job.key, net.jobs[before].key))
            lags[at, place] = lag if days is None else _calendar(days)
        later = draws.not_before.get(job.key)
        gates[at] = job.gate if later is None else _calendar(later) + net.start
    run_in: dict[str, Floats | float] = {
        machine: draws.run_in_days.get(machine, net.schedule.run_in_days.get(machine, 0.0))
        for machine in net.machines
    }
    some = (sizes > 0).astype(np.int64)
    steps = _steps(frozen, sizes, frozen.days)
    always = tuple(bool(row.all()) for row in some)
    return Prepared(frozen, worlds, sizes, some, always, lags, gates, run_in, steps, frozen.days)


def _steps(frozen: Frozen, sizes: Counts, days: int) -> tuple[Steps, ...]:
    """Lay out the calendar for so many days, for every link."""
    schedule = frozen.net.schedule
    axes: dict[tuple[int, ...], Axis] = {}
    steps = []
    for link in frozen.links:
        job = frozen.net.jobs[link.number]
        if link.crew not in axes:
            axes[link.crew] = axis([schedule.hands[one] for one in link.crew], schedule.start, days)
        one = axes[link.crew]
        least = job.least if not job.dated else 0
        if not job.unbroken and not job.dated and not least:
            steps.append(Steps(one))
            continue
        hired = [schedule.shared[thing].days for thing in job.dated]
        whole = job.unbroken or least > 0
        ends = fitting(one, schedule.start, unbroken=whole, days=hired, again=True)
        rooms = np.minimum(sizes[link.number], least) if least else sizes[link.number]
        distinct, rows = np.unique(rooms, return_inverse=True)
        starts = np.concatenate(
            [next_start(ends, max(int(size), 1), runs_over=True) for size in distinct]
        )
        steps.append(Steps(one, starts, rows.astype(np.int64) * len(ends)))
    return tuple(steps)


def _quarters(hours: Floats) -> Counts:
    whole = np.rint(hours * QUARTERS_AN_HOUR)
    return np.asarray(np.maximum(whole, hours > 0), dtype=np.int64)


def _calendar(days: Floats) -> Counts:
    return np.asarray(np.maximum(np.rint(days * QUARTERS_A_DAY), 0), dtype=np.int64)


def replay(frozen: Frozen, draws: Draws) -> Replayed:
    """Play a frozen plan through every run that was drawn.

    Parameters
    ----------
    frozen : Frozen
    draws : Draws
        What the tasks took in every run, shape (worlds,) each.

    Returns
    -------
    Replayed

    Notes
    -----
    A task with nothing to do passes at once: it waits for what comes before it, but for no
    hands and for nothing shared. Who comes too late for the last day of a hired thing hires it
    again. The calendar grows until every run is through; a run that is
    not through after twelve years is cut off there.

    References
    ----------
    Event graphs by recursion of maxima and sums: Baccelli, Cohen, Olsder and Quadrat 1992; the
    steps over the calendar are our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.freeze import freeze
    >>> from retrue.plan.jobs import Hands, Order, Placed, Schedule, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                 tasks=(Task(key="a", machine="V", hours=1.0),))
    >>> at = datetime(2026, 11, 26, 20)
    >>> plan = Order(placed=(Placed(key="a", people=("me",), begins=at, ends=at.replace(hour=21)),))
    >>> hours = {"a": np.array([1.0, 3.0, 0.0])}
    >>> replay(freeze(shop, plan), Draws(worlds=3, hours=hours)).days["V"].tolist()
    [0.875, 1.875, 0.0]
    """
    return run(prepare(frozen, draws))


def run(prepared: Prepared, *, out: tuple[Counts, Counts] | None = None) -> Replayed:
    """Play what is prepared.

    Parameters
    ----------
    prepared : Prepared
    out : pair of ndarray, shape (jobs, worlds), or None
        Where ends and starts are put: those of an earlier replay that nobody needs any more.

    Returns
    -------
    Replayed
    """
    shape = (len(prepared.frozen.net.jobs), prepared.worlds)
    ends, starts = out or (np.zeros(shape, dtype=np.int64), np.zeros(shape, dtype=np.int64))
    while True:
        for first in range(0, prepared.worlds, CHUNK):
            part = slice(first, min(first + CHUNK, prepared.worlds))
            _Pass(prepared, part, ends, starts).play()
        if not ends.size or ends.max() < NEVER:
            break
        if prepared.days >= LONGEST_DAYS:
            np.minimum(ends, LONGEST_DAYS * QUARTERS_A_DAY, out=ends)
            break
        days = min(3 * prepared.days, LONGEST_DAYS)
        steps = _steps(prepared.frozen, prepared.sizes, days)
        prepared = replace(prepared, steps=steps, days=days)
    return Replayed(prepared, ends, starts, _good_parts(prepared, ends))


class _Pass:
    """One way through all links, for some of the runs; what stands is referred to, not copied."""

    def __init__(self, prepared: Prepared, part: slice, ends: Counts, starts: Counts) -> None:
        self.prepared, self.part = prepared, part
        self.net = prepared.frozen.net
        self.ends, self.starts = ends[:, part], starts[:, part]
        self.sizes, self.some = prepared.sizes[:, part], prepared.some[:, part]
        count = part.stop - part.start
        self.ready, self.at, self.done = (np.empty(count, dtype=np.int64) for _ in range(3))
        beginning = np.full(count, self.net.start, dtype=np.int64)
        self.free = [beginning] * prepared.frozen.tokens
        self.own = np.empty((prepared.frozen.tokens, count), dtype=np.int64)

    def play(self) -> None:
        for link, steps in zip(self.prepared.frozen.links, self.prepared.steps, strict=True):
            self._link(link, steps)

    def _link(self, link: Link, steps: Steps) -> None:
        number, at = link.number, self.at
        ready = self._ready(number)
        waits = ready
        for token in link.takes:
            waits = np.maximum(waits, self.free[token], out=at)
        begin, end = self.starts[number], self.ends[number]
        steps.axis.up.take(waits, mode="clip", out=begin)
        if steps.starts is not None:
            np.add(begin, _some(steps.rows, self.part), out=at)
            steps.starts.take(at, mode="clip", out=begin)
        np.add(begin, self.sizes[number], out=at)
        if self.prepared.always[number]:
            steps.axis.ends.take(at, mode="clip", out=end)
            for token in link.frees:
                self.free[token] = end
        else:
            done = steps.axis.ends.take(at, mode="clip", out=self.done)
            np.multiply(done, self.some[number], out=done)
            np.maximum(ready, done, out=end)
            for token in link.frees:
                self._pass(token, done)
        for token, holder in link.lets_go:
            held = 1 if holder < 0 else self.some[holder] | self.some[number]
            self._pass(token, end * held)

    def _pass(self, token: int, at: Counts) -> None:
        """A token is free again where somebody had it; elsewhere as it was."""
        self.free[token] = np.maximum(self.free[token], at, out=self.own[token])

    def _ready(self, number: int) -> Counts:
        """When everything that comes before a job is over."""
        job, ready = self.net.jobs[number], self.ready
        found: Counts | None = None
        for place, (before, _, _) in enumerate(job.before):
            lag = self.prepared.lags[number, place]
            if isinstance(lag, int) and not lag:
                over = self.ends[before]
            else:
                out = ready if found is None else self.at
                over = np.add(self.ends[before], _some(lag, self.part), out=out)
            found = over if found is None else np.maximum(found, over, out=ready)
        gate = self.prepared.gates[number]
        if found is None:
            ready[:] = _some(gate, self.part)
            return ready
        if isinstance(gate, int) and gate <= self.net.start:
            return found
        return np.asarray(np.maximum(found, _some(gate, self.part), out=ready))


def _some(values: Counts | int, part: slice) -> Counts | int:
    return values if isinstance(values, int) else values[part]


def _good_parts(prepared: Prepared, ends: Counts) -> dict[str, Floats]:
    """Days until the first good part of every machine that has something in the plan."""
    net = prepared.frozen.net
    last: dict[str, Counts] = {}
    for link in prepared.frozen.links:
        job = net.jobs[link.number]
        if job.machine and job.good_part:
            row = ends[link.number]
            if job.machine in last:
                np.maximum(last[job.machine], row, out=last[job.machine])
            else:
                last[job.machine] = row.copy()
    shift = days_after(net.schedule.start, 0)
    return {
        machine: np.asarray(row / QUARTERS_A_DAY + shift + prepared.run_in_days[machine])
        for machine, row in last.items()
    }
