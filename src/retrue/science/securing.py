"""Securing a load on a truck: how many tie-downs, what they must hold, blocking, tipping."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.tie_down import GRAVITY

# 49 CFR 393.102(a) (secondary source): share of the load's weight at breaking strength, and at
# working load limit; down, where it is not contained.
ROAD_SHARES = {
    "forward": (0.8, 0.435),
    "rearward": (0.5, 0.5),
    "sideways": (0.5, 0.25),
}
DOWN_SHARE = 0.2  # of the weight, by tie-downs at their working load limits
# EN 12195-1:2010, by road, table 2 (from memory): share of gravity lengthwise and across.
EN_SHARES = {"forward": 0.8, "rearward": 0.5, "sideways": 0.5}
DIRECT_FRICTION = 0.75  # of the friction, when a lashing pulls directly (from memory)
SHORT_FOOT, LONG_FOOT = 5.0, 10.0
LIGHT_KG = 1100 * 0.45359237
HEAVY_KG = 10_000 * 0.45359237
FOOT_MM = 304.8


def least_tie_downs(length_mm: float, mass_kg: float, *, blocked: bool = False) -> int:
    """How many tie-downs a load has at least on a road of the United States.

    Parameters
    ----------
    length_mm, mass_kg : float
        Of the load.
    blocked : bool
        A headboard, a bulkhead or other secured load keeps it from moving forward.

    Returns
    -------
    int
        Whatever their working load limits are: those must hold as well.

    Raises
    ------
    Unusable
        Length or mass is not known.

    Notes
    -----
    One up to 5 ft and 1,100 lb, two up to 10 ft, one more for every further 10 ft begun. Blocked,
    one for every 10 ft begun.

    References
    ----------
    49 CFR 393.110 (FMCSA, cargo securement rules; secondary source).

    Examples
    --------
    >>> least_tie_downs(2500, 4000), least_tie_downs(6000, 4000), least_tie_downs(1500, 450)
    (2, 3, 1)
    """
    foot = _known(length_mm, mass_kg)[0] / FOOT_MM
    if blocked:
        return math.ceil(foot / LONG_FOOT - 1e-9)
    if foot <= SHORT_FOOT + 1e-9 and mass_kg <= LIGHT_KG:
        return 1
    return 2 + max(0, math.ceil(foot / LONG_FOOT - 1e-9) - 1)


def corner_tie_downs(mass_kg: float) -> int:
    """How many tie-downs heavy equipment on wheels or tracks has at least.

    Parameters
    ----------
    mass_kg : float

    Returns
    -------
    int
        4 from 10,000 lb; 0 where the rule does not ask. A machine tool is no vehicle, but four
        corners are what a carrier will want.

    Raises
    ------
    Unusable
        The mass is not known.

    References
    ----------
    49 CFR 393.130 (from memory).

    Examples
    --------
    >>> corner_tie_downs(5000), corner_tie_downs(4000)
    (4, 0)
    """
    return 4 if _known(mass_kg)[0] >= HEAVY_KG else 0


@dataclass(frozen=True, slots=True)
class RoadForces:
    """What a load's securing must hold in one direction, in newtons."""

    at_breaking_newton: float
    at_working_load_newton: float


def road_forces(mass_kg: float, direction: str) -> RoadForces:
    """What the securing of a load must hold on a road of the United States.

    Parameters
    ----------
    mass_kg : float
    direction : str
        forward, rearward or sideways.

    Returns
    -------
    RoadForces

    Raises
    ------
    Unusable
        No such direction, or the mass is not known.

    References
    ----------
    49 CFR 393.102(a) (secondary source; check for later amendment).

    Examples
    --------
    >>> found = road_forces(5000, "forward")
    >>> round(found.at_breaking_newton), round(found.at_working_load_newton)
    (39240, 21337)
    """
    _known(mass_kg)
    _direction(direction)
    breaking, working = ROAD_SHARES[direction]
    return RoadForces(breaking * mass_kg * GRAVITY, working * mass_kg * GRAVITY)


@dataclass(frozen=True, slots=True)
class Direct:
    """What direct lashings hold of what is asked, and the rating each would need."""

    asked_newton: float  # after friction of the load's own weight
    each_newton: float  # that one lashing of that rating holds in the direction
    needed_newton: float  # rating (LC) of each lashing that pulls against the direction
    holds: bool


