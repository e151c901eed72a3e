"""A bank file on its pages: sent, shown, ticked, kept; as a plain form, without a script."""

from __future__ import annotations

from decimal import Decimal

import httpx
import pytest
from tests.web.bare import bare_lot
from tests.web.visitor import File, Visitor, text_of, values

from retrue.records.settling import BooksClosed, Posting
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv

BANK = """\
Boekdatum;Bedrag;Naam tegenpartij;Mededeling;Saldo
02/11/2026;-1.250,00;Lagerwinkel Gent;kogellagers freesmachine;10.000,00
03/11/2026;-45,50;Oliehandel <b>;smeerolie;9.954,50
24/11/2026;100,00;Buurman;huur;10.054,50
"""
MIXED = "date;amount;name\n2026-11-02;-1,50;a\n2026-11-03;-1.25;b\n"


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    bare_lot(kept)
    return kept


def sent(text: str | bytes, name: str = "bank.csv") -> list[File]:
    content = text.encode() if isinstance(text, str) else text
    return [("table", (name, content, "text/csv"))]


def test_a_file_is_shown_ticked_and_kept(owner: Visitor, shop: RecordShop) -> None:
    page = owner.post("/settle/import/read", {}, sent(BANK))
    assert page.status_code == 200, text_of(page)
    text = text_of(page)
    assert "3 new." in text
    assert "Oliehandel <b>" in text
    assert "by the word “freesmachine”" in text
    assert shop.current(Posting) == []
    assert values(page, "row") == ["2", "3", "4"]
    ticked = {
        "kept": values(page, "kept")[0], "name": "bank.csv", "row": ["2", "3", "4"],
        "deed-2": "add", "deed-4": "add", "sort-4": "sold", "bucket-2": "tooling",
        "tax-2": "21",
    }  # fmt: skip
    done = owner.post("/settle/import/keep", ticked)
    assert "Kept: 2 lines." in text_of(done)
    first, second = (one.fact for one in shop.current(Posting))
    assert (first.bucket, second.sort) == ("tooling", "sold")
    assert (first.tax_rate, second.tax_rate) == (Decimal("0.21"), None)
    again = owner.post("/settle/import/read", {}, sent(BANK))
    assert "2 in the book already, 1 left out before." in text_of(again)
    assert "There is nothing new" not in text_of(again)
    back = {"kept": values(again, "kept")[0], "name": "bank.csv", "row": ["3"], "deed-3": "add"}
    assert "Kept: 1 lines." in text_of(owner.post("/settle/import/keep", back))
    last = owner.post("/settle/import/read", {}, sent(BANK))
    assert "3 in the book already." in text_of(last)
    assert "There is nothing new" in text_of(last)


def test_a_tax_that_is_none_is_named_with_its_line_and_what_was_typed_stays(
    owner: Visitor, shop: RecordShop
) -> None:
    page = owner.post("/settle/import/read", {}, sent(BANK))
    assert "tells no tax" in text_of(page)
    form = {"kept": values(page, "kept")[0], "name": "bank.csv", "row": ["2"], "deed-2": "add",
            "tax-2": "a lot"}  # fmt: skip
    told = owner.post("/settle/import/keep", form)
    assert told.status_code == 422
    assert "line 2: 'a lot' is no tax in per cent" in text_of(told)
    assert values(told, "tax-2") == ["a lot"]
    assert shop.current(Posting) == []


def test_a_lot_that_shares_a_row_is_picked(owner: Visitor, shop: RecordShop) -> None:
    page = owner.post("/settle/import/read", {}, sent(BANK))
    kept = values(page, "kept")[0]
    picked = next(one for one in _options(page, "for-2") if one and "|" not in one)
    mill = next(one for one in _options(page, "for-2") if "|" in one)
    form = {
        "kept": kept, "name": "bank.csv", "row": ["2", "3", "4"], "deed-2": "add",
        "deed-3": "add", "for-2": picked, "for-3": mill,
    }  # fmt: skip
    owner.post("/settle/import/keep", form)
    first, second = (one.fact for one in shop.current(Posting))
    assert (first.lot, first.machine) == (picked, None)
    assert f"{second.lot}|{second.machine}" == mill


