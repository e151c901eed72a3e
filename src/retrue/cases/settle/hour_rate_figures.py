"""What running a machine takes in a year: as the owner knows it, else as the tables judge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from retrue.base import formatter
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.books.break_even import HOURS_A_YEAR
from retrue.cases.alternatives import RUNNING_PER_HOUR
from retrue.cases.drawing import Drawer
from retrue.cases.settle.rate_lines import FigureMark, FigureRow
from retrue.kinds.library import Three
from retrue.records.settling import RUN_ITEMS, RunFigure

Floats = NDArray[np.float64]

# Common practice, from memory, unverified; each stands on the page until the owner types his own.
# The worked example of a restored machine at 900 h a year: maintenance 2 500, energy 1 350 (6 kW at
# 0.25), insurance 200, tooling and coolant 1 500; together 6.17 an hour, which the price has as
# 6.2. Here they grow with the hours of work, so that price and rate say the same.
EXAMPLE_HOURS = 900.0
EXAMPLE = {
    "maintenance_a_year": 2_500.0,
    "energy": 1_350.0,
    "insurance_a_year": 200.0,
    "tooling_a_year": 1_500.0,
}
AN_HOUR = {
    item: money / sum(EXAMPLE.values()) * RUNNING_PER_HOUR for item, money in EXAMPLE.items()
}
SPREAD = Three(0.5, 1.0, 1.5)  # of each against its own likely value (judgement)
KILOWATTS = 6.0  # so that with 0.25 a kilowatt-hour energy is 1.50 an hour
FLOOR_M2 = Three(8.0, 14.0, 18.0)  # working floor, doors and cabinet open: 8 to 14, aisle beyond
FLOOR_M2_YEAR = Three(48.0, 96.0, 180.0)  # 4, 8, 15 a month and square metre
DOWN_DAYS = Three(2.0, 6.0, 20.0)  # of an old machine (judgement)
WORKING_DAYS = 220.0  # in a year, common practice
UNITS = {
    "hours_a_year": "h", "energy_kw": "kW", "floor_m2": "m²", "life_years": "years",
    "down_days_a_year": "days",
}  # fmt: skip
DIGITS = 6  # of a figure that is shown
ABOVE_ZERO = ("hours_a_year", "life_years")
YEARLY = ("maintenance_a_year", "insurance_a_year", "tooling_a_year")
MOST = {"hours_a_year": HOURS_A_YEAR, "down_days_a_year": 366.0, "life_years": 100.0}
# The highest that is usual, of what hardly hangs on the machine: ten times that is asked about.
USUAL = {
    "energy_kw": KILOWATTS * SPREAD.high,
    "energy_price_kwh": AN_HOUR["energy"] / KILOWATTS * SPREAD.high,
    "floor_m2": FLOOR_M2.high,
    "floor_m2_year": FLOOR_M2_YEAR.high,
    "maintenance_a_year": EXAMPLE["maintenance_a_year"] * SPREAD.high,
    "insurance_a_year": EXAMPLE["insurance_a_year"] * SPREAD.high,
    "tooling_a_year": EXAMPLE["tooling_a_year"] * SPREAD.high,
}
TOO_FAR = 10.0  # times the highest that is usual (judgement)


def item_words(item: str) -> str:
    """A figure in the words of a page.

    Parameters
    ----------
    item : str
        One of RUN_ITEMS.

    Returns
    -------
    str

    Examples
    --------
    >>> item_words("energy_kw")
    'power drawn while it cuts, on average'
    """
    return {
        "hours_a_year": say("hours of work for it a year"),
        "maintenance_a_year": say("maintenance a year"),
        "energy_kw": say("power drawn while it cuts, on average"),
        "energy_price_kwh": say("a kilowatt-hour"),
        "tooling_a_year": say("tooling and coolant a year"),
        "insurance_a_year": say("insurance a year"),
        "floor_m2": say("floor it takes"),
        "floor_m2_year": say("a square metre of floor a year"),
        "life_years": say("years it is kept"),
        "resale_at_end": say("what it brings in the end"),
        "down_days_a_year": say("days a year on which it stands"),
        "wage_an_hour": say("the operator's hour"),
        "work_cost_an_hour": say("the same work bought in, an hour"),
    }[item]


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """The owner's own figures of one machine, by item.

    Examples
    --------
    >>> Figures({}).has("energy_kw")
    False
    """

    own: Mapping[str, FigureRow]

    def has(self, item: str) -> bool:
        """Whether the owner gave it."""
        return item in self.own

    def drawn(self, item: str, machine: str, drawer: Drawer) -> Floats:
        """One of the owner's own in every world, shape (worlds,)."""
        one = self.own[item]
        return drawn(item, Three(one.low, one.likely, one.high), machine, drawer)


