"""The next move of a search: every test and treatment by what it costs from now to the end."""

from __future__ import annotations

from dataclasses import replace

from retrue.choose.bound import perfect_information
from retrue.choose.desk import Desk
from retrue.choose.seeking import Found, Move, Search
from retrue.choose.settled import Settled

TIE = 0.02  # share of what can be gained at all within which two moves are as good (judgement)
AT_ONCE = 8  # moves whose plans are carried out at once
MOST = 16  # moves for which that is done, at most; half as many where there are several goals


def next_moves(
    search: Search, *, looks: int = 2, best_tests: int = 8, best_treatments: int = 5
) -> Found:
    """Rank what could be done next.

    Parameters
    ----------
    search : Search
    looks : int
        1 or 2: how many acts are looked ahead before the plain plan takes over.
    best_tests, best_treatments : int
        How many of the best by one look are looked at twice.

    Returns
    -------
    Found
        Values are those of plans that could be carried out, under the hypotheses: never below
        the bound, and the best never above the plain plan.

    Notes
    -----
    A test is worth its cost and, for each outcome, the cheapest of the plain plan and (on the
    second look) one more test. A treatment is worth its cost, one try, and what follows where
    the goal is still not met. Several goals add up; the second look stays inside the goal that a
    move serves most.

    References
    ----------
    Heckerman, Breese and Rommelse, Communications of the ACM 38(3) (1995) 49-57 (from memory).
    Jensen et al., AI EDAM 15 (2001) 321-333, on looking ahead by two (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal, Test, Treatment
    >>> two = np.eye(2, dtype=bool)
    >>> chains = ((Treatment("drive", 900.0, 1.0),), (Treatment("plug", 10.0, 1.0),))
    >>> looks_dry = Test("look", 5.0, np.array([[0.0, 1.0], [1.0, 0.0]]))
    >>> search = Search(np.array([0.7, 0.3]), two, (Goal((0, 1)),), chains, (looks_dry,),
    ...     np.zeros(0))
    >>> found = next_moves(search)
    >>> [(move.key, round(move.value, 3)) for move in found.moves]
    [('look', 638.0), ('plug', 640.0), ('drive', 903.0)]
    >>> found.plain, found.guess, found.bound
    (640.0, 903.0, 633.0)
    """
    desk = Desk(search)
    moves = desk.first_look()
    if looks > 1:
        moves = desk.second_look(moves, best_tests, best_treatments)
    plain, order = desk.bare.plain, desk.bare.order()
    bound = perfect_information(search)
    ranked = _exact(desk, moves, plain, order, bound)
    best = ranked[0].value if ranked else 0.0
    near = best + TIE * max(0.0, plain - bound)
    return Found(
        moves=tuple(replace(m, tie=m is not ranked[0] and m.value <= near) for m in ranked),
        plain=plain,
        order=order,
        guess=desk.bare.whole("likely"),
        bound=bound,
    )


def _exact(
    desk: Desk, moves: list[Move], plain: float, order: tuple[str, ...], bound: float
) -> list[Move]:
    """Moves by value; of those that may be best, or as good, the exact cost of their plan."""
    settled, known = Settled(desk), list[Move]()
    plan_first = _first_of(desk, order)
    rough = [replace(m, value=min(m.value, plain)) if m.key == plan_first else m for m in moves]
    while rough:
        rough.sort(key=_by_value)
        best = min((move.value for move in known), default=float("inf"))
        near = best + TIE * max(0.0, plain - bound)
        some = [move for move in rough if move.value <= near][:AT_ONCE]
        if not some or len(known) >= MOST // min(2, len(desk.branches)):
            break
        for move, value in zip(some, settled.costs_of(some), strict=True):
            least = min(value, plain) if move.key == plan_first else value
            known.append(replace(move, value=least))
        rough = [move for move in rough if move not in some]
    rough = [replace(m, value=settled.at_most(m)) for m in rough]
    return sorted([*known, *rough], key=_by_value)


def _first_of(desk: Desk, order: tuple[str, ...]) -> str:
    """The act that the plain plan begins with; none if that is a try."""
    goals = {
        one.key: goal
        for goal in desk.search.goals
        for item in goal.items
        for one in desk.search.chains[item]
    }
    first = (*order, "help:0")[0]
    goal = goals.get(first, desk.search.goals[0]) if desk.search.goals else None
    return first if goal is not None and goal.tried else ""


def _by_value(move: Move) -> tuple[float, str, int]:
    return move.value, move.key, move.item
