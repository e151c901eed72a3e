"""Square to each other: by turning the square over, by two lines, by two diameters of a circle.

Squareness is positive when the angle from the first axis's plus end to the second one's is over
90 degrees: the second axis then leans towards the minus end of the first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.alignment import Slope, along

Floats = NDArray[np.float64]
ARCSECONDS = 0.20626480624709636  # of one micrometre per metre


@dataclass(frozen=True, slots=True)
class Squareness:
    """A machine's squareness, and the error of what it was read against.

    Attributes
    ----------
    machine_um_per_m : float
        Positive when the angle is over 90 degrees.
    artefact_um_per_m : float or None
        Of the square, in its first set-up, towards plus; None where nothing tells.
    unit_uncertainty : float
        Standard uncertainty of the machine's, um/m, for one micrometre of one reading.
    scatter_um : float
        Residual standard deviation of one reading.
    freedom : int
        Its degrees of freedom.
    """

    machine_um_per_m: float
    artefact_um_per_m: float | None
    unit_uncertainty: float
    scatter_um: float
    freedom: int


@dataclass(frozen=True, slots=True, eq=False)
class Parted:
    """A straightedge parted from the motion it was read by.

    Attributes
    ----------
    positions_mm : ndarray, shape (n,)
    machine_um, artefact_um : ndarray, shape (n,)
        Deviations about each trace's own line; level and tilt of either cannot be told.
    """

    positions_mm: Floats
    machine_um: Floats
    artefact_um: Floats


def reversed_square(
    first: tuple[ArrayLike, ArrayLike], turned: tuple[ArrayLike, ArrayLike]
) -> Squareness:
    """Part a machine from a square that was turned over.

    Parameters
    ----------
    first, turned : (array_like, array_like), shapes (n,)
        Positions along the second axis in mm; how far the face of the square lies towards plus
        of the first axis, less the machine's path, in um.

    Returns
    -------
    Squareness

    Raises
    ------
    ValueError
        A set-up has fewer than two positions.

    References
    ----------
    Reversal, ISO 230-1:2012, squareness (from memory): slopes m + s and m - s.

    Examples
    --------
    >>> one = reversed_square(([0, 500], [0, 15.0]), ([0, 500], [0, 25.0]))
    >>> round(one.machine_um_per_m, 6), round(one.artefact_um_per_m, 6)
    (40.0, -10.0)
    """
    lines = along(*first), along(*turned)
    scatter, freedom = _pooled(lines)
    return Squareness(
        machine_um_per_m=(lines[0].um_per_m + lines[1].um_per_m) / 2,
        artefact_um_per_m=(lines[0].um_per_m - lines[1].um_per_m) / 2,
        unit_uncertainty=math.hypot(*(line.unit_uncertainty for line in lines)) / 2,
        scatter_um=scatter,
        freedom=freedom,
    )


def two_lines(
    first: tuple[ArrayLike, ArrayLike],
    second: tuple[ArrayLike, ArrayLike],
    *,
    square_um_per_m: float = 0.0,
) -> Squareness:
    """Squareness from two lines read inside a square, one along each axis.

    Parameters
    ----------
    first, second : (array_like, array_like), shapes (n,)
        Positions in mm along the first and along the second axis; readings in um, plunger in is
        positive, on the inner faces of a square whose arms point to plus.
    square_um_per_m : float
        Of the square, positive when its angle is over 90 degrees.

    Returns
    -------
    Squareness

    Raises
    ------
    ValueError
        A line has fewer than two positions.

    References
    ----------
    By definition: the sum of both slopes is the angle between the motions less the square's.

    Examples
    --------
    >>> one = two_lines(([0, 300], [0, -3.0]), ([0, 300], [0, 15.0]))
    >>> round(one.machine_um_per_m, 6)
    40.0
    """
    lines = along(*first), along(*second)
    scatter, freedom = _pooled(lines)
    return Squareness(
        machine_um_per_m=lines[0].um_per_m + lines[1].um_per_m + square_um_per_m,
        artefact_um_per_m=None,
        unit_uncertainty=math.hypot(*(line.unit_uncertainty for line in lines)),
        scatter_um=scatter,
        freedom=freedom,
    )


def two_diameters(
    diameters_45_um: ArrayLike, diameters_135_um: ArrayLike, radius_mm: float
) -> Squareness:
    """Squareness from two diameters of a circle, along its diagonals.

    Parameters
    ----------
    diameters_45_um, diameters_135_um : array_like, shapes (n,) and (m,)
        Diameter less its nominal, at 45 and at 135 degrees from the first axis.
    radius_mm : float
        Of the circle.

    Returns
    -------
    Squareness

    Raises
    ------
    ValueError
        A diameter is missing, or the radius is not positive.

    References
    ----------
    By definition, (D135 - D45) / (2 R); signature of squareness in a circular test, ISO 230-4
    (from memory).

    Examples
    --------
    >>> round(two_diameters([-6.0], [6.0], 150).machine_um_per_m, 6)
    40.0
    """
    short = np.asarray(diameters_45_um, dtype=np.float64)
    long = np.asarray(diameters_135_um, dtype=np.float64)
    if len(short) == 0 or len(long) == 0 or radius_mm <= 0:
        raise ValueError("both diameters and a radius are needed")
    per = 1000.0 / (2 * radius_mm)
    squares = float(((short - short.mean()) ** 2).sum() + ((long - long.mean()) ** 2).sum())
    freedom = len(short) + len(long) - 2
    return Squareness(
        machine_um_per_m=float(long.mean() - short.mean()) * per,
        artefact_um_per_m=None,
        unit_uncertainty=float(np.sqrt(1 / len(short) + 1 / len(long))) * per,
        scatter_um=float(np.sqrt(squares / freedom)) if freedom else 0.0,
        freedom=freedom,
    )


def parted(positions_mm: ArrayLike, first_um: ArrayLike, turned_um: ArrayLike) -> Parted:
    """Part a straightedge from the motion that read it, by turning it over.

    Parameters
    ----------
    positions_mm : array_like, shape (n,)
        The same in both set-ups; three at least.
    first_um, turned_um : array_like, shape (n,)
        Readings towards the same side of the machine, the straightedge's face turned over.

    Returns
    -------
    Parted

    Raises
    ------
    ValueError
        Fewer than three positions.

    References
    ----------
    Straightedge reversal: m1 = s + m, m2 = m - s, each about its own line; Evans, Hocken, Estler,
    CIRP Annals 45/2 (1996) (from memory).

    Examples
    --------
    >>> one = parted([0, 100, 200], [0.0, 5.0, 0.0], [0.0, 1.0, 0.0])
    >>> one.machine_um.round(6).tolist(), one.artefact_um.round(6).tolist()
    ([-1.0, 2.0, -1.0], [-0.666667, 1.333333, -0.666667])
    """
    positions = np.asarray(positions_mm, dtype=np.float64)
    if len(np.unique(positions)) < 3:
        raise ValueError("three positions at least")
    traces = []
    for readings in (first_um, turned_um):
        line = along(positions, readings)
        fitted = line.start_um + line.um_per_m * positions / 1000
        traces.append(np.asarray(readings, dtype=np.float64) - fitted)
    return Parted(
        positions_mm=positions,
        machine_um=(traces[0] + traces[1]) / 2,
        artefact_um=(traces[0] - traces[1]) / 2,
    )


def _pooled(lines: tuple[Slope, Slope]) -> tuple[float, int]:
    """The scatter of one reading from both lines together."""
    freedom = sum(line.freedom for line in lines)
    squares = sum(line.scatter_um**2 * line.freedom for line in lines)
    return (float(np.sqrt(squares / freedom)) if freedom else 0.0), freedom
