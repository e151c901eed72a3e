"""A recording as numbers in time: its rate, whether it is even, whether it was cut off."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
JUMP = 1.8  # an interval that many times the usual one is a gap
UNEVEN = 0.1  # readings off their even place by more than that share of an interval are told
FLAT = 3  # that many readings at the very end of the range in a row were cut off


@dataclass(frozen=True, slots=True)
class Sampling:
    """When readings were taken.

    Attributes
    ----------
    rate_hz : float
        Readings a second, from the middle interval and the whole length.
    gaps : tuple of int
        Index of the reading after each gap.
    backwards : tuple of int
        Index of each reading that is not later than the one before it.
    uneven_share : float
        Largest distance from an even beat, as a share of one interval, gaps left out.
    """

    rate_hz: float
    gaps: tuple[int, ...]
    backwards: tuple[int, ...]
    uneven_share: float

    @property
    def even(self) -> bool:
        """Whether the readings may be taken as an even beat."""
        return not self.gaps and not self.backwards and self.uneven_share <= UNEVEN


def sampling(time_s: ArrayLike) -> Sampling:
    """How evenly readings were taken.

    Parameters
    ----------
    time_s : array_like, shape (n,)
        Seconds, as recorded, at least three.

    Returns
    -------
    Sampling

    Raises
    ------
    ValueError
        Fewer than three times, or most of them stand still.

    References
    ----------
    By definition; what counts as a gap is our own judgement.

    Notes
    -----
    Times rounded to few decimals are not uneven: each stays within a share of its even place.

    Examples
    --------
    >>> sampling([0.0, 0.1, 0.2, 0.3]).rate_hz, sampling([0.0, 0.1, 0.2, 0.9]).gaps
    (10.0, (3,))
    """
    at = np.asarray(time_s, dtype=np.float64)
    if len(at) < 3:
        raise ValueError("three times are needed")
    steps = np.diff(at)
    usual = float(np.median(steps))
    if usual <= 0:
        raise ValueError("time stands still")
    gaps = np.flatnonzero(steps > JUMP * usual) + 1
    back = np.flatnonzero(steps <= 0) + 1
    smooth = (steps > 0) & (steps <= JUMP * usual)
    step = float(steps[smooth].mean())
    return Sampling(
        rate_hz=round(1 / step, 9),
        gaps=tuple(gaps.tolist()),
        backwards=tuple(back.tolist()),
        uneven_share=_uneven(at, step, gaps, back),
    )


def _uneven(at: Floats, step: float, gaps: NDArray[np.int64], back: NDArray[np.int64]) -> float:
    """The farthest that a reading lies off the even beat of its own stretch."""
    worst = 0.0
    for part in np.split(at, np.unique(np.concatenate([gaps, back]))):
        if len(part) > 2:
            off = part - part[0] - step * np.arange(len(part))
            off = off - np.linspace(0.0, off[-1], len(part))  # the stretch has its own pace
            worst = max(worst, float(np.abs(off).max()) / step)
    return worst


def longest_even(time_s: ArrayLike) -> tuple[int, int]:
    """The longest stretch without a gap.

    Parameters
    ----------
    time_s : array_like, shape (n,)
        Seconds, as recorded.

    Returns
    -------
    tuple of int
        Its first index, and the one behind its last.

    Raises
    ------
    ValueError
        As :func:`sampling`.

    References
    ----------
    By definition.

    Examples
    --------
    >>> longest_even([0.0, 0.1, 0.9, 1.0, 1.1])
    (2, 5)
    """
    found = sampling(time_s)
    count = len(np.asarray(time_s))
    ends = [0, *sorted({*found.gaps, *found.backwards}), count]
    return max(pairwise(ends), key=lambda pair: pair[1] - pair[0])


def evenly(time_s: ArrayLike, readings: ArrayLike, rate_hz: float) -> Floats:
    """Readings of an uneven beat, brought to an even one along straight lines.

    Parameters
    ----------
    time_s, readings : array_like, shape (n,)
        Rising times.
    rate_hz : float
        Of the even beat.

    Returns
    -------
    ndarray, shape (m,)
        What is fast is weakened by it: good to about a tenth of the rate.

    References
    ----------
    Linear interpolation (by definition).

    Examples
    --------
    >>> evenly([0.0, 0.9, 2.0], [0.0, 9.0, 20.0], 1.0).tolist()
    [0.0, 10.0, 20.0]
    """
    at = np.asarray(time_s, dtype=np.float64)
    count = int(np.floor((at[-1] - at[0]) * rate_hz + 1e-9)) + 1
    beat = at[0] + np.arange(count) / rate_hz
    read = np.interp(beat, at, np.asarray(readings, dtype=np.float64))
    return np.asarray(read, dtype=np.float64)


def clipped_share(readings: ArrayLike) -> float:
    """The share of readings that were cut off at the end of the range.

    Parameters
    ----------
    readings : array_like, shape (n,)

    Returns
    -------
    float
        0 to 1: readings that stand in runs of three and more at the very largest or smallest
        value; of a tone of few steps its quiet tops are not counted.

    References
    ----------
    Our own: a true peak touches its largest value once or twice, one cut off lies on it.

    Examples
    --------
    >>> wave = np.sin(np.arange(400) * 0.1)
    >>> clipped_share(wave), clipped_share(np.clip(wave, -0.8, 0.8)) > 0.3
    (0.0, True)
    """
    seen = np.asarray(readings, dtype=np.float64)
    if len(seen) < FLAT or np.ptp(seen) == 0:
        return 0.0
    cut = 0
    for end in (seen.max(), seen.min()):
        at_end = np.concatenate([[False], seen == end, [False]])
        edges = np.flatnonzero(np.diff(at_end.astype(np.int8)))
        runs = edges[1::2] - edges[::2]
        cut += int(runs[runs >= FLAT].sum())
    return cut / len(seen)
