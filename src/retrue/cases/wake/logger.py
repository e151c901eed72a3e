"""A logger's growing file: its new rows as readings of a watch; what is wrong is named.

Nothing is guessed. What cannot be taken is left out: the watch then has no reading, and no
reading means stop.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, tzinfo
from statistics import median

from retrue.base.formatter import minute, number
from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say
from retrue.cases.wake.logger_columns import (
    Column,
    asked_columns,
    asked_fahrenheit,
    columns_of,
    unknown_columns,
)

Row = tuple[str, str, float]  # ISO time with offset, channel, value

AHEAD_S = 120.0  # a clock that runs ahead by more is asked about
STILL_S, STILL_TIMES = 60.0, 3.0
NAMED = 5  # bad cells that are named one by one
ELAPSED = ("seconds", "minutes")
HOUR_S, NEAR_HOUR_S = 3600.0, 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """What is new in a logger's file.

    Attributes
    ----------
    rows : tuple of (str, str, float)
        ISO time with offset, channel, value; in the order of the file.
    first_row : int or None
        Where they begin in the file, the heading being row 1.
    rows_in_file : int
        Whole lines below the heading.
    head : str
        Mark of the file's heading and first line, by which another file is told.
    half_line : bool
        The last line is still being written; it is left for the next time.
    last_at : datetime or None
        The newest moment in the file that was taken, now or before.
    problems : tuple of Problem
        What could not be taken, and why.
    unknown : tuple of str
        The one of the notes that names columns nobody understands.
    counts, lag_s : bool, float
        Its time counts from its own start; from its newest row until now.
    asked : tuple of str
        Questions that only a person can answer; what hangs on them is not taken.
    notes : tuple of str
    """

    rows: tuple[Row, ...] = ()
    first_row: int | None = None
    rows_in_file: int = 0
    head: str = ""
    half_line: bool = False
    last_at: datetime | None = None
    problems: tuple[Problem, ...] = ()
    unknown: tuple[str, ...] = ()
    counts: bool = False
    lag_s: float = 0.0
    asked: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class _Reading:
    """A file being read."""

    columns: tuple[Column, ...]
    zone: tzinfo
    zero: datetime | None
    offset: timedelta
    now: datetime
    rows: list[Row] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    bad: int = 0
    newest: datetime | None = None
    back: tuple[int, float] | None = None  # row, seconds: where its clock first went back
    ahead: tuple[int, float] | None = None
    most_ahead: float = 0.0
    first_row: int | None = None
    last_row_at: datetime | None = None
    steps: list[float] = field(default_factory=list)
    first: dict[str, float] = field(default_factory=dict)  # of the file, by channel


def follow_logger(
    content: bytes,
    name: str,
    *,
    now: datetime,
    zone: tzinfo = UTC,
    after: datetime | None = None,
    zero: datetime | None = None,
    offset_s: float = 0.0,
    fahrenheit: bool | None = None,
    room_c: float | None = None,
    rows_before: int | None = None,
    head_before: str = "",
) -> Followed:
    """Take what is new in a logger's file.

    Parameters
    ----------
    content : bytes
        The whole file as it stands: CSV with a heading, parted by comma, semicolon or tab.
    name : str
        Of the file, for what is said of it.
    now : datetime
        With its offset.
    zone : tzinfo
        Of moments that are written without one.
    after : datetime or None
        The newest moment that was taken before; only later rows are new.
    zero : datetime or None
        Where the column ``seconds`` or ``minutes`` counts from.
    offset_s : float
        Added to the logger's clock, once somebody has said how far it is off.
    fahrenheit : bool or None
        What was answered to the question of °F; None: not asked or not answered.
    room_c : float or None
        As read by hand.
    rows_before, head_before : int or None, str
        Of the last time, by which a file that shrank or was replaced is told.

    Returns
    -------
    Followed

    Raises
    ------
    Unreadable
        No text.
    Unusable
        No column of a time, or none of a channel.

    Examples
    --------
    >>> now = datetime(2026, 11, 26, 20, 2, tzinfo=UTC)
    >>> text = b"time,nose_c\\n2026-11-26T20:00:00,21.5\\n2026-11-26T20:01:00,21.9\\n2026-11-"
    >>> found = follow_logger(text, "log.csv", now=now)
    >>> found.rows[-1], found.half_line, found.rows_in_file
    (('2026-11-26T20:01:00+00:00', 'nose', 21.9), True, 2)
    """
    lines, half = _whole_lines(content, name)
    if not lines:
        return Followed(half_line=half, last_at=after, notes=(
            say("{name} is empty so far.", name=name),))  # fmt: skip
    mark = max(";\t,", key=lines[0].count)
    columns = columns_of(lines[0].split(mark), name, zero is not None)
    data = [(row, line) for row, line in enumerate(lines[1:], 2) if line.strip(" \t,;")]
    head = _head(lines[0], data)
    read = _Reading(columns, zone, zero, timedelta(seconds=offset_s), now, newest=after)
    for row, line in data:
        _take(read, row, line, mark)
    asked = {} if fahrenheit is not None else asked_fahrenheit(read.first, columns, room_c)
    rows = _converted(read.rows, columns, fahrenheit, asked)
    if read.ahead is not None:
        rows = ()  # its other rows are just as early: taken now they would be read as if live
    return Followed(
        rows=rows,
        first_row=read.first_row if rows else None,
        rows_in_file=len(data),
        head=head,
        half_line=half,
        last_at=read.newest if rows else after,
        problems=(*read.problems, *_clock(read, name), *_more_bad(read, name),
                  *asked_columns(columns)),
        asked=tuple(asked.values()),
        notes=(*_changed(len(data), head, rows_before, head_before, name), *_still(read, name),
               *unknown_columns(columns, name)),
        unknown=unknown_columns(columns, name),
        counts=any(one.time in ELAPSED for one in columns),
        lag_s=0.0 if read.last_row_at is None else (now - read.last_row_at).total_seconds(),
    )  # fmt: skip


def _whole_lines(content: bytes, name: str) -> tuple[list[str], bool]:
    """The lines that are written to their end; what follows the last line end waits."""
    if b"\x00" in content[:4096]:
        raise Unreadable(
            say("{name} is not a text file", name=name),
            remedy=say("Set the logger to write CSV: one line a reading."),
        )
    end = content.rfind(b"\n") + 1
    half = bool(content[end:].strip())
    try:
        text = content[:end].decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content[:end].decode("cp1252", errors="replace")
    lines = [line for line in text.splitlines() if not line.lstrip().startswith("#")]
    while lines and not lines[0].strip():
        lines.pop(0)
    return lines, half


def _head(heading: str, data: Sequence[tuple[int, str]]) -> str:
    if not data:
        return ""
    return hashlib.sha256(f"{heading}\n{data[0][1]}".encode()).hexdigest()[:16]


def _take(read: _Reading, row: int, line: str, mark: str) -> None:
    cells = [cell.strip().strip('"') for cell in line.split(mark)]
    at = _moment(read, row, cells)
    if at is None:
        return
    if read.last_row_at is not None:
        step = (at - read.last_row_at).total_seconds()
        read.steps.append(step)
        if step < 0 and read.back is None:
            read.back = (row, -step)
    read.last_row_at = at
    _note_first(read, cells)
    ahead = (at - read.now).total_seconds()
    if ahead > AHEAD_S:
        read.ahead = read.ahead or (row, ahead)
        read.most_ahead = max(read.most_ahead, ahead)
        return
    if read.newest is not None and at <= read.newest:
        return
    if len(cells) > len(read.columns) and any(cells[len(read.columns) :]):
        _bad(read, row, say("{count} cells, {wide} columns", count=len(cells),
                            wide=len(read.columns)),
             say("A comma cannot part the cells and be the decimal mark too."))  # fmt: skip
        return
    found = [
        (at.isoformat(), one.channel, value)
        for one, cell in zip(read.columns, cells, strict=False)
        if one.channel and (value := _value(read, row, one, cell)) is not None
    ]
    if found:
        read.newest = at
        read.first_row = read.first_row or row
        read.rows.extend(found)


def _note_first(read: _Reading, cells: Sequence[str]) -> None:
    """The first values of the file, by which °F are suspected: later ones may be truly warm."""
    if len(cells) != len(read.columns):
        return
    for one, cell in zip(read.columns, cells, strict=True):
        if one.channel and one.channel not in read.first:
            value = _real(cell)
            if value is not None:
                read.first[one.channel] = one.factor * (value + one.zero)


def _moment(read: _Reading, row: int, cells: Sequence[str]) -> datetime | None:
    place = next(i for i, one in enumerate(read.columns) if one.time)
    cell = cells[place] if place < len(cells) else ""
    sort = read.columns[place].time
    try:
        if sort in ELAPSED and read.zero is not None:
            passed = float(cell.replace(",", ".")) * (60.0 if sort == "minutes" else 1.0)
            return read.zero + timedelta(seconds=passed) + read.offset
        at = datetime.fromisoformat(cell.replace("/", "-"))
        at = at if at.tzinfo is not None else at.replace(tzinfo=read.zone)
        return at + read.offset
    except (ValueError, OverflowError):
        _bad(read, row, say("{cell} is no moment", cell=f"“{cell}”"),
             say("Set the logger to write 2026-11-26T20:05:00."))  # fmt: skip
        return None


def _value(read: _Reading, row: int, column: Column, cell: str) -> float | None:
    if not cell or cell in ("-", "--", "---"):
        return None
    value = _real(cell)
    if value is None:
        _bad(read, row, say("{column}: {cell} is no number", column=column.heading,
                            cell=f"“{cell}”"), say("That one reading is left out."))  # fmt: skip
        return None
    return column.factor * (value + column.zero)


def _real(cell: str) -> float | None:
    bare = cell.replace("\u2212", "-").replace("\u202f", "").replace("'", "")
    if bare.count(",") == 1 and "." not in bare:
        bare = bare.replace(",", ".")
    try:
        value = float(bare)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _bad(read: _Reading, row: int, what: str, remedy: str) -> None:
    read.bad += 1
    if read.bad <= NAMED:
        read.problems.append(Problem(say("row {row}", row=row), what, remedy))


def _converted(
    rows: Sequence[Row],
    columns: Sequence[Column],
    fahrenheit: bool | None,
    asked: dict[str, str],
) -> tuple[Row, ...]:
    """Rows whose unit is not in doubt; those that were answered to be °F are converted."""
    unsure = {one.channel for one in columns if one.may_be_fahrenheit}
    if fahrenheit:
        return tuple(
            (at, name, (value - 32.0) / 1.8 if name in unsure else value)
            for at, name, value in rows
        )
    return tuple(row for row in rows if not (asked and row[1] in unsure))


def _clock(read: _Reading, name: str) -> list[Problem]:
    found = []
    if read.back is not None:
        row, by = read.back
        found.append(Problem(
            say("row {row}", row=row),
            say("the times of {name} are out of order: back by {by}", name=name, by=_long(by)),
            say("Rows before the newest one are not taken. If its clock was set, say by how much "
                "it is off, or begin a new file."),
        ))  # fmt: skip
    if read.ahead is not None:
        row, by = read.ahead[0], read.most_ahead
        remedy = say("Set the logger's clock, or say how far it is off.")
        if read.zero is not None and any(one.time in ELAPSED for one in read.columns):
            started = read.zero - timedelta(seconds=by)
            remedy = say("The logger started at {at}, before the watch? Add {seconds} s.",
                         at=minute(started), seconds=number(-by))  # fmt: skip
        elif by > HOUR_S / 2 and abs(by - round(by / HOUR_S) * HOUR_S) < NEAR_HOUR_S:
            remedy = say("Whole hours: summer time or another zone? Say how far it is off.")
        found.append(Problem(
            say("row {row}", row=row),
            say("the clock of {name} is ahead by {by}: nothing of it is taken until that is "
                "answered", name=name, by=_long(by)),
            remedy,
        ))  # fmt: skip
    usual = _usual(read)
    jumps = [step for step in read.steps if step > max(HOUR_S, 10 * usual)]
    if jumps and read.ahead is None:
        found.append(Problem(
            name, say("its clock jumps forward by {by}", by=_long(max(jumps))),
            say("If it logged all the time, its clock was set: begin a new file."),
        ))  # fmt: skip
    return found


def _more_bad(read: _Reading, name: str) -> list[Problem]:
    left = read.bad - NAMED
    return [] if left <= 0 else [Problem(name, say("and {count} more like them", count=left))]


def _usual(read: _Reading) -> float:
    forward = [step for step in read.steps if step > 0]
    return median(forward) if forward else 0.0


def _still(read: _Reading, name: str) -> list[str]:
    """Whether the file has stopped growing."""
    if read.last_row_at is None:
        return [say("{name} has its heading, and no reading yet.", name=name)]
    waits = (read.now - read.last_row_at).total_seconds()
    if waits <= max(STILL_S, STILL_TIMES * _usual(read)):
        return []
    told = say("{name} has not grown since {at}, for {long}.", name=name,
               at=minute(read.last_row_at), long=_long(waits))  # fmt: skip
    hours = round(waits / HOUR_S)
    if hours > 0 and abs(waits - hours * HOUR_S) < NEAR_HOUR_S:
        told += " " + say("Or its clock is off by whole hours: say so.")
    return [told]


def _changed(
    count: int, head: str, rows_before: int | None, head_before: str, name: str
) -> list[str]:
    if head_before and head and head != head_before:
        return [say("{name} was replaced by another file: its later rows are taken.", name=name)]
    if rows_before is not None and count < rows_before:
        return [say("{name} shrank from {before} rows to {now}: what was taken is kept.",
                    name=name, before=rows_before, now=count)]  # fmt: skip
    return []


def _long(seconds: float) -> str:
    if seconds < 90:
        return say("{count} s", count=number(seconds))
    if seconds < 2 * HOUR_S:
        return say("{count} minutes", count=number(seconds / 60.0))
    return say("{count} hours", count=number(seconds / HOUR_S, 1))
