"""In which order to treat, without tests: chance over cost, in blocks of chains."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.choose.seeking import Search, Treatment

Floats = NDArray[np.float64]
Rule = Literal["ratio", "likely", "cheap"]
LEAST_COST = 1e-9  # a treatment that costs nothing comes first, whatever its chance


@dataclass(frozen=True, slots=True)
class Blocks:
    """The rest of one chain, cut where its steps belong together.

    Attributes
    ----------
    ratio : tuple of float
        For each step, cured share over cost of the block it stands in; never rises.
    """

    ratio: tuple[float, ...]


def blocks_of(costs: Sequence[float], cures: Sequence[float]) -> Blocks:
    """Cut a chain into blocks of falling cured share over cost.

    Parameters
    ----------
    costs, cures : sequence of float
        Of the treatments of one item, in their order.

    Returns
    -------
    Blocks

    Notes
    -----
    A step that is poor by itself may open the way to a good one; the prefix with the highest
    ratio of everything it cures to everything it costs is one block (Sidney's decomposition for
    chains). With one active item an order of blocks by falling ratio times the item's chance is
    the best there is.

    References
    ----------
    Sidney, Operations Research 23 (1975) 283-298 (from memory).
    Kadane and Simon, Annals of Statistics 5 (1977) 237-255, on the order p over c (from memory).

    Examples
    --------
    >>> blocks_of([10, 1], [0.1, 1.0]).ratio  # the dear poor step only opens the good one
    (0.09090909090909091, 0.09090909090909091)
    >>> blocks_of([1, 10], [0.5, 1.0]).ratio
    (0.5, 0.05)
    """
    left = 1.0
    gained = []
    for cure in cures:
        gained.append(left * cure)
        left *= 1.0 - cure
    ratio: list[float] = []
    start = 0
    while start < len(gained):
        share = np.cumsum(gained[start:])
        spent = np.maximum(np.cumsum(costs[start:]), LEAST_COST)
        best = int(np.argmax(share / spent))
        ratio += [float(share[best] / spent[best])] * (best + 1)
        start += best + 1
    return Blocks(tuple(ratio))


def expected_cost(
    chance: ArrayLike, costs: Sequence[float], cures: ArrayLike, order: Sequence[int]
) -> float:
    """What a fixed order of acts costs until the one cause is cured, without tests.

    Parameters
    ----------
    chance : array_like, shape (causes,)
        Of each cause; exactly one is there.
    costs : sequence of float
        Of each act.
    cures : array_like, shape (acts, causes)
        P(the act cures | the cause is there); an act may cure several.
    order : sequence of int
        Acts in the order they are done; one may come twice, and then tries again independently.

    Returns
    -------
    float
        Sum over acts of cost times the chance that it is reached.

    Raises
    ------
    Unusable
        The chances are not a distribution, or the tables do not fit each other.

    References
    ----------
    Jensen and Nielsen, Bayesian Networks and Decision Graphs, 2nd edition 2007, exercise 9.2
    (causes .80, .15, .05; acts at 1, 2, 25, 500): 1, 2, 3, 4 costs 27.875.

    Examples
    --------
    >>> cures = [[1, 0, 0], [0, 0.95, 0], [0.99, 0.99, 0], [1, 1, 1]]
    >>> round(expected_cost([0.8, 0.15, 0.05], [1, 2, 25, 500], cures, [0, 1, 2, 3]), 6)
    27.875
    """
    left = np.asarray(chance, dtype=np.float64).copy()
    table = np.asarray(cures, dtype=np.float64)
    if table.shape != (len(costs), len(left)) or not np.isclose(left.sum(), 1.0):
        raise Unusable(
            say("causes, acts and cures do not fit each other"),
            remedy=say("Give one chance a cause that sum to one, and one row an act."),
        )
    total = 0.0
    for act in order:
        total += costs[act] * float(left.sum())
        left = left * (1.0 - table[act])
    return total


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """All treatments of one goal laid in a row, as arrays.

    Attributes
    ----------
    item : ndarray of int, shape (steps,)
        Place of the item in the goal.
    cost, cures : ndarray, shape (steps,)
        With trying again in the cost.
    opens : ndarray of bool, shape (steps, places)
    ratio : ndarray, shape (steps,)
        Cured share over cost of the step's block, for an item that is active for certain.
    first : ndarray of int, shape (items,)
        The first step of each item that is not done yet; -1: none is left.
    treatments : tuple of Treatment
    """

    item: NDArray[np.intp]
    cost: Floats
    cures: Floats
    opens: NDArray[np.bool_]
    ratio: Floats
    first: NDArray[np.intp]
    treatments: tuple[Treatment, ...]


def line_of(search: Search, goal: int, done: Sequence[int] = ()) -> Line:
    """Lay the treatments of one goal in a row.

    Parameters
    ----------
    search : Search
    goal : int
        Which.
    done : sequence of int
        How many treatments of each of its items were done already; none if empty.

    Returns
    -------
    Line

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal
    >>> one = Search(np.ones(1), np.ones((1, 1), bool), (Goal((0,)),),
    ...     ((Treatment("a", 2.0, 1.0),),), (), np.zeros(0))
    >>> line_of(one, 0).ratio.tolist()
    [0.5]
    """
    target = search.goals[goal]
    done = tuple(done) or (0,) * len(target.items)
    places = len(search.opening)
    item: list[int] = []
    cost: list[float] = []
    cures: list[float] = []
    ratio: list[float] = []
    first: list[int] = []
    opens: list[NDArray[np.bool_]] = []
    rest: list[Treatment] = []
    for place, name in enumerate(target.items):
        chain = search.chains[name][done[place] :]
        first.append(len(rest) if chain else -1)
        bits = [bits_of(one.opens, places) for one in chain]
        shut = [row & ~bits_of(search.open_now, places) for row in bits]
        spent = [one.cost + target.again for one in chain]
        whole = [
            price + float(row @ search.opening) for price, row in zip(spent, shut, strict=True)
        ]
        ratio += blocks_of(whole, [one.cures for one in chain]).ratio
        item += [place] * len(chain)
        cost += spent
        cures += [one.cures for one in chain]
        opens += bits
        rest += chain
    return Line(
        item=np.array(item, dtype=np.intp),
        cost=np.array(cost, dtype=np.float64),
        cures=np.array(cures, dtype=np.float64),
        opens=np.array(opens, dtype=np.bool_).reshape(len(rest), places),
        ratio=np.array(ratio, dtype=np.float64),
        first=np.array(first, dtype=np.intp),
        treatments=tuple(rest),
    )


def keys_by(line: Line, marginal: Floats, rule: Rule) -> Floats:
    """What the steps are sorted by, highest first.

    Parameters
    ----------
    line : Line
    marginal : ndarray, shape (columns, items)
        Chance that each item is active.
    rule : {"ratio", "likely", "cheap"}
        Chance over cost; the most likely item first; the cheapest item first.

    Returns
    -------
    ndarray, shape (columns, steps)

    Notes
    -----
    Steps of one chain keep their order under a stable sort. By "likely" and "cheap" a chain is
    gone through whole before the next begins, as who buys part after part does it.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal
    >>> two = Search(np.ones(1), np.ones((2, 1), bool), (Goal((0, 1)),),
    ...     ((Treatment("a", 2.0, 1.0),), (Treatment("b", 8.0, 1.0),)), (), np.zeros(0))
    >>> keys_by(line_of(two, 0), np.array([[0.4, 0.6]]), "likely").tolist()
    [[0.4, 0.6]]
    """
    share = marginal[:, line.item]
    if rule == "ratio":
        return share * line.ratio
    if rule == "likely":
        return share
    cheapest = np.array([line.cost[at] if at >= 0 else 0.0 for at in line.first])
    return np.broadcast_to(-cheapest[line.item], share.shape)


def bits_of(mask: int, places: int) -> NDArray[np.bool_]:
    """A bit mask of places as an array.

    Parameters
    ----------
    mask : int
    places : int
        How many there are.

    Returns
    -------
    ndarray of bool, shape (places,)

    Examples
    --------
    >>> bits_of(5, 3).tolist()
    [True, False, True]
    """
    return np.array([bool(mask >> place & 1) for place in range(places)], dtype=np.bool_)
