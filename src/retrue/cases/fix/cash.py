"""Money by week: what is ordered when it is due, what is to be bought in the week to order it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from retrue.base.say import say
from retrue.cases.fix.buying_lines import BuyRow, WeekCash
from retrue.cases.fix.kept import OutKept
from retrue.cases.fix.owed import deposit_out, promise_of
from retrue.cases.fix.quotes import Change, rate_of

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Flow:
    """One sum that is paid, or that comes back below zero, in the shop's currency."""

    on: date
    amount: Decimal
    words: str


def monday(day: date) -> date:
    """The first day of its week.

    Parameters
    ----------
    day : date

    Returns
    -------
    date

    References
    ----------
    ISO 8601-1:2019, 4.3.2.1: a week begins on Monday (from memory).

    Examples
    --------
    >>> monday(date(2026, 11, 26)), monday(date(2026, 11, 23))
    (datetime.date(2026, 11, 23), datetime.date(2026, 11, 23))
    """
    return day - timedelta(days=day.weekday())


def row_flow(row: BuyRow, on: date) -> Flow | None:
    """When a line of the purchase list is paid.

    Parameters
    ----------
    row : BuyRow
    on : date
        Today: nothing is paid before it.

    Returns
    -------
    Flow or None
        What is out, on the day it is promised for, what nobody promised, today; what is to be
        bought, on the day to order it. None: that day is not known yet, or nothing is to be paid.

    Examples
    --------
    >>> from retrue.cases.fix.buying_lines import Part
    >>> from retrue.kinds.judged import Three
    >>> part = Part(line="F15:local", what="winding", money=Three(600, 600, 600), days=21)
    >>> row = BuyRow(machine="m", machine_name="mill", part=part, chance=1, amount=600,
    ...     order_by_on="2026-12-04")
    >>> row_flow(row, date(2026, 11, 26)).on
    datetime.date(2026, 12, 4)
    """
    out = row.part.state in ("ordered", "sent_out")
    day = (row.part.promised_on or on.isoformat()) if out else row.order_by_on
    if day is None or not row.amount:
        return None
    words = say("{what}, {machine}", what=row.part.what, machine=row.machine_name)
    amount = Decimal(str(row.amount)).quantize(CENT)
    return Flow(max(on, date.fromisoformat(day)), amount, words)


def deposit_flows(outs: Iterable[OutKept], change: Change, on: date) -> Iterator[Flow | str]:
    """Deposits of this week and later, and when those that are out come back.

    Parameters
    ----------
    outs : iterable of OutKept
    change : Change
    on : date
        Today.

    Yields
    ------
    Flow or str
        In words what cannot be counted, because no rate is known. A deposit nobody promised a day
        for is not counted as coming back.

    Examples
    --------
    >>> list(deposit_flows([], Change(currency="EUR"), date(2026, 11, 26)))
    []
    """
    for one in outs:
        out, still = one.out, deposit_out(one)
        if not out.deposit:
            continue
        rate = rate_of(out.currency, change)
        told = {"what": out.what, "whom": out.whom}
        if rate is None:
            if still is not None:
                yield say("the deposit for {what} in {currency}, at {whom}",
                          currency=out.currency, **told)  # fmt: skip
            continue
        amount = (out.deposit * rate.value).quantize(CENT)
        paid = date.fromisoformat(out.since_on)
        if paid >= monday(on):
            yield Flow(paid, amount, say("deposit for {what}, {whom}", **told))
        back = promise_of(one).on
        if still is not None and back is not None:
            day = max(on, date.fromisoformat(back))
            yield Flow(day, -amount, say("deposit back for {what}, {whom}", **told))


def by_week(flows: Iterable[Flow]) -> tuple[WeekCash, ...]:
    """Sums by week, exact to the cent.

    Parameters
    ----------
    flows : iterable of Flow

    Returns
    -------
    tuple of WeekCash
        In order of time; weeks without money are left out.

    Examples
    --------
    >>> by_week([Flow(date(2026, 11, 26), Decimal("0.1"), "rags"),
    ...     Flow(date(2026, 11, 27), Decimal("0.2"), "oil")])
    (WeekCash(week_on='2026-11-23', amount=0.3, lines=('rags', 'oil')),)
    """
    weeks: dict[date, list[Flow]] = {}
    for one in sorted(flows, key=lambda flow: flow.on):
        weeks.setdefault(monday(one.on), []).append(one)
    return tuple(
        WeekCash(
            week_on=week.isoformat(),
            amount=float(sum((one.amount for one in mine), Decimal(0))),
            lines=tuple(dict.fromkeys(one.words for one in mine)),
        )
        for week, mine in weeks.items()
    )
