"""What is hired put together on few days, in a plan for several people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.plan.by_walk import Search
from retrue.plan.calendar import CAP_DAYS, QUARTERS_A_DAY
from retrue.plan.ground import Whole, ground
from retrue.plan.jobs import Order, Schedule
from retrue.plan.walked import Walked

Floats = NDArray[np.float64]
ROUNDS = 24
AHEAD = 3  # days of hire a use is put off at a time
SAME = 1e-6


def gathered(
    schedule: Schedule,
    order: Order,
    name: str,
    day_costs: float,
    chances: Mapping[str, float] | None = None,
) -> Order:
    """The same plan with what needs something hired on fewer days, as long as that pays.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        Planned by a list, as if it were there every day.
    name : str
        Of what is hired.
    day_costs : float
        Of one day.
    chances : mapping of task to float, or None
        That it is there at all: a day counts by the chance that anything on it is.

    Returns
    -------
    Order
        Days of hire and what a day of every machine is worth are held against each other: one use
        after the other is put off until the day of the next, as long as that is cheaper.

    References
    ----------
    Our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.by_walk import by_walk
    >>> from retrue.plan.jobs import After, Hands, Shared, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> son = Hands(name="son", evenings=((4, 20.0, 22.0),), helps_only=True)
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me, son),
    ...     shared=(Shared(name="lift"),), day_worth={"V": 1.0},
    ...     tasks=(Task(key="a", machine="V", hours=1.0, needs=(("lift", 1),)),
    ...            Task(key="b", machine="V", hours=1.0, people=2, needs=(("lift", 1),))))
    >>> plan = by_walk(shop)
    >>> [str(each.begins) for each in plan.placed]
    ['2026-11-26 20:00:00', '2026-11-27 20:00:00']
    >>> [str(each.begins) for each in gathered(shop, plan, "lift", 60.0).placed]
    ['2026-11-27 20:00:00', '2026-11-27 21:00:00']
    """
    return _Gathering(schedule, order, name, day_costs, chances or {}).order()


class _Gathering:
    """Puts uses off, one after the other."""

    def __init__(
        self,
        schedule: Schedule,
        order: Order,
        name: str,
        day_costs: float,
        chances: Mapping[str, float],
    ) -> None:
        self.search = Search(ground(schedule, days=CAP_DAYS, again=False))
        self.was, self.day_costs = order, day_costs
        net = self.search.made.net
        self.listed = self.search.made.numbers(order.priority)
        thing = next(at for at, one in enumerate(schedule.shared) if one.name == name)
        self.uses = [at for at, job in enumerate(net.jobs)
                     if job.quarters and thing in {one for one, _ in job.takes}]  # fmt: skip
        there = np.array([chances.get(net.jobs[at].key, 1.0) for at in self.uses])
        self.rare = np.log(np.maximum(1.0 - there, 1e-12))
        self.most = max(schedule.day_worth.values(), default=0.0) or 1.0

    def order(self) -> Order:
        jobs = len(self.search.made.net.jobs)
        gates = np.zeros((jobs, 1))
        if not self.uses:
            return self.was
        one = self._walked(gates)
        least, first = float(self._costs(one)[0]), gates
        for _ in range(ROUNDS):
            tried = self._tries(one, gates)
            if tried is None:
                break
            walked = self._walked(tried)
            costs = self._costs(walked)
            at = int(np.argmin(costs))
            if costs[at] >= least - SAME:
                break
            least, gates = float(costs[at]), tried[:, at : at + 1]
            one = self._walked(gates)
        return self.was if gates is first else self.search.order(self.listed, gates)

    def _walked(self, gates: Floats) -> Walked:
        lists: Sequence[Sequence[int]] = [self.listed] * gates.shape[1]
        return self.search.walked(lists, gates)

    def _tries(self, one: Walked, gates: Floats) -> Floats | None:
        """All uses of one day put off until one of the next days of use: one try a day and use."""
        on = {job: int(one.begins_at[job, 0]) // QUARTERS_A_DAY for job in self.uses}
        days = sorted(set(on.values()))
        tries = []
        pairs = [
            pair for far in range(1, AHEAD + 1) for pair in zip(days, days[far:], strict=False)
        ]
        for day, later in pairs:
            mine = [job for job in self.uses if on[job] == day]
            for jobs in [mine, *([job] for job in mine if len(mine) > 1)]:
                tried = gates[:, 0].copy()
                tried[jobs] = later * QUARTERS_A_DAY
                tries.append(tried)
        return np.array(tries).T if tries else None

    def _costs(self, walked: Walked) -> Floats:
        """Days of hire, and what the expected days of all machines are worth, in money."""
        last = np.maximum(walked.ends_at[self.uses] - 1, walked.begins_at[self.uses])
        both = np.concatenate((walked.begins_at[self.uses], last))  # broken off: on two days
        on = both // QUARTERS_A_DAY
        once = np.concatenate((np.ones_like(last), on[len(last) :] > on[: len(last)]))
        days = [self._days(*column) for column in zip(on.T, once.T, strict=True)]
        return np.asarray(self.most * self.search.values(walked) + self.day_costs * np.array(days))

    def _days(self, on: Whole, once: Whole) -> float:
        """Days of hire to expect: each by the chance that anything on it is there."""
        _, at = np.unique(on, return_inverse=True)
        idle = np.bincount(at, weights=np.tile(self.rare, 2) * once)
        return float((1.0 - np.exp(idle)).sum())
