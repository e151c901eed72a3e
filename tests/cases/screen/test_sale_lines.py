"""Files in which the terms of the sale stand above the headings, below the lots, or among them.

Oracles: by hand; ISO/IEC 29500-1 as xlsxwriter writes it (merged cells, shares of a hundred);
RFC 4180 (CSV).
"""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from tests.cases.screen.catalogues import left, read, rows, said

from retrue.cases.screen.listing import Listing
from retrue.store.spreadsheet import as_csv

DUTCH = rows(
    "Sluiting vaklokaal metaal, openbare verkoop;;;;;",
    "Opgeld 18 %, te vermeerderen met btw 21 %;;;;;",
    ";;;;;",
    "Kavel;Omschrijving;Bouwjr.;Gew. (kg);Startprijs;Opm.",
    "1;CNC-draaibank, schuinbed;2004;3.800,5;€ 1.200,-;",
    "2;Verticaal bewerkingscentrum;2002;4.200,0;€ 1.500,-;opgeld 12 % op dit kavel",
    "3;Werkbank met bankschroef;;;€ 60,-;10 % korting bij contante betaling",
    "4;Vlakslijpmachine, opgeld 15 %;1991;;€ 350,-;bel 018 21 18 21",
    ";;;;;",
    "Afhalen uiterlijk vrijdag 11 december;;;;;",
    "Inlichtingen: tel. 09 018 45 67 (na 18 u);;;;;",
)


def sale(listing: Listing) -> list[tuple[int, str, str, str]]:
    return [(one.line, one.how, one.field, one.value) for one in listing.sale]


def terms(listing: Listing, field: str) -> dict[str, Any]:
    return {
        lot.number: getattr(lot.case.terms, field) for lot in listing.lots if lot.case is not None
    }


@pytest.mark.parametrize("coding", ["cp1252", "utf-8", "utf-8-sig", "utf-16"])
def test_terms_above_and_below_count_for_every_lot_that_has_none_of_its_own(coding):
    listing = read(DUTCH.encode(coding))
    assert sale(listing) == [
        (2, "understood", "premium", "0.18"),
        (2, "understood", "tax_rate", "0.21"),
        (10, "guessed", "removal_by", "2026-12-11"),
    ]
    assert terms(listing, "premium") == {"1": 0.18, "2": 0.12, "4": 0.15}
    assert set(terms(listing, "tax_rate").values()) == {0.21}
    assert set(terms(listing, "removal_by").values()) == {"2026-12-11"}
    assert listing.lots[0].case.machines[0].mass_kg == 3800.5
    assert not any("premium" in lot.gaps for lot in listing.lots)


def test_each_line_is_told_with_what_it_is():
    listing = read(DUTCH)
    assert [(one.line, one.why) for one in listing.others] == [
        (1, "it stands above the heading"),
        (2, "it speaks of the whole sale"),
        (3, "it is empty"),
        (4, "it names the columns"),
        (9, "it is empty"),
        (10, "it speaks of the whole sale"),
        (11, "a remark: it says nothing of a lot"),
    ]
    assert [lot.number for lot in listing.lots] == ["1", "2", "3", "4"]


def test_what_a_lot_says_is_its_own_and_a_discount_or_a_telephone_is_nothing():
    listing = read(DUTCH)
    by = {lot.number: lot for lot in listing.lots}
    assert said(by["2"], "premium").text == "opgeld 12 % op dit kavel"
    assert said(by["4"], "premium").text == "Vlakslijpmachine, opgeld 15 %"
    assert left(by["3"], "10 % korting bij contante betaling")
    assert left(by["4"], "bel 018 21 18 21") == "no word or number of it is known"


def test_what_the_owner_typed_stands_before_the_file():
    listing = read(DUTCH, premium=0.1, tax_rate=0.06, removal_days=3.0)
    assert terms(listing, "premium") == {"1": 0.1, "2": 0.12, "4": 0.15}
    assert set(terms(listing, "tax_rate").values()) == {0.06}
    assert set(terms(listing, "removal_by").values()) == {None}
    assert {(one.how, one.why, one.asks) for one in listing.sale} == {
        ("ignored", "you said it yourself", False)
    }


def test_two_lines_that_contradict_one_another_do_not_count_and_are_asked():
    text = rows(
        "Opgeld 18 %", "Kavel;Titel", "1;CNC lathe", "Opgeld 20 %;", "Btw 21 %;", "Btw 21%;"
    )
    listing = read(text)
    assert terms(listing, "premium") == {"1": None}
    assert terms(listing, "tax_rate") == {"1": 0.21}
    asked = [one for one in listing.sale if one.asks]
    assert [(one.line, one.values) for one in asked] == [(1, (0.18,)), (4, (0.20,))]
    assert {one.why for one in asked} == {"lines 1, 4 do not say the same"}
    typed = read(text, premium=0.2)
    assert not any(one.asks for one in typed.sale)


