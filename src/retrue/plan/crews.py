"""Who can do what with what is free: worked out once for all states of people and things."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.plan.network import Job, Network

Whole = NDArray[np.int32]
Marks = NDArray[np.bool_]
SCARCE = 0.5  # of the time of those who can work alone


@dataclass(frozen=True, slots=True, eq=False)
class Crews:
    """Tables over states: free people, and of every thing how many pieces are free.

    Attributes
    ----------
    crews : tuple of tuple of int
        For every job the crews that can do it, as bits, whom one can spare first.
    pick : ndarray, shape (jobs, crews)
        By the free people the crew that takes a job; 0: nobody.
    people : int
        How many states the people have.
    strides, caps : ndarray, shape (things,)
        How a state is counted: people + sum of strides * min(free pieces, cap).
    begin, go_on : ndarray of bool, shape (jobs, states)
        Whether a job can be begun, or gone on with.
    takes : ndarray, shape (jobs, things)
        While it is worked at.
    holds : ndarray, shape (jobs, things)
        From its beginning until its ``until`` ends.
    scarce : ndarray of bool, shape (jobs,)
        Needs people who are rarely there together.
    """

    crews: tuple[tuple[int, ...], ...]
    pick: Whole
    people: int
    strides: Whole
    caps: Whole
    begin: Marks
    go_on: Marks
    takes: Whole
    holds: Whole
    scarce: Marks


def crews_of(net: Network) -> Crews:
    """Lay out the tables.

    Parameters
    ----------
    net : Network

    Returns
    -------
    Crews

    References
    ----------
    Our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Schedule, Task
    >>> from retrue.plan.network import network
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> son = Hands(name="son", evenings=((3, 21.0, 23.0),), helps_only=True)
    >>> tasks = (Task(key="a", machine="V", hours=1.0),
    ...          Task(key="b", machine="V", hours=1.0, people=2))
    >>> made = crews_of(network(Schedule(start=datetime(2026, 11, 26), tasks=tasks,
    ...                                  hands=(me, son))))
    >>> made.crews, made.pick.tolist(), made.scarce.tolist()
    (((1,), (3,)), [[0, 1, 0, 1], [0, 0, 0, 3]], [False, True])
    """
    crews = tuple(_crews(net, job) for job in net.jobs)
    people = 1 << len(net.schedule.hands)
    pick = np.zeros((len(crews), people), dtype=np.int32)
    for number, mine in enumerate(crews):
        for free in range(people):
            pick[number, free] = next((crew for crew in mine if crew & free == crew), 0)
    takes, holds = (_matrix(net, [getattr(job, name) for job in net.jobs])
                    for name in ("takes", "holds"))  # fmt: skip
    caps = (takes + holds).max(axis=0, initial=0).astype(np.int32)
    strides = (people * np.concatenate(([1], np.cumprod(caps + 1)))[:-1]).astype(np.int32)
    states = int(people * np.prod(caps + 1))
    at = np.arange(states)
    left = [at // stride % (cap + 1) for stride, cap in zip(strides, caps, strict=True)]
    manned = pick[:, at % people] > 0

    def there(needs: Whole) -> Marks:
        enough = manned.copy()
        for thing, pieces in enumerate(left):
            enough &= pieces[None, :] >= needs[:, thing, None]
        return enough

    return Crews(crews, pick, people, strides, caps, there(takes + holds), there(takes), takes,
                 holds, _scarce(net))  # fmt: skip


def _crews(net: Network, job: Job) -> tuple[int, ...]:
    """Crews as bits; first who can do least else."""
    hands = net.schedule.hands

    def spared(crew: tuple[int, ...]) -> tuple[int, tuple[int, ...]]:
        return sum(hands[one].may + (not hands[one].helps_only) for one in crew), crew

    ordered = sorted((way.people for way in job.ways), key=spared)
    return tuple(sum(1 << one for one in crew) for crew in ordered)


def _matrix(net: Network, rows: Sequence[tuple[tuple[int, int], ...]]) -> Whole:
    made = np.zeros((len(rows), len(net.counts)), dtype=np.int32)
    for at, row in enumerate(rows):
        for thing, count in row:
            made[at, thing] += count
    return made


def _scarce(net: Network) -> Marks:
    """Jobs whose people are together in less than half of the time of one alone."""
    times = [max((net.axes[way.axis].quarters for way in job.ways), default=0) for job in net.jobs]
    alone = max((time for time, job in zip(times, net.jobs, strict=True)
                 if any(len(way.people) == 1 for way in job.ways)), default=0)  # fmt: skip
    return np.array([
        any(len(way.people) > 1 for way in job.ways) and time <= SCARCE * alone
        for time, job in zip(times, net.jobs, strict=True)
    ], dtype=bool)  # fmt: skip
