"""Inertia of what a motor moves, as the motor feels it."""

from __future__ import annotations

import math
from typing import Literal

from retrue.base.refusals import Unusable
from retrue.base.say import say

STEEL_KG_M3 = 7850.0
RATIO_EASY, RATIO_MOST = 3.0, 10.0  # load over motor (common practice, no source)


def screw_inertia_kg_m2(mass_kg: float, pitch_mm: float) -> float:
    """A sliding mass as the turning screw feels it.

    Parameters
    ----------
    mass_kg : float
        What slides, with its load.
    pitch_mm : float
        Way of one turn.

    Returns
    -------
    float
        Kilogram square metre, at the screw.

    References
    ----------
    Equal kinetic energy (by definition): ``m * (p / (2 * pi)) ** 2``.

    Examples
    --------
    >>> f"{screw_inertia_kg_m2(500, 10):.4e}"
    '1.2665e-03'
    """
    return mass_kg * (pitch_mm / 1000.0 / (2.0 * math.pi)) ** 2


def belt_inertia_kg_m2(mass_kg: float, pulley_mm: float) -> float:
    """A mass moved by a belt or a rack as its pulley or pinion feels it.

    Parameters
    ----------
    mass_kg : float
    pulley_mm : float
        Pitch diameter.

    Returns
    -------
    float
        Kilogram square metre, at the pulley.

    References
    ----------
    Equal kinetic energy (by definition): ``m * r ** 2``.

    Examples
    --------
    >>> round(belt_inertia_kg_m2(40, 60), 6)
    0.036
    """
    return mass_kg * (pulley_mm / 2000.0) ** 2


def cylinder_inertia_kg_m2(
    diameter_mm: float, length_mm: float, *, density_kg_m3: float = STEEL_KG_M3
) -> float:
    """A solid round bar: a screw, a shaft, a pulley.

    Parameters
    ----------
    diameter_mm, length_mm : float
    density_kg_m3 : float
        Steel by default.

    Returns
    -------
    float
        Kilogram square metre, about its own axis.

    References
    ----------
    Solid cylinder (by definition): ``m * r ** 2 / 2``.

    Examples
    --------
    >>> f"{cylinder_inertia_kg_m2(40, 1000):.3e}"
    '1.973e-03'
    """
    radius = diameter_mm / 2000.0
    return density_kg_m3 * math.pi * radius**4 * (length_mm / 1000.0) / 2.0


def at_motor_kg_m2(inertia_kg_m2: float, turns_of_motor: float) -> float:
    """An inertia as the motor feels it through a belt or a gear.

    Parameters
    ----------
    inertia_kg_m2 : float
        On the driven side.
    turns_of_motor : float
        Of the motor for one turn of the driven side.

    Returns
    -------
    float
        Kilogram square metre.

    Raises
    ------
    Unusable
        No ratio.

    References
    ----------
    Equal kinetic energy (by definition).

    Examples
    --------
    >>> at_motor_kg_m2(0.008, 2)
    0.002
    """
    if not turns_of_motor > 0:
        raise Unusable(
            say("the ratio of the belt or gear is not known"),
            remedy=say("Count the teeth, or turn the motor by hand and count its turns."),
        )
    return inertia_kg_m2 / turns_of_motor**2


def ratio_fits(
    ratio: float, *, easy: float = RATIO_EASY, most: float = RATIO_MOST
) -> Literal["yes", "no", "ask"]:
    """What the inertia of a load over that of its motor says.

    Parameters
    ----------
    ratio : float
    easy, most : float
        Up to which nobody asks, and over which it is too much.

    Returns
    -------
    str
        yes up to the first, ask up to the second, no over it.

    References
    ----------
    Common practice, no source; the drive's own document goes first.

    Examples
    --------
    >>> ratio_fits(2), ratio_fits(6), ratio_fits(12)
    ('yes', 'ask', 'no')
    >>> ratio_fits(6, easy=8)
    'yes'
    """
    if ratio > most:
        return "no"
    return "yes" if ratio <= easy else "ask"
