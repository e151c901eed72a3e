"""A bank file: a row that is a line of the book already takes its place, or is left.

The files are invented, of a two-person workshop in Ghent. What must come out is by hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.phases.settle.banked import ON, keep, posted, read, states, table, workshop

from retrue.base.refusals import Overtaken
from retrue.phases import settle
from retrue.records.facts import Outcome, Terms
from retrue.records.fixing import Out, OutEnded
from retrue.records.settling import Posting
from retrue.records.shop import RecordShop

SHOPS = ("in memory",)  # the rules of add_all are tested on every shop in tests/store


@pytest.fixture
def lot(shop: RecordShop) -> str:
    return workshop(shop)


def test_a_line_typed_by_hand_is_left_alone_unless_the_owner_says_so(shop, lot, kinds):
    first = posted(shop, bucket="outside", what="coil of the mill")
    text = table("2026-11-08,-600.00,EUR,WIKKELAAR GENT,invoice 7")
    told = read(shop, text, kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way) == ("probable", "leave", "posted")
    assert "coil of the mill" in row.words
    assert keep(shop, told) == []
    (fact,) = keep(shop, told, deeds={2: "take"})
    assert [one.id for one in shop.history(first)] == [first, row.id]
    assert (fact.bucket, fact.what, fact.posted_on, fact.amount) == (
        "outside", "coil of the mill", "2026-11-08", Decimal("600.00"),
    )  # fmt: skip
    assert states(read(shop, text, kinds)) == {2: "there"}
    assert len(shop.current(Posting)) == 1


@pytest.mark.parametrize(
    "row",
    [
        "2026-11-20,-600.00,EUR,De Wikkelaar,x",  # more than ten days later
        "2026-11-08,-600.01,EUR,De Wikkelaar,x",
        "2026-11-08,+600.00,EUR,De Wikkelaar,x",  # it comes in
        "2026-11-08,-600.00,EUR,Oliehandel,x",
    ],
)
def test_another_day_sum_way_or_counterparty_is_another_line(shop, lot, kinds, row):
    posted(shop)
    assert read(shop, table(row), kinds).rows[0].state == "new"


def test_what_was_paid_in_cash_is_in_no_bank_file(shop, lot, kinds):
    posted(shop, paid_from="cash")
    assert read(shop, table("2026-11-03,-600.00,EUR,De Wikkelaar,x"), kinds).rows[0].state == "new"


def test_of_two_rows_the_nearer_one_is_the_line(shop, lot, kinds):
    posted(shop)
    told = read(shop, table("2026-11-09,-600.00,EUR,De Wikkelaar,x",
                            "2026-11-04,-600.00,EUR,De Wikkelaar,y"), kinds)  # fmt: skip
    assert states(told) == {2: "new", 3: "probable"}


def test_what_was_owed_is_paid_and_costs_once(shop, lot, kinds):
    first = posted(shop, paid_from="owed")
    told = read(shop, table("2026-11-20,-600.00,EUR,De Wikkelaar,x"), kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way) == ("probable", "take", "owed")
    (fact,) = keep(shop, told)
    assert (fact.sort, fact.of) == ("paid", first)
    book = settle.book(shop, on=ON)
    stands = {one.account: one.amount for one in book.accounts}
    assert sum(line.in_shop for line in book.lines) == Decimal("600.00")
    assert (stands["bank"], stands.get("owed", 0)) == (Decimal("-600.00"), 0)


@pytest.mark.parametrize(
    ("sort", "paid", "sign"), [("bought", "paid", -1), ("sold", "received", 1)]
)
def test_the_rest_of_what_is_paid_in_part_pays_it_and_is_nothing_new(
    shop, lot, kinds, sort, paid, sign
):
    """1 000 owed, 400 paid, then a bank row of 600: 1 000 in all, and nothing is owed."""
    first = posted(shop, sort=sort, paid_from="owed", amount=Decimal(1000), bucket="parts")
    posted(shop, sort=paid, of=first, amount=Decimal(400), posted_on="2026-11-04")
    told = read(shop, table(f"2026-11-20,{sign * 600:+},EUR,De Wikkelaar,x"), kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way) == ("probable", "take", "owed")
    assert "of which €\u202f600.00 are left" in row.alike.words
    (fact,) = keep(shop, told)
    assert (fact.sort, fact.of, fact.amount) == (paid, first, Decimal(600))
    book = settle.book(shop, on=ON)
    stands = {one.account: one.amount for one in book.accounts}
    assert sum(line.in_shop for line in book.lines) == -sign * 1000
    assert stands["bank"] == sign * 1000
    assert stands["owed" if sign < 0 else "owed_us"] == 0


def test_a_deposit_that_was_owed_is_given_by_the_row_and_owed_no_more(shop, lot, kinds):
    """It costs nothing: a paid line of it would say that the other side kept it."""
    first = posted(shop, sort="deposit", amount=Decimal(150), what="deposit for hoist",
                   whom="Verhuur Noord", paid_from="owed")  # fmt: skip
    text = table("2026-11-05,-150.00,EUR,Verhuur Noord,borg")
    told = read(shop, text, kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way) == ("probable", "take", "owed")
    (fact,) = keep(shop, told)
    assert (fact.sort, fact.paid_from, fact.posted_on) == ("deposit", "bank", "2026-11-05")
    book = settle.book(shop, on=ON)
    stands = {one.account: one.amount for one in book.accounts}
    assert [line.id for line in book.lines] == [first]
    assert (stands["bank"], stands["deposits"]) == (Decimal(-150), Decimal(150))
    assert not stands.get("owed")
    assert sum(line.in_shop for line in book.lines) == 0
    assert states(read(shop, text, kinds)) == {2: "there"}


def test_a_row_takes_no_place_in_a_part_of_the_book_that_is_closed(shop, lot, kinds):
    posted(shop, sort="deposit", amount=Decimal(150), whom="Verhuur Noord", paid_from="owed",
           posted_on="2026-10-20")  # fmt: skip
    settle.lock(shop, date(2026, 10, 31), on=ON, by="owner")
    (row,) = read(shop, table("2026-11-05,-150.00,EUR,Verhuur Noord,borg"), kinds).rows
    assert (row.state, row.taking, row.deed) == ("probable", (), "leave")


def test_ones_own_money_is_no_cost_and_no_sale(shop, lot, kinds):
    told = read(shop, table("2026-11-20,-8000,EUR,owner,transfer own account",
                            "2026-11-21,-200,EUR,the bank,card settlement",
                            "2026-11-22,500,EUR,owner,van spaarrekening",
                            "2026-11-23,-70,EUR,owner,put aside"), kinds)  # fmt: skip
    assert [row.fact.sort for row in told.rows] == [*["exchanged"] * 3, "paid"]
    keep(shop, told, sorts={5: "exchanged"})
    book = settle.book(shop, on=ON)
    assert {one.account: one.amount for one in book.accounts} == {
        "bank": -7770, "card": 200, "own_pocket": 7570,
    }  # fmt: skip
    assert (book.by_bucket, book.unplaced, book.balanced) == ({}, 0, True)


def test_what_is_guessed_to_be_ones_own_may_be_a_cost(shop, lot, kinds):
    told = read(shop, table("2026-11-20,-80,EUR,owner,transfer own account"), kinds)
    (fact,) = keep(shop, told, sorts={2: "paid"})
    assert (fact.sort, fact.into_amount, fact.into_place, fact.paid_from) == (
        "paid", None, "", "bank")  # fmt: skip


def test_one_sum_that_paid_several_lines_is_not_added_to_them(shop, lot, kinds):
    posted(shop, amount=Decimal("200.00"), what="coil")
    posted(shop, amount=Decimal("100.00"), what="varnish")
    told = read(shop, table("2026-11-05,-300.00,EUR,De Wikkelaar,x"), kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way, row.taking) == ("probable", "leave", "several", ())
    assert "2 lines together" in row.words


def test_the_hammer_paid_in_one_sum_takes_the_place_of_price_and_premium(shop, lot, kinds):
    shop.add(Outcome(lot=lot, result="won", amount=Decimal(2500)), by="owner")
    terms = shop.current(Terms, lot=lot)[-1]
    shop.add(replace(terms.fact, premium=0.1), by="owner", replaces=terms.id)
    before = settle.book(shop, on=ON)
    total = sum(line.amount for line in before.lines)
    assert [line.state for line in before.lines] == ["expected", "expected"]
    told = read(shop, table(f"2026-11-26,-{total},EUR,auction house,lot 14"), kinds)
    (row,) = told.rows
    assert (row.state, row.deed, len(row.taking)) == ("probable", "take", 2)
    facts = keep(shop, told)
    assert {one.bucket: one.amount for one in facts} == {"price": 2500, "premium": 250}
    assert {one.posted_on for one in facts} == {"2026-11-26"}
    after = settle.book(shop, on=ON)
    assert [line.state for line in after.lines] == ["posted", "posted"]
    assert after.by_bucket == before.by_bucket
    again = read(shop, table(f"2026-11-26,-{total},EUR,auction house,lot 14"), kinds)
    assert states(again) == {2: "there"}


def test_an_order_paid_before_it_arrives_counts_once(shop, lot, kinds):
    out = shop.add(
        Out(lot=lot, sort="ordered", what="drive belt", whom="De Riemenzaak", amount=Decimal(38),
            line="renew:belt", since_on="2026-11-05"), by="owner",
    )  # fmt: skip
    told = read(shop, table("2026-11-06,-38.00,EUR,Riemenzaak Gent,order 5"), kinds)
    (row,) = told.rows
    assert (row.state, row.deed, row.alike.way) == ("probable", "take", "expected")
    assert "drive belt, ordered" in row.words
    (fact,) = keep(shop, told)
    assert (fact.source, fact.bucket, fact.line, fact.lot, fact.paid_from) == (
        f"out:{out.id}", "parts", "renew:belt", lot, "bank",
    )  # fmt: skip
    shop.add(OutEnded(lot=lot, out=out.id, how="back", ended_on="2026-11-20"), by="owner")
    (line,) = settle.book(shop, on=ON).lines
    assert (line.state, line.in_shop) == ("posted", Decimal("38.00"))


def test_overtaken_where_somebody_corrected_the_line_meanwhile(shop, lot, kinds):
    first = posted(shop)
    told = read(shop, table("2026-11-02,-9.00,EUR,c,d",
                            "2026-11-04,-600.00,EUR,De Wikkelaar,x"), kinds)  # fmt: skip
    settle.correct(shop, first, shop.current(Posting)[0].fact, on=ON, by="owner")
    old = shop.current(Posting)[0]
    settle.correct(shop, first, replace(old.fact, bucket="other"), on=ON, by="owner")
    with pytest.raises(Overtaken):
        keep(shop, told, deeds={3: "take"})
    assert len(shop.current(Posting)) == 1
