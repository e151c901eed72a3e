"""A table of lines without a shop: what the book writes is read again to the same sums."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.cases.settle.kept_lines import KEPT, posting, stands, with_lines

from retrue.base.refusals import Refusal, Unreadable, Unusable
from retrue.cases.settle.book_file import read_book
from retrue.cases.settle.book_json import flat
from retrue.cases.settle.book_table import table_rows
from retrue.cases.settle.ledger import book_of
from retrue.cases.settle.lines import Book
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import csv_of, xlsx_of

ON = date(2026, 11, 26)


def read(text: str | bytes, name: str = "lines.csv") -> Book:
    content = text.encode() if isinstance(text, str) else text
    return book_of(read_book(as_csv(content, name), name, currency="EUR", on=ON).kept)


def refused(text: str | bytes) -> Refusal:
    with pytest.raises((Unusable, Unreadable)) as caught:
        read(text)
    return caught.value


ROWS = "id,posted_on,sort,what,amount,currency,rate,rate_on,lot,machine,of\n"


@pytest.mark.parametrize("write", [csv_of, xlsx_of])
def test_written_and_read_again_it_says_the_same(write: Callable[[list[list[Any]]], bytes]) -> None:
    kept = with_lines(
        posting("bought", "7730.00", bucket="price", tax_rate=Decimal("0.21"), tax_in=False),
        posting("paid", "100.00", currency="CHF", rate=Decimal("1.0725"), rate_on="2026-11-19",
                machine="m", bucket="parts"),
        posting("returned", "40.00", currency="CHF", of="p2", lot=None),
        posting("sold", "3000.00", machine="t", tax_rate=Decimal("0.21"), paid_from="owed"),
        posting("moved", "300.00", machine="m", from_machine="t"),
        posting("deposit", "150.00", machine="m"),
    )  # fmt: skip
    book = book_of(kept)
    again = read(write(table_rows(kept, book)))
    named = {"m": "mill", "t": "lathe"}

    def renamed(sums: dict[tuple[str, str], Decimal]) -> dict[tuple[str, str], Decimal]:
        parts = {at: at[0].partition(":") for at in sums}
        return {(p[0] + p[1] + named.get(p[2], p[2]), at[1]): sums[at] for at, p in parts.items()}

    assert stands(again) == renamed(stands(book))
    assert again.by_bucket == book.by_bucket
    assert [line.id for line in again.lines] == [line.id for line in book.lines]


def test_names_are_machines_and_a_comma_is_a_decimal_mark() -> None:
    book = read("posted_on;sort;what;amount;machine\n2026-11-25;bought;belts;12,50;mill\n")
    assert book.lines[0].shares[0].machine_name == "mill"
    assert book.lines[0].in_shop == Decimal("12.50")


def test_rows_that_were_only_expected_are_left_out() -> None:
    text = "state,posted_on,sort,what,amount\nexpected,2026-11-20,bought,lot,6000\n"
    made = read_book(text.encode(), "lines.csv", currency="EUR", on=ON)
    assert (made.left_out, made.kept.postings) == (1, ())


def test_a_missing_rate_is_told_with_the_book() -> None:
    book = read(ROWS + "a,2026-11-20,bought,belts,9,NOK,,,,mill,\n")
    assert book.missing_rates == (("NOK", "2026-11-20"),)


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("a,2026-11-20,bought,belts,1.2.3,EUR,,,,mill,", "line 2: amount"),
        ("a,2026-11-20,bought,belts,-5,EUR,,,,mill,", "line 2: amount is -5"),
        ("a,2026-11-20,bought,belts,9,EUX,,,,mill,", "line 2: currency EUX is no currency"),
        ("a,2026-11-31,bought,belts,9,EUR,,,,mill,", "line 2: posted_on is '2026-11-31'"),
        ("a,2026-11-27,bought,belts,9,EUR,,,,mill,", "still to come"),
        ("a,2026-11-20,stolen,belts,9,EUR,,,,mill,", "line 2: sort is 'stolen'"),
        ("a,2026-11-20,returned,belts,9,EUR,,,,mill,b", "line 2: of is no row of this table"),
        ("a,2026-11-20,bought,,9,EUR,,,,mill,", "line 2: what is empty"),
        ("a,2026-11-20,bought,belts,9.001,EUR,,,,mill,", "more decimals than EUR has"),
        ("a,2026-11-20,bought,b,9,EUR,,,,m,\na,2026-11-20,bought,c,9,EUR,,,,m,",
         "line 3: id stands on line 2 too"),
        ("a,2026-11-20,bought,b,9,EUR,,,,m,\nc,2026-11-21,returned,b,9.01,EUR,,,,,a",
         "line 3: amount is € 9.01, more than the € 9.00"),
    ],
)  # fmt: skip
def test_a_bad_row_is_named_by_line_and_column(row: str, told: str) -> None:
    problems = " ".join(map(str, refused(ROWS + row).problems)).replace("\u202f", " ")
    assert told in problems


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (b"\xff\xfe", "is not UTF-8 text"),
        ("", "has"),
        ("a,b\n1,2\n", "posted_on: is missing"),
        ("posted_on,sort,what,amount,colour\n", "colour: is none of the book's columns"),
    ],
)
def test_what_is_no_book_is_refused(text: str | bytes, told: str) -> None:
    wrong = refused(text)
    assert told in f"{wrong.reason} {' '.join(map(str, wrong.problems))}" or told == "has"


def test_as_json_money_is_a_number_and_a_null_has_its_why() -> None:
    told = flat(book_of(with_lines(posting("bought", "100.01", split="equal"))))
    (line,) = told["lines"]
    assert (line["in_shop"], line["shares"][0]["amount"]) == (100.01, 50.01)
    nulls = {name for name, value in line.items() if value is None}
    assert nulls == set(line["why"])
    assert told["why"] == {"closed_until": "nothing is closed"}
    assert KEPT.currency == told["currency"]
