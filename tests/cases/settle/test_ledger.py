"""The book from what is kept: by hand, to the cent."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cases.settle.kept_lines import KEPT, posting, record, stands, with_lines

from retrue.books.balance import balances, off_balance
from retrue.books.postings import reversed_legs
from retrue.cases.happening import Line
from retrue.cases.settle.book_table import COLUMNS, table_rows
from retrue.cases.settle.entries import around
from retrue.cases.settle.kept import MachineHere, worth_by_name
from retrue.cases.settle.ledger import Posted, book_of, shown_of, up_to_date
from retrue.cases.settle.lines import Book
from retrue.records.settling import DayRate, Posting


class TestShares:
    def test_the_hammer_goes_by_expected_value(self) -> None:
        """7 730 by 13 000 to 3 500: 6 090.30 and 1 639.70, by hand."""
        (line,) = book_of(with_lines(posting("bought", "7730.00", bucket="price"))).lines
        assert [(one.machine, one.amount) for one in line.shares] == [
            ("m", Decimal("6090.30")), ("t", Decimal("1639.70"))]  # fmt: skip
        assert line.split_words == "by what each was expected to be worth"

    @pytest.mark.parametrize(
        ("more", "mill", "words"),
        [
            ({"split": "mass"}, "59.09", "by mass"),
            ({"split": "equal"}, "50.00", "in equal parts"),
            ({"split": "weights", "shared_by": ("t", "m"), "weights": (Decimal(3), Decimal(1))},
             "25.00", "by weights that were typed"),
            ({"machine": "m"}, "100.00", ""),
        ],
    )  # fmt: skip
    def test_by_the_stated_rule(self, more: dict[str, Any], mill: str, words: str) -> None:
        (line,) = book_of(with_lines(posting("paid", "100.00", **more))).lines
        shares = {one.machine: one.amount for one in line.shares}
        assert shares["m"] == Decimal(mill)
        assert sum(shares.values()) == line.in_shop == 100
        assert line.split_words == words

    def test_nobody_froze_a_number(self) -> None:
        kept = with_lines(posting("paid", "100.00"), kept=replace(KEPT, worth={"m": 5.0}))
        (line,) = book_of(kept).lines
        assert [one.amount for one in line.shares] == [50, 50]
        assert line.split_words == "in equal parts: nobody froze what each was worth"

    def test_the_shop_bears_what_is_for_no_lot(self) -> None:
        (line,) = book_of(with_lines(posting("paid", "9.00", lot=None))).lines
        assert [(one.machine, one.amount) for one in line.shares] == [("", Decimal("9.00"))]

    def test_worth_is_read_from_the_frozen_sheet(self) -> None:
        sheet = '{"machines":[{"name":"mill","walk_away":6000.0},{"name":"x","walk_away":null}]}'
        assert dict(worth_by_name(sheet)) == {"mill": 6000.0}


class TestMoneyBack:
    def test_all_of_it_leaves_nothing(self) -> None:
        bought = posting("bought", "77.77", tax_rate=Decimal("0.21"), tax_in=False, bucket="parts")
        back = posting("returned", "94.10", of="p1", lot=None)  # gross: 77.77 and 16.33 tax
        book = book_of(with_lines(bought, back))
        assert stands(book) == {}
        assert book.by_bucket == {"parts": 0}

    def test_it_comes_back_at_the_rate_it_was_bought_at(self) -> None:
        bought = posting("bought", "100.00", currency="CHF", rate=Decimal("1.1"),
                         rate_on="2026-11-01", posted_on="2026-11-01", machine="m")  # fmt: skip
        back = posting("returned", "40.00", currency="CHF", of="p1", lot=None)
        book = book_of(with_lines(bought, back))
        assert [line.in_shop for line in book.lines] == [Decimal("-44.00"), Decimal("110.00")]
        assert book.missing_rates == ()

    def test_a_sale_that_is_undone_brings_nothing(self) -> None:
        sold = posting("sold", "121.00", machine="t", tax_rate=Decimal("0.21"))
        book = book_of(with_lines(sold, posting("returned", "121.00", of="p1", lot=None)))
        assert stands(book) == {}
        assert book.lines[0].in_shop == 100
        assert book.lines[0].brings


class TestDebtsAndDeposits:
    def test_a_bill_is_one_cost_however_it_is_paid(self) -> None:
        bill = posting("bought", "80.00", paid_from="owed", machine="m")
        book = book_of(with_lines(bill, posting("paid", "80.00", of="p1", paid_from="cash")))
        assert stands(book) == {("cash", "EUR"): -80, ("cost:m", "EUR"): 80}
        assert sum(line.in_shop for line in book.lines) == 80

    def test_a_buyer_pays_later(self) -> None:
        sold = posting("sold", "3000.00", paid_from="owed", machine="t")
        assert stands(book_of(with_lines(sold)))["owed_us", "EUR"] == 3000
        book = book_of(with_lines(sold, posting("received", "3000.00", of="p1")))
        assert stands(book) == {("bank", "EUR"): 3000, ("sales:t", "EUR"): -3000}

    @pytest.mark.parametrize(
        ("sort", "pays", "account", "money", "sign"),
        [("bought", "paid", "cost:m", "owed", 1), ("sold", "received", "sales:m", "owed_us", -1)],
    )
    def test_a_debt_paid_at_another_rate_costs_or_brings_the_difference(
        self, sort: str, pays: str, account: str, money: str, sign: int
    ) -> None:
        """CHF 100 owed at 1.0 and paid at 1.2 are 120 (IAS 21, 28, from memory)."""
        owed = posting(sort, "100.00", paid_from="owed", machine="m", currency="CHF",
                       rate=Decimal("1.0"), rate_on="2026-11-20", bucket="parts")  # fmt: skip
        paid = posting(pays, "100.00", of="p1", currency="CHF", rate=Decimal("1.2"),
                       rate_on="2026-11-20")  # fmt: skip
        book = book_of(with_lines(owed, paid))
        assert stands(book) == {
            ("bank", "CHF"): -sign * 100, (account, "EUR"): sign * 120,
            ("exchange", "EUR"): -sign * 120, ("exchange", "CHF"): sign * 100,
        }  # fmt: skip
        assert book.balanced
        assert book.on_machine("m") == sign * 120
        half = posting(pays, "50.00", of="p1", currency="CHF", rate=Decimal("0.9"),
                       rate_on="2026-11-20")  # fmt: skip
        assert book_of(with_lines(owed, half)).on_machine("m") == sign * 95

    def test_ones_own_money_in_another_place_costs_nothing(self) -> None:
        """200 on the card, settled from the bank, and 8 000 to one's own account."""
        spent = posting("paid", "200.00", machine="m", paid_from="card")
        own = [
            posting("exchanged", amount, lot=None, into_amount=Decimal(amount),
                    into_currency="EUR", into_place=place)
            for amount, place in (("200.00", "card"), ("8000.00", "own_pocket"))
        ]  # fmt: skip
        book = book_of(with_lines(spent, *own))
        assert stands(book) == {
            ("bank", "EUR"): -8200, ("own_pocket", "EUR"): 8000, ("cost:m", "EUR"): 200,
        }  # fmt: skip
        assert book.by_bucket == {"": 200}

    def test_a_deposit_is_no_cost_until_it_is_kept(self) -> None:
        given = posting("deposit", "150.00", machine="m")
        assert stands(book_of(with_lines(given))) == {("deposits", "EUR"): 150,
                                                      ("bank", "EUR"): -150}  # fmt: skip
        back = book_of(with_lines(given, posting("deposit_back", "150.00", of="p1")))
        assert stands(back) == {}
        kept = book_of(with_lines(given, posting("paid", "150.00", of="p1", lot=None)))
        assert stands(kept) == {("bank", "EUR"): -150, ("cost:m", "EUR"): 150}