@pytest.mark.parametrize(
    ("line", "field", "values"),
    [
        ("Buyer's premium 18 % (online 21 %)", "premium", (0.18, 0.21)),
        ("Premium VAT 18 %", "premium", (0.18,)),
        ("Collection by Friday 12 December", "removal_days", ()),
    ],
)
@pytest.mark.parametrize("below", [True, False])
def test_what_cannot_be_told_stays_told_and_is_asked(line, field, values, below):
    lots = ["Lot;What", "1;CNC lathe"]
    listing = read(rows(*([*lots, line] if below else [line, *lots])))
    asked = {one.field: one for one in listing.sale if one.asks}
    assert asked[field].values == values
    assert asked[field].text == line
    assert getattr(listing.lots[0].case.terms, field) is None
    assert [lot.number for lot in listing.lots] == ["1"]


def test_the_currency_of_the_sale_is_that_of_amounts_that_name_none():
    text = rows("All prices in CHF", "Lot;What;Price", "1;CNC lathe;900", "2;VMC;EUR 800")
    listing = read(text)
    assert {lot.number: lot.case.lot.currency for lot in listing.lots} == {"1": "CHF", "2": "EUR"}
    assert not [one for lot in listing.lots for one in lot.said if one.how == "guessed"]
    typed = read(text, currency="EUR")
    assert {lot.case.lot.currency for lot in typed.lots} == {"EUR"}
    heading = read(text.replace("Price", "Price EUR"))
    assert {lot.case.lot.currency for lot in heading.lots} == {"EUR"}
    assert [one.why for one in heading.sale] == ["a heading says EUR"]


def test_amounts_in_thousands_stay_told_whoever_types_the_currency():
    text = rows("Preise in TEUR", "Los;Bezeichnung;Preis", "1;CNC-Drehmaschine;900")
    for about in ({}, {"currency": "EUR"}):
        (one,) = read(text, **about).sale
        assert (one.field, one.asks) == ("thousands", True)
        assert one.why == "its amounts are in thousands: write them in full in the file"


@pytest.mark.parametrize(
    ("above", "values"),
    [
        (("Premium 18 %", "up to 10000 EUR, above that 15 %"), (0.18, 0.15)),
        (("Premium 18 %", "minimum 50 EUR"), (0.18,)),
        (("Premium", "18 %"), (0.18,)),
    ],
)
def test_a_line_that_goes_on_about_the_share_above_it_narrows_it(above, values):
    listing = read(rows(*above, "Lot;What;Price", "1;CNC lathe;900"))
    (one,) = listing.sale
    assert (one.line, one.field, one.values, one.asks) == (1, "premium", values, True)
    assert terms(listing, "premium") == {"1": None}


def test_terms_as_names_and_values_side_by_side_are_no_headings():
    text = rows("Premium;18 %;VAT;21 %;Currency;CHF", "Lot;What;Price", "1;CNC lathe;900")
    listing = read(text)
    assert sale(listing) == [
        (1, "understood", "premium", "0.18"),
        (1, "understood", "tax_rate", "0.21"),
        (1, "understood", "currency", "CHF"),
    ]


@pytest.mark.parametrize("order", [1, -1])
def test_days_and_a_day_that_are_both_named_are_asked(order):
    lines = ("Removal within 14 days", "Collection by 11 December 2026")[::order]
    listing = read(rows(*lines, "Lot;What", "1;CNC lathe"), closes_at="2026-12-03T18:00+01:00")
    assert {(one.how, one.why) for one in listing.sale} == {
        ("ignored", "a day and a number of days are both named")
    }
    assert terms(listing, "removal_days") == {"1": None}


TERMS = (
    "Opgeld 18 %", "Premium 18 % (online 21 %)", "Btw 21 %", "VAT 6 %", "All prices in CHF",
    "Removal within 14 days", "Collection by 11 December 2026", "Margin scheme", "No premium",
    "Tax comes back to a business",
)  # fmt: skip


@given(st.lists(st.sampled_from(TERMS), unique=True, max_size=5), st.randoms(use_true_random=False))
def test_what_counts_does_not_hang_on_the_order_of_the_lines(lines, chance):
    others = list(lines)
    chance.shuffle(others)
    one, other = (
        read(rows(*each, "Lot;What;Price", "1;CNC lathe;900")) for each in (lines, others)
    )
    assert one.lots[0].case == other.lots[0].case
    told = [{(each.text, each.field, each.how) for each in made.sale} for made in (one, other)]
    assert told[0] == told[1]


