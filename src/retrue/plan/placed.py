"""Where all jobs lie, told as a plan; and why some lie nowhere."""

from __future__ import annotations

from collections.abc import Sequence

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