class TestMovedAndChanged:
    def test_a_part_of_the_donor_moves_its_value_and_no_money(self) -> None:
        moved = posting("moved", "300.00", machine="m", from_machine="t", bucket="parts")
        book = book_of(with_lines(posting("bought", "1000.00", split="equal"), moved))
        assert book.on_machine("m") == 800
        assert book.on_machine("t") == 200
        assert stands(book)["bank", "EUR"] == -1000
        assert book.by_bucket.get("parts", 0) == 0

    def test_out_of_stock_it_leaves_the_shops_cost(self) -> None:
        stock = posting("bought", "50.00", lot=None)
        moved = posting("moved", "20.00", machine="m", from_stock="way oil")
        book = book_of(with_lines(stock, moved))
        assert stands(book)["cost:", "EUR"] == 30

    def test_changed_money_stands_in_both_currencies(self) -> None:
        book = book_of(with_lines(posting("exchanged", "300.00", into_amount=Decimal("280.00"),
                                          into_currency="CHF", lot=None)))  # fmt: skip
        assert stands(book) == {("bank", "EUR"): -300, ("bank", "CHF"): 280,
                                ("exchange", "EUR"): 300, ("exchange", "CHF"): -280}  # fmt: skip
        assert book.balanced


class TestRates:
    def test_a_missing_rate_is_named_and_counts_with_nothing(self) -> None:
        kept = with_lines(posting("bought", "100.00", currency="NOK", machine="m"))
        book = book_of(kept)
        assert book.missing_rates == (("NOK", "2026-11-20"),)
        assert book.lines[0].in_shop == 0
        assert book.balanced
        rate = record(DayRate(currency="NOK", rate_on="2026-11-18", rate=Decimal("0.085")))
        known = book_of(replace(kept, rates=(rate,)))
        assert (known.lines[0].in_shop, known.lines[0].rate_on) == (Decimal("8.50"), "2026-11-18")


