"""Skates, ramps and floors: what must pull, what must hold, what the slab takes."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say

GRAVITY = 9.81  # as handbooks take it
UNEVEN = 1.25  # a machine never stands on all its skates alike


def pull_newton(mass_kg: float, slope_deg: float, rolling_share: float) -> float:
    """The pull that moves a load up a slope.

    Parameters
    ----------
    mass_kg : float
    slope_deg : float
        0 is level.
    rolling_share : float
        Rolling resistance as a share of the weight: 0.02 to 0.05 on clean concrete.

    Returns
    -------
    float
        Newtons, once it rolls; to start it may take twice that.

    References
    ----------
    Statics (by definition); the shares are from memory.

    Examples
    --------
    >>> round(pull_newton(5000, 5, 0.05)), round(pull_newton(5000, 0, 0.05))
    (6718, 2452)
    """
    slope = math.radians(slope_deg)
    return mass_kg * GRAVITY * (math.sin(slope) + rolling_share * math.cos(slope))


def hold_newton(mass_kg: float, slope_deg: float) -> float:
    """What must hold a load on a slope, with nothing gained from rolling resistance.

    Parameters
    ----------
    mass_kg, slope_deg : float

    Returns
    -------
    float
        Newtons, for each of two holds that do not depend on each other.

    References
    ----------
    Statics (by definition).

    Examples
    --------
    >>> round(hold_newton(4000, 5))
    3420
    """
    return mass_kg * GRAVITY * math.sin(math.radians(slope_deg))


def skate_load_newton(mass_kg: float, skates: int) -> float:
    """What each skate and the floor under it are planned for.

    Parameters
    ----------
    mass_kg : float
    skates : int
        Three or four.

    Returns
    -------
    float
        Newtons: a quarter and a quarter more on four skates, a third and a quarter more on three.

    Raises
    ------
    Unusable
        Fewer than three skates.

    References
    ----------
    A rigid load finds three of its supports; common practice, no source (from memory).

    Examples
    --------
    >>> round(skate_load_newton(5000, 4))
    15328
    """
    if skates < 3:
        raise Unusable(
            say("a machine stands on three skates at least"),
            remedy=say("Use three or four skates of the same height."),
        )
    return UNEVEN * mass_kg * GRAVITY / min(skates, 4)


def slab_stress_mpa(
    load_newton: float,
    *,
    thick_mm: float,
    radius_mm: float,
    stiffness_mpa: float = 27000.0,
    poisson: float = 0.15,
    bedding_mpa_per_mm: float = 0.054,
    suspended: bool = False,
) -> float:
    """The bending stress that a wheel or foot makes in a slab on ground, away from its edges.

    Parameters
    ----------
    load_newton : float
    thick_mm : float
        Of the slab.
    radius_mm : float
        Of the loaded round.
    stiffness_mpa, poisson, bedding_mpa_per_mm : float
        Of the concrete, and of the ground under it.
    suspended : bool
        There is a cellar or a room below.

    Returns
    -------
    float
        Megapascal; two or three times that near an edge, a joint or a corner.

    Raises
    ------
    Unusable
        A suspended floor, or a thickness nobody knows.

    References
    ----------
    Westergaard 1926, interior loading (from memory).

    Examples
    --------
    >>> round(slab_stress_mpa(15330, thick_mm=150, radius_mm=70), 2)
    1.03
    """
    if suspended:
        raise Unusable(
            say("a floor with a room below is not for this formula"),
            remedy=say("A structural engineer must say what it carries."),
        )
    if not (thick_mm > 0 and radius_mm > 0):
        raise Unusable(
            say("the slab's thickness is not known"),
            remedy=say("Drill a small hole where it does no harm, or find the drawing."),
        )
    stiff = stiffness_mpa * thick_mm**3 / (12 * (1 - poisson**2) * bedding_mpa_per_mm)
    spread_mm = stiff**0.25
    near = radius_mm < 1.724 * thick_mm
    equal_mm = math.sqrt(1.6 * radius_mm**2 + thick_mm**2) - 0.675 * thick_mm if near else radius_mm
    bend = 3 * load_newton * (1 + poisson) / (2 * math.pi * thick_mm**2)
    return bend * (math.log(spread_mm / equal_mm) + 0.6159)