def test_the_same_terms_as_csv_spreadsheet_and_toml_say_the_same():
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ("Premium", 0.18))
        sheet.write_row(1, 0, ("VAT", 0.21))
        sheet.write_row(2, 0, ("Currency", "CHF"))
        sheet.write_row(3, 0, ("Removal within 14 days",))
        sheet.write_row(4, 0, ("Lot", "What", "Price"))
        sheet.write_row(5, 0, (1, "CNC lathe", 900))
    table = rows("Premium 18 %", "VAT 21 %", "Currency: CHF", "Removal within 14 days",
                 "Lot;What;Price", "1;CNC lathe;900")  # fmt: skip
    toml = rows("[catalogue]", "premium = 0.18", "tax_rate = 0.21", 'currency = "CHF"',
                "removal_days = 14", "[[lot]]", "number = 1", 'title = "CNC lathe"',
                "asking = 900")  # fmt: skip
    made = (read(table), read(as_csv(out.getvalue(), "sale.xlsx", merged=True), "sale.xlsx"),
            read(toml, "sale.toml"))  # fmt: skip
    assert [{one.field: one.value for one in listing.sale} for listing in made] == [
        {"premium": "0.18", "tax_rate": "0.21", "currency": "CHF", "removal_days": "14"}
    ] * 3
    first, *others = (listing.lots[0].case for listing in made)
    assert all(one.terms == first.terms and one.lot.currency == "CHF" for one in others)


def test_prices_that_hold_their_tax_are_taken_without_it():
    """1 210 with 21 % in it is 1 000, by hand."""
    text = rows("Alle prijzen incl. 21 % btw", "Kavel;Titel;Prijs", "1;CNC lathe;1.210,00",
                "2;VMC;1.000,00 excl. btw")  # fmt: skip
    one, other = read(text).lots
    assert {one.case.terms.asking, other.case.terms.asking} == {Decimal(1000)}
    assert [told.why for told in one.said if told.field == "asking"][-1] == (
        "without the tax that it holds, at 21 %"
    )


def test_a_day_until_lots_must_be_gone_counts_from_when_they_close():
    """From the 3rd to the 11th are eight days."""
    closes = {"closes_at": "2026-12-03T18:00+01:00"}
    assert terms(read(DUTCH, **closes), "removal_days") == dict.fromkeys("124", 8.0)
    why = "it counts where it is known when the sale closes: type that"
    assert [why in one.why for one in read(DUTCH).sale] == [False, False, True]
    assert not any(why in one.why for one in read(DUTCH, **closes).sale)
    assert terms(read(DUTCH), "removal_days") == dict.fromkeys("124")


def test_the_lines_of_one_scheme_of_tax_and_of_a_rate_contradict_one_another():
    text = rows("Margin scheme", "Lot;What;Tax", "1;CNC lathe;", "2;VMC;21 %")
    listing = read(text)
    assert terms(listing, "tax_scheme") == {"1": "margin", "2": "margin"}
    both = read(text + "VAT 21 %;;\n")
    assert terms(both, "tax_scheme") == {"1": None, "2": None}
    assert [one.field for one in both.sale if one.asks] == ["tax_scheme"]


def test_terms_in_cells_of_their_own_are_no_headings():
    text = rows("Opgeld 18 %;btw 21 %;Valuta CHF;Afhalen binnen 10 dagen",
                "Kavel;Omschrijving;Bouwjaar;Prijs", "1;CNC lathe;1999;900")  # fmt: skip
    listing = read(text)
    assert [one.role for one in listing.columns] == ["number", "title", "year", "asking"]
    assert {one.field for one in listing.sale} == {
        "premium", "tax_rate", "currency", "removal_days",
    }  # fmt: skip


