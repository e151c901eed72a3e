"""How unlike three line voltages are, and what that takes from a motor."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say

MOST_PERCENT = 5.0
DERATING = (  # NEMA MG 1, figure 14-1, read off: per cent of unbalance, factor
    (0.0, 1.00), (0.5, 1.00), (1.5, 0.97), (2.0, 0.95), (2.5, 0.93), (3.0, 0.89), (3.5, 0.85),
    (4.0, 0.82), (4.5, 0.78), (5.0, 0.76),
)  # fmt: skip


def largest_deviation_percent(volts: Sequence[float]) -> float:
    """The unbalance as the largest deviation from the mean.

    Parameters
    ----------
    volts : sequence of float, shape (3,)
        Line to line.

    Returns
    -------
    float
        Per cent of the mean.

    Raises
    ------
    Unusable
        Not three positive voltages.

    References
    ----------
    NEMA MG 1-2011, clause 14.36 (from memory).

    Examples
    --------
    >>> round(largest_deviation_percent([462, 463, 455]), 3)
    1.087
    """
    three = _three(volts)
    mean = float(three.mean())
    return 100.0 * float(np.abs(three - mean).max()) / mean


def negative_sequence_percent(volts: Sequence[float]) -> float:
    """The unbalance as negative over positive sequence.

    Parameters
    ----------
    volts : sequence of float, shape (3,)
        Line to line.

    Returns
    -------
    float
        Per cent.

    Raises
    ------
    Unusable
        Not three positive voltages that close a triangle.

    References
    ----------
    IEC 61000-2-2, from three line voltages (from memory).

    Examples
    --------
    >>> round(negative_sequence_percent([460, 467, 450]), 3)
    2.146
    """
    three = _three(volts)
    shape = float((three**4).sum() / (three**2).sum() ** 2)
    inside = 3.0 - 6.0 * shape
    if inside < 0:
        raise Unusable(
            say("these three voltages cannot belong to one supply"),
            remedy=say("Measure them again, all three between lines."),
        )
    root = math.sqrt(inside)
    return 100.0 * math.sqrt(max(0.0, (1.0 - root) / (1.0 + root)))


def derating(percent: float) -> float:
    """What is left of a motor's power at an unbalance.

    Parameters
    ----------
    percent : float
        By largest deviation.

    Returns
    -------
    float
        Factor, good to about 0.01 (read off a figure).

    Raises
    ------
    Unusable
        Over 5 per cent: it is not run at all.

    References
    ----------
    NEMA MG 1, figure 14-1 (secondary source).

    Examples
    --------
    >>> derating(3.0), round(derating(1.0), 3)
    (0.89, 0.985)
    """
    if not 0 <= percent <= MOST_PERCENT:
        raise Unusable(
            say("over 5 per cent of unbalance a motor is not run"),
            remedy=say("Have the supply put right by a licensed electrician first."),
        )
    at, factor = zip(*DERATING, strict=True)
    return float(np.interp(percent, at, factor))


def _three(volts: Sequence[float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    three = np.asarray(volts, dtype=np.float64)
    if three.shape != (3,) or not (np.isfinite(three).all() and (three > 0).all()):
        raise Unusable(
            say("three voltages between lines are needed"),
            remedy=say("Measure line 1 to 2, 2 to 3 and 3 to 1."),
        )
    return three
