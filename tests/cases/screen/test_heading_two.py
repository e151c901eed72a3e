"""Headings in two lines are joined where neither alone is understood; nothing else is.

Oracles: by hand; ISO/IEC 29500-1 as xlsxwriter writes it (merged cells).
"""

from __future__ import annotations

import io
from decimal import Decimal

import pytest
import xlsxwriter
from tests.cases.screen.catalogues import left, read, rows, said

from retrue.base.refusals import Unusable
from retrue.cases.screen.listing import Listing
from retrue.store.spreadsheet import as_csv


def roles(listing: Listing) -> dict[str, str]:
    return {one.heading: one.role for one in listing.columns}


def merged(*heads: tuple[int, int, int, int, str], lots: tuple[tuple[object, ...], ...]) -> bytes:
    """A spreadsheet with headings over several cells: top, left, bottom, right, words."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for top, left_, bottom, right, words in heads:
            if (top, left_) == (bottom, right):
                sheet.write(top, left_, words)
            else:
                sheet.merge_range(top, left_, bottom, right, words)
        first = max(one[2] for one in heads) + 1
        for y, lot in enumerate(lots, first):
            for x, cell in enumerate(lot):
                sheet.write(y, x, cell)
    return as_csv(out.getvalue(), "sale.xlsx", merged=True)


GERMAN = merged(
    (0, 0, 0, 7, "Auflösung einer Lehrwerkstatt"),
    (1, 0, 2, 0, "Los-Nr."), (1, 1, 1, 3, "Maschine"), (1, 4, 1, 6, "Preis"),
    (1, 7, 1, 8, "Verfahrweg"), (2, 1, 2, 1, "Bezeichnung"), (2, 2, 2, 2, "Baujahr"),
    (2, 3, 2, 3, "Gewicht (t)"), (2, 4, 2, 4, "von"), (2, 5, 2, 5, "bis"),
    (2, 6, 2, 6, "Währung"), (2, 7, 2, 7, "X"), (2, 8, 2, 8, "Z"),
    lots=((1, "CNC-Drehmaschine", 2006, 3.4, 4000, 5500, "CHF", 200, 400),
          (2, "Werkzeugschrank", "", 0.2, 50, "", "CHF", "", "")),
)  # fmt: skip


def test_a_merged_group_over_its_columns_is_joined_with_each_of_them():
    listing = read(GERMAN, "sale.xlsx")
    assert roles(listing) == {
        "Los-Nr.": "number", "Maschine Bezeichnung": "title", "Maschine Baujahr": "year",
        "Maschine Gewicht (t)": "mass_kg", "Preis von": "asking", "Preis bis": "asking",
        "Preis Währung": "currency", "Verfahrweg X": "x", "Verfahrweg Z": "z",
    }  # fmt: skip
    lathe = listing.lots[0]
    assert (lathe.case.terms.asking, lathe.case.lot.currency) == (Decimal(5500), "CHF")
    assert lathe.case.machines[0].mass_kg == 3400
    assert list(lathe.case.machines[0].travel_mm) == [200, 400]
    assert said(lathe, "asking").why == "the higher of two"
    assert left(lathe, "4000") == "the higher of two counts: “Preis bis”"
    assert any(one.text == "50" and one.field == "asking" for one in listing.lots[1].said)


def test_both_lines_are_told_and_neither_is_a_lot():
    listing = read(GERMAN, "sale.xlsx")
    assert [lot.number for lot in listing.lots] == ["1", "2"]
    assert [(one.line, one.why) for one in listing.others] == [
        (1, "it stands above the heading"),
        (2, "it names the columns, with the line beside it"),
        (3, "it names the columns, with the line beside it"),
    ]
    assert listing.others[1].text == "Los-Nr. Maschine Preis Verfahrweg"


@pytest.mark.parametrize(
    "heads",
    [
        ("Lot;Machine;;Price;;", ";type;year;low;high;currency"),
        ("Lot;Machine;;Price;;", "No.;type;year;low;high;currency"),
        (";Machine;;Price;;", "Lot;type;year;from;to;currency"),
        ("Kavel;Machine;;Prijs;;", "nr;type;bouwjaar;laag;hoog;munt"),
        ("Lot;Machine;;Prix;;", "N°;type;année;bas;haut;devise"),
    ],
)
def test_a_table_of_text_leaves_cells_empty_where_a_group_goes_on(heads):
    listing = read(rows(*heads, "1;CNC lathe;1999;900,00;1.200,00;CHF"))
    assert [one.role for one in listing.columns] == [
        "number", "kind", "year", "asking", "asking", "currency",
    ]  # fmt: skip
    (lot,) = listing.lots
    assert (lot.case.terms.asking, lot.case.lot.currency) == (Decimal(1200), "CHF")
    assert lot.case.machines[0].age_years == 27


def test_the_group_says_which_price_it_is():
    text = rows("Lot;What;Estimate;New;Start", ";;price;price;price", "1;VMC;900;9000;400")
    listing = read(text)
    assert [one.role for one in listing.columns] == [
        "number", "title", "estimate", "new_price", "start",
    ]  # fmt: skip


def test_a_line_of_units_beneath_the_headings_is_read():
    listing = read(rows("Lot;What;Weight;Price", ";;t;CHF", "1;VMC;4,2;900,00"))
    (lot,) = listing.lots
    assert lot.case.machines[0].mass_kg == 4200
    assert lot.case.lot.currency == "CHF"


def test_where_neither_line_names_two_columns_they_do_together():
    text = rows("sale of a hall;;", "Lot;Machine;Start", "number;type;price", "1;VMC;900")
    assert [one.role for one in read(text).columns] == ["number", "kind", "start"]
    odd = rows("Spindle;Start;Machine", "speed;price;type", "8000;900;VMC")
    assert [one.role for one in read(odd).columns] == ["speed_rpm", "start", "kind"]
    only = rows("opening;machine;sale", "bid;description;xyz", "900;VMC;b")
    assert {one.role for one in read(only).columns} >= {"title"}


@pytest.mark.parametrize(
    "lines",
    [
        ("Machines of the school;;;", "Lot;Description;Year;Qwx"),
        ("Sale of machines;;;Ghent", "Lot;Description;Year;Qwx"),
        ("Machines;;Contact: the office;", "Lot;Description;Year;Qwx"),
        ("Machine data;;;", "Lot;Description;Year;Qwx"),
        ("Lathes;;;", "Lot;Description;Year;Qwx"),
    ],
)
def test_a_title_above_the_headings_stays_a_title(lines):
    listing = read(rows(*lines, "1;CNC lathe;1999;B", "2;VMC;2001;C"))
    assert roles(listing) == {"Lot": "number", "Description": "title", "Year": "year", "Qwx": ""}
    assert next(one.why for one in listing.others) == "it stands above the heading"


def test_the_first_lot_is_no_second_line_of_headings():
    for first in ("A;VMC;;", "A;Cabinet;;new", "x;Workbench;;", "A;grey cupboard;;Ghent"):
        listing = read(rows("Lot;Description;Year;Hall", first, "2;CNC lathe;1999;B"))
        assert [lot.line for lot in listing.lots] == [2, 3], first


def test_a_heading_said_again_is_told_as_before():
    listing = read(rows("Lot;What;Year", "Lot;What;Year", "1;VMC;1999"))
    assert [one.why for one in listing.others] == ["it names the columns", "the heading again"]


def test_a_lower_and_a_higher_price_may_stand_in_one_line_of_headings_as_well():
    text = rows("Lot;What;Price from;Price to", "1;VMC;900;1200", "2;CNC lathe;700;?")
    assert [lot.case.terms.asking for lot in read(text).lots] == [1200, 700]


def test_a_joined_heading_is_called_as_it_is_shown():
    heads = ("Lot;Machine;;Qwx;", ";type;year;abc;def")
    listing = read(rows(*heads, "1;CNC lathe;1999;900;x"))
    assert roles(listing)["Qwx abc"] == ""
    typed = read(rows(*heads, "1;CNC lathe;1999;900;x"), own={"asking": "Qwx abc"})
    assert typed.lots[0].case.terms.asking == 900
    with pytest.raises(Unusable, match="no column “abc Qwx”"):
        read(rows(*heads, "1;CNC lathe;1999;900;x"), own={"asking": "abc Qwx"})
