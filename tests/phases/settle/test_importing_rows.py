"""A bank file: every row is told, nothing is entered twice, all or nothing.

The files are invented, of a two-person workshop in Ghent. What must come out is by hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from tests.fakes.shop import TickingClock
from tests.phases.settle.banked import BANK, ON, keep, read, states, table, workshop

from retrue.base.refusals import NotYet, Unreadable, Unusable
from retrue.phases import settle
from retrue.records.chain import verify_chain
from retrue.records.facts import Machine
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import RecordShop
from retrue.store.shop import open_shop
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import xlsx_of

SHOPS = ("in memory",)  # the rules of add_all are tested on every shop in tests/store


@pytest.fixture
def lot(shop: RecordShop) -> str:
    return workshop(shop)


def test_every_line_is_told_and_only_what_moved_is_added(shop, lot, kinds):
    told = read(shop, BANK.encode("cp1252"), kinds)
    assert states(told) == {3: "new", 4: "new", 6: "new", 9: "new", 10: "skipped"}
    assert any("Line 1" in text for text in told.ignored)
    assert any("Blank lines: 1" in text for text in told.ignored)
    assert (told.kind, told.decimal, told.dates) == ("bank", "comma", "day")
    bearings, oil, same, rent = keep(shop, told)
    machine = {one.fact.name: one.id for one in shop.current(Machine)}
    assert bearings == Posting(
        sort="paid", posted_on="2026-11-02", what="kogellagers freesmachine",
        amount=Decimal("1250.00"), currency="EUR", whom="Lagerwinkel Gent", text="R1",
        bucket="parts", lot=lot, machine=machine["bed mill"], source=bearings.source,
    )  # fmt: skip
    assert bearings.source == shop.current(Posting)[0].id
    assert bearings.source.startswith("bank:")
    assert (oil.what, oil.bucket, oil.amount) == (
        'smeerolie 20 l, "dun"', "consumables", Decimal("45.50"),
    )  # fmt: skip
    assert replace(oil, source="") == replace(same, source="")
    assert (rent.sort, rent.amount, rent.what) == (
        "received", Decimal("100.00"), "=huur stapelaar",
    )  # fmt: skip
    assert settle.book(shop, on=ON).balanced
    assert verify_chain(shop) == []


def test_the_same_file_twice_adds_nothing(shop, lot, kinds):
    assert len(keep(shop, read(shop, BANK, kinds))) == 4
    rows = list(shop.rows())
    again = read(shop, BANK, kinds)
    assert (again.count("there"), again.count("new")) == (4, 0)
    assert keep(shop, again) == []
    assert list(shop.rows()) == rows


def test_as_a_spreadsheet_it_is_the_same_file(shop, lot, kinds):
    """The same rows, with a point and years first, as a spreadsheet holds them."""
    keep(shop, read(shop, BANK, kinds))
    heading = ["date", "value date", "amount", "currency", "counterparty", "description",
               "reference"]  # fmt: skip
    rows = [
        ["2026-11-02", "2026-11-02", Decimal("-1250"), "EUR", "Lagerwinkel Gent",
         "kogellagers freesmachine", "R1"],
        ["2026-11-25 00:00:00", "", Decimal("100.00"), "EUR", "Buurman", "=huur stapelaar", ""],
        ["2026-11-26", "", Decimal("-7.25"), "EUR", "Buurman", "nieuw", ""],
    ]  # fmt: skip
    told = read(shop, as_csv(xlsx_of([heading, *rows]), "bank.xlsx"), kinds)
    assert states(told) == {2: "there", 3: "there", 4: "new"}


def test_a_file_that_overlaps_adds_only_what_is_new(shop, lot, kinds):
    days = [f"2026-11-{day:02d},-{day}.10,EUR,a{day},b" for day in range(1, 21)]
    assert len(keep(shop, read(shop, table(*days[:12]), kinds))) == 12
    told = read(shop, table(*days[7:]), kinds)
    assert (told.count("there"), told.count("new")) == (5, 8)
    assert len(keep(shop, told)) == 8
    assert len(shop.current(Posting)) == 20


def test_two_equal_rows_of_a_day_are_two_and_a_third_later_is_one_more(shop, lot, kinds):
    row = "2026-11-03,-3.20,EUR,coffee,"
    assert len(keep(shop, read(shop, table(row, row), kinds))) == 2
    told = read(shop, table(row, row, row), kinds)
    assert states(told) == {2: "there", 3: "there", 4: "new"}


def test_a_row_that_was_corrected_or_taken_back_is_not_added_again(shop, lot, kinds):
    rows = ("2026-11-03,-3.20,EUR,coffee,", "2026-11-04,-9.00,EUR,tea,")
    keep(shop, read(shop, table(*rows), kinds))
    coffee, tea = shop.current(Posting)
    settle.correct(shop, coffee.id, replace(coffee.fact, bucket="other"), on=ON, by="owner")
    settle.take_back(shop, tea.id, by="owner")
    told = read(shop, table(*rows), kinds)
    assert states(told) == {2: "there", 3: "there"}
    assert "taken back" in told.rows[1].words


MIXED = table("2026-11-03;-3,20;EUR;a;b", "2026-11-04;-4.25;EUR;a;c").replace(
    "date,amount,currency,counterparty,description", "date;amount;currency;counterparty;description"
)


def test_mixed_marks_are_refused_and_said_otherwise_the_bad_row_alone(shop, lot, kinds):
    with pytest.raises(Unusable, match="decimal commas and decimal points") as refusal:
        read(shop, MIXED, kinds)
    assert [one.where for one in refusal.value.problems] == ["line 2", "line 3"]
    told = read(shop, MIXED, kinds, decimal="comma")
    assert states(told) == {2: "new", 3: "refused"}
    assert shop.current(Posting) == []


def test_mixed_days_are_refused_with_both_lines(shop, lot, kinds):
    with pytest.raises(Unusable) as refusal:
        read(shop, table("25/10/2026,-3.20,EUR,a,b", "10/25/2026,-4.25,EUR,a,c"), kinds)
    assert [one.where for one in refusal.value.problems] == ["line 2", "line 3"]


@pytest.mark.parametrize("text", ["", "date,amount\n", "\ufeff"])
def test_nothing_in_a_file_is_named(shop, lot, kinds, text):
    with pytest.raises(Unreadable):
        read(shop, text, kinds)


def test_amounts_without_any_sign_are_asked(shop, lot, kinds):
    text = table("2026-11-03,3.20,EUR,a,b")
    with pytest.raises(Unusable, match="no amount has a sign"):
        read(shop, text, kinds)
    assert read(shop, text, kinds, unsigned="out").rows[0].fact.sort == "paid"
    assert read(shop, text, kinds, unsigned="in").rows[0].fact.sort == "received"


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("2026-11-03,-5.00,XYX,a,b", "XYX is no currency"),
        ("2026-11-03,-5.00,CHF,a,b", "missing rate: CHF on 2026-11-03"),
        ("2026-10-31,-5.00,EUR,a,b", "closed up to 2026-10-31"),
        ("2026-11-27,-5.00,EUR,a,b", "still to come"),
        ("2026-11-03,-5.005,EUR,a,b", "more decimals"),
        ("2026-11-03,-5.50,JPY,a,b", "more decimals"),
        ("2026-11-03,-99999999999999.00,EUR,a,b", "too large"),
        ("2026-11-03,=A1+A2,EUR,a,b", "a formula"),
        ("2026-11-03,,EUR,a,b", "no amount"),
        ("2026-11-03,0.00,EUR,a,b", "the amount is nothing"),
        ("3rd of May,-5.00,EUR,a,b", "no day"),
        (",-5.00,EUR,a,b", "no day"),
    ],
)
def test_a_bad_row_is_named_with_its_line_and_holds_the_file_up(shop, lot, kinds, row, why):
    shop.add(BooksClosed(until_on="2026-10-31"), by="owner")
    told = read(shop, table("2026-11-02,-7.00,EUR,c,d", row), kinds)
    assert states(told) == {2: "new", 3: "refused"}
    (problem,) = told.problems
    assert problem.where == "line 3"
    assert why in problem.what
    before = list(shop.rows())
    with pytest.raises(Unusable, match="not understood"):
        keep(shop, told)
    assert list(shop.rows()) == before
    with pytest.raises(Unusable):
        keep(shop, told, deeds={3: "add"}, good_rows=True)
    assert list(shop.rows()) == before
    assert len(keep(shop, told, deeds={3: "leave"})) == 1
    assert keep(shop, read(shop, table("2026-11-02,-7.00,EUR,c,d", row), kinds),
                good_rows=True) == []  # fmt: skip


def test_with_a_rate_kept_another_currency_is_added(shop, lot, kinds):
    shop.add(DayRate(currency="CHF", rate_on="2026-11-02", rate=Decimal("1.07")), by="owner")
    (fact,) = keep(shop, read(shop, table("2026-11-03,-5.00,CHF,a,b"), kinds))
    assert (fact.currency, fact.rate) == ("CHF", None)
    (line,) = settle.book(shop, on=ON).lines
    assert line.in_shop == Decimal("5.35")


def test_what_the_owner_left_out_is_not_new_again_and_may_be_added_later(shop, lot, kinds):
    text = table("2026-11-03,-5.00,EUR,bakery,bread", "2026-11-20,-6.00,EUR,a,b")
    assert len(keep(shop, read(shop, text, kinds), deeds={2: "leave"})) == 1
    told = read(shop, text, kinds)
    assert states(told) == {2: "left", 3: "there"}
    assert keep(shop, told) == []
    assert [line.whom for line in settle.book(shop, on=ON).lines] == ["a"]
    (fact,) = keep(shop, told, deeds={2: "add"}, buckets={2: "other"})
    assert (fact.whom, fact.bucket) == ("bakery", "other")
    assert states(read(shop, text, kinds)) == {2: "there", 3: "there"}
    assert len(shop.current(Posting)) == 2
    assert verify_chain(shop) == []


def test_a_book_closed_meanwhile_keeps_nothing(shop, lot, kinds):
    told = read(shop, table("2026-11-03,-5.00,EUR,a,b", "2026-11-20,-6.00,EUR,a,b"), kinds)
    shop.add(BooksClosed(until_on="2026-11-10"), by="owner")
    with pytest.raises(NotYet, match="2026-11-03"):
        keep(shop, told)
    assert shop.current(Posting) == []


def test_another_account_is_another_file(shop, lot, kinds):
    text = table("2026-11-03,-3.20,EUR,,fee")
    keep(shop, read(shop, text, kinds, account="A"))
    assert read(shop, text, kinds, account="A").rows[0].state == "there"
    assert read(shop, text, kinds, account="B").rows[0].id != read(
        shop, text, kinds, account="A").rows[0].id  # fmt: skip


def test_two_thousand_rows_are_kept_in_one_transaction_each_once(kinds, tmp_path):
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    rows = [f"{date(2024, 1, 1) + timedelta(days=n // 6)},-{n}.25,EUR,w{n % 9},d" for n in
            range(1, 2001)]  # fmt: skip
    assert len(keep(shop, read(shop, table(*rows), kinds))) == 2000
    assert keep(shop, read(shop, table(*rows), kinds)) == []
    kept = shop.current(Posting)
    assert [one.fact.amount for one in kept] == [Decimal(n) + Decimal("0.25") for n in
                                                 range(1, 2001)]  # fmt: skip
    assert len({one.noted_at for one in kept}) == 1
    shop.close()
