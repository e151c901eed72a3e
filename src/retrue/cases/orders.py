"""Which ways a level allows for each fault, and the order in which they are tried."""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from retrue.cases.restoration import Bench
from retrue.kinds.library import LEVELS, Fault, Fix, Kind, Level
from retrue.plan.restore import Steps
from retrue.plan.ways import Order, Trial, cheapest_order

_order = lru_cache(maxsize=16384)(cheapest_order)
_RANKS = {level: place for place, level in enumerate(LEVELS)}


def plan_for(bench: Bench, level: Level, rate: float) -> tuple[tuple[Steps, Order], ...]:
    """The order of ways of every fault a level treats, those that heal others beside first.

    The way an owner chose for a fault is tried first, wherever the level allows it.

    Parameters
    ----------
    bench : Bench
    level : Level
    rate : float
        What an own hour is worth, money an hour.

    Returns
    -------
    tuple of (Steps, Order)
    """
    known = (level.id, rate)
    if known not in bench.plans:
        bench.plans[known] = _plan(bench, level, rate)
    return bench.plans[known]


def _plan(bench: Bench, level: Level, rate: float) -> tuple[tuple[Steps, Order], ...]:
    chosen: list[tuple[float, Steps, Order]] = []
    for fault in bench.faults:
        fixes = allowed(bench, fault, level)
        first = bench.setting.ways.get(fault.id, "")
        order = _order(tuple(trial_of(bench, fault, fix) for fix in fixes), rate, first)
        if order is None:
            continue
        steps = Steps(
            row=bench.row[fault.id],
            ways=tuple(bench.way[(fault.id, way)] for way in order.steps),
            surest=bench.way[(fault.id, order.surest)],
            units=bench.setting.units.get(fault.id, 1),
        )
        heals = any(bench.ways[way].also for way in (*steps.ways, steps.surest))
        chosen.append((-order.money if heals else 0.0, steps, order))
    return tuple((steps, order) for _, steps, order in sorted(chosen, key=lambda item: item[0]))


def allowed(bench: Bench, fault: Fault, level: Level) -> tuple[Fix, ...]:
    """The ways a level allows for one fault.

    A way good enough only for a lower level does not count; if none is good enough, all that
    cure do. A way that was tried and did not cure is not tried again while there is another.
    Living with it is allowed by class, never for a STOP fault, for a MUST fault only where the
    tables have it and the owner agreed for that fault.

    Parameters
    ----------
    bench : Bench
    fault : Fault
    level : Level

    Returns
    -------
    tuple of Fix
    """
    fixes, wanted = bench.setting.kind.fixes.get(fault.id, ()), rank(level.id)
    curing = [fix for fix in fixes if fix.way != "live_with"]
    tried = bench.setting.tried.get(fault.id, frozenset())
    curing = [fix for fix in curing if fix.way not in tried] or curing
    good = [fix for fix in curing if rank(fix.good_for) >= wanted] or curing
    live = [fix for fix in fixes if fix.way == "live_with" and may_live(bench, fault, fix, level)]
    return tuple(good + live)


def may_live(bench: Bench, fault: Fault, fix: Fix, level: Level) -> bool:
    """Whether living with this fault is allowed at this level.

    Parameters
    ----------
    bench : Bench
    fault : Fault
    fix : Fix
        Its way of living with it.
    level : Level

    Returns
    -------
    bool
    """
    return live_allowed(fault, fix, level, bench.setting.live_with)


def must_go(kind: Kind, fault: Fault, level: Level, agreed: Collection[str]) -> bool:
    """Whether a level does not let one live with a fault.

    Parameters
    ----------
    kind : Kind
    fault : Fault
    level : Level
    agreed : collection of str
        MUST faults that the owner agreed to live with.

    Returns
    -------
    bool
    """
    ways = (fix for fix in kind.fixes.get(fault.id, ()) if fix.way == "live_with")
    return not any(live_allowed(fault, fix, level, agreed) for fix in ways)


def live_allowed(fault: Fault, fix: Fix, level: Level, agreed: Collection[str]) -> bool:
    """Whether a level lets one live with a fault.

    Parameters
    ----------
    fault : Fault
    fix : Fix
        Its way of living with it.
    level : Level
    agreed : collection of str
        MUST faults that the owner agreed to live with.

    Returns
    -------
    bool
    """
    rule = {"STOP": level.stop, "MUST": level.must, "SHOULD": level.should, "MAY": level.may}
    wanted = rule[fault.urgency]
    if fault.urgency == "STOP" or wanted == "cure":
        return False
    if wanted == "cure_or_live_if_owner_allows" and fault.id not in agreed:
        return False
    return fix.cures >= level.live_min_p and fault.resale_drop_share <= level.live_max_drop


def rank(good_for: str) -> int:
    """How high a level a way is good for; a way that does not say is good for all.

    Parameters
    ----------
    good_for : str
        A level, or empty.

    Returns
    -------
    int

    Examples
    --------
    >>> rank("right"), rank("")
    (1, 2)
    """
    return _RANKS.get(good_for, len(LEVELS) - 1)


def trial_of(bench: Bench, fault: Fault, fix: Fix) -> Trial:
    """One way by its expected figures on this bench; what living with it loses is its penalty.

    Parameters
    ----------
    bench : Bench
    fault : Fault
    fix : Fix
        One of its ways.

    Returns
    -------
    Trial
    """
    key = (fault.id, fix.way)
    if key not in bench.trials:
        bench.trials[key] = _trial(bench, fault, fix)
    return bench.trials[key]


def _trial(bench: Bench, fault: Fault, fix: Fix) -> Trial:
    way = bench.way[(fault.id, fix.way)]
    lost = fault.resale_drop_share * bench.setting.resale_now if fix.way == "live_with" else 0.0
    return Trial(
        name=fix.way,
        money=round(bench.mean_money[way], 2),
        hours=round(bench.mean_hours[way], 3),
        cures=fix.cures,
        paid_if_it_fails=fix.paid_if_it_fails,
        penalty=round(lost),
    )
