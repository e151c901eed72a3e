"""All money by week: what is paid, and what is to come with its range. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from retrue.cases.fix.cash import monday
from retrue.cases.settle.cost_actual import Actual
from retrue.cases.settle.cost_lines import CashCurve, CashPoint, Range

WEEK = timedelta(weeks=1)
MOST_WEEKS_AHEAD = 104
NO_DATE_WEEKS = 26  # over which money is spread where nobody can tell a day (judgement)
MOST_WORDS = 6  # sums named of one week


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """One sum to come that a day is known for."""

    on: date
    amount: float
    words: str


def cash_curve(
    actual: Actual,
    still: Range,
    dated: Sequence[Dated],
    *,
    on: date,
    until: date | None,
    floor_a_month: float = 0.0,
    stop_at: float | None = None,
) -> CashCurve:
    """Money week by week.

    Parameters
    ----------
    actual : Actual
        Posted sums on their days; owed ones fall due on theirs, at the earliest today.
    still : Range
        To come beyond both.
    dated : sequence of Dated
        Of it, what orders and the purchase list have a day for.
    on : date
        Today.
    until : date or None
        The first good part, with an even chance; None: not known.
    floor_a_month : float
    stop_at : float or None
        Still to spend, at which stopping would be as good.

    Returns
    -------
    CashCurve
        Running sums at the end of each week. What has no day is spread evenly until the first
        good part; the range grows with the money that is to come.

    Examples
    --------
    >>> from retrue.cases.settle.cost_ranges import sure
    >>> told = Actual(lines=(("2026-11-16", Decimal(900), "removal", True),))
    >>> day, end = date(2026, 11, 26), date(2026, 12, 10)
    >>> made = cash_curve(told, sure(300.0), [], on=day, until=end)
    >>> [(one.paid, one.even) for one in made.points]
    [(900.0, None), (900.0, 1000.0), (None, 1100.0), (None, 1200.0)]
    """
    today = monday(on)
    past, due = _split(actual, on)
    known = [*due, *dated]
    last = _last(today, until, known, still)
    first = min([today, *(monday(day) for day, _, _ in past)])
    start = float(sum((money for _, money, _ in past), Decimal(0)))
    points = [*_past(past, first, today)]
    points += _ahead(start, still, known, due, today, last)
    return CashCurve(
        on=on.isoformat(),
        points=tuple(_joined(points)),
        floor_a_month=floor_a_month,
        stop_at=None if stop_at is None else start + stop_at,
        dated=sum(one.amount for one in dated),
    )


Paid = tuple[date, Decimal, str]


def _split(actual: Actual, on: date) -> tuple[list[Paid], list[Dated]]:
    """What is paid by today, and what is owed or posted ahead."""
    past, due = [], []
    for text, money, words, posted in actual.lines:
        day = date.fromisoformat(text)
        if posted and day <= on:
            past.append((day, money, words))
        else:
            due.append(Dated(on=max(day, on), amount=float(money), words=words))
    return past, due


def _last(today: date, until: date | None, known: Iterable[Dated], still: Range) -> date:
    """The Monday of the last week that is drawn."""
    if until is not None:
        end = max(today, monday(until))
    else:
        end = today + NO_DATE_WEEKS * WEEK if still.p90 > 0.0 else today
    end = max([end, *(monday(one.on) for one in known)])
    return min(end, today + MOST_WEEKS_AHEAD * WEEK)


def _past(past: Sequence[Paid], first: date, today: date) -> Iterable[CashPoint]:
    week, whole = first, Decimal(0)
    weeks: dict[date, list[Paid]] = {}
    for one in past:
        weeks.setdefault(monday(one[0]), []).append(one)
    while week <= today:
        mine = weeks.get(week, [])
        amount = sum((money for _, money, _ in mine), Decimal(0))
        whole += amount
        yield CashPoint(
            week_on=week.isoformat(),
            paid=float(whole),
            low=None,
            even=None,
            high=None,
            amount=float(amount),
            lines=tuple(dict.fromkeys(words for _, _, words in mine))[:MOST_WORDS],
        )
        week += WEEK


def _ahead(
    start: float,
    still: Range,
    known: Sequence[Dated],
    due: Sequence[Dated],
    today: date,
    last: date,
) -> Iterable[CashPoint]:
    """Weeks from this one on: what is owed for sure, the rest in the shape of what is dated."""
    weeks = (last - today).days // 7 + 1
    owed_ids = {id(one) for one in due}
    listed = [one for one in known if id(one) not in owed_ids]
    listed_sum = sum(one.amount for one in listed)
    whole = max(still.p50, 0.0)
    part = min(1.0, whole / listed_sum) if listed_sum > 0.0 else 0.0
    evenly = (whole - part * listed_sum) / weeks
    owed = come = 0.0
    for at in range(weeks):
        week = today + at * WEEK
        mine = [one for one in due if monday(one.on) == week]
        bought = [one for one in listed if monday(one.on) == week]
        owed += sum(one.amount for one in mine)
        amount = part * sum(one.amount for one in bought) + evenly
        come += amount
        share = come / whole if whole > 0.0 else (at + 1.0) / weeks
        base = start + owed
        yield CashPoint(
            week_on=week.isoformat(),
            paid=None,
            low=base + share * still.p10,
            even=base + share * still.p50,
            high=base + share * still.p90,
            amount=sum(one.amount for one in mine) + amount,
            lines=tuple(dict.fromkeys(one.words for one in (*mine, *bought)))[:MOST_WORDS],
        )


def _joined(points: Sequence[CashPoint]) -> Iterable[CashPoint]:
    """This week is both paid so far and to come: one point."""
    made: dict[str, CashPoint] = {}
    for one in points:
        before = made.get(one.week_on)
        if before is None:
            made[one.week_on] = one
            continue
        made[one.week_on] = CashPoint(
            week_on=one.week_on,
            paid=before.paid,
            low=one.low,
            even=one.even,
            high=one.high,
            amount=before.amount + one.amount,
            lines=(*before.lines, *one.lines)[:MOST_WORDS],
        )
    return made.values()
