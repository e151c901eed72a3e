"""What a fork truck may lift when the load stands farther out than its plate says."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import say


def allowed_kg(
    rated_kg: float, rated_centre_mm: float, centre_mm: float, *, to_axle_mm: float = 0.0
) -> float:
    """The mass a truck can be planned for at a load centre.

    Parameters
    ----------
    rated_kg : float
        On its plate.
    rated_centre_mm : float
        Load centre of that plate, from the fork face.
    centre_mm : float
        Where the load's centre of gravity will stand, from the fork face.
    to_axle_mm : float
        From the front axle to the fork face; 0 gives the lower estimate.

    Returns
    -------
    float
        Kilograms; never above the plate. An estimate for planning: the plate rules.

    Raises
    ------
    Unusable
        A number that is needed is not known.

    Notes
    -----
    Moments about the front axle: ``W = W0 (c0 + d) / (c + d)``.

    References
    ----------
    OSHA eTool, Powered Industrial Trucks, load composition: 4,000 lb at 24 in is 2,666 lb at 36 in.

    Examples
    --------
    >>> round(allowed_kg(4000, 24, 36)), round(allowed_kg(5000, 600, 900, to_axle_mm=450))
    (2667, 3889)
    """
    if not (rated_kg > 0 and rated_centre_mm > 0 and centre_mm > 0 and to_axle_mm >= 0):
        raise Unusable(
            say("the truck's plate or the load centre is not known"),
            remedy=say("Read rating and load centre on the truck's plate; find the load's centre."),
        )
    reach = (rated_centre_mm + to_axle_mm) / (centre_mm + to_axle_mm)
    return rated_kg * min(1.0, reach)
