"""Protective conductors by their ohms, and control volts against the plate."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.winding import at_temperature_ohm

LIMIT_OHM = 0.1  # common practice, no source
TEST_AMPERE = 10.0
LEAST_TEST_AMPERE = 0.2  # IEC 60204-1:2016, 18.2: 0.2 to about 10 A (from memory, unverified)
COPPER_OHM_MM2_PER_M = 0.01724  # at 20 degrees: IEC 60028, annealed copper
# IEC 60204-1:1997, table 9: most volts at 10 A by cross-section in mm2 (from memory, unverified).
MOST_VOLTS = ((1.0, 3.3), (1.5, 2.6), (2.5, 1.9), (4.0, 1.4), (math.inf, 1.0))
BAND_PERCENT = 10.0  # IEC 60204-1, 4.3: 0.9 to 1.1 of the rated voltage (from memory)
RIPPLE_PERCENT = 15.0  # IEC 60204-1:2016, 4.3.3, peak to peak, of rated (from memory)
SAW_TOOTH = 2.0 * math.sqrt(3.0)  # peak to peak of a saw-tooth over its effective value


def bond_ohm(read_ohm: float, leads_ohm: float) -> float:
    """A bond's resistance, the leads of the tester taken off.

    Parameters
    ----------
    read_ohm : float
        As read between the earth terminal and the metal part.
    leads_ohm : float
        The two leads clipped together; 0 where the tester was zeroed.

    Returns
    -------
    float
        Ohm.

    Raises
    ------
    Unusable
        The leads alone have more.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(bond_ohm(0.145, 0.06), 3)
    0.085
    """
    if not 0 <= leads_ohm <= read_ohm < math.inf:
        raise Unusable(
            say("the leads alone cannot have more than leads and earth together"),
            remedy=say("Clip the leads together, read them again, then read the earth again."),
        )
    return read_ohm - leads_ohm


def conductor_ohm(length_m: float, area_mm2: float, *, conductor_c: float = 20.0) -> float:
    """What a copper conductor should have.

    Parameters
    ----------
    length_m, area_mm2 : float
    conductor_c : float
        Its temperature.

    Returns
    -------
    float
        Ohm; joints and terminals come on top.

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    IEC 60028: 1/58 ohm mm2 a metre at 20 degrees (from memory).

    Examples
    --------
    >>> round(conductor_ohm(10, 2.5), 4)
    0.069
    """
    if not (length_m > 0 and area_mm2 > 0):
        raise Unusable(
            say("length and cross-section of the conductor are needed"),
            remedy=say("Measure its way and read the cross-section on it."),
        )
    return at_temperature_ohm(COPPER_OHM_MM2_PER_M * length_m / area_mm2, 20.0, conductor_c)


def most_volts_at_ten_ampere(area_mm2: float) -> float:
    """The most that a bond may drop at 10 A, by the smallest conductor in its way.

    Parameters
    ----------
    area_mm2 : float

    Returns
    -------
    float
        Volts; over ten they are ohms.

    Raises
    ------
    Unusable
        Under 1 mm2.

    References
    ----------
    IEC 60204-1:1997, table 9 (from memory, unverified); later editions take the impedance of the
    loop in its place.

    Examples
    --------
    >>> most_volts_at_ten_ampere(2.5), most_volts_at_ten_ampere(10)
    (1.9, 1.0)
    """
    if not area_mm2 >= MOST_VOLTS[0][0]:
        raise Unusable(
            say("no protective conductor is that thin"),
            remedy=say("Read the cross-section on it again."),
        )
    found = MOST_VOLTS[0][1]
    for area, volts in MOST_VOLTS:
        found = volts
        if area_mm2 <= area:
            break
    return found


def highest_limit_ohm(area_mm2: float | None = None) -> float:
    """The highest limit that a bond may be given.

    Parameters
    ----------
    area_mm2 : float or None
        Cross-section of the smallest conductor in its way; None where nobody has looked.

    Returns
    -------
    float
        Ohm: 0.1, and more only where a thin conductor explains it.

    Raises
    ------
    Unusable
        Under 1 mm2.

    References
    ----------
    0.1 ohm is common practice, no source; IEC 60204-1:1997, table 9, volts at 10 A by
    cross-section (from memory, unverified).

    Examples
    --------
    >>> highest_limit_ohm(), highest_limit_ohm(2.5), highest_limit_ohm(16)
    (0.1, 0.19, 0.1)
    """
    if area_mm2 is None:
        return LIMIT_OHM
    return max(LIMIT_OHM, most_volts_at_ten_ampere(area_mm2) / TEST_AMPERE)


def deviation_percent(read_volts: float, rated_volts: float) -> float:
    """How far control volts lie from the plate, with their sign.

    Parameters
    ----------
    read_volts, rated_volts : float

    Returns
    -------
    float
        Per cent of rated; minus where they are low.

    Raises
    ------
    Unusable
        Nothing rated, or less than nothing read.

    References
    ----------
    By definition; IEC 60204-1, 4.3, allows 10 per cent either way (from memory).

    Examples
    --------
    >>> deviation_percent(22.8, 24)
    -5.0
    """
    _rated(read_volts, rated_volts)
    return round(100.0 * (read_volts - rated_volts) / rated_volts, 9)


def ripple_percent(ripple_volts: float, rated_volts: float, *, effective: bool = False) -> float:
    """Ripple on direct control volts, peak to peak.

    Parameters
    ----------
    ripple_volts : float
        Peak to peak, or effective.
    rated_volts : float
        Of the control supply.
    effective : bool
        Read on the alternating range of a meter: taken as a saw-tooth, 3.46 times as high.

    Returns
    -------
    float
        Per cent of rated.

    Raises
    ------
    Unusable
        Nothing rated, or less than nothing read.

    References
    ----------
    IEC 60204-1:2016, 4.3.3: peak to peak up to 0.15 of rated (from memory); the saw-tooth by
    definition.

    Examples
    --------
    >>> ripple_percent(1.2, 24), round(ripple_percent(0.5, 24, effective=True), 2)
    (5.0, 7.22)
    """
    _rated(ripple_volts, rated_volts)
    return 100.0 * ripple_volts * (SAW_TOOTH if effective else 1.0) / rated_volts


def _rated(read_volts: float, rated_volts: float) -> None:
    if not (rated_volts > 0 and 0 <= read_volts < math.inf):
        raise Unusable(
            say("the rated volts are needed"),
            remedy=say("Read them on the plate of the control transformer or the supply."),
        )
