"""How long a cell keeps the memory of a control."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say

HOURS_A_YEAR = 8760.0


def cell_years(capacity_mah: float, current_ua: float, loses_share_a_year: float = 0.01) -> float:
    """The life of a cell that feeds a memory and loses charge by itself.

    Parameters
    ----------
    capacity_mah : float
        Milliampere hours.
    current_ua : float
        Microampere that the memory draws.
    loses_share_a_year : float
        Of what is left.

    Returns
    -------
    float
        Years. The cell is changed with the control powered, unless its manual says otherwise.

    Raises
    ------
    Unusable
        Capacity or current is not known.

    References
    ----------
    Charge balance ``dQ/dt = -I - k Q`` (by definition).

    Examples
    --------
    >>> round(cell_years(225, 1.15), 2), round(cell_years(220, 5, 0.0), 2)
    (20.16, 5.02)
    """
    if not (capacity_mah > 0 and current_ua > 0 and loses_share_a_year >= 0):
        raise Unusable(
            say("the life of the cell cannot be told"),
            remedy=say("Read its capacity on the cell, and the current in the control's manual."),
        )
    naive = capacity_mah * 1000.0 / current_ua / HOURS_A_YEAR
    if loses_share_a_year == 0:
        return naive
    return math.log1p(loses_share_a_year * naive) / loses_share_a_year
