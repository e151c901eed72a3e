"""What nobody can do better than, even knowing everything."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.choose.seeking import Goal, Search, Treatment

Floats = NDArray[np.float64]


def perfect_information(search: Search) -> float:
    """Expected cost of who is told which items are active, before anything is done.

    Parameters
    ----------
    search : Search

    Returns
    -------
    float
        A lower bound on every plan: active items alone are treated, help is called where that is
        cheaper, a goal is tried once at the end, a place is opened once. With several goals
        openings count nothing: one may serve them all.

    Notes
    -----
    Whether a treatment will cure is luck and stays unknown. With several active items the bound
    takes either all their chains, or, where help may end it, the dearest of them alone.

    References
    ----------
    Expected value with perfect information: Howard 1966, Information Value Theory, IEEE
    Transactions on Systems Science and Cybernetics 2(1).

    Examples
    --------
    >>> chains = ((Treatment("a", 10.0, 1.0),), (Treatment("b", 40.0, 1.0),))
    >>> search = Search(np.array([0.5, 0.5]), np.eye(2, dtype=bool), (Goal((0, 1), help=30.0),),
    ...     chains, (), np.zeros(0))
    >>> perfect_information(search)
    20.0
    """
    total = 0.0
    for goal in search.goals:
        active = search.active[list(goal.items)]
        sets, of = np.unique(active.T, axis=0, return_inverse=True)
        weight = np.bincount(np.asarray(of).reshape(-1), weights=search.weight, minlength=len(sets))
        least = [_least(search, goal, place) for place in range(len(goal.items))]
        for chance, pattern in zip(weight, sets, strict=True):
            total += float(chance) * _of_pattern(search, goal, np.flatnonzero(pattern), least)
    return total


def _of_pattern(
    search: Search, goal: Goal, places: NDArray[np.intp], least: list[tuple[float, float]]
) -> float:
    """The least that must be paid where these items are active."""
    if not len(places):
        return 0.0 if goal.tried else goal.again
    with_help = np.inf  # where nobody can be called, every one of them is treated
    if goal.help < np.inf:
        with_help = max(least[place][0] for place in places)
    chains = [search.chains[goal.items[place]] for place in places]
    whole = sum(least[place][1] for place in places)
    return float(min(with_help, whole + goal.again + _first_openings(search, chains)))


def _least(search: Search, goal: Goal, place: int) -> tuple[float, float]:
    """Of one active item: the least with help allowed at any time, and its chain gone through."""
    chain = search.chains[goal.items[place]]
    asks = goal.help + (goal.help_each[place] if goal.help_each else 0.0)
    spent, left, least = 0.0, 1.0, asks
    opening = _first_openings(search, [chain])
    for one in chain:
        spent += left * one.cost
        left *= 1.0 - one.cures
        helped = left * asks if left > 1e-12 else 0.0
        least = min(least, opening + spent + goal.again + helped)
    return least, spent if left <= 1e-12 else np.inf


def _first_openings(search: Search, chains: list[tuple[Treatment, ...]]) -> float:
    """Places that the first treatments need, each once."""
    mask = 0
    if len(search.goals) > 1:
        return 0.0
    for chain in chains:
        if chain:
            mask |= chain[0].opens
    mask &= ~search.open_now
    return float(sum(cost for place, cost in enumerate(search.opening) if mask >> place & 1))
