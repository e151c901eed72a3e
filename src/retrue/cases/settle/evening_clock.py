"""The clock on the wall: times of a day as moments, stretches of time that are spoken for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone

Wall = Callable[[datetime], datetime]
"""A moment by the clock on the wall of this shop, with its offset on that day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Time that is spoken for: answered, or clocked."""

    worker: str
    begins: datetime
    ends: datetime


def pinned(moment: datetime) -> datetime:
    """The same moment with its offset alone: between two such lies the time that passed.

    Parameters
    ----------
    moment : datetime
        In a zone whose clock is put forward and back.

    Returns
    -------
    datetime

    Examples
    --------
    >>> from zoneinfo import ZoneInfo
    >>> ghent = ZoneInfo("Europe/Brussels")
    >>> late = datetime(2026, 10, 25, 4, tzinfo=ghent)
    >>> early = datetime(2026, 10, 24, 23, tzinfo=ghent)
    >>> (late - early).seconds // 3600, (pinned(late) - pinned(early)).seconds // 3600
    (5, 6)
    """
    return moment.replace(tzinfo=timezone(moment.utcoffset() or timedelta()))


def moment_of(on: date, clock: str, wall: Wall) -> datetime:
    """A time of a day by the clock on the wall, as a moment.

    Parameters
    ----------
    on : date
    clock : str
        HH:MM; 24:00 is the next midnight.
    wall : callable

    Returns
    -------
    datetime
        With the offset of that day; of the hour that comes twice, the first.

    Examples
    --------
    >>> from zoneinfo import ZoneInfo
    >>> def wall(moment: datetime) -> datetime:
    ...     return moment.astimezone(ZoneInfo("Europe/Brussels"))
    >>> moment_of(date(2026, 10, 25), "23:30", wall).isoformat(timespec="minutes")
    '2026-10-25T23:30+01:00'
    """
    hour, minute = (int(part) for part in clock.split(":"))
    bare = datetime.combine(on, time(), UTC) + timedelta(hours=hour, minutes=minute)
    before = wall(bare - timedelta(hours=26)).utcoffset() or timedelta()
    first = wall(bare - before)
    if first.replace(tzinfo=UTC) == bare:
        return pinned(first)
    return pinned(wall(bare - (first.utcoffset() or timedelta())))


def span_of(worker: str, worked_on: str, begin: str, end: str, wall: Wall) -> Span:
    """The time between two times of a day; an end before the begin is the next day's.

    Parameters
    ----------
    worker : str
    worked_on : str
        ISO date.
    begin, end : str
        HH:MM.
    wall : callable

    Returns
    -------
    Span

    Examples
    --------
    >>> from datetime import UTC
    >>> late = span_of("me", "2026-11-25", "23:00", "01:30", lambda moment: moment.astimezone(UTC))
    >>> late.ends - late.begins
    datetime.timedelta(seconds=9000)
    """
    on = date.fromisoformat(worked_on)
    begins = moment_of(on, begin, wall)
    ends = moment_of(on if end > begin else on + timedelta(days=1), end, wall)
    return Span(worker=worker, begins=begins, ends=ends)
