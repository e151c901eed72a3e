"""Balance: how much unbalance a rotor may keep, and what it pulls at."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

MARK = "from memory, unverified"


@dataclass(frozen=True, slots=True)
class Grade:
    """A balance quality grade: eccentricity times angular speed, and what it is usual for."""

    name: str
    grade_mm_s: float
    usual_for: str
    mark: str


GRADES: tuple[Grade, ...] = (
    Grade("G0.4", 0.4, "precision grinding spindles, gyroscopes", MARK),
    Grade("G1", 1.0, "grinding machine drives, small electric armatures of special need", MARK),
    Grade("G2.5", 2.5, "machine tool drives, turbines, small armatures", MARK),
    Grade("G6.3", 6.3, "armatures, fans, pump impellers, parts of general machines", MARK),
    Grade("G16", 16.0, "drive shafts of special need, parts of crushers", MARK),
)


def _omega(speed_rpm: float) -> float:
    if not 0 < speed_rpm < math.inf:
        raise Unusable(
            say("balance is asked for at a speed over zero"),
            remedy=say("Write the highest speed it runs at."),
            problems=(Problem("speed_rpm", say("zero or below")),),
        )
    return 2 * math.pi * speed_rpm / 60


def eccentricity_um(grade_mm_s: float, speed_rpm: float) -> float:
    """How far the centre of mass may lie off the axis.

    Parameters
    ----------
    grade_mm_s : float
        2.5 for G2.5.
    speed_rpm : float
        Highest service speed.

    Returns
    -------
    float
        Micrometres, the same as gram millimetre a kilogram.

    Raises
    ------
    Unusable
        It does not turn.

    References
    ----------
    ISO 21940-11:2016, 6.2: permissible residual specific unbalance, e = G / ω (clause from memory).

    Examples
    --------
    >>> round(eccentricity_um(2.5, 8000), 3)
    2.984
    """
    return 1000 * grade_mm_s / _omega(speed_rpm)


def unbalance_g_mm(grade_mm_s: float, mass_kg: float, speed_rpm: float) -> float:
    """The unbalance that a rotor may keep, all planes together.

    Parameters
    ----------
    grade_mm_s : float
        2.5 for G2.5.
    mass_kg : float
        Of the rotor with all that turns with it.
    speed_rpm : float
        Highest service speed.

    Returns
    -------
    float
        Gram millimetre.

    Raises
    ------
    Unusable
        It does not turn.

    References
    ----------
    ISO 21940-11:2016, 6.2: U = 1000 G m / ω, about 9,549 G m / n (clause from memory).

    Examples
    --------
    >>> round(unbalance_g_mm(2.5, 10, 8000), 2)
    29.84
    """
    return mass_kg * eccentricity_um(grade_mm_s, speed_rpm)


def two_planes_g_mm(
    unbalance_g_mm: float, first_mm: float, second_mm: float
) -> tuple[float, float]:
    """The unbalance shared between two bearing planes.

    Parameters
    ----------
    unbalance_g_mm : float
        Of the whole rotor.
    first_mm, second_mm : float
        From the centre of mass to the first and to the second plane; it lies between them.

    Returns
    -------
    tuple of float
        Gram millimetre in the first and in the second plane; the nearer one takes more.

    Raises
    ------
    Unusable
        The planes are no distance apart.

    References
    ----------
    ISO 21940-11:2016, 7.2.2: allocation to the bearing planes (clause from memory). The limits of
    0.3 and 0.7 of that clause are kept.

    Examples
    --------
    >>> [round(one, 1) for one in two_planes_g_mm(30.0, 100.0, 200.0)]
    [20.0, 10.0]
    """
    if first_mm < 0 or second_mm < 0 or first_mm + second_mm <= 0:
        raise Unusable(
            say("the centre of mass does not lie between the planes"),
            remedy=say("Give both distances as lengths over zero, or balance in one plane."),
        )
    share = min(max(second_mm / (first_mm + second_mm), 0.3), 0.7)
    return unbalance_g_mm * share, unbalance_g_mm * (1 - share)


def grade_kept_mm_s(unbalance_g_mm: float, mass_kg: float, speed_rpm: float) -> float:
    """The grade that a measured unbalance amounts to at a speed.

    Parameters
    ----------
    unbalance_g_mm : float
        Measured.
    mass_kg : float
    speed_rpm : float

    Returns
    -------
    float
        Millimetre a second, to hold against G.

    Raises
    ------
    Unusable
        No mass, or it does not turn.

    References
    ----------
    ISO 21940-11:2016, 6.2, turned round (clause from memory).

    Examples
    --------
    >>> round(grade_kept_mm_s(29.84, 10, 8000), 2)
    2.5
    """
    if not 0 < mass_kg < math.inf:
        raise Unusable(say("a rotor has a mass"), remedy=say("Weigh it, or work it out."))
    return unbalance_g_mm / mass_kg * _omega(speed_rpm) / 1000


def pull_newton(unbalance_g_mm: float, speed_rpm: float) -> float:
    """The force that turns round with an unbalance.

    Parameters
    ----------
    unbalance_g_mm : float
    speed_rpm : float

    Returns
    -------
    float
        Newtons; with the square of the speed.

    Raises
    ------
    Unusable
        It does not turn.

    References
    ----------
    Mechanics (by definition): F = U ω².

    Examples
    --------
    >>> round(pull_newton(29.84, 8000), 1)
    20.9
    """
    return unbalance_g_mm * 1e-6 * _omega(speed_rpm) ** 2
