"""One door to a plan in many runs: in strict order for one pair of hands, walked for more."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import QUARTERS_A_DAY
from retrue.plan.freeze import Frozen, freeze
from retrue.plan.ground import Ground, Lot, drawn, ground, side_by_side
from retrue.plan.held_up import held_up
from retrue.plan.jobs import Draws, Order, Promise, Schedule
from retrue.plan.promise import by_share, days_gained, promised
from retrue.plan.replay import Replayed, replay
from retrue.plan.walk import walk, walk_lists
from retrue.plan.walked import Walked

Floats = NDArray[np.float64]
WHY = 150  # runs are enough to see what a date hangs on
TRIED = 200  # so many to see what a change brings
WAITS = (1.0, 3.0, 7.0, 14.0, 28.0, 56.0)  # days a task is tried to wait


Played = Replayed | Walked


class Player:
    """Plays one plan.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        A plan of this schedule.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Task
    >>> from retrue.plan.solve import solve
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (5, 20.0, 22.0)))
    >>> son = Hands(name="son", evenings=((5, 20.0, 22.0),), helps_only=True)
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me, son), tasks=(
    ...     Task(key="lift", machine="V", hours=1.0, people=2),
    ...     Task(key="file", machine="V", hours=1.0)))
    >>> player = Player(shop, solve(shop))
    >>> str(player.promises(Draws(worlds=1))[0].even), player.slack()
    ('2026-11-28 21:00:00', {'lift': 0.0, 'file': 0.0})
    """

    def __init__(self, schedule: Schedule, order: Order) -> None:
        self.schedule, self.order = schedule, order
        self.walked = bool(order.priority)
        self._reasons: tuple[Draws, Walked] | None = None

    @cached_property
    def _frozen(self) -> Frozen:
        return freeze(self.schedule, self.order)

    @cached_property
    def _ground(self) -> Ground:
        return ground(self.schedule)

    def play(self, draws: Draws) -> Played:
        """Play it through every run that was drawn.

        Parameters
        ----------
        draws : Draws

        Returns
        -------
        Played
        """
        if not self.walked:
            return replay(self._frozen, draws)
        return walk(self._ground, self.order.priority, draws)

    def promises(self, draws: Draws, played: Played | None = None) -> tuple[Promise, ...]:
        """When every machine makes its first good part, and what that hangs on.

        Parameters
        ----------
        draws : Draws
        played : Played or None
            The same runs, where they are played already.

        Returns
        -------
        tuple of Promise
            One a machine; of a plan that is walked ``late_by`` as in `held_up`.
        """
        runs = self.play(draws) if played is None else played
        if isinstance(runs, Replayed):
            return promised(runs, replay(self._frozen, Draws(worlds=1)))
        return tuple(self._promise(machine, days, draws) for machine, days in runs.days.items())

    def _promise(self, machine: str, days: Floats, draws: Draws) -> Promise:
        start = self.schedule.start

        def moment(day: float) -> datetime:
            return start + timedelta(minutes=round(day * 1440))

        return Promise(
            machine=machine,
            days=days,
            expected=self._expected(machine),
            even=moment(by_share(days, 0.5)),
            nine_of_ten=moment(by_share(days, 0.9)),
            late_by=held_up(self._why(draws), machine),
            of_time=True,
        )

    def _expected(self, machine: str) -> datetime:
        """By the plan itself, with what is hired on its days."""
        good = {task.key for task in self.schedule.tasks
                if task.machine == machine and task.good_part}  # fmt: skip
        last = max(one.ends for one in self.order.placed if one.key in good)
        return last + timedelta(days=self.schedule.run_in_days.get(machine, 0.0))

    def _why(self, draws: Draws) -> Walked:
        if self._reasons is None or self._reasons[0] is not draws:
            lists = np.array(self._ground.numbers(self.order.priority))
            few = drawn(self._ground, draws).first(WHY)
            self._reasons = draws, walk_lists(self._ground, lists, few, why=True)
        return self._reasons[1]

    def gained(self, draws: Draws, changed: Sequence[Draws]) -> tuple[dict[str, Floats], ...]:
        """How many days sooner every machine is done in other runs of the same plan.

        Parameters
        ----------
        draws : Draws
            As it stands.
        changed : sequence of Draws
            The same runs with something changed, shape (worlds,) each.

        Returns
        -------
        tuple of dict of machine to ndarray, shape (worlds,)
            For each change; positive where it is sooner. Of a plan that is walked only the first
            runs.
        """
        if not self.walked:
            days = replay(self._frozen, draws).days
            return tuple(days_gained(self._frozen, days, one) for one in changed)
        lots = [drawn(self._ground, one).first(TRIED) for one in (draws, *changed)]
        each = lots[0].worlds
        lists = np.array(self._ground.numbers(self.order.priority))
        ends = walk_lists(self._ground, lists, side_by_side(lots)).days
        run_in = [lot.run_in_days for lot in lots]
        return tuple(
            {
                machine: (row[:each] + run_in[0][machine])
                - (row[at * each : (at + 1) * each] + run_in[at][machine])
                for machine, row in ends.items()
            }
            for at in range(1, len(lots))
        )

    def slack(self) -> dict[str, float]:
        """How many days each task may wait, as expected, without moving any machine's date.

        Returns
        -------
        dict of task to float
            Days, the longest of a few waits that were tried: meanwhile whoever is there goes on
            with what comes next. In strict order every card would hold up all after it.
        """
        listed = self.order.priority or tuple(one.key for one in self.order.placed)
        return _tried(self._ground, self._ground.numbers(listed))


def _tried(made: Ground, listed: list[int]) -> dict[str, float]:
    """Every task kept back by every wait, each in a run of its own; the last run as it is."""
    once = drawn(made, Draws(worlds=1))
    jobs, waits = len(made.net.jobs), len(WAITS)
    if not jobs:
        return {}
    lists = np.array(listed, dtype=np.int64)
    begins = walk_lists(made, lists, once).begins_at[:, 0]
    count = jobs * waits + 1
    gates = np.repeat(once.gates, count, axis=1)
    job = np.repeat(np.arange(jobs), waits)
    late = np.tile(np.array(WAITS) * QUARTERS_A_DAY, jobs).astype(np.int32)
    gates[job, np.arange(count - 1)] = begins[job] + late
    lot = Lot(count, np.repeat(once.sizes, count, axis=1), np.repeat(once.lags, count, axis=1),
              gates, once.run_in_days)  # fmt: skip
    days = walk_lists(made, lists, lot).days.values()
    kept = np.logical_and.reduce([row[:-1] <= row[-1] + 1e-9 for row in days] or
                                 [np.ones(count - 1, dtype=bool)])  # fmt: skip
    kept = np.logical_and.accumulate(kept.reshape(jobs, waits), axis=1)
    tries = np.concatenate(([0.0], WAITS))
    return {one.key: float(tries[row.sum()]) for one, row in zip(made.net.jobs, kept, strict=True)}
