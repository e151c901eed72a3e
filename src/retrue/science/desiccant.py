"""How many units of desiccant a sealed wrapping needs."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

# Highest relative humidity allowed inside: water that one unit takes up, share left at the end.
TAKES_G = {20: 3.0, 40: 6.0, 50: 7.0, 60: 8.0}
LEFT_SHARE = {20: 0.9, 40: 0.7, 50: 0.65, 60: 0.6}
AIR_G_PER_M3 = 13.83  # at 20 degrees C and 80 %
WOOD_G_PER_KG = 80.0  # air-dry wood and board


@dataclass(frozen=True, slots=True)
class Desiccant:
    """Units needed, and which water they are for, in grams."""

    units: float
    air_g: float
    packing_g: float
    through_g: float


def desiccant(
    *,
    volume_m3: float,
    packing_kg: float,
    area_m2: float,
    days: float,
    film_g_per_m2_day: float,
    humidity_percent: int = 40,
) -> Desiccant:
    """Count the units of desiccant for a wrapping.

    Parameters
    ----------
    volume_m3 : float
        Of air inside.
    packing_kg : float
        Wood and board inside.
    area_m2 : float
        Of the film.
    days : float
        How long it shall last.
    film_g_per_m2_day : float
        Water vapour through the film; 0.1 at least is counted.
    humidity_percent : int
        The most that is allowed inside: 20, 40, 50 or 60.

    Returns
    -------
    Desiccant

    Raises
    ------
    Unusable
        Another humidity than those of the table.

    References
    ----------
    DIN 55474:1997 (secondary source): 40 m3, 20 kg, 65 m2, 360 days at 0.4 is 1450.9 units.

    Examples
    --------
    >>> found = desiccant(volume_m3=40, packing_kg=20, area_m2=65, days=360, film_g_per_m2_day=0.4)
    >>> round(found.units, 1), round(found.through_g)
    (1450.9, 6552)
    """
    if humidity_percent not in TAKES_G:
        raise Unusable(
            say("the table knows 20, 40, 50 and 60 % inside"), remedy=say("Choose one of them.")
        )
    film = max(0.1, film_g_per_m2_day)
    air = volume_m3 * AIR_G_PER_M3
    packing = packing_kg * WOOD_G_PER_KG
    through = area_m2 * LEFT_SHARE[humidity_percent] * film * days
    return Desiccant((air + packing + through) / TAKES_G[humidity_percent], air, packing, through)
