"""Cells of a bank file: amounts, days, lines and columns are read whole or named.

Oracles: ISO 80000-1:2009, 7.3.2 (decimal sign a comma or a point, digits grouped by a space; from
memory), ISO 8601-1:2019 (days; from memory), RFC 4180 (quotes), and by hand.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.settle.bring_amounts import Amount, amount_of, decimal_mark
from retrue.cases.settle.bring_columns import ROLES_OF, read_columns
from retrue.cases.settle.bring_days import day_of_cell, day_order
from retrue.cases.settle.bring_sheet import read_sheet
from retrue.cases.settle.bring_tax import tax_in_heading, tax_share
from retrue.cases.settle.bring_template import COLUMNS
from retrue.cases.settle.bring_words import ROLES, plain

ON = date(2026, 11, 26)


def amount(text: str, sign: int = 0, currency: str = "") -> Amount:
    return Amount(Decimal(text), sign, currency)


@pytest.mark.parametrize(
    ("cell", "mark", "read"),
    [
        ("1234,56", "comma", amount("1234.56")),
        ("1.234,56", "comma", amount("1234.56")),
        ("1 234,56", "comma", amount("1234.56")),  # ISO 80000-1: a small space between groups
        ("1\u202f234\u202f567,5", "comma", amount("1234567.5")),
        ("1'234.56", "point", amount("1234.56")),
        ("1,234,567.89", "point", amount("1234567.89")),
        ("-12,50", "comma", amount("12.50", -1)),
        ("\u221212,50", "comma", amount("12.50", -1)),
        ("12,50-", "comma", amount("12.50", -1)),
        ("(12.50)", "point", amount("12.50", -1)),
        ("(€ 1.250,00)", "comma", amount("1250.00", -1, "EUR")),
        ("12.50 DR", "point", amount("12.50", -1)),
        ("12.50CR", "point", amount("12.50", 1)),
        ("+12.50", "point", amount("12.50", 1)),
        ("12,50 S", "comma", amount("12.50", -1)),
        ("€ -12,50", "comma", amount("12.50", -1, "EUR")),
        ("12,50 CHF", "comma", amount("12.50", 0, "CHF")),
        ("12,-", "comma", amount("12")),  # as prices are written: twelve, not minus twelve
        ("12,--", "comma", amount("12")),
        (".5", "point", amount("0.5")),
        ("0", "comma", amount("0")),
    ],
)
def test_an_amount_is_read_as_it_is_written(cell, mark, read):
    assert amount_of(cell, mark) == read


@pytest.mark.parametrize(
    ("cell", "mark", "why"),
    [
        ("12.50", "comma", "no amount with a decimal comma"),
        ("1,2,3", "point", "no amount with a decimal point"),
        ("1.23.456", "comma", "no amount with a decimal comma"),
        ("1 23", "comma", "no amount"),
        ("twelve", "comma", "no amount"),
        ("", "comma", "no amount"),
        ("=1+2", "point", "a formula"),
        ("(12", "point", "two signs"),
        ("-12 CR", "point", "two signs"),
        ("12.50 XYX", "point", "XYX is no currency"),
        ("1" * 61, "point", "no amount"),
        ("1" * 20, "point", "too large"),
        ("1e5", "point", "no amount"),
        ("12 pieces", "point", "no amount"),
        ("€ 12 CHF", "point", "two currencies"),
    ],
)
def test_what_is_no_amount_is_named(cell, mark, why):
    with pytest.raises(ValueError, match=why):
        amount_of(cell, mark)


@pytest.mark.parametrize(
    ("cells", "mark"),
    [
        (["12,50", "1.250"], "comma"),
        (["12.50", "1,250"], "point"),
        (["1.250,00"], "comma"),
        (["1.250.000"], "comma"),  # a decimal mark stands once
        (["1,250,000"], "point"),
        (["0,125"], "comma"),  # no thousand begins with nothing
        (["1234,567"], "comma"),  # four digits stand before no mark of thousands
        (["1 234,567"], "comma"),
        (["12,-"], "comma"),
        (["12", "-7"], "point"),
        ([], "point"),
    ],
)
def test_the_decimal_mark_is_found_from_all_amounts(cells, mark):
    assert decimal_mark(list(enumerate(cells, 2)), "bank.csv") == mark


def written(cents: int, mark: str, group: str) -> str:
    whole = f"{abs(cents) // 100:,}".replace(",", group)
    return f"{'-' if cents < 0 else ''}{whole}{mark}{abs(cents) % 100:02d}"


@pytest.mark.parametrize("group", ["", " ", "\u202f", "'", "other"])
@pytest.mark.parametrize(("name", "mark"), [("comma", ","), ("point", ".")])
def test_what_is_written_in_any_of_the_ways_is_read_back_to_the_cent(name, mark, group):
    """Amounts from a cent to some millions, written by Python's own grouping."""
    between = {"comma": ".", "point": ","}[name] if group == "other" else group
    every = [sign * (7 * n**3 + n) for n in range(1, 400) for sign in (-1, 1)]
    cells = [written(cents, mark, between) for cents in every]
    assert decimal_mark(list(enumerate(cells)), "bank.csv") == name
    read = [amount_of(cell, name) for cell in cells]
    assert [int(one.value * 100) * (one.sign or 1) for one in read] == every


