"""Everything an hour of a machine is made of, in every world: own figures before judged ones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.books.hour_rate import HourRate, capital_a_year, hour_rate
from retrue.cases.alternatives import NEED_COST_PER_HOUR, RUNNING_PER_HOUR
from retrue.cases.machines import band
from retrue.cases.settle.hour_rate_figures import (
    AN_HOUR,
    DOWN_DAYS,
    FLOOR_M2,
    FLOOR_M2_YEAR,
    KILOWATTS,
    SPREAD,
    WORKING_DAYS,
    YEARLY,
    Figures,
    assumed_row,
    drawn,
    far_words,
)
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.rate_lines import FigureRow
from retrue.kinds.library import Three

Floats = NDArray[np.float64]

MONTHS = 12.0
LEAST_HOURS = 1.0  # a year: of a world with fewer no hour can be priced
RUN_PART = "running"
PARTS = ("capital", "own_hours", "floor", "maintenance", "energy", "insurance", "tooling", RUN_PART)
WEARS = {
    "maintenance_a_year": "maintenance",
    "insurance_a_year": "insurance",
    "tooling_a_year": "tooling",
}


@dataclass(frozen=True, slots=True, eq=False)
class Inputs:
    """One machine's figures in every world.

    Attributes
    ----------
    values : mapping of str to ndarray, shape (worlds,)
        By item of RUN_ITEMS, and paid, own_hours.
    rows : tuple of FigureRow
        The same as a reader sees them.
    fixed : frozenset of str
        Yearly items that do not grow with the hours: the owner's own.
    interest : float
    run_a_year : float or None
        Spent on running in a year, from the book; it stands in place of its parts.
    """

    values: Mapping[str, Floats]
    rows: tuple[FigureRow, ...]
    fixed: frozenset[str]
    interest: float
    run_a_year: float | None = None

    def far(self, currency: str) -> tuple[str, ...]:
        """What is to be looked at again, of the figures that the owner gave."""
        told = (far_words(row, currency) for row in self.rows)
        return tuple(words for words in told if words)

    def having(self, **values: float) -> Inputs:
        """With one or more values the same in every world."""
        worlds = len(self.values["paid"])
        set_ = {name: np.full(worlds, value) for name, value in values.items()}
        return replace(self, values=dict(self.values) | set_)

    @property
    def there(self) -> Floats:
        """The share of working days on which it does not stand."""
        return there_of(self.values["down_days_a_year"])

    @property
    def hours(self) -> Floats:
        """Worked in a year: hours of work less those of days on which it stands."""
        return np.maximum(LEAST_HOURS, self.values["hours_a_year"] * self.there)


def there_of(down_days: Floats) -> Floats:
    """The share of working days on which a machine does not stand.

    Parameters
    ----------
    down_days : ndarray, shape (worlds,), days a year

    Returns
    -------
    ndarray, shape (worlds,)

    Examples
    --------
    >>> there_of(np.array([0.0, 55.0, 400.0])).tolist()
    [1.0, 0.75, 0.0]
    """
    return 1.0 - np.clip(down_days / WORKING_DAYS, 0.0, 1.0)


def part_words(part: str) -> str:
    """A part of the rate in the words of a page.

    Parameters
    ----------
    part : str

    Returns
    -------
    str

    Examples
    --------
    >>> part_words("capital")
    'what was paid, with interest, less what it brings in the end'
    """
    return {
        "capital": say("what was paid, with interest, less what it brings in the end"),
        "own_hours": say("own hours put into it, with interest"),
        "floor": say("floor"),
        "maintenance": say("maintenance"),
        "energy": say("energy"),
        "insurance": say("insurance"),
        "tooling": say("tooling and coolant"),
        RUN_PART: say("running, as spent"),
    }[part]


def whatever_the_hours(inputs: Inputs, hour_value: float) -> dict[str, Floats]:
    """What a year costs before an hour is worked, part by part.

    Parameters
    ----------
    inputs : Inputs
    hour_value : float
        Of an own hour put into it.

    Returns
    -------
    dict of str to ndarray, shape (worlds,), money a year

    References
    ----------
    Capital recovery: Grant, Ireson and Leavenworth 1990, chapter 7; the parts are those of common
    practice.
    """
    told, life, interest = inputs.values, inputs.values["life_years"], inputs.interest
    parts = {
        "capital": capital_a_year(told["paid"], told["resale_at_end"], interest, life),
        "own_hours": capital_a_year(told["own_hours"] * hour_value, 0.0, interest, life),
        "floor": told["floor_m2"] * told["floor_m2_year"],
    }
    if inputs.run_a_year is not None:
        return parts | {RUN_PART: np.full(len(life), inputs.run_a_year)}
    return parts | {part: told[item] for item, part in WEARS.items() if item in inputs.fixed}


def by_the_hour(inputs: Inputs) -> dict[str, Floats]:
    """What each hour it works adds, part by part.

    Parameters
    ----------
    inputs : Inputs

    Returns
    -------
    dict of str to ndarray, shape (worlds,), money an hour worked
        Empty where the book has a year of running: it stands in place of the parts.
    """
    if inputs.run_a_year is not None:
        return {}
    told = inputs.values
    parts = {part: told[item] for item, part in WEARS.items() if item not in inputs.fixed}
    return parts | {"energy": told["energy_kw"] * told["energy_price_kwh"]}


def a_year(inputs: Inputs, hour_value: float) -> dict[str, Floats]:
    """What a year costs, part by part: whatever goes by the hour, for the hours it works.

    Parameters
    ----------
    inputs : Inputs
    hour_value : float
        Of an own hour put into it.

    Returns
    -------
    dict of str to ndarray, shape (worlds,), money a year
    """
    hours = inputs.hours
    parts = whatever_the_hours(inputs, hour_value)
    parts |= {part: money * hours for part, money in by_the_hour(inputs).items()}
    return {part: parts[part] for part in PARTS if part in parts}


def rate_of(inputs: Inputs, hour_value: float) -> HourRate:
    """What an hour costs in every world, the operator not counted.

    Parameters
    ----------
    inputs : Inputs
    hour_value : float

    Returns
    -------
    HourRate
    """
    return hour_rate(a_year(inputs, hour_value), inputs.hours)


def inputs_of(whole: Whole, figures: Figures, floor: tuple[bool | None, float | None]) -> Inputs:
    """All figures of one machine.

    Parameters
    ----------
    whole : Whole
    figures : Figures
        The owner's own; what he did not give is judged, wide, and marked.
    floor : (bool or None, float or None)
        Whether the shop's floor costs money, and what a square metre takes a month.

    Returns
    -------
    Inputs
    """
    taken, horizon = _Taken(whole, figures), whole.settled.horizon
    practice = say("common practice, from memory, unverified")
    by_price = say("as the price has it")
    hours = taken.reckoned("hours_a_year", whole.worth.hours_a_year, by_price)
    down = taken.judged("down_days_a_year", DOWN_DAYS, practice)
    life = taken.judged("life_years", _sure(horizon), say("the years you look ahead"))
    taken.reckoned("resale_at_end", _left(whole, life), by_price)
    taken.judged("floor_m2", FLOOR_M2, practice)
    taken.judged("floor_m2_year", *_floor(floor, practice))
    for item in YEARLY:
        taken.by_the_hour(item, hours * there_of(down), practice)
    taken.judged("energy_kw", _times(SPREAD, KILOWATTS), practice)
    taken.judged("energy_price_kwh", _times(SPREAD, AN_HOUR["energy"] / KILOWATTS), practice)
    earns = say("what your hour could earn elsewhere")
    taken.judged("wage_an_hour", _sure(whole.settled.rate), earns)
    taken.reckoned("work_cost_an_hour", work_cost(whole), by_price)
    typed = any(figures.has(item) for item in (*YEARLY, "energy_kw", "energy_price_kwh"))
    return Inputs(
        values=taken.values,
        rows=tuple(taken.rows),
        fixed=frozenset(item for item in YEARLY if figures.has(item)),
        interest=whole.settled.interest,
        run_a_year=None if typed else whole.spent.run_a_year,
    )


class _Taken:
    """Figures as they are taken, each once: the owner's own before any guess."""

    def __init__(self, whole: Whole, figures: Figures) -> None:
        self._whole, self._figures = whole, figures
        self.values: dict[str, Floats] = {"paid": whole.money, "own_hours": whole.hours}
        self.rows: list[FigureRow] = []

    def judged(self, item: str, three: Three, why: str) -> Floats:
        """A judged range."""
        values = drawn(item, three, self._whole.name, self._whole.drawer)
        return self._put(item, values, assumed_row(item, three, why))

    def reckoned(self, item: str, values: Floats, why: str) -> Floats:
        """What the worlds of the price hold."""
        told = band(values)
        row = assumed_row(item, Three(told.p10, told.p50, told.p90), why, "reckoned")
        return self._put(item, values, row)

    def by_the_hour(self, item: str, hours: Floats, why: str) -> Floats:
        """A yearly sum that grows with the hours; its row shows a year of likely hours worked."""
        hourly = _times(SPREAD, AN_HOUR[item])
        values = drawn(item, hourly, self._whole.name, self._whole.drawer)
        return self._put(
            item, values, assumed_row(item, _times(hourly, float(np.median(hours))), why)
        )

    def _put(self, item: str, values: Floats, row: FigureRow) -> Floats:
        if self._figures.has(item):
            values = self._figures.drawn(item, self._whole.name, self._whole.drawer)
            row = self._figures.own[item]
        self.values[item] = values
        self.rows.append(row)
        return values


