"""Damp: dew point, water in the air, and how far a surface is from sweating."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say

MAGNUS_A, MAGNUS_B_C = 17.62, 243.12  # over water, -45 to 60 degrees C
MARGIN_KELVIN = 3.0  # a surface is kept this much above the dew point


def dew_point_c(air_c: float, relative_humidity_percent: float) -> float:
    """The temperature at which this air begins to wet a surface.

    Parameters
    ----------
    air_c : float
    relative_humidity_percent : float
        Over 0, to 100.

    Returns
    -------
    float
        Degrees Celsius.

    Raises
    ------
    Unusable
        A humidity that cannot be.

    References
    ----------
    WMO-No. 8, Guide to Instruments, annex 4.B (Magnus form; from memory).

    Examples
    --------
    >>> round(dew_point_c(20, 50), 3), round(dew_point_c(25, 80), 3)
    (9.255, 21.307)
    """
    if not 0 < relative_humidity_percent <= 100:
        raise Unusable(
            say("a relative humidity lies over 0 and up to 100 %"),
            remedy=say("Read the instrument again."),
        )
    term = math.log(relative_humidity_percent / 100.0) + MAGNUS_A * air_c / (MAGNUS_B_C + air_c)
    return MAGNUS_B_C * term / (MAGNUS_A - term)


def water_g_per_m3(air_c: float, relative_humidity_percent: float) -> float:
    """Water in a cubic metre of air.

    Parameters
    ----------
    air_c, relative_humidity_percent : float

    Returns
    -------
    float
        Grams.

    References
    ----------
    Ideal gas and Magnus form (WMO-No. 8, annex 4.B; from memory).

    Examples
    --------
    >>> round(water_g_per_m3(20, 100), 2), round(water_g_per_m3(20, 80), 2)
    (17.24, 13.79)
    """
    saturated_hpa = 6.112 * math.exp(MAGNUS_A * air_c / (MAGNUS_B_C + air_c))
    vapour_hpa = saturated_hpa * relative_humidity_percent / 100.0
    return 216.686 * vapour_hpa / (273.15 + air_c)


def margin_kelvin(surface_c: float, air_c: float, relative_humidity_percent: float) -> float:
    """How far a surface is above the dew point of the air around it.

    Parameters
    ----------
    surface_c, air_c, relative_humidity_percent : float

    Returns
    -------
    float
        Kelvin; under 3 it is time to act, under 0 it sweats.

    References
    ----------
    The 3 kelvin are common practice, no source (from memory).

    Examples
    --------
    >>> round(margin_kelvin(12, 20, 50), 1)
    2.7
    """
    return surface_c - dew_point_c(air_c, relative_humidity_percent)