def drawn(item: str, three: Three, machine: str, drawer: Drawer) -> Floats:
    """A figure in every world.

    Parameters
    ----------
    item : str
    three : Three
    machine : str
        By name.
    drawer : Drawer

    Returns
    -------
    ndarray, shape (worlds,)

    Examples
    --------
    >>> drawn("floor_m2", Three(14.0, 14.0, 14.0), "mill", Drawer(7, "lot", 2)).tolist()
    [14.0, 14.0]
    """
    return drawer.pert(machine, f"run {item}", three)


def figures_of(kept: Iterable[tuple[str, RunFigure]]) -> Figures:
    """The owner's figures of one machine, the newest of each item.

    Parameters
    ----------
    kept : iterable of (record id, RunFigure)
        Oldest first.

    Returns
    -------
    Figures

    Examples
    --------
    >>> fact = RunFigure(lot="l", machine="m", item="floor_m2", low=Decimal(10),
    ...                  likely=Decimal(12), high=Decimal(14))
    >>> figures_of([("a", fact)]).own["floor_m2"].likely
    12.0
    """
    return Figures(
        {
            fact.item: FigureRow(
                item=fact.item,
                words=item_words(fact.item),
                unit=UNITS.get(fact.item, ""),
                low=float(fact.low),
                likely=float(fact.likely),
                high=float(fact.high),
                mark="own",
                why=fact.reason or say("your own figure"),
                record=id,
            )
            for id, fact in kept
            if fact.item in RUN_ITEMS
        }
    )


def figure_doubts(item: str, low: Decimal, likely: Decimal, high: Decimal) -> tuple[Problem, ...]:
    """What is wrong with a figure before it is kept.

    Parameters
    ----------
    item : str
    low, likely, high : Decimal

    Returns
    -------
    tuple of Problem

    Examples
    --------
    >>> [one.where for one in figure_doubts("life_years", Decimal(0), Decimal(7), Decimal(9))]
    ['low']
    """
    if item not in RUN_ITEMS:
        what = say("{item} is no figure of a machine", item=repr(item))
        return (Problem("item", what, say("Known: {items}.", items=", ".join(RUN_ITEMS))),)
    least = say("Give the low, the likely, then the high figure.")
    doubts = [
        Problem(name, say("is below zero"), say("Leave the minus away."))
        for name, value in (("low", low), ("likely", likely), ("high", high))
        if value < 0
    ]
    if not low <= likely <= high:
        doubts.append(Problem("likely", say("does not rise"), least))
    if item in ABOVE_ZERO and low == 0:
        doubts.append(
            Problem("low", say("is nothing"), say("Give a low figure above 0: it is divided by."))
        )
    most = MOST.get(item)
    if most is not None and float(high) > most:
        what = say("is more than {most}, the most there can be", most=formatter.number(most))
        doubts.append(Problem("high", what, say("Give {most} or less.", most=f"{most:.0f}")))
    return tuple(doubts)


def far_words(row: FigureRow, currency: str) -> str:
    """What is said of a figure of one's own that is far above what is usual; else empty.

    Parameters
    ----------
    row : FigureRow
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> far = assumed_row("floor_m2", Three(9.0, 900.0, 900.0), "", "own")
    >>> far_words(far, "EUR").replace(formatter.THIN, " ")
    'Look again: floor it takes, 900 m², is far above what is usual, up to 18 m².'
    >>> far_words(assumed_row("floor_m2", Three(9.0, 9.0, 9.0), "", "own"), "EUR")
    ''
    """
    usual = USUAL.get(row.item)
    if row.mark != "own" or usual is None or row.likely <= TOO_FAR * usual:
        return ""
    return say(
        "Look again: {words}, {value}, is far above what is usual, up to {usual}.",
        words=row.words,
        value=_with_unit(row.likely, row.unit, currency),
        usual=_with_unit(usual, row.unit, currency),
    )


def _with_unit(value: float, unit: str, currency: str) -> str:
    digits = 0 if value == round(value) else 2
    if unit:
        return f"{formatter.number(value, digits)}{formatter.THIN}{unit}"
    return formatter.money(value, currency, digits)


def assumed_row(item: str, three: Three, why: str, mark: FigureMark = "assumed") -> FigureRow:
    """A figure nobody gave.

    Parameters
    ----------
    item : str
    three : Three
    why : str
    mark : str

    Returns
    -------
    FigureRow

    Examples
    --------
    >>> assumed_row("floor_m2", FLOOR_M2, "judgement").mark
    'assumed'
    """
    return FigureRow(
        item=item,
        words=item_words(item),
        unit=UNITS.get(item, ""),
        low=round(three.low, DIGITS),
        likely=round(three.likely, DIGITS),
        high=round(three.high, DIGITS),
        mark=mark,
        why=why,
    )