def direct_lashing(
    mass_kg: float,
    direction: str,
    *,
    lashings: int,
    capacity_newton: float,
    angle_deg: float,
    aside_deg: float,
    friction_share: float,
    blocked_newton: float = 0.0,
    share: float | None = None,
) -> Direct:
    """Whether lashings from the load's base to the bed keep it from sliding.

    Parameters
    ----------
    mass_kg : float
    direction : str
        forward, rearward or sideways.
    lashings : int
        That pull against that direction: of four at the corners, two.
    capacity_newton : float
        Lashing capacity, LC on each label.
    angle_deg : float
        Between lashing and bed, seen from the side.
    aside_deg : float
        Between lashing and the direction, seen from above.
    friction_share : float
        Of load on bed.
    blocked_newton : float
        That a headboard or blocking takes in that direction, by its own papers.
    share : float, optional
        Of gravity in that direction, by your own copy of the standard.

    Returns
    -------
    Direct
        Securing is the carrier's legal duty; this is an estimate for planning.

    Raises
    ------
    Unusable
        A number that is needed is not known.

    Notes
    -----
    ``m g (c - 0.75 mu) - blocked <= n LC (cos a cos b + 0.75 mu sin a)``: a direct lashing lets the
    load move a little, so the friction counts three quarters.

    References
    ----------
    EN 12195-1:2010, direct lashing (from memory, unverified).

    Examples
    --------
    >>> found = direct_lashing(5000, "forward", lashings=2, capacity_newton=20000, angle_deg=40,
    ...     aside_deg=30, friction_share=0.3)
    >>> round(found.asked_newton), round(found.needed_newton), found.holds
    (28204, 17452, True)
    """
    _known(mass_kg, capacity_newton)
    _direction(direction)
    angled = 0 <= angle_deg < 90 and 0 <= aside_deg < 90
    if not (angled and lashings > 0 and friction_share >= 0 and blocked_newton >= 0):
        raise Unusable(
            say("the lashings cannot be counted"),
            remedy=say("Measure both angles; count those that pull against that direction."),
        )
    friction = DIRECT_FRICTION * friction_share
    pushed = EN_SHARES[direction] if share is None else share
    asked = max(0.0, pushed - friction) * mass_kg * GRAVITY - blocked_newton
    rise, aside = math.radians(angle_deg), math.radians(aside_deg)
    share = math.cos(rise) * math.cos(aside) + friction * math.sin(rise)
    needed = max(0.0, asked) / (lashings * share)
    return Direct(max(0.0, asked), share * capacity_newton, needed, needed <= capacity_newton)


def blocking_newton(
    mass_kg: float,
    direction: str,
    friction_share: float,
    *,
    lashings_newton: float = 0.0,
    share: float | None = None,
) -> float:
    """What blocking must take in a direction when friction and lashings do the rest.

    Parameters
    ----------
    mass_kg : float
    direction : str
        forward, rearward or sideways.
    friction_share : float
        Of load on bed.
    lashings_newton : float
        What lashings hold in that direction.
    share : float, optional
        Of gravity in that direction, by your own copy of the standard.

    Returns
    -------
    float
        Newtons on headboard, wedges or timber that is fixed to the bed.

    Raises
    ------
    Unusable
        No such direction, or a number that is needed is not known.

    References
    ----------
    EN 12195-1:2010, blocking (from memory, unverified).

    Examples
    --------
    >>> round(blocking_newton(5000, "forward", 0.3))
    24525
    """
    _known(mass_kg)
    _direction(direction)
    if not (friction_share >= 0 and lashings_newton >= 0):
        raise Unusable(
            say("the blocking cannot be told"), remedy=say("Say what friction there is.")
        )
    pushed = EN_SHARES[direction] if share is None else share
    left = (pushed - friction_share) * mass_kg * GRAVITY - lashings_newton
    return max(0.0, left)


def tips(half_base_mm: float, height_mm: float, direction: str) -> bool:
    """Whether a load that is only kept from sliding would tip over.

    Parameters
    ----------
    half_base_mm : float
        From the centre of gravity to the edge it would tip over, seen from above.
    height_mm : float
        Of the centre of gravity.
    direction : str
        forward, rearward or sideways; sideways counts 0.6 for what is unstable.

    Returns
    -------
    bool

    Raises
    ------
    Unusable
        No such direction, or a size that is not known.

    References
    ----------
    EN 12195-1:2010, tilting, 0.6 across for unstable goods (from memory, unverified).

    Examples
    --------
    >>> tips(600, 1100, "sideways"), tips(900, 1100, "forward")
    (True, False)
    """
    _known(half_base_mm, height_mm)
    _direction(direction)
    share = 0.6 if direction == "sideways" else EN_SHARES[direction]
    return share * height_mm > half_base_mm


def _direction(direction: str) -> None:
    if direction not in EN_SHARES:
        raise Unusable(
            say("there is no such direction"), remedy=say("Say forward, rearward or sideways.")
        )


def _known(*numbers: float) -> tuple[float, ...]:
    if not all(math.isfinite(number) and number > 0 for number in numbers):
        raise Unusable(
            say("a mass, a length or a rating is not known"),
            remedy=say("Weigh it, measure it, read it on the label."),
        )
    return numbers
