"""Where all jobs lie, told as a plan; and why some lie nowhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from retrue.plan.calendar import moment
from retrue.plan.jobs import LeftOut, Order, Placed
from retrue.plan.network import Network
from retrue.plan.priority import Spot


def order_of(
    net: Network,
    spots: Sequence[Spot],
    *,
    proved: bool = False,
    by_rule: bool = False,
    gap: float = 0.0,
    priority: tuple[str, ...] = (),
    by_clock: bool = False,
    pieces: Mapping[int, Sequence[tuple[int, int]]] | None = None,
) -> Order:
    """Tell where all jobs lie, by keys, names and moments.

    Parameters
    ----------
    net : Network
    spots : sequence of Spot
    proved, by_rule : bool
    gap : float
    priority : tuple of str
    by_clock : bool
        As in Order.
    pieces : mapping of job to sequence of (begin, end), or None
        Quarters of the calendar at which it is worked at.

    Returns
    -------
    Order
        In the order of beginning; what found no place is left out with the rest.
    """
    start = net.schedule.start
    names = [one.name for one in net.schedule.hands]
    rows = sorted(spots, key=lambda spot: (spot.begins, spot.ends, spot.job))
    return Order(
        placed=tuple(
            Placed(
                key=net.jobs[spot.job].key,
                people=tuple(names[person] for person in spot.people),
                begins=moment(start, spot.begins),
                ends=moment(start, spot.ends),
                pieces=tuple(
                    (moment(start, begin), moment(start, end))
                    for begin, end in (pieces or {}).get(spot.job, ())
                ),
            )
            for spot in rows
        ),
        left_out=(*net.left_out, *too_late(net, spots)),
        proved=proved,
        by_rule=by_rule,
        gap=gap,
        priority=priority,
        by_clock=by_clock,
    )


def too_late(net: Network, spots: Sequence[Spot]) -> tuple[LeftOut, ...]:
    """What found no place before the calendar ends, and what waits for it.

    Parameters
    ----------
    net : Network
    spots : sequence of Spot

    Returns
    -------
    tuple of LeftOut

    References
    ----------
    Our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import After, Hands, Schedule, Task
    >>> from retrue.plan.network import network
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> tasks = (Task(key="a", machine="V", hours=1.0),
    ...          Task(key="b", machine="V", hours=1.0, after=(After(task="a"),)))
    >>> net = network(Schedule(start=datetime(2026, 11, 26), hands=(me,), tasks=tasks))
    >>> [(one.key, one.why) for one in too_late(net, ())]
    [('a', 'no_end'), ('b', 'waits_for_left_out')]
    """
    inside = {spot.job for spot in spots}
    lost: list[LeftOut] = []
    for at, job in enumerate(net.jobs):
        if at in inside:
            continue
        waits = [before for before, _, _ in job.before if before not in inside]
        if waits:
            about = {"task": net.jobs[waits[0]].key}
            lost.append(LeftOut(key=job.key, why="waits_for_left_out", about=about))
        elif things := [net.schedule.shared[thing].name for thing, _ in (*job.takes, *job.holds)]:
            about = {"thing": ", ".join(dict.fromkeys(things)), "held": "yes"}
            lost.append(LeftOut(key=job.key, why="no_day", about=about))
        else:
            lost.append(LeftOut(key=job.key, why="no_end", about={}))
    return tuple(lost)
