"""One other way to get the same work done: what it takes, and what it brings, world by world."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
OtherWay = Literal["buy_in", "used", "new", "lease"]


@dataclass(frozen=True, slots=True, eq=False)
class Other:
    """One alternative in every world.

    Attributes
    ----------
    value : ndarray, shape (worlds,), money
        Worth now, its own hours paid.
    price, own_hours : ndarray, shape (worlds,)
        What getting it costs; zero where the work is bought in.
    earns : bool
        Whether it earns a margin from a first good part on.
    days : ndarray, shape (worlds,), days
        Until that.
    left : ndarray, shape (worlds,), money
        What it brings at the horizon, undiscounted.
    saved : ndarray, shape (worlds,), money a year
        From the first good part on, operator's hour paid.
    way : str
    """

    value: Floats
    price: Floats
    own_hours: Floats
    days: Floats
    left: Floats
    saved: Floats
    earns: bool = False
    way: OtherWay = "buy_in"


def bought_in(value: Floats, extra_a_year: Floats) -> Other:
    """The work bought in: nothing is paid at once, nothing is left.

    Parameters
    ----------
    value : ndarray, shape (worlds,), money
    extra_a_year : ndarray, shape (worlds,), money a year
        What it costs beyond what the work costs now.

    Returns
    -------
    Other

    Examples
    --------
    >>> bought_in(np.zeros(2), np.zeros(2)).earns
    False
    """
    none = np.zeros(len(value))
    return Other(value, none, none, none, none, np.asarray(-extra_a_year))
