"""Ours and each other way in every world: what they take and bring, by the hour and by the year."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.books.value import discount_factors
from retrue.cases.alternatives import DAYS_A_YEAR, RUNNING_PER_HOUR, later
from retrue.cases.instead import Other
from retrue.cases.settle.hour_rate_figures import (
    AN_HOUR,
    KILOWATTS,
    YEARLY,
    Figures,
)
from retrue.cases.settle.hour_rate_inputs import Inputs
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.versus_lines import Way

Floats = NDArray[np.float64]

SOME_DAYS = 0.01  # of a year: a day so little after a year's end is of that year


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
    days, until : ndarray
        To the first good part; to the last one: the horizon, a sale, the end of its life.
    left : ndarray
        What it brings on that last day, undiscounted.
    sale, sale_days : ndarray
        What a sale before brings, as worth on the first day; and when.
    """

    money: Floats
    own_hours: Floats
    an_hour: Floats
    a_year: Floats
    days: Floats
    until: Floats
    left: Floats
    sale: Floats
    sale_days: Floats


@dataclass(frozen=True, eq=False)
class Gap:
    """Ours less another way, in every world: a straight line in the hours of work a year.

    Examples
    --------
    >>> none = np.zeros(1)
    >>> five = none + 5 * DAYS_A_YEAR
    >>> ours = Side(none + 5_000.0, none, none + 20.0, none, none, five, none, none, none)
    >>> other = Side(none, none, none, none, none, five, none, none, none)
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
        money = self.other.money - self.ours.money - self.rate * self.own_hours
        kept = self._kept(self.ours) - self._kept(self.other)
        yearly = self.other.a_year * self._years(self.other) - self.ours.a_year * self._years(
            self.ours
        )
        return np.asarray(money + kept + yearly)

    def _kept(self, side: Side) -> Floats:
        return side.left * later(side.until, self.interest) + side.sale

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

    @cached_property
    def years(self) -> float:
        """Years in which ours works, as worth on the first day; on average."""
        return float(self._years(self.ours).mean())

    def _years(self, side: Side) -> Floats:
        until = side.until / DAYS_A_YEAR
        first = np.minimum(side.days / DAYS_A_YEAR, until)
        told = discount_factors(self.interest, first) - discount_factors(self.interest, until)
        return np.asarray(until - first if not self.interest else told / np.log1p(self.interest))

    def _by_year(self, side: Side) -> Floats:
        years = self._rows
        rows = np.zeros((years + 1, len(self.hours)))
        rows[0] = -side.money - self.rate * side.own_hours
        saved = self.hours * side.an_hour - side.a_year
        ready = side.days / DAYS_A_YEAR
        until = side.until / DAYS_A_YEAR
        for year in range(1, years + 1):
            worked = np.minimum(year, until) - np.maximum(year - 1, ready)
            rows[year] = saved * np.clip(worked, 0.0, 1.0)
        self._put(rows, side.left, until)
        at = self._put(rows, 0.0, side.sale_days / DAYS_A_YEAR)
        rows[at, np.arange(len(self.hours))] += side.sale * (1.0 + self.interest) ** at
        return rows

    @cached_property
    def _rows(self) -> int:
        """Years looked at: those ahead, or more where it worked for longer."""
        last = (day for one in (self.ours, self.other) for day in (one.until, one.sale_days))
        longest = max(float(day.max()) for day in last) / DAYS_A_YEAR
        return max(1, round(self.horizon), int(np.ceil(longest - SOME_DAYS)))

    def _put(self, rows: Floats, money: Floats | float, when: Floats) -> NDArray[np.int64]:
        """Money put at the end of the year in which its day lies; which year that is."""
        at = np.clip(np.ceil(when - SOME_DAYS), 0, self._rows).astype(np.int64)
        rows[at, np.arange(len(self.hours))] += money
        return at


def ours_of(whole: Whole, figures: Figures, inputs: Inputs) -> Side:
    """Our own machine: spent as it was, to come as drawn, running as known.

    Parameters
    ----------
    whole : Whole
    figures : Figures
        The owner's own.
    inputs : Inputs
        The same with all that is judged in their place, as the hour rate takes them.

    Returns
    -------
    Side
        Without own figures its running costs an hour what the price takes. One that is gone is
        taken to have done its work from its first good part until then, where it worked.
    """
    none, spent = np.zeros(len(whole.money)), whole.spent
    last = none + whole.settled.horizon * DAYS_A_YEAR
    if not whole.keeps and whole.worked is None:
        none_left = (none, whole.sale, whole.days)
        return Side(whole.money, whole.hours, none, none, last, last, *none_left)
    hourly, a_year = running(whole, figures)
    told = inputs.values
    saved = inputs.there * (told["work_cost_an_hour"] - told["wage_an_hour"] - hourly)
    a_year = a_year + floor_of(inputs)
    if spent.gone and whole.worked is not None:
        first, until = (none + day for day in whole.worked)
        return Side(whole.money, whole.hours, saved, a_year, first, until, none, whole.sale,
                    whole.days)  # fmt: skip
    until = np.minimum(last, told["life_years"] * DAYS_A_YEAR)
    early = float(until.mean()) < float(last.mean())
    left = told["resale_at_end"] if early or figures.has("resale_at_end") else whole.left
    return Side(whole.money, whole.hours, saved, a_year, whole.days, until, left, whole.sale, none)


def floor_of(inputs: Inputs) -> Floats:
    """What the floor under a machine takes.

    Parameters
    ----------
    inputs : Inputs

    Returns
    -------
    ndarray, shape (worlds,)
        Money a year.
    """
    return np.asarray(inputs.values["floor_m2"] * inputs.values["floor_m2_year"])


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


def other_of(other: Other, whole: Whole, figures: Figures, inputs: Inputs) -> Side:
    """Another way to get the same work done, for the same hours.

    Parameters
    ----------
    other : Other
        As the price has it.
    whole : Whole
    figures : Figures
        The owner's own.
    inputs : Inputs

    Returns
    -------
    Side
        A machine takes the floor that ours takes; a used one stands as often as ours is taken to,
        unless the owner said how often ours does.
    """
    none, worth = np.zeros(len(whole.money)), whole.worth
    last = none + whole.settled.horizon * DAYS_A_YEAR
    there = worth.hours_a_year > 0
    was = worth.margin_a_year if other.earns else none
    dearer = np.divide(was - other.saved, worth.hours_a_year, out=np.zeros(len(none)), where=there)
    if not other.earns:
        return Side(other.price, other.own_hours, -dearer, none, other.days, last, other.left,
                    none, none)  # fmt: skip
    told = inputs.values
    saved = told["work_cost_an_hour"] - told["wage_an_hour"] - RUNNING_PER_HOUR - dearer
    if other.way == "used" and not figures.has("down_days_a_year"):
        saved = saved * inputs.there
    return Side(other.price, other.own_hours, saved, floor_of(inputs), other.days, last, other.left,
                none, none)  # fmt: skip


def nothing_of(whole: Whole) -> Side:
    """Not having bought it: nothing is paid, nothing comes in; the work is bought in.

    Parameters
    ----------
    whole : Whole

    Returns
    -------
    Side
    """
    none = np.zeros(len(whole.money))
    return Side(none, none, none, none, none, none, none, none, none)


def gaps_of(whole: Whole, figures: Figures, inputs: Inputs) -> list[tuple[str, Way, Gap]]:
    """Ours against every other way, the strongest first.

    Parameters
    ----------
    whole : Whole
    figures : Figures
        The owner's own.
    inputs : Inputs
        All figures, as the hour rate takes them.

    Returns
    -------
    list of (name, way, Gap)
        A machine that is to be sold, or is sold, is held against not having bought it.
    """
    settled = whole.settled
    ours = ours_of(whole, figures, inputs)
    sides: list[tuple[str, Way, Side]] = [
        (name, other.way, other_of(other, whole, figures, inputs))
        for name, other in whole.worth.others.items()
    ]
    if not whole.keeps:
        sides = [(say("not having bought it"), "nothing", nothing_of(whole))]
    hours, rate = inputs.values["hours_a_year"], settled.rate
    gaps = [
        (name, way, Gap(ours, side, hours, rate, settled.interest, settled.horizon))
        for name, way, side in sides
    ]
    return sorted(gaps, key=lambda row: float(row[2].now.mean()))
