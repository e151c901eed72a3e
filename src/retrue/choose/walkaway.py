"""The walk-away price: the most to pay, such that the gain still holds at the odds wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import relative_weights

Floats = NDArray[np.float64]

_HAIR = 1e-9  # shares of weight closer than this are the same share


@dataclass(frozen=True, slots=True)
class WalkAway:
    """The most to pay for one option, and what stands behind it. Money in the shop's currency.

    ``amount`` is the hammer price rounded down to the bid step, ``exact`` the same before rounding,
    ``all_in`` before dividing by ``k``; ``error`` is the standard error of ``exact``.
    """

    amount: float
    exact: float
    all_in: float
    error: float
    limited_by: Literal["mean", "odds", "nothing_gained"]
    odds: float
    mean: float
    p10: float
    p20: float
    p50: float
    p80: float
    p90: float


def weighted_quantile(
    values: ArrayLike, chance: float, *, weights: ArrayLike | None = None
) -> float:
    """Smallest value with at least this share of the weight at or below it.

    Parameters
    ----------
    values : array_like of float, shape (worlds,)
        Any unit.
    chance : float
        Between 0 and 1.
    weights : array_like of float, shape (worlds,), optional
        Not negative, not all zero; equal when left out.

    Returns
    -------
    float
        One of the values, in their unit: never more than ``chance`` of the weight lies below it.

    Raises
    ------
    Unusable
        Nothing to choose from, or weights that cannot be.

    References
    ----------
    Hyndman and Fan 1996, Sample quantiles in statistical packages, The American Statistician
    50(4), definition 1 (inverse of the distribution function).

    Examples
    --------
    >>> weighted_quantile([30.0, 10.0, 20.0], 0.5)
    20.0
    >>> weighted_quantile([30.0, 10.0, 20.0], 0.5, weights=[8, 1, 1])
    30.0
    """
    return Ranked(values).quantile(chance, weights=weights)


class Ranked:
    """One row of gains put in order once, so that many re-weightings of it are cheap.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money
        Value of the option at price 0 less that of the best alternative, in each world.

    Raises
    ------
    Unusable
        No world, or a value that is not a number.
    """

    __slots__ = ("gain", "order", "ordered")

    def __init__(self, gain: ArrayLike) -> None:
        self.gain: Floats = np.asarray(gain, dtype=np.float64)
        if self.gain.ndim != 1 or not self.gain.size or not np.isfinite(self.gain).all():
            raise Unusable(
                "the gains are not one number a world",
                remedy="Give one finite gain for each world.",
            )
        self.order = np.argsort(self.gain, kind="stable")
        self.ordered: Floats = self.gain[self.order]

    def quantile(self, chance: float, *, weights: ArrayLike | None = None) -> float:
        """Smallest gain with at least this share of the weight at or below it."""
        return self._at(self._place(weights, chance))

    def mean(self, *, weights: ArrayLike | None = None) -> float:
        """Mean gain under the weights."""
        if weights is None:
            return float(self.gain.mean())
        return float((_shares(weights, self.gain.size) * self.gain).sum())

    def price(self, *, odds: float, k: float, weights: ArrayLike | None = None) -> float:
        """Walk-away hammer price before rounding, in money; 0 where nothing is gained."""
        all_in = min(self.mean(weights=weights), self.quantile(1 - odds, weights=weights))
        return max(0.0, all_in) / k

    def _place(self, weights: ArrayLike | None, chance: float) -> int:
        if weights is None:
            return math.ceil(chance * self.gain.size - _HAIR) - 1
        below = np.cumsum(relative_weights(weights, self.gain.size)[self.order])
        return int(np.searchsorted(below, below[-1] * (chance - _HAIR)))

    def _at(self, place: int) -> float:
        return float(self.ordered[min(max(place, 0), self.gain.size - 1)])


def walk_away(
    gain: ArrayLike | Ranked,
    *,
    odds: float,
    k: float,
    step: float,
    weights: ArrayLike | None = None,
) -> WalkAway:
    """The most to pay for one option.

    ``max(0, min(mean gain, (1 - odds)-quantile of the gain) / k)``, rounded down to the bid step:
    at that price the option is no worse than the alternative on average, and no worse in at least
    ``odds`` of the worlds.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money, or Ranked
        Value of the option at price 0 less that of the best alternative, in each world.
    odds : float
        Share of worlds in which the price must hold, between 0 and 1.
    k : float
        Money paid per unit of hammer: 1 + premium + unreclaimable tax + duty.
    step : float
        Bid step, money.
    weights : array_like of float, shape (worlds,), optional
        Weight of each world; equal when left out.

    Returns
    -------
    WalkAway
        Money in the unit of ``gain``.

    Raises
    ------
    Unusable
        Odds outside 0 to 1, ``k`` or ``step`` not above 0, gains or weights that cannot be.

    References
    ----------
    Expected gain: Raiffa 1968, Decision Analysis. The odds condition is a quantile (value at risk)
    bound. Error of a quantile from order statistics: David and Nagaraja 2003, Order Statistics,
    section 7.1.

    Examples
    --------
    >>> gain = [9_000.0, 10_000.0, 12_000.0, 14_000.0, 15_000.0]
    >>> price = walk_away(gain, odds=0.8, k=1.16, step=10)
    >>> price.amount, price.all_in, price.limited_by
    (7750.0, 9000.0, 'odds')
    """
    _check(odds, k, step)
    ranked = gain if isinstance(gain, Ranked) else Ranked(gain)
    mean = ranked.mean(weights=weights)
    at_odds = ranked.quantile(1 - odds, weights=weights)
    share = _shares(weights, ranked.gain.size)
    by_mean = mean <= at_odds
    all_in = max(0.0, min(mean, at_odds))
    error = (
        math.sqrt(float((share**2 * (ranked.gain - mean) ** 2).sum()))
        if by_mean
        else _quantile_error(ranked, 1 - odds, share)
    )
    return WalkAway(
        amount=down_to_step(all_in / k, step),
        exact=all_in / k,
        all_in=all_in,
        error=error / k,
        limited_by="nothing_gained" if all_in == 0 else "mean" if by_mean else "odds",
        odds=odds,
        mean=mean,
        p10=ranked.quantile(0.1, weights=weights),
        p20=ranked.quantile(0.2, weights=weights),
        p50=ranked.quantile(0.5, weights=weights),
        p80=ranked.quantile(0.8, weights=weights),
        p90=ranked.quantile(0.9, weights=weights),
    )


def best(
    gains: ArrayLike,
    *,
    odds: float,
    k: float | ArrayLike,
    step: float,
    weights: ArrayLike | None = None,
) -> tuple[int, WalkAway]:
    """The option that can carry the highest price.

    Parameters
    ----------
    gains : array_like of float, shape (options, worlds), money
        Each option at price 0 less the best alternative.
    odds, step, weights
        As in `walk_away`.
    k : float or array_like of float, shape (options,)
        Money paid per unit of hammer, one for all options or one each.

    Returns
    -------
    tuple of int and WalkAway
        Row of the option, and its price; equal prices go to the higher mean gain, then to the
        first row.

    Raises
    ------
    Unusable
        As in `walk_away`, or no option at all.

    References
    ----------
    As in `walk_away`.

    Examples
    --------
    >>> row, price = best([[100.0, 300.0], [150.0, 160.0]], odds=0.8, k=1.0, step=10)
    >>> row, price.amount
    (1, 150.0)
    """
    rows = np.atleast_2d(np.asarray(gains, dtype=np.float64))
    if not rows.size:
        raise Unusable("there is no option to choose from", remedy="Give one row an option.")
    costs = np.broadcast_to(np.asarray(k, dtype=np.float64), (len(rows),))
    prices = [
        walk_away(row, odds=odds, k=float(cost), step=step, weights=weights)
        for row, cost in zip(rows, costs, strict=True)
    ]
    place = max(range(len(prices)), key=lambda i: (prices[i].exact, prices[i].mean, -i))
    return place, prices[place]


def sorry_chance(
    gain: ArrayLike, price: float, *, k: float, weights: ArrayLike | None = None
) -> float:
    """Share of worlds in which the option, bought at this hammer price, is worse than not buying.

    Parameters
    ----------
    gain : array_like of float, shape (worlds,), money
        Value of the option at price 0 less that of the best alternative.
    price : float
        Hammer price, money.
    k : float
        Money paid per unit of hammer.
    weights : array_like of float, shape (worlds,), optional
        Equal when left out.

    Returns
    -------
    float
        Between 0 and 1.

    Raises
    ------
    Unusable
        Weights that cannot be.

    References
    ----------
    A probability over the drawn worlds; at the walk-away price it is at most 1 less the odds.

    Examples
    --------
    >>> sorry_chance([80.0, 120.0, 140.0, 150.0], 100.0, k=1.0)
    0.25
    """
    values = np.asarray(gain, dtype=np.float64)
    share = _shares(weights, values.size)
    return float(share[values < price * k - _HAIR * max(1.0, abs(price * k))].sum())


def down_to_step(amount: float, step: float) -> float:
    """Round money down to the bid step.

    Parameters
    ----------
    amount, step : float
        Money; the step is above 0.

    Returns
    -------
    float
        The highest multiple of the step that is not above the amount (to a billionth of a step).

    References
    ----------
    Common practice of auctions: bids go up in fixed steps.

    Examples
    --------
    >>> down_to_step(7732.76, 10), down_to_step(0.3, 0.1)
    (7730.0, 0.3)
    """
    steps = math.floor(amount / step + _HAIR)
    return round(float(steps * step), 9)


def effective_worlds(weights: ArrayLike | None, worlds: int) -> float:
    """How many equal worlds a set of weights is worth.

    Parameters
    ----------
    weights : array_like of float, shape (worlds,), or None
        Weights; None for equal ones.
    worlds : int
        How many worlds there are.

    Returns
    -------
    float
        Between 1 and ``worlds``.

    Raises
    ------
    Unusable
        Weights that cannot be.

    References
    ----------
    Kish 1965, Survey Sampling: (sum w)**2 / sum w**2.

    Examples
    --------
    >>> effective_worlds([1, 1, 2], 3)
    2.6666666666666665
    """
    share = _shares(weights, worlds)
    return float(1 / (share**2).sum())


def _quantile_error(ranked: Ranked, chance: float, share: Floats) -> float:
    """Half the distance between the order statistics one standard error of the share away."""
    wide = math.sqrt(chance * (1 - chance) * float((share**2).sum()))
    low = ranked.quantile(max(chance - wide, 0.0), weights=share)
    high = ranked.quantile(min(chance + wide, 1.0), weights=share)
    return (high - low) / 2


def _shares(weights: ArrayLike | None, worlds: int) -> Floats:
    return relative_weights(weights, worlds) / worlds


def _check(odds: float, k: float, step: float) -> None:
    if not (0 < odds < 1 and 0 < k < math.inf and 0 < step < math.inf):
        raise Unusable(
            "odds must lie between 0 and 1, the cost of a unit of hammer and the bid step above 0",
            remedy="Give odds such as 0.80, a factor such as 1.16 and a step such as 10.",
        )
