"""Central lubrication: what bearings and ways ask, what came out, and whether the line holds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

FILM_UM = 25.4  # 0.001 in of oil an hour
CYCLE_FILM_UM = 25.0  # a cycle of an automatic pump; by hand twice that
SPARE = 1.25  # of the pump over the sum of its doses
HOSE_CM3_PER_M = 1.0  # that the main hose takes by swelling
LOW_SHARE, HIGH_SHARE = 0.5, 1.5  # of what is stamped on a meter
OIL_KG_PER_M3 = 880.0
OIL_MPA = 1500.0  # bulk modulus


def plain_bearing_area_mm2(diameter_mm: float, length_mm: float) -> float:
    """The area that a plain bearing wants wetted.

    Parameters
    ----------
    diameter_mm, length_mm : float

    Returns
    -------
    float
        Square millimetres.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Lubrication handbook, lateral surface (secondary source).

    Examples
    --------
    >>> round(plain_bearing_area_mm2(152.4, 152.4))
    72966
    """
    _known(diameter_mm, length_mm)
    return math.pi * diameter_mm * length_mm


def rolling_bearing_area_mm2(bore_mm: float, rows: int) -> float:
    """The area that a rolling bearing counts for.

    Parameters
    ----------
    bore_mm : float
    rows : int

    Returns
    -------
    float
        Square millimetres.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Lubrication handbook, shaft squared times rows (secondary source).

    Examples
    --------
    >>> rolling_bearing_area_mm2(40, 2)
    3200.0
    """
    _known(bore_mm, rows)
    return float(bore_mm**2 * rows)


def film_cm3(area_mm2: float, film_um: float = FILM_UM) -> float:
    """The oil that lays a film over an area.

    Parameters
    ----------
    area_mm2 : float
        Of a way its largest contact.
    film_um : float
        25.4 an hour, or 25 a cycle.

    Returns
    -------
    float
        Cubic centimetres, an hour or a cycle as the film.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Lubrication handbook, 0.001 in an hour (secondary source).

    Examples
    --------
    >>> round(film_cm3(plain_bearing_area_mm2(152.4, 152.4)), 3), film_cm3(400 * 300, 25)
    (1.853, 3.0)
    """
    _known(area_mm2, film_um)
    return area_mm2 * film_um / 1e6


def pump_cm3(doses_cm3: Sequence[float], hose_m: float) -> float:
    """What a central pump must give in one stroke.

    Parameters
    ----------
    doses_cm3 : sequence of float
        Of every outlet.
    hose_m : float
        Of the main hose.

    Returns
    -------
    float
        Cubic centimetres: a quarter more than the doses, and one for every metre of hose.

    Raises
    ------
    Unusable
        No outlet, or a dose that is not known.

    References
    ----------
    A pump maker's rule (secondary source).

    Examples
    --------
    >>> pump_cm3([0.2, 0.2, 0.4], 6)
    7.0
    """
    if not doses_cm3 or not hose_m >= 0:
        raise Unusable(
            say("the doses or the hose are not known"),
            remedy=say("Read what is stamped on every meter, and measure the main hose."),
        )
    _known(*doses_cm3)
    return SPARE * math.fsum(doses_cm3) + HOSE_CM3_PER_M * hose_m


@dataclass(frozen=True, slots=True)
class Outlet:
    """What came out of one outlet, against what is stamped on its meter."""

    each_cm3: float
    share: float
    fits: bool


def outlet(
    weighed_g: float, strokes: int, stamped_cm3: float, *, oil_kg_per_m3: float = OIL_KG_PER_M3
) -> Outlet:
    """Judge one outlet by the oil weighed from it.

    Parameters
    ----------
    weighed_g : float
        Caught over the strokes.
    strokes : int
    stamped_cm3 : float
        On its meter.
    oil_kg_per_m3 : float

    Returns
    -------
    Outlet
        It fits from half to one and a half times its stamp.

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    Mass over density (by definition); the two limits are common practice, no source.

    Examples
    --------
    >>> found = outlet(1.76, 10, 0.2)
    >>> round(found.each_cm3, 3), round(found.share, 2), found.fits
    (0.2, 1.0, True)
    """
    _known(strokes, stamped_cm3, oil_kg_per_m3)
    if not weighed_g >= 0:
        raise Unusable(
            say("what came out is not known"), remedy=say("Catch it over ten strokes and weigh it.")
        )
    each = weighed_g / oil_kg_per_m3 * 1000.0 / strokes
    share = each / stamped_cm3
    return Outlet(each, share, LOW_SHARE <= share <= HIGH_SHARE)


def lost_cm3(line_cm3: float, fell_bar: float, *, oil_mpa: float = OIL_MPA) -> float:
    """The oil that leaked from a full line while its pressure fell.

    Parameters
    ----------
    line_cm3 : float
        Of oil under pressure, no air in it.
    fell_bar : float
    oil_mpa : float
        Bulk modulus.

    Returns
    -------
    float
        Cubic centimetres. Air in the line hides far more: it is purged first.

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    Bulk modulus (by definition).

    Examples
    --------
    >>> round(lost_cm3(200, 20), 3)
    0.267
    """
    _known(line_cm3, oil_mpa)
    if not fell_bar >= 0:
        raise Unusable(say("the pressure did not fall"), remedy=say("Read the gauge twice."))
    return line_cm3 * fell_bar * 0.1 / oil_mpa


def regrease_g(outer_mm: float, width_mm: float) -> float:
    """The grease that a rolling bearing is given again.

    Parameters
    ----------
    outer_mm, width_mm : float
        Of the bearing.

    Returns
    -------
    float
        Grams; not for spindle bearings, whose own sheet rules.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Bearing handbooks, ``0.005 D B`` (secondary source).

    Examples
    --------
    >>> round(regrease_g(130, 31), 2)
    20.15
    """
    _known(outer_mm, width_mm)
    return 0.005 * outer_mm * width_mm


def interval_share(bearing_c: float) -> float:
    """What is left of a greasing interval on a warm bearing.

    Parameters
    ----------
    bearing_c : float
        At its outer ring.

    Returns
    -------
    float
        Half for every 15 degrees over 70.

    Raises
    ------
    Unusable
        The temperature is not known.

    References
    ----------
    Bearing handbooks (secondary source).

    Examples
    --------
    >>> interval_share(85), interval_share(60)
    (0.5, 1.0)
    """
    if not math.isfinite(bearing_c):
        raise Unusable(
            say("the bearing's temperature is not known"), remedy=say("Read it at its outer ring.")
        )
    return float(0.5 ** (max(0.0, bearing_c - 70.0) / 15.0))


def _known(*numbers: float) -> None:
    if not all(math.isfinite(number) and number > 0 for number in numbers):
        raise Unusable(
            say("a size of the lubrication is not known"),
            remedy=say("Measure it, or read it on the meter and the drawing."),
        )
