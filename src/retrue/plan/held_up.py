"""What a machine's time goes by until its first good part, on a walk through many runs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.plan.ground import Ground
from retrue.plan.hang import DRIES, PART
from retrue.plan.waited import HANDS, OTHER, OWN, THING, WORK
from retrue.plan.walked import Walked

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]
OWN_WORK, OTHER_WORK, PERSON, HIRED = "own:", "other:", "hands:", "thing:"


def held_up(walked: Walked, machine: str) -> tuple[tuple[str, float], ...]:
    """Share of a machine's calendar time by what it went, back along what held it up last.

    Parameters
    ----------
    walked : Walked
        With what was waited for.
    machine : str

    Returns
    -------
    tuple of (str, float)
        Key of a task: work at it; ``own:`` hands busy with other work on this machine;
        ``other:`` on another; ``hands:`` and who was not there; ``thing:`` and what was not there;
        ``part:`` and what was waited for; ``dries:`` and the task after which nothing but time was.
        Largest first.

    References
    ----------
    Our own; the way back along what ended last as in Van Slyke 1963.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.ground import ground
    >>> from retrue.plan.jobs import Draws, Hands, Schedule, Task
    >>> from retrue.plan.walk import walk
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (5, 20.0, 22.0)))
    >>> son = Hands(name="son", evenings=((5, 20.0, 22.0),), helps_only=True)
    >>> made = ground(Schedule(start=datetime(2026, 11, 26, 20), hands=(me, son), tasks=(
    ...     Task(key="lift", machine="V", hours=2.0, people=2),)))
    >>> told = held_up(walk(made, ("lift",), Draws(worlds=1), why=True), "V")
    >>> [(name, round(share, 2)) for name, share in told]
    [('hands:son', 0.96), ('lift', 0.04)]
    """
    return _Back(walked, machine).shares()


def rarest(made: Ground, job: int) -> str:
    """Who of those a job needs is there least.

    Parameters
    ----------
    made : Ground
    job : int

    Returns
    -------
    str
        Name.
    """
    crews, blocks = made.crews.crews[job], made.blocks
    time = blocks.ends[:-1] - blocks.begins[:-1]
    there = {
        bit: int(time[(blocks.present[:-1] >> bit & 1) > 0].sum())
        for crew in crews[:1]
        for bit in range(len(made.net.schedule.hands))
        if crew >> bit & 1
    }
    return made.net.schedule.hands[min(there, key=lambda bit: there[bit])].name if there else ""


class _Back:
    """The way back from a machine's last task, in every run."""

    def __init__(self, walked: Walked, machine: str) -> None:
        if walked.waited is None:
            raise ValueError("walk with why=True")
        self.walked, self.machine, self.times = walked, machine, walked.waited.times
        self.net, self.lot = walked.ground.net, walked.lot
        self.found: dict[str, Floats] = {}

    def shares(self) -> tuple[tuple[str, float], ...]:
        jobs, ends = self.net.jobs, self.walked.ends_at
        mine = [at for at, job in enumerate(jobs) if job.machine == self.machine and job.good_part]
        if not mine:
            return ()
        self.on = np.zeros(ends.shape, dtype=bool)
        last = np.array(mine)[ends[mine].argmax(axis=0)]
        self.on[last, np.arange(ends.shape[1])] = True
        for at in range(len(jobs) - 1, -1, -1):
            if self.on[at].any():
                self._job(at)
        whole = np.maximum(ends[mine].max(axis=0) - self.net.start, 1)
        rows = [(name, float(time.sum() / whole.sum())) for name, time in self.found.items()]
        return tuple(sorted((row for row in rows if row[1] > 0), key=lambda r: (-r[1], r[0])))

    def _job(self, at: int) -> None:
        """Share out what passed from when all before it was done, then go to what was last."""
        job, here = self.net.jobs[at], self.on[at]
        gate = self.lot.gates[at]
        since, part = gate.copy(), job.part
        for place, (before, _, _) in enumerate(job.before):
            lag = self.lot.lags[self.walked.ground.edge[at, place]]
            since = np.maximum(since, self.walked.ends_at[before] + lag)
        spent = np.maximum(self.walked.ends_at[at] - since, 0).astype(np.float64)
        times = self.times[:, at].astype(np.float64)
        night = np.maximum(spent - times.sum(axis=0), 0)  # until the next evening
        open_still = here.copy()
        for place, (before, _, waited) in enumerate(job.before):
            lag = self.lot.lags[self.walked.ground.edge[at, place]]
            binds = open_still & (self.walked.ends_at[before] + lag == since)
            self.on[before] |= binds
            open_still &= ~binds
            waits = binds & (lag > 0)
            name = PART + waited if waited else DRIES + self.net.jobs[before].key
            self._note(name, waits, lag + night)
            night = np.where(waits, 0, night)
        gated = open_still & (gate > self.net.start)
        self._note(PART + part if part else DRIES, gated, gate - self.net.start + night)
        self._work(at, here, times, np.where(gated, 0, night))

    def _work(self, at: int, here: Marks, times: Floats, night: Floats) -> None:
        times = times * (1 + night / np.maximum(times.sum(axis=0), 1))
        job, made = self.net.jobs[at], self.walked.ground
        own = job.key if job.machine == self.machine else OTHER_WORK
        things = [self.net.schedule.shared[thing].name for thing in job.dated]
        names = {
            WORK: own,
            OWN: OWN_WORK if job.machine == self.machine else OTHER_WORK,
            OTHER: OTHER_WORK,
            HANDS: PERSON + rarest(made, at),
            THING: HIRED + ", ".join(things),
        }
        for sort, name in names.items():
            self._note(name, here, times[sort])

    def _note(self, name: str, where: Marks, time: Floats) -> None:
        if where.any():
            self.found[name] = self.found.get(name, 0.0) + np.where(where, time, 0.0)
