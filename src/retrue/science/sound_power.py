"""Sound power of a machine from levels around it, and what it gives elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.sound_level import Grade, background_correction, mean_db

MOST_K2_DB: dict[Grade, float] = {"engineering": 4.0, "survey": 7.0}
LEAST_PLACES: dict[Grade, int] = {"engineering": 10, "survey": 4}
SPREAD_DB: dict[Grade, float] = {"engineering": 1.5, "survey": 3.0}  # of reproducing it, one sigma
SABINE_S_PER_M = 0.16


@dataclass(frozen=True, slots=True)
class SoundPower:
    """Sound power and what was taken off on the way."""

    level_db: float
    mean_db: float  # over the places
    k1_db: float  # background
    k2_db: float  # room
    area_m2: float
    grade: Grade | None  # None: the room throws back too much for either
    upper_bound: bool  # the background was too near
    give_or_take_db: float  # k = 2


def hemisphere_m2(radius_m: float) -> float:
    """The surface of a half sphere over a hard floor.

    Parameters
    ----------
    radius_m : float
        At least twice the machine's largest half size, and 1 m.

    Returns
    -------
    float
        Square metre.

    Raises
    ------
    Unusable
        No radius.

    References
    ----------
    ISO 3744:2010, 7.2.3: ``S = 2 pi r ** 2``.

    Examples
    --------
    >>> round(hemisphere_m2(2), 3)
    25.133
    """
    _over_zero(radius_m, say("radius"))
    return float(2.0 * np.pi * radius_m**2)


def box_m2(length_m: float, width_m: float, height_m: float, distance_m: float) -> float:
    """The surface of a box around the machine's own box, over a hard floor.

    Parameters
    ----------
    length_m, width_m, height_m : float
        Of the smallest box that holds the machine.
    distance_m : float
        From that box to the places, 1 m is preferred.

    Returns
    -------
    float
        Square metre, without the floor.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    ISO 3744:2010, 7.2.4: ``S = 4 (a b + b c + c a)`` with half sizes a and b and height c.

    Examples
    --------
    >>> box_m2(2, 2, 2, 1)
    64.0
    """
    for size in (length_m, width_m, height_m, distance_m):
        _over_zero(size, say("size"))
    a, b, c = length_m / 2.0 + distance_m, width_m / 2.0 + distance_m, height_m + distance_m
    return 4.0 * (a * b + b * c + c * a)


def absorption_m2(volume_m3: float, reverberation_s: float) -> float:
    """How much a room swallows, as square metres of open window.

    Parameters
    ----------
    volume_m3 : float
        Of the room.
    reverberation_s : float
        Time in which a sound falls by 60 dB.

    Returns
    -------
    float
        Square metre.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    Sabine; ISO 3744:2010, annex A: ``A = 0.16 V / T``.

    Examples
    --------
    >>> absorption_m2(500, 1.0)
    80.0
    """
    _over_zero(volume_m3, say("volume"))
    _over_zero(reverberation_s, say("time"))
    return SABINE_S_PER_M * volume_m3 / reverberation_s


def room_db(area_m2: float, room_m2: float) -> float:
    """What the room adds to the level over the measuring surface.

    Parameters
    ----------
    area_m2 : float
        The measuring surface.
    room_m2 : float
        What the room swallows.

    Returns
    -------
    float
        K2, decibels.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    ISO 3744:2010, annex A: ``10 lg(1 + 4 S / A)``.

    Examples
    --------
    >>> round(room_db(25.1327, 200), 4)
    1.7686
    """
    _over_zero(area_m2, say("area"))
    _over_zero(room_m2, say("area"))
    return float(10.0 * np.log10(1.0 + 4.0 * area_m2 / room_m2))


def sound_power(
    levels_db: Sequence[float],
    background_db: float | None,
    area_m2: float,
    room_m2: float | None,
) -> SoundPower:
    """The sound power of a machine.

    Parameters
    ----------
    levels_db : sequence of float
        At the places on the measuring surface.
    background_db : float, optional
        Mean at the same places with the machine off; left out, nothing is taken off.
    area_m2 : float
        The measuring surface.
    room_m2 : float, optional
        What the room swallows; left out, it counts as open air.

    Returns
    -------
    SoundPower
        Decibels re 1 picowatt.

    Raises
    ------
    Unusable
        No level, or a size that is none.

    Notes
    -----
    ``L_W = mean - K1 - K2 + 10 lg(S / 1 m2)``. The rule of 6 to 15 dB holds for K1 where the grade
    is engineering, that of 3 to 15 dB where it is survey.

    References
    ----------
    ISO 3744:2010, 8.2 to 8.5 (K2 up to 4 dB) and ISO 3746:2010 (up to 7 dB); both limits and the
    spread of 1.5 and 3 dB from memory.

    Examples
    --------
    >>> found = sound_power([80.0] * 10, 70.0, hemisphere_m2(2), 200.0)
    >>> round(found.level_db, 3), found.grade
    (91.776, 'engineering')
    """
    mean = mean_db(list(levels_db))
    k2 = room_db(area_m2, room_m2) if room_m2 is not None else 0.0
    grade = _grade(len(levels_db), k2)
    rule: Grade = grade or "survey"
    k1, bound = 0.0, background_db is None
    if background_db is not None:
        correction = background_correction(mean - background_db, rule)
        k1, bound = correction.k1_db, correction.ruling == "upper_bound"
    _over_zero(area_m2, say("area"))
    return SoundPower(
        level_db=mean - k1 - k2 + 10.0 * float(np.log10(area_m2)),
        mean_db=mean,
        k1_db=k1,
        k2_db=k2,
        area_m2=area_m2,
        grade=grade,
        upper_bound=bound or room_m2 is None,
        give_or_take_db=2.0 * SPREAD_DB[rule],
    )


def level_at_db(power_db: float, distance_m: float, room_m2: float) -> float:
    """What a machine of known sound power gives at some distance in a room.

    Parameters
    ----------
    power_db : float
        Sound power, decibels re 1 picowatt.
    distance_m : float
        From the machine, which stands on a hard floor.
    room_m2 : float
        What that room swallows.

    Returns
    -------
    float
        Decibels.

    Raises
    ------
    Unusable
        A size that is none.

    References
    ----------
    Direct and diffuse field: ``L_W + 10 lg(2 / (4 pi r ** 2) + 4 / A)`` (any handbook of acoustics,
    for instance Beranek; from memory).

    Examples
    --------
    >>> round(level_at_db(91.776, 2, 200), 2)
    79.54
    """
    _over_zero(distance_m, say("distance"))
    _over_zero(room_m2, say("area"))
    share = 2.0 / (4.0 * np.pi * distance_m**2) + 4.0 / room_m2
    return power_db + 10.0 * float(np.log10(share))


def _grade(places: int, k2_db: float) -> Grade | None:
    grades: tuple[Literal["engineering", "survey"], ...] = ("engineering", "survey")
    for grade in grades:
        if k2_db <= MOST_K2_DB[grade] and places >= LEAST_PLACES[grade]:
            return grade
    return None


def _over_zero(value: float, what: str) -> None:
    if not 0 < value < np.inf:
        raise Unusable(
            say("a {what} is not over zero", what=what),
            remedy=say("Measure it; metres and square metres are meant."),
        )
