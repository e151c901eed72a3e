"""A bank file or a parts list: every row is told, nothing is entered twice, all or nothing.

The files are invented, of a two-person workshop in Ghent. What must come out is by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from tests.fakes.shop import TickingClock

from retrue.base.refusals import NotYet, Overtaken, Unknown, Unreadable, Unusable
from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_lines import Choices, Preview
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.records.chain import verify_chain
from retrue.records.facts import Lot, Machine, Outcome, Shop, Terms
from retrue.records.fixing import Out, OutEnded
from retrue.records.settling import BooksClosed, DayRate, ForSale, Offered, Posting
from retrue.records.shop import RecordShop
from retrue.store.shop import open_shop
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import xlsx_of

Kinds = Mapping[str, Kind]
ON = date(2026, 11, 26)
SHOPS = ("in memory",)  # the rules of add_all are tested on every shop in tests/store

BANK = '''\
Rekening van de werkplaats;;;;;;
Boekdatum;Valutadatum;Bedrag;Munt;Naam tegenpartij;Mededeling;Referte
02/11/2026;02/11/2026;-1.250,00;EUR;Lagerwinkel Gent;kogellagers freesmachine;R1
03/11/2026;03/11/2026;-45,5;EUR;Oliehandel;"smeerolie
20 l, ""dun""";R2
03/11/2026;03/11/2026;-45,5;EUR;Oliehandel;"smeerolie
20 l, ""dun""";R2
;;;;;;
25/11/2026;25/11/2026;100,00;EUR;Buurman;=huur stapelaar;
Totaal;;-1.241,00;;;;
'''


@pytest.fixture
def lot(shop: RecordShop) -> str:
    worth.keep_shop(shop, Shop(currency="EUR"), by="owner")
    machines = [
        Machine(lot="", name="bed mill", kind="vertical_machining_centre"),
        Machine(lot="", name="slant lathe", kind="turning_centre"),
    ]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), machines, by="owner")
    return view.id


def read(shop: RecordShop, text: str | bytes, kinds: Kinds, **said: object) -> Preview:
    content = text.encode() if isinstance(text, str) else text
    wanted = replace(Wanted(), **said)
    return settle.read_import(shop, content, "bank.csv", kinds, on=ON, wanted=wanted)


def keep(shop: RecordShop, preview: Preview, **said: object) -> list[Posting]:
    choices = replace(Choices(), **said)
    made = settle.keep_import(shop, preview, choices, on=ON, by="owner")
    return [one.fact for one in made]


def states(preview: Preview) -> dict[int, str]:
    return {row.number: row.state for row in preview.rows}


def table(*rows: str, heading: str = "date,amount,currency,counterparty,description") -> str:
    return "\n".join((heading, *rows, ""))


def posted(shop: RecordShop, **fields: object) -> str:
    fact = Posting(
        sort="bought", posted_on="2026-11-03", what="coil", amount=Decimal("600.00"),
        whom="De Wikkelaar BV",
    )  # fmt: skip
    return settle.post(shop, replace(fact, **fields), on=ON, by="owner").id


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


def test_earlier_lines_of_a_counterparty_say_where_it_goes(shop, lot, kinds):
    for day in (1, 5):
        posted(shop, posted_on=f"2026-11-{day:02d}", amount=Decimal(day), bucket="outside")
    told = read(shop, table("2026-11-25,-75.00,EUR,De Wikkelaar BV,lagers"), kinds)
    (row,) = told.rows
    assert row.fact.bucket == "outside"
    assert "earlier lines" in row.guessed[0]


def test_tax_is_said_row_by_row_and_remembered_of_the_counterparty(shop, lot, kinds):
    """By hand: of 121 with 21 % in it, 21 comes back and 100 is a cost; unsaid, all 121 is."""
    rows = ("2026-11-03,-121.00,EUR,Lagerwinkel,lagers", "2026-11-04,-60.50,EUR,Oliehandel,olie")
    told = read(shop, table(*rows), kinds)
    assert any("tells no tax" in text for text in told.understood)
    first, second = keep(shop, told, taxes={2: Decimal("0.21")})
    assert (first.tax_rate, first.tax_in, second.tax_rate) == (Decimal("0.21"), True, None)
    costs = {line.whom: line.in_shop for line in settle.book(shop, on=ON).lines}
    assert costs == {"Lagerwinkel": Decimal("100.00"), "Oliehandel": Decimal("60.50")}
    more = read(shop, table(*rows, "2026-11-10,-242.00,EUR,Lagerwinkel,meer"), kinds)
    (row,) = (one for one in more.rows if one.state == "new")
    assert row.fact.tax_rate == Decimal("0.21")
    assert any("21 % tax in it, as the line of 2026-11-03" in one for one in row.guessed)
    (fact,) = keep(shop, more, taxes={4: None})
    assert fact.tax_rate is None


def test_tax_that_is_no_share_or_of_a_deposit_is_not_kept(shop, lot, kinds):
    told = read(shop, table("2026-11-03,-121.00,EUR,Lagerwinkel,lagers"), kinds)
    with pytest.raises(Unusable) as refused:
        keep(shop, told, taxes={2: Decimal(21)})
    assert refused.value.problems[0].where == "line 2"
    (fact,) = keep(shop, told, taxes={2: Decimal("0.21")}, sorts={2: "deposit"})
    assert (fact.sort, fact.tax_rate) == ("deposit", None)


def test_what_no_word_tells_is_not_yet_placed_and_not_blocked(shop, lot, kinds):
    (fact,) = keep(shop, read(shop, table("2026-11-25,-75.00,EUR,Zygmunt,qqq"), kinds))
    assert (fact.bucket, fact.machine, fact.lot) == ("", None, None)
    assert settle.book(shop, on=ON).unplaced == 1


def test_a_deposit_and_what_was_paid_come_back_and_a_taken_offer_is_a_sale(shop, lot, kinds):
    gear = posted(shop, sort="deposit", amount=Decimal(150), whom="Verhuur Noord")
    coil = posted(shop, amount=Decimal("80.00"))
    mill = shop.current(Machine)[0].id
    shop.add(
        Offered(lot=lot, machine=mill, whom="a school", offered_on="2026-11-20",
                amount=Decimal(4200), answer="taken"), by="owner",
    )  # fmt: skip
    listed = ForSale(lot=lot, machine=mill, sold_as="parts", ask=Decimal(4200))
    shop.add(listed, by="owner")
    told = read(shop, table(
        "2026-11-24,150.00,EUR,Verhuur Noord,waarborg",
        "2026-11-24,80.00,EUR,De Wikkelaar,terug",
        "2026-11-24,4200.00,EUR,technical school,machine",
        "2026-11-24,-1.00,EUR,x,y",
    ), kinds)  # fmt: skip
    back, returned, sold, _ = keep(shop, told)
    assert (back.sort, back.of) == ("deposit_back", gear)
    assert (returned.sort, returned.of) == ("returned", coil)
    assert (sold.sort, sold.machine, sold.lot) == ("sold", mill, lot)
    assert settle.book(shop, on=ON).balanced


def test_the_owner_says_otherwise_row_by_row(shop, lot, kinds):
    told = read(shop, BANK, kinds)
    lathe = shop.current(Machine)[1].id
    made = keep(
        shop, told, deeds={6: "leave"}, buckets={3: "tooling"}, sorts={9: "sold"},
        belongs={3: (None, "slant lathe"), 4: ("school", None)},
    )  # fmt: skip
    assert [(one.sort, one.bucket, one.lot, one.machine) for one in made] == [
        ("paid", "tooling", lot, lathe),
        ("paid", "consumables", lot, None),
        ("sold", "", None, None),
    ]


@pytest.mark.parametrize(
    ("said", "refusal"),
    [
        ({"deeds": {99: "add"}}, Unknown),
        ({"deeds": {10: "add"}}, Unusable),
        ({"deeds": {3: "take"}}, Unusable),
        ({"buckets": {3: "nowhere"}}, Unusable),
        ({"belongs": {3: (None, "planer")}}, Unusable),
        ({"sorts": {3: "returned"}}, Unusable),
    ],
)
def test_a_choice_that_cannot_be_keeps_nothing(shop, lot, kinds, said, refusal):
    told = read(shop, BANK, kinds)
    with pytest.raises(refusal):
        keep(shop, told, **said)
    assert shop.current(Posting) == []


PARTS = """\
what;quantity;unit price;total excl. tax;tax;machine;supplier
spindle bearings;2;306,25;612,50;21 %;bed mill;Lagerwinkel
way oil;20;4,10;;21 %;;Oliehandel
drive belt;1;;38,00;6 %;slant lathe;Lagerwinkel
nothing at all;;;;;;
belt for the planer;1;10,00;10,00;21 %;planer;Lagerwinkel
Total;;;745,00;;;
"""


def test_a_list_of_parts_is_bought_with_its_tax_and_machines(shop, lot, kinds):
    told = read(shop, PARTS, kinds)
    assert told.kind == "parts"
    assert states(told) == {2: "new", 3: "new", 4: "new", 5: "skipped", 6: "refused", 7: "skipped"}
    assert str(told.problems[0]).startswith("line 6: there is no machine planer")
    bearings, oil, belt = keep(shop, told, good_rows=True)
    mill, lathe = (one.id for one in shop.current(Machine))
    assert (bearings.sort, bearings.amount, bearings.tax_rate, bearings.tax_in, bearings.machine,
            bearings.units) == ("bought", Decimal("612.50"), Decimal("0.21"), False, mill,
                                2.0)  # fmt: skip
    assert (oil.amount, oil.bucket) == (Decimal("82.00"), "consumables")
    assert (belt.machine, belt.bucket, belt.tax_rate) == (lathe, "parts", Decimal("0.06"))
    assert states(read(shop, PARTS, kinds))[2] == "there"


def test_a_list_without_days_is_not_new_the_day_after(shop, lot, kinds):
    keep(shop, read(shop, PARTS, kinds), good_rows=True)
    later = ON + timedelta(days=1)
    told = settle.read_import(shop, PARTS.encode(), "parts.csv", kinds, on=later)
    assert (told.count("there"), told.count("new")) == (3, 0)


def test_the_bank_row_of_a_part_on_a_list_is_probably_it(shop, lot, kinds):
    keep(shop, read(shop, PARTS.replace(" excl. tax", ""), kinds), good_rows=True)
    told = read(shop, table("2026-11-25,-612.50,EUR,Lagerwinkel,lagers"), kinds)
    assert told.rows[0].state == "probable"


def test_all_of_a_file_for_one_machine(shop, lot, kinds):
    told = read(shop, BANK, kinds, machine="slant lathe")
    lathe = shop.current(Machine)[1].id
    assert {row.fact.machine for row in told.rows if row.fact} == {lathe}
    with pytest.raises(Unknown):
        read(shop, BANK, kinds, machine="planer")


def test_another_account_is_another_file(shop, lot, kinds):
    text = table("2026-11-03,-3.20,EUR,,fee")
    keep(shop, read(shop, text, kinds, account="A"))
    assert read(shop, text, kinds, account="A").rows[0].state == "there"
    assert read(shop, text, kinds, account="B").rows[0].id != read(
        shop, text, kinds, account="A").rows[0].id  # fmt: skip


def test_five_thousand_rows_are_kept_in_one_transaction_each_once(kinds, tmp_path):
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    rows = [f"{date(2024, 1, 1) + timedelta(days=n // 6)},-{n}.25,EUR,w{n % 9},d" for n in
            range(1, 5001)]  # fmt: skip
    assert len(keep(shop, read(shop, table(*rows), kinds))) == 5000
    assert keep(shop, read(shop, table(*rows), kinds)) == []
    kept = shop.current(Posting)
    assert [one.fact.amount for one in kept] == [Decimal(n) + Decimal("0.25") for n in
                                                 range(1, 5001)]  # fmt: skip
    assert len({one.noted_at for one in kept}) == 1
    shop.close()
