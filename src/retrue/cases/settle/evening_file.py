"""Evenings from a plain table of moments and machines, without a shop."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from datetime import datetime

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.settle.evening import Trace
from retrue.cases.settle.evening_clock import Wall, moment_of

HEADS = {
    "at": ("moment", "at", "time", "when", "taken", "observed_at", "date"),
    "machine": ("machine", "where"),
    "lot": ("lot",),
    "worker": ("by", "who", "worker"),
    "sort": ("sort", "what", "kind"),
    "line": ("card", "line"),
}
MOST_ROWS = 100_000
MOST_NAMED = 20


def traces_in(content: bytes, name: str, wall: Wall) -> list[Trace]:
    """Read moments from a CSV.

    Parameters
    ----------
    content : bytes
        UTF-8; the first row names the columns: moment, machine; and as one likes lot, by, what,
        card. Parted by comma, semicolon or tab.
    name : str
        Of the file.
    wall : callable
        The clock of moments that have no offset.

    Returns
    -------
    list of Trace

    Raises
    ------
    Unreadable
        It is no text, or empty.
    Unusable
        A column is missing, or rows hold no moment: each is named.

    Examples
    --------
    >>> from datetime import UTC
    >>> def wall(moment: datetime) -> datetime:
    ...     return moment.astimezone(UTC)
    >>> text = "moment;machine\\n2026-11-25 19:40;lathe\\n2026-11-25 20:10;lathe\\n"
    >>> [f"{one.at:%H:%M} {one.machine}" for one in traces_in(text.encode(), "a.csv", wall)]
    ['19:40 lathe', '20:10 lathe']
    """
    rows = _rows(content, name)
    if not rows:
        raise Unreadable(
            say("{name} is empty", name=name),
            remedy=say("Name a table with a row of heads and one row at least."),
        )
    heads = _heads(rows[0], name)
    problems: list[Problem] = []
    traces = list(_traces(rows[1:], heads, wall, problems))
    if problems:
        raise Unusable(
            say("{count} rows of {name} hold no moment", count=len(problems), name=name),
            remedy=say("Write moments as 2026-11-25 19:40."),
            problems=tuple(problems[:MOST_NAMED]),
        )
    if not traces:
        raise Unreadable(
            say("{name} has heads and no rows", name=name),
            remedy=say("Name a table with one row at least."),
        )
    return traces


def _rows(content: bytes, name: str) -> list[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(
            say("{name} is no text in UTF-8", name=name),
            remedy=say("Save it as CSV in UTF-8."),
        ) from None
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_ROWS:
        raise Unreadable(say("{name} has more than {most} rows", name=name, most=MOST_ROWS),
                         remedy=say("Read it in parts."))  # fmt: skip
    sign = max(";\t,", key=lines[0].count) if lines else ","
    return [[cell.strip() for cell in row] for row in csv.reader(lines, delimiter=sign)]


def _heads(first: Sequence[str], name: str) -> dict[str, int]:
    said = [cell.casefold() for cell in first]
    heads = {
        field: next(said.index(word) for word in words if word in said)
        for field, words in HEADS.items()
        if any(word in said for word in words)
    }
    missing = [field for field in ("at", "machine") if field not in heads]
    if missing:
        raise Unusable(
            say("{name} lacks a column", name=name),
            remedy=say("Name the columns in the first row: moment, machine."),
            problems=tuple(
                Problem(HEADS[field][0], say("no column of that name")) for field in missing
            ),
        )
    return heads


def _traces(
    rows: Sequence[Sequence[str]], heads: dict[str, int], wall: Wall, problems: list[Problem]
) -> Iterator[Trace]:
    for number, row in enumerate(rows, 2):
        cell = {field: row[at] if at < len(row) else "" for field, at in heads.items()}
        moment = _moment(cell["at"], wall)
        if moment is None:
            what = say("“{text}” is no moment", text=cell["at"][:40])
            problems.append(Problem(say("row {number}", number=number), what))
            continue
        yield Trace(
            at=moment, worker=cell.get("worker", ""), lot=cell.get("lot") or "file",
            machine=cell["machine"] or None, sort=cell.get("sort") or "moment",
            line=cell.get("line", ""),
        )  # fmt: skip


def _moment(text: str, wall: Wall) -> datetime | None:
    try:
        told = datetime.fromisoformat(text)
    except ValueError:
        return None
    if len(text) <= 10:
        return None  # a day alone is no moment
    if told.utcoffset() is not None:
        return told
    placed = moment_of(told.date(), f"{told:%H:%M}", wall)
    return placed.replace(second=told.second)
