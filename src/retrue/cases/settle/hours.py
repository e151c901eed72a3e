"""Own hours put together: answered, typed, clocked, kept with cards; no hour twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from retrue.cases.settle.evening import Evening
from retrue.cases.settle.evening_clock import Span, Wall, span_of
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.cases.settle.evening_shares import quarters
from retrue.cases.settle.evening_traces import by_the_wall
from retrue.cases.settle.hour_clock import Stretch
from retrue.cases.settle.hour_lines import HoursRow
from retrue.records.fixing import CardMarked
from retrue.records.seeking import Act
from retrue.records.settling import HoursTold
from retrue.records.shop import Record
from retrue.records.stripping import Cleaned

ANSWERED = ("yes", "less", "more", "not_mine")
WITH_A_CARD = ".act"  # end of the id of an act that was kept with a mark


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursKept:
    """What own hours are put together from.

    Attributes
    ----------
    told : tuple of Record of HoursTold
    stretches : tuple of Stretch
        Of start and stop.
    spent : tuple of Record
        Cards marked, acts and cleanings that tell hours.
    names : mapping of str to str
        Of machines by their keys, of lots by theirs.
    """

    told: tuple[Record[HoursTold], ...] = ()
    stretches: tuple[Stretch, ...] = ()
    spent: tuple[Record[Any], ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)


def person(record: Record[HoursTold]) -> str:
    """Whose hours were told: the worker named, else whose hand told them.

    Parameters
    ----------
    record : Record of HoursTold

    Returns
    -------
    str
    """
    return record.fact.worker or record.by


def as_known(worker: str, by: str, kept: HoursKept) -> str:
    """A worker as he is written already: Owner is owner, and no second person.

    Parameters
    ----------
    worker : str
        As it is typed; empty: whose hand it is.
    by : str
        That hand.
    kept : HoursKept

    Returns
    -------
    str

    Examples
    --------
    >>> as_known(" Owner", "owner", HoursKept()), as_known("An", "owner", HoursKept())
    ('owner', 'An')
    """
    wanted = worker.strip()
    known = (by, *(person(one) for one in kept.told), *(one.worker for one in kept.stretches),
             *(one.by for one in kept.spent))  # fmt: skip
    return next((one for one in known if one.casefold() == wanted.casefold()), wanted)


def span_told(record: Record[HoursTold], wall: Wall) -> Span | None:
    """From when to when told hours were worked; None where nobody said.

    Parameters
    ----------
    record : Record of HoursTold
    wall : callable

    Returns
    -------
    Span or None
    """
    fact = record.fact
    if not (fact.begin and fact.end):
        return None
    return span_of(person(record), fact.worked_on, fact.begin, fact.end, wall)


def spoken_for(kept: HoursKept, wall: Wall) -> tuple[Span, ...]:
    """Time that is asked about no more: answered, typed with its times, clocked or on the clock.

    Parameters
    ----------
    kept : HoursKept
    wall : callable

    Returns
    -------
    tuple of Span

    Examples
    --------
    >>> spoken_for(HoursKept(), lambda moment: moment)
    ()
    """
    told = [span for one in kept.told if (span := span_told(one, wall)) is not None]
    clocked = [one.span for one in kept.stretches if one.counts]
    clocked += [
        Span(worker=one.worker, begins=one.begins, ends=one.begins + RULES.most_clocked)
        for one in kept.stretches
        if one.ends is None and not one.too_long
    ]
    return (*told, *clocked)


def still_asked(guesses: Iterable[Evening], kept: HoursKept) -> tuple[Evening, ...]:
    """Evenings less what was typed for their day without times.

    Parameters
    ----------
    guesses : iterable of Evening
    kept : HoursKept

    Returns
    -------
    tuple of Evening
        Hours typed for a machine and a day answer its share; those of no machine, the evening.

    Examples
    --------
    >>> still_asked((), HoursKept())
    ()
    """
    typed = {
        (person(one), one.fact.worked_on, one.fact.machine)
        for one in kept.told
        if not (one.fact.begin and one.fact.end)
    }
    keys = {one.fact.evening for one in kept.told if one.fact.evening}
    return tuple(
        left
        for one in guesses
        if one.key not in keys and (left := _less_typed(one, typed)) is not None
    )


def rows_of(
    kept: HoursKept, wall: Wall, *, on: date | None = None, rules: Rules = RULES
) -> tuple[HoursRow, ...]:
    """The hours that count, the newest first.

    Parameters
    ----------
    kept : HoursKept
    wall : callable
    on : date, optional
        Nothing after that day.
    rules : Rules

    Returns
    -------
    tuple of HoursRow
        An evening that was answered counts as answered; clocked time counts where no answer
        covers it; hours kept with a card count on days and hands for which no evening was
        answered, and at machines for which nothing was typed or clocked that day.

    References
    ----------
    Our own rule: no hour stands in it twice.

    Examples
    --------
    >>> rows_of(HoursKept(), lambda moment: moment)
    ()
    """
    told = list(_told(kept))
    clock = list(_clocked(kept, wall, rules))
    cards = list(_with_cards(kept, wall, {_place(row) for row in (*told, *clock)}))
    day = None if on is None else on.isoformat()
    rows = [row for row in (*told, *clock, *cards) if day is None or row.worked_on <= day]
    rows.sort(key=lambda row: (row.worked_on, row.begin, row.id), reverse=True)
    return tuple(rows)


def stepped(weights: Sequence[float], hours: float) -> tuple[float, ...]:
    """A figure shared out by weight, to quarters of an hour where it is a whole number of them.

    Parameters
    ----------
    weights : sequence of float
        Above 0.
    hours : float

    Returns
    -------
    tuple of float
        One for each weight; they sum to ``hours``.

    Examples
    --------
    >>> stepped([2.0, 0.5], 3.0), stepped([2.0, 0.5], 1.1)
    ((2.5, 0.5), (0.88, 0.22))
    """
    quarter = RULES.quarter_hours
    count = hours / quarter
    if count == int(count):
        return tuple(part * quarter for part in quarters(weights, int(count)))
    made = [round(hours * one / sum(weights), 2) for one in weights]
    made[0] = round(hours - sum(made[1:]), 4)
    return tuple(made)


def sums(rows: Iterable[HoursRow]) -> dict[str, float]:
    """Hours by machine; "" is what belongs to none.

    Parameters
    ----------
    rows : iterable of HoursRow

    Returns
    -------
    dict

    Examples
    --------
    >>> sums(())
    {}
    """
    made: dict[str, float] = {}
    for row in rows:
        made[row.machine] = made.get(row.machine, 0.0) + row.hours
    return made


def week_of(day: str) -> str:
    """The Monday of a day's week, ISO.

    Parameters
    ----------
    day : str
        ISO date.

    Returns
    -------
    str

    References
    ----------
    ISO 8601-1:2019, 5.2.3 (weeks begin on Monday).

    Examples
    --------
    >>> week_of("2026-11-26")
    '2026-11-23'
    """
    on = date.fromisoformat(day)
    return (on - timedelta(days=on.weekday())).isoformat()


def _less_typed(one: Evening, typed: set[tuple[str, str, str | None]]) -> Evening | None:
    if (one.worker, one.worked_on, None) in typed:
        return None
    left = tuple(
        share
        for share in one.shares
        if share.machine is None or (one.worker, one.worked_on, share.machine) not in typed
    )
    if left == one.shares:
        return one
    hours = sum(share.hours for share in left)
    return replace(one, shares=left, hours=hours, rest=True) if hours else None


def _told(kept: HoursKept) -> Iterator[HoursRow]:
    for one in kept.told:
        fact = one.fact
        if fact.hours:
            yield HoursRow(
                id=one.id, worked_on=fact.worked_on, lot=fact.lot, machine=fact.machine or "",
                machine_name=kept.names.get(fact.machine or fact.lot or "", ""), hours=fact.hours,
                worker=person(one), how="told", line=fact.line, answer=fact.answer,
                begin=fact.begin, end=fact.end, evening=fact.evening, text=fact.text,
            )  # fmt: skip


def _clocked(kept: HoursKept, wall: Wall, rules: Rules) -> Iterator[HoursRow]:
    answers = [span for one in kept.told if (span := span_told(one, wall)) is not None]
    for one in kept.stretches:
        if not one.counts or one.ends is None:
            continue
        mine = [span for span in answers if span.worker == one.worker]
        hours = _outside(one.begins, one.ends, mine) / timedelta(hours=1)
        fact = one.start.fact
        if hours > 0:
            yield HoursRow(
                id=one.start.id, worked_on=one.begins.date().isoformat(), lot=fact.lot,
                machine=fact.machine or "", machine_name=kept.names.get(fact.machine or "", ""),
                hours=round(hours, 2), worker=one.worker, how="clock", line=fact.line,
                begin=f"{one.begins:%H:%M}", end=f"{one.ends:%H:%M}", text=fact.text,
            )  # fmt: skip


def _outside(begins: datetime, ends: datetime, spans: Iterable[Span]) -> timedelta:
    """How much of a stretch no span covers."""
    left, start = timedelta(), begins
    for span in sorted(spans, key=lambda span: span.begins):
        if span.ends <= start or span.begins >= ends:
            continue
        left += max(span.begins - start, timedelta())
        start = max(start, span.ends)
    return left + max(ends - start, timedelta())


def _place(row: HoursRow) -> tuple[str, str, str]:
    return row.worker, row.worked_on, row.machine


def _with_cards(
    kept: HoursKept, wall: Wall, there: set[tuple[str, str, str]]
) -> Iterator[HoursRow]:
    """Hours kept with cards; those of acts and cleanings where no card tells any."""
    answered = {
        (person(one), one.fact.worked_on) for one in kept.told if one.fact.answer in ANSWERED
    }
    answered |= {(worker, day) for worker, day, machine in there if not machine}
    seen: set[tuple[str, str, str]] = set()
    for one in sorted(kept.spent, key=lambda one: not isinstance(one.fact, CardMarked)):
        row = _spent(one, kept, wall)
        if row is None or (row.worker, row.worked_on) in answered or _place(row) in there:
            continue
        if isinstance(one.fact, CardMarked):
            seen.add(_place(row))
        elif _place(row) in seen:
            continue
        yield row


def _spent(one: Record[Any], kept: HoursKept, wall: Wall) -> HoursRow | None:
    fact = one.fact
    if not fact.hours or (isinstance(fact, Act) and one.id.endswith(WITH_A_CARD)):
        return None
    day = by_the_wall(one.observed_at, wall).date().isoformat()
    line = answer = ""
    if isinstance(fact, CardMarked):
        day, line = fact.marked_on, fact.card
    elif isinstance(fact, Act):
        line = fact.job or (f"{fact.fault}:{fact.way}" if fact.fault and fact.way else "")
        answer = "act"
    elif isinstance(fact, Cleaned):
        answer = "cleaning"
    return HoursRow(
        id=one.id, worked_on=day, lot=fact.lot, machine=fact.machine,
        machine_name=kept.names.get(fact.machine, ""), hours=fact.hours, worker=one.by,
        how="card", line=line, answer=answer, text=fact.text if hasattr(fact, "text") else "",
    )  # fmt: skip
