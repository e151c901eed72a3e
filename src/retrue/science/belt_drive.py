"""An open belt drive: length, distance, wrap, speed, and what its pull puts on a shaft."""

from __future__ import annotations

import math

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say


def length_mm(small_mm: float, large_mm: float, centre_mm: float) -> float:
    """The length of a belt around two pulleys.

    Parameters
    ----------
    small_mm, large_mm : float
        Pitch diameters, either way round.
    centre_mm : float
        Between the shafts.

    Returns
    -------
    float
        Pitch length, millimetres.

    Raises
    ------
    Unusable
        Pulleys that would touch, or a size that is none.

    References
    ----------
    Geometry of two circles (by definition); Budynas, Nisbett, Shigley's Mechanical Engineering
    Design, equations 17-1 and 17-2.

    Examples
    --------
    >>> round(length_mm(6, 18, 96), 3)
    230.074
    """
    wrap = math.radians(wrap_deg(small_mm, large_mm, centre_mm))
    low, high = sorted((small_mm, large_mm))
    straight = math.sqrt(4.0 * centre_mm**2 - (high - low) ** 2)
    return straight + (high * (2.0 * math.pi - wrap) + low * wrap) / 2.0


def wrap_deg(small_mm: float, large_mm: float, centre_mm: float) -> float:
    """How far a belt lies around the smaller pulley.

    Parameters
    ----------
    small_mm, large_mm, centre_mm : float
        As in :func:`length_mm`.

    Returns
    -------
    float
        Degrees, up to 180.

    Raises
    ------
    Unusable
        Pulleys that would touch, or a size that is none.

    References
    ----------
    Shigley, equation 17-1; Mott, Machine Elements in Mechanical Design, equation 7-5.

    Examples
    --------
    >>> round(wrap_deg(12.4, 21.1, 23.3))
    158
    """
    if not (small_mm > 0 and large_mm > 0 and centre_mm > (small_mm + large_mm) / 2.0):
        raise Unusable(
            say("these pulleys do not stand beside each other"),
            remedy=say("Measure both pitch diameters and the distance of the shafts again."),
            problems=(Problem("centre_mm", say("not over half of both diameters")),),
        )
    return 180.0 - 2.0 * math.degrees(math.asin(abs(large_mm - small_mm) / (2.0 * centre_mm)))


def centre_mm(small_mm: float, large_mm: float, belt_mm: float) -> float:
    """The distance of the shafts that a belt of some length asks.

    Parameters
    ----------
    small_mm, large_mm : float
        Pitch diameters.
    belt_mm : float
        Pitch length.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    Unusable
        Too short for these pulleys.

    Notes
    -----
    By the usual approximation ``L = 2 C + pi (D + d) / 2 + (D - d)^2 / (4 C)``, solved for C.

    References
    ----------
    Mott, Machine Elements in Mechanical Design, equations 7-3 and 7-4; Shigley, 17-16.

    Examples
    --------
    >>> round(centre_mm(12.4, 21.1, 100.0), 2)
    23.28
    """
    around = belt_mm - math.pi * (small_mm + large_mm) / 2.0
    under = around**2 - 2.0 * (large_mm - small_mm) ** 2
    if not (around > 0 and under > 0):
        raise Unusable(
            say("the belt is too short for these pulleys"),
            remedy=say("Measure its pitch length and both pulleys again."),
            problems=(Problem("belt_mm", say("too short")),),
        )
    return (around + math.sqrt(under)) / 4.0


def belt_m_s(pulley_mm: float, speed_rpm: float) -> float:
    """The speed of a belt.

    Parameters
    ----------
    pulley_mm : float
        Pitch diameter.
    speed_rpm : float
        Of that pulley.

    Returns
    -------
    float
        Metres a second.

    References
    ----------
    Kinematics (by definition).

    Examples
    --------
    >>> round(belt_m_s(187.96, 1750), 2)
    17.22
    """
    return math.pi * pulley_mm / 1000.0 * abs(speed_rpm) / 60.0


def toothed_pulley_mm(teeth: int, tooth_mm: float) -> float:
    """The pitch diameter of a toothed pulley.

    Parameters
    ----------
    teeth : int
    tooth_mm : float
        From tooth to tooth of the belt.

    Returns
    -------
    float
        Millimetres.

    References
    ----------
    By definition; ISO 5294.

    Examples
    --------
    >>> round(toothed_pulley_mm(24, 8.0), 2)
    61.12
    """
    return teeth * tooth_mm / math.pi


def teeth_in_mesh(teeth: int, around_deg: float) -> int:
    """Teeth of the smaller pulley that carry.

    Parameters
    ----------
    teeth : int
    around_deg : float
        How far the belt lies around it.

    Returns
    -------
    int
        Whole teeth.

    References
    ----------
    By definition; under six a toothed belt carries less (common practice, no source).

    Examples
    --------
    >>> teeth_in_mesh(24, 158.0)
    10
    """
    return math.floor(teeth * around_deg / 360.0 + 1e-9)


def pull_newton(power_kw: float, speed_m_s: float) -> float:
    """What a belt pulls to carry a power: the tight span less the slack one.

    Parameters
    ----------
    power_kw, speed_m_s : float

    Returns
    -------
    float
        Newton.

    Raises
    ------
    Unusable
        It stands.

    References
    ----------
    Power is force times speed (by definition).

    Examples
    --------
    >>> pull_newton(7.5, 15.0)
    500.0
    """
    if not speed_m_s > 0:
        raise Unusable(
            say("a belt that stands carries no power"), remedy=say("Write the speed it runs at.")
        )
    return 1000.0 * power_kw / speed_m_s


def shaft_newton(span_newton: float, around_deg: float) -> float:
    """What a tight belt puts on a shaft while it stands.

    Parameters
    ----------
    span_newton : float
        Pull of one span, all belts together.
    around_deg : float
        How far the belt lies around that pulley.

    Returns
    -------
    float
        Newton.

    References
    ----------
    Two forces of a triangle (by definition).

    Examples
    --------
    >>> shaft_newton(500.0, 180.0), round(shaft_newton(500.0, 120.0))
    (1000.0, 866)
    """
    return 2.0 * span_newton * math.sin(math.radians(around_deg) / 2.0)
