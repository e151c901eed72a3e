"""The base odds of a fault: solved once, so that its listed share holds with past lives unknown."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEPS = 200  # bisection alone would need about 60; Newton's steps make it about 6


def solve_base(prior: float, raisers: Sequence[float], history_priors: Sequence[float]) -> float:
    """Find the base log odds at which the listed share holds with the histories averaged in.

    Parameters
    ----------
    prior : float
        Listed share of machines that have the fault, between 0 and 1, both excluded.
    raisers : sequence of float
        Odds multiplier of each of the fault's own histories, positive.
    history_priors : sequence of float
        Share of machines with that history, same order.

    Returns
    -------
    float
        b, natural log odds, such that the mean of ``logistic(b + sum of ln raiser)`` over all
        combinations of histories equals ``prior``.

    Raises
    ------
    ValueError
        The share is not strictly between 0 and 1, a raiser is not positive, or the two lists
        differ in length.

    Notes
    -----
    The mean rises with b, so the root is unique; it lies within the largest shift of the
    prior's own log odds. Newton's steps, kept inside a shrinking bracket.

    References
    ----------
    Press et al., Numerical Recipes, 3rd ed. 2007, section 9.4 (Newton's rule kept in a bracket).

    Examples
    --------
    >>> base = solve_base(0.3, [2.5, 1.8], [0.4, 0.35])
    >>> table = fault_table(base, [2.5, 1.8])
    >>> weight = np.multiply.outer([0.6, 0.4], [0.65, 0.35])
    >>> round(float((weight * table).sum()), 12)
    0.3
    >>> round(solve_base(0.5, [], []), 12)
    0.0
    """
    if not 0.0 < prior < 1.0:
        raise ValueError("the share must lie strictly between 0 and 1")
    if len(raisers) != len(history_priors):
        raise ValueError("each raiser needs the share of its history")
    return _base(prior, tuple(raisers), tuple(history_priors))


@lru_cache(maxsize=4096)  # the faults of a library that is read again are the same ones
def _base(prior: float, raisers: tuple[float, ...], history_priors: tuple[float, ...]) -> float:
    shift = _shifts(raisers)
    weight = np.ones(1)
    for share in history_priors:
        weight = np.multiply.outer(weight, (1.0 - share, share)).ravel()
    own = float(np.log(prior) - np.log1p(-prior))
    low, high = own - float(shift.max()), own - float(shift.min())
    base = own - float(weight @ shift)
    for _ in range(STEPS):
        chance = 1.0 / (1.0 + np.exp(-(base + shift)))
        gap = float(weight @ chance) - prior
        low, high = (base, high) if gap < 0.0 else (low, base)
        step = base - gap / float(weight @ (chance * (1.0 - chance)))
        moved = step if low < step < high else 0.5 * (low + high)
        if abs(moved - base) <= 1e-14 * max(1.0, abs(base)):
            return moved
        base = moved
    return base


def fault_table(base: float, raisers: Sequence[float]) -> Floats:
    """Tabulate P(fault | its own histories).

    Parameters
    ----------
    base : float
        Base log odds, from :func:`solve_base`.
    raisers : sequence of float
        Odds multiplier of each history, positive.

    Returns
    -------
    ndarray, shape (2,) * len(raisers)
        Axis i is history i, 0 absent, 1 present.

    Raises
    ------
    ValueError
        A raiser is not positive.

    Examples
    --------
    >>> fault_table(0.0, [3.0]).tolist()
    [0.5, 0.75]
    """
    table = 1.0 / (1.0 + np.exp(-(base + _shifts(raisers))))
    return np.asarray(table.reshape((2,) * len(raisers)), dtype=np.float64)


def _shifts(raisers: Sequence[float]) -> Floats:
    """Sum of the logs of the raisers that act, for each combination of histories, flat."""
    if any(not raiser > 0.0 for raiser in raisers):
        raise ValueError("a raiser multiplies odds: it must be positive")
    shift = np.zeros(1)
    for raiser in raisers:
        shift = np.add.outer(shift, (0.0, float(np.log(raiser)))).ravel()
    return shift
