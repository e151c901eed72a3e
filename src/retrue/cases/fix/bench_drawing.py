"""The bench chart as plain values: what stands open when, what is waited for, when it cuts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from retrue.cases.fix.hire import likely_days
from retrue.cases.fix.plan_lines import MachineDates, PlanRow, PlanView
from retrue.cases.fix.wall_clock import on_the_wall

LYING = timedelta(days=3)  # so long without work on it is seen in the drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchBar:
    """A length on the calendar: work at a place, or a wait for a part or a service."""

    begins: datetime
    ends: datetime
    sort: Literal["work", "wait"] = "work"
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRow:
    """One place of a machine."""

    name: str
    bars: tuple[BenchBar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchMachine:
    """One machine: its places from top to bottom, and when it makes its first good part."""

    name: str
    rows: tuple[BenchRow, ...]
    early_on: date | None
    even_on: date | None
    promise_on: date | None
    why: str = ""  # there is no date


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDrawing:
    """Everything of one chart.

    Attributes
    ----------
    start : datetime
        Where the rule begins.
    hire : tuple of (day, name)
    """

    start: datetime
    machines: tuple[BenchMachine, ...]
    hire: tuple[tuple[date, str], ...] = ()


def bench_drawing(view: PlanView) -> BenchDrawing | None:
    """A plan as its chart takes it.

    Parameters
    ----------
    view : PlanView

    Returns
    -------
    BenchDrawing or None
        None where nothing is planned.
    """
    if not view.machines:
        return None
    start = on_the_wall(view.at)
    return BenchDrawing(
        start=start,
        machines=tuple(_machine(one, view.rows) for one in view.machines),
        hire=tuple((date.fromisoformat(one.on), one.name) for one in likely_days(view.hire)),
    )


def _stretches(row: PlanRow) -> list[tuple[datetime, datetime]]:
    """When a card is worked at; days without a line for it where it lies a while."""
    pieces = row.pieces or ((row.begins, row.ends),)
    found: list[tuple[datetime, datetime]] = []
    for begins, ends in ((on_the_wall(a), on_the_wall(b)) for a, b in pieces):
        if found and begins - found[-1][1] < LYING:
            found[-1] = found[-1][0], ends
        else:
            found.append((begins, ends))
    return found


def _machine(one: MachineDates, rows: Iterable[PlanRow]) -> BenchMachine:
    mine = [row for row in rows if row.card.machine == one.machine]
    ends = {row.card.key: on_the_wall(row.ends) for row in mine}
    places: dict[str, list[BenchBar]] = {}
    for row in mine:
        bars = places.setdefault(row.card.place_name or row.card.title, [])
        begins = on_the_wall(row.begins)
        for wait in row.card.waits:
            if wait.part and wait.days > 0 and wait.card in ends and ends[wait.card] < begins:
                bars.append(BenchBar(begins=ends[wait.card], ends=begins, sort="wait"))
        bars += [BenchBar(begins=a, ends=b, title=row.card.title) for a, b in _stretches(row)]
    return BenchMachine(
        name=one.machine_name,
        rows=tuple(
            BenchRow(name=name, bars=tuple(sorted(bars, key=lambda bar: (bar.begins, bar.ends))))
            for name, bars in sorted(places.items(), key=lambda item: _first(item[1]))
        ),
        early_on=_date(one.early_on),
        even_on=_date(one.even_on),
        promise_on=_date(one.promise_on),
        why=one.why,
    )


def _date(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _first(bars: list[BenchBar]) -> datetime:
    return min(bar.begins for bar in bars)


def noon(day: date, like: datetime) -> datetime:
    """The middle of a day, in the offset of another moment.

    Parameters
    ----------
    day : date
    like : datetime

    Returns
    -------
    datetime

    Examples
    --------
    >>> from datetime import UTC
    >>> noon(date(2026, 12, 1), datetime(2026, 11, 26, tzinfo=UTC)).isoformat()
    '2026-12-01T12:00:00+00:00'
    """
    return datetime.combine(day, time(12), tzinfo=like.tzinfo)
