"""A swept spindle: how far it leans, from readings on a circle.

An indicator on an arm of the spindle, ``radius`` from its axis, touches the table; a reading
grows as the plunger goes in. Angles count from +X towards +Y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import Fit, fit

Floats = NDArray[np.float64]
CIRCLE_MM = 300.0  # the circle on which a tram is told
SAME_DEG = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """What a sweep says.

    Attributes
    ----------
    tilt, nod : float
        Lean of the spindle's upper end towards +X and towards +Y, micrometres per metre.
    offset : float
        Mean height, micrometres.
    twofold : float
        How far the sums of two opposite pairs of readings differ at most, micrometres: form of
        the table, or an error of reading. None of it can be a lean.
    unit_uncertainty : float
        Standard uncertainty of the larger of tilt and nod for one micrometre of reading.
    scatter : float
        Residual standard deviation of one reading, micrometres.
    freedom : int
        Its degrees of freedom.
    radius : float
        Millimetres.
    """

    tilt: float
    nod: float
    offset: float
    twofold: float
    unit_uncertainty: float
    scatter: float
    freedom: int
    radius: float


def sweep(angles_deg: ArrayLike, readings_um: ArrayLike, radius_mm: float) -> Swept:
    """Fit the lean of a spindle to readings on a circle.

    Parameters
    ----------
    angles_deg : array_like, shape (n,), degrees
        From +X towards +Y; at least three places.
    readings_um : array_like, shape (n,), micrometres
        Plunger in is positive.
    radius_mm : float
        Of the circle.

    Returns
    -------
    Swept
        With five places or more the twofold term is fitted with the lean.

    Raises
    ------
    ValueError
        The radius is not positive, or the places do not determine a plane.

    References
    ----------
    By definition, d = c + r (a cos + b sin); test object: spindle square to the table, ISO
    10791-2 (from memory).

    Examples
    --------
    >>> one = sweep([0, 90, 180, 270], [4.0, -2.5, -4.0, 2.5], 100)
    >>> round(one.tilt, 6), round(one.nod, 6), round(one.twofold, 6)
    (40.0, -25.0, 0.0)
    """
    angles = np.radians(np.asarray(angles_deg, dtype=np.float64))
    readings = np.asarray(readings_um, dtype=np.float64)
    if radius_mm <= 0:
        raise ValueError("the radius is positive")
    arm = radius_mm / 1000.0
    # At quarter turns a sine is nothing but rounding, which must not be scaled up.
    level, east, north = np.ones_like(angles), np.cos(angles).round(12), np.sin(angles).round(12)
    columns = [level, arm * east, arm * north]
    with_form = places(angles_deg) >= 5
    if with_form:
        columns += [np.cos(2 * angles), np.sin(2 * angles)]
    found = fit(np.column_stack(columns), readings)
    if found.rank < len(columns):
        raise ValueError("the places do not determine a plane")
    return Swept(
        tilt=float(found.parameters[1]),
        nod=float(found.parameters[2]),
        offset=float(found.parameters[0]),
        twofold=_twofold(found, angles, with_form),
        unit_uncertainty=_unit_uncertainty(np.column_stack(columns)),
        scatter=found.residual_sd,
        freedom=found.freedom,
        radius=radius_mm,
    )


def places(angles_deg: ArrayLike) -> int:
    """How many different places of a circle there are.

    Parameters
    ----------
    angles_deg : array_like, shape (n,), degrees
        A full turn is the same place again.

    Returns
    -------
    int

    Examples
    --------
    >>> places([0, 90, 180, 270, 360])
    4
    """
    turned = np.round(np.asarray(angles_deg, dtype=np.float64) % 360.0 / SAME_DEG) % (
        360.0 / SAME_DEG
    )
    return len(np.unique(turned))


def _twofold(found: Fit, angles: Floats, with_form: bool) -> float:
    """Four times the size of the twofold term; of four places only one part of it is seen."""
    if with_form:
        return 4.0 * float(np.hypot(found.parameters[3], found.parameters[4]))
    seen = np.round(np.column_stack([np.cos(2 * angles), np.sin(2 * angles)]), 12)
    return 4.0 * float(np.hypot(*fit(seen, np.round(found.residuals, 12)).parameters))


def _unit_uncertainty(design: Floats) -> float:
    inverse = np.linalg.inv(design.T @ design)
    return float(np.sqrt(max(inverse[1, 1], inverse[2, 2])))


def difference_um(swept: Swept, diameter_mm: float = CIRCLE_MM) -> float:
    """The largest difference between opposite readings on a circle.

    Parameters
    ----------
    swept : Swept
        A fitted sweep.
    diameter_mm : float
        Of the circle the difference is told for.

    Returns
    -------
    float
        Micrometres, never below zero.

    Examples
    --------
    >>> round(difference_um(sweep([0, 90, 180, 270], [4.0, -2.5, -4.0, 2.5], 100)), 3)
    14.151
    """
    return math.hypot(swept.tilt, swept.nod) * diameter_mm / 1000.0


def predicted_um(swept: Swept, angles_deg: ArrayLike) -> Floats:
    """What the indicator reads of the lean alone, about the mean.

    Parameters
    ----------
    swept : Swept
        A sweep, as fitted or with another lean.
    angles_deg : array_like, shape (n,), degrees
        From +X towards +Y.

    Returns
    -------
    ndarray, shape (n,), micrometres

    Examples
    --------
    >>> predicted_um(sweep([0, 90, 180, 270], [4.0, -2.5, -4.0, 2.5], 100), [0]).round(6).tolist()
    [4.0]
    """
    angles = np.radians(np.asarray(angles_deg, dtype=np.float64))
    lean = swept.tilt * np.cos(angles) + swept.nod * np.sin(angles)
    return np.asarray(swept.radius / 1000.0 * lean, dtype=np.float64)


def shim_um(lean_um_per_m: float, joint_mm: float) -> float:
    """How thick a shim takes a lean out of a joint face.

    Parameters
    ----------
    lean_um_per_m : float
        Lean to be taken out.
    joint_mm : float
        Distance of the upper from the lower bolts of the face.

    Returns
    -------
    float
        Micrometres; the sign is that of the lean.

    References
    ----------
    By definition: thickness over distance is the angle.

    Examples
    --------
    >>> shim_um(25.0, 450.0)
    11.25
    """
    return lean_um_per_m * joint_mm / 1000.0


def dish_um(lean_um_per_m: float, cutter_mm: float, width_mm: float) -> float:
    """How hollow a face mill leaves a face when the spindle leans in the direction of feed.

    Parameters
    ----------
    lean_um_per_m : float
        In the plane of spindle and feed.
    cutter_mm, width_mm : float
        Cutter diameter; width of the face, no wider than the cutter.

    Returns
    -------
    float
        Micrometres, never below zero.

    Raises
    ------
    ValueError
        The face is wider than the cutter.

    References
    ----------
    By definition: sagitta of the cutter's circle over the width, times the lean; workshop
    handbooks print it for face milling with a tilted spindle (common practice, no source).

    Examples
    --------
    >>> round(dish_um(40.0, 80.0, 60.0), 3)
    0.542
    """
    if width_mm > cutter_mm:
        raise ValueError("the face is wider than the cutter")
    sagitta = (cutter_mm - math.sqrt(cutter_mm**2 - width_mm**2)) / 2.0
    return math.tan(abs(lean_um_per_m) * 1e-6) * sagitta * 1000.0


def by_sector(
    angles_deg: ArrayLike, readings_um: ArrayLike, step_deg: float
) -> tuple[Floats, Floats]:
    """Means over sectors of the circle, for pictures and tables of very many readings.

    Parameters
    ----------
    angles_deg : array_like, shape (n,), degrees
        From +X towards +Y.
    readings_um : array_like, shape (n,), micrometres
        Plunger in is positive.
    step_deg : float
        Width of a sector.

    Returns
    -------
    ndarray, ndarray, shape (sectors,)
        Mean angle and mean reading of each sector that has any.

    References
    ----------
    By definition.

    Examples
    --------
    >>> by_sector([0.0, 2.0, 90.0], [1.0, 3.0, 7.0], 5.0)[1].tolist()
    [2.0, 7.0]
    """
    angles = np.asarray(angles_deg, dtype=np.float64) % 360.0
    readings = np.asarray(readings_um, dtype=np.float64)
    _, which, counts = np.unique(
        np.floor(angles / step_deg), return_inverse=True, return_counts=True
    )
    return (
        np.bincount(which, weights=angles) / counts,
        np.bincount(which, weights=readings) / counts,
    )
