"""One lot's machines carried out in every world, from the hammer or from today, by bucket."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.fix.far import Far, from_here, plan_of
from retrue.cases.options import Chooser
from retrue.cases.plans import (
    CONTROL,
    DONOR,
    KEEP,
    NEW_CONTROL,
    PART_OUT,
    SELL_AS_FOUND,
    Outcome,
    Plan,
    Prospect,
    carry_out,
)
from retrue.cases.settle.cost_words import bucket_of_sheet
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Worlds:
    """One machine in every world; shape (worlds,), shop's currency, hours, days.

    Attributes
    ----------
    buckets : mapping of bucket to ndarray
        Money without the price.
    brings : ndarray
        What its sale brings, where it is worked on to be sold; else nothing.
    prospect : Prospect
        As it begins.
    extra, extra_hours : ndarray
        Of both, what belongs to shop and lot and stands on no machine's row of a price sheet:
        money (in parts), own hours.
    """

    name: str
    plan: Plan
    prospect: Prospect
    buckets: Mapping[str, Floats]
    hours: Floats
    days: Floats
    brings: Floats
    extra: Floats
    extra_hours: Floats

    @property
    def money(self) -> Floats:
        """All of it but the price."""
        return np.asarray(sum(self.buckets.values(), start=np.zeros(len(self.hours))))


def aimed(kind: Kind, aim: str, level: str) -> Plan:
    """What a machine is worked for, as a plan that can be carried out.

    Parameters
    ----------
    kind : Kind
    aim, level : str

    Returns
    -------
    Plan
        Another control that this kind does not have is taken for keeping it.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> aimed(SimpleNamespace(costs={}), "new_control", "right")
    Plan(name='keep', level='right')
    """
    if aim == NEW_CONTROL and CONTROL not in kind.costs:
        return Plan(KEEP, level)
    return Plan(DONOR) if aim == DONOR else plan_of(aim, level)


def carried(
    chooser: Chooser,
    plans: Sequence[Plan],
    fars: Sequence[Far],
    *,
    through: bool,
) -> tuple[Worlds, ...]:
    """Carry a plan out on every machine of a lot, one pair of hands, keepers first.

    Parameters
    ----------
    chooser : Chooser
        The lot in its worlds.
    plans : sequence of Plan
        For each machine.
    fars : sequence of Far
        What is behind each.
    through : bool
        True: gone through with whatever is found; False: given up where that is better, as the
        price has it.

    Returns
    -------
    tuple of Worlds
    """
    count, workers = len(plans), max(1, sum(plan.works for plan in plans))
    queue = sorted(range(count), key=lambda at: (not plans[at].works, not plans[at].keeps, at))
    before = np.zeros(len(chooser.prospects[0].age)) if count else np.zeros(0)
    made: dict[int, Worlds] = {}
    for at in queue:
        prospect = from_here(chooser.prospects[at], fars[at])
        outcome = _outcome(chooser, at, prospect, plans[at], before)
        made[at] = _worlds(
            chooser, prospect, outcome, plans[at], fars[at], through, (count, workers)
        )
        if plans[at].works:
            before = before + (outcome.hours_through if through else outcome.hours)
    return tuple(made[at] for at in range(count))


def _outcome(chooser: Chooser, at: int, prospect: Prospect, plan: Plan, before: Floats) -> Outcome:
    if plan.works:
        return carry_out(prospect, plan, chooser.work(at, plan), before)
    return prospect.as_found if plan.name == SELL_AS_FOUND else prospect.in_parts


def _worlds(
    chooser: Chooser,
    prospect: Prospect,
    outcome: Outcome,
    plan: Plan,
    far: Far,
    through: bool,
    share: tuple[int, int],
) -> Worlds:
    went = np.ones(len(outcome.hours), np.bool_) if through else outcome.went_on
    buckets: dict[str, Floats] = {}
    for name, money in outcome.costs.items():
        _add(buckets, bucket_of_sheet(name), money * went)
    if not went.all():
        _add(buckets, "other", outcome.in_vain * ~went)
    hours = outcome.hours_through if through else outcome.hours
    shared, extra, extra_hours = chooser.shared, np.zeros(len(hours)), np.zeros(len(hours))
    if not far.here:  # the road, and the fine for being late
        _add(buckets, "move", shared.money / share[0])
        extra_hours = extra_hours + shared.hours / share[0]
    if plan.works and not far.powered:  # what belongs to shop and lot
        extra = shared.running_money / share[1]
        _add(buckets, "parts", extra)
        extra_hours = extra_hours + shared.running_hours / share[1]
    sells = plan.name in (SELL_AS_FOUND, PART_OUT) or (plan.works and not plan.keeps)
    brings = outcome.brings_through if through else outcome.brings
    return Worlds(
        name=prospect.machine.name,
        plan=plan,
        prospect=prospect,
        buckets=buckets,
        hours=hours + extra_hours,
        days=outcome.days_through if through else outcome.days,
        brings=brings if sells else np.zeros(len(hours)),
        extra=extra,
        extra_hours=extra_hours,
    )


def _add(buckets: dict[str, Floats], bucket: str, money: Floats) -> None:
    buckets[bucket] = buckets[bucket] + money if bucket in buckets else np.asarray(money)
