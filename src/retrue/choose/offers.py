"""Waiting for offers: from which price on to take one, and when to let a thing go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]


class Bids:
    """What buyers may offer: equally likely amounts, with how much they bring above a reserve.

    Parameters
    ----------
    amounts : array_like of float, shape (amounts,)
        Money.

    Raises
    ------
    Unusable
        There is none, or one is no finite number.

    Examples
    --------
    >>> bids = Bids([100.0, 200.0, 300.0, 400.0])
    >>> bids.excess(250.0), bids.chance(300.0), bids.mean
    (50.0, 0.5, 250.0)
    """

    def __init__(self, amounts: ArrayLike) -> None:
        """Sort the amounts, and sum them from the top."""
        rising = np.sort(np.asarray(amounts, dtype=np.float64).ravel())
        if not rising.size or not np.isfinite(rising).all():
            raise Unusable(
                say("offers need amounts that are finite numbers"),
                remedy=say("Give at least one amount."),
            )
        self.amounts: Floats = rising
        self._sums: Floats = np.append(np.cumsum(rising[::-1])[::-1], 0.0) / rising.size

    @property
    def mean(self) -> float:
        """The mean offer, money."""
        return float(self._sums[0])

    def chance(self, reserve: float) -> float:
        """Chance that an offer reaches a reserve."""
        return float(self.above(reserve)[0])

    def above(self, reserves: ArrayLike) -> tuple[Floats, Floats]:
        """Of each reserve: the chance that an offer reaches it, and what it then brings; money.

        The second counts nothing where it is not reached.
        """
        below = self._below(reserves)
        return 1.0 - below / self.amounts.size, self._sums[below]

    def excess(self, reserve: float) -> float:
        """Expected amount by which an offer is above a reserve, money."""
        below = int(self._below(reserve))
        left = 1.0 - below / self.amounts.size
        return float(self._sums[below]) - reserve * left

    def _below(self, reserves: ArrayLike) -> NDArray[np.int64]:
        return np.asarray(np.searchsorted(self.amounts, np.asarray(reserves), side="left"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """What a day of waiting brings and costs.

    Attributes
    ----------
    chance : float
        That an offer comes on a day, 0 to 1.
    cost : float
        Of a day: floor, round, showing; money.
    discount : float
        What money a day later is worth now, above 0 and at most 1.
    """

    chance: float
    cost: float = 0.0
    discount: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what can be no day."""
        if not (0 <= self.chance <= 1 and 0 < self.discount <= 1 and self.cost >= 0):
            raise Unusable(
                say("a day of waiting has a chance between 0 and 1 and a cost of 0 or more"),
                remedy=say("Look at how often offers come, and at what a month costs."),
            )


def reserve(bids: Bids, waiting: Waiting) -> float:
    """The lowest offer to take where nothing presses: the same every day.

    Parameters
    ----------
    bids : Bids
    waiting : Waiting

    Returns
    -------
    float
        Money; below 0 where waiting costs more than it can bring; the highest offer where waiting
        costs nothing and money is worth as much later, nothing where then nobody comes.

    Notes
    -----
    The root ``R`` of ``R = d (R + p E[max(X - R, 0)]) - c``: what it is worth to have it still is
    what is left of it a day later, and what the next offer may bring above it, less the day.

    References
    ----------
    Stigler 1961, The Economics of Information, Journal of Political Economy 69(3); McCall 1970,
    Economics of Information and Job Search, Quarterly Journal of Economics 84(1); DeGroot 1970,
    Optimal Statistical Decisions, section 13.6 (from memory).

    Examples
    --------
    One offer a day between 0 and 1, each 0.02 dear: 1 - sqrt(2 * 0.02) = 0.8.

    >>> bids = Bids((np.arange(100_000) + 0.5) / 100_000)
    >>> round(reserve(bids, Waiting(chance=1.0, cost=0.02)), 6)
    0.8
    """
    from scipy.optimize import brentq

    d, p, c = waiting.discount, waiting.chance, waiting.cost
    top = float(bids.amounts[-1])
    if d == 1.0 and c == 0.0:
        return top if p else 0.0
    if d == 1.0 and p == 0.0:
        return -np.inf

    def short(value: float) -> float:
        return d * (value + p * bids.excess(value)) - c - value

    low = -1.0
    while short(low) < 0.0:
        low *= 2.0
    return float(brentq(short, low, max(top, 0.0) + 1.0, xtol=1e-12, rtol=1e-14))


def falling(bids: Bids, waiting: Waiting, last: float, days: int) -> Floats:
    """What it is worth to have it still, with so many days left until it goes for what it brings.

    Parameters
    ----------
    bids : Bids
    waiting : Waiting
    last : float
        What it brings on the last day, or on any day before, from who takes everything; money.
    days : int
        Until it must be gone.

    Returns
    -------
    ndarray, shape (days + 1,)
        Money, by days left: with none left it is ``last``. An offer that comes when k days are
        left is taken where it is at least the k-th.

    Notes
    -----
    Backward induction: ``V[k+1] = max(last, d (V[k] + p E[max(X - V[k], 0)]) - c)``.

    References
    ----------
    Karlin 1962, Stochastic Models and Optimal Policy for Selling an Asset; for one offer a day
    without cost, Moser 1956, Scripta Mathematica 22 (both from memory).

    Examples
    --------
    >>> bids = Bids((np.arange(100_000) + 0.5) / 100_000)
    >>> falling(bids, Waiting(chance=1.0), 0.0, 3).round(4).tolist()
    [0.0, 0.5, 0.625, 0.6953]
    """
    if days < 0:
        raise Unusable(
            say("the day by which it must go is past"), remedy=say("Name a day to come.")
        )
    worth = np.empty(days + 1)
    worth[0] = last
    d, p, c = waiting.discount, waiting.chance, waiting.cost
    for left in range(days):
        now = float(worth[left])
        worth[left + 1] = max(last, d * (now + p * bids.excess(now)) - c)
    return worth


def line_of(worth: Floats) -> Floats:
    """What to take on each day to come, of what it is worth by days left.

    Parameters
    ----------
    worth : ndarray, shape (days + 1,)
        Of :func:`falling`.

    Returns
    -------
    ndarray, shape (days,)
        Money; the first is for today.

    Examples
    --------
    >>> line_of(np.array([0.0, 0.5, 0.625])).tolist()
    [0.5, 0.0]
    """
    return np.asarray(worth[-2::-1]) if len(worth) > 1 else np.empty(0)
