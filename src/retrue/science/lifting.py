"""A load on slings: the pull in each leg, where its centre of gravity is, when it tips."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say

LEAST_ANGLE_DEG = 30.0  # from the horizontal
CARRYING = {1: 1, 2: 2, 3: 2, 4: 2}  # legs that carry a rigid load: the others may hang slack
EQUALISED = {3: 3, 4: 3}  # with equalising gear that was proved


def sling_leg_kg(mass_kg: float, legs: int, angle_deg: float, *, equalised: bool = False) -> float:
    """The pull in one leg of a sling, as a mass that would hang from it.

    Parameters
    ----------
    mass_kg : float
        Of the load with everything that hangs with it.
    legs : int
        1 to 4.
    angle_deg : float
        Between leg and horizontal, degrees.
    equalised : bool
        Gear that shares the load between three legs was fitted and proved.

    Returns
    -------
    float
        Kilograms, for planning: legs alike, hook over the centre of gravity.

    Raises
    ------
    Unusable
        Under 30 degrees, no such number of legs, or no mass.

    Notes
    -----
    ``T = W / (n sin a)``. A rigid load hangs on two of its three or four legs.

    References
    ----------
    29 CFR 1910.184 and ASME B30.9: not under 30 degrees from the horizontal; legs counted by
    ASME B30.9 (from memory).

    Examples
    --------
    >>> round(sling_leg_kg(4000, 2, 45))
    2828
    """
    if not mass_kg > 0:
        raise Unusable(say("the mass is not known"), remedy=say("Get the mass first."))
    if legs not in CARRYING:
        raise Unusable(
            say("a sling has one to four legs"), remedy=say("Say how many legs there are.")
        )
    if legs == 1:
        return mass_kg
    if not LEAST_ANGLE_DEG <= angle_deg <= 90.0:
        raise Unusable(
            say("a leg under 30° from the horizontal is not used"),
            remedy=say("Longer slings or a spreader beam, so that the legs stand steeper."),
        )
    carrying = EQUALISED.get(legs, 2) if equalised else CARRYING[legs]
    return mass_kg / (carrying * math.sin(math.radians(angle_deg)))


@dataclass(frozen=True, slots=True)
class Centre:
    """Where a load's centre of gravity is, seen from above, and what it weighs."""

    x_mm: float
    y_mm: float
    mass_kg: float


def centre_of_gravity(readings: Sequence[tuple[float, float, float]]) -> Centre:
    """Find the centre of gravity from load cells under the feet.

    Parameters
    ----------
    readings : sequence of (float, float, float)
        Place of each cell, x and y in millimetres, and its reading in kilograms.

    Returns
    -------
    Centre

    Raises
    ------
    Unusable
        Fewer than three cells, a cell that pulls, or nothing on them.

    References
    ----------
    Moments about two axes (by definition).

    Examples
    --------
    >>> cells = [(0, 0, 900), (2000, 0, 1400), (2000, 1200, 1100), (0, 1200, 700)]
    >>> found = centre_of_gravity(cells)
    >>> round(found.x_mm, 1), round(found.y_mm, 1), found.mass_kg
    (1219.5, 526.8, 4100.0)
    """
    table = np.array(readings, dtype=np.float64).reshape(-1, 3)
    if len(table) < 3 or (table[:, 2] < 0).any() or not table[:, 2].sum() > 0:
        raise Unusable(
            say("the centre of gravity cannot be told from these cells"),
            remedy=say("Read at least three cells that stand still, none of them pulling."),
        )
    mass = float(table[:, 2].sum())
    x, y = table[:, 2] @ table[:, :2] / mass
    return Centre(float(x), float(y), mass)


def centre_height_mm(span_mm: float, mass_kg: float, moved_kg: float, tilt_deg: float) -> float:
    """How high the centre of gravity stands above the line it was tilted about.

    Parameters
    ----------
    span_mm : float
        Between the two lines of support.
    mass_kg : float
        Of the load.
    moved_kg : float
        By how much the lower support read more when tilted.
    tilt_deg : float
        Of the tilt.

    Returns
    -------
    float
        Millimetres above the line of support.

    Raises
    ------
    Unusable
        No tilt or no mass.

    References
    ----------
    Moments about the lower support (by definition).

    Examples
    --------
    >>> round(centre_height_mm(2000, 4100, 200, 8))
    694
    """
    if not (mass_kg > 0 and 0 < tilt_deg < 45):
        raise Unusable(
            say("the height cannot be told without a mass and a tilt"),
            remedy=say("Tilt it a few degrees on proper packing and read both supports."),
        )
    return moved_kg * span_mm / (mass_kg * math.tan(math.radians(tilt_deg)))


def tip_angle_deg(half_width_mm: float, height_mm: float) -> float:
    """The slope at which a load tips over by itself.

    Parameters
    ----------
    half_width_mm : float
        From the centre of gravity to the nearest edge of support, seen from above.
    height_mm : float
        Of the centre of gravity over the support.

    Returns
    -------
    float
        Degrees; any pull at its top tips it earlier.

    Raises
    ------
    Unusable
        The height is not known.

    References
    ----------
    Statics (by definition).

    Examples
    --------
    >>> round(tip_angle_deg(600, 1100), 1), round(tip_angle_deg(350, 1100), 1)
    (28.6, 17.7)
    """
    if not height_mm > 0 or half_width_mm < 0:
        raise Unusable(
            say("the height of the centre of gravity is not known"),
            remedy=say("Take it from the drawing, or by tilting on load cells."),
        )
    return math.degrees(math.atan2(half_width_mm, height_mm))
