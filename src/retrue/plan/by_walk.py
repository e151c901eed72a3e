"""A plan for more than one pair of hands: which list of what is most pressing ends soonest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.plan.blocks import AFTER_ALL
from retrue.plan.bounds import soonest
from retrue.plan.calendar import CAP_DAYS, QUARTERS_A_DAY
from retrue.plan.ground import Ground, Lot, drawn, ground
from retrue.plan.jobs import Draws, Order, Schedule
from retrue.plan.network import Network
from retrue.plan.placed import order_of
from retrue.plan.priority import Spot, cost, tails, weights
from retrue.plan.walk import walk_lists
from retrue.plan.walked import Walked

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
ROUNDS, TRIED = 8, 48  # of the search: so many lists at a time
LEADS = (0.0, 20.0, 50.0, 100.0, 1e6)  # days by which a machine goes before the next
MOST_ORDERS = 6  # of machines
LOST = 1e5  # days that a task without a place costs
UNASKED = 1e4  # days that what no date needs may wait
SAME = 1e-6
Progress = Callable[[float, str], None]


def many_hands(net: Network) -> bool:
    """Tell whether there are hours at which some of the jobs can be done and others cannot.

    Parameters
    ----------
    net : Network

    Returns
    -------
    bool
    """
    return len({way.axis for job in net.jobs for way in job.ways if job.quarters}) > 1


def by_walk(
    schedule: Schedule,
    *,
    seed: int = 7,
    rounds: int = ROUNDS,
    before: Order | None = None,
    progress: Progress | None = None,
) -> Order:
    """Plan for several people, none of whom idles while there is something he can do.

    Parameters
    ----------
    schedule : Schedule
    seed : int
        Of the search.
    rounds : int
        How often it tries to better the list; never by the clock, so that the same input gives
        the same plan on every machine.
    before : Order or None
        The plan until now; where its list is no worse it stays.
    progress : callable or None
        Told a share from 0 to 1 and what is being done.

    Returns
    -------
    Order
        With its list in ``priority``; what cannot be planned is left out with the reason.

    References
    ----------
    Priority rule of the longest tail, Kolisch 1996; local search over lists as in Kolisch and
    Hartmann 1999.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (5, 9.0, 12.0)))
    >>> son = Hands(name="son", evenings=((5, 9.0, 11.0),), helps_only=True)
    >>> tasks = (Task(key="lift", machine="V", hours=3.0, people=2),
    ...          Task(key="file", machine="V", hours=2.0))
    >>> plan = by_walk(Schedule(start=datetime(2026, 11, 26), hands=(me, son), tasks=tasks))
    >>> [(each.key, each.people, str(each.ends)) for each in plan.placed]
    [('file', ('me',), '2026-11-26 22:00:00'), ('lift', ('me', 'son'), '2026-12-05 10:00:00')]
    """
    search = Search(ground(schedule, days=CAP_DAYS, again=False))
    order = search.best(seed, rounds, before, progress or (lambda share, what: None))
    return search.order(order)


class Search:
    """The search for a list, each tried by one walk as expected.

    Parameters
    ----------
    made : Ground
    """

    def __init__(self, made: Ground) -> None:
        self.made = made
        self._once: Lot = drawn(made, Draws(worlds=1))
        self._weights = weights(made.net)

    def walked(
        self, lists: Sequence[Sequence[int]], gates: Floats | None = None, *, why: bool = False
    ) -> Walked:
        """Walk once by every list, as expected.

        Parameters
        ----------
        lists : sequence of sequence of int
            Numbers of jobs.
        gates : ndarray, shape (jobs, lists), or None
            Quarter of the calendar before which no job begins.
        why : bool

        Returns
        -------
        Walked
        """
        count, one = len(lists), self._once
        wide = [np.repeat(rows, count, axis=1) for rows in (one.sizes, one.lags, one.gates)]
        if gates is not None:
            wide[2] = np.maximum(wide[2], gates.astype(np.int32))
        lot = replace(one, worlds=count, sizes=wide[0], lags=wide[1], gates=wide[2])
        return walk_lists(self.made, np.array(lists, dtype=np.int64), lot, why=why)

    def values(self, walked: Walked) -> Floats:
        """Days until the good parts by their worth; what has no place costs most.

        Parameters
        ----------
        walked : Walked

        Returns
        -------
        ndarray, shape (lists,)
        """
        lost = (walked.ends_at >= AFTER_ALL).sum(axis=0) + walked.given_up
        days = [self._weights[machine] * row for machine, row in walked.days.items()]
        return np.asarray(sum(days, start=LOST * lost.astype(np.float64)))

    def best(self, seed: int, rounds: int, before: Order | None, tell: Progress) -> list[int]:
        """The list that ends soonest, of rules and of chance moves in the best of them."""
        if not self.made.net.jobs:
            return []
        lists = list(self._rules())
        if before is not None:
            lists.insert(0, self._as_before(before, lists[0]))
        tell(0.1, "rule")
        values = self.values(self.walked(lists))
        at = int(np.argmin(values))
        best, least = lists[at], float(values[at])
        rng = stream(seed, "plan", "lists")
        for number in range(rounds):
            tried = [self._moved(best, rng) for _ in range(TRIED)]
            values = self.values(self.walked(tried))
            at = int(np.argmin(values))
            if values[at] < least - SAME:
                best, least = tried[at], float(values[at])
            tell(0.2 + 0.7 * (number + 1) / rounds, "order")
        if before is not None and float(self.values(self.walked(lists[:1]))[0]) <= least + SAME:
            return lists[0]
        return best

    def _rules(self) -> list[list[int]]:
        """The longest way first; one machine before the other by less or more."""
        net = self.made.net
        tail = tails(net)
        found = []
        worth = tuple(sorted(net.machines, key=lambda name: -self._weights[name]))
        orders = list(permutations(worth))[:MOST_ORDERS] if len(worth) <= 3 else [worth]
        for machines in orders:
            place = {name: at for at, name in enumerate(machines)}
            for lead in LEADS:
                claim = [
                    lead * place.get(job.machine, len(place))
                    - tail[at]
                    + (0 if job.good_part else UNASKED)
                    for at, job in enumerate(net.jobs)
                ]
                found.append(sorted(range(len(claim)), key=lambda at: (claim[at], at)))
        return found

    def _as_before(self, before: Order, rule: Sequence[int]) -> list[int]:
        """The list until now; what is new stands before what the rule puts it before."""
        net = self.made.net
        was = before.priority or tuple(each.key for each in before.placed)
        number = {job.key: at for at, job in enumerate(net.jobs)}
        listed = [number[key] for key in dict.fromkeys(was) if key in number]
        inside, place = set(listed), {job: at for at, job in enumerate(rule)}
        for job in rule:
            if job not in inside:
                at = next((n for n, old in enumerate(listed) if place[old] > place[job]),
                          len(listed))  # fmt: skip
                listed.insert(at, job)
        return listed

    def _moved(self, order: Sequence[int], rng: np.random.Generator) -> list[int]:
        moved = list(order)
        for _ in range(int(rng.integers(1, 4))):
            here, there = (int(each) for each in rng.integers(0, len(moved), 2))
            moved.insert(there, moved.pop(here))
        return moved

    def order(self, listed: Sequence[int], gates: Floats | None = None) -> Order:
        """The plan of a list.

        Parameters
        ----------
        listed : sequence of int
        gates : ndarray, shape (jobs, 1), or None

        Returns
        -------
        Order
        """
        net = self.made.net
        if not net.jobs:
            return order_of(net, (), proved=True)
        one = self.walked([listed], gates, why=True)
        hands = range(len(net.schedule.hands))
        spots = [
            Spot(at, tuple(bit for bit in hands if int(one.crew_at[at, 0]) >> bit & 1),
                 int(one.begins_at[at, 0]), int(one.ends_at[at, 0]))
            for at in range(len(net.jobs)) if one.ends_at[at, 0] < AFTER_ALL
        ]  # fmt: skip
        spots = [spot for spot in spots if spot.ends <= CAP_DAYS * QUARTERS_A_DAY]
        keys = tuple(net.jobs[at].key for at in listed)
        value = cost(net, spots)[1]
        gap = max(0.0, 1 - soonest(net) / value) if value > 0 else 0.0
        return order_of(net, spots, by_rule=True, gap=gap, priority=keys, pieces=one.pieces)
