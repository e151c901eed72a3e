"""A line of compressed air: what a pipe takes by its roughness, and how dry the air is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.compressed_air import ATMOSPHERE_BAR
from retrue.science.damp import MAGNUS_A, MAGNUS_B_C

GAS_J_PER_KG_K = 287.05  # dry air
KELVIN = 273.15
SUTHERLAND = (1.716e-5, 273.15, 110.4)  # viscosity of air: at, temperature, constant
THINNEST_BAR = 0.2  # at 11,000 m; the factors below hold from there down
LAMINAR, TURBULENT = 2300.0, 4000.0
STEEL_UM = 45.0  # roughness of clean steel pipe (handbook, from memory)
# Over ice, -65 to 0 degrees C (WMO-No. 8, annex 4.B; from memory).
ICE_A, ICE_B_C = 22.46, 272.62
BASE_HPA = 6.112
# ISO 8573-1:2010, water: class, highest pressure dew point, degrees C (secondary source).
WATER_CLASSES = ((1, -70.0), (2, -40.0), (3, -20.0), (4, 3.0), (5, 7.0), (6, 10.0))
# ISO 8573-1:2010, oil: class, most in milligrams a cubic metre (secondary source).
OIL_CLASSES = ((1, 0.01), (2, 0.1), (3, 1.0), (4, 5.0))


@dataclass(frozen=True, slots=True)
class Flow:
    """Air that flows in a pipe, and what that takes of its pressure."""

    drop_bar: float
    speed_m_s: float
    reynolds: float
    friction: float  # Darcy's factor


def darcy_drop(
    free_litre_per_second: float,
    length_m: float,
    bore_mm: float,
    gauge_bar: float,
    *,
    air_c: float = 20.0,
    rough_um: float = STEEL_UM,
    outside_bar: float = ATMOSPHERE_BAR,
    free_c: float | None = None,
) -> Flow:
    """The pressure lost along a rough pipe of compressed air.

    Parameters
    ----------
    free_litre_per_second : float
        Free air, at the pressure outside.
    length_m, bore_mm : float
        Straight length with what fittings count for; inner diameter.
    gauge_bar : float
        Pressure at its beginning, over the air outside.
    air_c : float
        In the pipe.
    rough_um : float
        Of its wall.
    outside_bar : float
        Absolute.
    free_c : float or None
        At which free air is counted; without it as warm as in the pipe.

    Returns
    -------
    Flow
        At the beginning of the pipe; good as long as little of the pressure is lost.

    Raises
    ------
    Unusable
        A number is not known, or more than a tenth of the pressure would be lost.

    Notes
    -----
    Darcy and Weisbach with the factor of Colebrook and White, laminar below Reynolds 2300, the
    larger of both between; air as an ideal gas, viscosity after Sutherland.

    References
    ----------
    Colebrook 1939; White, Fluid Mechanics (from memory).

    Examples
    --------
    >>> found = darcy_drop(1000 / 60, 30, 21.6, 7)
    >>> round(found.drop_bar, 4), round(found.speed_m_s, 2)
    (0.057, 5.75)
    """
    numbers = (free_litre_per_second, length_m, bore_mm, outside_bar, air_c + KELVIN)
    if not all(number > 0 for number in numbers) or not (gauge_bar >= 0 and rough_um >= 0):
        raise Unusable(
            say("the pipe or its flow is not known"),
            remedy=say("Measure bore and length; read flow and pressure at the machine."),
        )
    absolute = gauge_bar + outside_bar
    warm, bore = air_c + KELVIN, bore_mm / 1000.0
    squeezed = outside_bar / absolute * warm / (warm if free_c is None else free_c + KELVIN)
    speed = free_litre_per_second / 1000.0 * squeezed / (math.pi / 4.0 * bore**2)
    density = absolute * 1e5 / (GAS_J_PER_KG_K * warm)
    reynolds = density * speed * bore / _viscosity(warm)
    factor = friction_factor(reynolds, rough_um / 1000.0 / bore_mm)
    drop = factor * length_m / bore * density * speed**2 / 2.0 / 1e5
    if not drop < 0.1 * absolute:
        raise Unusable(
            say("this pipe would take more than a tenth of the pressure"),
            remedy=say("Take a wider pipe."),
        )
    return Flow(drop, speed, reynolds, factor)


def friction_factor(reynolds: float, rough_share: float) -> float:
    """Darcy's factor of a round pipe.

    Parameters
    ----------
    reynolds : float
    rough_share : float
        Roughness over bore.

    Returns
    -------
    float

    Raises
    ------
    Unusable
        No flow, or a wall as rough as the pipe is wide.

    References
    ----------
    Colebrook 1939; 64 / Re below 2300 (by definition).

    Examples
    --------
    >>> round(friction_factor(1e5, 1e-4), 6), friction_factor(1000, 0)
    (0.018514, 0.064)
    """
    if not (reynolds > 0 and 0 <= rough_share < 0.1):
        raise Unusable(
            say("the pipe's friction cannot be told"), remedy=say("Measure bore, flow and wall.")
        )
    laminar = 64.0 / reynolds
    if reynolds < LAMINAR:
        return laminar
    root = 6.0  # of one over the factor; the fixed point is reached in a few steps
    for _ in range(40):
        root = -2.0 * math.log10(rough_share / 3.7 + 2.51 * root / reynolds)
    turbulent = 1.0 / root**2
    return turbulent if reynolds > TURBULENT else max(laminar, turbulent)


def atmospheric_frost_c(
    pressure_dew_c: float, gauge_bar: float, *, outside_bar: float = ATMOSPHERE_BAR
) -> float:
    """Below which temperature dried air wets or frosts a surface once it has expanded.

    Parameters
    ----------
    pressure_dew_c : float
        Dew point under pressure, as the dryer's plate or its gauge says.
    gauge_bar : float
        Over the air outside.
    outside_bar : float
        Absolute.

    Returns
    -------
    float
        Degrees Celsius: dew point from 0 up, frost point below.

    Raises
    ------
    Unusable
        A dew point out of -80 to 60 degrees C, or a pressure that is not known.

    Notes
    -----
    Expansion takes water's own pressure down as it takes the air's (Dalton); squeezed air holds a
    little more than that, by the enhancement factor ``1.0016 + 3.15e-6 p - 0.074 / p``, p in hPa,
    which is carried on here above the 1100 hPa it was made for.

    References
    ----------
    WMO-No. 8, annex 4.B, over water and over ice, enhancement factor (from memory).

    Examples
    --------
    >>> round(atmospheric_frost_c(3, 8 - 1.01325), 1)
    -20.5
    """
    return _at_pressure(_dew(pressure_dew_c), _absolute(gauge_bar, outside_bar), outside_bar)


def pressure_dew_c(
    atmospheric_dew_c: float, gauge_bar: float, *, outside_bar: float = ATMOSPHERE_BAR
) -> float:
    """Below which temperature a room's air wets the pipe once it is squeezed.

    Parameters
    ----------
    atmospheric_dew_c : float
        Dew or frost point of the air before the compressor.
    gauge_bar : float
        Over the air outside.
    outside_bar : float
        Absolute.

    Returns
    -------
    float
        Degrees Celsius.

    Raises
    ------
    Unusable
        A dew point out of -80 to 60 degrees C, or a pressure that is not known.

    References
    ----------
    WMO-No. 8, annex 4.B, over water and over ice, enhancement factor (from memory).

    Examples
    --------
    >>> round(pressure_dew_c(9.26, 7), 1)
    43.9
    """
    return _at_pressure(_dew(atmospheric_dew_c), outside_bar, _absolute(gauge_bar, outside_bar))


def water_class(dew_c: float) -> int | None:
    """The class of dryness of compressed air.

    Parameters
    ----------
    dew_c : float
        Its pressure dew point.

    Returns
    -------
    int or None
        1 (driest) to 6; None where it is wetter than the last.

    Raises
    ------
    Unusable
        No dew point.

    References
    ----------
    ISO 8573-1:2010, table 2 (secondary source).

    Examples
    --------
    >>> water_class(3), water_class(-25), water_class(15)
    (4, 3, None)
    """
    if not math.isfinite(dew_c):
        raise Unusable(
            say("the pressure dew point is not known"), remedy=say("Read it at the dryer.")
        )
    return next((name for name, most in WATER_CLASSES if dew_c <= most), None)


def leak_share(leak_litre_per_minute: float, made_litre_per_minute: float) -> float:
    """What of the air made leaks away.

    Parameters
    ----------
    leak_litre_per_minute : float
        Free air, see `compressed_air.leak_litre_per_minute`.
    made_litre_per_minute : float
        Free air the compressor makes.

    Returns
    -------
    float
        Share; above one it never reaches its pressure.

    Raises
    ------
    Unusable
        What is made is not known.

    References
    ----------
    By definition.

    Examples
    --------
    >>> leak_share(30, 300)
    0.1
    """
    if not (made_litre_per_minute > 0 and leak_litre_per_minute >= 0):
        raise Unusable(
            say("what the compressor makes is not known"),
            remedy=say("Read the free air delivery on its plate."),
        )
    return leak_litre_per_minute / made_litre_per_minute


def _viscosity(warm: float) -> float:
    at, temperature, constant = SUTHERLAND
    thinner: float = (warm / temperature) ** 1.5
    return at * thinner * (temperature + constant) / (warm + constant)


def _at_pressure(dew_c: float, from_bar: float, to_bar: float) -> float:
    """The dew or frost point of the same air at another pressure."""
    held = _vapour_hpa(dew_c) * _enhanced(from_bar) / from_bar
    return _dew_of(held * to_bar / _enhanced(to_bar))


def _enhanced(bar: float) -> float:
    return 1.0016 + 3.15e-3 * bar - 7.4e-5 / bar


def _vapour_hpa(dew_c: float) -> float:
    a, b = (MAGNUS_A, MAGNUS_B_C) if dew_c >= 0 else (ICE_A, ICE_B_C)
    return BASE_HPA * math.exp(a * dew_c / (b + dew_c))


def _dew_of(vapour_hpa: float) -> float:
    term = math.log(vapour_hpa / BASE_HPA)
    a, b = (MAGNUS_A, MAGNUS_B_C) if term >= 0 else (ICE_A, ICE_B_C)
    return b * term / (a - term)


def _dew(dew_c: float) -> float:
    if not -80 <= dew_c <= 60:
        raise Unusable(
            say("the dew point lies outside what the formula knows"),
            remedy=say("Read it again: between -80 and 60 °C."),
        )
    return dew_c


def _absolute(gauge_bar: float, outside_bar: float) -> float:
    if not (gauge_bar >= 0 and outside_bar >= THINNEST_BAR):
        raise Unusable(
            say("the pressure is not known"), remedy=say("Read the gauge where the air is used.")
        )
    return gauge_bar + outside_bar