def test_two_marks_are_refused_with_both_lines_and_what_to_do():
    cells = [(2, "1.250"), (3, "-12,50"), (4, "7,00"), (5, "3.75")]
    with pytest.raises(Unusable) as refusal:
        decimal_mark(cells, "bank.csv")
    assert [one.where for one in refusal.value.problems] == ["line 3", "line 5"]
    assert "--decimal" in refusal.value.remedy
    assert decimal_mark(cells, "bank.csv", "comma") == "comma"


def test_a_mark_before_three_digits_everywhere_is_asked():
    with pytest.raises(Unusable, match="means two things") as refusal:
        decimal_mark([(2, "1.250"), (3, "700")], "bank.csv")
    assert refusal.value.problems[0].where == "line 2"


@pytest.mark.parametrize(
    ("cell", "first", "day"),
    [
        ("2026-11-03", "", date(2026, 11, 3)),
        ("2026-11-03 00:00:00", "day", date(2026, 11, 3)),  # a cell of a spreadsheet
        ("20261103", "", date(2026, 11, 3)),
        ("2026/11/03", "month", date(2026, 11, 3)),
        ("03/11/2026", "day", date(2026, 11, 3)),
        ("03/11/2026", "month", date(2026, 3, 11)),
        ("3.11.26", "day", date(2026, 11, 3)),
        ("3 nov 2026", "", date(2026, 11, 3)),
        ("3 décembre 2026", "", date(2026, 12, 3)),
        ("3. März 2026", "", date(2026, 3, 3)),
        ("3 maart 2026", "month", date(2026, 3, 3)),
        ("03/11/2026 14:05", "day", date(2026, 11, 3)),
        ("29/02/2024", "day", date(2024, 2, 29)),
    ],
)
def test_a_day_is_read_as_it_is_written(cell, first, day):
    assert day_of_cell(cell, first) == day


@pytest.mark.parametrize("cell", ["", "31/02/2026", "29/02/2026", "soon", "2026-13-01", "0/0/00",
                                  "12345", "1/1/1"])  # fmt: skip
def test_what_is_no_day_is_named(cell):
    with pytest.raises(ValueError, match="no day"):
        day_of_cell(cell, "day")


@pytest.mark.parametrize(
    ("cells", "first"),
    [
        (["03/11/2026", "25/11/2026"], "day"),
        (["03/11/2026", "11/25/2026"], "month"),
        (["3.11.2026"], "day"),
        (["2026-11-03"], ""),
        (["05/05/2026", "11/11/2026"], ""),
    ],
)
def test_which_goes_first_is_found_from_all_days(cells, first):
    assert day_order(list(enumerate(cells, 2)), "bank.csv", on=ON).first == first


