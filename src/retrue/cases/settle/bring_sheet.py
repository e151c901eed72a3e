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
UTF_32 = (b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff")


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWords:
    """What would help where a file is no table: of each kind of table its own words.

    Attributes
    ----------
    empty, no_rows, no_text, too_long : callable
        The sentence, in the reader's language.
    no_heading : callable
        The same, of the first cell that is there.
    """

    empty: Callable[[], str]
    no_rows: Callable[[], str]
    no_text: Callable[[], str]
    too_long: Callable[[], str]
    no_heading: Callable[[str], str]


def _name_the_columns(first: str) -> str:
    return say(
        "Put a heading above them (date, amount, counterparty), or say which column is which: "
        "--column date={first}.",
        first=first,
    )


PAYMENTS = SheetWords(
    empty=lambda: say("Export it again: its first line names the columns."),
    no_rows=lambda: say("Export it again, over days on which something was paid."),
    no_text=lambda: say("Export it as CSV or XLSX: one line for each payment."),
    too_long=lambda: say("Export a year at a time."),
    no_heading=_name_the_columns,
)
"""Of a bank file or a parts list."""


def read_sheet(
    content: bytes,
    name: str,
    is_heading: Callable[[Sequence[str]], int],
    words: SheetWords = PAYMENTS,
) -> Sheet:
    """Read a table.

    Parameters
    ----------
    content : bytes
        UTF-8, UTF-16 or UTF-32 (the latter two with a byte-order mark) or Windows-1252; a comma, a
        semicolon or a tab stands between the cells.
    name : str
        For refusals.
    is_heading : callable
        How many of the cells of a row are known as names of columns.
    words : SheetWords
        For refusals.

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
    text, coding = _decoded(content, name, words)
    mark, lines = _best(text, name, is_heading, words)
    filled = [line for line in lines if any(line.cells)]
    if not filled:
        raise Unreadable(
            say("{name} is empty", name=name),
            remedy=words.empty(),
        )
    at = _heading(filled, is_heading)
    if at is None:
        _no_heading(name, filled[0], words)
    if at + 1 == len(filled):
        raise Unreadable(
            say("{name} has a heading and nothing below it", name=name),
            remedy=words.no_rows(),
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


def _decoded(content: bytes, name: str, words: SheetWords) -> tuple[str, str]:
    if content[:2] in UTF_16 or content[:4] in UTF_32:
        coding = "utf-32" if content[:4] in UTF_32 else "utf-16"
        try:
            text = content.decode(coding)
        except UnicodeDecodeError:
            _no_text(name, words)
        if "\x00" in text:
            _no_text(name, words)
        return text, coding
    if b"\x00" in content:
        _no_text(name, words)
    try:
        return content.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), "windows-1252"


def _no_text(name: str, words: SheetWords) -> NoReturn:
    raise Unreadable(say("{name} is no table", name=name), remedy=words.no_text())


def _best(
    text: str, name: str, is_heading: Callable[[Sequence[str]], int], words: SheetWords
) -> tuple[str, list[Line]]:
    """The mark by which most columns are known; of equals, the one that parts most cells."""
    found: list[tuple[int, int, str]] = []
    wrong: Unusable | None = None
    for mark in (mark for mark in MARKS if mark in text):
        try:
            lines = list(islice(_lines(text, mark, name, words), LOOKED_AT))
        except Unusable as refusal:
            wrong = wrong or refusal
            continue
        known = max((is_heading(line.cells) for line in lines), default=0)
        found.append((known, max((len(line.cells) for line in lines), default=0), mark))
    best = max(found, key=lambda one: one[:2], default=None)
    if wrong is not None and (best is None or best[0] == 0):
        raise wrong
    mark = best[2] if best is not None else ","
    return mark, list(_lines(text, mark, name, words))


def _lines(text: str, mark: str, name: str, words: SheetWords) -> Iterator[Line]:
    ends = text.replace("\r\n", "\n").replace("\r", "\n").removesuffix("\n").split("\n")
    reader = csv.reader((f"{one}\n" for one in ends), delimiter=mark, strict=True)
    before = 0
    try:
        for row in reader:
            yield Line(before + 1, tuple(" ".join(cell.split()) for cell in row))
            before = reader.line_num
            if before > MOST_ROWS:
                _too_long(name, words)
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


def _too_long(name: str, words: SheetWords) -> NoReturn:
    raise Unreadable(
        say("{name} has more than {most} lines", name=name, most=MOST_ROWS),
        remedy=words.too_long(),
    )


def _heading(lines: Sequence[Line], is_heading: Callable[[Sequence[str]], int]) -> int | None:
    known = [is_heading(line.cells) for line in lines[:LOOKED_AT]]
    most = max(known, default=0)
    return known.index(most) if most else None


def _no_heading(name: str, first: Line, words: SheetWords) -> NoReturn:
    what = say("no line names the columns")
    remedy = words.no_heading(repr(next(cell for cell in first.cells if cell)[:40]))
    raise Unusable(
        say("{name}: {what}", name=name, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=first.number), what, remedy),),
    )
