"""Lines in the book: every refusal named, nothing half written; nothing beside what is known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import pytest
from tests.phases.settle.booked import BY, ON, line, post, school, told

from retrue.base.refusals import Refusal, Unknown, Unreadable, Unusable
from retrue.phases import settle, worth
from retrue.records.facts import File, Lot, Machine, Terms
from retrue.records.fixing import Out, OutEnded, Stock
from retrue.records.settling import Posting
from retrue.records.shop import RecordShop


@dataclass
class Proved:
    """What a file turned out to be."""

    media_type: str
    taken: str | None = None


@pytest.fixture
def shop() -> RecordShop:
    return school()


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
