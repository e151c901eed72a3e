"""What jobs waited for on a walk: other work, somebody who was not there, a thing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.plan.ground import Ground

Whole = NDArray[np.int32]
Numbers = NDArray[np.int64]
Marks = NDArray[np.bool_]
WORK, OWN, OTHER, HANDS, THING = range(5)


@dataclass(frozen=True, slots=True, eq=False)
class Waited:
    """Calendar time in which jobs could go on, by what they waited for.

    Attributes
    ----------
    times : ndarray, shape (5, jobs, worlds)
        Worked at; hands busy on its own machine, on another; people not there; a thing not there.
        Quarter-hours, nights counted with the evening before them.
    """

    ground: Ground
    machine: Numbers
    dated: Marks
    times: Whole

    @staticmethod
    def empty(made: Ground, worlds: int) -> Waited:
        """Nothing waited for yet.

        Parameters
        ----------
        made : Ground
        worlds : int

        Returns
        -------
        Waited
        """
        jobs = made.net.jobs
        names = {name: at for at, name in enumerate(dict.fromkeys(job.machine for job in jobs))}
        dated = np.zeros((len(jobs), len(made.net.counts)), dtype=bool)
        for at, job in enumerate(jobs):
            dated[at, list(job.dated)] = True
        machine = np.array([names[job.machine] for job in jobs], dtype=np.int64)
        return Waited(made, machine, dated, np.zeros((5, len(jobs), worlds), dtype=np.int32))

    def add(
        self,
        ids: Numbers,
        cols: Numbers,
        time: Whole,
        slots: Numbers,
        present: Whole,
        here: Marks,
    ) -> None:
        """Add what passed until the next moment.

        Parameters
        ----------
        ids : ndarray, shape (runs,)
            Numbers of the runs that still go on.
        cols : ndarray, shape (open jobs,)
        time : ndarray, shape (open jobs, runs)
            Quarter-hours that passed, where a job could go on but for hands and things.
        slots : ndarray, shape (people, runs)
            What is worked at; -1: nothing.
        present : ndarray, shape (runs,)
        here : ndarray of bool, shape (things, runs)
        """
        at_work = np.zeros(time.shape, dtype=bool)
        own = at_work.copy()
        for row in slots:
            at_work |= cols[:, None] == row
            doing = np.where(row >= 0, self.machine[row], -1)
            own |= self.machine[cols][:, None] == doing
        alone = self.ground.crews.pick[cols][:, present] == 0
        away = (self.dated[cols][:, :, None] & ~here[None, :, :]).any(axis=1)
        kind = np.where(own, OWN, OTHER)
        kind = np.where(away, THING, kind)
        kind = np.where(alone, HANDS, kind)
        kind = np.where(at_work, WORK, kind)
        for sort in range(len(self.times)):
            self.times[sort][np.ix_(cols, ids)] += np.where(kind == sort, time, 0).astype(np.int32)
