"""What is in the book stands: what is learned afterwards moves no line of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Refusal
from retrue.phases import settle, worth
from retrue.records.facts import Frozen, Lot, Machine, Shop, Terms
from retrue.records.settling import Posting
from retrue.records.shop import Record, RecordShop

ON = date(2026, 11, 26)
BY = {"by": "owner"}


@pytest.fixture
def shop() -> RecordShop:
    made = FakeShop()
    machines = [Machine(lot="", name=name, kind="vertical_machining_centre")
                for name in ("mill", "lathe")]  # fmt: skip
    worth.new_lot(made, Lot(name="school"), Terms(lot=""), machines, **BY)
    freeze(made, 5800, 4200)
    return made


def freeze(shop: RecordShop, mill: float, lathe: float) -> None:
    rows = [{"name": "mill", "walk_away": mill}, {"name": "lathe", "walk_away": lathe}]
    lot = shop.current(Lot)[0].id
    old = shop.current(Frozen, lot=lot)
    shop.add(
        Frozen(lot=lot, hammer=Decimal(1), all_in=Decimal(1), sorry=0.2, dangers=(), seed=1,
               worlds=200, kind_hash="k", version="0", sheet=json.dumps({"machines": rows})),
        replaces=old[-1].id if old else None, **BY,
    )  # fmt: skip


def line(**more: Any) -> Posting:
    plain: dict[str, Any] = {
        "sort": "bought", "posted_on": "2026-10-05", "what": "truck", "amount": Decimal("1000.00"),
        "lot": "school",
    }  # fmt: skip
    return Posting(**plain | more)


def post(shop: RecordShop, **more: Any) -> Record[Posting]:
    return settle.post(shop, line(**more), on=ON, **BY)


def told(refusal: Refusal) -> str:
    every = " ".join(map(str, refusal.problems))
    return f"{refusal.reason} {refusal.remedy} {every}".replace("\u202f", " ")


def shares(shop: RecordShop) -> list[Decimal]:
    return [share.amount for line in settle.book(shop, on=ON).lines for share in line.shares]


def another(shop: RecordShop) -> None:
    lot = shop.current(Lot)[0].id
    shop.add(Machine(lot=lot, name="saw", kind="vertical_machining_centre"), **BY)


def renamed(shop: RecordShop) -> None:
    mill = shop.current(Machine)[0]
    shop.add(replace(mill.fact, name="big mill"), replaces=mill.id, **BY)


def weighed(shop: RecordShop) -> None:
    for one, mass in zip(shop.current(Machine), (6000.0, 4000.0), strict=True):
        shop.add(replace(one.fact, mass_kg=mass), replaces=one.id, **BY)


class TestShares:
    @pytest.mark.parametrize(
        "later", [another, renamed, weighed, lambda shop: freeze(shop, 6408, 3592)]
    )
    @pytest.mark.parametrize(
        ("split", "stood"), [("", [580, 420]), ("mass", [500, 500]), ("equal", [500, 500])]
    )
    def test_of_a_closed_month_are_not_moved(
        self, shop: RecordShop, later: Callable[[RecordShop], None], split: str, stood: list[int]
    ) -> None:
        post(shop, split=split)
        settle.lock(shop, date(2026, 10, 31), on=ON, **BY)
        before = settle.book(shop, on=ON).lines
        later(shop)
        assert shares(shop) == stood
        assert [one.split_words for one in settle.book(shop, on=ON).lines] == [
            one.split_words for one in before
        ]

    def test_closing_writes_them_into_lines_of_an_older_edition(self, shop: RecordShop) -> None:
        """Lines that were kept before bearers were written."""
        shop.add(line(lot=shop.current(Lot)[0].id), **BY)
        settle.lock(shop, date(2026, 10, 31), on=ON, **BY)
        freeze(shop, 6408, 3592)
        assert shares(shop) == [580, 420]

    def test_a_lot_without_a_machine_is_not_closed_over(self, shop: RecordShop) -> None:
        """The first machine that came later would bear what stood on nobody."""
        bare = worth.new_lot(shop, Lot(name="bare"), Terms(lot=""), [], **BY).id
        kept = post(shop, lot="bare")
        with pytest.raises(NotYet) as refused:
            settle.lock(shop, date(2026, 10, 31), on=ON, **BY)
        assert "truck of 2026-10-05 is for a lot that has no machine" in told(refused.value)
        shop.add(Machine(lot=bare, name="saw", kind="vertical_machining_centre"), **BY)
        settle.lock(shop, date(2026, 10, 31), on=ON, **BY)
        shop.add(Machine(lot=bare, name="press", kind="vertical_machining_centre"), **BY)
        (one,) = settle.book(shop, on=ON).lines
        assert (one.id, [share.machine_name for share in one.shares]) == (kept.id, ["saw"])

    def test_a_name_that_is_corrected_keeps_what_it_was_worth(self, shop: RecordShop) -> None:
        renamed(shop)
        post(shop)
        (kept,) = settle.book(shop, on=ON).lines
        assert {one.machine_name: one.amount for one in kept.shares} == {
            "big mill": 580, "lathe": 420,
        }  # fmt: skip

    def test_a_corrected_word_moves_nothing_and_another_rule_does(self, shop: RecordShop) -> None:
        first = post(shop)
        freeze(shop, 6408, 3592)
        settle.correct(shop, first.id, replace(first.fact, what="the truck"), on=ON, **BY)
        assert shares(shop) == [580, 420]
        settle.correct(shop, first.id, line(split="equal"), on=ON, **BY)
        assert shares(shop) == [500, 500]

    def test_what_comes_back_goes_to_who_bore_it(self, shop: RecordShop) -> None:
        first = post(shop)
        freeze(shop, 6408, 3592)
        post(shop, sort="returned", of=first.id, amount=Decimal(500), lot=None)
        assert sorted(shares(shop)) == [-290, -210, 420, 580]

    def test_a_hammer_price_is_split_once_it_is_posted(self, shop: RecordShop) -> None:
        won = worth.outcome(shop, "school", "won", amount=Decimal(1000), **BY)
        settle.post_expected(shop, f"outcome:{won.id}:price", on=ON, **BY)
        another(shop)
        assert shares(shop) == [580, 420]


def test_of_an_earlier_day_it_says_what_was_there_that_day(shop: RecordShop) -> None:
    """Lines, what stands where and what was expected: nothing of a later day."""
    post(shop)
    won = datetime(2026, 11, 21, 12, tzinfo=UTC)
    worth.outcome(shop, "school", "won", amount=Decimal(1000), observed_at=won, **BY)
    post(shop, posted_on="2026-11-20", what="oil", amount=Decimal(50))
    sums = []
    for day in (ON, date(2026, 11, 19), date(2020, 1, 1), ON):
        book = settle.book(shop, on=day)
        bank = sum(one.amount for one in book.accounts if one.account == "bank")
        sums.append((bank, len(book.lines), book.balanced))
    assert sums == [(-1050, 3, True), (-1000, 1, True), (0, 0, True), (-1050, 3, True)]


def test_the_currency_stays_once_lines_stand_in_the_book(shop: RecordShop) -> None:
    worth.keep_shop(shop, Shop(currency="CHF"), **BY)
    worth.keep_shop(shop, Shop(currency="EUR"), **BY)
    post(shop)
    with pytest.raises(NotYet) as refused:
        worth.keep_shop(shop, Shop(currency="CHF"), **BY)
    assert "the book is kept in EUR" in told(refused.value)
    assert worth.keep_shop(shop, Shop(currency="EUR", interest=0.05), **BY).fact


class TestTheHammer:
    @pytest.fixture
    def won(self, shop: RecordShop) -> str:
        day = datetime(2026, 10, 5, 12, tzinfo=UTC)
        return worth.outcome(shop, "school", "won", amount=Decimal(7000), observed_at=day, **BY).id

    def test_told_anew_after_it_was_posted_is_said(self, shop: RecordShop, won: str) -> None:
        settle.post_expected(shop, f"outcome:{won}:price", on=ON, **BY)
        assert settle.book(shop, on=ON).doubts == ()
        worth.outcome(shop, "school", "won", amount=Decimal(9000), **BY)
        (doubt,) = settle.book(shop, on=ON).doubts
        assert doubt.replace("\u202f", " ") == (
            "hammer price of school is told as € 9 000.00, and the book has € 7 000.00."
        )
        worth.outcome(shop, "school", "lost", **BY)
        (doubt,) = settle.book(shop, on=ON).doubts
        assert "The bid is told as not won, and the book has hammer price of school" in doubt

    def test_of_a_closed_month_it_counts_from_the_first_open_day(
        self, shop: RecordShop, won: str
    ) -> None:
        settle.lock(shop, date(2026, 10, 31), on=ON, **BY)
        (line,) = settle.book(shop, on=ON).lines
        assert (line.posted_on, line.in_shop) == ("2026-11-01", Decimal(7000))
        assert "of 2026-10-05" in line.text
        posted = settle.post_expected(shop, f"outcome:{won}:price", on=ON, **BY)
        assert posted.fact.posted_on == "2026-11-01"
        assert settle.book(shop, on=ON).by_bucket == {"price": 7000}

    def test_what_waits_is_told_apart_from_what_was_paid(self, shop: RecordShop, won: str) -> None:
        post(shop)
        assert settle.book(shop, on=ON).expected_cost == 7000
        assert settle.book(shop, on=ON, machine="mill").expected_cost == 4060
        settle.post_expected(shop, f"outcome:{won}:price", on=ON, **BY)
        assert settle.book(shop, on=ON).expected_cost == 0


def test_a_corrected_line_moves_what_belongs_to_it(shop: RecordShop) -> None:
    """What is remembered of a return is made anew where the line it undoes is said anew."""
    first = post(shop)
    post(shop, sort="returned", of=first.id, amount=Decimal(400), lot=None)
    assert settle.book(shop, on=ON).by_bucket == {"": 600}
    settle.correct(shop, first.id, replace(first.fact, bucket="move"), on=ON, **BY)
    assert settle.book(shop, on=ON).by_bucket == {"move": 600}
