"""Trying again before anything else is done: what that is worth, goal by goal."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.find.seek import Sought
from retrue.choose.ahead import next_moves
from retrue.choose.seeking import Search

LIKELY_MET = 0.5  # a group this likely to be right is offered for its proof


def try_first(sought: Sought) -> dict[int, float]:
    """Expected cost if a goal is tried first, for every goal where a try tells something.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    dict of int to float
        By place of the goal. Of a trouble, the try and then the best that follows where it does
        not pass. Of a level's groups, those likely to be right. Groups add up, and the plan of
        each begins with its proof: to prove one first costs no more than the best step of
        another group, and no more than the plain plan where that step is of its own.

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
    >>> from retrue.cases.find.seek import seek
    >>> try_first(seek(case, "A", load(), goal="clear", worlds=200))  # it was just seen to do it
    {}
    """
    search = sought.search
    open_goals = {g: goal for g, goal in enumerate(search.goals) if not goal.tried}
    if sought.met or not open_goals:
        return {}
    if sought.trouble is not None:
        left = np.asarray(search.active.any(axis=0))
        rest = next_moves(_left(search, left), looks=1) if left.any() else None
        after = rest.moves[0].value if rest is not None and rest.moves else 0.0
        return {0: search.goals[0].again + float(left.mean()) * after}
    right = {
        g: 1.0 - float(search.active[list(goal.items)].any(axis=0).mean())
        for g, goal in open_goals.items()
    }
    plain, moves = sought.found.plain, sought.found.moves
    best = min(plain, moves[0].value) if moves else plain
    own = _speaks_of(sought)
    return {g: plain if g in own else best for g, share in right.items() if share >= LIKELY_MET}


def _speaks_of(sought: Sought) -> frozenset[int]:
    """Goals that the best move has to do with."""
    if not sought.found.moves:
        return frozenset()
    move, items = sought.found.moves[0], sought.suspects.items
    if move.sort == "treat":
        return frozenset({items[move.item].goal})
    if move.sort == "help":
        return frozenset({move.item})
    links = sought.looks[move.key].check.links
    return frozenset(item.goal for item in items if item.fault in links)


def _left(search: Search, left: NDArray[np.bool_]) -> Search:
    """The same search where it was tried and did not pass."""
    count = int(left.sum())
    return replace(
        search,
        weight=np.full(count, 1.0 / count),
        active=search.active[:, left],
        goals=tuple(replace(goal, tried=True) for goal in search.goals),
        tests=tuple(replace(test, chance=test.chance[:, left]) for test in search.tests),
    )
