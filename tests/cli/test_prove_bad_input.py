"""Readings that cannot be used: named by file, row and column; spreadsheets like text files."""

from __future__ import annotations

from pathlib import Path

import pytest
import xlsxwriter
from tests.cli.measuring import LEVEL, example, prove, refused, told

from retrue.cases.prove.deed import MODULES

# --- bad input ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bad", "where", "what"),
    [
        (LEVEL.replace(",50", ","), "row 3, column tilt_um_per_m", "the cell is empty"),
        (LEVEL.replace(",50", ",fifty"), "row 3, column tilt_um_per_m", "not a number"),
        (LEVEL.replace(",50", ",NaN"), "row 3, column tilt_um_per_m", "not a number"),
        (LEVEL.replace(",50", ",inf"), "row 3, column tilt_um_per_m", "not a number"),
        (LEVEL.replace("1800", "70.9 in"), "row 4, column x_mm", "in inches"),
        (LEVEL.replace("900,x,84", "900,x"), "row 4", "3 cells"),
        (LEVEL.replace(",y,", ",z,"), "row 3, column direction", "z"),
        (LEVEL.replace("tilt_um_per_m", "tilt"), "", "column tilt_um_per_m is missing"),
        (LEVEL.replace("x_mm", "x_in"), "", "column x_mm is missing"),
    ],
)
def test_bad_cells_are_named_by_row_and_column(call, tmp_path, bad, where, what):
    path = tmp_path / "bad.csv"
    path.write_text(bad)
    answer = refused(call("prove", "level", path, "--json"))
    said = [f"{problem['where']}: {problem['what']}" for problem in answer["problems"]]
    assert any(where in one and what in one for one in said), said
    assert answer["remedy"]


def test_all_bad_cells_are_named_at_once(call, tmp_path):
    path = tmp_path / "bad.csv"
    path.write_text(LEVEL.replace(",68", ",a").replace(",50", ",b"))
    assert len(refused(call("prove", "level", path, "--json"))["problems"]) == 2


@pytest.mark.parametrize("content", [b"", b"x_mm,y_mm\n", b"\x00\x01\x02", b"PK\x03\x04 no book"])
def test_a_file_without_readings_is_refused_by_its_name(call, tmp_path, content):
    path = tmp_path / "empty.csv"
    path.write_bytes(content)
    assert "empty.csv" in refused(call("prove", "level", path, "--json"))["reason"]


def test_a_file_that_is_not_there_is_named(call, tmp_path):
    assert (
        "nowhere.csv"
        in refused(call("prove", "level", tmp_path / "nowhere.csv", "--json"))["reason"]
    )


def test_semicolons_and_decimal_commas_give_the_same_numbers(call, tmp_path):
    path = tmp_path / "comma.csv"
    path.write_text(LEVEL.replace(",", ";").replace("68", "68,0"))
    plain = tmp_path / "plain.csv"
    plain.write_text(LEVEL)
    one, other = (told(call("prove", "level", p, "--json")) for p in (path, plain))
    assert one == other


# --- spreadsheets ------------------------------------------------------------------------------


def as_book(text: str, path: Path) -> Path:
    with xlsxwriter.Workbook(str(path)) as book:
        sheet = book.add_worksheet()
        for y, line in enumerate(text.splitlines()):
            for x, cell in enumerate(line.split(",")):
                try:
                    sheet.write_number(y, x, float(cell))
                except ValueError:
                    sheet.write_string(y, x, cell)
    return path


@pytest.mark.parametrize("test", MODULES)
def test_a_spreadsheet_gives_what_the_text_file_gives(call, test, tmp_path):
    text = example(test).read_text(encoding="utf-8")
    book = as_book(text, tmp_path / "readings.xlsx")
    assert told(prove(call, test, "--json", file=book)) == told(prove(call, test, "--json"))


def test_a_bad_cell_of_a_spreadsheet_is_named_by_its_row(call, tmp_path):
    book = as_book(LEVEL.replace(",50", ",fifty"), tmp_path / "readings.xlsx")
    (problem,) = refused(call("prove", "level", book, "--json"))["problems"]
    assert "row 3, column tilt_um_per_m" in problem["where"]
