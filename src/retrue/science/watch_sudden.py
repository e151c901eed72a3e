"""A sudden reading past an abort limit: how few are enough to stop at once."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from retrue.science.watch_limits import Channel

WINDOW_S = 60.0
SELDOM_S = 45.0  # read as seldom by hand: the next may come too late
FEW = 15  # readings in the window: any two of so few are enough, of more two in a row, or three
AGREE_SHARE = 0.25
STARTS_S = 20.0  # the inrush of a motor that was stopped and starts again
STOPPED_SHARE, INRUSH_TIMES = 0.2, 2.0


def past(
    seconds: ArrayLike,
    values: ArrayLike,
    now_s: float,
    of: Channel,
    *,
    begun_s: float,
    low: float = -math.inf,
    high: float = math.inf,
    rated: float | None = None,
) -> float | None:
    """Whether readings past an abort limit agree, as they came.

    Parameters
    ----------
    seconds, values : array_like, shape (n,)
        In any order.
    now_s, begun_s : float
        Now, and when the step began.
    of : Channel
        What can be.
    low, high : float
        The abort limits.
    rated : float, optional
        Of a current: what starts after a stop may draw up to twice of it for twenty seconds.

    Returns
    -------
    float or None
        The newest of them; None where one alone may be a bad reading of a logger.

    Notes
    -----
    Two in a row that agree are enough at any cadence, and so is the very first reading, or one
    that nobody will read again soon.

    References
    ----------
    Our own rule.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> amps = channel("amps")
    >>> past([0, 2, 4, 6], [4, 4, 60, 4], 6, amps, begun_s=0, high=10) is None
    True
    >>> past([0, 2, 4, 6], [4, 4, 60, 61], 6, amps, begun_s=0, high=10)
    61.0
    """
    at, seen = np.asarray(seconds, dtype=np.float64), np.asarray(values, dtype=np.float64)
    kept = np.isfinite(seen) & (seen >= of.low) & (seen <= of.high)
    kept &= (at >= begun_s) & (at <= now_s)
    at, seen = at[kept], seen[kept]
    order = np.argsort(at, kind="stable")
    at, seen = at[order], seen[order]
    if not len(at):
        return None
    first = int(np.searchsorted(at, at[-1] - WINDOW_S - 1e-6))
    over = (seen < low) | (seen > high)
    if of.sort == "current":
        over &= ~_starts(at, seen, over, rated)
    places = np.flatnonzero(over[first:]) + first
    if not len(places):
        return None
    newest = int(places[-1])
    one, two = seen[places[:-1]], seen[places[1:]]
    agree = np.abs(one - two) <= AGREE_SHARE * np.maximum(np.abs(one), np.abs(two))
    row = bool(((np.diff(places) == 1) & agree).any())
    few = len(places) > 1 and len(at) - first <= FEW
    seldom = newest == len(at) - 1 and (newest == 0 or at[newest] - at[newest - 1] >= SELDOM_S)
    if row or few or len(places) > 2 or seldom:
        return float(seen[newest])
    return None


def _starts(
    at: np.ndarray[tuple[int], np.dtype[np.float64]],
    seen: np.ndarray[tuple[int], np.dtype[np.float64]],
    over: np.ndarray[tuple[int], np.dtype[np.bool_]],
    rated: float | None,
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Readings of an inrush: shortly after it drew nearly nothing, and not too high."""
    usual = float(np.median(seen[~over])) if not over.all() else 0.0
    stopped = seen < STOPPED_SHARE * usual
    rest = np.where(stopped, at, -np.inf)
    since = at - np.maximum.accumulate(rest)
    most = math.inf if rated is None else INRUSH_TIMES * rated
    return np.asarray((since <= STARTS_S) & (seen <= most))