def test_what_would_lie_ahead_of_today_was_not_meant():
    """9 December 2026 is to come on 26 November: month first gives 12 September."""
    order = day_order([(2, "09/12/2026"), (3, "03/04/2026")], "bank.csv", on=ON)
    assert order.first == "month"
    assert "line 2" in order.why


def test_two_orders_are_refused_with_both_lines():
    with pytest.raises(Unusable) as refusal:
        day_order([(2, "03/11/2026"), (3, "25/11/2026"), (4, "11/25/2026")], "bank.csv", on=ON)
    assert [one.where for one in refusal.value.problems] == ["line 3", "line 4"]
    assert "--dates" in refusal.value.remedy


def test_a_day_that_may_be_two_is_asked():
    cells = [(2, "03/05/2025")]
    with pytest.raises(Unusable, match="means two days"):
        day_order(cells, "bank.csv", on=ON)
    assert day_order(cells, "bank.csv", on=ON, wanted="month").first == "month"


def known(cells):
    return sum(cell in ("day", "sum", "whom") for cell in cells)


def test_lines_keep_their_number_through_blank_ones_and_quotes():
    text = 'account 1\n\nday;sum;whom\n2026-11-02;5;"a ""b""\nc"\n;;\n2026-11-03;6;d\n'
    sheet = read_sheet(text.encode(), "bank.csv", known)
    assert sheet.mark == ";"
    assert [line.number for line in sheet.rows] == [4, 7]
    assert sheet.rows[0].cells == ("2026-11-02", "5", 'a "b" c')
    assert [line.number for line in sheet.above] == [1]
    assert sheet.blank == (2, 6)


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_every_coding_and_mark_gives_the_same_cells(coding, mark):
    text = f"day{mark}sum{mark}whom\r\n2026-11-02{mark}5{mark}Café Zoë\r\n"
    sheet = read_sheet(text.encode(coding), "bank.csv", known)
    assert sheet.heading.cells == ("day", "sum", "whom")
    assert sheet.rows[0].cells == ("2026-11-02", "5", "Café Zoë")


