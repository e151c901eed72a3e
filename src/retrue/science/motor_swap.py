"""One motor for another: volts and hertz of its supply, torque of its plate, its duty."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.motor_match import Fits

ZONE_A, ZONE_B = 0.05, 0.10  # of rated volts (IEC 60034-1, 7.3, from memory)
CONTINUOUS = ("S1",)


def rated_torque_nm(power_kw: float, speed_rpm: float) -> float:
    """The torque of a plate.

    Parameters
    ----------
    power_kw, speed_rpm : float
        Rated.

    Returns
    -------
    float
        Newton metre.

    Raises
    ------
    Unusable
        It stands.

    References
    ----------
    Power is torque times angular speed (by definition); handbooks print 9549 or 9550.

    Examples
    --------
    >>> round(rated_torque_nm(7.5, 1450), 2)
    49.39
    """
    if not speed_rpm > 0:
        raise Unusable(
            say("a motor that stands has no power"), remedy=say("Write its rated speed.")
        )
    return 60000.0 * power_kw / (2.0 * math.pi * speed_rpm)


def on_mains(supply_volts: float | None, rated_volts: float | None) -> Fits:
    """Whether a motor runs on the volts of a supply.

    Parameters
    ----------
    supply_volts, rated_volts : float or None
        None where nobody knows.

    Returns
    -------
    str
        yes within 5 per cent of its plate, ask within 10, no beyond.

    References
    ----------
    IEC 60034-1, 7.3: zones A and B (from memory); NEMA MG 1: 10 per cent (secondary source).

    Examples
    --------
    >>> on_mains(400, 380), on_mains(400, 415), on_mains(400, 440), on_mains(230, 400)
    ('ask', 'yes', 'ask', 'no')
    """
    if supply_volts is None or rated_volts is None or not rated_volts > 0:
        return "ask"
    off = abs(supply_volts - rated_volts) / rated_volts - 1e-9
    return "yes" if off <= ZONE_A else "ask" if off <= ZONE_B else "no"


def flux_times(supply_volts: float, supply_hz: float, rated_volts: float, rated_hz: float) -> float:
    """The flux of a motor on another supply, over the flux it is built for.

    Parameters
    ----------
    supply_volts, supply_hz, rated_volts, rated_hz : float

    Returns
    -------
    float
        1.2 is a motor for 60 Hz at the same volts and 50 Hz: it saturates and burns.

    Raises
    ------
    Unusable
        A number that is none.

    References
    ----------
    Flux goes with volts over hertz (by definition).

    Examples
    --------
    >>> round(flux_times(400, 50, 400, 60), 6), round(flux_times(380, 50, 460, 60), 2)
    (1.2, 0.99)
    """
    if not (supply_volts > 0 and supply_hz > 0 and rated_volts > 0 and rated_hz > 0):
        raise Unusable(
            say("volts and hertz of supply and motor are needed"),
            remedy=say("Read them on both plates."),
        )
    return (supply_volts / supply_hz) / (rated_volts / rated_hz)


def duty_covers(has: str | None, needs: str | None) -> Fits:
    """Whether a motor bears the duty that is asked of it.

    Parameters
    ----------
    has, needs : str or None
        S1 to S9; None where nobody knows.

    Returns
    -------
    str
        Running for ever (S1) covers short and broken running at the same power; the other way it
        does not, and between two others it is asked.

    References
    ----------
    IEC 60034-1, clause 4 (from memory).

    Examples
    --------
    >>> duty_covers("S1", "S6"), duty_covers("S3", "S1"), duty_covers("S3", "S6")
    ('yes', 'no', 'ask')
    """
    if not has or not needs:
        return "ask"
    if has == needs or (has in CONTINUOUS and needs in ("S2", "S3", "S6")):
        return "yes"
    return "no" if needs in CONTINUOUS else "ask"
