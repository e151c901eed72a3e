"""In which order to treat, without tests: chance over cost, in blocks of chains."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]
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
