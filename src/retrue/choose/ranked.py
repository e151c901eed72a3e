"""Gains put in order: one definition of a quantile, used everywhere."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import relative_weights

Floats = NDArray[np.float64]

HAIR = 1e-9  # shares of weight closer than this are the same share


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

    def __init__(self, gain: ArrayLike) -> None:
        self.gain: Floats = np.asarray(gain, dtype=np.float64)
        if self.gain.ndim != 1:
            raise Unusable("one row of gains is wanted", remedy="Give one option at a time.")
        all_finite(self.gain)

    @cached_property
    def order(self) -> NDArray[np.intp]:
        """Worlds from the lowest gain to the highest."""
        return np.argsort(self.gain)

    @cached_property
    def ordered(self) -> Floats:
        """The gains, rising."""
        return np.sort(self.gain)

    def quantile(self, chance: float, *, weights: ArrayLike | None = None) -> float:
        """Smallest gain with at least this share of the weight at or below it."""
        return self._at(self._place(weights, chance))

    def mean(self, *, weights: ArrayLike | None = None) -> float:
        """Mean gain under the weights."""
        if weights is None:
            return float(self.gain.mean())
        return float((shares(weights, self.gain.size) * self.gain).sum())

    def price(self, *, odds: float, k: float, weights: ArrayLike | None = None) -> float:
        """Walk-away hammer price before rounding, in money; 0 where nothing is gained."""
        all_in = min(self.mean(weights=weights), self.quantile(1 - odds, weights=weights))
        return max(0.0, all_in) / k

    def _place(self, weights: ArrayLike | None, chance: float) -> int:
        if weights is None:
            return place_of(chance, self.gain.size)
        below = np.cumsum(relative_weights(weights, self.gain.size)[self.order])
        return int(np.searchsorted(below, below[-1] * (chance - HAIR)))

    def _at(self, place: int) -> float:
        return float(self.ordered[min(max(place, 0), self.gain.size - 1)])


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
    share = shares(weights, worlds)
    return float(1 / (share**2).sum())


def place_of(chance: float, worlds: int) -> int:
    """Place, in the order of equal worlds, of the first value that reaches a share.

    Parameters
    ----------
    chance : float
        Between 0 and 1.
    worlds : int
        How many there are.

    Returns
    -------
    int
        From 0 to ``worlds - 1``.

    References
    ----------
    As in `weighted_quantile`.

    Examples
    --------
    >>> place_of(0.2, 10), place_of(0.21, 10)
    (1, 2)
    """
    return min(max(math.ceil(chance * worlds - HAIR) - 1, 0), worlds - 1)


def all_finite(gains: Floats) -> None:
    """Refuse gains that are not numbers.

    Parameters
    ----------
    gains : ndarray, any shape, money

    Raises
    ------
    Unusable
        Nothing there, or something that is not a finite number.

    References
    ----------
    None: a check.
    """
    if not gains.size or not np.isfinite(gains).all():
        raise Unusable(
            "the gains are not one number a world", remedy="Give one finite gain for each world."
        )


def shares(weights: ArrayLike | None, worlds: int) -> Floats:
    """Weights of worlds that sum to 1.

    Parameters
    ----------
    weights : array_like of float, shape (worlds,), or None
        Equal where None.
    worlds : int
        How many there are.

    Returns
    -------
    ndarray, shape (worlds,)
        No unit.

    Raises
    ------
    Unusable
        Weights that cannot be.

    References
    ----------
    None: bookkeeping.

    Examples
    --------
    >>> shares([1, 3], 2).tolist()
    [0.25, 0.75]
    """
    return relative_weights(weights, worlds) / worlds
