"""Whether it was worth it, against each other way: as pages, commands and pictures take it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.rate_lines import ByHourValue, EvenRow

Way = Literal["buy_in", "used", "new", "lease", "nothing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Years:
    """Years over the worlds in which more is laid out for ours at the start.

    Attributes
    ----------
    p10, p50, p90 : float or None
        One in ten, half, nine in ten below; None: never, within the years looked at.
    never : float
        Share of them.
    """

    p10: float | None
    p50: float | None
    p90: float | None
    never: float  # share of worlds


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """What the money brings a year, over the worlds that have just one such rate.

    Attributes
    ----------
    p10, p50, p90 : float or None
        Shares; None: too few worlds have just one.
    none, several : int
        Worlds without a rate, with more than one.
    turned : int
        Worlds in which the first payment goes the other way than on average: they have no part in
        the band.
    roots : tuple of float
        Of the payments on average, every one.
    lays_out_more : bool
        More goes out at the start than for the other way; False: less does, and the rate is what
        the money kept in hand costs a year.
    why : str
        Why there is none, where that is not that too few worlds have just one.
    """

    p10: float | None
    p50: float | None
    p90: float | None
    none: int
    several: int
    turned: int
    roots: tuple[float, ...]
    lays_out_more: bool
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VersusRow:
    """Ours against one other way; money in the shop's currency, present value.

    Attributes
    ----------
    chance : float
        That ours is the better one.
    gap : Range
        By which it is ahead; below zero it is behind.
    by_hour_value, chance_by_hour_value : ByHourValue
        With own hours put into both at nothing, at the alternative, at the full rate.
    switching : EvenRow
        What an own hour may be worth, at most or at least, for ours to be the better one.
    payback : Years or None
        None: nothing more is laid out for ours at the start.
    hours_even : EvenRow or None
        Hours of work a year; None: its worth does not hang on them.
    hours_low, hours_even_at, hours_high : float or None
        Over the worlds; None: beyond a year's hours, which is never where ours is ahead from
        there on, and always where it is up to there; 0 the other way round.
    days : EvenRow or None
        Days a year, lost when there was work, that eat the gap.
    lost_day : float
        Money of one.
    payments : tuple of float
        Ours less the other way's, on average, year by year; the first is at once.
    """

    name: str
    way: Way
    chance: float
    gap: Range
    by_hour_value: ByHourValue
    chance_by_hour_value: ByHourValue
    switching: EvenRow
    payback: Years | None
    rate: RateRow
    hours_even: EvenRow | None
    hours_low: float | None
    hours_even_at: float | None
    hours_high: float | None
    days: EvenRow | None
    lost_day: float
    payments: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueCurveDrawing:
    """Money against something that is varied, with its band and what is marked on it.

    Attributes
    ----------
    sort : "hours" or "rate"
        Hours of work a year; or the rate of interest, a share.
    xs, even : tuple of float
    low, high : tuple of float
        One in ten, nine in ten; empty: no band.
    marks : tuple of (x, words)
        Break-even; the rates at which it is worth nothing.
    now : float or None
        Where the shop stands.
    """

    sort: Literal["hours", "rate"]
    name: str
    xs: tuple[float, ...]
    even: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    marks: tuple[tuple[float, str], ...]
    now: float | None
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VersusView:
    """Whether one machine was worth it.

    Attributes
    ----------
    gone, closed : bool
        It is sold, parted out or scrapped; it is closed in the book.
    worked : bool
        It is gone, and did its work before: at the hours that were needed, which nobody counted.
    rows : tuple of VersusRow
        The strongest other way first.
    money_so_far, money_behind, money_still, hours_so_far, hours_still : float
        In the book; behind it and in no book, on average; to come, on average.
    money_end, hours_end : Range
        All of it: as on the page of what it cost.
    days : Range
        From the first euro to the first good part, or to the sale.
    flips : str
        Whether the verdict hangs on what an own hour is worth, in a sentence; empty: it does not.
    hours_curve, rate_curve : ValueCurveDrawing or None
        The first against the strongest other way that hours of work decide; the second against
        the strongest, only where there is more than one rate.
    next, next_at : str
        One act, in words, and the last part of its address.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    currency: str
    plan: str
    level: str
    gone: bool
    closed: bool
    rows: tuple[VersusRow, ...]
    money_so_far: float
    money_behind: float
    money_still: float
    hours_so_far: float
    hours_still: float
    money_end: Range
    hours_end: Range
    days: Range
    hour_values: tuple[float, float]
    interest: float
    horizon: float
    hours_a_year: float
    answer: str
    flips: str
    hours_curve: ValueCurveDrawing | None
    rate_curve: ValueCurveDrawing | None
    next: str = ""
    next_at: str = ""
    assumed: tuple[str, ...] = ()
    fine: tuple[str, ...] = ()
    worked: bool = False
    seed: int = 7
    worlds: int = 2000
