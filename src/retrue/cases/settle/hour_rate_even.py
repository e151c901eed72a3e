"""Our own machine beside buying its work in, by the money of a year: one sum for every page."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.books.break_even import BreakEven, lost_day, own_against_buying_in, within_a_year
from retrue.cases.settle.hour_rate_inputs import Inputs, by_the_hour, whatever_the_hours

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """A year of a machine of our own, and the same year with its work bought in.

    Attributes
    ----------
    fixed : ndarray, shape (worlds,), money a year
        Capital recovery, floor, and what else does not grow with the hours.
    hourly : ndarray, shape (worlds,), money an hour worked
        Running.
    operator : ndarray, shape (worlds,), money an hour worked
    bought : ndarray, shape (worlds,), money an hour
        The same work bought in.
    there : ndarray, shape (worlds,)
        Share of working days on which the machine does not stand; else the work is bought in.
    """

    fixed: Floats
    hourly: Floats
    operator: Floats
    bought: Floats
    there: Floats

    def saved(self, dearer: float = 0.0) -> Floats:
        """By each hour of work there is for it, shape (worlds,); bought in it may be dearer."""
        return self.there * (self.bought + dearer - self.operator - self.hourly)

    def even(self, dearer: float = 0.0) -> BreakEven:
        """Hours of work a year from which it beats buying in at so much more an hour, on average.

        Examples
        --------
        >>> one = np.ones(1)
        >>> beside = Beside(7_500 * one, 5 * one, 15 * one, 45 * one, one)
        >>> beside.even().at, beside.even(5.0).at, beside.a_year(400.0)
        (300.0, 250.0, 2500.0)
        """
        bought = float(self.bought.mean()) + dearer
        ours = bought - float(self.saved(dearer).mean())
        return within_a_year(own_against_buying_in(float(self.fixed.mean()), ours, bought))

    def a_year(self, hours: float, dearer: float = 0.0) -> float:
        """Money of a year by which it is ahead at those hours of work, on average."""
        return hours * float(self.saved(dearer).mean()) - float(self.fixed.mean())

    @property
    def lost_day(self) -> float:
        """A day on which it stands and had eight hours of work; the operator does other work."""
        return self.lost_day_at()

    def lost_day_at(self, dearer: float = 0.0) -> float:
        """The same where an hour bought in is dearer than the work is now."""
        saved = float((self.operator + self.hourly).mean())
        return lost_day(float(self.bought.mean()) + dearer, saved)


def beside_buying_in(inputs: Inputs, hour_value: float) -> Beside:
    """Our own machine beside buying its work in.

    Parameters
    ----------
    inputs : Inputs
    hour_value : float
        Of an own hour put into it.

    Returns
    -------
    Beside

    References
    ----------
    Capital recovery: Grant, Ireson and Leavenworth 1990, chapter 7; the rest by definition.
    """
    none = np.zeros(len(inputs.values["paid"]))
    return Beside(
        fixed=sum(whatever_the_hours(inputs, hour_value).values(), start=none),
        hourly=sum(by_the_hour(inputs).values(), start=none),
        operator=inputs.values["wage_an_hour"],
        bought=inputs.values["work_cost_an_hour"],
        there=inputs.there,
    )
