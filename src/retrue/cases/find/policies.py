"""Ways of going about a practice machine: by the advice, and four plain ones to compare it with.

All see the same belief, may take the same treatments at the same prices, and try again after each.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from retrue.cases.find.rehearsal import MACHINE, TROUBLE, Rehearsal
from retrue.cases.find.seek import Sought, seek
from retrue.choose.seeking import Move
from retrue.kinds.library import Kind

MOST_ACTS = 400
LEAST_SHARE = 0.02  # of a suspect that a plain way of going about it still thinks of
FIXED = 8  # looks of a fixed list, before parts are bought
WORLDS = 400


@dataclass(frozen=True, slots=True)
class Chosen:
    """One act: a look, a treatment of an item, or help for a goal."""

    sort: str  # test, treat, help
    key: str
    item: int


Policy = Callable[[Sought, Rehearsal], Chosen]


def by_advice(sought: Sought, rehearsal: Rehearsal) -> Chosen:
    """What comes first in the advice.

    Parameters
    ----------
    sought : Sought
    rehearsal : Rehearsal

    Returns
    -------
    Chosen
    """
    move = sought.found.moves[0]
    return _of(move)


def most_likely(sought: Sought, rehearsal: Rehearsal) -> Chosen:
    """The most likely part first.

    Parameters
    ----------
    sought : Sought
    rehearsal : Rehearsal

    Returns
    -------
    Chosen
    """
    order = np.argsort(-sought.suspects.share, kind="stable")
    for item in order.tolist():
        if sought.suspects.share[item] < LEAST_SHARE:
            break
        chain = sought.search.chains[item]
        if chain:
            return Chosen("treat", chain[0].key, item)
        return Chosen("help", "", sought.suspects.items[item].goal)
    return Chosen("help", "", sought.suspects.items[int(order[0])].goal)


def cheapest(sought: Sought, rehearsal: Rehearsal) -> Chosen:
    """The cheapest part first, of what is not far-fetched.

    Parameters
    ----------
    sought : Sought
    rehearsal : Rehearsal

    Returns
    -------
    Chosen
    """
    offers = [
        (chain[0].cost, chain[0].key, item)
        for item, chain in enumerate(sought.search.chains)
        if chain and sought.suspects.share[item] >= LEAST_SHARE
    ]
    if not offers:
        return Chosen("help", "", _failing(sought))
    _, key, item = min(offers)
    return Chosen("treat", key, item)


def chance_over_cost(sought: Sought, rehearsal: Rehearsal) -> Chosen:
    """By chance over cost, without tests: the plain plan of the search.

    Parameters
    ----------
    sought : Sought
    rehearsal : Rehearsal

    Returns
    -------
    Chosen
    """
    if not sought.found.order:
        return Chosen("help", "", _failing(sought))
    key = sought.found.order[0]
    item = next(i for i, chain in enumerate(sought.search.chains) if chain and chain[0].key == key)
    return Chosen("treat", key, item)


def fixed_list(sought: Sought, rehearsal: Rehearsal) -> Chosen:
    """A fixed list of looks, the cheapest first, then the most likely part.

    Parameters
    ----------
    sought : Sought
    rehearsal : Rehearsal

    Returns
    -------
    Chosen
    """
    acted = sum(1 for line in rehearsal.bill.lines if line.text in rehearsal.kind.checks)
    goals = 1 if rehearsal.goal == "clear" else len(rehearsal.kind.groups)
    looks = sorted(sought.search.tests, key=lambda test: (test.cost, test.key))
    if acted < FIXED * goals and looks:
        return Chosen("test", looks[0].key, -1)
    return most_likely(sought, rehearsal)


POLICIES: Mapping[str, Policy] = {
    "advice": by_advice,
    "most likely part first": most_likely,
    "cheapest part first": cheapest,
    "chance over cost, no tests": chance_over_cost,
    "a fixed list of looks": fixed_list,
}


AHEAD: Mapping[Policy, int] = {by_advice: 2, chance_over_cost: 0}  # the others need no plan


def play(
    rehearsal: Rehearsal,
    kinds: Mapping[str, Kind],
    policy: Policy,
    *,
    seed: int = 7,
    worlds: int = WORLDS,
) -> float:
    """Play a practice machine to its end.

    Parameters
    ----------
    rehearsal : Rehearsal
        Fresh; it is changed.
    kinds : mapping of kind id to Kind
    policy : Policy
    seed, worlds : int
        Of the search.

    Returns
    -------
    float
        What it cost in all, in the shop's currency.

    Notes
    -----
    After each treatment it is tried again: the trouble, or the group's proof. At a level every
    group is proved once at the start; that costs all policies the same. Who has done very many
    acts calls help.

    Examples
    --------
    >>> from retrue.cases.find.rehearsal import begin
    >>> from retrue.kinds.load import load
    >>> kinds = load()
    >>> one = begin(kinds, "vertical_machining_centre", seed=3, symptom="Y01")
    >>> play(one, kinds, by_advice, worlds=200) == one.bill.cost and one.met
    True
    """
    if rehearsal.goal != "clear":
        for group in rehearsal.kind.groups:
            rehearsal.group(group)
    for _ in range(MOST_ACTS):
        if rehearsal.met:
            return rehearsal.bill.cost
        sought = _seek(rehearsal, kinds, seed, worlds, AHEAD.get(policy))
        _do(sought, rehearsal, policy(sought, rehearsal))
    return _give_up(rehearsal)


def _seek(
    rehearsal: Rehearsal, kinds: Mapping[str, Kind], seed: int, worlds: int, ahead: int | None
) -> Sought:
    return seek(
        rehearsal.case,
        MACHINE,
        kinds,
        goal=rehearsal.goal,
        trouble=TROUBLE if rehearsal.goal == "clear" else None,
        seed=seed,
        worlds=worlds,
        ahead=ahead,
    )


def _do(sought: Sought, rehearsal: Rehearsal, chosen: Chosen) -> None:
    if chosen.sort == "test":
        rehearsal.look(sought.looks[chosen.key].check.id)
        return
    goal = chosen.item if chosen.sort == "help" else sought.suspects.items[chosen.item].goal
    group = sought.suspects.groups[goal]
    if chosen.sort == "help":
        rehearsal.call(group, _asks(sought, goal))
    else:
        way = sought.ways[chosen.item, chosen.key]
        rehearsal.treat(way.fault, way.job or way.way)
    if rehearsal.goal == "clear":
        rehearsal.try_again()
    else:
        rehearsal.group(group)


def _asks(sought: Sought, goal: int) -> dict[str, float]:
    """What who is called asks for each fault of a goal."""
    target = sought.search.goals[goal]
    faults = (sought.suspects.items[item].fault or "" for item in target.items)
    return dict(zip(faults, target.help_each, strict=True))


def _give_up(rehearsal: Rehearsal) -> float:
    for group in rehearsal.kind.groups if rehearsal.goal != "clear" else ("",):
        if not rehearsal.met:
            rehearsal.call(group)
    return rehearsal.bill.cost


def _failing(sought: Sought) -> int:
    """The goal most likely not met."""
    lacking = [
        float(sought.search.active[list(goal.items)].any(axis=0).mean())
        for goal in sought.search.goals
    ]
    return int(np.argmax(lacking))


def _of(move: Move) -> Chosen:
    return Chosen(move.sort, move.key, move.item)
