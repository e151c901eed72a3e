"""Sorts of cells: their volts, and whether they may be charged."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.science.motor_match import Fits


@dataclass(frozen=True, slots=True)
class Sort:
    """One chemistry."""

    id: str
    title: str
    volts: float  # of one cell
    charged: bool  # made to be charged


# IEC 60086-1 letters and nominal volts of primary cells; rechargeable ones (from memory).
SORTS = {
    one.id: one
    for one in (
        Sort("thionyl", later("lithium thionyl chloride"), 3.6, False),
        Sort("manganese", later("lithium manganese dioxide"), 3.0, False),
        Sort("alkaline", later("alkaline manganese"), 1.5, False),
        Sort("zinc_carbon", later("zinc carbon"), 1.5, False),
        Sort("nicd", later("nickel cadmium, charged by the control"), 1.2, True),
        Sort("nimh", later("nickel metal hydride, charged by the control"), 1.2, True),
        Sort("lead", later("lead, charged by the control"), 2.0, True),
    )
}


def stands_in(has: str | None, needs: str | None) -> Fits:
    """Whether one chemistry may stand in for another.

    Parameters
    ----------
    has, needs : str or None
        Keys of ``SORTS``; None where nobody knows.

    Returns
    -------
    str
        no between one that is charged and one that is not: a cell that is no accumulator bursts
        when charged, an accumulator that nobody charges is empty soon. ask for another chemistry
        of the same volts, no for other volts.

    Raises
    ------
    Unusable
        No such sort.

    References
    ----------
    IEC 60086-4 and IEC 60086-5, primary cells are not charged (from memory).

    Examples
    --------
    >>> stands_in("thionyl", "thionyl"), stands_in("nicd", "alkaline")
    ('yes', 'no')
    >>> stands_in("nimh", "nicd"), stands_in("manganese", "thionyl")
    ('ask', 'no')
    """
    if has is None or needs is None:
        return "ask"
    if has not in SORTS or needs not in SORTS:
        raise Unusable(
            say("there is no such sort of cell"), remedy=say("Read the letters on the cell.")
        )
    if has == needs:
        return "yes"
    one, other = SORTS[has], SORTS[needs]
    return "ask" if one.charged == other.charged and one.volts == other.volts else "no"
