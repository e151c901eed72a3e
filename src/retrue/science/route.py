"""The way in: a door, a corner, a kink of the floor, and what the floor bears."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.rolling import GRAVITY

ANGLES = 721  # looked at before the narrowest is sought between two neighbours


@dataclass(frozen=True, slots=True)
class Through:
    """What is left of an opening, in millimetres; below zero it does not go through."""

    side_mm: float  # on each side
    above_mm: float

    @property
    def goes(self) -> bool:
        """It goes through with the room that was asked for."""
        return self.side_mm >= 0 and self.above_mm >= 0


def through_door(
    width_mm: float,
    height_mm: float,
    door_width_mm: float,
    door_height_mm: float,
    *,
    margin_mm: float = 50.0,
) -> Through:
    """Whether a load goes straight through an opening.

    Parameters
    ----------
    width_mm, height_mm : float
        Of the load as it travels, skates and slings counted.
    door_width_mm, door_height_mm : float
        Of the clear opening.
    margin_mm : float
        Room to be kept on each side and above.

    Returns
    -------
    Through
        What is left over when the margin is kept.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Geometry (by definition); the margin is common practice, no source.

    Examples
    --------
    >>> found = through_door(1900, 2620, 2800, 2900)
    >>> found.side_mm, found.above_mm, found.goes
    (400.0, 230.0, True)
    """
    _sizes(width_mm, height_mm, door_width_mm, door_height_mm)
    side = (door_width_mm - width_mm) / 2.0 - margin_mm
    return Through(side, door_height_mm - height_mm - margin_mm)


@dataclass(frozen=True, slots=True)
class Corner:
    """How a load turns a corner."""

    widest_mm: float  # that a load of this length may be
    spare_mm: float  # of its width; below zero it does not turn
    tightest_deg: float  # how far it has turned where it is tightest


def turns_corner(length_mm: float, width_mm: float, before_mm: float, after_mm: float) -> Corner:
    """Whether a rigid load on the floor turns a corner between two passages.

    Parameters
    ----------
    length_mm, width_mm : float
        Of the load, seen from above; with the room that hands need.
    before_mm, after_mm : float
        Width of the passage before and after the corner; they meet at a right angle.

    Returns
    -------
    Corner

    Raises
    ------
    Unusable
        A size is not known.

    Notes
    -----
    Turned by ``t`` and pushed into the outer corner, the load's inner side is
    ``a sin t + b cos t - L sin t cos t`` away from the inner corner less its width; the least of
    that from 0 to 90 degrees is the widest load. A load that slides through without turning is
    counted by the same least, because where its extents fit both passages that distance suffices.

    References
    ----------
    Calculus textbooks, the ladder round a corner: a load of no width goes up to
    ``(a^(2/3) + b^(2/3))^(3/2)``.

    Examples
    --------
    >>> found = turns_corner(3000, 1500, 2500, 2500)
    >>> round(found.widest_mm, 1), round(found.spare_mm, 1), round(found.tightest_deg)
    (2035.5, 535.5, 45)
    """
    from scipy.optimize import minimize_scalar

    _sizes(length_mm, width_mm, before_mm, after_mm)
    long, short = max(length_mm, width_mm), min(length_mm, width_mm)

    def clear(turned: float) -> float:
        sine, cosine = math.sin(turned), math.cos(turned)
        return before_mm * sine + after_mm * cosine - long * sine * cosine

    grid = np.linspace(0.0, math.pi / 2.0, ANGLES)
    least = int(np.argmin([clear(float(turned)) for turned in grid]))
    low, high = grid[max(0, least - 1)], grid[min(ANGLES - 1, least + 1)]
    found = minimize_scalar(clear, bounds=(low, high), method="bounded", options={"xatol": 1e-9})
    turned = min((float(found.x), float(grid[least])), key=clear)
    widest = clear(turned)
    return Corner(widest, widest - short, 90.0 - math.degrees(turned))


def longest_round_corner_mm(before_mm: float, after_mm: float) -> float:
    """The longest thing of no width that turns a corner: a pipe, a rail, a ball screw.

    Parameters
    ----------
    before_mm, after_mm : float
        Width of the two passages.

    Returns
    -------
    float
        Millimetres, held level.

    Raises
    ------
    Unusable
        A width is not known.

    References
    ----------
    Calculus textbooks, the ladder round a corner.

    Examples
    --------
    >>> round(longest_round_corner_mm(8, 27), 2)
    46.87
    """
    _sizes(before_mm, after_mm)
    return float((before_mm ** (2.0 / 3.0) + after_mm ** (2.0 / 3.0)) ** 1.5)


def turning_circle_mm(length_mm: float, width_mm: float) -> float:
    """The free round that a load needs to be turned on the spot.

    Parameters
    ----------
    length_mm, width_mm : float
        Seen from above.

    Returns
    -------
    float
        Its diameter, millimetres; the same diagonal is what a load stood up needs below a ceiling.

    Raises
    ------
    Unusable
        A size is not known.

    References
    ----------
    Pythagoras (by definition).

    Examples
    --------
    >>> turning_circle_mm(2400, 1800)
    3000.0
    """
    _sizes(length_mm, width_mm)
    return math.hypot(length_mm, width_mm)


def crest_mm(base_mm: float, kink_deg: float) -> float:
    """How much room a base needs below it where the way tips over from slope to level.

    Parameters
    ----------
    base_mm : float
        Between the two skates or axles that carry it.
    kink_deg : float
        By which the way bends.

    Returns
    -------
    float
        Millimetres below the straight line between the points that carry.

    Raises
    ------
    Unusable
        A size is not known, or the bend is not between 0 and 90 degrees.

    References
    ----------
    Geometry: worst with the crest in the middle (by definition).

    Examples
    --------
    >>> round(crest_mm(2000, 10), 1)
    87.5
    """
    _sizes(base_mm)
    return base_mm / 2.0 * math.tan(_kink(kink_deg) / 2.0)


def foot_of_ramp_mm(overhang_mm: float, kink_deg: float) -> float:
    """How much room what hangs over in front needs where the way begins to rise.

    Parameters
    ----------
    overhang_mm : float
        From the foremost skate or axle to the front end.
    kink_deg : float
        By which the way bends up.

    Returns
    -------
    float
        Millimetres above the floor at the front end.

    Raises
    ------
    Unusable
        A size is not known, or the bend is not between 0 and 90 degrees.

    References
    ----------
    Geometry: worst with the foremost skate at the bend (by definition).

    Examples
    --------
    >>> round(foot_of_ramp_mm(600, 5), 1)
    52.5
    """
    _sizes(overhang_mm)
    return overhang_mm * math.tan(_kink(kink_deg))


@dataclass(frozen=True, slots=True)
class FloorLoad:
    """One load seen two ways: spread over its ground, and below one wheel or foot."""

    spread_kg_m2: float
    wheel_newton: float
    wheel_mpa: float


def floor_load(
    mass_kg: float,
    length_mm: float,
    width_mm: float,
    *,
    wheels: int,
    contact_mm2: float,
    uneven: float = 1.25,
) -> FloorLoad:
    """What a floor bears: the mean over the ground, and the peak below one wheel.

    Parameters
    ----------
    mass_kg : float
    length_mm, width_mm : float
        Of the ground it covers.
    wheels : int
        Points that carry it, three at least.
    contact_mm2 : float
        Below each of them, or of the steel plate laid there.
    uneven : float
        What the worst point takes over its even part.

    Returns
    -------
    FloorLoad
        A floor's rating a square metre says nothing of a wheel: both must hold.

    Raises
    ------
    Unusable
        A size is not known, or fewer than three points.

    References
    ----------
    By definition; the quarter more is common practice, no source (from memory).

    Examples
    --------
    >>> found = floor_load(5000, 2500, 2000, wheels=4, contact_mm2=15000)
    >>> found.spread_kg_m2, round(found.wheel_newton), round(found.wheel_mpa, 3)
    (1000.0, 15328, 1.022)
    """
    _sizes(mass_kg, length_mm, width_mm, contact_mm2)
    if wheels < 3:
        raise Unusable(
            say("a machine stands on three points at least"), remedy=say("Count them again.")
        )
    wheel = uneven * mass_kg * GRAVITY / wheels
    return FloorLoad(mass_kg / (length_mm * width_mm) * 1e6, wheel, wheel / contact_mm2)


def _kink(kink_deg: float) -> float:
    if not 0.0 <= kink_deg < 90.0:
        raise Unusable(
            say("the bend of the way is not known"),
            remedy=say("Measure the slope before and after, with a level and a rule."),
        )
    return math.radians(kink_deg)


def _sizes(*sizes: float) -> None:
    if not all(math.isfinite(size) and size > 0 for size in sizes):
        raise Unusable(
            say("a size of the way or of the load is not known"),
            remedy=say("Measure it; a drawing is not the building."),
        )
