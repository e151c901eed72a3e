"""Tests laid out as arrays, and for each item the one to look by before it is treated."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.choose.columns import Patterns
from retrue.choose.line import Glance, Line, bits_of
from retrue.choose.order import LEAST_COST
from retrue.choose.seeking import Search

Floats = NDArray[np.float64]

HAIR = 1e-9  # chances closer than this are the same chance
MOST_OFFERS = 8  # tests looked at as the look before one item


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What all tests of a search say, outcomes under one another.

    Attributes
    ----------
    chance : ndarray, shape (outcomes, hypotheses)
    start : ndarray of int, shape (tests + 1,)
        Test t has the rows from ``start[t]`` up to ``start[t + 1]``.
    test_of : ndarray of int, shape (outcomes,)
    needs : ndarray of bool, shape (tests, places)
    price : ndarray, shape (tests,)
    """

    chance: Floats
    start: NDArray[np.intp]
    test_of: NDArray[np.intp]
    needs: NDArray[np.bool_]
    price: Floats


def told(search: Search) -> Told:
    """Lay the tests of a search out.

    Parameters
    ----------
    search : Search

    Returns
    -------
    Told

    Examples
    --------
    >>> from retrue.choose.seeking import Test
    >>> look = Test("look", 5.0, np.array([[0.25], [0.75]]))
    >>> told(Search(np.ones(1), np.ones((0, 1), bool), (), (), (look,), np.zeros(0))).start.tolist()
    [0, 2]
    """
    tests, places = search.tests, len(search.opening)
    sizes = [len(test.chance) for test in tests]
    chance = np.concatenate([t.chance for t in tests]) if tests else np.zeros((0, 0))
    needs = np.array([bits_of(t.opens, places) for t in tests], dtype=np.bool_)
    return Told(
        chance=chance,
        start=np.concatenate([[0], np.cumsum(sizes)]).astype(np.intp),
        test_of=np.repeat(np.arange(len(tests)), sizes).astype(np.intp),
        needs=needs.reshape(len(tests), places),
        price=np.array([test.cost for test in tests], dtype=np.float64),
    )


def glances(search: Search, say: Told) -> dict[int, Glance]:
    """Find for each item the test by which looking first gains most for its cost.

    Parameters
    ----------
    search : Search
    say : Told
        Of the same search.

    Returns
    -------
    dict of int to Glance
        Items without such a test are left out.

    Notes
    -----
    An outcome counts as showing where it speaks for the item. A test serves one item: made twice
    it would say the same again. Looking and then treating where it
    shows is one step of a plan; it cures with the chance that it shows times that of the cure.

    References
    ----------
    Our own rule, in the manner of chance over cost.

    Examples
    --------
    >>> from retrue.choose.seeking import Goal, Test, Treatment
    >>> look = Test("look", 5.0, np.array([[0.1, 0.9], [0.9, 0.1]]))
    >>> search = Search(np.array([0.5, 0.5]), np.eye(2, dtype=bool), (Goal((0, 1)),),
    ...     ((Treatment("a", 50.0, 1.0),), (Treatment("b", 50.0, 1.0),)), (look,), np.zeros(0))
    >>> [round(one.shows, 3) for one in glances(search, told(search)).values()]
    [0.9]
    """
    found: dict[int, Glance] = {}
    if not search.tests:
        return found
    shut = say.needs @ (search.opening * ~bits_of(search.open_now, len(search.opening)))
    offers: list[tuple[float, int, Glance]] = []
    for goal in search.goals:
        for item in goal.items:
            if search.chains[item]:
                offers += _offers(search, say, item, goal.again, shut)
    taken: set[int] = set()
    for _, item, glance in sorted(offers, key=_most_first):
        if item not in found and glance.test not in taken:
            found[item] = glance
            taken.add(glance.test)
    return found


def _most_first(offer: tuple[float, int, Glance]) -> tuple[float, int, int]:
    """By gain, but not by what rounding makes of it."""
    return -float(f"{offer[0]:.9e}"), offer[1], offer[2].test


def _offers(
    search: Search, say: Told, item: int, again: float, shut: Floats
) -> list[tuple[float, int, Glance]]:
    """What each test would gain for its cost, as the look before this item."""
    there = search.weight * search.active[item]
    share = float(there.sum())
    if not 0.0 < share < 1.0:
        return []
    yes = say.chance @ there / share
    no = say.chance @ (search.weight - there) / (1.0 - share)
    speaks = yes > no + HAIR
    shows = np.add.reduceat(np.where(speaks, yes, 0.0), say.start[:-1])
    false = np.add.reduceat(np.where(speaks, no, 0.0), say.start[:-1])
    vain = search.chains[item][0].cost + again
    through, left = 0.0, 1.0
    for one in search.chains[item]:
        through += left * (one.cost + again)
        left *= 1.0 - one.cures
    spent = say.price + shut + share * shows * through + (1.0 - share) * false * vain
    gain = np.where(shows > false + HAIR, share * shows / np.maximum(spent, LEAST_COST), 0.0)
    offers = []
    for test in np.argsort(-gain, kind="stable")[:MOST_OFFERS]:
        if gain[test] > 0.0:
            rows = np.flatnonzero(speaks & (say.test_of == test))
            one = search.tests[test]
            glance = Glance(
                int(test), one.cost, float(shows[test]), float(false[test]), one.opens,
                tuple(rows.tolist()),
            )  # fmt: skip
            offers.append((float(gain[test]), item, glance))
    return offers


def rates(say: Told, line: Line, weight: Floats, sets: Patterns, of: NDArray[np.intp]) -> Floats:
    """What each glance of a line costs beside the look itself, pattern by pattern.

    Parameters
    ----------
    say : Told
    line : Line
    weight : ndarray, shape (hypotheses,)
    sets : Patterns
        Of the same hypotheses.
    of : ndarray of int, shape (hypotheses,)
        Which hypothesis of the search each is.

    Returns
    -------
    ndarray, shape (steps, patterns)
        Chance that it shows times what is treated then; nothing for plain treatments.

    References
    ----------
    Mean over the hypotheses of a pattern (by definition).
    """
    found = np.zeros((len(line.look), len(sets.sets)))
    steps = np.flatnonzero(line.look >= 0)
    if not len(steps):
        return found
    whole = np.maximum(sets.gather(weight[None])[0], 1e-300)
    for step in steps:
        shows = say.chance[list(line.rows[step])].sum(axis=0)[of]
        there = sets.sets[:, line.item[step]]
        treat = np.where(there, line.extra[step], line.vain[step])
        found[step] = treat * sets.gather((weight * shows)[None])[0] / whole
    return found