def work_cost(whole: Whole) -> Floats:
    """What an hour of the work costs now: saved, running it and the operator's hour.

    Parameters
    ----------
    whole : Whole

    Returns
    -------
    ndarray, shape (worlds,), money an hour
    """
    hours = whole.worth.hours_a_year
    there = hours > 0
    saved = np.divide(whole.worth.margin_a_year, hours, out=np.zeros(len(hours)), where=there)
    told = saved + RUNNING_PER_HOUR + whole.settled.rate
    return np.where(there, told, NEED_COST_PER_HOUR)


def _left(whole: Whole, life: Floats) -> Floats:
    """What it brings when it is let go, undiscounted; of one to be sold, as if it stayed."""
    horizon, level = whole.settled.horizon, whole.plan.level or "right"
    years = float(life.mean())
    at_horizon = whole.prospect.resale(level, horizon)
    share = whole.left / at_horizon if whole.keeps else np.ones(len(life))
    return np.asarray(whole.prospect.resale(level, years) * share)


def _floor(floor: tuple[bool | None, float | None], practice: str) -> tuple[Three, str]:
    rented, month = floor
    if rented is False:
        return _sure(0.0), say("your floor costs nothing, as you said")
    if month is not None:
        return _sure(month * MONTHS), say("as you said of your floor")
    return FLOOR_M2_YEAR, practice


def _sure(value: float) -> Three:
    return Three(value, value, value)


def _times(three: Three, by: float) -> Three:
    return Three(three.low * by, three.likely * by, three.high * by)
