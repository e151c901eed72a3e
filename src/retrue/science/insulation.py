"""Insulation resistance of a winding, brought to one temperature."""

from __future__ import annotations

import math

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

REFERENCE_C = 40.0
HALVING_K = 10.0
COLDEST_C, HOTTEST_C = -40.0, 150.0  # our own rule: beyond it a winding was not read, but mistyped


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
            say("no winding is at {value} °C", value=f"{winding_c:g}"),
            remedy=say("Read the temperature again: 21 is 21 °C."),
            problems=(Problem("air_c", say("is not between -40 and 150 °C")),),
        )
    return resistance_megohm * math.pow(2.0, (winding_c - REFERENCE_C) / HALVING_K)
