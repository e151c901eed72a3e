"""What an hour of a machine costs, world by world: capital, floor and running over its hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.books.value import capital_recovery_factor

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HourRate:
    """An hour of a machine in every world, and what it is made of.

    Attributes
    ----------
    parts : mapping of str to ndarray, shape (worlds,), money an hour
        In the order given; together they are the whole.
    total : ndarray, shape (worlds,), money an hour
    a_year : ndarray, shape (worlds,), money a year
    hours : ndarray, shape (worlds,), hours a year
    """

    parts: Mapping[str, Floats]
    total: Floats
    a_year: Floats
    hours: Floats

    @property
    def mean(self) -> float:
        """The mean of the ratio: never the ratio of the means."""
        return float(self.total.mean())


def capital_a_year(paid: ArrayLike, resale: ArrayLike, interest: float, years: ArrayLike) -> Floats:
    """What owning costs each year, in every world.

    Parameters
    ----------
    paid : array_like of float, shape () or (worlds,), money
        Spent at the start.
    resale : array_like of float, shape () or (worlds,), money
        Got back at the end.
    interest : float
        A year, as a share above -1.
    years : array_like of float, shape () or (worlds,), years
        How long it is kept, above 0.

    Returns
    -------
    ndarray, shape () or (worlds,), money a year

    Raises
    ------
    Unusable
        No years, or interest of -1 or less.

    References
    ----------
    Grant, Ireson and Leavenworth 1990, Principles of Engineering Economy, chapter 7: capital
    recovery with a salvage value.

    Examples
    --------
    >>> capital_a_year([33_700.0, 95_000.0], [7_000.0, 38_000.0], 0.08, 7.0).round().tolist()
    [5688.0, 13988.0]
    """
    back = _recovery(interest, np.asarray(years, dtype=np.float64))
    spent, brings = np.asarray(paid, dtype=np.float64), np.asarray(resale, dtype=np.float64)
    return np.asarray(spent * back - brings * (back - interest))


def hour_rate(a_year: Mapping[str, ArrayLike], hours: ArrayLike) -> HourRate:
    """Costs of a year over the hours of that year.

    Parameters
    ----------
    a_year : mapping of str to array_like of float, shape () or (worlds,), money a year
        By part: capital, floor, maintenance.
    hours : array_like of float, shape () or (worlds,), hours a year
        In which the machine is there and has work, above 0.

    Returns
    -------
    HourRate
        Its mean is that of the cost in each world: few hours cost more than many hours save, so
        that it lies above mean cost over mean hours.

    Raises
    ------
    Unusable
        No part, or a world without hours.

    References
    ----------
    Of the mean: Jensen 1906, Acta Mathematica 30, for the reciprocal (convex). Machine rate: costs
    a year over hours a year, common practice.

    Examples
    --------
    >>> rate = hour_rate({"capital": 6_000.0, "floor": 2_000.0}, [200.0, 800.0])
    >>> rate.total.tolist(), rate.mean, 8_000.0 / 500.0
    ([40.0, 10.0], 25.0, 16.0)
    """
    if not a_year:
        raise Unusable("an hour of nothing costs nothing", remedy="Name what a year costs.")
    time = np.atleast_1d(np.asarray(hours, dtype=np.float64))
    if not (time > 0).all():
        raise Unusable(
            "without hours a year an hour has no cost", remedy="Give hours a year above 0."
        )
    parts = {name: np.asarray(cost, dtype=np.float64) / time for name, cost in a_year.items()}
    total = np.asarray(sum(parts.values()))
    return HourRate(parts=parts, total=total, a_year=total * time, hours=time)


def loaded_wage(wage: float, load: float) -> float:
    """What an hour of an employee costs.

    Parameters
    ----------
    wage : float
        Money an hour.
    load : float
        What comes on top, as a share of it: 0.30.

    Returns
    -------
    float
        Money an hour.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(loaded_wage(32.0, 0.30), 2)
    41.6
    """
    return wage * (1.0 + load)


def price_an_hour(cost: float, margin: float) -> float:
    """What to ask for an hour, so that a share of the price is left.

    Parameters
    ----------
    cost : float
        Money an hour.
    margin : float
        Share of the price, below 1.

    Returns
    -------
    float
        Money an hour: the cost divided by what the margin leaves, not raised by the margin.

    Raises
    ------
    Unusable
        A margin of the whole price, or below nothing.

    References
    ----------
    By definition: margin on price.

    Examples
    --------
    >>> price_an_hour(80.0, 0.2)
    100.0
    """
    if not 0.0 <= margin < 1.0:
        raise Unusable(
            "a margin is a share of the price below all of it",
            remedy="Give it as a share: 0.20 for 20 per cent.",
        )
    return cost / (1.0 - margin)


def _recovery(interest: float, years: Floats) -> Floats:
    """The capital recovery factor of every number of years."""
    if years.ndim == 0:
        return np.asarray(capital_recovery_factor(interest, float(years)))
    if not (years > 0).all():
        raise Unusable("capital cannot come back in no time", remedy="Give years above 0.")
    capital_recovery_factor(interest, float(years.flat[0]))  # it refuses what is no interest
    if interest == 0:
        return np.asarray(1.0 / years)
    return np.asarray(interest / -np.expm1(-years * np.log1p(interest)))
