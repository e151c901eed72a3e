"""Belts: how often one comes round, its teeth, and its pull from the note of a span."""

from __future__ import annotations

import math

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say


def _over_zero(**values: float) -> None:
    wrong = [name for name, value in values.items() if not 0 < value < math.inf]
    if wrong:
        raise Unusable(
            say("a belt needs sizes over zero"),
            remedy=say("Measure what is named, or leave the belt out."),
            problems=tuple(Problem(name, say("zero or below")) for name in wrong),
        )


def belt_hz(
    pulley_mm: float, speed_rpm: float, length_mm: float, *, slip_share: float = 0.0
) -> float:
    """How often a belt comes round.

    Parameters
    ----------
    pulley_mm : float
        Pitch diameter of the pulley that drives.
    speed_rpm : float
        Of that pulley.
    length_mm : float
        Pitch length of the belt.
    slip_share : float
        What the belt lags behind the pulley; a toothed belt has none.

    Returns
    -------
    float
        Hertz; a worn belt draws this line, and twice it more strongly.

    Raises
    ------
    Unusable
        A size that is none, or a slip of one or more.

    References
    ----------
    Kinematics (by definition): f = π D n (1 - s) / L.

    Examples
    --------
    >>> round(belt_hz(140, 1775, 1950, slip_share=0.022), 3), round(belt_hz(100, 1800, 1500), 3)
    (6.526, 6.283)
    """
    _over_zero(pulley_mm=pulley_mm, speed_rpm=speed_rpm, length_mm=length_mm)
    if not 0 <= slip_share < 1:
        raise Unusable(
            say("a slip of {slip} is none", slip=short(slip_share)),
            remedy=say("Write two per cent as 0.02."),
            problems=(Problem("slip_share", say("not from 0 to 1")),),
        )
    return math.pi * pulley_mm * speed_rpm / 60 * (1 - slip_share) / length_mm


def driven_rpm(
    speed_rpm: float, driver_mm: float, driven_mm: float, *, slip_share: float = 0.0
) -> float:
    """The speed of the driven pulley.

    Parameters
    ----------
    speed_rpm : float
        Of the pulley that drives.
    driver_mm, driven_mm : float
        Pitch diameters, or teeth.
    slip_share : float
        Of the belt.

    Returns
    -------
    float
        Revolutions a minute.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    Kinematics (by definition).

    Examples
    --------
    >>> driven_rpm(1500, 100, 50)
    3000.0
    """
    _over_zero(speed_rpm=speed_rpm, driver_mm=driver_mm, driven_mm=driven_mm)
    return speed_rpm * driver_mm / driven_mm * (1 - slip_share)


def mesh_hz(teeth: int, speed_rpm: float) -> float:
    """How often teeth come into mesh: of a toothed belt or of a gear.

    Parameters
    ----------
    teeth : int
        Of the pulley or gear whose speed is given.
    speed_rpm : float

    Returns
    -------
    float
        Hertz.

    Raises
    ------
    Unusable
        A number that is none.

    References
    ----------
    Kinematics (by definition): f = z n.

    Examples
    --------
    >>> mesh_hz(24, 1800)
    720.0
    """
    _over_zero(teeth=teeth, speed_rpm=speed_rpm)
    return teeth * speed_rpm / 60


def toothed_belt_hz(teeth: int, speed_rpm: float, belt_teeth: int) -> float:
    """How often a toothed belt comes round.

    Parameters
    ----------
    teeth : int
        Of the pulley.
    speed_rpm : float
        Of that pulley.
    belt_teeth : int
        Of the belt.

    Returns
    -------
    float
        Hertz.

    Raises
    ------
    Unusable
        A number that is none.

    References
    ----------
    Kinematics (by definition): f = z n / z of the belt.

    Examples
    --------
    >>> toothed_belt_hz(24, 1800, 120)
    6.0
    """
    _over_zero(belt_teeth=belt_teeth)
    return mesh_hz(teeth, speed_rpm) / belt_teeth


def span_hz(span_mm: float, tension_newton: float, mass_kg_per_m: float) -> float:
    """The note of a plucked span.

    Parameters
    ----------
    span_mm : float
        Free length between the pulleys.
    tension_newton : float
        Pull in that span.
    mass_kg_per_m : float
        Of the belt, a metre.

    Returns
    -------
    float
        Hertz, of the lowest note.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    Mersenne's law of the string: f = √(T / μ) / (2 L); a stiff belt sounds somewhat higher.

    Examples
    --------
    >>> round(span_hz(400, 200, 0.1), 2)
    55.9
    """
    _over_zero(span_mm=span_mm, tension_newton=tension_newton, mass_kg_per_m=mass_kg_per_m)
    return math.sqrt(tension_newton / mass_kg_per_m) / (2 * span_mm / 1000)


def tension_newton(span_mm: float, note_hz: float, mass_kg_per_m: float) -> float:
    """The pull in a span, from its note.

    Parameters
    ----------
    span_mm : float
        Free length between the pulleys.
    note_hz : float
        Lowest note of the plucked span, from a recording.
    mass_kg_per_m : float
        Of the belt, a metre.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    Mersenne's law of the string, turned round: T = μ (2 L f)².

    Examples
    --------
    >>> round(tension_newton(400, 55.9017, 0.1), 1)
    200.0
    """
    _over_zero(span_mm=span_mm, note_hz=note_hz, mass_kg_per_m=mass_kg_per_m)
    return mass_kg_per_m * (2 * span_mm / 1000 * note_hz) ** 2