@pytest.mark.parametrize("content", [b"", b"\n\n", b";;;\n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_named(content):
    with pytest.raises(Unreadable, match="is empty"):
        read_sheet(content, "bank.csv", known)


def test_a_heading_alone_is_named():
    with pytest.raises(Unreadable, match="nothing below it"):
        read_sheet(b"day;sum;whom\n", "bank.csv", known)


def test_a_picture_is_no_table():
    with pytest.raises(Unreadable, match="no table"):
        read_sheet(b"\x89PNG\x00\x00", "receipt.png", known)


def test_a_quote_that_is_not_closed_is_named_with_its_line():
    with pytest.raises(Unusable, match="line 3") as refusal:
        read_sheet(b'day;sum;whom\n2026-11-02;5;a\n2026-11-03;6;"b\n', "bank.csv", known)
    assert refusal.value.problems[0].where == "line 3"


HEADINGS = {
    "en": "Date,Value date,Amount,Currency,Counterparty,Description,Reference,Balance",
    "nl": "Boekdatum,Valutadatum,Bedrag,Munt,Naam tegenpartij,Mededeling,Referte,Saldo",
    "fr": "Date de l'opération,Date valeur,Montant,Devise,Contrepartie,Communication,Référence,"
          "Solde",
    "de": "Buchungstag,Wertstellung,Betrag,Währung,Empfänger,Verwendungszweck,Kundenreferenz,"
          "Kontostand",
}  # fmt: skip
WHOLE = ("date", "value_date", "amount", "currency", "whom", "what", "reference", "balance")


@pytest.mark.parametrize("language", HEADINGS)
def test_columns_are_known_in_four_languages(language):
    row = "2026-11-02,2026-11-02,-5.00,EUR,winder,coil,R1,100.00"
    content = f"{HEADINGS[language]}\n{row}\n".encode()
    _, found = read_columns(content, "bank.csv", own={}, kind=None)
    assert found.kind == "bank"
    assert {role: at for at, role in enumerate(WHOLE)} == dict(found.at)


@pytest.mark.parametrize(
    "heading", ["Debit;Credit", "Debet;Credit", "Débit;Crédit", "Soll;Haben", "Af;Bij",
                "Money out;Money in"],
)  # fmt: skip
def test_two_columns_of_amounts_are_out_and_in(heading):
    _, found = read_columns(
        f"Date;{heading}\n02/11/2026;5,00;\n".encode(), "bank.csv", own={}, kind=None
    )
    assert dict(found.at) == {"date": 0, "out": 1, "in": 2}


def test_valuta_is_a_currency_or_a_day_as_its_cells_say():
    """Dutch files name the currency so, German ones the day on which interest begins."""
    money = b"Datum;Bedrag;Valuta\n2-11-2026;-5,00;EUR\n"
    day = b"Datum;Betrag;Valuta\n2.11.2026;-5,00;3.11.2026\n"
    assert read_columns(money, "a.csv", own={}, kind=None)[1].at["currency"] == 2
    assert read_columns(day, "b.csv", own={}, kind=None)[1].at["value_date"] == 2


def test_a_list_of_parts_is_known_by_its_columns():
    content = b"Omschrijving;Aantal;Stukprijs;Totaal;BTW;Machine\nlager;2;10,00;20,00;21 %;mill\n"
    _, found = read_columns(content, "parts.csv", own={}, kind=None)
    assert found.kind == "parts"
    assert tuple(found.at) == ("what", "quantity", "unit_price", "total", "tax", "machine")


def test_the_owner_says_which_column_is_which():
    content = b"Wanneer;Hoeveel;Rest\n2-11-2026;-5,00;x\n"
    with pytest.raises(Unusable, match="no line names the columns"):
        read_columns(content, "bank.csv", own={}, kind=None)
    own = {"date": "wanneer", "amount": "Hoeveel"}
    _, found = read_columns(content, "bank.csv", own=own, kind=None)
    assert dict(found.at) == {"date": 0, "amount": 1}
    assert [one.said for one in found.columns] == [True, True, False]


@pytest.mark.parametrize(
    ("own", "why"),
    [
        ({"date": "Nothing"}, "no column"),
        ({"dat": "Datum"}, "nothing is read from a column"),
    ],
)
def test_a_column_that_is_none_is_named(own, why):
    with pytest.raises(Unusable, match=why):
        read_columns(b"Datum;Bedrag\n2-11-2026;-5,00\n", "bank.csv", own=own, kind=None)


def test_a_column_that_lacks_is_named_with_those_that_are_there():
    with pytest.raises(Unusable, match="no column for amount") as refusal:
        read_columns(b"Datum;Naam;Saldo\n2-11-2026;x;5,00\n", "bank.csv", own={}, kind="bank")
    assert "Naam" in refusal.value.remedy


@pytest.mark.parametrize("kind", COLUMNS)
def test_the_empty_table_is_known_by_its_own_words(kind):
    cells = {"date": "2026-11-02", "currency": "EUR"}
    row = ",".join(cells.get(name, "5") for name in COLUMNS[kind])
    content = f"{','.join(COLUMNS[kind])}\n{row}\n".encode()
    _, found = read_columns(content, "t.csv", own={}, kind=None)
    assert found.kind == kind
    assert all(one.role for one in found.columns)


def test_every_word_of_a_heading_is_written_plainly():
    assert all(plain(word) == word for words in ROLES.values() for word in words)
    assert {role for roles in ROLES_OF.values() for role in roles} == ROLES.keys()


@pytest.mark.parametrize(
    ("cell", "share"),
    [("21", "0.21"), ("21 %", "0.21"), ("0.06", "0.06"), ("5.5%", "0.055"), ("0", "0"),
     ("130.20", None), ("", None), ("ordinary", None)],
)  # fmt: skip
def test_a_rate_of_tax_is_a_share(cell, share):
    assert tax_share(cell, "point") == (None if share is None else Decimal(share))


def test_a_heading_says_whether_the_tax_is_in():
    assert tax_in_heading(["Total", "Prix HT"]) is False
    assert tax_in_heading(["Totaal incl. btw"]) is True
    assert tax_in_heading(["Total"]) is None
