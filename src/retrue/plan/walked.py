"""What a walk through many runs gave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.plan.calendar import QUARTERS_A_DAY, days_after
from retrue.plan.ground import Ground, Lot, Whole
from retrue.plan.waited import Waited

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Walked:
    """When everything was done, run by run.

    Attributes
    ----------
    begins_at, ends_at : ndarray, shape (jobs, worlds)
        Quarter of the calendar; what never ends, ends with the calendar.
    crew_at : ndarray, shape (jobs, worlds)
        Who began it, as the bits of a number; 0: nobody.
    given_up : ndarray, shape (worlds,)
        How often places that were held had to be cleared because nothing went on any more.
    days : mapping of machine to ndarray, shape (worlds,)
        Calendar days from the start of the plan until its first good part.
    waited : Waited or None
        What each job waited for, where that was asked.
    pieces : mapping of job to list of (begin, end)
        When it was worked at in the first run, where that was asked.
    """

    ground: Ground
    lot: Lot
    begins_at: Whole
    ends_at: Whole
    crew_at: Whole
    given_up: Whole
    days: Mapping[str, Floats]
    waited: Waited | None = None
    pieces: Mapping[int, Sequence[tuple[int, int]]] = field(default_factory=dict)

    @property
    def ends(self) -> dict[str, Floats]:
        """Days from the start of the plan until each task was done, shape (worlds,)."""
        return self._days(self.ends_at)

    @property
    def begins(self) -> dict[str, Floats]:
        """Days from the start of the plan until each task began, shape (worlds,)."""
        return self._days(self.begins_at)

    def _days(self, at: Whole) -> dict[str, Floats]:
        net = self.ground.net
        shift = days_after(net.schedule.start, 0)
        return {job.key: row / QUARTERS_A_DAY + shift
                for job, row in zip(net.jobs, at, strict=True)}  # fmt: skip
