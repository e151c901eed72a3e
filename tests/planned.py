"""Plans in little time, where any plan will do: how good one is, is tested in `tests.plan`."""

from __future__ import annotations

from functools import partial

import pytest

from retrue.plan.by_walk import by_walk


def little_search(patch: pytest.MonkeyPatch) -> None:
    """One round of each search, few tries in it: every step of making a plan is still taken."""
    patch.setattr("retrue.plan.solve.SWAPS", 10)
    patch.setattr("retrue.plan.solve.SETTLING", 30)
    patch.setattr("retrue.plan.by_walk.TRIED", 3)
    patch.setattr("retrue.plan.solve.by_walk", partial(by_walk, rounds=1))
    patch.setattr("retrue.plan.gather.ROUNDS", 1)  # of putting what is hired on fewer days
