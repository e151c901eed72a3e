"""The set of ways within a given money that costs least in all: exact, on whole units of money."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np


def least_within(
    rows: Sequence[Sequence[tuple[float, float]]], within: float
) -> tuple[int, ...] | None:
    """One choice a row, the money of all within a sum, the cost of all the least.

    Parameters
    ----------
    rows : sequence of sequences of (money, cost)
        Money not negative; it is rounded up to whole units, so that no choice is over the sum.
    within : float
        Money.

    Returns
    -------
    tuple of int or None
        Place of the choice in each row; of equal costs the one with less money, then the first.
        None where even the cheapest of each row are over it.

    References
    ----------
    Multiple-choice knapsack by dynamic programming over whole amounts: Dudzinski and Walukiewicz
    1987, European Journal of Operational Research 28(1), 3-21 (from memory).

    Examples
    --------
    >>> least_within([[(100, 5), (10, 50)], [(80, 0), (0, 30)]], 110)
    (0, 1)
    >>> least_within([[(100, 5)]], 99) is None
    True
    """
    whole = [[math.ceil(round(money, 6)) for money, _ in row] for row in rows]
    if any(not row for row in rows):
        return None
    most = min(math.floor(within + 1e-9), sum(max(row) for row in whole))
    if most < sum(min(row) for row in whole):
        return None
    # cost[m]: least cost of the rows so far for exactly m spent
    cost = np.full(most + 1, np.inf)
    cost[0] = 0.0
    picks = np.zeros((len(rows), most + 1), dtype=np.int16)
    for place, (row, amounts) in enumerate(zip(rows, whole, strict=True)):
        cost = _with_row(cost, [one[1] for one in row], amounts, picks[place])
    return _walked_back(cost, whole, picks)


def _with_row(
    cost: np.ndarray[tuple[int], np.dtype[np.float64]],
    costs: Sequence[float],
    amounts: Sequence[int],
    picks: np.ndarray[tuple[int], np.dtype[np.int16]],
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Least cost with one more row; which choice it took at every sum is written down."""
    best = np.full(len(cost), np.inf)
    for index, (value, amount) in enumerate(zip(costs, amounts, strict=True)):
        if amount >= len(cost):
            continue
        moved = np.full(len(cost), np.inf)
        moved[amount:] = cost[: len(cost) - amount] + value
        better = moved < best - 1e-9
        best[better] = moved[better]
        picks[better] = index
    return best


def _walked_back(
    cost: np.ndarray[tuple[int], np.dtype[np.float64]],
    whole: Sequence[Sequence[int]],
    picks: np.ndarray[tuple[int, int], np.dtype[np.int16]],
) -> tuple[int, ...] | None:
    least = float(cost.min())
    if not math.isfinite(least):
        return None
    at = int(np.flatnonzero(cost <= least + 1e-9)[0])
    chosen = []
    for place in range(len(whole) - 1, -1, -1):
        index = int(picks[place, at])
        chosen.append(index)
        at -= whole[place][index]
    return tuple(reversed(chosen))
