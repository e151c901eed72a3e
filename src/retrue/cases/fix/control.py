"""Another control: what it costs, which faults it takes along, whether it pays against mending."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.fix.amounts import about
from retrue.cases.fix.choice_lines import ControlOption
from retrue.cases.fix.levels import through
from retrue.cases.fix.scene import Scene
from retrue.cases.machines import band
from retrue.cases.plans import CONTROL, KEEP, NEW_CONTROL, Plan

CAUTIONS = ("X37", "X05")  # a big change can make one the maker in law; live panels
SHOWN = 0.02  # chance from which a fault it takes along is named


def control_of(scene: Scene) -> ControlOption | None:
    """A change of control as one more option.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    ControlOption or None
        None where the kind has no such change.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> control_of(SimpleNamespace(kind=SimpleNamespace(costs={}))) is None
    True
    """
    change = scene.kind.costs.get(CONTROL)
    if change is None or not change.cures:
        return None
    drawer, name = scene.view.stage.drawer, scene.name
    money = drawer.pert(name, change.id, change.amount)
    hours = drawer.pert(name, change.id, change.hours, column=1) * scene.view.stage.pace
    mended = through(scene, Plan(KEEP, scene.level))
    changed = through(scene, Plan(NEW_CONTROL, scene.level))
    saves = float((mended.money_through - changed.money_through + money).mean())
    spared = float((mended.hours_through - changed.hours_through + hours).mean())
    worth = float((changed.gain_through - mended.gain_through).mean())
    removes = _removes(scene, change.cures)
    return ControlOption(
        money=band(money),
        hours=band(hours),
        saves_money=saves,
        saves_hours=spared,
        removes=removes,
        worth=worth,
        words=_words(scene, float(money.mean()), float(np.mean(hours)), saves, spared, worth),
        cautions=tuple(
            f"{scene.kind.cautions[id].text} ({scene.kind.cautions[id].defers_to})"
            for id in CAUTIONS
            if id in scene.kind.cautions
        ),
    )


def _removes(scene: Scene, cures: Mapping[str, float]) -> tuple[tuple[str, str, float], ...]:
    faults = [scene.kind.faults[id] for id in cures if id in scene.kind.faults]
    rows = [
        (one.id, one.name, 1.0 if scene.confirmed(one) else scene.chance(one))
        for one in faults
        if not scene.gone(one)
    ]
    return tuple(sorted((row for row in rows if row[2] >= SHOWN), key=lambda row: -row[2]))


def _words(
    scene: Scene, money: float, hours: float, saves: float, spared: float, worth: float
) -> str:
    told = say(
        "Another control: about {money} and {hours} h of your own. It takes faults along that "
        "would cost about {saves} and {spared} h to mend one by one.",
        money=about(money, scene.currency),
        hours=formatter.number(hours),
        saves=about(max(0.0, saves), scene.currency),
        spared=formatter.number(max(0.0, spared)),
    )
    if worth >= 0.0:
        verdict = say(
            "On average it is ahead of mending by about {worth}.",
            worth=about(worth, scene.currency),
        )
    else:
        verdict = say(
            "On average it does not pay: mending is ahead by about {worth}.",
            worth=about(-worth, scene.currency),
        )
    return f"{told} {verdict}"
