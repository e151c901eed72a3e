"""Ours and each other way in every world: what they take and bring, by the hour and by the year."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.alternatives import DAYS_A_YEAR, RUNNING_PER_HOUR, later, present_years
from retrue.cases.instead import Other
from retrue.cases.settle.hour_rate_figures import (
    AN_HOUR,
    KILOWATTS,
    WORKING_DAYS,
    YEARLY,
    Figures,
)
from retrue.cases.settle.hour_rate_inputs import work_cost
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.versus_lines import Way

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One way to get the work done; shape (worlds,), shop's currency, hours, days.

    Attributes
    ----------
    money, own_hours : ndarray
        Laid out at the start.
    an_hour : ndarray
        What each hour of work a year saves, from the first good part on.
    a_year : ndarray
        What a year takes whatever the hours.
    days : ndarray
        To the first good part.
    left : ndarray
        What it brings at the horizon, undiscounted.
    sale, sale_days : ndarray
        What a sale before brings, as worth on the first day; and when.
    """

    money: Floats
    own_hours: Floats
    an_hour: Floats
    a_year: Floats
    days: Floats
    left: Floats
    sale: Floats
    sale_days: Floats


@dataclass(frozen=True, eq=False)
class Gap:
    """Ours less another way, in every world: a straight line in the hours of work a year.

    Examples
    --------
    >>> none = np.zeros(1)
    >>> ours = Side(none + 5_000.0, none, none + 20.0, none, none, none, none, none)
    >>> other = Side(none, none, none, none, none, none, none, none)
    >>> gap = Gap(ours, other, none + 100.0, 15.0, 0.0, 5.0)
    >>> gap.now.tolist(), gap.at_hours(50.0).tolist()
    ([5000.0], [0.0])
    """

    ours: Side
    other: Side
    hours: Floats
    rate: float  # of an own hour
    interest: float
    horizon: float

    @cached_property
    def own_hours(self) -> Floats:
        """Own hours put into ours beyond those of the other way."""
        return self.ours.own_hours - self.other.own_hours

    @cached_property
    def at_none(self) -> Floats:
        """The gap at no hours of work, own hours at their rate."""
        end = later(self.horizon * DAYS_A_YEAR, self.interest)
        money = self.other.money - self.ours.money - self.rate * self.own_hours
        kept = (self.ours.left - self.other.left) * end + self.ours.sale - self.other.sale
        yearly = self.other.a_year * self._years(self.other) - self.ours.a_year * self._years(
            self.ours
        )
        return np.asarray(money + kept + yearly)

    @cached_property
    def an_hour(self) -> Floats:
        """What each hour of work a year adds to it."""
        return np.asarray(
            self.ours.an_hour * self._years(self.ours)
            - self.other.an_hour * self._years(self.other)
        )

    @cached_property
    def now(self) -> Floats:
        """The gap at the hours of work there are."""
        return self.at_none + self.hours * self.an_hour

    def at_hours(self, hours: float) -> Floats:
        """The gap at that many hours of work a year."""
        return self.at_none + hours * self.an_hour

    def at_rate(self, rate: float) -> Floats:
        """The gap with own hours at another rate."""
        return self.now - (rate - self.rate) * self.own_hours

    @cached_property
    def payments(self) -> Floats:
        """By year, shape (years + 1, worlds): at once, then at each year's end."""
        return self._by_year(self.ours) - self._by_year(self.other)

    def _years(self, side: Side) -> Floats:
        return present_years(side.days, self.interest, self.horizon)

    def _by_year(self, side: Side) -> Floats:
        years = max(1, round(self.horizon))
        rows = np.zeros((years + 1, len(self.hours)))
        rows[0] = -side.money - self.rate * side.own_hours
        saved = self.hours * side.an_hour - side.a_year
        ready = side.days / DAYS_A_YEAR
        for year in range(1, years + 1):
            rows[year] = saved * np.clip(year - ready, 0.0, 1.0)
        rows[years] += side.left
        when = side.sale_days / DAYS_A_YEAR
        at = np.clip(np.ceil(when).astype(int), 0, years)
        rows[at, np.arange(len(self.hours))] += side.sale * (1.0 + self.interest) ** at
        return rows


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """The work both would do: its hours, what it costs bought in, what the operator takes.

    All of shape (worlds,); ``cost`` and ``operator`` are money an hour.
    """

    hours: Floats
    cost: Floats
    operator: Floats


def work_of(whole: Whole, figures: Figures) -> Work:
    """The work of one machine, by the owner's own figures where he gave them.

    Parameters
    ----------
    whole : Whole
    figures : Figures

    Returns
    -------
    Work
    """

    def taken(item: str, otherwise: Floats) -> Floats:
        has = figures.has(item)
        return figures.drawn(item, whole.name, whole.drawer) if has else otherwise

    return Work(
        hours=taken("hours_a_year", whole.worth.hours_a_year),
        cost=taken("work_cost_an_hour", work_cost(whole)),
        operator=taken("wage_an_hour", np.full(len(whole.money), whole.settled.rate)),
    )


