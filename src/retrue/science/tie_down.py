"""What holds a machine on a truck: lashings by two rules, planned, never approved."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

GRAVITY = 9.81


@dataclass(frozen=True, slots=True)
class Lashings:
    """How many lashings over the top, and how the number came about."""

    needed: int
    exact: float


def lashings_over_the_top(
    mass_kg: float,
    *,
    acceleration_share: float,
    friction_share: float,
    tension_newton: float,
    angle_deg: float,
    allowance: float = 1.25,
) -> Lashings:
    """Count the lashings that press a load down hard enough to keep it by friction.

    Parameters
    ----------
    mass_kg : float
    acceleration_share : float
        Of gravity: 0.8 forward, 0.5 to the side and to the rear.
    friction_share : float
        Of load on bed; under the acceleration, or nothing need be lashed.
    tension_newton : float
        That the ratchet really gives each lashing, on its label.
    angle_deg : float
        Between lashing and bed.
    allowance : float
        1.25 forward, 1.1 to the other sides.

    Returns
    -------
    Lashings
        Securing is the carrier's legal duty; this is an estimate for planning.

    Raises
    ------
    Unusable
        A number that is needed is not known.

    References
    ----------
    EN 12195-1:2010, friction lashing (from memory).

    Examples
    --------
    >>> forward = lashings_over_the_top(5000, acceleration_share=0.8, friction_share=0.3,
    ...     tension_newton=4000, angle_deg=80)
    >>> round(forward.exact, 2), forward.needed
    (12.97, 13)
    """
    if not (mass_kg > 0 and friction_share > 0 and tension_newton > 0 and 0 < angle_deg <= 90):
        raise Unusable(
            say("the lashings cannot be counted"),
            remedy=say("Read the tension on the ratchet's label; measure the angle."),
        )
    lacking = max(0.0, acceleration_share - friction_share) * mass_kg * GRAVITY * allowance
    each = 2 * friction_share * tension_newton * math.sin(math.radians(angle_deg))
    exact = lacking / each
    return Lashings(math.ceil(exact - 1e-9), exact)


def working_load_needed_kg(mass_kg: float) -> float:
    """What all tie-downs together must be rated for on a road of the United States.

    Parameters
    ----------
    mass_kg : float

    Returns
    -------
    float
        Kilograms: half of the load.

    References
    ----------
    49 CFR 393.106(d) (clause from memory).

    Examples
    --------
    >>> working_load_needed_kg(5000)
    2500.0
    """
    return mass_kg / 2
