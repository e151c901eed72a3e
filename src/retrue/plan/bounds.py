"""How early and how late everything may lie at best: what narrows the search for a plan."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retrue.plan.calendar import Counts, days_after
from retrue.plan.network import Network
from retrue.plan.priority import Spot, weights

SCALE = 1000  # what the dearest machine's quarter-hour counts, in whole numbers


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """On one axis: what matters to a good part, how early, how late.

    Attributes
    ----------
    needed : tuple of int
        Jobs without which no machine makes its good part; all others come when they may.
    first : mapping of job to int
        Earliest working quarter.
    machines : tuple of str
        With something needed.
    weight : mapping of machine to int
        What a quarter-hour of the calendar counts.
    tails : mapping of machine to mapping of job to int
        Working quarters between the end of a job and the end of the machine's last, at least.
    work : mapping of machine to frozenset of int
        All jobs that must be done before the machine makes its good part.
    upper : mapping of machine to int
        Quarter of the calendar at which its last job ends in the plan at hand.
    least, most : mapping of machine to int
        Between which working quarters it ends in any plan that is not dearer.
    all_least : int
        Working quarter before which the last of all machines cannot end.
    last : int
        Working quarter after which nothing that is needed lies.
    alone : bool
        Everything is done by one and the same person.
    """

    needed: tuple[int, ...]
    first: Mapping[int, int]
    machines: tuple[str, ...]
    weight: Mapping[str, int]
    tails: Mapping[str, Mapping[int, int]]
    work: Mapping[str, frozenset[int]]
    upper: Mapping[str, int]
    least: Mapping[str, int]
    most: Mapping[str, int]
    all_least: int
    last: int
    alone: bool


def needed(net: Network) -> tuple[int, ...]:
    """Jobs without which no machine makes its first good part.

    Parameters
    ----------
    net : Network

    Returns
    -------
    tuple of int
        With what comes before them and what lets go of what they hold.
    """
    found: set[int] = set()
    wanted = [at for at, job in enumerate(net.jobs) if job.machine and job.good_part]
    wanted += [until for _, _, until in net.held]
    while wanted:
        at = wanted.pop()
        if at in found:
            continue
        found.add(at)
        wanted += [before for before, _, _ in net.jobs[at].before]
        if net.jobs[at].until >= 0:
            wanted.append(net.jobs[at].until)
    return tuple(sorted(found))


def one_at_a_time(jobs: Iterable[tuple[int, int, int]]) -> int:
    """The least end of jobs done one at a time, each with a head and a tail, if they may be cut.

    Parameters
    ----------
    jobs : iterable of (head, size, tail)

    Returns
    -------
    int
        No order of the jobs whole ends sooner.

    References
    ----------
    Jackson's preemptive schedule: Carlier, "The one-machine sequencing problem", 1982.

    Examples
    --------
    >>> rows = [(10, 5, 7), (13, 6, 26), (11, 7, 24), (20, 4, 21), (30, 3, 8), (0, 6, 17),
    ...         (30, 2, 0)]
    >>> one_at_a_time(rows)
    49
    """
    coming = sorted(jobs)
    waiting: list[tuple[int, int]] = []  # tail, negative; what is left
    now, at, least = 0, 0, 0
    while at < len(coming) or waiting:
        if not waiting:
            now = max(now, coming[at][0])
        while at < len(coming) and coming[at][0] <= now:
            heapq.heappush(waiting, (-coming[at][2], coming[at][1]))
            at += 1
        tail, left = heapq.heappop(waiting)
        until = coming[at][0] if at < len(coming) else now + left
        done = min(left, until - now)
        now += done
        if done < left:
            heapq.heappush(waiting, (tail, left - done))
        else:
            least = max(least, now - tail)
    return least


def good_part_ends(net: Network, spots: Sequence[Spot]) -> dict[str, int]:
    """When every machine's last needed job ends.

    Parameters
    ----------
    net : Network
    spots : sequence of Spot

    Returns
    -------
    dict of machine to int
        Quarter of the calendar.
    """
    ends: dict[str, int] = {}
    for spot in spots:
        job = net.jobs[spot.job]
        if job.machine and job.good_part:
            ends[job.machine] = max(ends.get(job.machine, 0), spot.ends)
    return ends


def soonest(net: Network) -> float:
    """What no plan can cost less than: every machine by itself, with hands for everything at once.

    Parameters
    ----------
    net : Network

    Returns
    -------
    float
        In the measure of `priority.cost`.

    References
    ----------
    Earliest ends of the critical path method, Kelley and Walker 1959.
    """
    ends: list[int] = []
    last: dict[str, int] = {}
    for job in net.jobs:
        ready = max([job.gate, *(ends[before] + lag for before, lag, _ in job.before)])
        found = []
        for way in job.ways if job.quarters else ():
            axis = net.axes[way.axis]
            begin = int(axis.up[min(ready, len(axis.up) - 1)])
            begin = begin if way.starts is None else int(way.starts[begin])
            found.append(int(axis.ends[min(begin + job.quarters, len(axis.ends) - 1)]))
        ends.append(min(found, default=ready))
        if job.machine and job.good_part:
            last[job.machine] = max(last.get(job.machine, 0), ends[-1])
    start, run_in = net.schedule.start, net.schedule.run_in_days
    worth = weights(net)
    return sum(worth[m] * (days_after(start, at) + run_in.get(m, 0.0)) for m, at in last.items())


def weighted(found: Window, net: Network, spots: Sequence[Spot]) -> int:
    """The ends of all machines by their weight, as the solver counts them.

    Parameters
    ----------
    found : Window
    net : Network
    spots : sequence of Spot

    Returns
    -------
    int
    """
    ends = good_part_ends(net, spots)
    return sum(found.weight[machine] * ends.get(machine, 0) for machine in found.machines)


def wait_steps(net: Network, ends: Counts, lag: int) -> Counts:
    """At which working quarter what waits may begin, for every end of what it waits for.

    Parameters
    ----------
    net : Network
        With one axis.
    ends : ndarray, shape (ends,)
        Working quarters.
    lag : int
        Quarters of the calendar.

    Returns
    -------
    ndarray, shape (ends,)
    """
    axis = net.axes[0]
    return axis.up[np.minimum(axis.ends[ends] + lag, len(axis.up) - 1)]


def window(net: Network, spots: Sequence[Spot]) -> Window:
    """How early everything can be done on one axis, and how late it may be.

    Parameters
    ----------
    net : Network
        All of whose jobs share one axis.
    spots : sequence of Spot
        A plan; only what is not dearer is of interest.

    Returns
    -------
    Window

    References
    ----------
    Heads and tails: Carlier 1982.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Schedule, Task
    >>> from retrue.plan.network import network
    >>> from retrue.plan.priority import by_rule
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> net = network(Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                        tasks=(Task(key="a", machine="V", hours=1.0),)))
    >>> found = window(net, by_rule(net))
    >>> found.first[0], found.least["V"], found.most["V"], found.last
    (0, 4, 4, 4)
    """
    wanted = needed(net)
    axis = net.axes[0]
    upper = good_part_ends(net, spots)
    crews = {way.people for job in net.jobs if job.quarters for way in job.ways}
    alone = len(crews) == 1 and all(len(crew) == 1 for crew in crews)
    ways = _Ways(net, wanted, alone)
    work = {machine: ways.before_good(machine) for machine in upper}
    tails = {machine: ways.tails(jobs) for machine, jobs in work.items()}
    least = {machine: ways.least(tails[machine]) for machine in upper}
    weight = {m: max(1, round(SCALE * w)) for m, w in weights(net).items() if m in upper}
    spare = sum(weight[m] * (upper[m] - int(axis.ends[least[m]])) for m in upper)
    top = len(axis.up) - 1
    most = {m: int(axis.up[min(int(axis.ends[least[m]]) + spare // weight[m], top)]) for m in upper}
    everything = ways.tails(frozenset().union(*work.values()))
    loose = sum(net.jobs[at].quarters for at in wanted if at not in everything)
    last = min(max(most.values(), default=0) + loose, axis.quarters)
    return Window(wanted, ways.first, tuple(upper), weight, tails, work, upper, least, most,
                  ways.least(everything), last, alone)  # fmt: skip


class _Ways:
    """Heads and tails of the needed jobs."""

    def __init__(self, net: Network, wanted: tuple[int, ...], alone: bool) -> None:
        self.net, self.wanted, self.alone = net, wanted, alone
        self.before: dict[int, frozenset[int]] = {}
        self.first: dict[int, int] = {}
        self.after: dict[int, list[tuple[int, int]]] = {at: [] for at in wanted}
        ends: dict[int, int] = {}
        axis = net.axes[0]
        for at in wanted:
            job = net.jobs[at]
            near = [each for each, _, _ in job.before]
            self.before[at] = frozenset(near).union(*(self.before[each] for each in near))
            ready = max([job.gate, *(ends[before] + lag for before, lag, _ in job.before)])
            begin = int(axis.up[ready])
            if job.quarters:
                begin = max(begin, self._one_by_one(dict.fromkeys(self.before[at], 0)))
                starts = job.ways[0].starts
                begin = begin if starts is None else int(starts[begin])
            self.first[at] = begin
            ends[at] = int(axis.ends[begin + job.quarters]) if job.quarters else ready
            for each, lag, _ in job.before:
                self.after[each].append((at, self._least_wait(each, lag)))

    def _one_by_one(self, tails: Mapping[int, int]) -> int:
        if not self.alone:
            return 0
        jobs = self.net.jobs
        return one_at_a_time((self.first[at], jobs[at].quarters, tails[at]) for at in tails)

    def _least_wait(self, before: int, lag: int) -> int:
        if not lag:
            return 0
        first = self.first[before] + self.net.jobs[before].quarters
        ends = np.arange(first, self.net.axes[0].quarters * 3 // 4)
        if not len(ends):
            return 0
        return int((wait_steps(self.net, ends, lag) - ends).min())

    def before_good(self, machine: str) -> frozenset[int]:
        """All that must be done before a machine makes its good part."""
        jobs = self.net.jobs
        good = {at for at in self.wanted if jobs[at].machine == machine and jobs[at].good_part}
        return frozenset(good).union(*(self.before[at] for at in good))

    def tails(self, inside: frozenset[int]) -> dict[int, int]:
        """Work between the end of each job and the end of them all."""
        jobs, found = self.net.jobs, dict[int, int]()
        behind = dict.fromkeys(inside, 0)
        for at in inside:
            for before in self.before[at] if self.alone else ():
                if before in behind:
                    behind[before] += jobs[at].quarters
        for at in sorted(inside, reverse=True):
            ways = [wait + jobs[each].quarters + found[each]
                    for each, wait in self.after[at] if each in inside]  # fmt: skip
            found[at] = max([behind[at], *ways])
        return found

    def least(self, tails: Mapping[int, int]) -> int:
        """Before which working quarter they cannot all be done."""
        longest = (self.first[at] + self.net.jobs[at].quarters + tails[at] for at in tails)
        return max([self._one_by_one(tails), *longest])
