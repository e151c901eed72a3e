"""The walk-away price: the most to pay, such that the gain still holds at the odds wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import relative_weights
from retrue.choose.ranked import HAIR, Ranked, all_finite, place_of, shares

__all__ = [
    "Ranked",
    "WalkAway",
    "best",
    "down_to_step",
    "prices",
    "sorry_chance",
    "walk_away",
]

Floats = NDArray[np.float64]


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
    share = shares(weights, ranked.gain.size)
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
    found = prices(rows, odds=odds, k=costs, weights=weights)
    share = relative_weights(weights, rows.shape[1]) / rows.shape[1]
    level = np.flatnonzero(found == found.max())
    place = int(level[(rows[level] * share).sum(axis=1).argmax()])
    price = walk_away(rows[place], odds=odds, k=float(costs[place]), step=step, weights=weights)
    return place, price


def prices(
    gains: ArrayLike, *, odds: float, k: float | ArrayLike, weights: ArrayLike | None = None
) -> Floats:
    """Walk-away prices of many options at once, before rounding.

    Parameters
    ----------
    gains : array_like of float, shape (options, worlds), money
        Each option at price 0 less the best alternative.
    odds, weights
        As in `walk_away`.
    k : float or array_like of float, shape (options,)
        Money paid per unit of hammer, one for all options or one each.

    Returns
    -------
    numpy.ndarray, shape (options,)
        Hammer prices, money, not below 0; `walk_away` gives the same.

    Raises
    ------
    Unusable
        As in `walk_away`.

    References
    ----------
    As in `walk_away`.

    Examples
    --------
    >>> prices([[100.0, 300.0], [150.0, 160.0]], odds=0.8, k=1.25).tolist()
    [80.0, 120.0]
    """
    rows = np.atleast_2d(np.asarray(gains, dtype=np.float64))
    costs = np.broadcast_to(np.asarray(k, dtype=np.float64), (len(rows),))
    _check(odds, float(costs.min()), 1.0)
    if weights is not None:
        each = [Ranked(row).price(odds=odds, k=1.0, weights=weights) for row in rows]
        return np.asarray(np.array(each) / costs)
    all_finite(rows)
    place = place_of(1 - odds, rows.shape[1])
    at_odds = np.array([np.partition(row, place)[place] for row in rows])
    return np.asarray(np.maximum(np.minimum(rows.mean(axis=1), at_odds), 0.0) / costs)


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
    share = shares(weights, values.size)
    return float(share[values < price * k - HAIR * max(1.0, abs(price * k))].sum())


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
    steps = math.floor(amount / step + HAIR)
    return round(float(steps * step), 9)


def _quantile_error(ranked: Ranked, chance: float, share: Floats) -> float:
    """Half the distance between the order statistics one standard error of the share away."""
    wide = math.sqrt(chance * (1 - chance) * float((share**2).sum()))
    low = ranked.quantile(max(chance - wide, 0.0), weights=share)
    high = ranked.quantile(min(chance + wide, 1.0), weights=share)
    return (high - low) / 2


def _check(odds: float, k: float, step: float) -> None:
    if not (0 < odds < 1 and 0 < k < math.inf and 0 < step < math.inf):
        raise Unusable(
            "odds must lie between 0 and 1, the cost of a unit of hammer and the bid step above 0",
            remedy="Give odds such as 0.80, a factor such as 1.16 and a step such as 10.",
        )