def ours_of(whole: Whole, figures: Figures, work: Work) -> Side:
    """Our own machine: spent as it was, to come as drawn, running as known.

    Parameters
    ----------
    whole : Whole
    figures : Figures
    work : Work

    Returns
    -------
    Side
        Without own figures its running costs an hour what the price takes.
    """
    none = np.zeros(len(whole.money))
    if not whole.keeps:
        horizon = np.full(len(none), whole.settled.horizon * DAYS_A_YEAR)
        return Side(whole.money, whole.hours, none, none, horizon, none, whole.sale, whole.days)
    hourly, a_year = running(whole, figures)
    there = none + 1.0
    if figures.has("down_days_a_year"):
        down = figures.drawn("down_days_a_year", whole.name, whole.drawer)
        there = 1.0 - np.clip(down / WORKING_DAYS, 0.0, 1.0)
    left = whole.left
    if figures.has("resale_at_end"):
        left = figures.drawn("resale_at_end", whole.name, whole.drawer)
    saved = there * (work.cost - work.operator - hourly)
    return Side(whole.money, whole.hours, saved, a_year, whole.days, left, whole.sale, none)


def running(whole: Whole, figures: Figures) -> tuple[Floats, Floats]:
    """What running takes an hour, and a year whatever the hours.

    Parameters
    ----------
    whole : Whole
    figures : Figures

    Returns
    -------
    hourly, a_year : ndarray, shape (worlds,), money
    """
    hourly = np.full(len(whole.money), RUNNING_PER_HOUR)
    a_year = np.zeros(len(whole.money))
    power = [item for item in ("energy_kw", "energy_price_kwh") if figures.has(item)]
    typed = [item for item in YEARLY if figures.has(item)]
    if not typed and not power and whole.spent.run_a_year is not None:
        return np.zeros(len(hourly)), a_year + whole.spent.run_a_year
    for item in typed:
        hourly = hourly - AN_HOUR[item]
        a_year = a_year + figures.drawn(item, whole.name, whole.drawer)
    if power:
        guess = {"energy_kw": KILOWATTS, "energy_price_kwh": AN_HOUR["energy"] / KILOWATTS}
        energy = np.ones(len(hourly))
        for item, otherwise in guess.items():
            has = figures.has(item)
            drawn = figures.drawn(item, whole.name, whole.drawer) if has else otherwise
            energy = energy * drawn
        hourly = hourly - AN_HOUR["energy"] + energy
    return hourly, a_year


def other_of(other: Other, whole: Whole, work: Work) -> Side:
    """Another way to get the same work done, for the same hours.

    Parameters
    ----------
    other : Other
        As the price has it.
    whole : Whole
    work : Work

    Returns
    -------
    Side
    """
    none = np.zeros(len(whole.money))
    worth = whole.worth
    there = worth.hours_a_year > 0
    was = worth.margin_a_year if other.earns else none
    dearer = np.divide(was - other.saved, worth.hours_a_year, out=np.zeros(len(none)), where=there)
    saved = work.cost - work.operator - RUNNING_PER_HOUR - dearer if other.earns else -dearer
    return Side(other.price, other.own_hours, saved, none, other.days, other.left, none, none)


def nothing_of(whole: Whole) -> Side:
    """Not having bought it: nothing is paid, nothing comes in.

    Parameters
    ----------
    whole : Whole

    Returns
    -------
    Side
    """
    none = np.zeros(len(whole.money))
    return Side(none, none, none, none, none, none, none, none)


def gaps_of(whole: Whole, figures: Figures) -> list[tuple[str, Way, Gap]]:
    """Ours against every other way, the strongest first.

    Parameters
    ----------
    whole : Whole
    figures : Figures

    Returns
    -------
    list of (name, way, Gap)
        A machine that is to be sold, or is sold, is held against not having bought it.
    """
    work, settled = work_of(whole, figures), whole.settled
    ours = ours_of(whole, figures, work)
    sides: list[tuple[str, Way, Side]] = [
        (name, other.way, other_of(other, whole, work))
        for name, other in whole.worth.others.items()
    ]
    if not whole.keeps:
        sides = [(say("not having bought it"), "nothing", nothing_of(whole))]
    gaps = [
        (name, way, Gap(ours, side, work.hours, settled.rate, settled.interest, settled.horizon))
        for name, way, side in sides
    ]
    return sorted(gaps, key=lambda row: float(row[2].now.mean()))
