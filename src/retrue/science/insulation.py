"""Insulation resistance of a winding: brought to one temperature, and against its least value.

A reading is no leave to energise: local code and licensed practice decide.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

REFERENCE_C = 40.0
HALVING_K = 10.0
COLDEST_C, HOTTEST_C = -40.0, 150.0  # our own rule: beyond it a winding was not read, but mistyped
FREEZING_KELVIN = 273.0  # as the standard rounds it
THERMOSETTING_C = 10.0, 85.0  # IEEE Std 43-2013, 6.3: what its rule covers (from memory)
COLD_KELVIN, WARM_KELVIN = 1245.0, 4230.0  # IEEE Std 43-2013, 6.3 (from memory, unverified)
OLD_BEFORE_YEAR = 1970  # "about 1970" in the standard
WOUND_FROM, WOUND_TO = 1900, 2100  # our own rule: another year was mistyped
RANDOM_MEGOHM, FORM_MEGOHM = 5.0, 100.0  # IEEE Std 43, table 3 (from memory)
FORM_FROM_VOLTS = 1000.0
TEST_VOLTS, OLD_VARNISH_VOLTS = 500.0, 250.0
MACHINE_MEGOHM, BUS_BARS_MEGOHM = 1.0, 0.05  # IEC 60204-1, 18.3 (from memory)
Material = Literal["thermoplastic", "thermosetting", "unknown"]
Winding = Literal["random", "form", "armature", "field"]
WINDINGS = ("random", "form", "armature", "field")


def at_40_c(resistance_megohm: float, winding_c: float) -> float:
    """Bring an insulation resistance to 40 degrees C.

    Parameters
    ----------
    resistance_megohm : float
        As read after one minute, in megohm, positive.
    winding_c : float
        Temperature of the winding itself, in degrees C.

    Returns
    -------
    float
        Resistance at 40 degrees C, in megohm.

    Raises
    ------
    ValueError
        The resistance is not positive.
    Unusable
        No winding that is tested at rest has this temperature: it is a slip of the pen.

    Notes
    -----
    Insulation halves for every 10 degrees the winding is warmer:
    ``R40 = R * 0.5 ** ((40 - T) / 10)``. The rule is for windings above the dew point.
    A reading is no leave to energise: local code and licensed practice decide.

    References
    ----------
    IEEE Std 43-2013, Recommended Practice for Testing Insulation Resistance of Electric
    Machinery, clause 6.3 (from memory).

    Examples
    --------
    >>> at_40_c(20.0, 20.0)
    5.0
    >>> at_40_c(5.0, 40.0)
    5.0
    """
    if not resistance_megohm > 0.0:
        raise ValueError("an insulation resistance is a positive number of megohm")
    if not COLDEST_C <= winding_c <= HOTTEST_C:
        raise Unusable(
            say("no winding is at {value} °C", value=short(winding_c)),
            remedy=say("Read the temperature again: 21 is 21 °C."),
            problems=(Problem("air_c", say("is not between -40 and 150 °C")),),
        )
    return resistance_megohm * math.pow(2.0, (winding_c - REFERENCE_C) / HALVING_K)


def at_40_c_thermosetting(resistance_megohm: float, winding_c: float) -> float:
    """Bring an insulation resistance to 40 degrees C, for a thermosetting winding.

    Parameters
    ----------
    resistance_megohm : float
        As read after one minute, in megohm, positive.
    winding_c : float
        Temperature of the winding itself, 10 to 85 degrees C.

    Returns
    -------
    float
        Resistance at 40 degrees C, in megohm.

    Raises
    ------
    ValueError
        The resistance is not positive.
    Unusable
        The rule says nothing about this temperature.

    Notes
    -----
    ``R40 = R * exp(-4230 * (1/(T + 273) - 1/313))`` from 40 to 85 degrees, and 1245 in place of
    4230 from 10 to 40: resin changes less than shellac and asphalt. At 20 degrees the halving rule
    leaves a third of what this one leaves, so the sort of insulation has to be known.

    References
    ----------
    IEEE Std 43-2013, clause 6.3, thermosetting insulation (constants from memory, unverified).

    Examples
    --------
    >>> round(at_40_c_thermosetting(1.0, 60.0), 3), round(at_40_c_thermosetting(1.0, 20.0), 3)
    (2.252, 0.762)
    """
    if not resistance_megohm > 0.0:
        raise ValueError("an insulation resistance is a positive number of megohm")
    if not THERMOSETTING_C[0] <= winding_c < THERMOSETTING_C[1]:
        raise Unusable(
            say("the rule for thermosetting insulation holds from 10 to 85 °C"),
            remedy=say("Read it again with the winding near the temperature of the room."),
        )
    steep = WARM_KELVIN if winding_c >= REFERENCE_C else COLD_KELVIN
    inverse = 1.0 / (winding_c + FREEZING_KELVIN) - 1.0 / (REFERENCE_C + FREEZING_KELVIN)
    return resistance_megohm * math.exp(-steep * inverse)


@dataclass(frozen=True, slots=True)
class AtForty:
    """One reading at 40 degrees C by both rules; megohm."""

    thermoplastic_megohm: float
    thermosetting_megohm: float | None  # None outside of what its rule covers
    judged_megohm: float  # by the rule of the winding; the lower of both where nobody knows


def by_both_rules(
    resistance_megohm: float, winding_c: float, material: Material = "unknown"
) -> AtForty:
    """Bring a reading to 40 degrees C by both rules, and say which one judges.

    Parameters
    ----------
    resistance_megohm : float
        As read after one minute, in megohm.
    winding_c : float
        Temperature of the winding itself, in degrees C.
    material : str
        thermoplastic (shellac, asphalt; made before the early 1960s), thermosetting (polyester,
        epoxy; since), or unknown.

    Returns
    -------
    AtForty

    Raises
    ------
    ValueError
        The resistance is not positive.
    Unusable
        The temperature is that of no winding, or the thermosetting rule has to judge and does not
        cover it: over 40 degrees it gives the lower value, so it judges the unknown there as well.

    References
    ----------
    IEEE Std 43-2013, clause 6.3 (from memory).

    Examples
    --------
    >>> found = by_both_rules(200.0, 20.0)
    >>> found.thermoplastic_megohm, round(found.thermosetting_megohm), found.judged_megohm
    (50.0, 152, 50.0)
    """
    halved = at_40_c(resistance_megohm, winding_c)
    covered = THERMOSETTING_C[0] <= winding_c < THERMOSETTING_C[1]
    resin = at_40_c_thermosetting(resistance_megohm, winding_c) if covered else None
    lower_is_resin = material == "unknown" and winding_c > REFERENCE_C
    if material == "thermosetting" or lower_is_resin:
        judged = at_40_c_thermosetting(resistance_megohm, winding_c) if resin is None else resin
    elif material == "thermoplastic" or resin is None:
        judged = halved
    else:
        judged = min(halved, resin)
    return AtForty(halved, resin, judged)


def minimum_megohm(
    winding: Winding, rated_volts: float, *, wound_year: int | None = None, edition: int = 2013
) -> float:
    """The least insulation resistance at 40 degrees C after one minute.

    Parameters
    ----------
    winding : str
        random (wound at random, as most motors of machine tools), form (form-wound coils),
        armature (of a direct-current motor) or field.
    rated_volts : float
        Between terminals.
    wound_year : int or None
        When it was wound, 1900 to 2100; before about 1970 the old rule holds.
    edition : int
        2000 or 2013: armatures went from 100 to 5 megohm.

    Returns
    -------
    float
        Megohm.

    Raises
    ------
    Unusable
        No such winding, no voltage, no such year, or an edition that is not known here.

    References
    ----------
    IEEE Std 43-2000 and 43-2013, table 3 (from memory; the change for armatures by a trade
    association's summary of the edition, secondary source).

    Examples
    --------
    >>> minimum_megohm("random", 400), minimum_megohm("random", 400, wound_year=1962)
    (5.0, 1.4)
    >>> minimum_megohm("armature", 180, edition=2000), minimum_megohm("armature", 180)
    (100.0, 5.0)
    """
    if not (rated_volts > 0 and winding in WINDINGS and edition in (2000, 2013)):
        raise Unusable(
            say("no least insulation is known for this winding"),
            remedy=say("Say how it is wound and its rated volts, from the plate of the motor."),
        )
    if wound_year is not None and not WOUND_FROM <= wound_year <= WOUND_TO:
        raise Unusable(
            say("nothing was wound in the year {year}", year=str(wound_year)),
            remedy=say("Write the year with its four figures: 1987."),
            problems=(Problem("wound_year", say("is not between 1900 and 2100")),),
        )
    if winding == "field" or (wound_year is not None and wound_year < OLD_BEFORE_YEAR):
        return rated_volts / 1000.0 + 1.0
    if winding == "armature":
        return RANDOM_MEGOHM if edition == 2013 else FORM_MEGOHM
    if winding == "random" or rated_volts < FORM_FROM_VOLTS:
        return RANDOM_MEGOHM
    return FORM_MEGOHM


def proving_volts(rated_volts: float, *, old_varnish: bool = False) -> float:
    """The direct voltage of the test.

    Parameters
    ----------
    rated_volts : float
        Of the winding, between terminals.
    old_varnish : bool
        Brittle, cracked or older than anyone remembers.

    Returns
    -------
    float
        Volts, direct.

    Raises
    ------
    Unusable
        A winding of 1,000 V or more: that is not tested here.

    References
    ----------
    IEEE Std 43-2013, table 1: 500 V under 1,000 V (from memory); half of it on old varnish is
    common practice, no source.

    Examples
    --------
    >>> proving_volts(400), proving_volts(400, old_varnish=True)
    (500.0, 250.0)
    """
    if not 0 < rated_volts < FORM_FROM_VOLTS:
        raise Unusable(
            say("only windings under 1,000 V are tested here"),
            remedy=say("Ask a winder: higher windings have test voltages of their own."),
        )
    return OLD_VARNISH_VOLTS if old_varnish else TEST_VOLTS


def machine_minimum_megohm(*, bus_bars: bool = False) -> float:
    """The least between the power conductors of a whole machine and protective earth, at 500 V.

    Parameters
    ----------
    bus_bars : bool
        For bus bars, conductor rails and slip rings a lower value may be agreed.

    Returns
    -------
    float
        Megohm, as read; it is not brought to another temperature.

    References
    ----------
    IEC 60204-1:2016, clause 18.3 (from memory, unverified).

    Examples
    --------
    >>> machine_minimum_megohm(), machine_minimum_megohm(bus_bars=True)
    (1.0, 0.05)
    """
    return BUS_BARS_MEGOHM if bus_bars else MACHINE_MEGOHM
