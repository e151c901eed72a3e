"""Readings in a spreadsheet become the text table that every test reads."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.screen.merged import Merged, merged_line
from retrue.store.media import MEGABYTE
from retrue.store.packed import refuse_bomb

BEGINS = b"PK\x03\x04"  # XLSX and ODS are packed folders
LARGEST = 50 * MEGABYTE


def as_csv(content: bytes, name: str, *, merged: bool = False) -> bytes:
    """Readings as CSV, whatever they came in.

    Parameters
    ----------
    content : bytes
        CSV, which is returned as it is; or XLSX, whose first sheet with anything in it is taken.
    name : str
        For refusals.
    merged : bool
        The value of merged cells stands in each of them, and a last line tells which they are and
        which other sheets are filled, for :func:`retrue.cases.screen.merged.taken_off` and
        :func:`retrue.cases.screen.merged.other_sheets`; else it stands in the first of them alone.

    Returns
    -------
    bytes
        UTF-8; a row keeps its number, so that a refusal names the row of the spreadsheet.

    Raises
    ------
    Unreadable
        It is packed but no spreadsheet, too large, or has nothing in it.

    References
    ----------
    ISO/IEC 29500-1 (Office Open XML), read by calamine.

    Examples
    --------
    >>> as_csv(b"target_mm,deviation_um\\n0,1\\n", "readings.csv")
    b'target_mm,deviation_um\\n0,1\\n'
    """
    if not content.startswith(BEGINS):
        return content
    if len(content) > LARGEST:
        raise Unreadable(
            say("{name} is too large for a spreadsheet of readings", name=name),
            remedy=say("Save its readings as CSV: one line a reading."),
        )
    refuse_bomb(content, name)
    rows, ranges, others = _rows(content, name, others=merged)
    told = merged_line(_spread(rows, ranges), others) if merged else ""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([_text(cell) for cell in row] for row in rows)
    return f"{out.getvalue()}{told}\n".encode() if told else out.getvalue().encode()


Range = tuple[tuple[int, int], tuple[int, int]]  # row and column of its two corners, from 0


def _rows(
    content: bytes, name: str, *, others: bool
) -> tuple[list[list[Any]], list[Range], list[str]]:
    """Of the first sheet with anything in it: its rows, its merged cells; and which others have.

    One sheet at a time: together they may hold more than this computer should.
    """
    import python_calamine as calamine

    try:
        book = calamine.load_workbook(io.BytesIO(content))
        sheets = map(book.get_sheet_by_name, book.sheet_names)
        for sheet in sheets:
            rows = sheet.to_python(skip_empty_area=False)
            if any(cell != "" for row in rows for cell in row):
                more = [one.name for one in sheets if _is_filled(one)] if others else []
                return rows, sheet.merged_cell_ranges or [], more
    except (calamine.CalamineError, OSError, ValueError) as wrong:
        raise Unreadable(
            say("{name} is not a spreadsheet that can be read", name=name),
            remedy=say("Save it again as XLSX without a password, or as CSV."),
        ) from wrong
    raise Unreadable(
        say("{name} has no readings", name=name),
        remedy=say("Its first line names the columns, each line below it is one reading."),
    )


def _is_filled(sheet: Any) -> bool:
    return any(cell != "" for row in sheet.iter_rows() for cell in row)


def _spread(rows: list[list[Any]], ranges: Iterable[Range]) -> Iterator[Merged]:
    """Put the value of merged cells into each of them that lies within the table."""
    for (top, left), (bottom, right) in sorted(ranges):
        lowest = min(bottom, len(rows) - 1)
        rightmost = min(right, len(rows[0]) - 1)
        if top > lowest or left > rightmost:
            continue
        for row in rows[top : lowest + 1]:
            row[left : rightmost + 1] = [rows[top][left]] * (rightmost - left + 1)
        yield Merged(first_line=top + 1, first_at=left, last_line=lowest + 1, last_at=rightmost)


def _text(cell: Any) -> str:
    """A cell as somebody would have typed it, on one line."""
    if isinstance(cell, float):
        return repr(int(cell)) if cell.is_integer() else repr(cell)
    return " ".join(str(cell).split())