class TestTables:
    def test_columns_are_told(self) -> None:
        rows = table_rows(KEPT, Book(currency="EUR"))
        assert rows == [list(COLUMNS)]

    def test_of_a_lot_what_is_shared_beyond_it_counts_with_its_part(self) -> None:
        """A hired day shared by a machine of this lot and one of another: half of it is here."""
        other = MachineHere(key="x", name="saw", lot="k")
        kept = with_lines(
            posting("paid", "60.00", lot=None, shared_by=("m", "x"), split="equal", bucket="hire"),
            posting("paid", "10.00", lot="k", machine="x"),
            posting("paid", "5.00", bucket="other"),
            kept=replace(KEPT, machines=dict(KEPT.machines) | {"x": other}),
        )
        mine = shown_of(book_of(kept), lot="l", keys=["m", "t"])
        assert mine.by_bucket == {"hire": 30, "other": 5}

    def test_of_one_machine_sums_are_of_its_shares(self) -> None:
        kept = with_lines(posting("bought", "100.00", split="equal", bucket="move"),
                          posting("bought", "7.00", machine="t", bucket="parts"))  # fmt: skip
        mine = shown_of(book_of(kept), keys=["m"])
        assert mine.by_bucket == {"move": 50}
        assert len(mine.lines) == 1


@st.composite
def histories(draw: st.DrawFn) -> tuple[Posting, ...]:
    """Lines of every sort, some of them returning, settling or giving back an earlier one."""
    made: list[Posting] = []
    for _ in range(draw(st.integers(1, 12))):
        sort = draw(st.sampled_from(["bought", "paid", "sold", "received", "deposit", "moved",
                                     "exchanged", "returned", "deposit_back"]))  # fmt: skip
        back = sort in ("returned", "deposit_back")
        of = draw(st.integers(1, len(made))) if made and (back or draw(st.booleans())) else 0
        code = made[of - 1].currency if of else draw(st.sampled_from(["EUR", "CHF", "JPY"]))
        amount = Decimal(draw(st.integers(0, 10**7))) / (1 if code == "JPY" else 100)
        made.append(posting(
            sort, str(amount), currency=code, of=f"p{of}" if of else None,
            rate=None if code == "EUR" else Decimal(draw(st.integers(1, 20_000))) / 10_000,
            rate_on=None if code == "EUR" else "2026-11-20",
            machine=draw(st.sampled_from([None, "m", "t"])) if sort != "moved" else "m",
            from_machine="t" if sort == "moved" else None,
            tax_rate=Decimal(draw(st.integers(0, 30))) / 100,
            tax_in=draw(st.booleans()), tax_reclaimable=draw(st.sampled_from([None, True, False])),
            split=draw(st.sampled_from(["", "equal", "mass"])),
            paid_from=draw(st.sampled_from(["bank", "cash", "owed", "own_pocket"])),
            into_amount=Decimal(7) if sort == "exchanged" else None,
            into_currency="KWD" if sort == "exchanged" else "",
        ))  # fmt: skip
    return tuple(made)


@given(histories())
@settings(max_examples=30, deadline=None)
def test_any_history_balances_and_every_line_is_the_sum_of_its_shares(
    facts: tuple[Posting, ...],
) -> None:
    kept = with_lines(*facts)
    made = Posted()
    up_to_date(made, kept, around(kept))
    entries = list(made.entries.values())
    legs = [leg for one in entries for leg in one.legs]
    assert off_balance(balances(legs)) == {}
    assert set(balances([*legs, *reversed_legs(legs)]).values()) <= {Decimal(0)}
    for one in entries:
        assert sum((share.amount for share in one.line.shares), Decimal(0)) == one.line.in_shop
        assert one.line.net + one.line.tax == one.line.amount
    costs = sum((leg.amount for leg in legs if leg.account[:5] in ("cost:", "sales")), Decimal(0))
    assert costs == sum((one.line.in_shop for one in entries), Decimal(0))


def test_brought_up_to_date_it_is_the_same_as_made_anew() -> None:
    """A line put in, corrected, taken back: sums and lines as from nothing, the rest not remade."""
    made = Posted()
    first = with_lines(posting("bought", "1.00"), posting("bought", "2.00", machine="m"))
    kept_line = book_of(first, posted=made).lines[0]
    for facts in (
        (posting("bought", "1.00"), posting("bought", "2.00", machine="m"), posting("sold", "3")),
        (posting("bought", "1.00"), posting("bought", "2.00", machine="m")),
        (posting("paid", "9.00"), posting("bought", "2.00", machine="m")),
    ):
        lines = with_lines(*facts).postings
        numbered = tuple(
            Line(one.first, replace(one.newest, seq=hash(one.newest.fact) % 10**6 + 10))
            if one.newest.fact.sort == "paid"
            else one
            for one in lines
        )
        kept = replace(KEPT, postings=numbered)
        again, anew = book_of(kept, posted=made), book_of(kept)
        assert again.lines == anew.lines
        assert stands(again) == stands(anew)
        assert kept_line in again.lines
        assert any(line is kept_line for line in again.lines)
