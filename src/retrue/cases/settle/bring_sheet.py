"""A table as somebody's bank or supplier wrote it: its cells, and the line each row stands on."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import NoReturn

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say

MARKS = ";\t,"
LOOKED_AT = 40  # rows among which the heading is looked for
MOST_ROWS = 100_000
UTF_16 = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True)
class Line:
    """One row of cells.

    Attributes
    ----------
    number : int
        Line of the file on which it begins, counted from 1; of a spreadsheet its row.
    cells : tuple of str
        Without blanks around them; line breaks inside are blanks.
    """

    number: int
    cells: tuple[str, ...]

    def cell(self, at: int) -> str:
        """A cell; empty where the row is shorter."""
        return self.cells[at] if 0 <= at < len(self.cells) else ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rows of a table with its heading.

    Attributes
    ----------
    name : str
        Of the file, for refusals.
    mark : str
        What stands between the cells.
    coding : str
        utf-8, utf-16 or windows-1252.
    heading : Line
    rows : tuple of Line
        Below the heading, none of them blank.
    above : tuple of Line
        Rows above the heading: they are told, not read.
    blank : tuple of int
        Lines with nothing in them.
    """

    name: str
    mark: str
    coding: str
    heading: Line
    rows: tuple[Line, ...]
    above: tuple[Line, ...] = ()
    blank: tuple[int, ...] = ()


def read_sheet(content: bytes, name: str, is_heading: Callable[[Sequence[str]], int]) -> Sheet:
    """Read a table.

    Parameters
    ----------
    content : bytes
        UTF-8 or UTF-16 (a byte-order mark is allowed) or Windows-1252; a comma, a semicolon or a
        tab stands between the cells.
    name : str
        For refusals.
    is_heading : callable
        How many of the cells of a row are known as names of columns.

    Returns
    -------
    Sheet

    Raises
    ------
    Unreadable
        It is empty, no text, or has a heading and nothing below it.
    Unusable
        A quotation mark is not closed, or no row names the columns.

    References
    ----------
    RFC 4180, Common Format and MIME Type for CSV Files: quotes, and line breaks within them.

    Examples
    --------
    >>> sheet = read_sheet(b"day;sum\\n2026-11-02;-12,50\\n", "bank.csv", lambda cells: len(cells))
    >>> sheet.mark, sheet.heading.cells, sheet.rows[0].number
    (';', ('day', 'sum'), 2)
    """
    text, coding = _decoded(content, name)
    mark, lines = _best(text, name, is_heading)
    filled = [line for line in lines if any(line.cells)]
    if not filled:
        raise Unreadable(
            say("{name} is empty", name=name),
            remedy=say("Export it again: its first line names the columns."),
        )
    at = _heading(filled, is_heading)
    if at is None:
        _no_heading(name, filled[0])
    if at + 1 == len(filled):
        raise Unreadable(
            say("{name} has a heading and nothing below it", name=name),
            remedy=say("Export it again, over days on which something was paid."),
        )
    return Sheet(
        name=name,
        mark=mark,
        coding=coding,
        heading=filled[at],
        rows=tuple(filled[at + 1 :]),
        above=tuple(filled[:at]),
        blank=tuple(line.number for line in lines if not any(line.cells)),
    )


def _decoded(content: bytes, name: str) -> tuple[str, str]:
    if content[:2] in UTF_16:
        try:
            return content.decode("utf-16"), "utf-16"
        except UnicodeDecodeError:
            _no_text(name)
    if b"\x00" in content:
        _no_text(name)
    try:
        return content.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), "windows-1252"


def _no_text(name: str) -> NoReturn:
    raise Unreadable(
        say("{name} is no table", name=name),
        remedy=say("Export it as CSV or XLSX: one line for each payment."),
    )


def _best(
    text: str, name: str, is_heading: Callable[[Sequence[str]], int]
) -> tuple[str, list[Line]]:
    """The mark by which most columns are known; of equals, the one that parts most cells."""
    found: list[tuple[int, int, str]] = []
    wrong: Unusable | None = None
    for mark in (mark for mark in MARKS if mark in text):
        try:
            lines = list(islice(_lines(text, mark, name), LOOKED_AT))
        except Unusable as refusal:
            wrong = wrong or refusal
            continue
        known = max((is_heading(line.cells) for line in lines), default=0)
        found.append((known, max((len(line.cells) for line in lines), default=0), mark))
    best = max(found, key=lambda one: one[:2], default=None)
    if wrong is not None and (best is None or best[0] == 0):
        raise wrong
    mark = best[2] if best is not None else ","
    return mark, list(_lines(text, mark, name))


def _lines(text: str, mark: str, name: str) -> Iterator[Line]:
    ends = text.replace("\r\n", "\n").replace("\r", "\n").removesuffix("\n").split("\n")
    reader = csv.reader((f"{one}\n" for one in ends), delimiter=mark, strict=True)
    before = 0
    try:
        for row in reader:
            yield Line(before + 1, tuple(" ".join(cell.split()) for cell in row))
            before = reader.line_num
            if before > MOST_ROWS:
                _too_long(name)
    except csv.Error:
        _open_quote(name, before + 1)


def _open_quote(name: str, number: int) -> NoReturn:
    what = say("a quotation mark is not closed")
    remedy = say("Close it, or take it out, and read the file again.")
    raise Unusable(
        say("{name}, line {number}: {what}", name=name, number=number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=number), what, remedy),),
    )


def _too_long(name: str) -> NoReturn:
    raise Unreadable(
        say("{name} has more than {most} lines", name=name, most=MOST_ROWS),
        remedy=say("Export a year at a time."),
    )


def _heading(lines: Sequence[Line], is_heading: Callable[[Sequence[str]], int]) -> int | None:
    known = [is_heading(line.cells) for line in lines[:LOOKED_AT]]
    most = max(known, default=0)
    return known.index(most) if most else None


def _no_heading(name: str, first: Line) -> NoReturn:
    what = say("no line names the columns")
    remedy = say(
        "Put a heading above them (date, amount, counterparty), or say which column is which: "
        "--column date={first}.",
        first=repr(next(cell for cell in first.cells if cell)[:40]),
    )
    raise Unusable(
        say("{name}: {what}", name=name, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=first.number), what, remedy),),
    )
