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
from retrue.plan.freeze import LONGEST_DAYS, Frozen
from retrue.plan.jobs import QUARTERS_AN_HOUR, Draws

Floats = NDArray[np.float64]
CHUNK = 2500  # runs at a time: their numbers stay near the processor


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
    return Prepared(frozen, worlds, sizes, some, lags, gates, run_in, steps, frozen.days)


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
        if not job.unbroken and not job.dated:
            steps.append(Steps(one))
            continue
        hired = [schedule.shared[thing].days for thing in job.dated]
        ends = fitting(one, schedule.start, unbroken=job.unbroken, days=hired, again=True)
        distinct, rows = np.unique(sizes[link.number], return_inverse=True)
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


def run(prepared: Prepared) -> Replayed:
    """Play what is prepared.

    Parameters
    ----------
    prepared : Prepared

    Returns
    -------
    Replayed
    """
    shape = (len(prepared.frozen.net.jobs), prepared.worlds)
    ends, starts = np.zeros(shape, dtype=np.int64), np.zeros(shape, dtype=np.int64)
    while True:
        for first in range(0, prepared.worlds, CHUNK):
            _play(prepared, slice(first, min(first + CHUNK, prepared.worlds)), ends, starts)
        if not ends.size or ends.max() < NEVER:
            break
        if prepared.days >= LONGEST_DAYS:
            np.minimum(ends, LONGEST_DAYS * QUARTERS_A_DAY, out=ends)
            break
        days = min(3 * prepared.days, LONGEST_DAYS)
        steps = _steps(prepared.frozen, prepared.sizes, days)
        prepared = replace(prepared, steps=steps, days=days)
    return Replayed(prepared, ends, starts, _good_parts(prepared, ends))


def _play(prepared: Prepared, part: slice, ends: Counts, starts: Counts) -> None:
    """Pass through all links once, for some of the runs."""
    frozen = prepared.frozen
    count = part.stop - part.start
    free = np.full((frozen.tokens, count), frozen.net.start, dtype=np.int64)
    ready, at, done = (np.empty(count, dtype=np.int64) for _ in range(3))
    for link, steps in zip(frozen.links, prepared.steps, strict=True):
        job = frozen.net.jobs[link.number]
        ready[:] = _some(prepared.gates[link.number], part)
        for place, (before, _, _) in enumerate(job.before):
            days = prepared.lags[link.number, place]
            if isinstance(days, int) and not days:
                np.maximum(ready, ends[before, part], out=ready)
            else:
                np.add(ends[before, part], _some(days, part), out=at)
                np.maximum(ready, at, out=ready)
        np.copyto(at, ready)
        for token in link.takes:
            np.maximum(at, free[token], out=at)
        begin, end = starts[link.number, part], ends[link.number, part]
        steps.axis.up.take(at, mode="clip", out=begin)
        if steps.starts is not None:
            np.add(begin, _some(steps.rows, part), out=at)
            steps.starts.take(at, mode="clip", out=begin)
        np.add(begin, prepared.sizes[link.number, part], out=at)
        steps.axis.ends.take(at, mode="clip", out=done)
        np.multiply(done, prepared.some[link.number, part], out=done)
        np.maximum(ready, done, out=end)
        for token in link.frees:
            np.maximum(free[token], done, out=free[token])
        for token, holder in link.lets_go:
            _let_go(free[token], end, prepared, (holder, link.number), part)


def _let_go(
    free: Counts, end: Counts, prepared: Prepared, who: tuple[int, int], part: slice
) -> None:
    """Pass on what was held, in the runs in which holder or last had anything to do."""
    holder, last = who
    if holder < 0:
        np.maximum(free, end, out=free)
    else:
        held = prepared.some[holder, part] | prepared.some[last, part]
        np.maximum(free, end * held, out=free)


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
