"""Was it worth it: ours against each other way, over the worlds of the price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.base import formatter
from retrue.base.say import say
from retrue.books.break_even import (
    HOURS_A_YEAR,
    BreakEven,
    crossing,
    crossings,
    days_that_eat,
    within_a_year,
)
from retrue.books.many_rows import many_paybacks
from retrue.books.value import net_present_value
from retrue.cases.machines import band
from retrue.cases.settle.cost_ranges import range_of, sure
from retrue.cases.settle.hour_rate_blank import Ids
from retrue.cases.settle.hour_rate_even import Beside, beside_buying_in
from retrue.cases.settle.hour_rate_figures import Figures
from retrue.cases.settle.hour_rate_inputs import inputs_of
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.rate_lines import ByHourValue, EvenRow
from retrue.cases.settle.versus_flows import Gap, gaps_of
from retrue.cases.settle.versus_lines import (
    ValueCurveDrawing,
    VersusRow,
    VersusView,
    Way,
    Years,
)
from retrue.cases.settle.versus_rate import rate_row, sale_of, sale_row
from retrue.cases.settle.versus_words import (
    answer,
    days_words,
    fine_print,
    flips,
    hours_words,
    next_step,
    switching_words,
    worked_words,
    yearly_words,
)

Floats = NDArray[np.float64]

FAR = 4.0  # times the hours there are: beyond it nobody looks
POINTS = 33  # of a curve


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


def versus_of(
    whole: Whole,
    figures: Figures,
    blank: VersusView,
    *,
    floor: tuple[bool | None, float | None] = (None, None),
) -> VersusView:
    """Ours against each other way.

    Parameters
    ----------
    whole : Whole
    figures : Figures
        The owner's own of running it.
    blank : VersusView
        With names, seed, worlds; the rest is filled in here.
    floor : (bool or None, float or None)
        Whether the shop's floor costs money, and what a square metre takes a month.

    Returns
    -------
    VersusView

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapters 5 and 6: present value
    of what differs; sunk cost: what is spent counts for whether it was worth it, never for going
    on.
    """
    inputs, settled = inputs_of(whole, figures, floor), whole.settled
    gaps, beside = gaps_of(whole, figures, inputs), beside_buying_in(inputs, settled.rate)
    values = (settled.rate, settled.rate_full)
    rows = tuple(_row(name, way, gap, values, beside, whole) for name, way, gap in gaps)
    hours = float(inputs.values["hours_a_year"].mean())
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
        worked=whole.worked is not None,
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
        assumed=(
            *inputs.far(whole.currency),
            *blank.assumed,
            *whole.assumed,
            *worked_words(whole, hours, gaps[0][2]),
        ),
    )
    step, address = next_step(made)
    made = replace(
        made,
        answer=answer(made),
        flips=flips(made),
        next=step,
        next_at=address,
    )
    wage = float(beside.operator.mean())
    fine = (*fine_print(made, wage), *_yearly(whole, gaps))
    return replace(made, fine=(*blank.fine, *fine))


def _yearly(whole: Whole, gaps: Sequence[tuple[str, Way, Gap]]) -> Iterator[str]:
    """By present value, what stands against buying in by the money of a year."""
    for name, way, gap in gaps:
        if way == "buy_in" and whole.keeps:
            yield yearly_words(name, _by_present_value(gap), whole.settled.horizon)


def _by_present_value(gap: Gap) -> BreakEven:
    return within_a_year(crossing(float(gap.at_none.mean()), float(gap.an_hour.mean())))


def _row(
    name: str, way: Way, gap: Gap, values: tuple[float, float], beside: Beside, whole: Whole
) -> VersusRow:
    currency, payments = whole.currency, gap.payments
    buy_in = beside if way == "buy_in" else None
    even, bands = _hours(name, gap, whole, buy_in)
    day = beside.lost_day
    return VersusRow(
        name=name,
        way=way,
        chance=float((gap.now > 0.0).mean()),
        gap=range_of(gap.now),
        by_hour_value=_each(gap, values, share=False),
        chance_by_hour_value=_each(gap, values, share=True),
        switching=_switching(name, gap, currency),
        payback=_years(payments) if way != "nothing" or whole.worked else _years_to_sale(gap),
        rate=rate_row(payments) if way != "nothing" else sale_row(gap, bool(whole.worked)),
        hours_even=even,
        hours_low=bands[0],
        hours_even_at=bands[1],
        hours_high=bands[2],
        days=_days(name, gap, day, currency, buy_in) if whole.keeps else None,
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
    name: str, gap: Gap, whole: Whole, buy_in: Beside | None
) -> tuple[EvenRow | None, tuple[float | None, float | None, float | None]]:
    """Hours of work a year from which, or up to which, ours is ahead; and over the worlds.

    Against buying in by the money of a year, as the hour rate has it.
    """
    none = (None, None, None)
    if not whole.keeps:
        return None, none
    found, none_of, hour = _by_present_value(gap), gap.at_none, gap.an_hour
    if buy_in is not None:
        dearer = _dearer(gap)
        found, none_of, hour = buy_in.even(dearer), -buy_in.fixed, buy_in.saved(dearer)
    row = _even("hours_a_year", found, hours_words(name, found))
    if found.says != "at":
        return row, none
    told = band(crossings(none_of, hour, from_there=found.from_there))
    return row, (_reached(told.p10), _reached(told.p50), _reached(told.p90))


def _dearer(gap: Gap) -> float:
    """What an hour bought in costs beyond what the work costs now."""
    return -float(gap.other.an_hour.mean())


def _days(name: str, gap: Gap, day: float, currency: str, buy_in: Beside | None) -> EvenRow:
    """Lost days that eat the gap of a year, a year being one in which ours works."""
    if buy_in is not None:
        dearer = _dearer(gap)
        day = buy_in.lost_day_at(dearer)
        a_year = buy_in.a_year(float(gap.hours.mean()), dearer)
    else:
        a_year = float(gap.now.mean()) / gap.years if gap.years else 0.0
    found = days_that_eat(a_year, day)
    return _even("lost_days", found, days_words(name, found, a_year, day, currency))


def _years_to_sale(gap: Gap) -> Years | None:
    """Years until a sale brings back what was paid; never where it brings less."""
    paid, brought, years = sale_of(gap)
    if not (paid > 0.0).any():
        return None
    values = np.where(brought >= paid, years, np.inf)
    told = band(values)
    return Years(p10=_finite(told.p10), p50=_finite(told.p50), p90=_finite(told.p90),
                 never=float(np.isinf(values).mean()))  # fmt: skip


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


def _reached(hours: float) -> float | None:
    return hours if hours <= HOURS_A_YEAR else None


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
    even = _by_present_value(gap).at or 0.0  # where the line that is drawn is nothing
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

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> two = SimpleNamespace(roots=(0.1, 0.2))
    >>> row = SimpleNamespace(name="new", rate=two, payments=(-100.0, 230.0, -132.0))
    >>> [root for root, _ in rate_curve(row, 0.08, "EUR").marks]
    [0.1, 0.2]
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
