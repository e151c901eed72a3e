"""The evenings of a week as their picture takes them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from retrue.cases.settle.evening import Evening
from retrue.cases.settle.hour_lines import HoursRow, HoursView
from retrue.cases.settle.hours import week_of

BarSort = Literal["told", "guess"]
MIDNIGHT = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningBar:
    """A stretch of work on the clock: from and to in hours of its day, over 24 after midnight."""

    begins: float
    ends: float
    sort: BarSort
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningDay:
    """A day of the week.

    Attributes
    ----------
    hours : float
        That count; what is only guessed is not among them.
    open_hours : float
        Guessed, not answered.
    """

    on: date
    bars: tuple[EveningBar, ...]
    hours: float
    open_hours: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningDrawing:
    """Everything of one picture: seven days from Monday on."""

    days: tuple[EveningDay, ...]


def evening_drawing(view: HoursView) -> EveningDrawing | None:
    """The week of a view as its picture takes it.

    Parameters
    ----------
    view : HoursView

    Returns
    -------
    EveningDrawing or None
        None where nothing was worked or guessed in it.

    Examples
    --------
    >>> from retrue.cases.settle.evening_shown import EXAMPLE
    >>> drawn = evening_drawing(
    ...     HoursView(on="2026-11-26", guesses=(EXAMPLE,), rows=(), by_machine={}, note=""))
    >>> [(one.on.day, one.open_hours) for one in drawn.days if one.bars]
    [(25, 2.5)]
    """
    monday = date.fromisoformat(week_of(view.on))
    days = tuple(_day(monday + timedelta(days=n), view.rows, view.guesses) for n in range(7))
    if not any(one.bars or one.hours for one in days):
        return None
    return EveningDrawing(days=days)


def _day(on: date, rows: Iterable[HoursRow], guesses: Iterable[Evening]) -> EveningDay:
    told = [one for one in rows if one.worked_on == on.isoformat()]
    asked = [one for one in guesses if one.worked_on == on.isoformat()]
    spans: dict[tuple[str, str], list[HoursRow]] = {}
    for one in told:
        if one.begin and one.end:
            spans.setdefault((one.begin, one.end), []).append(one)
    bars = [
        EveningBar(begins=_clock(begin), ends=_end(begin, end), sort="told", words=_words(several))
        for (begin, end), several in spans.items()
    ]
    bars += [
        EveningBar(begins=_clock(one.begin), ends=_end(one.begin, one.end), sort="guess", words="")
        for one in asked
    ]
    return EveningDay(
        on=on,
        bars=tuple(sorted(bars, key=lambda bar: bar.begins)),
        hours=sum(one.hours for one in told),
        open_hours=sum(one.hours for one in asked),
    )


def _words(rows: Iterable[HoursRow]) -> str:
    return ", ".join(dict.fromkeys(one.machine_name for one in rows if one.machine_name))


def _clock(text: str) -> float:
    hour, minute = text.split(":")
    return int(hour) + int(minute) / 60


def _end(begin: str, end: str) -> float:
    return _clock(end) + (MIDNIGHT if end <= begin else 0.0)
