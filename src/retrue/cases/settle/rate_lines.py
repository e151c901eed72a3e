"""What an hour of a machine costs, as pages, commands and pictures take it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.cases.settle.cost_lines import Range

FigureMark = Literal["own", "assumed", "reckoned", "file"]
Says = Literal["at", "never", "always"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """One figure that the rate is made of.

    Attributes
    ----------
    item : str
        One of RUN_ITEMS.
    unit : str
        h, kW, m2, years, days; empty: money of the shop, a year, or for what ``words`` say.
    mark : str
        own: as the owner gave it; reckoned: from the worlds of the price; assumed: a judgement.
    why : str
        In words: whose, or by what table.
    record : str
        Id of the newest record of the owner's own; empty: there is none.
    """

    item: str
    words: str
    unit: str
    low: float
    likely: float
    high: float
    mark: FigureMark
    why: str = ""
    record: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RatePart:
    """One part of an hour, and of a year."""

    part: str
    words: str
    an_hour: Range
    a_year: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHourValue:
    """The mean with own hours put in at nothing, at the alternative, at the full rate."""

    zero: float
    alternative: float
    full: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RateMove:
    """What the mean would be with one figure at its low and at its high end."""

    what: str
    words: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenRow:
    """Where two ways cost the same.

    Attributes
    ----------
    says : str
        at, never, always.
    at : float or None
    words : str
        The whole answer in a sentence.
    """

    what: str
    says: Says
    at: float | None
    from_there: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunYear:
    """What was really spent on running it in one calendar year."""

    year: int
    amount: float
    lines: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HourRateView:
    """What an hour of one machine costs.

    Attributes
    ----------
    an_hour : Range or None
        Without the operator; None: there is no work for it, see ``why``.
    with_operator : Range or None
    by_hour_value, with_operator_by_hour_value : ByHourValue or None
        Means.
    wage : float
        The operator's hour, on average.
    ratio_of_means : float or None
        Mean cost a year over mean hours a year: lower, and not the answer.
    parts : tuple of RatePart
    hours : Range
        Available in a year.
    paid, own_hours : Range
        Money, and own hours, put into it: so far as they were, to come as drawn.
    paid_so_far, own_hours_so_far : float
    hour_values : (float, float)
        What an own hour is worth: alternative, full.
    moves : tuple of RateMove
        The widest first.
    even : tuple of EvenRow
        Own against buying in; of a file also against the other machine, and lost days.
    asked : float or None
        What to ask for an hour with a margin on the price; None: no margin was named.
    run_years : tuple of RunYear
    run_a_year : float or None
        Spent on running in a year, from the book; None: there is not a year of it yet.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    currency: str
    an_hour: Range | None
    with_operator: Range | None
    by_hour_value: ByHourValue | None
    with_operator_by_hour_value: ByHourValue | None
    wage: float
    ratio_of_means: float | None
    parts: tuple[RatePart, ...]
    hours: Range
    paid: Range
    own_hours: Range
    paid_so_far: float
    own_hours_so_far: float
    hour_values: tuple[float, float]
    interest: float
    figures: tuple[FigureRow, ...]
    moves: tuple[RateMove, ...] = ()
    even: tuple[EvenRow, ...] = ()
    margin: float | None = None
    asked: float | None = None
    run_years: tuple[RunYear, ...] = ()
    run_a_year: float | None = None
    assumed: tuple[str, ...] = ()
    fine: tuple[str, ...] = ()
    answer: str = ""
    why: str = ""
    seed: int = 7
    worlds: int = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class RateBarsDrawing:
    """What an hour is made of, as lengths under each other on one rule.

    Attributes
    ----------
    rows : tuple of (words, amount)
        Money an hour; below zero where it brings.
    total, operator : float
        Of all rows; the operator's hour on top.
    """

    rows: tuple[tuple[str, float], ...]
    total: float
    operator: float
    currency: str


def rate_drawing(view: HourRateView) -> RateBarsDrawing | None:
    """A rate as its picture takes it.

    Parameters
    ----------
    view : HourRateView

    Returns
    -------
    RateBarsDrawing or None
        None where there is no rate.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> rate_drawing(SimpleNamespace(an_hour=None)) is None
    True
    """
    if view.an_hour is None:
        return None
    return RateBarsDrawing(
        rows=tuple((part.words, part.an_hour.mean) for part in view.parts),
        total=view.an_hour.mean,
        operator=view.wage,
        currency=view.currency,
    )
