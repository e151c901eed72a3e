"""Lines in the book: every refusal named, nothing half written; corrected, taken back, closed."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Refusal, Unknown, Unreadable, Unusable
from retrue.phases import settle, worth
from retrue.records.facts import File, Frozen, Lot, Machine, Terms, Withdrawn
from retrue.records.fixing import Out, OutEnded, Stock
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import Record, RecordShop

ON = date(2026, 11, 26)
BY = {"by": "owner"}


@dataclass
class Proved:
    """What a file turned out to be."""

    media_type: str
    taken: str | None = None


@pytest.fixture
def shop() -> RecordShop:
    made = FakeShop()
    machines = [Machine(lot="", name=name, kind="vertical_machining_centre")
                for name in ("mill", "lathe")]  # fmt: skip
    worth.new_lot(made, Lot(name="school"), Terms(lot=""), machines, **BY)
    return made


def line(**more: Any) -> Posting:
    plain: dict[str, Any] = {
        "sort": "bought", "posted_on": "2026-11-20", "what": "belts", "amount": Decimal("100.00"),
        "lot": "school", "machine": "mill",
    }  # fmt: skip
    return Posting(**plain | more)


def post(shop: RecordShop, **more: Any) -> Record[Posting]:
    return settle.post(shop, line(**more), on=ON, **BY)


def told(refusal: Refusal) -> str:
    every = " ".join(map(str, refusal.problems))
    return f"{refusal.reason} {refusal.remedy} {every}".replace("\u202f", " ")


@pytest.mark.parametrize(
    ("more", "refusal", "words"),
    [
        ({"currency": "EUO"}, Unusable, "EUO is no currency"),
        ({"currency": "CHF"}, Unusable, "missing rate: CHF on 2026-11-20"),
        ({"lot": "scool"}, Unknown, "there is no lot scool"),
        ({"machine": "mil"}, Unknown, "there is no machine mil"),
        ({"bucket": "party"}, Unusable, "bucket: is 'party'"),
        ({"amount": Decimal(-1)}, Unusable, "amount: is -1"),
        ({"amount": Decimal("1.005")}, Unusable, "has more decimals than EUR has"),
        ({"posted_on": "2026-11-27"}, Unusable, "still to come"),
        ({"posted_on": "1969-12-31"}, Unusable, "posted_on: is 1969-12-31, before 1970-01-01"),
        ({"source": "outcome:x"}, Unusable, "source: is 'outcome:x', which the book does not"),
        ({"source": "out:x"}, Unusable, "source: is 'out:x'"),
        ({"source": "offer:x"}, Unusable, "source: is 'offer:x'"),
        ({"source": "hire:crane:2026-11-20"}, Unusable, "source: is 'hire:crane"),
        ({"posted_on": "25/11/2026"}, Unusable, "posted_on"),
        ({"tax_rate": Decimal("0.21"), "tax_scheme": "private"}, Unusable, "shows no tax"),
        ({"sort": "deposit", "tax_rate": Decimal("0.21")}, Unusable, "no tax of its own"),
        ({"sort": "returned"}, Unusable, "of: is missing"),
        ({"sort": "returned", "of": "nothing"}, Unknown, "no line in the book is called nothing"),
        ({"sort": "moved"}, Unusable, "from_stock: is empty"),
        ({"sort": "moved", "from_machine": "mill"}, Unusable, "is the machine it went into"),
        ({"sort": "exchanged", "into_currency": "CHF"}, Unusable, "into_amount: is missing"),
        ({"into_place": "card"}, Unusable, "into_place: comes with nothing exchanged"),
        (
            {"sort": "exchanged", "into_amount": Decimal(100), "into_currency": "EUR"},
            Unusable,
            "is the same currency, in the same place",
        ),
        (
            {
                "sort": "exchanged",
                "into_amount": Decimal(99),
                "into_currency": "EUR",
                "into_place": "card",
            },
            Unusable,
            "into_amount: is not what went out",
        ),
        ({"shared_by": ("lathe",)}, Unusable, "shared_by: comes with a line that one machine"),
        ({"split": "equal"}, Unusable, "split: comes with a line that one machine bears"),
        ({"line": "F999:local"}, Unusable, "line: F999:local is no line"),
        ({"line": "J99"}, Unusable, "line: J99 is no line"),
        ({"sort": "moved", "from_stock": "nosuchthing"}, Unusable, "and that is not on the shelf"),
        ({"receipt": "0" * 64}, Unusable, "receipt: is not kept"),
        ({"shared_by": ("mill", "saw"), "machine": None}, Unknown, "there is no machine saw"),
    ],
)
def test_what_cannot_be_is_refused_by_name_and_nothing_is_kept(
    shop: RecordShop, more: dict[str, Any], refusal: type[Refusal], words: str
) -> None:
    with pytest.raises(refusal) as refused:
        post(shop, **more)
    assert words in told(refused.value)
    assert shop.current(Posting) == []


def test_what_a_line_names_is_known_or_ones_own_words(shop: RecordShop) -> None:
    shop.add(Stock(name="way oil", amount=2), **BY)
    post(shop, sort="moved", from_stock="way oil", what="oil")
    for known in ("F15:local", "F01:replace", "J05", "E11", "new jaws"):
        post(shop, line=known, what=known)
    first = post(shop, machine=None, shared_by=("mill",), split="equal", what="both")
    with pytest.raises(Unusable) as refused:
        settle.correct(shop, first.id, line(line="F998:local"), on=ON, **BY)
    assert "line: F998:local is no line" in told(refused.value)


def test_names_become_ids_and_a_machine_brings_its_lot(shop: RecordShop) -> None:
    fact = post(shop, lot=None, machine="lathe", currency="eur").fact
    (lot,) = shop.current(Lot)
    assert (fact.lot, fact.currency) == (lot.id, "EUR")
    assert fact.machine == shop.current(Machine)[1].id


def test_sent_twice_it_is_kept_once(shop: RecordShop) -> None:
    for _ in range(2):
        settle.post(shop, line(), on=ON, by="owner", id="11111111-1111-4111-8111-111111111111")
    assert len(shop.current(Posting)) == 1


class TestBeside:
    """What stands in the book, or waits there, is named before another like it is kept."""

    def test_the_same_line_again_is_asked_about(self, shop: RecordShop) -> None:
        first = post(shop)
        with pytest.raises(Unusable) as refused:
            post(shop)
        assert f"what: stands in the book already: belts, 2026-11-20 ({first.id})" in told(
            refused.value
        )
        for other in ({"amount": Decimal(99)}, {"what": "oil"}, {"posted_on": "2026-11-19"}):
            post(shop, **other)
        settle.post(shop, line(), on=ON, beside=True, **BY)
        assert len(shop.current(Posting)) == 5

    @pytest.mark.parametrize("bucket", ["price", "premium"])
    def test_a_hammer_that_is_known_is_not_typed_beside(
        self, shop: RecordShop, bucket: str
    ) -> None:
        """The price waits with 8 000; 9 680 typed beside it made 16 000 of it."""
        won = worth.outcome(shop, "school", "won", amount=Decimal(8000), **BY)
        terms = shop.current(Terms)[0]
        shop.add(replace(terms.fact, premium=0.16), replaces=terms.id, **BY)
        typed = line(what="hammer", amount=Decimal(9680), bucket=bucket, machine=None,
                     tax_rate=Decimal("0.21"))  # fmt: skip
        with pytest.raises(Unusable) as refused:
            settle.post(shop, typed, on=ON, **BY)
        source = f"outcome:{won.id}:{bucket}"
        assert "source: is empty, and the book expects" in told(refused.value)
        assert source in told(refused.value)
        settle.post(shop, replace(typed, source=source), on=ON, **BY)
        assert settle.book(shop, on=ON).by_bucket[bucket] == 8000
        another = replace(typed, what="second hammer")
        assert settle.post(shop, another, on=ON, beside=True, **BY)

    def test_a_bill_that_is_known_is_told_by_its_sum(self, shop: RecordShop) -> None:
        lot, mill = shop.current(Lot)[0].id, shop.current(Machine)[0].id
        out = shop.add(Out(lot=lot, machine=mill, sort="sent_out", what="motor", whom="winder",
                           since_on="2026-11-02"), **BY)  # fmt: skip
        ended = OutEnded(lot=lot, out=out.id, ended_on="2026-11-18", how="back", paid=Decimal(640))
        shop.add(ended, **BY)
        with pytest.raises(Unusable) as refused:
            post(shop, amount=Decimal(640), what="rewinding")
        assert f"this one, out:{out.id}" in told(refused.value)
        post(shop, amount=Decimal(641), what="rewinding")


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


class TestRates:
    def test_an_old_one_is_written_into_the_line_if_it_may_be_that_old(
        self, shop: RecordShop
    ) -> None:
        settle.day_rate(shop, "CHF", Decimal("1.1"), rate_on=date(2026, 11, 1), on=ON, **BY)
        with pytest.raises(Unusable):
            post(shop, currency="CHF")
        old = settle.post(shop, line(currency="CHF"), on=ON, most_days_old=30, **BY)
        assert (old.fact.rate, old.fact.rate_on) == (Decimal("1.1"), "2026-11-01")

    @pytest.mark.parametrize(
        ("table", "words"),
        [
            (b"date,currency,rate\n2026-11-20,CHF,1.07\n2026-13-01,CHF,1\n", "line 3: date"),
            (b"date;currency;rate\n2026-11-20;CHF;1,07\n2026-11-21;EUR;1\n", "line 3: currency"),
            (b"date,currency,rate\n2026-11-20,CHF,0\n", "line 2: rate is 0"),
            (b"date,currency,rate\n2026-11-20,CHF,1.0.7\n", "line 2: rate"),
            (b"day,currency,rate\n", "date: is missing"),
            (b"\xff", "is not UTF-8 text"),
        ],
    )
    def test_a_table_with_a_bad_row_is_not_half_kept(
        self, shop: RecordShop, table: bytes, words: str
    ) -> None:
        with pytest.raises((Unusable, Unreadable)) as refused:
            settle.import_rates(shop, table, "rates.csv", on=ON, **BY)
        assert words in told(refused.value)
        assert shop.current(DayRate) == []

    @pytest.mark.parametrize("rate", ["0.0095", "163", "3.2", "0.3"])
    def test_one_far_from_the_last_is_asked_about(self, shop: RecordShop, rate: str) -> None:
        """1.05, then one of another size: the wrong way round, or a mark too far."""
        settle.day_rate(shop, "CHF", Decimal("1.05"), rate_on=date(2026, 11, 20), on=ON, **BY)
        table = f"date,currency,rate\n2026-11-21,CHF,{rate}\n".encode()
        typed = line(currency="CHF", rate=Decimal(rate), rate_on="2026-11-20")
        for deed in (
            lambda sure: settle.day_rate(shop, "CHF", Decimal(rate), rate_on=date(2026, 11, 22),
                                         on=ON, sure=sure, **BY),
            lambda sure: settle.import_rates(shop, table, "r.csv", on=ON, sure=sure, **BY),
            lambda sure: settle.post(shop, typed, on=ON, sure=sure, **BY),
        ):  # fmt: skip
            before = len(shop.current(DayRate)), len(shop.current(Posting))
            with pytest.raises(Unusable) as refused:
                deed(False)
            assert f"is {rate}, and the last of CHF was" in told(refused.value)
            assert (len(shop.current(DayRate)), len(shop.current(Posting))) == before
        settle.import_rates(shop, table, "r.csv", on=ON, sure=True, **BY)
        assert [one.fact.rate for one in settle.kept_rates(shop)] == [
            Decimal(rate), Decimal("1.05")]  # fmt: skip

    def test_the_wrong_way_round_is_named(self, shop: RecordShop) -> None:
        post(shop, currency="JPY", amount=Decimal(10000), rate=Decimal("0.0061"),
             rate_on="2026-11-20")  # fmt: skip
        with pytest.raises(Unusable) as refused:
            post(shop, currency="JPY", amount=Decimal(10000), rate=Decimal(163), what="inserts",
                 rate_on="2026-11-20")  # fmt: skip
        assert "the last of JPY was 0.0061: it is the wrong way round" in told(refused.value)

    def test_one_of_a_day_to_come_or_of_the_shops_own_money_is_none(self, shop: RecordShop) -> None:
        for more, words in (
            ({"currency": "CHF", "rate_on": "2026-11-27"}, "rate_on: is 2026-11-27, and that is"),
            ({"rate_on": "2026-11-20"}, "rate: stands on a line in EUR, the shop's own"),
        ):
            with pytest.raises(Unusable) as refused:
                post(shop, rate=Decimal("1.2"), **more)
            assert words in told(refused.value)

    def test_one_that_lines_stand_on_is_not_taken_back(self, shop: RecordShop) -> None:
        older, newer = (
            settle.day_rate(shop, "CHF", rate, rate_on=date(2026, 11, day), on=ON, **BY)
            for rate, day in ((Decimal("1.1"), 18), (Decimal("1.2"), 20))
        )
        post(shop, currency="CHF")
        with pytest.raises(NotYet) as refused:
            settle.take_back(shop, newer.id, **BY)
        assert "belts of 2026-11-20 stands on this rate" in told(refused.value)
        settle.take_back(shop, older.id, **BY)
        settle.day_rate(shop, "CHF", Decimal("1.3"), rate_on=date(2026, 11, 20), on=ON, **BY)
        assert settle.book(shop, on=ON).by_bucket == {"": 130}


class TestReceipts:
    def test_a_paper_is_kept_once_and_tied_by_its_hash(self, shop: RecordShop) -> None:
        def prove(content: bytes, name: str) -> Proved:
            return Proved("application/pdf")

        kept = settle.keep_receipt(shop, b"%PDF", "bill.pdf", prove, **BY)
        assert settle.keep_receipt(shop, b"%PDF", "again.pdf", prove, **BY).id == kept.id
        fact = post(shop, receipt=kept.fact.sha256).fact
        assert settle.receipt_file(shop, fact.receipt) == kept

    def test_what_is_no_paper_is_refused(self, shop: RecordShop) -> None:
        with pytest.raises(Unreadable):
            settle.keep_receipt(shop, b"RIFF", "song.wav", lambda *_: Proved("audio/wav"), **BY)


def test_what_the_book_knows_may_be_posted_as_a_whole_or_in_parts(shop: RecordShop) -> None:
    won = worth.outcome(shop, "school", "won", amount=Decimal(6000), **BY)
    whole = post(shop, source=f"outcome:{won.id}", machine=None)
    assert whole.fact.source == f"outcome:{won.id}"
    again = settle.correct(shop, whole.id, replace(whole.fact, what="hammer"), on=ON, **BY)
    assert again.fact.source == whole.fact.source


def test_a_kept_file_that_is_no_paper_is_no_receipt(shop: RecordShop) -> None:
    sha256 = shop.keep_file(b"N10 G0 X0")
    shop.add(File(sha256=sha256, name="O1.nc", media_type="text/plain", size_bytes=9), **BY)
    with pytest.raises(Unusable) as refused:
        post(shop, receipt=sha256)
    assert "receipt: is neither a photograph nor a PDF" in told(refused.value)
    assert shop.current(Posting) == []


def test_a_missing_rate_is_refused_without_a_command(shop: RecordShop) -> None:
    with pytest.raises(Unusable) as refused:
        post(shop, currency="CHF")
    assert "retrue" not in told(refused.value)
