"""A spreadsheet of readings says the same as the text file of them, row by row."""

from __future__ import annotations

import io
from typing import Any

import pytest
import xlsxwriter

from retrue.base.refusals import Unreadable
from retrue.cases.prove.table import read_table
from retrue.cases.screen.merged import Merged, taken_off
from retrue.store.spreadsheet import as_csv


def book(*sheets: list[list[Any]]) -> bytes:
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as made:
        for rows in sheets:
            sheet = made.add_worksheet()
            for y, row in enumerate(rows):
                for x, cell in enumerate(row):
                    if cell is not None:
                        sheet.write(y, x, cell)
    return out.getvalue()


ROWS = [["target_mm", "approach", "deviation_um"], [0, "forward", 1.5], [100, "backward", -2]]


def test_numbers_come_as_somebody_would_have_typed_them():
    text = as_csv(book(ROWS), "a.xlsx")
    assert text == b"target_mm,approach,deviation_um\n0,forward,1.5\n100,backward,-2\n"


def test_a_text_file_is_returned_as_it_is():
    content = b"target_mm;deviation_um\n0;1,5\n"
    assert as_csv(content, "a.csv") is content


def test_the_first_sheet_with_anything_in_it_is_taken():
    assert as_csv(book([], ROWS), "a.xlsx") == as_csv(book(ROWS), "a.xlsx")


def test_a_row_keeps_its_number_over_empty_rows():
    rows = [[None], ROWS[0], [None], [0, "forward", "1.5in"]]
    table = read_table(as_csv(book(rows), "a.xlsx"), "a.xlsx")
    assert list(table.rows) == [4]


def test_a_comma_in_a_text_cell_is_still_one_cell():
    rows = [["target_mm", "deviation_um"], ["0", "1,5"]]
    table = read_table(as_csv(book(rows), "a.xlsx"), "a.xlsx")
    assert table.numbers("deviation_um").tolist() == [1.5]


@pytest.mark.parametrize("content", [b"PK\x03\x04 not a book at all", book([])])
def test_what_is_no_spreadsheet_or_empty_is_refused_by_name(content):
    with pytest.raises(Unreadable, match=r"broken\.xlsx"):
        as_csv(content, "broken.xlsx")


def test_merged_cells_hold_their_value_each_and_a_last_line_tells_which_they_are():
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as made:
        sheet = made.add_worksheet()
        for x, cell in enumerate(("lot", "what", "price")):
            sheet.write(1, x, cell)
        sheet.merge_range(0, 0, 0, 2, "sale")
        sheet.merge_range(2, 0, 3, 0, 12)
        sheet.write(2, 1, "mill")
        sheet.write(3, 1, "lathe")
        sheet.merge_range(4, 3, 9, 5, "")  # beyond the table: nothing to fill
    content = out.getvalue()
    table, ranges = taken_off(as_csv(content, "a.xlsx", merged=True))
    assert table == b"sale,sale,sale\nlot,what,price\n12,mill,\n12,lathe,\n"
    assert ranges == (
        Merged(first_line=1, first_at=0, last_line=1, last_at=2),
        Merged(first_line=3, first_at=0, last_line=4, last_at=0),
    )
    assert as_csv(content, "a.xlsx") == b"sale,,\nlot,what,price\n12,mill,\n,lathe,\n"
