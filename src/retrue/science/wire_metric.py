"""Copper wire by square millimetres: what it carries where it lies, and its resistance.

The table of currents is from memory and unverified: the standard in the electrician's hand rules.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.wire_awg import Carries

UNVERIFIED = "IEC 60364-5-52:2009, tables B.52.4 and B.52.5 (from memory, unverified)"
SIZES_MM2 = (1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)
# Three loaded copper conductors, air of 30 degrees C: B2 a cable in conduit on a wall, C a cable
# clipped to the wall. The row of PVC in B2 agrees with a compressor's manual (secondary source).
COPPER_AMPERE: Mapping[tuple[str, str], tuple[float, ...]] = {
    ("pvc", "B2"): (15, 20, 27, 34, 46, 62, 80, 99, 118, 149, 179, 206),
    ("pvc", "C"): (17.5, 24, 32, 41, 57, 76, 96, 119, 144, 184, 223, 259),
    ("xlpe", "B2"): (19.5, 26, 35, 44, 60, 80, 105, 128, 154, 194, 233, 268),
    ("xlpe", "C"): (22, 30, 40, 52, 71, 96, 119, 147, 179, 229, 278, 322),
}
HOTTEST_C = {"pvc": 70.0, "xlpe": 90.0}
BASE_C = 30.0
# IEC 60364-5-52:2009, table B.52.17, first row: bunched in air, on a wall or in a conduit
# (from memory, unverified): up to this many circuits, factor.
BUNCHED = (
    (1, 1.0), (2, 0.80), (3, 0.70), (4, 0.65), (5, 0.60), (6, 0.57), (7, 0.54), (8, 0.52),
    (9, 0.50), (12, 0.45), (16, 0.41), (20, 0.38),
)  # fmt: skip
# IEC 60228:2004, plain copper at 20 degrees C, ohm a kilometre: class 2 stranded, 5 flexible
# (from memory).
OHM_PER_KM_20_C: Mapping[int, tuple[float, ...]] = {
    2: (12.1, 7.41, 4.61, 3.08, 1.83, 1.15, 0.727, 0.524, 0.387, 0.268, 0.193, 0.153),
    5: (13.3, 7.98, 4.95, 3.30, 1.91, 1.21, 0.780, 0.554, 0.386, 0.272, 0.206, 0.161),
}
COPPER_PER_KELVIN = 0.00393


def metric_carries(
    size_mm2: float,
    *,
    insulation: str = "pvc",
    method: str = "B2",
    ambient_c: float = BASE_C,
    circuits: int = 1,
    table: Mapping[tuple[str, str], tuple[float, ...]] = COPPER_AMPERE,
) -> Carries:
    """What three loaded copper conductors carry in warm air and in company.

    Parameters
    ----------
    size_mm2 : float
        1.5 to 120, a standard size.
    insulation : str
        pvc (70 degrees C) or xlpe (90).
    method : str
        How it lies: B2 in conduit on a wall, C clipped to it.
    ambient_c : float
        Around it.
    circuits : int
        Bunched together, this one counted; 20 at most.
    table : mapping
        Amperes by insulation and method in the order of the sizes; put a verified one in its place.

    Returns
    -------
    Carries
        For planning; an electrician verifies it against the standard in force.

    Raises
    ------
    Unusable
        No such size, insulation, method or number of circuits, or air as hot as the insulation
        bears.

    Notes
    -----
    In air of another temperature the same rise is not allowed: the factor is
    ``sqrt((hottest - ambient) / (hottest - 30))``, which the standard's table rounds.

    References
    ----------
    IEC 60364-5-52:2009, tables B.52.4, B.52.5, B.52.14 and B.52.17 (from memory, unverified).

    Examples
    --------
    >>> metric_carries(10).ampere, round(metric_carries(10, ambient_c=40, circuits=2).ampere, 1)
    (46.0, 31.9)
    """
    known = (insulation, method) in table and size_mm2 in SIZES_MM2
    if not known or not 1 <= circuits <= BUNCHED[-1][0]:
        raise Unusable(
            say("the table has no such conductor"),
            remedy=say("Take a standard size, pvc or xlpe, method B2 or C, up to 20 circuits."),
        )
    hottest = HOTTEST_C[insulation]
    if not ambient_c < hottest:
        raise Unusable(
            say("the air is as hot as the insulation may get"),
            remedy=say("Lead the cable another way, or take other insulation."),
        )
    ambient = math.sqrt((hottest - ambient_c) / (hottest - BASE_C))
    bunched = next(factor for most, factor in BUNCHED if circuits <= most)
    listed = table[insulation, method][SIZES_MM2.index(size_mm2)]
    return Carries(listed * ambient * bunched, listed, ambient, bunched)


def metric_for(
    ampere: float,
    *,
    insulation: str = "pvc",
    method: str = "B2",
    ambient_c: float = BASE_C,
    circuits: int = 1,
) -> float:
    """The smallest copper size of the table that carries a current where it lies.

    Parameters
    ----------
    ampere : float
        Rating of the device that protects it.
    insulation, method : str
    ambient_c : float
    circuits : int

    Returns
    -------
    float
        Square millimetres; the drop along the line may ask for more.

    Raises
    ------
    Unusable
        No current, or more than the table's largest carries.

    References
    ----------
    IEC 60364-5-52:2009 (from memory, unverified).

    Examples
    --------
    >>> metric_for(32), metric_for(32, ambient_c=40, circuits=2)
    (6.0, 16.0)
    """
    for size in SIZES_MM2 if ampere > 0 else ():
        found = metric_carries(
            size, insulation=insulation, method=method, ambient_c=ambient_c, circuits=circuits
        )
        if found.ampere >= ampere - 1e-9:
            return size
    raise Unusable(
        say("no conductor of the table carries this current"),
        remedy=say("Read the current again, or have an electrician plan it."),
    )


def metric_ohm_per_km(size_mm2: float, *, strands: int = 5, copper_c: float = 70.0) -> float:
    """The resistance of one plain copper conductor at its temperature.

    Parameters
    ----------
    size_mm2 : float
        1.5 to 120, a standard size.
    strands : int
        Class of the conductor: 5 flexible, 2 stranded.
    copper_c : float
        Of the copper under load.

    Returns
    -------
    float
        Ohm a kilometre.

    Raises
    ------
    Unusable
        No such size or class.

    References
    ----------
    IEC 60228:2004, tables 2 and 3 (from memory); 0.00393 a kelvin (IEC 60028).

    Examples
    --------
    >>> metric_ohm_per_km(10, copper_c=20), round(metric_ohm_per_km(10), 3)
    (1.91, 2.285)
    """
    if size_mm2 not in SIZES_MM2 or strands not in OHM_PER_KM_20_C:
        raise Unusable(
            say("the table has no such conductor"),
            remedy=say("Take a standard size, class 2 or 5."),
        )
    cold = OHM_PER_KM_20_C[strands][SIZES_MM2.index(size_mm2)]
    return cold * (1.0 + COPPER_PER_KELVIN * (copper_c - 20.0))
