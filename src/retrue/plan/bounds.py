"""How early and how late everything may lie at best: what narrows the search for a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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
    first_ends : mapping of job to int
        Earliest quarter of the calendar at which it can be done.
    machines : tuple of str
        With something needed.
    weight : mapping of machine to int
        What a quarter-hour of the calendar counts.
    least, most : mapping of machine to int
        Between which quarters of the calendar its last job ends, in any plan that is not dearer
        than the one at hand.
    last : int
        Working quarter after which nothing that is needed lies.
    """

    needed: tuple[int, ...]
    first: Mapping[int, int]
    first_ends: Mapping[int, int]
    machines: tuple[str, ...]
    weight: Mapping[str, int]
    least: Mapping[str, int]
    most: Mapping[str, int]
    last: int


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
    Heads of the critical path method, Kelley and Walker 1959; by definition.

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
    (0, 84, 84, 4)
    """
    jobs, axis = net.jobs, net.axes[0]
    wanted = needed(net)
    first: dict[int, int] = {}
    ends: dict[int, int] = {}
    for at in wanted:
        job = jobs[at]
        ready = max([job.gate, *(ends[before] + lag for before, lag, _ in job.before)])
        begin = int(axis.up[ready])
        if job.ways and job.ways[0].starts is not None:
            begin = int(job.ways[0].starts[begin])
        first[at] = begin
        ends[at] = int(axis.ends[begin + job.quarters]) if job.quarters else ready
    upper = good_part_ends(net, spots)
    least = {
        machine: max(
            ends[at] for at in wanted if jobs[at].machine == machine and jobs[at].good_part
        )
        for machine in upper
    }
    weight = {m: max(1, round(SCALE * w)) for m, w in weights(net).items() if m in upper}
    spare = sum(weight[m] * (upper[m] - least[m]) for m in upper)
    most = {m: min(least[m] + spare // weight[m], len(axis.up) - 1) for m in upper}
    loose = sum(jobs[at].quarters for at in wanted if not jobs[at].good_part)
    last = max((int(axis.up[most[m]]) for m in upper), default=0) + loose
    return Window(wanted, first, ends, tuple(upper), weight, least, most, min(last, axis.quarters))
