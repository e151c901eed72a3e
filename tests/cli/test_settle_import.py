"""A bank file at the keyboard: shown first, kept when asked, the same file twice adds nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop

from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.settling import BooksClosed, Posting
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import xlsx_of

BANK = """\
Datum;Bedrag;Naam;Omschrijving
02/11/2026;-1.250,00;Lagerwinkel Gent;kogellagers
13/11/2026;-45,50;Oliehandel;smeerolie
"""


@pytest.fixture
def bank(shop: FakeShop, tmp_path: Path) -> str:
    made = [Machine(lot="", name=name, kind=kind)
            for name, kind in (("mill", "vertical_machining_centre"),
                               ("lathe", "turning_centre"))]  # fmt: skip
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    path = tmp_path / "bank.csv"
    path.write_text(BANK, encoding="cp1252")
    return str(path)


def test_it_is_shown_and_nothing_is_kept(call, shop, bank):
    told = call("settle", "import", bank, "--on", "2026-11-26")
    assert told.code == 0, told.err
    assert told.out.startswith("2 new.\n")
    assert "“Bedrag” is read as amount." in told.out
    assert "line 2: 2026-11-02, paid, €\u202f1\u202f250.00, kogellagers" in told.out
    assert "Nothing is kept yet: --keep." in told.out
    assert shop.current(Posting) == []


def test_it_is_kept_once_as_the_rows_were_said_to_be(call, shop, bank):
    told = call("settle", "import", bank, "--keep", "--for", "2=lathe", "--bucket", "3=running",
                "--json")  # fmt: skip
    assert told.code == 0, told.err
    flat = json.loads(told.out)
    assert (flat["kept"], flat["new"], flat["schema"]) == (2, 2, "settle.import.1")
    assert flat["columns"] == {"amount": "Bedrag", "date": "Datum", "what": "Omschrijving",
                               "whom": "Naam"}  # fmt: skip
    assert list(flat) == sorted(flat)
    first, second = (one.fact for one in shop.current(Posting))
    assert (first.machine is not None, second.bucket) == (True, "running")
    assert "Kept: 0" in call("settle", "import", bank, "--keep").out
    assert len(shop.current(Posting)) == 2


def test_a_row_left_out_is_not_kept(call, shop, bank):
    assert "Kept: 1" in call("settle", "import", bank, "--keep", "--leave", "2").out
    assert [one.fact.what for one in shop.current(Posting)] == ["smeerolie"]
    again = call("settle", "import", bank)
    assert again.out.startswith("1 in the book already, 1 left out before.\n")
    assert "left out before: left out" in again.out
    assert "Kept: 1" in call("settle", "import", bank, "--keep", "--add", "2").out


def test_what_is_not_understood_ends_with_2_until_it_is_passed_over(call, shop, bank):
    Path(bank).write_text(BANK + "soon;-1,00;a;b\n", encoding="utf-8")
    told = call("settle", "import", bank)
    assert (told.code, "line 4: “soon” is no day" in told.out) == (2, True)
    kept = call("settle", "import", bank, "--keep")
    assert (kept.code, "1 lines of bank.csv are not understood" in kept.err) == (2, True)
    assert shop.current(Posting) == []
    assert call("settle", "import", bank, "--keep", "--good-rows").code == 0
    assert len(shop.current(Posting)) == 2


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--column", "date"), "Write it as date=Datum"),
        (("--column", "horse=Datum"), "nothing is read from a column “horse”"),
        (("--keep", "--for", "x=lathe"), "is no line of the file"),
        (("--keep", "--bucket", "2=horse"), "It can be price"),
        (("--keep", "--for", "2=planer"), "there is no machine planer"),
        (("--machine", "planer"), "there is no machine planer"),
        (("--keep", "--leave", "77"), "has no row in line 77"),
        (("--write", "list.txt"), "neither CSV nor XLSX"),
    ],
)
def test_a_bad_option_is_named_and_nothing_is_kept(call, shop, bank, asked, said):
    told = call("settle", "import", bank, *asked)
    assert told.code == 2
    assert said in told.err
    assert shop.current(Posting) == []


def test_no_file_is_named(call, shop):
    assert "no file was named" in call("settle", "import").err
    assert call("settle", "import", "nowhere.csv").code == 2


def test_columns_of_the_owners_own_words_and_a_spreadsheet(call, shop, bank, tmp_path):
    path = tmp_path / "own.xlsx"
    path.write_bytes(xlsx_of([["Wanneer", "Hoeveel", "Wie"], ["2026-11-02", -12.5, "winder"]]))
    told = call("settle", "import", str(path), "--column", "date=Wanneer", "--column",
                "amount=hoeveel", "--column", "whom=Wie", "--keep")  # fmt: skip
    assert told.code == 0, told.err
    assert "“Wanneer” is read as date, as you said." in told.out
    assert shop.current(Posting)[0].fact.whom == "winder"


def test_a_closed_day_is_named(call, shop, bank):
    shop.add(BooksClosed(until_on="2026-11-02"), by="owner")
    told = call("settle", "import", bank)
    assert (told.code, "closed up to 2026-11-02" in told.out) == (2, True)


@pytest.mark.parametrize("kind", ["bank", "parts"])
def test_an_empty_table_to_fill_in(call, shop, tmp_path, kind):
    for ending in ("csv", "xlsx"):
        path = tmp_path / f"{kind}.{ending}"
        assert call("settle", "import", "--write", str(path), "--as", kind).code == 0
        assert as_csv(path.read_bytes(), path.name).startswith(b"date,")