def _options(page: httpx.Response, name: str) -> list[str]:
    text = page.text.split(f'name="{name}"')[1].split("</select>")[0]
    return [part.split('"')[0] for part in text.split('<option value="')[1:]]


def test_two_marks_are_told_with_their_lines_and_the_file_need_not_be_sent_again(
    owner: Visitor, shop: RecordShop
) -> None:
    page = owner.post("/settle/import/read", {}, sent(MIXED))
    assert page.status_code == 422
    assert "line 2: “-1,50” has a decimal comma" in text_of(page)
    assert "line 3: “-1.25” has a decimal point" in text_of(page)
    form = {"kept": values(page, "kept")[0], "name": "bank.csv", "decimal": "comma"}
    again = owner.post("/settle/import/read", form)
    assert "1 new, 1 not understood." in text_of(again)
    assert "line 3: “-1.25” is no amount with a decimal comma" in text_of(again)
    kept = owner.post("/settle/import/keep", form | {"row": ["2"], "deed-2": "add"})
    assert kept.status_code == 422
    assert shop.current(Posting) == []
    good = form | {"row": ["2"], "deed-2": "add", "good_rows": "yes"}
    assert "Kept: 1 lines." in text_of(owner.post("/settle/import/keep", good))


def test_a_column_is_said_to_be_another(owner: Visitor, shop: RecordShop) -> None:
    page = owner.post("/settle/import/read", {}, sent(BANK))
    form = {
        "kept": values(page, "kept")[0], "name": "bank.csv",
        "heading": ["Boekdatum", "Bedrag", "Mededeling"], "role": ["date", "amount", "whom"],
    }  # fmt: skip
    again = owner.post("/settle/import/read", form)
    assert "Naam tegenpartij” is not read" in text_of(again)
    owner.post("/settle/import/keep", form | {"row": ["2"], "deed-2": "add"})
    kept = [one.fact for one in shop.current(Posting)]
    assert [one.whom for one in kept] == ["kogellagers freesmachine", "smeerolie", "huur"]


def test_no_file_is_named(owner: Visitor, shop: RecordShop) -> None:
    page = owner.post("/settle/import/read", {})
    assert page.status_code == 422
    assert "no file was sent" in text_of(page)


def test_a_row_in_a_closed_part_is_named(owner: Visitor, shop: RecordShop) -> None:
    shop.add(BooksClosed(until_on="2026-11-02"), by="owner")
    page = owner.post("/settle/import/read", {}, sent(BANK))
    assert "line 2: the book is closed up to 2026-11-02" in text_of(page)


def test_many_rows_are_shown_in_part_and_kept_whole(owner: Visitor, shop: RecordShop) -> None:
    rows = [f"2026-11-{1 + n % 20:02d};-{n},10;w;d" for n in range(1, 451)]
    text = "\n".join(["Datum;Bedrag;Naam;Omschrijving", *rows])
    page = owner.post("/settle/import/read", {}, sent(text))
    assert "And 250 more" in text_of(page)
    shown = values(page, "row")
    assert len(shown) == 200
    form = {"kept": values(page, "kept")[0], "name": "b.csv", "row": shown}
    form |= {f"deed-{one}": "add" for one in shown[1:]}
    assert "Kept: 449 lines." in text_of(owner.post("/settle/import/keep", form))


@pytest.mark.parametrize("kind", ["bank", "parts"])
def test_an_empty_table_goes_out_as_both(owner: Visitor, shop: RecordShop, kind: str) -> None:
    flat = owner.get(f"/settle/import/{kind}.csv")
    packed = owner.get(f"/settle/import/{kind}.xlsx")
    assert flat.content.startswith(b"date,")
    assert as_csv(packed.content, "t.xlsx") == flat.content
    assert owner.get("/settle/import/horses.csv").status_code == 404
    assert 'href="/settle/import/parts.xlsx"' in owner.get("/settle/import").text
