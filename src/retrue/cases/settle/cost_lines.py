"""What it cost, beside what was expected of it: one machine, or a whole lot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.sheet import HourValues

Against = Literal["within", "above", "below", ""]
RowState = Literal[
    "spent", "to_come", "not_foreseen", "not_in_book", "not_needed", "done_for_nothing",
]  # fmt: skip
From = Literal["frozen", "tables"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Good luck, even chance, bad luck (10th, 50th, 90th percentile), and the average."""

    p10: float
    p50: float
    p90: float
    mean: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """Where money goes, one bucket.

    Attributes
    ----------
    bucket, words : str
        One of BUCKETS; empty: not yet placed.
    forecast : Range or None
        None: nothing of it was expected.
    spent : float
        In the book.
    owed : float
        Known from an outcome, an order or a hire, and not yet in the book.
    still : Range or None
        Still to come beyond both; None: nothing.
    assumed : Range or None
        What stands for it where it lies behind and nothing is in the book.
    end : Range
        All of it.
    against : str
        Where the end stands to the forecast.
    """

    bucket: str
    words: str
    forecast: Range | None
    spent: float
    owed: float
    still: Range | None
    end: Range
    state: RowState
    against: Against
    assumed: Range | None = None

    @property
    def actual(self) -> float:
        """In the book, and known beside it."""
        return self.spent + self.owed


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLineRow:
    """One line of the tables, or what was spent on none of them.

    Attributes
    ----------
    line : str
        E11, F15 (all its ways), J05, renew:belt; empty: the rest.
    words, bucket : str
    forecast : float or None
        Average, its chance counted in; None: nobody foresaw it.
    chance : float or None
        That it was to be needed, by the forecast.
    low, high : float or None
        What it takes where it is needed.
    spent, owed, still : float
        ``still`` is an average.
    state, against : str
    why : str
        In words: why it is not needed, what was spent on it.
    """

    line: str
    words: str
    bucket: str
    forecast: float | None = None
    chance: float | None = None
    low: float | None = None
    high: float | None = None
    spent: float = 0.0
    owed: float = 0.0
    still: float = 0.0
    state: RowState = "to_come"
    against: Against = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysView:
    """The first good part: by when it was expected, by when it is now.

    Attributes
    ----------
    begun_on : str
        ISO date the forecast counts from.
    was_early_on, was_even_on, was_late_on : str or None
        One in ten, half, nine in ten; None: no forecast.
    early_on, even_on, late_on : str or None
        Now.
    reached_on : str or None
        The day it was made.
    by_plan : bool
        ``even_on`` is that of the plan that is kept.
    """

    begun_on: str = ""
    was_early_on: str | None = None
    was_even_on: str | None = None
    was_late_on: str | None = None
    early_on: str | None = None
    even_on: str | None = None
    late_on: str | None = None
    reached_on: str | None = None
    by_plan: bool = False
    against: Against = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CashPoint:
    """All money by the end of one week.

    Attributes
    ----------
    week_on : str
        Its Monday.
    paid : float or None
        In the book; None: that week is still to come.
    low, even, high : float or None
        Beyond today; None: the week is past.
    amount : float
        Of that week alone: paid, else expected.
    lines : tuple of str
    """

    week_on: str
    paid: float | None
    low: float | None
    even: float | None
    high: float | None
    amount: float
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CashCurve:
    """Money by week, from the first line in the book to the first good part.

    Attributes
    ----------
    floor_a_month : float
        What the floor and its round take every month it stands.
    stop_at : float or None
        All money at which stopping would be as good; None: no such line.
    dated : float
        Of what is to come, that orders and the purchase list have a day for; the rest is spread
        evenly.
    """

    on: str
    points: tuple[CashPoint, ...]
    floor_a_month: float
    stop_at: float | None
    dated: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CostView:
    """What one machine cost, or a whole lot, and what it will have cost.

    Attributes
    ----------
    machine, machine_name : str
        Empty: the whole lot.
    landed, restored : float
        On the floor; all until the first good part or the sale. So far: in the book and known.
    brings : float
        What was sold and received.
    running : float
        What was spent on running it: in neither sum.
    landed_forecast, landed_end, restored_forecast, restored_end : Range
    still : Range
        Money.
    assumed_money : Range
        What stands for what lies behind and is not in the book; in the ends, and in no ``still``.
    hours : float
        Own, so far.
    by_hour_value, by_hour_value_end : HourValues
        ``restored`` so far and the even chance in the end, with own hours at nothing, at what an
        hour could earn elsewhere, at the full rate.
    hour_rates : (float, float)
        The latter two.
    forecast_from : str
        frozen: the sheet kept before the bidding; tables: reckoned from today's tables.
    forecast_on : str
        ISO date.
    machines : tuple of CostView
        Of a whole lot.
    nobodys : float
        Of a whole lot: in the book and put on no machine.
    brings_then : Range or None
        What it was to bring by the plan of the forecast; None: it was to be kept.
    resale_then : mapping of str to Range
        The same if it is sold as_found, running, proven, as parts.
    sold_on : str
        ISO date; empty: it is not sold.
    lot_price : float or None
        The hammer that was frozen or is asked, of the whole lot.
    price_split : str
        How it is split over the machines, in words; empty: there is one.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    currency: str
    on: str
    landed: float
    restored: float
    brings: float
    running: float
    landed_forecast: Range
    landed_end: Range
    restored_forecast: Range
    restored_end: Range
    still: Range
    assumed_money: Range
    hours: float
    hours_forecast: Range
    hours_still: Range
    hours_end: Range
    hours_how: str
    by_hour_value: HourValues
    by_hour_value_end: HourValues
    hour_rates: tuple[float, float]
    rows: tuple[CostRow, ...] = ()
    lines: tuple[CostLineRow, ...] = ()
    against: Against
    hours_against: Against
    days: DaysView
    cash: CashCurve
    stop: StopLoss | None = None
    brings_forecast: Range | None = None
    forecast_from: From
    forecast_on: str
    answer: str = ""
    next: str = ""
    next_why: str = ""
    next_at: str = ""
    unplaced: int = 0
    missing_rates: tuple[tuple[str, str], ...] = ()
    assumed: tuple[str, ...] = ()
    fine: tuple[str, ...] = ()
    machines: tuple[CostView, ...] = ()
    nobodys: float = 0.0
    brings_then: Range | None = None
    resale_then: Mapping[str, Range] = field(default_factory=dict)
    sold_on: str = ""
    lot_price: float | None = None
    price_split: str = ""
    seed: int = 7
    worlds: int = 2000
