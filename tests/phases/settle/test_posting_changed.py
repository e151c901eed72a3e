"""Lines in the book: money back, corrected, taken back, put in as expected, closed."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.phases.settle.booked import BY, ON, line, post, school, told

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import settle, worth
from retrue.records.facts import Frozen, Lot, Machine, Withdrawn
from retrue.records.fixing import Out, OutEnded
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import RecordShop


@pytest.fixture
def shop() -> RecordShop:
    return school()


class TestMoneyBack:
    def test_never_more_than_it_was_in_one_go_or_in_several(self, shop: RecordShop) -> None:
        bought = post(shop).id
        post(shop, sort="returned", of=bought[:8], amount=Decimal(60))
        with pytest.raises(Unusable) as refused:
            post(shop, sort="returned", of=bought, amount=Decimal("40.01"))
        assert "is € 40.01, more than the € 40.00 that are left of it" in told(refused.value)
        post(shop, sort="returned", of=bought, amount=Decimal(40))
        assert settle.book(shop, on=ON).on_machine(shop.current(Machine)[0].id) == 0

    def test_in_the_currency_it_was_paid_in(self, shop: RecordShop) -> None:
        bought = post(shop, currency="CHF", rate=Decimal("1.1"), rate_on="2026-11-20").id
        with pytest.raises(Unusable) as refused:
            post(shop, sort="returned", of=bought, amount=Decimal(1))
        assert "Give it in CHF" in told(refused.value)

    def test_not_before_it_was_bought(self, shop: RecordShop) -> None:
        with pytest.raises(Unusable) as refused:
            post(shop, sort="returned", of=post(shop).id, posted_on="2026-11-19")
        assert "before 2026-11-20" in told(refused.value)

    def test_a_deposit_comes_back_or_is_kept_but_not_both(self, shop: RecordShop) -> None:
        given = post(shop, sort="deposit").id
        post(shop, sort="paid", of=given, amount=Decimal(70))
        with pytest.raises(Unusable) as refused:
            post(shop, sort="deposit_back", of=given, amount=Decimal(31))
        assert "more than the € 30.00" in told(refused.value)
        with pytest.raises(Unusable) as wrong:
            post(shop, sort="deposit_back", of=post(shop).id)
        assert "is no deposit" in told(wrong.value)

    def test_what_was_struck_off_a_bill_is_not_paid(self, shop: RecordShop) -> None:
        bill = post(shop, paid_from="owed").id
        post(shop, sort="returned", of=bill, amount=Decimal(30), paid_from="owed")
        with pytest.raises(Unusable) as refused:
            post(shop, sort="paid", of=bill, amount=Decimal(71))
        assert "more than the € 70.00" in told(refused.value)
        post(shop, sort="paid", of=bill, amount=Decimal(70))
        owed = [one for one in settle.book(shop, on=ON).accounts if one.account == "owed"]
        assert [one.amount for one in owed] == [0]

    def test_what_was_paid_at_once_is_not_owed(self, shop: RecordShop) -> None:
        with pytest.raises(Unusable) as refused:
            post(shop, sort="paid", of=post(shop).id)
        assert "is neither owed nor a deposit" in told(refused.value)


class TestCorrecting:
    def test_it_counts_anew_and_keeps_its_id(self, shop: RecordShop) -> None:
        first = post(shop)
        for amount in (110, 120):
            settle.correct(shop, first.id[:8], line(amount=Decimal(amount)), on=ON, **BY)
        (kept,) = settle.book(shop, on=ON).lines
        assert (kept.id, kept.amount) == (first.id, Decimal(120))

    def test_a_return_may_be_corrected_up_to_all_of_it(self, shop: RecordShop) -> None:
        bought = post(shop).id
        back = post(shop, sort="returned", of=bought, amount=Decimal(60)).id
        whole = line(sort="returned", of=bought, amount=Decimal(100))
        settle.correct(shop, back, whole, on=ON, **BY)
        with pytest.raises(Unusable):
            settle.correct(shop, back, replace(whole, amount=Decimal(101)), on=ON, **BY)

    @pytest.mark.parametrize(
        ("more", "field"),
        [
            ({"amount": Decimal("59.99")}, "amount"),
            ({"sort": "deposit"}, "sort"),
            ({"currency": "CHF", "rate": Decimal(1), "rate_on": "2026-11-20"}, "currency"),
            ({"posted_on": "2026-11-21"}, "posted_on"),
        ],
    )
    def test_it_does_not_fall_below_what_stands_on_it(
        self, shop: RecordShop, more: dict[str, Any], field: str
    ) -> None:
        bought = post(shop).id
        post(shop, sort="returned", of=bought, amount=Decimal(60))
        with pytest.raises(Unusable) as refused:
            settle.correct(shop, bought, line(**more), on=ON, **BY)
        assert {one.where for one in refused.value.problems} == {field}
        settle.correct(shop, bought, line(amount=Decimal(60)), on=ON, **BY)

    def test_what_another_line_stands_on_is_not_taken_back(self, shop: RecordShop) -> None:
        bought = post(shop).id
        back = post(shop, sort="returned", of=bought, amount=Decimal(60), what="half a belt").id
        with pytest.raises(NotYet) as refused:
            settle.take_back(shop, bought, **BY)
        assert "half a belt stands on this line" in told(refused.value)
        settle.take_back(shop, back, **BY)
        settle.take_back(shop, bought, "typed twice", **BY)
        assert settle.book(shop, on=ON).lines == ()

    def test_nothing_of_another_room_is_taken_back(self, shop: RecordShop) -> None:
        with pytest.raises(Unknown):
            settle.take_back(shop, shop.current(Lot)[0].id, **BY)


def test_the_newest_book_is_shown_whatever_was_remembered(shop: RecordShop) -> None:
    """Every kind of change is seen at once: a line, a correction, one taken back, a rate, a day."""
    seen: list[Decimal] = []

    def look() -> None:
        view = settle.book(shop, on=ON)
        assert view is settle.book(shop, on=ON)  # nothing changed: nothing is made anew
        seen.append(view.by_bucket.get("", Decimal(0)))

    look()
    first = post(shop)
    look()
    settle.correct(shop, first.id, line(amount=Decimal(90)), on=ON, **BY)
    look()
    settle.day_rate(shop, "CHF", Decimal("1.0"), rate_on=date(2026, 11, 20), on=ON, **BY)
    post(shop, currency="CHF", amount=Decimal(10))
    look()
    settle.day_rate(shop, "CHF", Decimal("1.5"), rate_on=date(2026, 11, 20), on=ON, **BY)
    look()
    settle.take_back(shop, first.id, **BY)
    look()
    assert seen == [0, 100, 90, 100, 105, 15]


class TestWhatIsExpected:
    def test_it_is_put_in_as_it_is_and_counted_once(self, shop: RecordShop) -> None:
        lot, mill = shop.current(Lot)[0].id, shop.current(Machine)[0].id
        out = shop.add(Out(lot=lot, machine=mill, sort="sent_out", what="motor", whom="winder",
                           since_on="2026-11-02", line="F15:local"), **BY)  # fmt: skip
        ended = OutEnded(lot=lot, out=out.id, ended_on="2026-11-18", how="back", paid=Decimal(640))
        shop.add(ended, **BY)
        before = settle.book(shop, on=ON)
        record = settle.post_expected(shop, f"out:{out.id}", on=ON, **BY)
        after = settle.book(shop, on=ON)
        assert before.on_machine(mill) == after.on_machine(mill) == 640
        assert (record.fact.line, [one.state for one in after.lines]) == ("F15:local", ["posted"])
        with pytest.raises(Unknown):
            settle.post_expected(shop, f"out:{out.id}", on=ON, **BY)


def sheet(mill: float, lathe: float) -> str:
    rows = [{"name": "mill", "walk_away": mill}, {"name": "lathe", "walk_away": lathe}]
    return json.dumps({"machines": rows})


def test_a_lot_is_split_by_what_was_frozen_when_it_was_won(shop: RecordShop) -> None:
    """A number frozen again after the hammer does not move what was paid."""
    lot = shop.current(Lot)[0].id
    fact = Frozen(lot=lot, hammer=Decimal(1), all_in=Decimal(1), sorry=0.2, dangers=(), seed=1,
                  worlds=200, kind_hash="k", version="0", sheet=sheet(3000, 1000))  # fmt: skip
    first = shop.add(fact, **BY)
    worth.outcome(shop, lot, "won", amount=Decimal(400), **BY)
    shop.add(replace(fact, sheet=sheet(1000, 3000)), replaces=first.id, **BY)
    (line_won,) = settle.book(shop, on=ON).lines
    assert [one.amount for one in line_won.shares] == [300, 100]


class TestClosing:
    def test_nothing_changes_there_any_more(self, shop: RecordShop) -> None:
        kept = post(shop)
        rate = settle.day_rate(shop, "CHF", Decimal("1.1"), rate_on=date(2026, 11, 2), on=ON, **BY)
        closing = settle.lock(shop, date(2026, 11, 20), on=ON, **BY)
        deeds: list[Callable[[], object]] = [
            lambda: post(shop),
            lambda: settle.correct(shop, kept.id, line(posted_on="2026-11-25"), on=ON, **BY),
            lambda: settle.take_back(shop, kept.id, **BY),
            lambda: settle.take_back(shop, rate.id, **BY),
            lambda: settle.day_rate(
                shop, "CHF", Decimal(1), rate_on=date(2026, 11, 3), on=ON, **BY
            ),
            lambda: settle.import_rates(
                shop, b"date,currency,rate\n2026-11-04,CHF,1\n", "r.csv", on=ON, **BY
            ),
        ]
        before = shop.current(Posting), shop.current(DayRate)
        for deed in deeds:
            with pytest.raises(NotYet) as refused:
                deed()
            assert "the book is closed up to 2026-11-20" in told(refused.value)
            assert "take the closing back" in refused.value.remedy
        assert before == (shop.current(Posting), shop.current(DayRate))
        settle.take_back(shop, closing.id, **BY)
        post(shop, what="belts again")

    def test_a_correction_does_not_slip_into_it(self, shop: RecordShop) -> None:
        kept = post(shop, posted_on="2026-11-25")
        settle.lock(shop, date(2026, 11, 20), on=ON, **BY)
        with pytest.raises(NotYet):
            settle.correct(shop, kept.id, line(), on=ON, **BY)

    def test_it_is_not_closed_while_a_rate_is_missing(self, shop: RecordShop) -> None:
        settle.day_rate(shop, "CHF", Decimal("1.1"), rate_on=date(2026, 11, 20), on=ON, **BY)
        post(shop, currency="CHF")
        gone = Withdrawn(of_kind=DayRate.KIND)
        shop.add(gone, replaces=shop.current(DayRate)[0].id, **BY)
        with pytest.raises(NotYet) as refused:
            settle.lock(shop, date(2026, 11, 20), on=ON, **BY)
        assert "missing rate: CHF on 2026-11-20" in told(refused.value)
        assert shop.current(BooksClosed) == []

    def test_it_only_goes_on(self, shop: RecordShop) -> None:
        settle.lock(shop, date(2026, 11, 20), on=ON, **BY)
        assert settle.lock(shop, date(2026, 11, 20), on=ON, **BY).id
        with pytest.raises(NotYet):
            settle.lock(shop, date(2026, 11, 19), on=ON, **BY)
        assert len(settle.closings(shop)) == 1
