"""Light that flickers: at which speeds a turning part seems to stand still, or to creep."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import later, say

IMAGES = 4  # more images over each other than that are a blur (from memory, unverified)
MOST_TURNS = 1000  # of the slowest standing speed: beyond it nearly every speed stands

NO_SPEED = later(
    "At none of its speeds does it seem to stand in that flicker, by whole, half, third or quarter "
    "places; yet it may seem to creep. Never judge by the eye whether it stands."
)


@dataclass(frozen=True, slots=True)
class Standing:
    """A speed at which a part seems to stand, and how many faces it then seems to have."""

    speed_rpm: float
    faces: int


def flicker_of_mains_hz(mains_hz: float) -> float:
    """How often a lamp on alternating current dims.

    Parameters
    ----------
    mains_hz : float
        50 or 60.

    Returns
    -------
    float
        Hertz: each half wave once.

    References
    ----------
    By definition.

    Examples
    --------
    >>> flicker_of_mains_hz(50.0)
    100.0
    """
    return 2 * mains_hz


def standing_still(flicker_hz: float, alike: int, most_rpm: float) -> tuple[Standing, ...]:
    """Speeds at which a turning part seems to stand still, once or several times over itself.

    Parameters
    ----------
    flicker_hz : float
        How often the light dims.
    alike : int
        How many times the part looks the same in one turn: three jaws, six corners.
    most_rpm : float
        Highest speed of the machine.

    Returns
    -------
    tuple of Standing
        Rising. From one flicker to the next it has moved on by a whole number of like places, or
        by halves, thirds or quarters of one: then two, three or four images stand over each other.

    Raises
    ------
    Unusable
        No flicker, nothing alike, or a flicker far slower than the machine turns.

    References
    ----------
    Stroboscopic effect (by definition): n = 60 f k / (z q), q images. IEC TR 63158 treats how well
    it is seen (from memory).

    Examples
    --------
    >>> [(one.speed_rpm, one.faces) for one in standing_still(100.0, 3, 2000)]
    [(500.0, 12), (666.7, 9), (1000.0, 6), (1333.3, 9), (1500.0, 12), (2000.0, 3)]
    """
    step = _step_rpm(flicker_hz, alike)
    if most_rpm > MOST_TURNS * step:
        raise Unusable(
            say("it flickers so slowly that a part seems to stand at nearly any speed"),
            remedy=say("Change the lamp; or read again how often it flickers, in hertz."),
        )
    found = [
        Standing(round(step * k / images, 1), alike * images)
        for images in range(1, IMAGES + 1)
        for k in range(1, math.floor(images * most_rpm / step + 1e-9) + 1)
        if math.gcd(k, images) == 1
    ]
    return tuple(sorted(found, key=lambda one: one.speed_rpm))


def _step_rpm(flicker_hz: float, alike: int) -> float:
    """The slowest speed at which it seems to stand as it is."""
    if not (0 < flicker_hz < math.inf and alike >= 1):
        raise Unusable(
            say("a flicker has a frequency, a part at least one face"),
            remedy=say("For lamps on the mains it is twice its frequency."),
        )
    return 60 * flicker_hz / alike


def told_standing(found: tuple[Standing, ...], most: int) -> tuple[tuple[Standing, ...], int]:
    """As many of these speeds as a list shows: those of fewest images first, then rising.

    Parameters
    ----------
    found : tuple of Standing
        Of :func:`standing_still`.
    most : int
        Rows of the list.

    Returns
    -------
    tuple
        The speeds to show, and how many were left out.

    Examples
    --------
    >>> shown, left = told_standing(standing_still(100.0, 3, 2000), 3)
    >>> [one.speed_rpm for one in shown], left
    ([666.7, 1000.0, 2000.0], 3)
    """
    kept = sorted(found, key=lambda one: (one.faces, one.speed_rpm))[:most]
    return tuple(sorted(kept, key=lambda one: one.speed_rpm)), len(found) - len(kept)


def seems_to_turn_rpm(flicker_hz: float, alike: int, speed_rpm: float) -> float:
    """How fast a part seems to turn in a flickering light.

    Parameters
    ----------
    flicker_hz : float
    alike : int
        How many times it looks the same in one turn.
    speed_rpm : float
        How fast it really turns.

    Returns
    -------
    float
        Revolutions a minute; below zero it seems to run backwards.

    Raises
    ------
    Unusable
        No flicker, or nothing alike.

    References
    ----------
    Sampling (by definition): the speed less the nearest speed at which it seems to stand.

    Examples
    --------
    >>> seems_to_turn_rpm(100.0, 3, 2010.0), seems_to_turn_rpm(100.0, 3, 1990.0)
    (10.0, -10.0)
    """
    step = _step_rpm(flicker_hz, alike)
    return speed_rpm - step * round(speed_rpm / step)
