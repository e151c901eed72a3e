"""Was it worth it: ours against each other way, over the worlds of the price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.base import formatter
from retrue.base.say import say
from retrue.books.break_even import BreakEven, crossing, crossings, days_that_eat, lost_day
from retrue.books.many_rows import many_paybacks, many_rates
from retrue.books.value import internal_rates, net_present_value
from retrue.cases.alternatives import present_years
from retrue.cases.machines import band
from retrue.cases.settle.cost_ranges import range_of, sure
from retrue.cases.settle.hour_rate_blank import Ids
from retrue.cases.settle.hour_rate_figures import Figures
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.rate_lines import ByHourValue, EvenRow
from retrue.cases.settle.versus_flows import Gap, gaps_of, work_of
from retrue.cases.settle.versus_lines import (
    RateRow,
    ValueCurveDrawing,
    VersusRow,
    VersusView,
    Way,
    Years,
)
from retrue.cases.settle.versus_words import (
    answer,
    days_words,
    fine_print,
    flips,
    hours_words,
    next_step,
    switching_words,
)

Floats = NDArray[np.float64]

HOURS_IN_A_YEAR = 8_784.0
FAR = 4.0  # times the hours there are: beyond it nobody looks
POINTS = 33  # of a curve
FEWEST = 20  # worlds with just one rate below which no band of it is told


def blank_versus(ids: Ids, whole: Whole) -> VersusView:
    """A view with its names alone.

    Parameters
    ----------
    ids : tuple of (lot, lot name, machine, machine name)
    whole : Whole

    Returns
    -------
    VersusView
    """
    return VersusView(
        lot=ids[0], lot_name=ids[1], machine=ids[2], machine_name=ids[3], currency=whole.currency,
        plan="", level="", gone=False, closed=False, rows=(), money_so_far=0.0, money_behind=0.0,
        money_still=0.0, hours_so_far=0.0, hours_still=0.0,
        money_end=sure(0.0), hours_end=sure(0.0), days=sure(0.0),
        hour_values=(0.0, 0.0), interest=0.0,
        horizon=0.0, hours_a_year=0.0, answer="", flips="", hours_curve=None, rate_curve=None,
        seed=whole.drawer.seed, worlds=whole.drawer.worlds,
    )  # fmt: skip


def versus_of(whole: Whole, figures: Figures, blank: VersusView) -> VersusView:
    """Ours against each other way.

    Parameters
    ----------
    whole : Whole
    figures : Figures
        The owner's own of running it.
    blank : VersusView
        With names, seed, worlds; the rest is filled in here.

    Returns
    -------
    VersusView

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapters 5 and 6: present value
    of what differs; sunk cost: what is spent counts for whether it was worth it, never for going
    on.
    """
    gaps, work = gaps_of(whole, figures), work_of(whole, figures)
    settled = whole.settled
    values = (settled.rate, settled.rate_full)
    cost = float(work.cost.mean())
    rows = tuple(_row(name, way, gap, values, cost, whole) for name, way, gap in gaps)
    hours = float(work.hours.mean())
    curves: tuple[ValueCurveDrawing | None, ValueCurveDrawing | None] = (None, None)
    if rows:
        at = _hangs_on_hours(rows, hours)
        curves = (_hours_curve(rows[at], gaps[at][2], hours, whole) if whole.keeps else None,
                  rate_curve(rows[0], settled.interest, whole.currency))  # fmt: skip
    made = replace(
        blank,
        plan=whole.plan.name,
        level=whole.plan.level,
        gone=whole.spent.gone,
        closed=bool(whole.spent.ended),
        rows=rows,
        money_so_far=whole.spent.money,
        money_behind=float(whole.behind.mean()),
        money_still=float(whole.still_money.mean()),
        hours_so_far=whole.spent.hours,
        hours_still=float(whole.still_hours.mean()),
        money_end=range_of(whole.money),
        hours_end=range_of(whole.hours),
        days=range_of(whole.days),
        hour_values=values,
        interest=settled.interest,
        horizon=settled.horizon,
        hours_a_year=hours,
        hours_curve=curves[0],
        rate_curve=curves[1],
        assumed=(*blank.assumed, *whole.assumed),
    )
    step, address = next_step(made)
    made = replace(made, answer=answer(made), flips=flips(made), next=step, next_at=address)
    return replace(made, fine=(*blank.fine, *fine_print(made)))


def _row(
    name: str, way: Way, gap: Gap, values: tuple[float, float], cost: float, whole: Whole
) -> VersusRow:
    currency, payments = whole.currency, gap.payments
    even, bands = _hours(name, gap, whole)
    day = lost_day(cost)
    return VersusRow(
        name=name,
        way=way,
        chance=float((gap.now > 0.0).mean()),
        gap=range_of(gap.now),
        by_hour_value=_each(gap, values, share=False),
        chance_by_hour_value=_each(gap, values, share=True),
        switching=_switching(name, gap, currency),
        payback=_years(payments),
        rate=rate_row(payments),
        hours_even=even,
        hours_low=bands[0],
        hours_even_at=bands[1],
        hours_high=bands[2],
        days=_days(name, gap, day, currency) if whole.keeps else None,
        lost_day=day,
        payments=tuple(float(one) for one in payments.mean(axis=1).round(2)),
    )


def _each(gap: Gap, values: tuple[float, float], *, share: bool) -> ByHourValue:
    """The mean gap, or the chance that it is one, at the three values of an own hour."""

    def at(rate: float) -> float:
        values_there = gap.at_rate(rate)
        return float((values_there > 0.0).mean() if share else values_there.mean())

    return ByHourValue(zero=at(0.0), alternative=at(values[0]), full=at(values[1]))


def _even(what: str, found: BreakEven, words: str) -> EvenRow:
    return EvenRow(
        what=what, says=found.says, at=found.at, from_there=found.from_there, words=words
    )


def _switching(name: str, gap: Gap, currency: str) -> EvenRow:
    found = crossing(float(gap.at_rate(0.0).mean()), -float(gap.own_hours.mean()))
    return _even("own_hour", found, switching_words(name, found, currency))


def _hours(
    name: str, gap: Gap, whole: Whole
) -> tuple[EvenRow | None, tuple[float | None, float | None, float | None]]:
    """Hours of work a year from which, or up to which, ours is ahead; and over the worlds."""
    none = (None, None, None)
    if not whole.keeps:
        return None, none
    found = crossing(float(gap.at_none.mean()), float(gap.an_hour.mean()))
    if found.at is not None and found.at > HOURS_IN_A_YEAR:
        found = BreakEven("never" if found.from_there else "always")
    row = _even("hours_a_year", found, hours_words(name, found))
    if found.says != "at":
        return row, none
    told = band(crossings(gap.at_none, gap.an_hour, from_there=found.from_there))
    return row, (_reached(told.p10), _reached(told.p50), _reached(told.p90))


def _days(name: str, gap: Gap, day: float, currency: str) -> EvenRow:
    years = float(present_years(0.0, gap.interest, gap.horizon))
    a_year = float(gap.now.mean()) / years
    found = days_that_eat(a_year, day)
    return _even("lost_days", found, days_words(name, found, a_year, day, currency))


def _years(payments: Floats) -> Years | None:
    """When what is laid out more for ours is back."""
    more = payments[0] < 0.0
    if float(payments[0].mean()) >= 0.0 or not more.any():
        return None
    values = many_paybacks(payments[:, more])
    told = band(values)
    return Years(
        p10=_finite(told.p10),
        p50=_finite(told.p50),
        p90=_finite(told.p90),
        never=float(np.isinf(values).mean()),
    )


def rate_row(payments: Floats) -> RateRow:
    """What the money laid out more brings a year, or what the money kept in hand costs.

    Parameters
    ----------
    payments : ndarray, shape (years + 1, worlds), money
        Ours less the other way's.

    Returns
    -------
    RateRow

    References
    ----------
    Lorie and Savage 1955, Three problems in rationing capital, Journal of Business 28(4).

    Examples
    --------
    >>> rate_row(np.array([[-100.0], [230.0], [-132.0]])).roots
    (0.1, 0.2)
    """
    found, mean = many_rates(payments), payments.mean(axis=1)
    lays_out_more = bool(mean[0] < 0.0)
    turned = (payments[0] < 0.0) != lays_out_more
    sole = found.rates[~np.isnan(found.rates) & ~turned]
    told = band(sole) if len(sole) >= FEWEST else None
    return RateRow(
        p10=told.p10 if told else None,
        p50=told.p50 if told else None,
        p90=told.p90 if told else None,
        none=int((found.none & ~turned).sum()),
        several=int((found.several & ~turned).sum()),
        turned=int(turned.sum()),
        roots=tuple(round(rate, 6) for rate in internal_rates(mean.tolist()).rates),
        lays_out_more=lays_out_more,
    )


def _reached(hours: float) -> float | None:
    return hours if hours <= HOURS_IN_A_YEAR else None


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _hangs_on_hours(rows: Sequence[VersusRow], hours: float) -> int:
    """The strongest other way whose worth beside ours turns within reach, else the strongest."""
    for at, row in enumerate(rows):
        even = row.hours_even
        if even is not None and even.at is not None and even.at < FAR * hours:
            return at
    return 0


def _hours_curve(row: VersusRow, gap: Gap, hours: float, whole: Whole) -> ValueCurveDrawing:
    """The gap against hours of work a year, with what is marked on it."""
    even = row.hours_even.at if row.hours_even and row.hours_even.at is not None else 0.0
    most = max(2.0 * hours, 1.25 * even if even < FAR * hours else 0.0, 100.0)
    xs = np.linspace(0.0, most, POINTS)
    told = [band(gap.at_hours(x)) for x in xs]
    marks: tuple[tuple[float, str], ...] = ()
    if 0.0 < even <= most:
        marks = ((even, say("as good as each other at {hours} h", hours=formatter.number(even))),)
    return ValueCurveDrawing(
        sort="hours",
        name=row.name,
        xs=tuple(float(x) for x in xs),
        even=tuple(float(gap.at_hours(x).mean()) for x in xs),
        low=tuple(one.p10 for one in told),
        high=tuple(one.p90 for one in told),
        marks=marks,
        now=hours,
        currency=whole.currency,
    )


def rate_curve(row: VersusRow, interest: float, currency: str) -> ValueCurveDrawing | None:
    """Present value against the rate of interest, where more than one rate makes it nothing.

    Parameters
    ----------
    row : VersusRow
    interest : float
        The shop's, a share a year.
    currency : str

    Returns
    -------
    ValueCurveDrawing or None
        None where there is one rate, or none.
    """
    roots = row.rate.roots
    if len(roots) < 2:
        return None
    low, high = min(0.0, *roots), max(*roots, interest)
    reach = 0.25 * (high - low)
    xs = np.linspace(max(-0.9, low - reach), high + reach, POINTS)
    marks = [(root, say("{share} %", share=formatter.number(100 * root, 1))) for root in roots]
    return ValueCurveDrawing(
        sort="rate",
        name=row.name,
        xs=tuple(float(x) for x in xs),
        even=tuple(float(net_present_value(float(x), row.payments)) for x in xs),
        low=(),
        high=(),
        marks=tuple(marks),
        now=interest,
        currency=currency,
    )
