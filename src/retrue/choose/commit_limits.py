"""What there is to spend on several bids, and what a choice of them takes of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Unusable

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
CLOSE = 1e-9  # by so much, relatively, a limit may be overrun: sums in another order differ less


@dataclass(frozen=True, slots=True)
class Limits:
    """What there is to spend; infinite where there is no limit.

    ``odds`` is the chance that all of them hold together, whatever is won.
    """

    money: float = math.inf
    hours: float = math.inf
    floor: float = math.inf
    odds: float = 0.9

    def __post_init__(self) -> None:
        """Refuse limits that cannot be."""
        limits = (self.money, self.hours, self.floor)
        if not (all(limit >= 0 for limit in limits) and 0 < self.odds < 1):
            raise Unusable(
                "limits must not lie below 0, and their odds must lie between 0 and 1",
                remedy="Give odds such as 0.9, and leave out a limit that does not count.",
            )

    @property
    def over(self) -> float:
        """How often they may be broken."""
        return 1.0 - self.odds


@dataclass(frozen=True, slots=True, eq=False)
class Came:
    """What a choice of bids comes to in every world; arrays of shape (worlds,).

    Attributes
    ----------
    gain : ndarray, money
        Against bidding on nothing.
    money, hours, floor : ndarray
        What all that is won takes: money, own hours, m2.
    """

    gain: Floats
    money: Floats
    hours: Floats
    floor: Floats

    def __add__(self, other: Came) -> Came:
        """Both together."""
        return Came(
            self.gain + other.gain,
            self.money + other.money,
            self.hours + other.hours,
            self.floor + other.floor,
        )

    def breaks(self, limits: Limits) -> Bools:
        """Where any limit is broken.

        Parameters
        ----------
        limits : Limits

        Returns
        -------
        ndarray of bool, shape (worlds,)
        """
        over = self.money > no_more_than(limits.money)
        over |= self.hours > no_more_than(limits.hours)
        return np.asarray(over | (self.floor > no_more_than(limits.floor)))


def no_more_than(limit: float) -> float:
    """A limit with a hair's breadth, so that what fills it exactly does not break it.

    Parameters
    ----------
    limit : float

    Returns
    -------
    float

    References
    ----------
    By definition.

    Examples
    --------
    >>> 0.1 + 0.2 > 0.3, 0.1 + 0.2 > no_more_than(0.3)
    (True, False)
    """
    return limit + CLOSE * max(1.0, limit)


def nothing(worlds: int) -> Came:
    """No bid at all.

    Parameters
    ----------
    worlds : int

    Returns
    -------
    Came

    References
    ----------
    By definition.

    Examples
    --------
    >>> nothing(2).gain.tolist()
    [0.0, 0.0]
    """
    none = np.zeros(worlds)
    return Came(none, none, none, none)
