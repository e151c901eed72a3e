"""What could be done next: looks still open, swaps, and ways of putting a fault right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from retrue.cases.answers import OpenQuestion
from retrue.cases.find.costs import Purse, Spent, mask
from retrue.cases.find.standing import Standing
from retrue.cases.orders import live_allowed, rank
from retrue.kinds.library import Check, Fix, Kind, Stage, Swappable
from retrue.plan.ways import Trial, cheapest_order

_order = lru_cache(maxsize=16384)(cheapest_order)

OWN_EYES: tuple[Stage, ...] = ("visit_dead", "apart", "power_up", "running")
NEEDS = {"apart": "apart", "power_up": "power_up", "running": "running", "visit_live": "power_up"}
CLEANING = ("clean", "level")  # base jobs that are treatments
WORTH_A_JOB = 0.3  # a job's chance to cure from which it is tried for a fault


@dataclass(frozen=True, slots=True)
class Look:
    """A look that could be made now, or once its stage is open.

    ``key`` is the look's id, or ``swap:`` and the part.
    """

    key: str
    check: Check
    stage: Stage
    needs: str  # stop point to be signed; empty for what may always be done
    opens: int
    spent: Spent
    question: OpenQuestion
    part: Swappable | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """One way of treating one fault: ``F15:local``, or a job ``J07``."""

    key: str
    fault: str
    way: str
    job: str
    places: tuple[str, ...]
    opens: int
    spent: Spent
    cures: float


def look_of(check: Check, state: Standing, purse: Purse, seller: str) -> Look:
    """One look as it would be made: by which eyes, at which stage, at what cost.

    Parameters
    ----------
    check : Check
    state : Standing
    purse : Purse
    seller : str
        Who answers what can only be asked.

    Returns
    -------
    Look
    """
    stage = _stage(check, state)
    own = stage not in ("photo", "call")
    owned = set(check.tools) <= purse.owned
    spent = purse.of_look(check, stage)
    question = OpenQuestion(
        machine=state.machine.name,
        check=check.id,
        text=check.text,
        channel=stage,
        minutes=spent.hours * 60.0,
        tool_hire=0.0 if owned else check.tool_hire,
        informant=seller if stage == "call" else None,
        outcomes=_outcomes(check, own),
    )
    only_apart = stage == "apart" and "visit_dead" not in check.stages
    places = (_place(check, state.kind),) if only_apart else ()
    opens = mask(state.kind, tuple(p for p in places if p))
    return Look(check.id, check, stage, NEEDS.get(stage, ""), opens, spent, question)


def swap_of(part: Swappable, state: Standing, purse: Purse, seller: str) -> Look | None:
    """Changing a part's place with one of the same type, as one step.

    Parameters
    ----------
    part : Swappable
    state : Standing
    purse : Purse
    seller : str

    Returns
    -------
    Look or None
        None where no look tells what came of it.
    """
    check = state.kind.checks.get(part.follows or part.keeps)
    told = part.goes_along if part.follows else part.stays
    if check is None or not check.links.keys() & set(told):
        return None
    base = look_of(check, state, purse, seller)
    spent = purse.spent(hours=part.minutes / 60.0)
    opens = mask(state.kind, (part.place,))
    return Look(f"swap:{part.id}", check, base.stage, base.needs, opens, spent, base.question, part)


def chain_of(
    fault: str, state: Standing, purse: Purse, level: str | None, again: float
) -> tuple[Way, ...]:
    """The ways of one fault in the order in which they would be tried.

    Parameters
    ----------
    fault : str
    state : Standing
    purse : Purse
    level : str or None
        For a level only ways good enough for it; None to clear a trouble: every way that cures.
    again : float
        What trying again costs after each.

    Returns
    -------
    tuple of Way
        The order of least expected cost, with the surest way at its end; ways that were tried
        already are left out.
    """
    ways = {way.key: way for way in _ways(fault, state, purse, level)}
    trials = tuple(_trial(way, purse, again) for way in ways.values())
    order = _order(trials, 1.0)
    if order is None:
        return ()
    steps = order.steps if order.surest in order.steps else (*order.steps, order.surest)
    return tuple(ways[key] for key in steps)


def targets(state: Standing, level: str, fitted: Iterable[str]) -> frozenset[str]:
    """Faults that a level does not let one live with.

    Parameters
    ----------
    state : Standing
    level : str
    fitted : iterable of str
        Faults the machine can have.

    Returns
    -------
    frozenset of str

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.find.standing import standing
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> kind = load()[mill.kind]
    >>> "F46" in targets(standing(case, "A", kind), "right", kind.faults)  # a scarred table
    False
    """
    kind, rules = state.kind, state.kind.levels[level]
    return frozenset(
        id
        for id in fitted
        if not any(
            fix.way == "live_with"
            and live_allowed(kind.faults[id], fix, rules, state.machine.live_with)
            for fix in kind.fixes.get(id, ())
        )
    )


def _stage(check: Check, state: Standing) -> Stage:
    """One's own eyes as early as may be; else a picture or the telephone; else a closed stage."""
    own = [stage for stage in OWN_EYES if stage in check.stages]
    for stage in own:
        if stage not in NEEDS or NEEDS[stage] in state.signed:
            return stage
    for stage in ("photo", "call"):
        if stage in check.stages:
            return stage
    return own[0] if own else check.stages[0]


def _outcomes(check: Check, own: bool) -> tuple[str, ...]:
    if check.answers == "degree":
        return ("not_seen", "slight", "severe")
    if own and len(check.measures) == 1:
        return ("within", "beyond", "far_beyond")
    return ("not_seen", "seen")


def _place(check: Check, kind: Kind) -> str:
    """Where a look is that can only be made apart: at the fault it shows best."""
    there = [fault for fault in check.links if fault in kind.faults]
    if not there:
        return ""
    return kind.faults[max(there, key=lambda fault: check.links[fault])].place


def _ways(fault: str, state: Standing, purse: Purse, level: str | None) -> list[Way]:
    kind = state.kind
    tried = state.ways_tried.get(fault, frozenset())
    fixes = [fix for fix in kind.fixes.get(fault, ()) if fix.way != "live_with"]
    if level is not None:
        fixes = [fix for fix in fixes if rank(fix.good_for) >= rank(level)] or fixes
    found = [_of_fix(fix, kind, purse) for fix in fixes if fix.way not in tried]
    for job in kind.jobs.values():
        chance = job.cures.get(fault, 0.0)
        if job.sort in CLEANING and chance >= WORTH_A_JOB and job.id not in state.jobs_done:
            spent = purse.of_job(job)
            opens = mask(kind, job.places)
            found.append(Way(job.id, fault, "", job.id, job.places, opens, spent, chance))
    return found


def _of_fix(fix: Fix, kind: Kind, purse: Purse) -> Way:
    places = (fix.opens,) if fix.opens else ()
    key, opens = f"{fix.fault}:{fix.way}", mask(kind, places)
    return Way(key, fix.fault, fix.way, "", places, opens, purse.of_way(fix), fix.cures)


def _trial(way: Way, purse: Purse, again: float) -> Trial:
    cost = way.spent.cost + again + purse.open_cost(way.opens)
    return Trial(name=way.key, money=0.0, hours=round(cost, 2), cures=way.cures)
