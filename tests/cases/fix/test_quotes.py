"""Quotes in one currency, promises folded, deposits: exact, whatever the order."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as some

from retrue.cases.fix.cash import by_week, deposit_flows
from retrue.cases.fix.kept import OutKept
from retrue.cases.fix.owed import most_pressing, out_state, owed, promise_of
from retrue.cases.fix.quotes import Change, offers_of, own_figure, whole_amount
from retrue.records.facts import Lot
from retrue.records.fixing import Out, OutEnded, Quoted, Rung
from retrue.records.shop import Record

AT = datetime(2026, 11, 26, tzinfo=UTC)
ON = date(2026, 11, 26)
EURO = Change(currency="EUR", lot=Lot(name="school"))


def record(fact, seq: int = 1):
    return Record(f"r{seq}", fact.KIND, 1, seq, AT, AT, "me", "", None, fact, "", "")


def quoted(**more) -> Quoted:
    told = {"lot": "l", "line": "F15:local", "vendor": "winder", "quoted_on": "2026-11-24",
            "amount": Decimal(600)} | more  # fmt: skip
    return Quoted(**told)


def out(**more) -> Out:
    told = {"lot": "l", "machine": "m", "sort": "sent_out", "line": "F15:local", "what": "motor",
            "whom": "winder", "since_on": "2026-11-02"} | more  # fmt: skip
    return Out(**told)


def kept(fact: Out, *said, ended: OutEnded | None = None, seq: int = 1) -> OutKept:
    calls = tuple(record(one, 10 + at) for at, one in enumerate(said))
    return OutKept(first=record(fact, seq), out=fact, rung=calls,
                   ended=record(ended, 50) if ended else None)  # fmt: skip


@settings(max_examples=25)
@given(
    some.decimals(0, 100000, places=2), some.decimals("0.0001", 50, places=4), some.integers(1, 9)
)
def test_a_sum_in_another_currency_is_exact(amount, rate, units):
    told = quoted(amount=amount, currency="GBP", rate=rate, rate_on="2026-11-20", units=units)
    made = whole_amount(told, EURO)
    assert Fraction(made) == Fraction(amount) * Fraction(rate) * units


def test_a_quote_without_a_rate_has_no_amount_and_an_old_rate_is_told():
    offers = offers_of(
        [record(quoted(currency="GBP")),
         record(quoted(currency="CHF", rate=Decimal("1.05"), rate_on="2026-10-01"), 2),
         record(quoted(amount=Decimal(700)), 3),
         record(quoted(amount=Decimal(1), valid_until_on="2026-11-25"), 4)],
        EURO, on=ON,
    )  # fmt: skip
    assert [one.amount for one in offers] == [630.0, 700.0, None, 1.0]
    assert [one.cheapest for one in offers] == [True, False, False, False]
    assert "56 days old" in offers[0].why
    assert "No rate is known for GBP" in offers[2].why
    assert not offers[3].valid
    assert "Held until 2026-11-25 only" in offers[3].why
    lot = Lot(name="a", currency="GBP", rate=Decimal("1.2"), rate_on="2026-11-20")
    assert (
        offers_of([record(quoted(currency="GBP"))], Change(currency="EUR", lot=lot), on=ON)[
            0
        ].amount
        == 720.0
    )  # the lot's own rate


def test_tax_and_no_tax_are_compared_only_where_its_rate_is_known():
    mixed = [record(quoted(tax="incl")), record(quoted(amount=Decimal(520), tax="excl"), 2)]
    assert not any(one.cheapest for one in offers_of(mixed, EURO, on=ON))
    assert "ask, then compare" in offers_of(mixed, EURO, on=ON)[0].why
    known = offers_of(mixed, Change(currency="EUR", tax_rate=0.21), on=ON)
    assert [(one.amount, one.cheapest) for one in known] == [(600.0, True), (520.0, False)]


def test_an_own_figure_is_in_the_currency_of_the_shop_for_all_units_to_the_cent():
    swiss = Change(currency="EUR", lot=Lot(name="a", currency="CHF", rate=Decimal("1.05")))
    pounds = quoted(amount=Decimal(350), currency="GBP", rate=Decimal("1.17"), units=3)
    assert own_figure(pounds, swiss) == Decimal("1228.50")  # 350 x 1.17 x 3
    assert own_figure(pounds, swiss, by_unit=True) == Decimal("409.50")
    assert own_figure(quoted(amount=Decimal(350), currency="CHF"), swiss) == Decimal("367.50")
    assert own_figure(quoted(currency="GBP"), swiss) is None
    taxed = Change(currency="EUR", tax_rate=0.21)
    assert own_figure(quoted(amount=Decimal(121), tax="incl"), taxed) == Decimal("100.00")


CALLS = (
    Rung(lot="l", out="r1", rung_on="2026-11-18", promised_on="2026-11-27", ring_on="2026-11-25"),
    Rung(lot="l", out="r1", rung_on="2026-11-25", nobody=True),
    Rung(lot="l", out="r1", rung_on="2026-11-20", promised_on="2026-11-26", ring_on="2026-11-24"),
    Rung(lot="l", out="r1", rung_on="2026-11-24", promised_on="2026-12-04"),
)


def test_promises_fold_the_same_in_any_order():
    motor = out(promised_on="2026-11-20", ring_on="2026-11-18")
    for calls in permutations(CALLS):
        promise = promise_of(kept(motor, *calls))
        assert (promise.on, promise.ring_on, promise.broken) == ("2026-12-04", None, 2)
    nobody = promise_of(kept(motor, Rung(lot="l", out="r1", rung_on="2026-11-18", nobody=True)))
    assert nobody.ring_on == "2026-11-18"  # it is to be rung still


def test_the_most_pressing_comes_first():
    back = OutEnded(lot="l", out="r1", ended_on="2026-11-25", how="back")
    every = [
        owed(kept(out(what="soon", promised_on="2026-12-01")), on=ON),
        owed(kept(out(what="back"), ended=back), on=ON),
        owed(kept(out(what="later", promised_on="2027-01-01")), on=ON),
        owed(kept(out(what="ring", ring_on="2026-11-26")), on=ON),
        owed(kept(out(what="very late", promised_on="2026-11-10")), on=ON),
        owed(kept(out(what="hangs", promised_on="2026-11-25")), on=ON, pressing=True),
        owed(kept(out(what="never said")), on=ON),
    ]
    names = [one.out.what for one in most_pressing(every)]
    assert names == ["hangs", "very late", "ring", "soon", "later", "never said", "back"]


def test_the_newest_of_a_line_says_where_its_part_is():
    back = OutEnded(lot="l", out="r1", ended_on="2026-11-25", how="back", judged="bad")
    bad = kept(out(), ended=back)
    asked = kept(out(sort="asked", whom="other"), seq=2)
    new = kept(out(sort="ordered", since_on="2026-11-26", promised_on="2026-12-01"), seq=3)

    def state(*outs: OutKept) -> tuple[str, str | None]:
        told = out_state(outs, machine="m", line="F15:local")
        return told.state, told.promised_on

    assert state(bad) == ("to_buy", None)
    assert state(bad, asked) == ("asked", None)
    assert state(new, asked, bad) == ("ordered", "2026-12-01")
    assert out_state([new], machine="other", line="F15:local").state == "to_buy"


def test_a_deposit_goes_out_and_comes_back_by_week():
    hoist = kept(out(sort="hired", since_on="2026-11-25", promised_on="2026-12-03",
                     deposit=Decimal("150.10")))  # fmt: skip
    pounds = kept(out(currency="GBP", deposit=Decimal(80)))
    told = list(deposit_flows([hoist, pounds], EURO, ON))
    assert told.pop() == "the deposit for motor in GBP, at winder"
    assert [(one.week_on, one.amount) for one in by_week(told)] == [
        ("2026-11-23", 150.1),
        ("2026-11-30", -150.1),
    ]
