"""How good guesses were: scores, reliability, and how far a model is to be trusted."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.belief.learning import inside, paired

Floats = NDArray[np.float64]

START = 0.5  # trust in a model that nothing has proved yet (judgement)
UNPROVED = 0.4  # squared gaps between model and base rate that this start is worth (judgement)


@dataclass(frozen=True, slots=True)
class Bin:
    """Shares of one range: how many, their mean, how many of them came true."""

    low: float
    high: float
    count: int
    mean: float
    came: float


def brier(shares: ArrayLike, came: ArrayLike) -> float:
    """Mean squared difference between shares and outcomes: 0 is perfect, 0.25 knows nothing.

    Parameters
    ----------
    shares : array_like, shape (outcomes,)
    came : array_like of bool, shape (outcomes,)

    Returns
    -------
    float
        Not a number without outcomes.

    References
    ----------
    Brier, Monthly Weather Review 78 (1950) 1-3, in the form for two classes.

    Examples
    --------
    >>> round(brier([0.9, 0.7, 0.2, 0.1], [1, 1, 0, 1]), 4)
    0.2375
    """
    told, true = paired(shares, came)
    return float(np.mean((told - true) ** 2)) if told.size else math.nan


def log_score(shares: ArrayLike, came: ArrayLike) -> float:
    """Mean of minus the natural logarithm of what was said of what came: less is better.

    Parameters
    ----------
    shares : array_like, shape (outcomes,)
        Taken no nearer to 0 or 1 than one in a thousand.
    came : array_like of bool, shape (outcomes,)

    Returns
    -------
    float
        Not a number without outcomes; ln 2 knows nothing.

    References
    ----------
    Good, Journal of the Royal Statistical Society B 14 (1952) 107-114.

    Examples
    --------
    >>> round(log_score([0.5, 0.5], [1, 0]), 4)
    0.6931
    """
    told, true = paired(inside(shares), came)
    said = np.where(true > 0.5, told, 1.0 - told)
    return float(-np.mean(np.log(said))) if told.size else math.nan


def reliability(shares: ArrayLike, came: ArrayLike, bins: int = 5) -> tuple[Bin, ...]:
    """Shares by range against how many of them came true.

    Parameters
    ----------
    shares : array_like, shape (outcomes,)
    came : array_like of bool, shape (outcomes,)
    bins : int
        Ranges of equal width.

    Returns
    -------
    tuple of Bin
        Only ranges that hold a share.

    References
    ----------
    Murphy, Journal of Applied Meteorology 12 (1973) 595-600 (reliability of probabilities).

    Examples
    --------
    >>> [(one.low, one.count, one.came) for one in reliability([0.1, 0.15, 0.9], [0, 1, 1])]
    [(0.0, 2, 0.5), (0.8, 1, 1.0)]
    """
    told, true = paired(shares, came)
    place = np.minimum((told * bins).astype(int), bins - 1)
    return tuple(
        Bin(
            low=one / bins,
            high=(one + 1) / bins,
            count=int(np.sum(place == one)),
            mean=float(np.mean(told[place == one])),
            came=float(np.mean(true[place == one])),
        )
        for one in sorted(set(place.tolist()))
    )


def trust(shares: ArrayLike, base_rates: ArrayLike, came: ArrayLike, start: float = START) -> float:
    """How far a model is to be trusted against bare base rates, by what came true.

    Parameters
    ----------
    shares, base_rates : array_like, shape (outcomes,)
        What the model said with all findings, and what would be said without any.
    came : array_like of bool, shape (outcomes,)
    start : float
        Trust while nothing has come true yet, 0 to 1.

    Returns
    -------
    float
        Weight w of ``w * share + (1 - w) * base rate``, 0 to 1.

    Notes
    -----
    The weight with the least Brier score on these outcomes, drawn to ``start`` by as much as a
    few outcomes weigh. Where the model beats the base rate it rises to 1, where it loses, to 0.

    References
    ----------
    Own definition: least squares through the base rate, with a start (ridge).

    Examples
    --------
    >>> trust([], [], []), trust([0.9] * 40, [0.3] * 40, [1] * 40)
    (0.5, 1.0)
    """
    said, true = paired(shares, came)
    bare = np.atleast_1d(np.asarray(base_rates, dtype=np.float64))
    gap = said - bare
    weight = (start * UNPROVED + float(gap @ (true - bare))) / (UNPROVED + float(gap @ gap))
    return min(max(weight, 0.0), 1.0)


def tempered(share: float, base_rate: float, weight: float) -> float:
    """A share drawn to its base rate as far as the model is not to be trusted.

    Parameters
    ----------
    share, base_rate : float
        With all findings, and without any.
    weight : float
        From :func:`trust`.

    Returns
    -------
    float

    References
    ----------
    By definition (a linear pool of two opinions).

    Examples
    --------
    >>> tempered(0.8, 0.2, 0.5)
    0.5
    """
    return weight * share + (1.0 - weight) * base_rate
