"""A packed spreadsheet is looked over before it is unpacked."""

from __future__ import annotations

import io
import zipfile

import pytest
import xlsxwriter

from retrue.base.refusals import Unreadable
from retrue.store import packed
from retrue.store.packed import refuse_bomb
from retrue.store.spreadsheet import as_csv


def folder_of(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as folder:
        for name, content in files.items():
            folder.writestr(name, content)
    return out.getvalue()


def sheet(rows: str) -> bytes:
    return folder_of({"xl/worksheets/sheet1.xml": f"<sheetData>{rows}</sheetData>".encode()})


def ods(rows: str) -> bytes:
    return folder_of({"content.xml": f"<table:table>{rows}</table:table>".encode()})


def test_a_sheet_that_another_program_wrote_is_read():
    out = io.BytesIO()
    with xlsxwriter.Workbook(out) as book:
        page = book.add_worksheet()
        for row in range(200):
            page.write_row(row, 0, ["target_mm", row, row / 7])
    assert as_csv(out.getvalue(), "a.xlsx").count(b"\n") == 200


@pytest.mark.parametrize(
    "content",
    [
        sheet('<row r="1"><c r="A1"/></row><row r="1048576"><c r="XFD1048576"/></row>'),
        sheet("<row r='1048576'><c r = 'XFD1'/></row>"),
        folder_of({"elsewhere/a.xml": b'<x:sheetData><x:c r="XFD1048576"/>'}),
        ods('<table:table-row table:number-rows-repeated="1048576">'
            '<table:table-cell table:number-columns-repeated="16384">1</table:table-cell>'),
        ods('<table:table-row table:number-rows-repeated="1048575"><table:table-cell/>'
            '<table:table-row><table:table-cell table:number-columns-repeated="16383"/>'
            "<table:table-cell>1</table:table-cell>"),
    ],
    ids=["corners", "one row", "elsewhere", "repeated", "far corner"],
)  # fmt: skip
def test_more_cells_than_can_be_held_are_refused(content):
    with pytest.raises(Unreadable, match="million cells"):
        refuse_bomb(content, "a.xlsx")


def test_what_is_empty_behind_the_table_counts_for_nothing():
    """As spreadsheet programs write it: the rest of the sheet as one repeated empty row."""
    rest = ('<table:table-row table:number-rows-repeated="1048575">'
            '<table:table-cell table:number-columns-repeated="16384"/>')  # fmt: skip
    refuse_bomb(ods("<table:table-row><table:table-cell>1</table:table-cell>" + rest), "a.ods")


def test_more_than_it_says_is_given_up_on_the_way(monkeypatch):
    monkeypatch.setattr(packed, "UNPACKED", 1_000)
    with pytest.raises(Unreadable, match="unpack to more than"):
        refuse_bomb(folder_of({"a.xml": bytes(2_000)}), "a.xlsx")
    with pytest.raises(Unreadable, match="unpack to more than"):
        refuse_bomb(folder_of({"a.xml": bytes(600), "b.xml": bytes(600)}), "a.xlsx")


@pytest.mark.parametrize(
    "content",
    [b"PK\x03\x04" + bytes(50), folder_of({"xl/worksheets/sheet1.bin": b"1"})],
    ids=["none", "binary"],
)
def test_what_is_none_is_refused(content):
    with pytest.raises(Unreadable, match="not a spreadsheet"):
        refuse_bomb(content, "a.xlsx")
