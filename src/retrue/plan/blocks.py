"""The calendar cut into blocks: stretches of time in which the same people are there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import CAP_DAYS, QUARTERS_A_DAY, working
from retrue.plan.network import Network

Whole = NDArray[np.int32]
LONGEST_DAYS = 4 * CAP_DAYS  # where a run of the plan is cut off
AFTER_ALL = LONGEST_DAYS * QUARTERS_A_DAY
NEVER = 1 << 29  # a quarter-hour that does not come


@dataclass(frozen=True, slots=True, eq=False)
class Blocks:
    """Stretches of the calendar, one after the other; people as the bits of a number.

    Attributes
    ----------
    begins, ends : ndarray, shape (blocks + 1,)
        Quarter-hours of the calendar, half-open; the last block never comes.
    present : ndarray, shape (blocks + 1,)
        Who is there.
    stays : ndarray, shape (crews, blocks + 1)
        Until when all of a crew stay who are there; where not all are: not at all.
    longest : ndarray, shape (crews, blocks + 1)
        The longest stretch of a crew from here on, in quarter-hours.
    here : ndarray of bool, shape (things, blocks + 1)
        Whether what is shared is there on that day.
    """

    begins: Whole
    ends: Whole
    present: Whole
    stays: Whole
    longest: Whole
    here: NDArray[np.bool_]


def blocks(net: Network, *, days: int = LONGEST_DAYS, again: bool = True) -> Blocks:
    """Cut the calendar wherever somebody comes or goes, and at midnight.

    Parameters
    ----------
    net : Network
    days : int
        How far ahead.
    again : bool
        Whoever comes too late for the last day of something hired hires it again.

    Returns
    -------
    Blocks

    References
    ----------
    Our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Schedule
    >>> from retrue.plan.network import network
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> son = Hands(name="son", evenings=((3, 21.0, 23.0),), helps_only=True)
    >>> net = network(Schedule(start=datetime(2026, 11, 26), tasks=(), hands=(me, son)))
    >>> cut = blocks(net, days=7)
    >>> cut.begins[:3].tolist(), cut.ends[:3].tolist(), cut.present.tolist()
    ([80, 84, 88], [84, 88, 92], [1, 3, 2, 0])
    """
    hands = net.schedule.hands
    there = np.zeros(days * QUARTERS_A_DAY, dtype=np.int32)
    for bit, one in enumerate(hands):
        there += working(one, net.schedule.start, days).astype(np.int32) << bit
    cuts = np.diff(there, prepend=0) != 0
    cuts[::QUARTERS_A_DAY] |= there[::QUARTERS_A_DAY] > 0
    at = np.flatnonzero(cuts)
    ends = np.append(at[1:], len(there))
    worked = there[at] > 0
    begins = np.append(at[worked], NEVER).astype(np.int32)
    stop = np.append(ends[worked], NEVER).astype(np.int32)
    present = np.append(there[at[worked]], 0).astype(np.int32)
    stays, longest = _stretches(begins, stop, present, len(hands))
    return Blocks(begins, stop, present, stays, longest, _here(net, begins, again))


def _stretches(begins: Whole, ends: Whole, present: Whole, people: int) -> tuple[Whole, Whole]:
    """For every crew until when it stays, and the longest stretch still to come."""
    count = len(begins)
    stays = np.zeros((1 << people, count), dtype=np.int32)
    longest = np.zeros_like(stays)
    joined = np.append(ends[:-1] == begins[1:], False)
    for crew in range(1, 1 << people):
        inside = (present & crew) == crew
        goes_on = joined & inside & np.append(inside[1:], False)
        last = np.flatnonzero(~goes_on)
        until = ends[last[np.searchsorted(last, np.arange(count))]]
        stays[crew] = np.where(inside, until, 0)
        room = np.where(inside, until - begins, 0)
        most = np.maximum.accumulate(room[::-1])[::-1]
        most[count * 3 // 4 :] = most[count * 3 // 4]  # the calendar goes on behind its end
        longest[crew] = most
    return stays, longest


def _here(net: Network, begins: Whole, again: bool) -> NDArray[np.bool_]:
    first = net.schedule.start.date()
    on = begins // QUARTERS_A_DAY
    here = np.ones((len(net.counts), len(begins)), dtype=bool)
    for number, thing in enumerate(net.schedule.shared):
        if thing.days:
            wanted = [(day - first).days for day in thing.days]
            here[number] = np.isin(on, wanted) | (again & (on > max(wanted)))
    return here
