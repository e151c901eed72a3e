"""Windings by their ohms: are the phases alike, and how warm did the copper get."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.give_or_take import expanded
from retrue.science.least_squares import fit

# Degrees below zero Celsius at which a metal's resistance, drawn on straight, would end.
COPPER_C, COPPER_IEC_C, ALUMINIUM_C = 234.5, 235.0, 225.0
GOOD_PERCENT, SUSPECT_PERCENT = 3.0, 5.0  # practice of rewinders (from memory)
# IEC 60034-1, by resistance, in air of 40 degrees; IEC 60085 (from memory, unverified).
RISE_KELVIN = {"A": 60.0, "E": 75.0, "B": 80.0, "F": 105.0, "H": 125.0}
CLASS_C = {"A": 105.0, "E": 120.0, "B": 130.0, "F": 155.0, "H": 180.0}
RATED_AIR_C, WARMEST_AIR_C = 40.0, 60.0
LEAST_READINGS = 3
Joined = Literal["star", "delta"]


def spread_percent(ohms: Sequence[float]) -> float:
    """How far apart three resistances are: largest less smallest, over their mean.

    Parameters
    ----------
    ohms : sequence of float, shape (3,)
        Between lines, or of the phases; at one temperature.

    Returns
    -------
    float
        Per cent; up to 3 is good, over 5 is suspect.

    Raises
    ------
    Unusable
        Not three positive resistances.

    References
    ----------
    Practice of rewinders (from memory).

    Examples
    --------
    >>> round(spread_percent([1.00, 1.02, 1.01]), 3)
    1.98
    """
    three = _three(ohms)
    return 100.0 * (max(three) - min(three)) / (sum(three) / 3)


def largest_deviation_percent(ohms: Sequence[float]) -> float:
    """How far the most unlike of three resistances lies from their mean.

    Parameters
    ----------
    ohms : sequence of float, shape (3,)

    Returns
    -------
    float
        Per cent of the mean.

    Raises
    ------
    Unusable
        Not three positive resistances.

    References
    ----------
    By definition; the way in which the unbalance of voltages is stated.

    Examples
    --------
    >>> round(largest_deviation_percent([1.00, 1.02, 1.01]), 3)
    0.99
    """
    three = _three(ohms)
    mean = sum(three) / 3
    return 100.0 * max(abs(ohm - mean) for ohm in three) / mean


def phase_ohm(line_ohm: float, joined: Joined) -> float:
    """Resistance of one phase of a winding whose phases are alike.

    Parameters
    ----------
    line_ohm : float
        Between two lines.
    joined : str
        star or delta.

    Returns
    -------
    float
        Half of it in star, one and a half times in delta.

    References
    ----------
    Circuit theory (by definition).

    Examples
    --------
    >>> phase_ohm(2.0, "star"), phase_ohm(2.0, "delta")
    (1.0, 3.0)
    """
    return line_ohm / 2 if joined == "star" else 1.5 * line_ohm


def phases_ohm(ohm_12: float, ohm_23: float, ohm_31: float, joined: Joined) -> tuple[float, ...]:
    """Each phase of a winding whose phases need not be alike.

    Parameters
    ----------
    ohm_12, ohm_23, ohm_31 : float
        Between lines 1 and 2, 2 and 3, 3 and 1; at one temperature.
    joined : str
        star: phases 1, 2 and 3. delta: the phases between 1 and 2, 2 and 3, 3 and 1.

    Returns
    -------
    tuple of float, shape (3,)
        Ohm.

    Raises
    ------
    Unusable
        Not three positive resistances, or three that no winding has.

    References
    ----------
    Circuit theory (by definition): three equations of two phases in series; Kennelly 1899 for the
    delta.

    Examples
    --------
    >>> phases_ohm(3.0, 5.0, 4.0, "star")
    (1.0, 2.0, 3.0)
    """
    _three((ohm_12, ohm_23, ohm_31))
    half = (ohm_12 + ohm_23 + ohm_31) / 2
    star = half - ohm_23, half - ohm_31, half - ohm_12
    if min(star) <= 0:
        raise Unusable(
            say("no winding has these three resistances"),
            remedy=say("Measure all three again with four wires; one lead or plug is loose."),
        )
    if joined == "star":
        return star
    one, two, three = star
    pairs = one * two + two * three + three * one
    return pairs / three, pairs / one, pairs / two


def at_temperature_ohm(
    ohm: float, winding_c: float, wanted_c: float, *, metal_c: float = COPPER_C
) -> float:
    """A winding's resistance brought to another temperature.

    Parameters
    ----------
    ohm : float
        As measured.
    winding_c, wanted_c : float
        Temperature it was measured at, and the one it is wanted for; degrees C.
    metal_c : float
        234.5 for copper (235 in IEC standards), 225 for aluminium.

    Returns
    -------
    float
        Ohm.

    Raises
    ------
    Unusable
        A temperature below what the rule covers.

    References
    ----------
    IEC 60034-1 and IEEE Std 112: resistance grows in proportion to temperature plus the constant
    of its metal (from memory).

    Examples
    --------
    >>> round(at_temperature_ohm(1.0, 20, 75), 4)
    1.2161
    """
    if min(winding_c, wanted_c) <= -metal_c / 2:
        raise Unusable(
            say("no workshop is that cold"), remedy=say("Read the thermometer again, in °C.")
        )
    return ohm * (metal_c + wanted_c) / (metal_c + winding_c)


def temperature_c(
    warm_ohm: float, cold_ohm: float, cold_c: float, *, metal_c: float = COPPER_C
) -> float:
    """Mean temperature of a winding, by what its resistance has grown.

    Parameters
    ----------
    warm_ohm, cold_ohm : float
        Warm, and cold after standing long enough to have the temperature of the room.
    cold_c : float
        Temperature of the winding when cold, in degrees C.
    metal_c : float
        234.5 for copper (235 in IEC standards), 225 for aluminium.

    Returns
    -------
    float
        Degrees C.

    Raises
    ------
    Unusable
        A resistance is not positive.

    References
    ----------
    IEC 60034-1, method of resistance: ``t2 = R2 / R1 * (k + t1) - k`` (from memory); 80 to 100 ohm
    from 20 degrees is 83.63 degrees (secondary source).

    Examples
    --------
    >>> temperature_c(100, 80, 20), temperature_c(100, 80, 20, metal_c=ALUMINIUM_C)
    (83.625, 81.25)
    """
    if not (warm_ohm > 0 and cold_ohm > 0):
        raise Unusable(
            say("two resistances are needed, cold and warm"),
            remedy=say("Measure both between the same two leads, with four wires."),
        )
    return warm_ohm / cold_ohm * (metal_c + cold_c) - metal_c


def rise_limit_kelvin(insulation_class: str, *, air_c: float = RATED_AIR_C) -> float:
    """How much warmer than its air a winding may get, by resistance.

    Parameters
    ----------
    insulation_class : str
        A, E, B, F or H, from the plate.
    air_c : float
        Of the air that cools it; over 40 degrees the limit falls by as much.

    Returns
    -------
    float
        Kelvin.

    Raises
    ------
    Unusable
        No such class, or air over 60 degrees.

    References
    ----------
    IEC 60034-1, limits of temperature rise by resistance: B 80, F 105, H 125 K at 40 degrees
    (from memory, unverified).

    Examples
    --------
    >>> rise_limit_kelvin("F"), rise_limit_kelvin("B", air_c=50)
    (105.0, 70.0)
    """
    if insulation_class not in RISE_KELVIN or not air_c <= WARMEST_AIR_C:
        raise Unusable(
            say("no limit is known for this class in this air"),
            remedy=say("Read the letter on the plate of the motor: A, E, B, F or H."),
        )
    return RISE_KELVIN[insulation_class] - max(0.0, air_c - RATED_AIR_C)


@dataclass(frozen=True, slots=True)
class SwitchedOff:
    """A winding at the moment it was switched off; ohm, and one time constant in seconds."""

    ohm: float
    give_or_take_ohm: float  # 95.45 per cent
    constant_s: float


def at_switching_off(
    after_s: Sequence[float], ohms: Sequence[float], settled_ohm: float
) -> SwitchedOff:
    """The resistance when the current went off, from readings taken while it cooled.

    Parameters
    ----------
    after_s : sequence of float, shape (n,)
        Seconds since switching off; three readings or more, at different times.
    ohms : sequence of float, shape (n,)
        Resistance at those times.
    settled_ohm : float
        What it settles at: the resistance at the temperature of its air.

    Returns
    -------
    SwitchedOff

    Raises
    ------
    Unusable
        Fewer than three readings, a reading at or under the settled one, or a winding that does
        not cool.

    Notes
    -----
    A straight line through the logarithm of what is above the settled value, each reading weighted
    by its height, as the logarithm of a small one is worth less.

    References
    ----------
    IEC 60034-1, extrapolation to the moment of switching off (from memory); JCGM 100:2008, G.3,
    for the give or take of few readings.

    Examples
    --------
    >>> cooled = [80 + 20 * 2.718281828 ** (-t / 300) for t in (30, 60, 90, 120)]
    >>> found = at_switching_off([30, 60, 90, 120], cooled, 80)
    >>> round(found.ohm, 3), round(found.constant_s)
    (100.0, 300)
    """
    times, above = np.asarray(after_s, float), np.asarray(ohms, float) - settled_ohm
    if times.ndim != 1 or times.shape != above.shape or len(set(after_s)) < LEAST_READINGS:
        raise Unusable(
            say("three readings at different times are needed"),
            remedy=say("Read again, every half minute after switching off, with the seconds."),
        )
    if not (np.isfinite(times).all() and (times >= 0).all() and (above > 0).all()):
        raise Unusable(
            say("a reading is not above what the winding settles at"),
            remedy=say("Measure it cold again, or leave the late readings away."),
        )
    lines = fit(np.column_stack((above, -above * times)), above * np.log(above))
    height, slope = (float(one) for one in lines.parameters)
    if slope <= 0:
        raise Unusable(
            say("this winding does not cool"),
            remedy=say("Look at the times and the order of the readings."),
        )
    over = math.exp(height)
    doubt = over * expanded(float(lines.standard_uncertainties[0]), lines.freedom)
    return SwitchedOff(settled_ohm + over, doubt, 1.0 / slope)


def _three(ohms: Sequence[float]) -> tuple[float, ...]:
    if len(ohms) != 3 or not all(0 < ohm < math.inf for ohm in ohms):
        raise Unusable(
            say("three resistances are needed"),
            remedy=say("Measure between lines 1 and 2, 2 and 3, 3 and 1, with four wires."),
        )
    return tuple(ohms)
