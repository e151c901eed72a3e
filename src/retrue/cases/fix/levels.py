"""What each level takes from here on, and what the machine then brings."""

from __future__ import annotations

import numpy as np

from retrue.cases.fix.choice_lines import LevelSum
from retrue.cases.fix.far import plan_of
from retrue.cases.fix.scene import Scene
from retrue.cases.machines import band
from retrue.cases.plans import KEEP, NEW_CONTROL, Outcome, Plan, carry_out


def levels_of(scene: Scene) -> tuple[LevelSum, ...]:
    """Every level of the kind, gone through with whatever stands there when it is apart.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    tuple of LevelSum
        In the shop's currency; where nothing is behind the machine, the sums of the price sheet.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> levels_of(SimpleNamespace(kind=SimpleNamespace(levels={})))
    ()
    """
    return tuple(_sum(scene, level) for level in scene.kind.levels)


def through(scene: Scene, plan: Plan) -> Outcome:
    """A plan carried out from here on, in the worlds of the price.

    Parameters
    ----------
    scene : Scene
    plan : Plan
        One with a level.

    Returns
    -------
    Outcome
    """
    work = scene.view.chooser.work(scene.index, plan)
    return carry_out(scene.prospect, plan, work, np.zeros(len(scene.prospect.age)))


def _sum(scene: Scene, level: str) -> LevelSum:
    aim = KEEP if scene.plan.name == NEW_CONTROL else scene.plan.name
    outcome = through(scene, plan_of(aim, level))
    return LevelSum(
        level=level,
        says=scene.kind.levels[level].says,
        money=band(outcome.money_through),
        hours=band(outcome.hours_through),
        days=band(outcome.days_through),
        resale=float(outcome.brings_through.mean()),
        chosen=scene.worked_for and level == scene.level,
    )
