"""Dates as ranges, what they hang on, and what ordering a part at once or later does to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import QUARTERS_A_DAY
from retrue.plan.freeze import Frozen, freeze
from retrue.plan.hang import longest_way
from retrue.plan.jobs import Draws, Order, Promise, Schedule
from retrue.plan.replay import Replayed, prepare, replay, run

Floats = NDArray[np.float64]


def promises(schedule: Schedule, order: Order, draws: Draws) -> tuple[Promise, ...]:
    """When every machine makes its first good part, and what that hangs on.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        A plan of this schedule.
    draws : Draws
        What the tasks took in every run, shape (worlds,) each.

    Returns
    -------
    tuple of Promise
        One a machine, in the order of the tasks. In ``late_by`` a task stands by its key, a part
        that is waited for behind ``part:``.

    References
    ----------
    Order statistics of the runs, by definition: the smallest day by which half, or nine in ten,
    of them are done.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Task
    >>> from retrue.plan.solve import solve
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                 tasks=(Task(key="a", machine="V", hours=1.0),))
    >>> draws = Draws(worlds=4, hours={"a": np.array([1.0, 2.0, 3.0, 4.0])})
    >>> one = promises(shop, solve(shop), draws)[0]
    >>> str(one.expected), str(one.even), str(one.nine_of_ten), one.late_by
    ('2026-11-26 21:00:00', '2026-11-26 22:00:00', '2026-11-27 22:00:00', (('a', 1.0),))
    """
    frozen = freeze(schedule, order)
    return promised(replay(frozen, draws), replay(frozen, Draws(worlds=1)))


def promised(played: Replayed, expected: Replayed) -> tuple[Promise, ...]:
    """The same from runs that are played already.

    Parameters
    ----------
    played, expected : Replayed
        Of one frozen plan: as drawn, and one run as expected.

    Returns
    -------
    tuple of Promise
    """
    start = played.prepared.frozen.net.schedule.start

    def moment(days: float) -> datetime:
        return start + timedelta(minutes=round(days * 1440))

    return tuple(
        Promise(
            machine=machine,
            days=days,
            expected=moment(expected.days[machine][0]),
            even=moment(by_share(days, 0.5)),
            nine_of_ten=moment(by_share(days, 0.9)),
            late_by=longest_way(played, machine),
        )
        for machine, days in played.days.items()
    )


def by_share(days: Floats, share: float) -> float:
    """The smallest day by which a share of the runs is done.

    Parameters
    ----------
    days : ndarray, shape (worlds,)
    share : float
        Between 0 and 1.

    Returns
    -------
    float
        One of the days.
    """
    return float(np.quantile(days, share, method="inverted_cdf"))


def ordered_now(schedule: Schedule, draws: Draws, part: str) -> Draws:
    """The same runs, had a part been ordered at the start of the plan.

    Parameters
    ----------
    schedule : Schedule
    draws : Draws
        Shape (worlds,) each.
    part : str
        As it stands at the wait for it.

    Returns
    -------
    Draws
        The wait counts from the start of the plan, no longer from the task before it.
    """
    days, later = dict(draws.days), dict(draws.not_before)
    for task in schedule.tasks:
        for each in task.after:
            if part and each.part == part:
                wait = _wait(draws, task.key, each.task, each.days)
                gate = later.get(task.key, np.full(draws.worlds, task.not_before))
                later[task.key] = np.maximum(gate, wait)
                days[task.key, each.task] = np.zeros(draws.worlds)
    return replace(draws, days=days, not_before=later)


def longer_leads(schedule: Schedule, draws: Draws, factor: float) -> Draws:
    """The same runs with every wait for a part or a service so many times as long.

    Parameters
    ----------
    schedule : Schedule
    draws : Draws
        Shape (worlds,) each.
    factor : float

    Returns
    -------
    Draws
        What dries takes as long as before.
    """
    days, later = dict(draws.days), dict(draws.not_before)
    for task in schedule.tasks:
        for each in task.after:
            if each.part:
                wait = _wait(draws, task.key, each.task, each.days)
                days[task.key, each.task] = wait * factor
        if task.part:
            gate = later.get(task.key, np.full(draws.worlds, task.not_before))
            later[task.key] = gate * factor
    return replace(draws, days=days, not_before=later)


def _wait(draws: Draws, task: str, before: str, expected: float) -> Floats:
    drawn = draws.days.get((task, before))
    return np.full(draws.worlds, expected) if drawn is None else drawn


def days_gained(frozen: Frozen, played: Mapping[str, Floats], draws: Draws) -> dict[str, Floats]:
    """How many days sooner every machine is done in other runs of the same order.

    Parameters
    ----------
    frozen : Frozen
    played : mapping of machine to ndarray, shape (worlds,)
        Days as it stands.
    draws : Draws
        The same runs with something changed, shape (worlds,) each.

    Returns
    -------
    dict of machine to ndarray, shape (worlds,)
        Positive where it is sooner.
    """
    new = run(prepare(frozen, draws)).days
    return {machine: days - new[machine] for machine, days in played.items()}


def slack(schedule: Schedule, order: Order) -> dict[str, float]:
    """How many days each task may wait, as expected, without moving any machine's date.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        A plan of this schedule.

    Returns
    -------
    dict of task to float
        Days; what no date needs may wait until the plan ends.

    References
    ----------
    Late starts of the critical path method, Kelley and Walker 1959; on calendars and with what is
    passed on our own.
    """
    frozen = freeze(schedule, order)
    return _Late(replay(frozen, Draws(worlds=1))).slack()


class _Late:
    """The latest at which everything may begin, from the last link back."""

    def __init__(self, played: Replayed) -> None:
        self.played = played
        frozen = played.prepared.frozen
        self.net, self.links = frozen.net, frozen.links
        self.ends = [int(row[0]) for row in played.ends_at]
        self.last = max((self.ends[link.number] for link in self.links), default=0)
        self.token = [self.last] * frozen.tokens
        self.end = dict.fromkeys((link.number for link in self.links), self.last)
        for machine in played.days:
            mine = [link.number for link in self.links
                    if self.net.jobs[link.number].machine == machine
                    and self.net.jobs[link.number].good_part]  # fmt: skip
            done = max(self.ends[job] for job in mine)
            self.end.update(dict.fromkeys(mine, done))

    def slack(self) -> dict[str, float]:
        found: dict[str, float] = {}
        for place in range(len(self.links) - 1, -1, -1):
            number = self.links[place].number
            begin = int(self.played.begins_at(place)[0])
            late = self._latest(place)
            found[self.net.jobs[number].key] = max(0, late - begin) / QUARTERS_A_DAY
            for at, (before, _, _) in enumerate(self.net.jobs[number].before):
                lag = int(np.max(self.played.prepared.lags[number, at]))
                self.end[before] = min(self.end[before], late - lag)
        return dict(reversed(found.items()))

    def _latest(self, place: int) -> int:
        """The latest moment at which a link may begin."""
        link = self.links[place]
        job = self.net.jobs[link.number]
        end = self.end[link.number]
        let_go = [token for token, _ in link.lets_go]
        end = min([end, *(self.token[token] for token in (*link.frees, *let_go))]) \
            if job.quarters else min([end, *(self.token[token] for token in let_go)])  # fmt: skip
        late = end
        if job.quarters:
            steps = self.played.prepared.steps[place]
            begin = int(steps.axis.up[min(end, len(steps.axis.up) - 1)]) - job.quarters
            if steps.starts is not None:
                while begin > 0 and int(steps.starts[begin]) != begin:
                    begin -= 1
            late = int(steps.axis.begins[max(begin, 0)])
            for token in link.takes:
                again = token in link.frees or token in let_go
                self.token[token] = late if again else min(self.token[token], late)
        return late
