"""Compressed air: a receiver that carries over, a leak, and the drop along a pipe."""

from __future__ import annotations

import math

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import say

ATMOSPHERE_BAR = 1.01325
LOWEST_M, HIGHEST_M = -500.0, 11000.0  # of the formula's layer


def receiver_volume(
    minutes: float, used: float, made: float, high: float, low: float, *, outside: float
) -> float:
    """The receiver that carries a shop over a time when it uses more than is made.

    Parameters
    ----------
    minutes : float
        How long.
    used, made : float
        Free air a minute, in one unit of volume.
    high, low : float
        Pressure at the start and at the end, in one unit.
    outside : float
        The air's own pressure, in that unit.

    Returns
    -------
    float
        In the unit of volume of the flows.

    Raises
    ------
    Unusable
        The pressure does not fall.

    References
    ----------
    Compressed Air and Gas Handbook, receiver formula (secondary source): 5 min, 350 against
    250 ft3/min, 100 to 60 psi is 183.75 ft3.

    Examples
    --------
    >>> receiver_volume(5, 350, 250, 100, 60, outside=14.7)
    183.75
    """
    if not high > low:
        raise Unusable(
            say("the pressure must be allowed to fall"),
            remedy=say("Say from which pressure to which."),
        )
    return minutes * (used - made) * outside / (high - low)


def leak_litre_per_minute(volume_litre: float, fell_bar: float, minutes: float) -> float:
    """Free air lost through leaks, from how the pressure falls with everything shut.

    Parameters
    ----------
    volume_litre : float
        Of receiver and pipes.
    fell_bar, minutes : float

    Returns
    -------
    float
        Litres of free air a minute.

    References
    ----------
    Boyle's law at one temperature (by definition).

    Examples
    --------
    >>> round(leak_litre_per_minute(300, 1, 10), 1)
    29.6
    """
    return volume_litre * fell_bar / (ATMOSPHERE_BAR * minutes)


def pipe_drop_bar(
    free_litre_per_second: float, length_m: float, bore_mm: float, absolute_bar: float
) -> float:
    """The pressure lost along a smooth pipe of compressed air.

    Parameters
    ----------
    free_litre_per_second : float
        Free air.
    length_m, bore_mm : float
    absolute_bar : float
        Pressure in it, absolute.

    Returns
    -------
    float
        Bar.

    References
    ----------
    Handbook rule 450 q^1.85 L / (d^5 p) (from memory).

    Examples
    --------
    >>> round(pipe_drop_bar(1000 / 60, 30, 21.6, 8.013), 4)
    0.0653
    """
    return 450.0 * math.pow(free_litre_per_second, 1.85) * length_m / (bore_mm**5 * absolute_bar)


def outside_pressure_bar(height_m: float) -> float:
    """The air's own pressure at a height over the sea.

    Parameters
    ----------
    height_m : float

    Returns
    -------
    float
        Bar, absolute.

    Raises
    ------
    Unusable
        A height at which no shop stands.

    References
    ----------
    International standard atmosphere, ISO 2533:1975.

    Examples
    --------
    >>> round(outside_pressure_bar(0), 5), round(outside_pressure_bar(1500), 4)
    (1.01325, 0.8456)
    """
    if not LOWEST_M <= height_m <= HIGHEST_M:
        raise Unusable(
            say("no shop stands at a height of {height} m", height=short(height_m)),
            remedy=say("Read the height over the sea from a map."),
        )
    return float(ATMOSPHERE_BAR * math.pow(1.0 - 2.25577e-5 * height_m, 5.25588))
