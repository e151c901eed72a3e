"""Catalogues of invented sales, for tests: no maker, dealer or person of them exists."""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any

import xlsxwriter
from tests.library import load

from retrue.cases.screen.listing import ListedLot, Listing, Said
from retrue.cases.screen.reading import read_catalogue
from retrue.cases.screen.terms import About
from retrue.records.facts import Shop

RATES = {"CHF": Decimal("1.05")}


def about(**told: Any) -> About:
    return About(**{"shop": Shop(), "year": 2026, "rates": RATES} | told)


def read(text: str | bytes, name: str = "sale.csv", **told: Any) -> Listing:
    content = text if isinstance(text, bytes) else text.encode()
    return read_catalogue(content, name, load(), about(**told))


def rows(*lines: str) -> str:
    return "\n".join(lines) + "\n"


def said(lot: ListedLot, field: str) -> Said:
    """The only thing that was heard of a field."""
    (found,) = [one for one in lot.said if one.field == field]
    return found


def left(lot: ListedLot, text: str) -> str:
    """Why a cell was left out."""
    (found,) = [one for one in lot.said if one.how == "ignored" and one.text == text]
    return found.why


HEADINGS = ("Kavel", "DESCRIPTION", "Merk", "Baujahr", "Poids", "Prijs", "Precio nuevo", "Note")
MESSY: tuple[tuple[Any, ...], ...] = (
    ("WERKPLAATS / Werkstatt / atelier: alle bedragen zonder btw",),
    (),
    HEADINGS,
    ("Drehmaschinen / draaibanken",),
    (1, "cnc LATHE slant bed, swing 320", "(none)", 1998, "3,5 t", "12.500,-", 90000, ""),
    (2, "DRAAIBANK", "", "?", "", "€ 12 500 VB", "", "Anno 2001"),
    (3, "Bearbeitungszentrum VERTIKAL", "", "bj. '98", "ca. 4.200 kg", "18.000,-", "", ""),
    (None, "Werkzeugschrank", "", "", "", None, "", ""),
    (4, "2x centre d'usinage vertical", "", "2004/05", "", "CHF 9'500.00 la pièce", "", ""),
    HEADINGS,
    (4, "Rettificatrice tangenziale", "", 1991, "", "auf Anfrage", "", ""),
    (5, "Centro de mecanizado horizontal", "", 2003, "6 500 kg", 22000, "", ""),
    ("overige / miscellaneous",),
    (6, "Diverses", "", "", "", 40, "", ""),
    (7, "HEFTRUCK 1,5t", "", "", "", "1.200,00", "", ""),
    (8, "fresatrice UNIVERSALE", "", 1985, "", "€ 900,- incl. BTW", "", "defekt"),
    ("Totaal", "", "", "", "", 76640, "", ""),
)
"""Mixed case, six languages, merged cells, two currencies, missing years, sums, headings again."""


def messy() -> bytes:
    """The same as a real spreadsheet: a title over all columns, one lot of two lines."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for y, line in enumerate(MESSY):
            for x, cell in enumerate(line):
                if cell not in (None, ""):
                    sheet.write(y, x, cell)
        last = len(HEADINGS) - 1
        for y in (0, 3):
            sheet.merge_range(y, 0, y, last, MESSY[y][0])
        sheet.merge_range(6, 0, 7, 0, 3)
        sheet.merge_range(6, 5, 7, 5, "18.000,-")
    return out.getvalue()
