"""How a sling takes hold, and what each of two legs pulls when they are not alike."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.lifting import LEAST_ANGLE_DEG

# Share of a sling's straight rating (ASME B30.9, from memory; the tag rules).
HITCH_FACTORS: Mapping[str, float] = {"vertical": 1.0, "choker": 0.75, "basket": 2.0}
# A choke pulled tighter than 120 degrees: from which angle on, share of the choker's rating.
CHOKE_FACTORS = ((120.0, 1.0), (90.0, 0.87), (60.0, 0.74), (30.0, 0.62), (0.0, 0.49))
# Wire rope round a pin: its diameter over the rope's, share of strength (handbook, from memory).
BEND_FACTORS = (
    (1.0, 0.50), (2.0, 0.65), (4.0, 0.75), (6.0, 0.79), (8.0, 0.83), (10.0, 0.86), (20.0, 0.91),
    (30.0, 0.93), (40.0, 0.95),
)  # fmt: skip


def capacity_factor(hitch: str, angle_deg: float = 90.0) -> float:
    """What a hitch takes, as a share of the sling's straight rating.

    Parameters
    ----------
    hitch : str
        vertical, choker or basket.
    angle_deg : float
        Of a basket's two parts, from the horizontal; the others do not ask it.

    Returns
    -------
    float
        1, 0.75, or twice the sine of the angle.

    Raises
    ------
    Unusable
        No such hitch, or a basket under 30 degrees.

    References
    ----------
    ASME B30.9 (from memory): choker 0.75 to 0.80 of the straight rating, the lower is taken.

    Examples
    --------
    >>> capacity_factor("choker"), round(capacity_factor("basket", 60), 3)
    (0.75, 1.732)
    """
    if hitch not in HITCH_FACTORS:
        raise Unusable(say("there is no such hitch"), remedy=say("Say vertical, choker or basket."))
    if hitch != "basket":
        return HITCH_FACTORS[hitch]
    return HITCH_FACTORS[hitch] * math.sin(math.radians(_usable(angle_deg)))


def choke_factor(angle_deg: float) -> float:
    """What is left of a choker's rating when it is pulled tight round the load.

    Parameters
    ----------
    angle_deg : float
        In the choke, 0 to 180; hanging free it finds about 135 by itself.

    Returns
    -------
    float
        Share of the choker's rating.

    Raises
    ------
    Unusable
        No such angle.

    References
    ----------
    ASME B30.9, table of choke angles (from memory).

    Examples
    --------
    >>> choke_factor(135), choke_factor(100), choke_factor(30)
    (1.0, 0.87, 0.62)
    """
    if not 0.0 <= angle_deg <= 180.0:
        raise Unusable(
            say("a choke's angle lies between 0° and 180°"), remedy=say("Measure it in the choke.")
        )
    return next(factor for least, factor in CHOKE_FACTORS if angle_deg >= least)


def bend_factor(pin_mm: float, rope_mm: float) -> float:
    """What is left of a wire rope that is bent round a pin, a shaft or an edge.

    Parameters
    ----------
    pin_mm, rope_mm : float
        Diameter of what it is bent round, and of the rope.

    Returns
    -------
    float
        Share of the strength; over 40 diameters the last value is kept.

    Raises
    ------
    Unusable
        Bent tighter than its own diameter, or not known.

    References
    ----------
    Wire rope handbook, efficiency over D/d (from memory, unverified).

    Examples
    --------
    >>> bend_factor(40, 10), round(bend_factor(150, 10), 3)
    (0.75, 0.885)
    """
    if not (rope_mm > 0 and pin_mm >= rope_mm):
        raise Unusable(
            say("a rope is not bent round less than its own diameter"),
            remedy=say("Take a shackle or a pin at least as thick as the rope, or a soft sling."),
        )
    at, factor = zip(*BEND_FACTORS, strict=True)
    return float(np.interp(pin_mm / rope_mm, at, factor))


def rated_needed_kg(
    pull_kg: float, hitch: str = "vertical", *, angle_deg: float = 90.0, used_share: float = 1.0
) -> float:
    """The straight rating that a sling must have on its tag.

    Parameters
    ----------
    pull_kg : float
        In its one leg; for a basket, what hangs on the whole sling.
    hitch : str
        vertical, choker or basket.
    angle_deg : float
        Of a basket's two parts, from the horizontal.
    used_share : float
        How much of the rating one wants to use, 0 to 1.

    Returns
    -------
    float
        Kilograms, for planning.

    Raises
    ------
    Unusable
        No pull, no such hitch, or a share that is not over 0 and up to 1.

    References
    ----------
    ASME B30.9 (from memory).

    Examples
    --------
    >>> round(rated_needed_kg(2828, "choker")), round(rated_needed_kg(2828, used_share=0.8))
    (3771, 3535)
    """
    if not (pull_kg > 0 and 0 < used_share <= 1):
        raise Unusable(
            say("the sling's rating cannot be told"),
            remedy=say("Find the pull first; use the whole rating or less."),
        )
    return pull_kg / (capacity_factor(hitch, angle_deg) * used_share)


def two_legs_tension(
    mass_kg: float, spread_mm: float, off_mm: float, angle_deg: float, *, below_mm: float = 0.0
) -> tuple[float, float]:
    """The pull in two legs of one length when the centre of gravity is not in their middle.

    Parameters
    ----------
    mass_kg : float
    spread_mm : float
        Between the two lift points.
    off_mm : float
        From the middle of the lift points to the centre of gravity, along the spread.
    angle_deg : float
        Of the legs from the horizontal, while the load still stands level.
    below_mm : float
        How far the centre of gravity is below the line of the lift points.

    Returns
    -------
    tuple of float
        Pull in the nearer leg and in the other, kilograms. The load has turned by then: see
        `hanging_tilt_deg`.

    Raises
    ------
    Unusable
        A leg goes slack, stands under 30 degrees, or a number is not known.

    Notes
    -----
    The hook, the lift points and the load turn together until the centre of gravity hangs below
    the hook; there the two pulls balance the weight along that line. Whatever the depth of the
    centre, the nearer leg never pulls more than ``W (1/2 + off / spread) / sin a``, which it takes
    where the legs are trimmed so that the load hangs level: see `legs_over_centre`.

    References
    ----------
    Statics, three forces through one point (by definition).

    Examples
    --------
    >>> near, far = two_legs_tension(4000, 1600, 200, 60)
    >>> round(near), round(far)
    (2857, 1714)
    """
    height, centre = _under_the_hook(mass_kg, spread_mm, off_mm, angle_deg, below_mm)
    half = spread_mm / 2.0
    leg_mm = math.hypot(half, height)
    # Along and across the line of the lift points; the hook is the origin.
    pulls = np.array([[half, -half], [height, height]]) / leg_mm
    weight = mass_kg * np.array([abs(off_mm), centre]) / math.hypot(off_mm, centre)
    near, far = (float(pull) for pull in np.linalg.solve(pulls, weight))
    if not far > 0:
        raise Unusable(
            say("one leg goes slack and the load turns over"),
            remedy=say("Lift points on both sides of the centre of gravity, or a spreader beam."),
        )
    return near, far


def hanging_tilt_deg(off_mm: float, hook_over_centre_mm: float) -> float:
    """How far a load turns when the hook was not over its centre of gravity.

    Parameters
    ----------
    off_mm : float
        Seen from above, hook to centre of gravity.
    hook_over_centre_mm : float
        How much higher the hook is.

    Returns
    -------
    float
        Degrees; 0 is what one wants before the load leaves the floor.

    Raises
    ------
    Unusable
        A hook that is not above the centre of gravity: nothing holds it upright.

    References
    ----------
    Statics (by definition).

    Examples
    --------
    >>> round(hanging_tilt_deg(200, 1386), 1), hanging_tilt_deg(0, 1386)
    (8.2, 0.0)
    """
    if not hook_over_centre_mm > 0:
        raise Unusable(
            say("the centre of gravity is not below the hook"),
            remedy=say("Longer slings, or lift points above the centre of gravity."),
        )
    return math.degrees(math.atan2(abs(off_mm), hook_over_centre_mm))


def legs_over_centre(
    mass_kg: float, near_mm: float, far_mm: float, height_mm: float
) -> tuple[float, float]:
    """The pull in two legs of different length that hold a load level.

    Parameters
    ----------
    mass_kg : float
    near_mm, far_mm : float
        From the line below the hook, where the centre of gravity is, to each lift point.
    height_mm : float
        Of the hook over the lift points.

    Returns
    -------
    tuple of float
        Pull in the leg to the nearer point and to the farther, kilograms.

    Raises
    ------
    Unusable
        A leg under 30 degrees from the horizontal, or a number is not known.

    References
    ----------
    Moments about each lift point (by definition); 29 CFR 1910.184, not under 30 degrees
    (secondary source).

    Examples
    --------
    >>> near, far = legs_over_centre(4000, 600, 1000, 1200)
    >>> round(near), round(far)
    (2795, 1953)
    """
    if not (mass_kg > 0 and near_mm >= 0 and far_mm > 0 and height_mm > 0):
        raise Unusable(
            say("the pull in the legs cannot be told"),
            remedy=say("Get the mass and measure from hook and centre to both lift points."),
        )
    spread = near_mm + far_mm
    pulls = []
    for here, there in ((near_mm, far_mm), (far_mm, near_mm)):
        _usable(math.degrees(math.atan2(height_mm, here)))
        pulls.append(mass_kg * there / spread * math.hypot(here, height_mm) / height_mm)
    return pulls[0], pulls[1]


def _usable(angle_deg: float) -> float:
    if not LEAST_ANGLE_DEG <= angle_deg <= 90.0:
        raise Unusable(
            say("a leg under 30° from the horizontal is not used"),
            remedy=say("Longer slings or a spreader beam, so that the legs stand steeper."),
        )
    return angle_deg


def _under_the_hook(
    mass_kg: float, spread_mm: float, off_mm: float, angle_deg: float, below_mm: float
) -> tuple[float, float]:
    """Height of the hook over the lift points and over the centre of gravity."""
    if not (mass_kg > 0 and spread_mm > 0 and math.isfinite(off_mm) and math.isfinite(below_mm)):
        raise Unusable(
            say("the pull in the legs cannot be told"),
            remedy=say("Get the mass, the spread and where the centre of gravity is."),
        )
    if not LEAST_ANGLE_DEG <= angle_deg < 90.0:
        _usable(angle_deg)
        raise Unusable(
            say("two upright legs hang on two hooks"),
            remedy=say("Share the mass by moments, or say at which angle the legs stand."),
        )
    height = spread_mm / 2.0 * math.tan(math.radians(angle_deg))
    centre = height + below_mm
    if not centre > 0:
        raise Unusable(
            say("the centre of gravity is not below the hook"),
            remedy=say("Longer slings, or lift points above the centre of gravity."),
        )
    return height, centre
