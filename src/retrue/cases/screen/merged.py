"""Merged cells and other sheets of a spreadsheet, told in the last line of the table made of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from retrue.cases.settle.bring_sheet import Line

MARK = "#merged"
_RANGE = re.compile(r"R([0-9]+)C([0-9]+):R([0-9]+)C([0-9]+)")
_SHEET = re.compile(r"sheet:((?:[0-9a-f]{2})+)")  # its name in UTF-8, in hexadecimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """Cells that are one; their value stands in each of them.

    Attributes
    ----------
    first_line, last_line : int
        Counted from 1.
    first_at, last_at : int
        Columns, counted from 0.
    """

    first_line: int
    first_at: int
    last_line: int
    last_at: int

    def holds(self, line: int, at: int) -> bool:
        """Whether a cell is one of them."""
        lines = self.first_line <= line <= self.last_line
        return lines and self.first_at <= at <= self.last_at


def merged_line(ranges: Iterable[Merged], others: Iterable[str] = ()) -> str:
    """The line that tells them.

    Parameters
    ----------
    ranges : iterable of Merged
    others : iterable of str
        Names of sheets that are not in the table.

    Returns
    -------
    str
        Empty where there are none.

    Examples
    --------
    >>> merged_line([Merged(first_line=2, first_at=0, last_line=4, last_at=0)])
    '#merged R2C1:R4C1'
    """
    told = [
        f"R{one.first_line}C{one.first_at + 1}:R{one.last_line}C{one.last_at + 1}" for one in ranges
    ]
    told += [f"sheet:{name.encode().hex()}" for name in others]
    return " ".join((MARK, *told)) if told else ""


def other_sheets(content: bytes) -> tuple[str, ...]:
    r"""Names of the sheets of a spreadsheet that are not in the table made of it.

    Parameters
    ----------
    content : bytes
        As it was made, its last line on.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> other_sheets(f"a,b\n{merged_line([], ['Hall 2'])}\n".encode()), other_sheets(b"a,b\n")
    (('Hall 2',), ())
    """
    last = _last_line(content)
    names = _SHEET.findall(last) if last.startswith(f"{MARK} ") else []
    return tuple(bytes.fromhex(name).decode(errors="replace") for name in names)


def _last_line(content: bytes) -> str:
    begin = content.rfind(b"\n", 0, max(len(content) - 1, 0)) + 1
    return content[begin:].decode("utf-8", errors="replace").strip()


def first_cells(line: Line, ranges: Iterable[Merged]) -> Line:
    """A line without what only stands in it because a cell before it was merged.

    Parameters
    ----------
    line : Line
    ranges : iterable of Merged

    Returns
    -------
    Line

    Examples
    --------
    >>> wide = Merged(first_line=4, first_at=0, last_line=4, last_at=2)
    >>> first_cells(Line(4, ("mills", "mills", "mills", "x")), [wide]).cells
    ('mills', '', '', 'x')
    """
    mine = [one for one in ranges if one.first_line <= line.number <= one.last_line]
    if not mine:
        return line
    cells = (
        "" if any(one.first_at < at <= one.last_at for one in mine) else cell
        for at, cell in enumerate(line.cells)
    )
    return Line(line.number, tuple(cells))


def taken_off(content: bytes) -> tuple[bytes, tuple[Merged, ...]]:
    r"""A table without that line, and what it tells.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    bytes
    tuple of Merged

    Examples
    --------
    >>> table, ranges = taken_off(b"a,b\n1,2\n#merged R1C1:R2C1\n")
    >>> table, ranges[0].holds(2, 0)
    (b'a,b\n1,2\n', True)
    """
    begin = content.rfind(b"\n", 0, max(len(content) - 1, 0)) + 1
    last = content[begin:].decode("utf-8", errors="replace").strip()
    if not last.startswith(f"{MARK} "):
        return content, ()
    ranges = tuple(
        Merged(first_line=one, first_at=two - 1, last_line=three, last_at=four - 1)
        for one, two, three, four in (map(int, found.groups()) for found in _RANGE.finditer(last))
    )
    return content[:begin], ranges
