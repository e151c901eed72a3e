"""Fault-finding as numbers: drawn truths, what is active behind the goal, what could be done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.belief.network import Impossible
from retrue.belief.posterior import update
from retrue.belief.worlds import draw
from retrue.cases.assume import Settled, settle
from retrue.cases.case import Happened, LotCase
from retrue.cases.evidence import contradiction, evidence
from retrue.cases.find.advice import GOALS
from retrue.cases.find.advice import Goal as Aim
from retrue.cases.find.candidates import Look, Way, chain_of, look_of, swap_of
from retrue.cases.find.costs import Purse, mask, purse
from retrue.cases.find.off import is_gone, stays_off
from retrue.cases.find.standing import Standing, standing, troubles
from retrue.cases.find.suspects import Suspects, behind_trouble, of_level, with_help
from retrue.cases.find.weighing import weighed
from retrue.cases.known import nearest
from retrue.cases.network import CaseNetwork, build
from retrue.choose.ahead import next_moves
from retrue.choose.seeking import Found, Search, Treatment
from retrue.kinds.library import Kind, Swappable, Symptom
from retrue.records.seeking import Trouble

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ONE_OF_EACH = {"spindle", "spindle motor", "spindle drive", "control"}  # subsystems
COMES_AND_GOES = 0.5  # chance that such a trouble shows at one try (judgement)
LEVEL_WORLDS = 300  # enough where many groups add up
NOTHING = Found(moves=(), plain=0.0, order=(), guess=0.0, bound=0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Sought:
    """One search, with the way from its numbers to the words of the case.

    Attributes
    ----------
    trouble : Happened or None
        Told; None for a level.
    marginal : ndarray, shape (variables,)
        As it is now, in the plain layout of the network.
    states : ndarray of bool, shape (variables, worlds)
        Likewise.
    looks : mapping of str to Look
        All looks of the kind that are open, and swaps; those in ``search.tests`` are weighed.
    ways : mapping of (int, str) to Way
        By item and key of the treatment.
    met : bool
        The goal is met: nothing is left to do.
    off : tuple of Happened
        Troubles because of which the machine stays off.
    """

    case: LotCase
    machine: str
    kind: Kind
    aim: Aim
    trouble: Happened | None
    symptom: Symptom | None
    settled: Settled
    built: CaseNetwork
    marginal: Floats
    states: Bools
    suspects: Suspects
    search: Search
    found: Found
    looks: Mapping[str, Look]
    ways: Mapping[tuple[int, str], Way]
    state: Standing
    purse: Purse
    met: bool
    off: tuple[Happened, ...]
    set_aside: tuple[str, ...]
    not_used: tuple[str, ...]
    seed: int
    worlds: int

    def share(self, fault: str) -> float:
        """Chance that a fault is there now."""
        variable = self.built.faults.get((self.machine, fault))
        return 0.0 if variable is None else float(self.marginal[variable])


def seek(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    goal: Aim,
    trouble: str | None = None,
    seed: int = 7,
    worlds: int = 1000,
    ahead: int | None = 2,
) -> Sought:
    """Search one machine for what keeps it from a goal.

    Parameters
    ----------
    case : LotCase
    machine : str
        Its name.
    kinds : mapping of kind id to Kind
    goal : {"clear", "just_running", "right", "like_new"}
    trouble : str, optional
        Id of the trouble to clear; the newest open one if it is not said.
    seed : int
    worlds : int
        How many ways it could be are drawn.
    ahead : int or None
        How many acts are looked ahead; 0: the plain plan alone; None: no plan at all.

    Returns
    -------
    Sought

    Raises
    ------
    Unknown
        No such machine, goal or trouble.
    Unusable
        What was answered contradicts itself.

    References
    ----------
    Heckerman, Breese and Rommelse 1995, Decision-theoretic troubleshooting, Communications of
    the ACM 38(3) (from memory): observe, repair and try again, by expected cost.

    Examples
    --------
    >>> from retrue.cases.case import Happened
    >>> from retrue.cases.case import LotCase
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> from retrue.records.seeking import Trouble
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> numbers = seek(case, "A", load(), goal="clear", worlds=200).found
    >>> 0 < numbers.bound <= numbers.moves[0].value <= numbers.plain
    True
    """
    told = _trouble(case, machine, goal, trouble)
    worlds = worlds if told else min(worlds, LEVEL_WORLDS)
    built = build(case, kinds)
    kind = built.kinds[machine]
    made, not_used = evidence(case, built)
    columns = len(built.network.names)
    chances = uniforms(seed, case.lot.name, "find", worlds=worlds, columns=columns)
    try:
        drawn, marginal = draw(built.network, made, chances), update(built.network, made).marginal
    except Impossible:
        raise contradiction() from None
    state, settled = standing(case, machine, kind), settle(case, built.kinds)
    off, price = stays_off(case, state), purse(case, machine, kind, settled)
    now, now_marginal = built.there_now(drawn.states), built.marginal_now(marginal)
    symptom = _symptom(told, kind)
    if told is None:
        suspects = of_level(built, state, goal, now, now_marginal, price)
    else:
        again, group = _again(told, symptom, price)
        suspects = behind_trouble(built, told.id, drawn.states, marginal, again, group)
    looks = _looks(case, state, price, built.kinds)
    ways = _ways(suspects, state, price, None if told else goal)
    met = is_gone(case, told.id) and told not in off if told else not suspects.goals
    search = _search(suspects, ways, state, price)
    search = replace(search, tests=weighed(search, suspects, looks, built, now, state, symptom))
    return Sought(
        case=case,
        machine=machine,
        kind=kind,
        aim=goal,
        trouble=told,
        symptom=symptom,
        settled=settled,
        built=built,
        marginal=now_marginal,
        states=now,
        suspects=suspects,
        search=search,
        found=NOTHING if met or ahead is None else _next(search, ahead),
        looks=looks,
        ways={(i, way.key): way for i, chain in enumerate(ways) for way in chain},
        state=state,
        purse=price,
        met=met,
        off=off,
        set_aside=drawn.set_aside,
        not_used=not_used,
        seed=seed,
        worlds=worlds,
    )


def _next(search: Search, ahead: int) -> Found:
    """The next moves, or the plain plan alone."""
    if ahead:
        return next_moves(search, looks=ahead)
    return next_moves(replace(search, tests=()), looks=1)


def _trouble(case: LotCase, machine: str, goal: str, trouble: str | None) -> Happened | None:
    """The trouble to clear, None for a level."""
    names = [one.name for one in case.machines]
    if machine not in names:
        raise Unknown(
            say("there is no machine {name} in this lot", name=machine),
            remedy=nearest(machine, names) or say("Name a machine of the lot."),
        )
    if goal not in GOALS:
        raise Unknown(say("there is no goal {goal}", goal=goal), remedy=nearest(goal, GOALS))
    if goal != "clear":
        return None
    mine = [h for h in case.happened if isinstance(h.event, Trouble) and h.event.machine == machine]
    if trouble is not None:
        mine = [one for one in mine if one.id == trouble]
    else:
        mine = list(troubles(case, machine)) or mine
    if not mine:
        raise Unknown(
            say("nobody has told what {machine} does", machine=machine),
            remedy=say("Say what it does first: `retrue find tell`."),
        )
    return mine[-1]


def _again(told: Happened, symptom: Symptom | None, price: Purse) -> tuple[float, str]:
    """What trying a trouble again costs, and the group of its symptom."""
    minutes, group = (symptom.minutes, symptom.group) if symptom else (0.0, "")
    return price.spent(hours=minutes / 60.0 / _shows(told, symptom)).cost, group


def _symptom(told: Happened | None, kind: Kind) -> Symptom | None:
    if told is None or not isinstance(told.event, Trouble):
        return None
    return kind.symptoms.get(told.event.symptom)


def try_shows(sought: Sought) -> float:
    """Chance that a trouble shows at one try while its cause is there.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    float
        1 where it is always there, and for a level.
    """
    return _shows(sought.trouble, sought.symptom)


def _shows(told: Happened | None, symptom: Symptom | None) -> float:
    comes_and_goes = (
        told is not None and isinstance(told.event, Trouble) and told.event.comes_and_goes
    )
    shows = symptom.shows if symptom else 1.0
    return min(shows, COMES_AND_GOES) if comes_and_goes else shows


def _looks(
    case: LotCase, state: Standing, price: Purse, kinds: Mapping[str, Kind]
) -> dict[str, Look]:
    """Looks that are not answered, and swaps that were not made and have a like part."""
    kind, seller = state.kind, case.lot.seller
    swaps = [
        look
        for part in kind.swappable.values()
        if part.id not in state.swapped
        and not state.answered & {part.follows, part.keeps}
        and _has_like(part, kind, kinds)
        if (look := swap_of(part, state, price, seller)) is not None
    ]
    by_swap = {c for part in kind.swappable.values() for c in (part.follows, part.keeps)}
    plain = [
        look_of(check, state, price, seller)
        for check in kind.checks.values()
        if check.id not in state.answered and check.id not in by_swap
    ]
    told = {
        kept.finding.check
        for kept in case.findings
        if kept.finding.grade < 3 and kept.finding.machine in (state.machine.name, None)
    }
    fresh = [one for one in plain if one.stage not in ("photo", "call") or one.key not in told]
    return {look.key: look for look in (*fresh, *swaps)}


def _has_like(part: Swappable, kind: Kind, kinds: Mapping[str, Kind]) -> bool:
    """Whether a part of the same type may be there: several on one machine, or on another.

    Axes and relays come in several; a spindle or a control has one of each.
    """
    places = {kind.faults[f].subsystem for f in part.goes_along if f in kind.faults}
    if not places <= ONE_OF_EACH:
        return True
    return sum(part.id in other.swappable for other in kinds.values()) > 1


def _ways(
    suspects: Suspects, state: Standing, price: Purse, level: str | None
) -> tuple[tuple[Way, ...], ...]:
    return tuple(
        ()
        if item.fault is None or item.machine != state.machine.name
        else chain_of(item.fault, state, price, level, suspects.goals[item.goal].again)
        for item in suspects.items
    )


def _search(
    suspects: Suspects, ways: Sequence[tuple[Way, ...]], state: Standing, price: Purse
) -> Search:
    worlds = suspects.active.shape[1]
    return Search(
        weight=np.full(worlds, 1.0 / worlds),
        active=suspects.active,
        goals=with_help(suspects, ways, price),
        chains=tuple(
            tuple(Treatment(w.key, w.spent.cost, w.cures, w.opens) for w in chain) for chain in ways
        ),
        tests=(),
        opening=price.opening,
        open_now=mask(state.kind, tuple(sorted(state.open_places))),
    )
