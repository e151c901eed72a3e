"""Does a motor fit a drive and its axis: torque, volts, and property by property."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say

Fits = Literal["yes", "no", "ask"]
KRPM_RAD_S = 1000.0 * 2.0 * math.pi / 60.0
HEADROOM_SHARE = 0.9  # of the bus, for the back-voltage alone: current needs the rest (judgement)
WEAK_MAGNET_PERCENT = 90.0  # judgement, no source
STRONG_MAGNET_PERCENT = 110.0  # magnets do not grow: another motor, or another way of stating it
VOLTS_WITHIN = 0.10


def rms_torque_nm(parts: Sequence[tuple[float, float]]) -> float:
    """The torque that warms a motor as much as a whole cycle does.

    Parameters
    ----------
    parts : sequence of (float, float), shape (n, 2)
        Torque in newton metre, with its sign, and seconds; rests count with no torque.

    Returns
    -------
    float
        Newton metre.

    Raises
    ------
    Unusable
        No time at all, or less than none.

    References
    ----------
    Root of the mean square over time (by definition).

    Examples
    --------
    >>> round(rms_torque_nm([(3, 0.2), (1, 0.5), (-2, 0.2), (0, 0.6)]), 4)
    1.4376
    """
    if not parts or any(not 0 <= seconds < math.inf for _, seconds in parts):
        raise Unusable(_no_cycle(), remedy=_get_cycle())
    whole = sum(seconds for _, seconds in parts)
    if not whole > 0:
        raise Unusable(_no_cycle(), remedy=_get_cycle())
    return math.sqrt(sum(torque**2 * seconds for torque, seconds in parts) / whole)


def torque_at_nm(curve: Sequence[tuple[float, float]], speed_rpm: float) -> float:
    """A torque of a motor's curve at a speed.

    Parameters
    ----------
    curve : sequence of (float, float), shape (n, 2)
        Speed in rpm, rising, and torque in newton metre: continuous or peak.
    speed_rpm : float
        Either way round.

    Returns
    -------
    float
        Newton metre, on a straight line between two points; below the first point as there.

    Raises
    ------
    Unusable
        No curve, or a speed over its last point.

    References
    ----------
    By definition; the curve is the maker's.

    Examples
    --------
    >>> torque_at_nm([(0, 12), (2000, 10), (3000, 6)], 2500)
    8.0
    """
    speeds = [speed for speed, _ in curve]
    if not curve or speeds != sorted(set(speeds)) or not abs(speed_rpm) <= speeds[-1]:
        raise Unusable(
            say("the motor's curve does not reach this speed"),
            remedy=say("Take two points or more from the motor's document, up to its top speed."),
        )
    return float(np.interp(abs(speed_rpm), speeds, [torque for _, torque in curve]))


def volt_second_per_rad(volts_per_krpm: float) -> float:
    """A motor's voltage constant in the unit that torque needs.

    Parameters
    ----------
    volts_per_krpm : float
        Effective, line to line, at 1,000 rpm.

    Returns
    -------
    float
        Volt seconds a radian.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(volt_second_per_rad(50), 5)
    0.47746
    """
    return volts_per_krpm / KRPM_RAD_S


def torque_constant(volts_per_krpm: float) -> float:
    """Newton metre an ampere of a permanent-magnet motor with sine currents.

    Parameters
    ----------
    volts_per_krpm : float
        Effective, line to line, at 1,000 rpm.

    Returns
    -------
    float
        Newton metre an ampere, effective.

    References
    ----------
    Electrical power of three phases is mechanical power (by definition): root three times the
    voltage constant.

    Examples
    --------
    >>> round(torque_constant(50), 4)
    0.827
    """
    return math.sqrt(3.0) * volt_second_per_rad(volts_per_krpm)


def back_volts(volts_per_krpm: float, speed_rpm: float) -> tuple[float, float]:
    """What a turning motor makes by itself, between lines.

    Parameters
    ----------
    volts_per_krpm, speed_rpm : float

    Returns
    -------
    tuple of float
        Effective volts, and their peak.

    References
    ----------
    By definition.

    Examples
    --------
    >>> effective, peak = back_volts(50, 3000)
    >>> round(effective, 6), round(peak, 1)
    (150.0, 212.1)
    """
    effective = volts_per_krpm * abs(speed_rpm) / 1000.0
    return effective, math.sqrt(2.0) * effective


def bus_carries(peak_volts: float, bus_volts: float) -> Fits:
    """Whether a bus can drive a motor at a speed.

    Parameters
    ----------
    peak_volts : float
        Back-voltage at that speed, peak between lines.
    bus_volts : float

    Returns
    -------
    str
        yes up to nine tenths of the bus; ask up to the bus; no over it.

    References
    ----------
    The back-voltage's peak must stay under the bus (by definition); the tenth kept for current is
    judgement, no source.

    Examples
    --------
    >>> bus_carries(212, 565), bus_carries(540, 565), bus_carries(600, 565)
    ('yes', 'ask', 'no')
    """
    if peak_volts > bus_volts:
        return "no"
    return "yes" if peak_volts <= HEADROOM_SHARE * bus_volts else "ask"


def magnet_left_percent(measured_volts_per_krpm: float, rated_volts_per_krpm: float) -> float:
    """What is left of a motor's magnets, by its back-voltage when turned by hand or by a drill.

    Parameters
    ----------
    measured_volts_per_krpm, rated_volts_per_krpm : float

    Returns
    -------
    float
        Per cent; under 90 it gives less torque for its current and is asked about (judgement);
        over 110 it is another motor, or one value is of a phase and one between lines.

    Raises
    ------
    Unusable
        Nothing rated or nothing measured.

    References
    ----------
    By definition.

    Examples
    --------
    >>> magnet_left_percent(46, 50)
    92.0
    """
    if not (measured_volts_per_krpm > 0 and rated_volts_per_krpm > 0):
        raise Unusable(
            say("two voltage constants are needed, measured and rated"),
            remedy=say("Turn the shaft at a known speed, its leads free, and read between two."),
        )
    return 100.0 * measured_volts_per_krpm / rated_volts_per_krpm


def enough(has: float | None, needs: float | None) -> Fits:
    """Whether there is as much as is needed.

    Parameters
    ----------
    has, needs : float or None
        None where nobody knows.

    Returns
    -------
    str

    References
    ----------
    By definition.

    Examples
    --------
    >>> enough(12, 10), enough(8, 10), enough(None, 10)
    ('yes', 'no', 'ask')
    """
    if has is None or needs is None:
        return "ask"
    return "yes" if has >= needs else "no"


def alike(motor: str | float | None, drive: str | float | None) -> Fits:
    """Whether a property of the motor is the one that the drive is set for.

    Parameters
    ----------
    motor, drive : str, float or None
        Words are compared without capitals and spaces; None or nothing where nobody knows.

    Returns
    -------
    str

    References
    ----------
    By definition.

    Examples
    --------
    >>> alike("PTC 130", "ptc130"), alike(8, 6), alike("", "resolver")
    ('yes', 'no', 'ask')
    """
    if motor in (None, "") or drive in (None, ""):
        return "ask"
    return "yes" if _bare(motor) == _bare(drive) else "no"


def volts_alike(motor_volts: float | None, drive_volts: float | None) -> Fits:
    """Whether a brake or a feedback gets the volts it is made for.

    Parameters
    ----------
    motor_volts, drive_volts : float or None
        Rated, and given.

    Returns
    -------
    str
        yes within 10 per cent of rated.

    References
    ----------
    Common practice, no source; the plate goes first.

    Examples
    --------
    >>> volts_alike(24, 24), volts_alike(90, 24), volts_alike(None, 24)
    ('yes', 'no', 'ask')
    """
    if motor_volts is None or drive_volts is None:
        return "ask"
    return "yes" if abs(drive_volts - motor_volts) <= VOLTS_WITHIN * motor_volts else "no"


def _bare(told: str | float | None) -> str:
    if isinstance(told, str):
        return "".join(told.lower().split())
    return f"{told:g}"


def _no_cycle() -> str:
    return say("a cycle needs torques and the seconds each lasts")


def _get_cycle() -> str:
    return say("Write speeding up, cutting, braking and rest, each with its seconds.")
