"""The plain rule: the longest way first, one task after the other; and swaps that help."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from itertools import permutations
from typing import NamedTuple

from retrue.base.chance import stream
from retrue.plan.calendar import NEVER, days_after
from retrue.plan.network import Job, Network, Way

MACHINES_TRIED = 4  # as many machines are put into every order; more by the worth of their hours


class Spot(NamedTuple):
    """Where a job lies: who does it, from which quarter of the calendar to which."""

    job: int
    people: tuple[int, ...]
    begins: int
    ends: int


class Bench:
    """Puts jobs down one by one, each as early as what was put down before it lets it."""

    def __init__(self, net: Network) -> None:
        self.net = net
        self._begins = [axis.begins.tolist() for axis in net.axes]
        self._ends = [axis.ends.tolist() for axis in net.axes]
        self._up = [axis.up.tolist() for axis in net.axes]
        self._starts = {
            id(way): way.starts.tolist()
            for job in net.jobs
            for way in job.ways
            if way.starts is not None
        }
        self._before = [frozenset(each for each, _, _ in job.before) for job in net.jobs]
        self._horizon = len(self._up[0]) - 1 if self._up else 0
        self.clear()

    def clear(self) -> None:
        """Take everything off again."""
        self.done: dict[int, Spot] = {}
        self._free = [self.net.start] * len(self.net.schedule.hands)
        self._units = [[self.net.start] * count for count in self.net.counts]
        self._held: dict[int, list[tuple[int, int]]] = {}
        for thing, count, until in self.net.held:
            self._hold(thing, count, until, self.net.start)

    def ready(self, number: int) -> bool:
        """Tell whether everything that comes before a job is put down."""
        return self._before[number] <= self.done.keys()

    def spot(self, number: int) -> Spot | None:
        """Where a job would lie now; None: nowhere, or not before something is let go."""
        job = self.net.jobs[number]
        at = job.gate
        for each, lag, _ in job.before:
            at = max(at, self.done[each].ends + lag)
        if not job.quarters:
            return Spot(number, (), at, at) if at < self._horizon else None
        for thing, count in (*job.takes, *job.holds):
            at = max(at, sorted(self._units[thing])[count - 1])
        best: Spot | None = None
        for way in job.ways:
            begins, ends = self._fit(way, job.quarters, at)
            if ends < NEVER and (best is None or (ends, begins) < (best.ends, best.begins)):
                best = Spot(number, way.people, begins, ends)
        return best

    def _fit(self, way: Way, size: int, at: int) -> tuple[int, int]:
        for person in way.people:
            at = max(at, self._free[person])
        up = self._up[way.axis]
        if at >= len(up):
            return NEVER, NEVER
        first = up[at]
        if way.starts is not None:
            first = self._starts[id(way)][first]
        ends = self._ends[way.axis]
        if first + size >= len(ends) - 1:
            return NEVER, NEVER
        return self._begins[way.axis][first], ends[first + size]

    def put(self, spot: Spot) -> None:
        """Put a job down."""
        job = self.net.jobs[spot.job]
        self.done[spot.job] = spot
        for person in spot.people:
            self._free[person] = spot.ends
        if job.quarters:
            for thing, count in job.takes:
                for unit in self._best(thing, count, spot.begins):
                    self._units[thing][unit] = spot.ends
        for thing, count in job.holds:
            self._hold(thing, count, job.until, spot.begins)
        for thing, unit in self._held.pop(spot.job, ()):
            self._units[thing][unit] = spot.ends

    def _hold(self, thing: int, count: int, until: int, at: int) -> None:
        for unit in self._best(thing, count, at):
            self._units[thing][unit] = NEVER
            self._held.setdefault(until, []).append((thing, unit))

    def _best(self, thing: int, count: int, at: int) -> list[int]:
        """Of what is free at a moment the pieces that lay idle shortest."""
        units = self._units[thing]
        free = [unit for unit, since in enumerate(units) if since <= at]
        return sorted(free, key=lambda unit: (-units[unit], unit))[:count]


def by_list(bench: Bench, order: Sequence[int], *, first: Sequence[Spot] = ()) -> tuple[Spot, ...]:
    """Put jobs down in the order of a list; what cannot be put down yet is put down later.

    Parameters
    ----------
    bench : Bench
    order : sequence of int
        Numbers of jobs.
    first : sequence of Spot
        Where the first of them lie, if that is known: of a plan that begins with the same jobs.

    Returns
    -------
    tuple of Spot
        In the order in which they were put down; without what found no place.
    """
    bench.clear()
    for spot in first:
        bench.put(spot)
    waiting = list(order[len(first) :])
    while waiting:
        for place, number in enumerate(waiting):
            if bench.ready(number) and (found := bench.spot(number)):
                bench.put(found)
                del waiting[place]
                break
        else:
            break
    return tuple(bench.done.values())


def by_rank(
    bench: Bench, rank: Sequence[float], behind: Mapping[int, Sequence[int]] | None = None
) -> tuple[Spot, ...]:
    """Put down at every turn what can begin first; of those that can, what ranks highest.

    Parameters
    ----------
    bench : Bench
    rank : sequence of float
        For every job; the smaller the sooner.
    behind : mapping of job to sequence of int, or None
        Jobs that are not put down before others are, beside what comes before them.

    Returns
    -------
    tuple of Spot
        In the order in which they were put down; without what found no place.
    """
    bench.clear()
    after = behind or {}
    waiting = sorted(range(len(rank)), key=lambda number: rank[number])
    while True:
        best: Spot | None = None
        for number in waiting:
            if bench.ready(number) and all(each in bench.done for each in after.get(number, ())):
                spot = bench.spot(number)
                if spot and (best is None or spot.begins < best.begins):
                    best = spot
        if best is None:
            return tuple(bench.done.values())
        bench.put(best)
        waiting.remove(best.job)


@lru_cache(maxsize=8)
def weights(net: Network) -> Mapping[str, float]:
    """What a day of every machine counts; where nothing is said of any, all the same.

    Parameters
    ----------
    net : Network

    Returns
    -------
    mapping of machine to float
        The largest is 1; a machine that is worth nothing still counts a thousandth.
    """
    worth = {machine: net.schedule.day_worth.get(machine, 0.0) for machine in net.machines}
    most = max(worth.values(), default=0.0)
    if most <= 0:
        return dict.fromkeys(worth, 1.0)
    return {machine: max(value / most, 0.001) for machine, value in worth.items()}


def cost(net: Network, spots: Sequence[Spot]) -> tuple[int, float, int]:
    """How dear a plan is: what found no place, days until the good parts, how early all begins.

    Parameters
    ----------
    net : Network
    spots : sequence of Spot

    Returns
    -------
    tuple of int, float and int
        Compared in this order, the smaller the better.

    References
    ----------
    Weighted completion time of the machines; the second rule, that work begins early, is our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Schedule, Task
    >>> from retrue.plan.network import network
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> net = network(Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                        tasks=(Task(key="a", machine="V", hours=1.0),)))
    >>> cost(net, by_list(Bench(net), (0,)))
    (0, 0.875, 84)
    """
    ends: dict[str, int] = {}
    for spot in spots:
        job = net.jobs[spot.job]
        if job.machine and job.good_part:
            ends[job.machine] = max(ends.get(job.machine, 0), spot.ends)
    value = sum(
        weight
        * (days_after(net.schedule.start, ends[machine])
           + net.schedule.run_in_days.get(machine, 0.0))
        for machine, weight in weights(net).items()
        if machine in ends
    )  # fmt: skip
    early = sum(spot.ends for spot in spots)
    return len(net.jobs) - len(spots), round(value, 9), early


def tails(net: Network) -> list[float]:
    """The longest way from the end of every job to the end of its machine, in days.

    Parameters
    ----------
    net : Network

    Returns
    -------
    list of float
        Working time as calendar days at the pace of those who can do it.

    References
    ----------
    Critical path method, Kelley and Walker 1959; the pace of evenings is our own.
    """
    pace = [max(axis.quarters, 1) / max(len(axis.up) - 1 - net.start, 1) for axis in net.axes]
    after: list[list[tuple[int, int]]] = [[] for _ in net.jobs]
    for number, job in enumerate(net.jobs):
        for each, lag, _ in job.before:
            after[each].append((number, lag))
    found = [0.0] * len(net.jobs)
    for number in range(len(net.jobs) - 1, -1, -1):
        job = net.jobs[number]
        if not job.good_part:
            found[number] = -1.0
        for each, lag in after[number]:
            found[number] = max(found[number], lag + _length(net.jobs[each], pace) + found[each])
    return [tail / 96 for tail in found]


def _length(job: Job, pace: Sequence[float]) -> float:
    if not job.ways:
        return 0.0
    return job.quarters / max(pace[way.axis] for way in job.ways)


def by_rule(net: Network, *, swaps: int = 2000) -> tuple[Spot, ...]:
    """Plan by the rule: machines in the best order, the longest way first, then swaps.

    Parameters
    ----------
    net : Network
    swaps : int
        How many swaps are tried at most.

    Returns
    -------
    tuple of Spot
        In the order in which they are put down.

    References
    ----------
    Serial and parallel schedule generation with the longest tail first: Kolisch 1996.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import After, Hands, Schedule, Task
    >>> from retrue.plan.network import network
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> tasks = (Task(key="short", machine="V", hours=1.0),
    ...          Task(key="send", machine="V", hours=1.0),
    ...          Task(key="refit", machine="V", hours=1.0, after=(After(task="send", days=1.0),)))
    >>> net = network(Schedule(start=datetime(2026, 11, 26), hands=(me,), tasks=tasks))
    >>> [net.jobs[spot.job].key for spot in by_rule(net)]
    ['send', 'short', 'refit']
    """
    bench = Bench(net)
    tail = tails(net)
    best: tuple[Spot, ...] = ()
    for machines in _orders(net):
        place = {machine: at for at, machine in enumerate(machines)}
        count = len(machines)
        for leading in (0.0, 1e6):
            rank = [
                leading * place.get(job.machine, count) - tail[number] + number * 1e-6
                for number, job in enumerate(net.jobs)
            ]
            best = _better(net, best, by_rank(bench, rank))
            best = _better(net, best, by_rank(bench, rank, _patient(net, place)))
    return improve(net, bench, best, swaps=swaps)


def _patient(net: Network, place: Mapping[str, int]) -> dict[int, list[int]]:
    """What holds something waits until all machines before its own hold what they must."""
    holders = [at for at, job in enumerate(net.jobs) if job.holds]
    return {
        at: [other for other in holders
             if place.get(net.jobs[other].machine, 0) < place.get(net.jobs[at].machine, 0)]
        for at in holders
    }  # fmt: skip


def _better(net: Network, old: tuple[Spot, ...], new: tuple[Spot, ...]) -> tuple[Spot, ...]:
    return new if not old or cost(net, new) < cost(net, old) else old


def _orders(net: Network) -> list[tuple[str, ...]]:
    """Orders of the machines worth trying."""
    machines = net.machines
    if len(machines) <= MACHINES_TRIED:
        return list(permutations(machines))
    weight = weights(net)
    hours = {
        machine: sum(job.quarters for job in net.jobs if job.machine == machine) + 1
        for machine in machines
    }
    worth = tuple(sorted(machines, key=lambda machine: -weight[machine] / hours[machine]))
    return [worth, machines]


def improve(
    net: Network,
    bench: Bench,
    spots: tuple[Spot, ...],
    *,
    swaps: int,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[Spot, ...]:
    """Move single jobs along the list as long as that makes the plan cheaper.

    Parameters
    ----------
    net : Network
    bench : Bench
    spots : tuple of Spot
        The plan to start from.
    swaps : int
        How many moves are tried at most.
    stop : callable
        Asked before every move.

    Returns
    -------
    tuple of Spot
        Never dearer than before.
    """
    rng = stream(len(spots), "plan", "moves")
    best, value = spots, cost(net, spots)
    vain = set[tuple[int, int]]()  # moves that make the best of now no cheaper
    for _ in range(swaps if len(spots) > 2 else 0):
        if stop():
            break
        order = [spot.job for spot in best]
        here, there = (int(each) for each in rng.integers(0, len(order), 2))
        if (here, there) in vain:
            continue
        vain.add((here, there))
        order.insert(there, order.pop(here))
        tried = by_list(bench, order, first=best[: min(here, there)])
        if (now := cost(net, tried)) < value:
            best, value = tried, now
            vain.clear()
    return best
