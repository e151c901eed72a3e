"""Rows as a table that other programs open: CSV and XLSX of one and the same cells."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from retrue.store.export_words import cell

CREATED = datetime(2026, 1, 1, tzinfo=UTC).replace(tzinfo=None)  # the same rows, the same file


def csv_of(rows: Sequence[Sequence[Any]]) -> bytes:
    """Rows as CSV.

    Parameters
    ----------
    rows : sequence of sequence
        The heading first; None is an empty cell.

    Returns
    -------
    bytes
        UTF-8, one line a row; a text that a spreadsheet would take for a formula stays a text.

    References
    ----------
    RFC 4180, Common Format and MIME Type for CSV Files; lines end with a line feed.

    Examples
    --------
    >>> csv_of([["what", "amount"], ["way oil, thin", None]])
    b'what,amount\\n"way oil, thin",\\n'
    >>> csv_of([["=1+1", "-2.50", 3]])
    b"'=1+1,-2.50,3\\n"
    """
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(
        [cell(one) if isinstance(one, str) or one is None else one for one in row] for row in rows
    )
    return out.getvalue().encode()


def xlsx_of(rows: Sequence[Sequence[Any]]) -> bytes:
    """Rows as a spreadsheet; a text stays a text, whatever it begins with.

    Parameters
    ----------
    rows : sequence of sequence
        The heading first; None is an empty cell.

    Returns
    -------
    bytes

    References
    ----------
    ISO/IEC 29500-1 (Office Open XML), written by XlsxWriter.

    Examples
    --------
    >>> from retrue.store.spreadsheet import as_csv
    >>> as_csv(xlsx_of([["what", "amount"], ["way oil", 5]]), "list.xlsx")
    b'what,amount\\nway oil,5\\n'
    """
    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"strings_to_formulas": False, "in_memory": True}) as book:
        book.set_properties({"created": CREATED})
        sheet = book.add_worksheet()
        sheet.freeze_panes(1, 0)
        for at, row in enumerate(rows):
            for place, cell in enumerate(row):
                if isinstance(cell, int | float | Decimal):
                    sheet.write_number(at, place, float(cell))
                elif cell:
                    sheet.write_string(at, place, str(cell))
    return out.getvalue()
