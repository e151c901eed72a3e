"""What moved the price, and what would: the same worlds, weighed or shifted anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import SIZE, block_sums
from retrue.choose.ranked import Ranked, effective_worlds

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Reweighed:
    """A price on re-weighted worlds, money, and how many equal worlds it still rests on."""

    price: float
    option: int
    worlds_left: float


def rank(gains: ArrayLike) -> tuple[Ranked, ...]:
    """Put each option's gains in order once.

    Parameters
    ----------
    gains : array_like of float, shape (options, worlds), money
        Each option at price 0 less the best alternative.

    Returns
    -------
    tuple of Ranked
        One an option.

    Raises
    ------
    Unusable
        A gain that is not a number.

    References
    ----------
    None: bookkeeping.

    Examples
    --------
    >>> [each.ordered.tolist() for each in rank([[2.0, 1.0], [0.0, 3.0]])]
    [[1.0, 2.0], [0.0, 3.0]]
    """
    return tuple(Ranked(row) for row in np.atleast_2d(np.asarray(gains, dtype=np.float64)))


def odds_weights(state: ArrayLike, ratio: float, chance: float) -> Floats:
    """Weights that multiply the odds of one hidden condition, all else as it was.

    Parameters
    ----------
    state : array_like of bool, shape (worlds,)
        Is the condition there, in each world.
    ratio : float
        Its odds are multiplied by this.
    chance : float
        Its probability now.

    Returns
    -------
    numpy.ndarray, shape (worlds,)
        ``ratio**state / (1 - chance + ratio * chance)``, mean 1 where ``chance`` is its share.

    Raises
    ------
    Unusable
        A ratio that is not above 0, or a chance outside 0 to 1.

    References
    ----------
    Importance weights of a changed prior: Geweke 1989, Bayesian inference in econometric models
    using Monte Carlo integration, Econometrica 57(6).

    Examples
    --------
    >>> odds_weights([True, False, False, False], 2.0, 0.25).tolist()
    [1.6, 0.8, 0.8, 0.8]
    """
    if not (0 < ratio < np.inf and 0 <= chance <= 1):
        raise Unusable(
            "odds can only be multiplied by a number above 0, and a chance lies between 0 and 1",
            remedy="Give a ratio such as 0.5 or 2.",
        )
    present = np.asarray(state, dtype=bool)
    return np.where(present, ratio, 1.0) / (1 - chance + ratio * chance)


def reweighted_price(
    gains: ArrayLike | Sequence[Ranked], weights: ArrayLike, *, odds: float, k: ArrayLike
) -> Reweighed:
    """The best option's walk-away price on the same worlds with other weights.

    Parameters
    ----------
    gains : array_like of float, shape (options, worlds), money, or sequence of Ranked
        Each option at price 0 less the best alternative.
    weights : array_like of float, shape (worlds,)
        From `odds_weights`, or their product over several conditions.
    odds : float
        As in `walk_away`.
    k : float or array_like of float, shape (options,)
        Money paid per unit of hammer.

    Returns
    -------
    Reweighed
        Hammer price before rounding, money; row of the option; equal worlds left.

    Raises
    ------
    Unusable
        Weights that cannot be.

    References
    ----------
    As in `odds_weights`; equal worlds left: Kish 1965.

    Examples
    --------
    >>> gains = [[100.0, 200.0, 300.0, 400.0]]
    >>> reweighted_price(gains, [1.0, 1.0, 2.0, 2.0], odds=0.8, k=1.0).price
    200.0
    """
    rows = _ranked(gains)
    prices = [
        row.price(odds=odds, k=cost, weights=weights)
        for row, cost in zip(rows, _each(k, rows), strict=True)
    ]
    place = int(np.argmax(prices))
    return Reweighed(prices[place], place, effective_worlds(weights, rows[0].gain.size))


def price_without(
    gains: ArrayLike | Sequence[Ranked], likelihood: ArrayLike, *, odds: float, k: ArrayLike
) -> Reweighed:
    """The price as it would stand without one finding.

    The worlds were drawn knowing the finding; weighing each by the inverse of the finding's
    likelihood takes it out again. Exact in the limit, rough where few worlds carry the weight:
    look at ``worlds_left`` before trusting it.

    Parameters
    ----------
    gains, odds, k
        As in `reweighted_price`.
    likelihood : array_like of float, shape (worlds,)
        P(finding | world), above 0.

    Returns
    -------
    Reweighed
        Hammer price before rounding, money; row of the option; equal worlds left.

    Raises
    ------
    Unusable
        A likelihood of zero: in such worlds the finding could not have been made.

    References
    ----------
    Gelfand, Dey and Chang 1992, Model determination using predictive distributions, Bayesian
    Statistics 4 (case deletion by weights 1 / likelihood).

    Examples
    --------
    >>> gains = [[100.0, 200.0, 300.0, 400.0]]
    >>> price_without(gains, [0.5, 1.0, 1.0, 1.0], odds=0.8, k=1.0).price
    100.0
    """
    chance = np.asarray(likelihood, dtype=np.float64)
    if not (chance > 0).all():
        raise Unusable(
            "a finding cannot be taken out of worlds in which it was impossible",
            remedy="Compute the price again without the finding.",
        )
    return reweighted_price(gains, chance.min() / chance, odds=odds, k=k)


def shifted_price(gains: ArrayLike, shift: ArrayLike, *, odds: float, k: ArrayLike) -> float:
    """The best option's walk-away price when a number moves every gain.

    Parameters
    ----------
    gains : array_like of float, shape (options, worlds), money
        Each option at price 0 less the best alternative.
    shift : array_like of float, money
        What the number adds: one amount, one an option (options, 1), one a world (worlds,), or
        one for each (options, worlds).
    odds, k
        As in `reweighted_price`.

    Returns
    -------
    float
        Hammer price before rounding, money.

    Raises
    ------
    Unusable
        Gains that are not numbers.

    References
    ----------
    One-way sensitivity: Clemen and Reilly 2014, Making Hard Decisions, chapter 5.

    Examples
    --------
    >>> shifted_price([[100.0, 200.0, 300.0]], -50.0, odds=0.8, k=1.0)
    50.0
    """
    rows = rank(np.atleast_2d(np.asarray(gains, dtype=np.float64)) + np.asarray(shift))
    return max(row.price(odds=odds, k=cost) for row, cost in zip(rows, _each(k, rows), strict=True))


def condition_moves(
    gains: ArrayLike | Sequence[Ranked],
    states: ArrayLike,
    *,
    odds: float,
    k: ArrayLike,
    ratios: Sequence[float] = (0.5, 2.0),
) -> Floats:
    """The price if the odds of each hidden condition, one at a time, were multiplied.

    As `reweighted_price` with `odds_weights`, for many conditions at once.

    Parameters
    ----------
    gains, odds, k
        As in `reweighted_price`.
    states : array_like of bool, shape (conditions, worlds)
        Is the condition there, in each world.
    ratios : sequence of float
        What the odds are multiplied by.

    Returns
    -------
    numpy.ndarray, shape (conditions, ratios)
        The best option's hammer price before rounding, money.

    Raises
    ------
    Unusable
        A ratio that is not above 0.

    References
    ----------
    As in `odds_weights`.

    Examples
    --------
    >>> gains = [[100.0, 200.0, 300.0, 400.0]]
    >>> condition_moves(gains, [[1, 0, 0, 0]], odds=0.75, k=1.0, ratios=(0.5, 2.0)).tolist()
    [[200.0, 100.0]]
    """
    rows = _ranked(gains)
    if not all(0 < ratio < np.inf for ratio in ratios):
        raise Unusable("odds can only be multiplied by a number above 0", remedy="Give 0.5 or 2.")
    by_world = np.ascontiguousarray(np.asarray(states, dtype=np.uint8).T)
    table = np.array([row.gain for row in rows])
    there = block_sums(by_world.T.astype(np.float64), table).sum(axis=0)
    whole = block_sums(np.ones((1, table.shape[1])), table).sum(axis=0)
    count = by_world.sum(axis=0, dtype=np.int64)
    prices = np.zeros((by_world.shape[1], len(ratios)))
    for place, (row, cost) in enumerate(zip(rows, _each(k, rows), strict=True)):
        present = by_world[row.order]
        for column, ratio in enumerate(ratios):
            weight = len(by_world) + (ratio - 1) * count
            mean = (whole[:, place] + (ratio - 1) * there[:, place]) / weight
            at = row.ordered[_places(present, ratio, (1 - odds) * weight)]
            better = np.maximum(np.minimum(mean, at), 0.0) / cost
            np.maximum(prices[:, column], better, out=prices[:, column])
    return prices


def _places(present: NDArray[np.uint8], ratio: float, wanted: Floats) -> NDArray[np.intp]:
    """First place in the order at which the weight up to it reaches what is wanted."""
    worlds, conditions = present.shape
    blocks = -(-worlds // SIZE)
    filled = np.zeros((blocks * SIZE, conditions), dtype=np.uint8)
    filled[:worlds] = present
    by_block = filled.reshape(blocks, SIZE, conditions).sum(axis=1, dtype=np.uint8)
    hits = np.cumsum(by_block, axis=0, dtype=np.int64)
    reach = (np.arange(1, blocks + 1) * SIZE)[:, None] + (ratio - 1) * hits
    short = wanted * (1 - 1e-9)
    block = np.minimum((reach < short).sum(axis=0), blocks - 1)
    before = np.where(block > 0, hits[block - 1, np.arange(conditions)], 0)
    inside = block * SIZE + np.arange(SIZE)[:, None]
    within = np.cumsum(filled[inside, np.arange(conditions)], axis=0, dtype=np.int64)
    weight = inside + 1 + (ratio - 1) * (before + within)
    place = block * SIZE + (weight < short).sum(axis=0)
    found: NDArray[np.intp] = np.minimum(place, worlds - 1)
    return found


def _ranked(gains: ArrayLike | Sequence[Ranked]) -> tuple[Ranked, ...]:
    if isinstance(gains, Sequence) and gains and all(isinstance(row, Ranked) for row in gains):
        return tuple(row for row in gains if isinstance(row, Ranked))
    return rank(gains)  # type: ignore[arg-type]  # ranked rows left above


def _each(k: ArrayLike, rows: Sequence[Ranked]) -> list[float]:
    return [float(cost) for cost in np.broadcast_to(np.asarray(k, dtype=np.float64), len(rows))]
