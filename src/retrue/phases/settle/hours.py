"""Own hours: what is still to be asked, and what counts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from weakref import WeakKeyDictionary

from retrue.base.say import reader
from retrue.cases.settle.evening import Evening, Guessed, Trace, evenings
from retrue.cases.settle.evening_clock import Wall, moment_of
from retrue.cases.settle.evening_file import traces_in
from retrue.cases.settle.evening_rules import RULES
from retrue.cases.settle.evening_shown import named
from retrue.cases.settle.hour_lines import HoursRow, HoursView
from retrue.cases.settle.hours import HoursKept, rows_of
from retrue.cases.settle.hours_kept import (
    DAY,
    guessed,
    hours_kept,
    kinds_seen,
    told_lately,
    traces_kept,
)
from retrue.cases.settle.hours_view import view_of
from retrue.cases.spot import find_lot
from retrue.records.shop import RecordShop

NEWEST_DAYS = 3  # the front page looks so far back
MOST_HELD = 4  # views of a day that are remembered
_HELD: WeakKeyDictionary[RecordShop, tuple[int, dict[tuple[date, str | None, str], HoursView]]]
_HELD = WeakKeyDictionary()
_TRACES: WeakKeyDictionary[RecordShop, tuple[tuple[int, datetime, Wall], list[Trace]]]
_TRACES = WeakKeyDictionary()
MOST_SEEN = 500  # traces that the front page looks through


def this_wall(moment: datetime) -> datetime:
    """The clock on the wall of the computer this runs on.

    Parameters
    ----------
    moment : datetime
        With its offset.

    Returns
    -------
    datetime
        The same moment with the offset of this place.
    """
    return moment.astimezone()


def told_hours(
    shop: RecordShop,
    *,
    on: date,
    now: datetime | None = None,
    lot: str | None = None,
    wall: Wall = this_wall,
) -> HoursView:
    """Own hours of the shop: open questions, what counts, clocks that run; none expected.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    on : date
        Nothing after that day counts; evenings of the four weeks before it are asked about.
    now : datetime, optional
        No evening ends after it; None: the end of that day.
    lot : str, optional
        Name or id; None: all.
    wall : callable
        The clock on the wall.

    Returns
    -------
    HoursView

    Raises
    ------
    Unknown
        No such lot.
    """
    if now is None and wall is this_wall:
        return _of_day(shop, on, lot)
    return _told(shop, on, now, lot, wall)


def _of_day(shop: RecordShop, on: date, lot: str | None) -> HoursView:
    """Those of a whole day; asked again while nothing was kept, what was told."""
    newest, key = shop.newest(), (on, lot, reader())
    before, held = _HELD.get(shop, (newest, {}))
    if before != newest:
        held = {}
    view = held.get(key)
    if view is None:
        view = _told(shop, on, None, lot, this_wall)
        _HELD[shop] = (newest, {**dict(list(held.items())[1 - MOST_HELD :]), key: view})
    return view


def _told(
    shop: RecordShop, on: date, now: datetime | None, lot: str | None, wall: Wall
) -> HoursView:
    end = end_of(on, now, wall)
    home = None if lot is None else find_lot(shop, lot)[0]
    kept = hours_kept(shop, wall, now=end)
    made = open_evenings(shop, kept, wall, now=end)
    return view_of(kept, made, wall, on=on, now=end, lot=home)


def counted(shop: RecordShop, *, on: date, wall: Wall = this_wall) -> tuple[HoursRow, ...]:
    """The own hours that count up to a day, without looking for open questions.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    on : date
    wall : callable

    Returns
    -------
    tuple of HoursRow
        The newest first; no hour twice.
    """
    return rows_of(hours_kept(shop, wall, now=end_of(on, None, wall)), wall, on=on)


def newest_question(shop: RecordShop, *, now: datetime, wall: Wall = this_wall) -> Evening | None:
    """The newest evening that is still to be asked about and has ended.

    Parameters
    ----------
    shop : RecordShop
        Only what was seen in the last days is read.
    now : datetime
    wall : callable

    Returns
    -------
    Evening or None
    """
    since = now - timedelta(days=NEWEST_DAYS)
    seen = shop.seen_since(since - DAY, kinds_seen(), most=MOST_SEEN)
    kept = told_lately(seen, wall, now=now)
    if len(seen) == MOST_SEEN:  # the first evening may be cut: it is asked about on its own page
        since = max(since, seen[0][0] + RULES.gap)
    found = guessed(shop, kept, traces_kept(shop, seen, wall), wall, since=since, now=now)
    return next(
        (one for one in found.evenings if now - (one.last_trace or now) >= RULES.quiet), None
    )


def hours_file(content: bytes, name: str, *, wall: Wall = this_wall) -> Guessed:
    """Evenings of a plain table of moments and machines.

    Parameters
    ----------
    content : bytes
    name : str
        Of the file.
    wall : callable

    Returns
    -------
    Guessed

    Raises
    ------
    Unreadable, Unusable
        It is no such table; each row that is wrong is named.
    """
    traces = traces_in(content, name, wall)
    names = {one.machine: one.machine for one in traces if one.machine}
    made = evenings(traces)
    return replace(made, evenings=tuple(named(one, names) for one in made.evenings))


def end_of(on: date, now: datetime | None, wall: Wall) -> datetime:
    """The moment up to which a day is looked at: now, or its midnight.

    Parameters
    ----------
    on : date
    now : datetime or None
        None: the day is over.
    wall : callable
        A moment as the clock of this place shows it.

    Returns
    -------
    datetime
    """
    midnight = moment_of(on, f"{time.max:%H:%M}", wall)
    return midnight if now is None or wall(now).date() != on else now


def open_evenings(shop: RecordShop, kept: HoursKept, wall: Wall, *, now: datetime) -> Guessed:
    """The evenings of the last weeks that are still to be asked about.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kept : HoursKept
        What was answered and typed.
    wall : callable
        A moment as the clock of this place shows it.
    now : datetime

    Returns
    -------
    Guessed
    """
    since = now - timedelta(days=RULES.asked_days)
    return guessed(shop, kept, _traces(shop, since - DAY, wall), wall, since=since, now=now)


def _traces(shop: RecordShop, since: datetime, wall: Wall) -> list[Trace]:
    """The traces from the midnight before a moment on; while nothing was kept, those of before."""
    first = since.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    key = (shop.newest(), first, wall)
    before = _TRACES.get(shop)
    if before is None or before[0] != key:
        seen = shop.seen_since(first, kinds_seen())
        before = _TRACES[shop] = (key, traces_kept(shop, seen, wall))
    return before[1]
