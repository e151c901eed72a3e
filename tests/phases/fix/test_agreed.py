"""What is quoted, agreed and paid stands alike in price, options, cards and purchase list."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop, TickingClock

from retrue.cases.fix.choice_lines import WayOption
from retrue.cases.fix.kept import fix_kept
from retrue.cases.fix.plan_json import inputs_of
from retrue.kinds.library import Kind
from retrue.phases import fix, worth
from retrue.phases.fix.options import options
from retrue.phases.fix.together import together
from retrue.phases.worth import LotView
from retrue.records.facts import CostLine, Finding, Lot, Terms
from retrue.records.fixing import Chosen, Out, OutEnded, Quoted, Stock
from retrue.records.shop import Record

NOW = datetime(2026, 11, 26, 19, 0, tzinfo=UTC)
ON = NOW.date()
ME = {"by": "owner"}
Kinds = Mapping[str, Kind]


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop(TickingClock(NOW))


@pytest.fixture(autouse=True)
def burnt(shop: FakeShop, lot: LotView) -> LotView:
    """The mill's spindle drive and motor are gone, a supply, and the shop's own current."""
    for fault in ("F14", "F15", "F04", "F100", "F109"):
        machine = lot.machine_id("mill")
        shop.add(Finding(lot=lot.id, machine=machine, fault=fault, answer="present", grade=4,
                         channel="apart"), **ME)  # fmt: skip
    return lot


def quote(shop: FakeShop, kinds: Kinds, line: str, amount: str, **more: object) -> Record[Quoted]:
    told = {"lot": "school", "machine": "mill", "vendor": "dryer", "quoted_on": "2026-11-24"}
    fact = Quoted(line=line, amount=Decimal(amount), **(told | more))
    return fix.quote(shop, fact, kinds, **ME)


def take(shop: FakeShop, kinds: Kinds, quoted: Record[Quoted], **more: str) -> Record[Out]:
    return fix.take(shop, quoted.id, on=ON, kinds=kinds, **more, **ME)


def asked(shop: FakeShop, kinds: Kinds, line: str, machine: str = "mill") -> WayOption:
    """One way as the options have it."""
    told = options(shop, "school", machine, kinds, now=NOW, worlds=100)
    fault, _, name = line.partition(":")
    ways = next(one for one in told.faults if one.fault == fault).ways
    return next(one for one in ways if one.way == name)


def bought(shop: FakeShop, kinds: Kinds, line: str) -> list[tuple[str, float, float, str]]:
    """Machine, money if it is needed, days and source of every row of a line."""
    rows = fix.buying(shop, kinds, on=ON).rows
    return [
        (row.machine_name, row.part.money.likely, row.part.days, row.part.source)
        for row in rows
        if row.part.line == line
    ]


def chosen(shop: FakeShop, kinds: Kinds, line: str) -> None:
    fault, _, name = line.partition(":")
    fact = Chosen(lot="", machine="", sort="way", what=fault, way=name)
    fix.choose(shop, "school", "mill", kinds, fact, **ME)


def priced(shop: FakeShop, kinds: Kinds) -> float | None:
    return worth.price(shop, "school", kinds, worlds=400).walk_away.amount


def test_a_dear_quote_moves_options_cards_list_and_price_alike(
    shop: FakeShop, kinds: Kinds
) -> None:
    def first_ways() -> tuple[str, set[str]]:
        told = options(shop, "school", "mill", kinds, now=NOW, worlds=100)
        way = next(one for one in told.faults if one.fault == "F100").ways[0].way
        cards = fix.cards(shop, "school", "mill", kinds, on=ON).cards
        return way, {one.key for one in cards if "F100" in one.key}

    before, price = first_ways(), priced(shop, kinds)
    assert any(before[0] in key for key in before[1])
    quote(shop, kinds, f"F100:{before[0]}", "2900")
    after = first_ways()
    assert after[0] != before[0]
    assert all(after[0] in key and before[0] not in key for key in after[1])
    rows = fix.buying(shop, kinds, on=ON).rows
    paid = [row.amount for row in rows if (row.machine_name, row.part.line)
            == ("mill", f"F100:{before[0]}")]  # fmt: skip
    assert sum(paid) == 0.0  # shown, that it can be taken, and bought by nobody
    now = priced(shop, kinds)
    assert price is not None
    assert now is not None
    assert now < price


def test_a_quote_that_has_run_out_moves_nothing(shop: FakeShop, kinds: Kinds) -> None:
    before = asked(shop, kinds, "F15:local"), priced(shop, kinds)
    quote(shop, kinds, "F15:local", "9000", valid_until_on="2026-11-25")
    assert (asked(shop, kinds, "F15:local"), priced(shop, kinds)) == before


def test_what_is_ordered_counts_with_the_days_left_and_what_is_here_with_nothing(
    shop: FakeShop, kinds: Kinds
) -> None:
    def still() -> float:
        told = options(shop, "school", "mill", kinds, now=NOW, worlds=100).stop_loss
        assert told is not None
        return told.still_money

    chosen(shop, kinds, "F15:local")
    out = take(shop, kinds, quote(shop, kinds, "F15:local", "900", days=15.0))
    way = asked(shop, kinds, "F15:local")
    assert (way.money.likely, way.days, way.source) == (900.0, 15.0, "agreed with dryer")
    later = datetime(2026, 12, 1, 19, 0, tzinfo=UTC)
    told = options(shop, "school", "mill", kinds, now=later, worlds=100)
    ways = next(one for one in told.faults if one.fault == "F15").ways
    assert next(one.days for one in ways if one.way == "local") == 10.0
    before, price = still(), priced(shop, kinds)
    ended = OutEnded(lot="", out=out.id, ended_on=ON.isoformat(), how="back", paid=Decimal(900))
    fix.back(shop, out.id, ended, kinds, **ME)
    fix.judge(shop, out.id, True, "", **ME)
    way = asked(shop, kinds, "F15:local")
    assert (way.money.high, way.days) == (0.0, 0.0)
    assert "nothing more to pay" in way.source
    assert 400.0 < before - still() <= 901.0
    now = priced(shop, kinds)
    assert price is not None
    assert now is not None
    assert now > price
    assert "mill" not in {row[0] for row in bought(shop, kinds, "F15:local")}


def test_units_divide_only_what_is_paid_by_the_unit(shop: FakeShop, kinds: Kinds) -> None:
    assert kinds["vertical_machining_centre"].faults["F04"].paid != "unit"
    told = quote(shop, kinds, "F04:replace", "80", units=2)
    assert asked(shop, kinds, "F04:replace").money.likely == 160.0
    take(shop, kinds, told)
    assert asked(shop, kinds, "F04:replace").money.likely == 160.0
    (price,) = shop.current(CostLine, line="F04:replace")
    assert price.fact.amount == Decimal("160.00")


def test_one_order_that_names_no_machine_is_for_one(shop: FakeShop, kinds: Kinds) -> None:
    chosen(shop, kinds, "F100:replace")
    fact = Chosen(lot="", machine="", sort="way", what="F100", way="replace")
    fix.choose(shop, "school", "lathe", kinds, fact, **ME)
    take(shop, kinds, quote(shop, kinds, "F100:replace", "50", machine=None, days=3.0))
    rows = bought(shop, kinds, "F100:replace")
    assert [row[0] for row in rows if row[3] == "agreed with dryer"] == ["mill"]
    assert "" not in {row[0] for row in rows}


@pytest.mark.parametrize("machine", [None, "mill", "lathe"])
def test_a_quote_for_what_belongs_to_the_shop_counts(
    shop: FakeShop, kinds: Kinds, machine: str | None
) -> None:
    price = priced(shop, kinds)
    told = quote(shop, kinds, "F109:local", "3000", machine=machine, days=7.0)
    way = asked(shop, kinds, "F109:local")
    assert (way.money.likely, way.days) == (3000.0, 7.0)
    chosen(shop, kinds, "F109:local")
    take(shop, kinds, told)
    assert asked(shop, kinds, "F109:local").source == "agreed with dryer"
    assert [row[:2] for row in bought(shop, kinds, "F109:local")] == [("mill", 3000.0)]
    now = priced(shop, kinds)
    assert price is not None
    assert now is not None
    assert now < price


def test_amounts_are_in_the_currency_of_the_shop(
    shop: FakeShop, kinds: Kinds, lot: LotView
) -> None:
    rate = {"currency": "GBP", "rate": Decimal(2), "rate_on": "2026-11-20"}
    worth.correct(shop, Lot, lot.id, **rate, **ME)
    told = quote(shop, kinds, "F15:local", "100", currency="GBP")
    assert asked(shop, kinds, "F15:local").money.likely == 200.0
    out = take(shop, kinds, told)
    assert asked(shop, kinds, "F15:local").money.likely == 200.0
    ended = OutEnded(lot="", out=out.id, ended_on=ON.isoformat(), how="called_off")
    fix.back(shop, out.id, ended, kinds, **ME)
    (price,) = shop.current(CostLine, line="F15:local")
    assert price.fact.amount == Decimal("200.00")


def taxed(shop: FakeShop, lot: LotView) -> None:
    assert lot.terms is not None
    worth.correct(shop, Terms, lot.terms.id, tax_rate=0.21, **ME)


def test_tax_that_comes_back_is_out_of_every_amount(
    shop: FakeShop, kinds: Kinds, lot: LotView
) -> None:
    taxed(shop, lot)
    chosen(shop, kinds, "F15:local")
    told = quote(shop, kinds, "F15:local", "121", tax="incl", days=7.0)
    for _ in range(2):
        assert asked(shop, kinds, "F15:local").money.likely == 100.0
        assert ("mill", 100.0) in [row[:2] for row in bought(shop, kinds, "F15:local")]
        take(shop, kinds, told)


def test_of_quotes_that_cannot_be_compared_none_counts(
    shop: FakeShop, kinds: Kinds, lot: LotView
) -> None:
    taxed(shop, lot)
    chosen(shop, kinds, "F15:local")
    table = next(row for row in bought(shop, kinds, "F15:local") if row[0] == "mill")
    quote(shop, kinds, "F15:local", "121", tax="incl", vendor="dealer y")
    quote(shop, kinds, "F15:local", "100", vendor="dealer z")
    assert asked(shop, kinds, "F15:local").source == "by the tables"
    row = next(row for row in bought(shop, kinds, "F15:local") if row[0] == "mill")
    assert row[:3] == table[:3]
    assert "dealer" not in row[3]


def test_a_quote_for_a_renewal_reaches_the_open_place_until_it_is_fitted(
    shop: FakeShop, kinds: Kinds
) -> None:
    def seal() -> float:
        place = kinds["vertical_machining_centre"].renewals["nose_seal"].place
        told = together(shop, "school", "mill", kinds, place=place, now=NOW, worlds=50)
        return next(row.money for row in told.rows if row.id == "nose_seal")

    told = quote(shop, kinds, "renew:nose_seal", "20", days=2.0)
    assert seal() == 20.0
    out = take(shop, kinds, told)
    assert seal() == 20.0
    ended = OutEnded(lot="", out=out.id, ended_on=ON.isoformat(), how="back", paid=Decimal(20))
    fix.back(shop, out.id, ended, kinds, **ME)
    assert seal() == 0.0


def test_what_lies_on_the_shelf_costs_nothing_for_as_many_as_there_are(
    shop: FakeShop, kinds: Kinds
) -> None:
    line = "F100:replace"
    price = priced(shop, kinds)
    lathe = asked(shop, kinds, line, "lathe")
    fix.set_stock(shop, Stock(name=line, amount=1), **ME)
    mill = asked(shop, kinds, line)
    assert (mill.money.high, mill.days, mill.source) == (0.0, 0.0, "on the shelf")
    assert asked(shop, kinds, line, "lathe") == lathe
    chosen(shop, kinds, line)
    card = next(one for one in fix.cards(shop, "school", "mill", kinds, on=ON).cards
                if one.key == line)  # fmt: skip
    assert [part.state for part in card.parts] == ["here"]
    assert "mill" not in {row[0] for row in bought(shop, kinds, line)}
    now = priced(shop, kinds)
    assert price is not None
    assert now is not None
    assert now >= price


def test_a_kept_plan_is_not_stale_because_a_day_went_by_but_because_of_a_quote(
    shop: FakeShop, kinds: Kinds, lot: LotView
) -> None:
    def inputs(on: date) -> str:
        return inputs_of([fix_kept(shop, lot.id, kinds, on=on)], kinds)

    take(shop, kinds, quote(shop, kinds, "F15:local", "900", days=15.0))
    before = inputs(ON)
    assert inputs(date(2026, 12, 1)) == before
    quote(shop, kinds, "F14:local", "300")
    assert inputs(ON) != before
