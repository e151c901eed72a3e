"""Straightness of a line: heights from a level's steps, and how far they leave a straight line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import fit
from retrue.science.minimum_zone import line_design, line_zone

Floats = NDArray[np.float64]
REFERENCES = ("end-point", "least-squares", "minimum-zone")


@dataclass(frozen=True, slots=True, eq=False)
class Straight:
    """Deviations of ``n`` points from one reference line.

    ``error`` is the largest less the smallest deviation; ``slope`` and ``offset`` are of the line
    (height per unit of position, height at position 0); deviations have shape (n,).
    """

    error: float
    slope: float
    offset: float
    deviations: Floats


def cumulated(tilts: ArrayLike, step_m: float) -> Floats:
    """Heights of a line from a level moved end to end along it.

    Parameters
    ----------
    tilts : array_like, shape (n,) or (sets, n), µm/m
        One a step; positive where the far end is high.
    step_m : float
        Base length of the level or its bridge, metres: the step from reading to reading.

    Returns
    -------
    ndarray, shape (n + 1,) or (sets, n + 1), µm
        The first point is 0.

    References
    ----------
    ISO 230-1:2012, straightness by level (from memory): a sum of steps.

    Examples
    --------
    >>> cumulated([8, 12, -4], 0.25).tolist()
    [0.0, 2.0, 5.0, 4.0]
    """
    steps = np.asarray(tilts, dtype=np.float64) * step_m
    start = np.zeros((*steps.shape[:-1], 1))
    return np.concatenate([start, np.cumsum(steps, axis=-1)], axis=-1)


def straight(positions: ArrayLike, heights: ArrayLike, reference: str) -> Straight:
    """How far points leave a straight line.

    Parameters
    ----------
    positions, heights : array_like, shape (n,)
        Positions rise from point to point; heights in micrometres.
    reference : str
        ``end-point``, ``least-squares`` or ``minimum-zone``.

    Returns
    -------
    Straight

    Raises
    ------
    ValueError
        A reference of another name, fewer than two points, or all at one position.

    References
    ----------
    ISO 230-1:2012, straightness error: largest positive plus largest negative deviation in size
    from a previously defined straight line (definition seen in a public extract; secondary source).

    Examples
    --------
    >>> h = [0, 2, 5, 4, 1.5, 3, 6.5, 6, 4]
    >>> [round(straight(range(9), h, one).error, 6) for one in REFERENCES]
    [4.5, 4.5, 4.25]
    """
    x = np.asarray(positions, dtype=np.float64)
    h = np.asarray(heights, dtype=np.float64)
    if len(x) < 2 or np.ptp(x) == 0:
        raise ValueError("a line needs two points at two positions")
    if reference == "end-point":
        first, last = int(np.argmin(x)), int(np.argmax(x))
        slope = float((h[last] - h[first]) / (x[last] - x[first]))
        offset = float(h[first] - slope * x[first])
    elif reference == "least-squares":
        middle = float(x.mean())
        level, slope = fit(line_design(x - middle), h).parameters.tolist()
        offset = level - slope * middle
    elif reference == "minimum-zone":
        offset, slope = line_zone(x, h).parameters.tolist()
    else:
        raise ValueError(f"no reference {reference!r}")
    deviations = h - offset - slope * x
    return Straight(float(np.ptp(deviations)), slope, offset, deviations)


def windows(positions: ArrayLike, length: float) -> list[tuple[int, int]]:
    """Stretches of a line no longer than a length that cannot be made longer.

    Parameters
    ----------
    positions : array_like, shape (n,)
        Rising.
    length : float
        Of a window, in the unit of the positions.

    Returns
    -------
    list of (int, int)
        First point and one past the last; three points at least.

    References
    ----------
    By definition of a local tolerance: any stretch of that length.

    Examples
    --------
    >>> windows([0, 100, 200, 300, 400], 250)
    [(0, 3), (1, 4), (2, 5)]
    """
    x = np.asarray(positions, dtype=np.float64)
    ends = np.searchsorted(x, x + length * (1 + 1e-9), side="right")
    made: list[tuple[int, int]] = []
    for start, end in enumerate(ends.tolist()):
        if end - start >= 3 and (not made or end > made[-1][1]):
            made.append((start, end))
    return made


def local(
    positions: ArrayLike, heights: ArrayLike, length: float, reference: str
) -> tuple[float, int, int] | None:
    """The worst stretch of a line, the reference fitted again in each.

    Parameters
    ----------
    positions, heights : array_like, shape (n,)
        Positions rise.
    length : float
        Of a stretch, in the unit of the positions.
    reference : str
        As for ``straight``.

    Returns
    -------
    (float, int, int) or None
        Its error, its first point and one past its last; None where no stretch has three points.

    References
    ----------
    ISO 230-1:2012, local tolerance (from memory).

    Examples
    --------
    >>> local([0, 1, 2, 3, 4], [0, 0, 1, 0, 0], 2, "minimum-zone")
    (1.0, 1, 4)
    """
    x, h = np.asarray(positions, dtype=np.float64), np.asarray(heights, dtype=np.float64)
    made = [
        (straight(x[start:end], h[start:end], reference).error, start, end)
        for start, end in windows(x, length)
    ]
    return max(made, key=lambda one: one[0], default=None)
