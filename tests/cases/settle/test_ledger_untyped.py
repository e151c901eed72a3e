"""What the book knows without typing: a hammer that fell, what is out, what is hired."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.cases.settle.kept_lines import KEPT, posting, record, stands, with_lines

from retrue.cases.fix.outs import OutKept
from retrue.cases.happening import Line
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.ledger import book_of
from retrue.records.facts import Outcome, Terms
from retrue.records.fixing import Gear, Out, OutEnded, Quoted


class TestWhatIsKnownWithoutTyping:
    def won(self, **terms: Any) -> BookKept:
        won = record(Outcome(lot="l", result="won", amount=Decimal(6150)), "o")
        return replace(KEPT, outcomes=(Line(won, won),), terms={"l": Terms(lot="l", **terms)})

    def test_hammer_and_premium_with_their_tax(self) -> None:
        """6 150 at 16 % premium: 984; 21 % of both comes back: 7 134 is the cost, by hand."""
        kept = self.won(premium=0.16, tax_rate=0.21)
        lines = book_of(kept).lines
        assert {(one.id, one.in_shop, one.tax_back) for one in lines} == {
            ("outcome:o:price", Decimal("6150.00"), Decimal("1291.50")),
            ("outcome:o:premium", Decimal("984.00"), Decimal("206.64")),
        }
        assert {(one.state, one.paid_from) for one in lines} == {("expected", "owed")}
        assert book_of(kept).accounts == ()

    def test_margin_scheme_has_no_tax_and_import_has_duty(self) -> None:
        margin = book_of(self.won(premium=0.0, tax_rate=0.21, tax_scheme="margin")).lines
        assert [(one.tax, one.in_shop) for one in margin] == [(Decimal(0), Decimal("6150.00"))]
        duty = book_of(self.won(tax_rate=0.21, tax_scheme="import", duty=0.027)).lines
        assert {one.bucket: one.in_shop for one in duty} == {"price": Decimal("6150.00"),
                                                             "tax": Decimal("166.05")}  # fmt: skip

    @pytest.mark.parametrize(
        ("source", "left"),
        [("outcome:o", set()), ("outcome:o:price", {"outcome:o:premium"}), ("", {
            "outcome:o:price", "outcome:o:premium"})],
    )  # fmt: skip
    def test_a_posting_that_names_it_takes_its_place(self, source: str, left: set[str]) -> None:
        invoice = posting("bought", "8000.00", source=source)
        book = book_of(with_lines(invoice, kept=self.won(premium=0.16)))
        assert {line.id for line in book.lines if line.state == "expected"} == left

    def outs(self, ended: OutEnded | None, **more: Any) -> BookKept:
        out = Out(lot="l", machine="m", sort="sent_out", what="motor", whom="winder",
                  since_on="2026-11-02", line="F15:local", **more)  # fmt: skip
        kept = OutKept(first=record(out, "w"), out=out,
                       ended=None if ended is None else record(ended, "e"))  # fmt: skip
        return replace(KEPT, outs=(kept,))

    def ended(self, **more: Any) -> OutEnded:
        return OutEnded(lot="l", out="w", ended_on="2026-11-18", how="back", **more)

    def test_what_was_paid_for_what_came_back(self) -> None:
        (line,) = book_of(self.outs(self.ended(paid=Decimal(640), judged="good"))).lines
        assert (line.id, line.bucket, line.line, line.in_shop) == (
            "out:w", "outside", "F15:local", Decimal(640))  # fmt: skip
        assert line.shares[0].machine == "m"

    @pytest.mark.parametrize(
        ("tax", "paid", "cost", "unsaid"),
        [("incl", "640", "528.93", False), ("excl", "640", "640", False),
         ("excl", "774.40", "640.00", False), ("excl", "700", "700", True),
         ("", "640", "640", True)],
    )  # fmt: skip
    def test_tax_of_what_came_back_is_that_of_the_quote_or_said_to_be_unsaid(
        self, tax: Any, paid: str, cost: str, unsaid: bool
    ) -> None:
        """21 %, by hand: 640 holds 111.07 of it, and 640 with it on top is 774.40."""
        kept = self.outs(self.ended(paid=Decimal(paid), judged="good"), amount=Decimal(640),
                         quote="q")  # fmt: skip
        quote = Quoted(lot="l", line="F15:local", vendor="winder", quoted_on="2026-11-01",
                       amount=Decimal(640), tax=tax)  # fmt: skip
        terms = {"l": Terms(lot="l", tax_rate=0.21)}
        (line,) = book_of(replace(kept, quotes={"q": quote}, terms=terms)).lines
        assert (line.in_shop, line.tax_unsaid) == (Decimal(cost), unsaid)

    @pytest.mark.parametrize(("scheme", "unsaid"), [("private", True), ("ordinary", False)])
    def test_of_a_private_sale_the_tax_of_the_premium_is_not_known(
        self, scheme: Any, unsaid: bool
    ) -> None:
        kept = self.won(premium=0.16, tax_rate=0.21, tax_scheme=scheme)
        told = {one.bucket: one.tax_unsaid for one in book_of(kept).lines}
        assert told == {"price": False, "premium": unsaid}

    def test_a_deposit_is_out_until_it_came_back(self) -> None:
        (line,) = book_of(self.outs(None, deposit=Decimal(150))).lines
        assert (line.sort, line.id, line.in_shop) == ("deposit", "out:w:deposit", Decimal(0))
        assert book_of(self.outs(self.ended(deposit_back=True), deposit=Decimal(150))).lines == ()

    def test_a_deposit_that_is_posted_comes_back_as_expected(self) -> None:
        kept = self.outs(self.ended(deposit_back=True), deposit=Decimal(150))
        given = posting("deposit", "150.00", machine="m", source="out:w:deposit")
        lines = book_of(with_lines(given, kept=kept)).lines
        (back,) = (one for one in lines if one.state == "expected")
        assert (back.sort, back.of) == ("deposit_back", "p1")
        came = posting("deposit_back", "150.00", of="p1", source=back.source)
        assert {one.state for one in book_of(with_lines(given, came, kept=kept)).lines} == {
            "posted"}  # fmt: skip

    def test_a_deposit_that_did_not_come_back_is_a_cost_at_once(self) -> None:
        kept = self.outs(self.ended(deposit_back=False), deposit=Decimal(150))
        (line,) = book_of(kept).lines
        assert (line.id, line.sort, line.bucket) == ("out:w:deposit", "bought", "outside")
        assert [(one.machine, one.amount) for one in line.shares] == [("m", Decimal(150))]

    def test_a_posted_deposit_that_did_not_come_back_is_written_off(self) -> None:
        kept = self.outs(self.ended(deposit_back=False), deposit=Decimal(150))
        given = posting("deposit", "150.00", machine="m", source="out:w:deposit")
        (lost,) = (
            one for one in book_of(with_lines(given, kept=kept)).lines if one.state == "expected"
        )
        assert (lost.id, lost.of, lost.in_shop) == ("out:w:deposit:kept", "p1", Decimal(150))
        typed = posting("paid", "100.00", of="p1")
        (rest,) = (
            one for one in book_of(with_lines(given, typed, kept=kept)).lines
            if one.state == "expected"
        )  # fmt: skip
        assert rest.in_shop == Decimal(50)
        written = posting("paid", "150.00", of="p1", source=lost.id, machine="m")
        book = book_of(with_lines(given, written, kept=kept))
        assert {one.state for one in book.lines} == {"posted"}
        assert stands(book) == {("bank", "EUR"): -150, ("cost:m", "EUR"): 150}

    def hired(self, amount: int | None, *, ended: bool = True, whom: str = "the yard") -> BookKept:
        """Two days of a hoist at 80, told as gear, and told again as something that is out."""
        days = ("2026-11-18", "2026-11-19")
        gear = Gear(name="hoist", have="hired", day_costs=Decimal(80), days=days, whom="the yard")
        out = Out(lot="l", machine="m", sort="hired", what="hoist of 2 t", whom=whom,
                  since_on="2026-11-18",
                  amount=None if amount is None else Decimal(amount))  # fmt: skip
        back = OutEnded(lot="l", out="w", ended_on="2026-11-20", how="back", judged="good")
        kept = OutKept(first=record(out, "w"), out=out, ended=record(back, "e") if ended else None)
        return replace(KEPT, gear=(record(gear),), outs=(kept,))

    @pytest.mark.parametrize(
        ("kept", "counted"),
        [
            ({"amount": 160}, {"out:w"}),
            ({"amount": 160, "ended": False}, {"2026-11-18", "2026-11-19"}),
            ({"amount": None}, {"2026-11-18", "2026-11-19"}),
            ({"amount": 160, "whom": "another"}, {"2026-11-18", "2026-11-19", "out:w"}),
        ],
    )
    def test_a_hire_told_twice_counts_once(self, kept: dict[str, Any], counted: set[str]) -> None:
        lines = book_of(self.hired(**kept), on=date(2026, 11, 26)).lines
        assert {one.id.removeprefix("hire:hoist:") for one in lines} == counted

    @pytest.mark.parametrize("sources", [["out:w"], ["hire:hoist:2026-11-18",
                                                     "hire:hoist:2026-11-19"]])  # fmt: skip
    def test_a_hire_that_is_paid_counts_once(self, sources: list[str]) -> None:
        paid = [
            posting("bought", str(160 // len(sources)), source=one, bucket="hire")
            for one in sources
        ]
        book = book_of(with_lines(*paid, kept=self.hired(160)), on=date(2026, 11, 26))
        assert book.by_bucket == {"hire": 160}

    def test_days_of_hire_that_are_over(self) -> None:
        hoist = Gear(name="hoist", have="hired", day_costs=Decimal(60),
                     days=("2026-11-18", "2026-11-19", "2026-12-01"), whom="the yard")  # fmt: skip
        kept = replace(KEPT, gear=(record(hoist),), worked={"2026-11-18": ("m", "gone")})
        lines = book_of(kept, on=date(2026, 11, 26)).lines
        assert [(one.id, [share.machine for share in one.shares]) for one in lines] == [
            ("hire:hoist:2026-11-19", [""]), ("hire:hoist:2026-11-18", ["m"])]  # fmt: skip
        assert book_of(kept).lines == ()
