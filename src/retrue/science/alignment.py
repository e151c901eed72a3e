"""Lines that should be one: a spindle and a motion, two centres, a bore and a spindle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import fit

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Slope:
    """A straight line through readings along a length.

    Attributes
    ----------
    um_per_m : float
        Rise of the reading along the length.
    start_um : float
        Of the line at length zero.
    unit_uncertainty : float
        Standard uncertainty of the slope, um/m, for one micrometre of one reading.
    scatter_um : float
        Residual standard deviation of one reading.
    freedom : int
        Its degrees of freedom.
    """

    um_per_m: float
    start_um: float
    unit_uncertainty: float
    scatter_um: float
    freedom: int


@dataclass(frozen=True, slots=True, eq=False)
class Offset:
    """Where a bore or a quill lies, seen from the axis that is swept about.

    Attributes
    ----------
    side_um, height_um : float
        Towards the angle 0 and towards the angle 90 degrees.
    unit_uncertainty : float
        Standard uncertainty of the larger of both for one micrometre of one reading.
    scatter_um : float
        Residual standard deviation of one reading.
    freedom : int
        Its degrees of freedom.
    twofold_um : float
        Amplitude of what repeats twice a turn: an oval surface or a tilted one; 0 if not fitted.
    """

    side_um: float
    height_um: float
    unit_uncertainty: float
    scatter_um: float
    freedom: int
    twofold_um: float


def along(positions_mm: ArrayLike, readings_um: ArrayLike) -> Slope:
    """Fit a line to readings along a length.

    Parameters
    ----------
    positions_mm : array_like, shape (n,)
        At least two different ones.
    readings_um : array_like, shape (n,)
        Plunger in is positive; or deviations of a diameter.

    Returns
    -------
    Slope

    Raises
    ------
    ValueError
        Fewer than two positions.

    Notes
    -----
    A test bar read at two places of its turn, half a turn apart, at every position: its run-out
    and its bend at that position cancel in the mean, so the line is that of the axis it turns on.

    References
    ----------
    ISO 230-1:2012, parallelism of an axis of rotation to a motion (from memory); the line by
    least squares, by definition.

    Examples
    --------
    >>> one = along([0, 0, 300, 300], [3.0, -3.0, 17.0, 7.0])
    >>> round(one.um_per_m, 6), round(abs(one.start_um), 6)
    (40.0, 0.0)
    """
    positions = np.asarray(positions_mm, dtype=np.float64) / 1000.0
    if len(np.unique(positions)) < 2:
        raise ValueError("a line needs two positions")
    middle = positions.mean()
    design = np.column_stack([np.ones_like(positions), positions - middle])
    found = fit(design, readings_um)
    unit = float(1.0 / np.sqrt(np.sum((positions - middle) ** 2)))
    slope = float(found.parameters[1])
    return Slope(
        um_per_m=slope,
        start_um=float(found.parameters[0]) - slope * float(middle),
        unit_uncertainty=unit,
        scatter_um=found.residual_sd,
        freedom=found.freedom,
    )


def offset(
    angles_deg: ArrayLike, readings_um: ArrayLike, *, inside: bool, sag_um: float = 0.0
) -> Offset:
    """Where a bore or an outside lies, from an indicator swept round it.

    Parameters
    ----------
    angles_deg : array_like, shape (n,)
        Place of the indicator, 0 to the side, 90 upwards; at least three places.
    readings_um : array_like, shape (n,)
        Plunger in is positive.
    inside : bool
        True: the indicator feels a bore from within; False: an outside diameter.
    sag_um : float
        By how much the arm droops under its weight: its reading at the top less that of a stiff
        one, found by sweeping a ring that turns with it.

    Returns
    -------
    Offset
        The centre of what was felt, seen from the axis the indicator turned about.

    Raises
    ------
    ValueError
        The places do not determine a centre.

    References
    ----------
    By definition: inside d = c - x cos - y sin, outside d = c + x cos + y sin.

    Examples
    --------
    >>> one = offset([0, 90, 180, 270], [-8.0, -6.0, 8.0, 6.0], inside=True)
    >>> round(one.side_um, 6), round(one.height_um, 6)
    (8.0, 6.0)
    """
    angles = np.radians(np.asarray(angles_deg, dtype=np.float64))
    towards = -1.0 if inside else 1.0
    readings = np.asarray(readings_um, dtype=np.float64) - sag_um * np.sin(angles)
    columns = [np.ones_like(angles), towards * np.cos(angles), towards * np.sin(angles)]
    oval = len(np.unique(np.round(np.degrees(angles) % 360, 6))) >= 6
    if oval:
        columns += [np.cos(2 * angles), np.sin(2 * angles)]
    design = np.column_stack(columns)
    found = fit(design, readings)
    if found.rank < design.shape[1]:
        raise ValueError("the places do not determine a centre")
    unit = np.sqrt(np.diag(np.linalg.inv(design.T @ design)))[1:3].max()
    return Offset(
        side_um=float(found.parameters[1]),
        height_um=float(found.parameters[2]),
        unit_uncertainty=float(unit),
        scatter_um=found.residual_sd,
        freedom=found.freedom,
        twofold_um=float(np.hypot(*found.parameters[3:5])) if oval else 0.0,
    )
