"""What holds an upright axis: brake, balance, and how far it falls until one of them bites.

A brake is not a prop, and none of these numbers lets anyone go under a head.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.rolling import GRAVITY

PROOF_TIMES = 1.3  # a test torque over the load's, from memory of a German trade body's sheet
DROP_MM = 0.05  # judgement, no source
CREEP_MINUTES = 2.0
LEAST_SHARE, MOST_SHARE = 0.9, 1.1  # of the head's weight: balance near it (judgement)
UP_DOWN_PERCENT, UP_DOWN_STOP_PERCENT = 20.0, 35.0  # judgement, no source


def holding_nm(
    mass_kg: float,
    pitch_mm: float,
    *,
    balanced_newton: float = 0.0,
    turns_of_brake: float = 1.0,
) -> float:
    """The torque that holds a hanging head still on its screw.

    Parameters
    ----------
    mass_kg : float
        Head with everything on it.
    pitch_mm : float
        Way of one turn of the screw.
    balanced_newton : float
        What the balance carries; for a proof it is counted as nothing.
    turns_of_brake : float
        Of the shaft with the brake for one turn of the screw.

    Returns
    -------
    float
        Newton metre at the brake; below zero the balance lifts the head.

    Raises
    ------
    Unusable
        No mass, pitch or ratio.

    Notes
    -----
    Friction helps to hold and is counted as nothing.

    References
    ----------
    Work of one turn (by definition): ``(m * g - F) * p / (2 * pi)``.

    Examples
    --------
    >>> round(holding_nm(500, 10), 3), round(holding_nm(500, 10, turns_of_brake=2), 3)
    (7.807, 3.903)
    """
    if not (mass_kg > 0 and pitch_mm > 0 and turns_of_brake > 0):
        raise Unusable(
            say("mass of the head, pitch of the screw and ratio are needed"),
            remedy=say("Take the mass from the manual or a scale, and measure the pitch."),
        )
    hangs = mass_kg * GRAVITY - balanced_newton
    return hangs * pitch_mm / 1000.0 / (2.0 * math.pi) / turns_of_brake


@dataclass(frozen=True, slots=True)
class Drop:
    """A drop test: the prop stood 5 mm below."""

    holds: bool
    why: str  # drop, creep, or empty


def drop(dropped_mm: float, crept_mm: float, *, most_mm: float = DROP_MM) -> Drop:
    """What a head did when its servo was switched off over a prop.

    Parameters
    ----------
    dropped_mm : float
        When the brake took over.
    crept_mm : float
        In the two minutes after it.
    most_mm : float
        The most that it may drop.

    Returns
    -------
    Drop

    Raises
    ------
    Unusable
        Less than nothing.

    References
    ----------
    Common practice, no source: 0.05 mm, and no creep in two minutes.

    Examples
    --------
    >>> drop(0.03, 0).holds, drop(0.06, 0).why, drop(0.01, 0.01).why
    (True, 'drop', 'creep')
    """
    if not (dropped_mm >= 0 and crept_mm >= 0):
        raise Unusable(
            say("a drop is counted downward"),
            remedy=say("Set the indicator so that a sinking head reads plus."),
        )
    if crept_mm > 0:
        return Drop(False, "creep")
    return Drop(dropped_mm <= most_mm, "" if dropped_mm <= most_mm else "drop")


def fall_mm(delay_s: float, *, balanced_share: float = 0.0) -> float:
    """How far a head falls freely until the brake bites.

    Parameters
    ----------
    delay_s : float
        From losing the servo to the brake holding.
    balanced_share : float
        Part of the weight that a balance carries, up to one.

    Returns
    -------
    float
        Millimetres, friction counted as nothing.

    Raises
    ------
    Unusable
        No delay, or a share that is none.

    References
    ----------
    Free fall (by definition).

    Examples
    --------
    >>> round(fall_mm(0.1), 2), round(fall_mm(0.1, balanced_share=0.9), 2)
    (49.05, 4.91)
    """
    if not (0 <= delay_s < math.inf and 0 <= balanced_share <= 1):
        raise Unusable(
            say("the delay of the brake is not known"),
            remedy=say("Take it from the brake's document; a share is between 0 and 1."),
        )
    return 1000.0 * GRAVITY * (1.0 - balanced_share) * delay_s**2 / 2.0


def balance_newton(
    pressure_bar: float, bore_mm: float, *, rod_mm: float = 0.0, cylinders: int = 1, turns: int = 1
) -> float:
    """What a gas or oil balance carries.

    Parameters
    ----------
    pressure_bar : float
        By its gauge.
    bore_mm : float
        Of a cylinder.
    rod_mm : float
        Of the rod where the pressure is on its side; 0 on the full bore.
    cylinders : int
    turns : int
        How many times longer the head's way is than the rod's: 2 where a chain goes once around.

    Returns
    -------
    float
        Newton at the head.

    Raises
    ------
    Unusable
        No area, no pressure.

    References
    ----------
    Pressure times area (by definition); a chain that doubles the way halves the force.

    Examples
    --------
    >>> round(balance_newton(50, 50)), round(balance_newton(50, 50, turns=2))
    (9817, 4909)
    """
    if not (0 <= pressure_bar < math.inf and 0 <= rod_mm < bore_mm and cylinders > 0 and turns > 0):
        raise Unusable(
            say("pressure and bore of the balance are needed"),
            remedy=say("Read the gauge; take bore and rod from the manual."),
        )
    area_m2 = math.pi * (bore_mm**2 - rod_mm**2) / 4e6
    return 1e5 * pressure_bar * area_m2 * cylinders / turns


def balance_bar(
    mass_kg: float, bore_mm: float, *, rod_mm: float = 0.0, cylinders: int = 1, turns: int = 1
) -> float:
    """The pressure at which a balance carries the whole head.

    Parameters
    ----------
    mass_kg : float
    bore_mm, rod_mm : float
    cylinders, turns : int
        As in :func:`balance_newton`.

    Returns
    -------
    float
        Bar, by the gauge.

    Raises
    ------
    Unusable
        No mass, no area.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(balance_bar(500, 50), 2)
    24.98
    """
    one_bar = balance_newton(1.0, bore_mm, rod_mm=rod_mm, cylinders=cylinders, turns=turns)
    return mass_kg * GRAVITY / one_bar


def up_down_percent(up_ampere: float, down_ampere: float) -> float:
    """How unlike the current is upward and downward at one slow speed.

    Parameters
    ----------
    up_ampere, down_ampere : float
        Both as amounts.

    Returns
    -------
    float
        Per cent of their mean, plus where going up takes more: the head is heavier than its
        balance.

    Raises
    ------
    Unusable
        No current either way.

    References
    ----------
    By definition; 20 and 35 per cent are judgement, no source.

    Examples
    --------
    >>> up_down_percent(5.5, 4.5)
    20.0
    """
    if not (up_ampere >= 0 and down_ampere >= 0 and up_ampere + down_ampere > 0):
        raise Unusable(
            say("a current each way is needed"),
            remedy=say("Read it up and down at the same slow speed, as amounts."),
        )
    return 100.0 * (up_ampere - down_ampere) / ((up_ampere + down_ampere) / 2)
