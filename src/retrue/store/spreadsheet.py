"""Readings in a spreadsheet become the text table that every test reads."""

from __future__ import annotations

import csv
import io
from typing import Any

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.media import MEGABYTE
from retrue.store.packed import refuse_bomb

BEGINS = b"PK\x03\x04"  # XLSX and ODS are packed folders
LARGEST = 50 * MEGABYTE


def as_csv(content: bytes, name: str) -> bytes:
    """Readings as CSV, whatever they came in.

    Parameters
    ----------
    content : bytes
        CSV, which is returned as it is; or XLSX, whose first sheet with anything in it is taken.
    name : str
        For refusals.

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
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(
        [_text(cell) for cell in row] for row in _rows(content, name)
    )
    return out.getvalue().encode()


def _rows(content: bytes, name: str) -> list[list[Any]]:
    import python_calamine as calamine

    try:
        book = calamine.load_workbook(io.BytesIO(content))
        for sheet in book.sheet_names:
            rows = book.get_sheet_by_name(sheet).to_python(skip_empty_area=False)
            if any(cell != "" for row in rows for cell in row):
                return rows
    except (calamine.CalamineError, OSError, ValueError) as wrong:
        raise Unreadable(
            say("{name} is not a spreadsheet that can be read", name=name),
            remedy=say("Save it again as XLSX without a password, or as CSV."),
        ) from wrong
    raise Unreadable(
        say("{name} has no readings", name=name),
        remedy=say("Its first line names the columns, each line below it is one reading."),
    )


def _text(cell: Any) -> str:
    """A cell as somebody would have typed it, on one line."""
    if isinstance(cell, float):
        return repr(int(cell)) if cell.is_integer() else repr(cell)
    return " ".join(str(cell).split())