def spreadsheet() -> bytes:
    """Terms as label and value, a share as a share of one, a note over all columns below."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        share = book.add_format({"num_format": "0 %"})
        sheet.merge_range(0, 0, 0, 3, "Auflösung einer Lehrwerkstatt, alle Preise in CHF")
        sheet.write(1, 0, "Aufgeld")
        sheet.write(1, 1, 0.18, share)
        sheet.write(2, 0, "MwSt (%)")
        sheet.write(2, 1, 8.1)
        for x, cell in enumerate(("Los", "Bezeichnung", "Baujahr", "Preis")):
            sheet.write(4, x, cell)
        for x, cell in enumerate((1, "CNC-Drehmaschine", 2006, 5500)):
            sheet.write(5, x, cell)
        sheet.merge_range(7, 0, 7, 3, "Abholung bis Freitag, 11. Dezember 2026 (Tel. 044 123 18)")
    return out.getvalue()


def test_a_spreadsheet_with_labels_shares_and_merged_notes():
    listing = read(as_csv(spreadsheet(), "sale.xlsx", merged=True), "sale.xlsx")
    assert sale(listing) == [
        (1, "understood", "currency", "CHF"),
        (2, "understood", "premium", "0.18"),
        (3, "understood", "tax_rate", "0.081"),
        (8, "guessed", "removal_by", "2026-12-11"),
    ]
    (lot,) = listing.lots
    assert (lot.case.lot.currency, lot.case.terms.asking) == ("CHF", Decimal(5500))
    assert lot.case.terms.premium == 0.18


def test_a_lot_says_what_is_its_own_and_what_narrows_it_is_left_with_the_reason():
    listing = read(rows("No premium", "Lot;What;Remark", "1;CNC lathe;no premium on this lot",
                        "2;CNC lathe;premium 18 % up to 10000", "3;CNC lathe;opgeld 18-22 %",
                        "4;VMC;Premium-quality, 18 % used", "5;VMC;VAT 21 %",
                        "no premium on this lot"))  # fmt: skip
    # two lines of the sale, one of them of some lots only; the first lot says its own
    assert terms(listing, "premium") == {"1": 0.0, **dict.fromkeys("2345")}
    assert terms(listing, "tax_rate") == {**dict.fromkeys("1234"), "5": 0.21}
    by = {lot.number: lot for lot in listing.lots}
    assert left(by["2"], "premium 18 % up to 10000") == "“up to” stands beside it"
    assert left(by["3"], "opgeld 18-22 %") == "it may be one figure or the other"


@pytest.mark.parametrize("heading", ["Remark", "Qwx", ""])
def test_a_premium_in_a_column_that_nobody_knows_is_the_lots_own(heading):
    listing = read(rows("Premium 18 %", f"Lot;What;{heading}", "1;CNC lathe;premium 25 %",
                        "2;CNC lathe;hall 4", "3;VMC;premium 10-12 %"))  # fmt: skip
    assert terms(listing, "premium") == {"1": 0.25, "2": 0.18, "3": 0.18}
    assert left(listing.lots[2], "premium 10-12 %") == "it may be one figure or the other"


@pytest.mark.parametrize("above", ["Removal within 14 days", "Collection by 15 December 2026"])
def test_a_lots_own_day_stands_before_that_of_the_sale(above):
    """From the 3rd to the 5th are two days; to the 15th, twelve."""
    table = rows(above, "Lot;What;Removal by", "1;CNC lathe;2026-12-05", "2;VMC;")
    days = terms(read(table, closes_at="2026-12-03T18:00+01:00"), "removal_days")
    assert days == {"1": 2.0, "2": 14.0 if "14" in above else 12.0}


def test_another_sheet_of_a_spreadsheet_is_told():
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        for called, lot in (("Hall 1", "CNC lathe"), ("Halle \u00fc, R1C1:R2C2", "VMC")):
            sheet = book.add_worksheet(called.replace(":", " "))
            sheet.write_row(0, 0, ("Lot", "What"))
            sheet.write_row(1, 0, (1, lot))
        book.add_worksheet("empty")
    listing = read(as_csv(out.getvalue(), "sale.xlsx", merged=True), "sale.xlsx")
    assert [(one.line, one.text, one.why) for one in listing.others] == [
        (1, "Lot What", "it names the columns"),
        (3, "Halle \u00fc, R1C1 R2C2",
         "another sheet of the spreadsheet, not read: read it as a file of its own"),
    ]  # fmt: skip
    assert [lot.title for lot in listing.lots] == ["CNC lathe"]


def test_a_heading_that_names_a_share_names_it_for_all_below_it():
    listing = read(rows("Lot;What;Price excl. 18 % premium", "1;VMC;900"))
    assert sale(listing) == [(1, "understood", "premium", "0.18")]
    own = read(rows("Lot;What;Premium 15 %", "1;VMC;", "2;CNC lathe;12 %"))
    assert terms(own, "premium") == {"1": 0.15, "2": 0.12}


def test_terms_among_words_of_things_are_terms_where_no_lot_is_numbered():
    text = rows("Lot;What;Price", "1;VMC;900", ";All lots plus 18 % premium and 21 % VAT;",
                "2;Something, VAT 6 %;5")  # fmt: skip
    listing = read(text)
    assert sale(listing) == [
        (3, "understood", "premium", "0.18"), (3, "understood", "tax_rate", "0.21"),
    ]  # fmt: skip
    assert listing.lots[1].why == "nothing says what it is"  # a tax is no barrel


def test_a_lot_that_names_a_machine_is_a_lot_wherever_it_stands():
    text = rows("Lot;What", "1;VMC", ";CNC lathe, premium 20 %", "VAT 21 %;", "2;premium 15 %")
    listing = read(text)
    assert [lot.line for lot in listing.lots] == [2, 3, 5]
    assert terms(listing, "premium") == {"1": None, "line 3": 0.2}
