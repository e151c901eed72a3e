"""One row a machine: its plan in the best option, what it takes, and who is suspected."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Evidence
from retrue.belief.posterior import update
from retrue.cases.case import LotCase
from retrue.cases.need import fits
from retrue.cases.network import CaseNetwork
from retrue.cases.orders import plan_for
from retrue.cases.plans import KEEP, Outcome, Plan
from retrue.cases.sheet import Band, LevelRow, MachineRow, Suspect
from retrue.cases.view import View, alone

Floats = NDArray[np.float64]
MOST_SUSPECTS = 12


def band(values: Floats) -> Band:
    """Good luck, even chance, bad luck.

    Parameters
    ----------
    values : ndarray, shape (worlds,)

    Returns
    -------
    Band

    Examples
    --------
    >>> band(np.arange(11.0))
    Band(p10=1.0, p50=5.0, p90=9.0)
    """
    places = [round(share * (len(values) - 1)) for share in (0.1, 0.5, 0.9)]
    low, even, high = np.partition(values, places)[places]
    return Band(p10=float(low), p50=float(even), p90=float(high))


def machine_rows(
    view: View, built: CaseNetwork, found: tuple[Evidence, ...]
) -> tuple[MachineRow, ...]:
    """All machines of the lot, as the best option has them.

    Parameters
    ----------
    view : View
    built : CaseNetwork
    found : tuple of Evidence

    Returns
    -------
    tuple of MachineRow
    """
    before = built.marginal_now(update(built.network, ()).marginal)
    now = built.marginal_now(update(built.network, found).marginal)
    return tuple(
        _row(view, built, index, outcome, before, now)
        for index, outcome in enumerate(view.option.outcomes)
    )


def idle_rows(case: LotCase) -> tuple[MachineRow, ...]:
    """Machines of a lot that is not priced: only how they stand to the work.

    Parameters
    ----------
    case : LotCase

    Returns
    -------
    tuple of MachineRow
    """
    nothing = Band(p10=0.0, p50=0.0, p90=0.0)
    return tuple(
        MachineRow(
            name=machine.name,
            kind=machine.kind,
            plan="",
            level="",
            walk_away=None,
            cost=nothing,
            own_hours=nothing,
            days=nothing,
            buckets={},
            levels=(),
            suspects=(),
            fits=fits(case, machine),
        )
        for machine in case.machines
    )


def _row(
    view: View,
    built: CaseNetwork,
    index: int,
    outcome: Outcome,
    before: Floats,
    now: Floats,
) -> MachineRow:
    prospect, scale = view.chooser.prospects[index], 1.0 / view.settled.exchange
    share = 1.0 / len(view.chooser.prospects)
    road = view.chooser.shared.money * share
    buckets = {name: value * scale for name, value in outcome.buckets.items()}
    buckets["move"] = buckets.get("move", 0.0) + float(road.mean()) * scale
    return MachineRow(
        name=prospect.machine.name,
        kind=prospect.kind.id,
        plan=outcome.plan.name,
        level=outcome.plan.level,
        walk_away=alone(view, index),
        cost=band((outcome.money + road) * scale),
        own_hours=band(outcome.hours),
        days=band(outcome.days),
        buckets=dict(sorted(buckets.items(), key=lambda item: -item[1])),
        levels=tuple(_level(view, index, level) for level in prospect.kind.levels),
        suspects=_suspects(view, built, index, outcome, before, now),
        fits=fits(view.stage.case, prospect.machine),
    )


def _level(view: View, index: int, level: str) -> LevelRow:
    """What a level takes if it is gone through with, whatever stands there when it is apart."""
    outcome = view.chooser.outcome(index, Plan(KEEP, level))
    return LevelRow(
        level=level,
        money=band(outcome.money_through / view.settled.exchange),
        own_hours=band(outcome.hours_through),
        days=band(outcome.days_through),
    )


def _suspects(
    view: View,
    built: CaseNetwork,
    index: int,
    outcome: Outcome,
    before: Floats,
    now: Floats,
) -> tuple[Suspect, ...]:
    """The faults that carry the money, most first, at the level of the plan (right, if none)."""
    prospect = view.chooser.prospects[index]
    bench, rate = prospect.workshop.bench, view.settled.rate
    level = prospect.kind.levels[outcome.plan.level or "right"]
    rows = []
    for steps, order in plan_for(bench, level, rate):
        fault = bench.faults[steps.row]
        variable = built.faults[(prospect.machine.name, fault.id)]
        weight = (order.money + order.hours * rate + order.penalty) * steps.units
        rows.append((float(now[variable]) * weight, variable, fault, order.money * steps.units))
    rows.sort(key=lambda row: (-row[0], row[1]))
    return tuple(
        Suspect(
            fault=fault.id,
            name=fault.name,
            urgency=fault.urgency,
            before=float(before[variable]),
            now=float(now[variable]),
            money=money / view.settled.exchange,
        )
        for _, variable, fault, money in rows[:MOST_SUSPECTS]
    )
