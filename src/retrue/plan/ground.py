"""What every walk over one schedule shares, and what the tasks take in every run of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.plan.blocks import LONGEST_DAYS, Blocks, blocks
from retrue.plan.calendar import QUARTERS_A_DAY
from retrue.plan.crews import Crews, crews_of
from retrue.plan.jobs import QUARTERS_AN_HOUR, Draws, Schedule
from retrue.plan.network import Network, network

Floats = NDArray[np.float64]
Whole = NDArray[np.int32]
Numbers = NDArray[np.int64]
Marks = NDArray[np.bool_]
LONG = 1 << 30  # quarter-hours: more than anything takes
TASK = (1 << 13) - 1  # the lowest bits of a score say whose it is
RANK, BEGUN, SCARCE = 1 << 13, 1 << 26, 1 << 27


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A schedule ready to be walked through.

    Attributes
    ----------
    first, degree : ndarray, shape (jobs,)
        Where in ``to`` what comes after a job begins, and how many there are.
    to : ndarray, shape (edges,)
        The later job of every edge, edges by their earlier job.
    edge : mapping of (job, place among what comes before it) to edge
    solo : ndarray, shape (jobs,)
        Quarter-hours of what goes on by itself, without hands.
    least : ndarray, shape (jobs,)
        Quarter-hours that must be left of an evening where a job is begun, at most what it takes.
    """

    net: Network
    blocks: Blocks
    crews: Crews
    first: Numbers
    degree: Numbers
    to: Numbers
    edge: Mapping[tuple[int, int], int]
    solo: Whole
    unbroken: Marks
    least: Whole

    def numbers(self, keys: Sequence[str]) -> list[int]:
        """Jobs by the keys of their tasks; those not named behind, in the order of the network."""
        number = {job.key: at for at, job in enumerate(self.net.jobs)}
        named = [number[key] for key in dict.fromkeys(keys) if key in number]
        inside = set(named)
        return [*named, *(at for at in range(len(number)) if at not in inside)]

    def scores(self, lists: NDArray[np.int64]) -> Whole:
        """Every job's claim to be next by one or more lists, shape (jobs, lists)."""
        lists = np.atleast_2d(lists)
        count = lists.shape[1]
        rank = np.empty((count, len(lists)), dtype=np.int64)
        for at, order in enumerate(lists):
            rank[order, at] = count - np.arange(count)
        job = np.arange(count)[:, None]
        made = rank * RANK + self.crews.scarce[:, None] * SCARCE + job
        return np.asarray(made, dtype=np.int32)


@dataclass(frozen=True, slots=True, eq=False)
class Lot:
    """What the jobs take in every run, in quarter-hours.

    Attributes
    ----------
    sizes : ndarray, shape (jobs, worlds)
    lags : ndarray, shape (edges, worlds)
    gates : ndarray, shape (jobs, worlds)
    run_in_days : mapping of machine to ndarray, shape (worlds,), or float
    """

    worlds: int
    sizes: Whole
    lags: Whole
    gates: Whole
    run_in_days: Mapping[str, Floats | float]

    def first(self, count: int) -> Lot:
        """Only so many of the runs.

        Parameters
        ----------
        count : int

        Returns
        -------
        Lot
        """
        run_in = {
            machine: days if isinstance(days, float) else days[:count]
            for machine, days in self.run_in_days.items()
        }
        return Lot(min(count, self.worlds), self.sizes[:, :count], self.lags[:, :count],
                   self.gates[:, :count], run_in)  # fmt: skip


def ground(schedule: Schedule, *, days: int = LONGEST_DAYS, again: bool = True) -> Ground:
    """Lay out a schedule for walks through it.

    Parameters
    ----------
    schedule : Schedule
    days : int
        How far ahead the calendar is laid out.
    again : bool
        Whoever comes too late for the last day of something hired hires it again.

    Returns
    -------
    Ground

    References
    ----------
    Our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> made = ground(Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                        tasks=(Task(key="a", machine="V", hours=1.0),)), days=30)
    >>> made.numbers(["b", "a"]), made.blocks.begins[:2].tolist()
    ([0], [80, 752])
    """
    net = network(schedule)
    edges = sorted(
        (before, at, place)
        for at, job in enumerate(net.jobs)
        for place, (before, _, _) in enumerate(job.before)
    )
    degree = np.bincount([one[0] for one in edges], minlength=len(net.jobs)).astype(np.int64)
    solo = [job.quarters if any(not way.people for way in job.ways) else 0 for job in net.jobs]
    return Ground(
        net,
        blocks(net, days=days, again=again),
        crews_of(net),
        np.cumsum(degree) - degree,
        degree,
        np.array([one[1] for one in edges], dtype=np.int64),
        {(at, place): number for number, (_, at, place) in enumerate(edges)},
        np.array(solo, dtype=np.int32),
        np.array([job.unbroken for job in net.jobs], dtype=bool),
        np.array(
            [LONG if job.unbroken else 0 if job.dated else job.least for job in net.jobs],
            dtype=np.int32,
        ),
    )


def drawn(made: Ground, draws: Draws) -> Lot:
    """Bring what was drawn into whole quarter-hours.

    Parameters
    ----------
    made : Ground
    draws : Draws

    Returns
    -------
    Lot

    Notes
    -----
    Hours to the nearest quarter, at least one where there is anything to do; days likewise to
    the nearest quarter-hour.
    """
    net, worlds = made.net, draws.worlds
    sizes = np.empty((len(net.jobs), worlds), dtype=np.int32)
    gates = np.empty_like(sizes)
    lags = np.empty((len(made.to), worlds), dtype=np.int32)
    for at, job in enumerate(net.jobs):
        hours = draws.hours.get(job.key)
        sizes[at] = 0 if made.solo[at] else job.quarters if hours is None else _quarters(hours)
        later = draws.not_before.get(job.key)
        gates[at] = job.gate if later is None else _calendar(later) + net.start
        for place, (before, lag, _) in enumerate(job.before):
            days = draws.days.get((job.key, net.jobs[before].key))
            lags[made.edge[at, place]] = lag if days is None else _calendar(days)
    run_in: dict[str, Floats | float] = {
        machine: draws.run_in_days.get(machine, net.schedule.run_in_days.get(machine, 0.0))
        for machine in net.machines
    }
    return Lot(worlds, sizes, lags, gates, run_in)


def side_by_side(lots: Sequence[Lot]) -> Lot:
    """Runs of several lots as those of one, without their days of running in.

    Parameters
    ----------
    lots : sequence of Lot
        Of one ground.

    Returns
    -------
    Lot
    """
    return Lot(
        sum(lot.worlds for lot in lots),
        np.concatenate([lot.sizes for lot in lots], axis=1),
        np.concatenate([lot.lags for lot in lots], axis=1),
        np.concatenate([lot.gates for lot in lots], axis=1),
        dict.fromkeys(lots[0].run_in_days, 0.0),
    )


def _quarters(hours: Floats) -> Whole:
    whole = np.rint(hours * QUARTERS_AN_HOUR)
    return np.asarray(np.maximum(whole, hours > 0), dtype=np.int32)


def _calendar(days: Floats) -> Whole:
    return np.asarray(np.maximum(np.rint(days * QUARTERS_A_DAY), 0), dtype=np.int32)
