"""Rate and comparison of a machine in the shop: the book, the hours, figures of one's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.belief.network import Evidence, Impossible, Network, Worlds
from retrue.belief.worlds import draw
from retrue.cases.kept_case import kept_case
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.phases.settle.versus import versus
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.settling import ForSale, HoursTold, Posting, RunFigure
from retrue.records.shop import RecordShop

ON = date(2026, 11, 26)
NOW = datetime(2026, 11, 26, 22, 30, tzinfo=UTC)
BY: dict[str, Any] = {"by": "owner"}
DRAWS = {"on": ON, "worlds": 200}

Home = tuple[RecordShop, str, str]


@pytest.fixture(scope="module")
def kinds() -> Mapping[str, Kind]:
    return load()


@pytest.fixture
def home() -> Home:
    """One mill that is bid for."""
    shop = FakeShop()
    worth.keep_shop(shop, Shop(hour_alternative=Decimal(15), hours_a_week=20), **BY)
    terms = Terms(lot="", bid_now=Decimal(2000), premium=0.1)
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=23)
    view = worth.new_lot(shop, Lot(name="school"), terms, [mill], **BY)
    return shop, view.id, view.machines[0][0]


def paid(home: Home, amount: int, bucket: str, **more: Any) -> None:
    shop, lot, machine = home
    given = {"sort": "paid", "posted_on": "2026-11-20", "what": bucket} | more
    fact = Posting(amount=Decimal(amount), lot=lot, machine=machine, bucket=bucket, **given)
    settle.post(shop, fact, on=ON, **BY)


def figure(item: str, low: int, likely: int, high: int) -> RunFigure:
    return RunFigure(lot="", machine="", item=item, low=Decimal(low), likely=Decimal(likely),
                     high=Decimal(high))  # fmt: skip


def test_before_anything_is_paid_the_bid_is_taken_and_said(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    told = settle.rate(*home, kinds, **DRAWS)
    seen = settle.cost(*home, kinds, **DRAWS)
    assert told.paid_so_far == seen.restored == 0.0
    assert sum(row.still.mean for row in seen.rows if row.bucket in ("price", "premium")
               and row.still is not None) == pytest.approx(2_200.0)  # fmt: skip
    for name in ("p10", "p50", "p90", "mean"):
        assert getattr(told.paid, name) == pytest.approx(getattr(seen.restored_end, name))
    assert any("not bought yet" in words and "2 000 asked" in words.replace("\u202f", " ")
               for words in told.assumed)  # fmt: skip


def test_money_and_hours_are_those_of_the_book_and_the_evenings(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    shop, lot, machine = home
    paid(home, 3_100, "price", sort="bought")
    paid(home, 400, "parts")
    told = HoursTold(lot=lot, machine=machine, worked_on="2026-11-25", hours=3.5)
    settle.tell_hours(shop, told, kinds, now=NOW, **BY)
    view = versus(shop, lot, machine, kinds, **DRAWS)
    assert (view.money_so_far, view.hours_so_far) == (3_500.0, 3.5)
    rate = settle.rate(shop, "school", "mill", kinds, **DRAWS)
    assert (rate.paid_so_far, rate.own_hours_so_far) == (3_500.0, 3.5)
    assert not any("price" in words for words in (*view.assumed, *rate.assumed))


def test_another_line_in_the_book_moves_what_was_remembered(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    paid(home, 3_100, "price", sort="bought")
    before = versus(*home, kinds, **DRAWS)
    assert versus(*home, kinds, **DRAWS) == before
    paid(home, 1_000, "other")
    after = versus(*home, kinds, **DRAWS)
    for old, new in zip(before.rows, after.rows, strict=True):
        assert old.gap.mean - new.gap.mean == pytest.approx(1_000.0)


def test_running_is_told_by_year_and_is_in_no_cost(home: Home, kinds: Mapping[str, Kind]) -> None:
    paid(home, 3_100, "price", sort="bought", posted_on="2025-06-01")
    paid(home, 600, "running", posted_on="2025-10-01")
    told = settle.rate(*home, kinds, **DRAWS)
    assert told.paid_so_far == 3_100.0
    assert [(one.year, one.amount) for one in told.run_years] == [(2025, 600.0)]
    assert told.run_a_year == pytest.approx(600.0)
    assert [part.part for part in told.parts] == ["capital", "own_hours", "floor", "running"]


def test_a_figure_is_kept_once_and_the_newest_counts(home: Home, kinds: Mapping[str, Kind]) -> None:
    shop, lot, machine = home
    first = settle.set_figure(shop, lot, "mill", kinds, figure("hours_a_year", 300, 400, 500), **BY)
    same = settle.set_figure(shop, lot, "mill", kinds, figure("hours_a_year", 300, 400, 500), **BY)
    assert same.id == first.id
    settle.set_figure(shop, lot, "mill", kinds, figure("hours_a_year", 900, 900, 900), **BY)
    assert len(shop.current(RunFigure, lot=lot, machine=machine)) == 1
    settle.set_figure(shop, lot, "mill", kinds, figure("down_days_a_year", 0, 0, 0), **BY)
    told = settle.rate(shop, lot, machine, kinds, **DRAWS)
    assert told.hours.mean == 900.0
    marks = {row.item: row.mark for row in told.figures}
    assert marks["hours_a_year"] == "own"
    assert marks["floor_m2"] == "assumed"


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        (figure("hours_a_year", 0, 400, 500), "low"),
        (figure("floor_m2", 30, 20, 10), "likely"),
        (figure("speed", 1, 2, 3), "item"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_by_name_and_nothing_is_kept(
    home: Home, kinds: Mapping[str, Kind], wrong: RunFigure, where: str
) -> None:
    shop, lot, machine = home
    with pytest.raises(Unusable) as refused:
        settle.set_figure(shop, lot, machine, kinds, wrong, **BY)
    assert refused.value.problems[0].where == where
    assert not shop.current(RunFigure)


def test_a_sold_machine_tells_what_it_left_and_has_no_rate(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    paid(home, 3_000, "price", sort="bought", posted_on="2026-06-01")
    shop, lot, machine = home
    shop.add(ForSale(lot=lot, machine=machine, sold_as="parts", ask=Decimal(5_000)), **BY)
    paid(home, 5_000, "", sort="sold", posted_on="2026-11-20", what="the mill")
    view = versus(*home, kinds, **DRAWS)
    assert view.gone
    assert view.rows[0].gap.mean == pytest.approx(5_000 * 1.08 ** (-172 / 365.25) - 3_000)
    assert "is sold" in settle.rate(*home, kinds, **DRAWS).why


def test_answers_that_contradict_each_other_keep_it_open_and_it_is_said(
    home: Home, kinds: Mapping[str, Kind], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, lot, machine = home
    shop.add(Finding(lot=lot, machine=machine, grade=3, channel="apart", fault="F01",
                     answer="present"), **BY)  # fmt: skip

    def contradict(network: Network, found: Sequence[Evidence], chances: object) -> Worlds:
        if found:
            raise Impossible("the evidence contradicts itself")
        return draw(network, found, chances)

    monkeypatch.setattr("retrue.cases.view.draw", contradict)
    told = settle.rate(*home, kinds, **DRAWS)
    assert told.an_hour is not None
    assert any("contradicts itself" in words for words in told.assumed)


def test_another_machine_of_an_unknown_type_is_left_out(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    shop, lot, _ = home
    shop.add(Machine(lot=lot, name="saw", kind="band_saw"), **BY)
    assert versus(*home, kinds, **DRAWS).rows
    with pytest.raises(Unknown):
        settle.rate(shop, lot, "saw", kinds, **DRAWS)


def test_a_machine_that_is_not_there_is_unknown(home: Home, kinds: Mapping[str, Kind]) -> None:
    shop, lot, _ = home
    with pytest.raises(Unknown):
        settle.rate(shop, lot, "lathe", kinds, **DRAWS)
    with pytest.raises(Unusable, match="kept as it stands"):
        settle.rate(shop, lot, "mill", kinds, margin=1.0, **DRAWS)


def test_the_plain_case_says_what_the_shop_says_before_anything_happened(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    shop, lot, machine = home
    case = kept_case(shop, lot)
    ours = settle.versus_case(case, "mill", kinds, **DRAWS)
    kept = versus(shop, lot, machine, kinds, **DRAWS)
    assert [row.gap for row in ours.rows] == [row.gap for row in kept.rows]
    with pytest.raises(Unknown):
        settle.rate_case(replace(case, machines=()), "mill", kinds, on=ON)


def test_what_goes_with_a_machine_is_sold_and_the_machine_stays(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    """Typed plainly it is asked about; as a part it brings its money, and the mill works on."""
    paid(home, 3_000, "price", sort="bought", posted_on="2026-06-01")
    shop, lot, machine = home
    shop.add(ForSale(lot=lot, machine=machine, sold_as="parts", ask=Decimal(5_000)), **BY)
    with pytest.raises(NotYet, match="less than the") as refused:
        paid(home, 300, "", sort="sold", what="vise")
    assert "bucket parts" in refused.value.remedy
    paid(home, 300, "parts", sort="sold", what="vise")
    assert settle.rate(*home, kinds, **DRAWS).an_hour is not None
    assert not versus(*home, kinds, **DRAWS).gone
    assert not settle.cost(*home, kinds, **DRAWS).sold_on
    listed = ForSale(lot=lot, machine=machine, sold_as="parts", ask=Decimal(900), dump=Decimal(250))
    shop.add(listed, replaces=shop.current(ForSale)[-1].id, **BY)
    paid(home, 300, "", sort="sold", what="the mill, as it lies there")
    assert versus(*home, kinds, **DRAWS).gone


def test_a_machine_that_worked_for_years_before_its_sale_saved_money(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    shop, lot, machine = home
    paid(home, 9_000, "price", sort="bought", posted_on="2022-01-10")
    then = date(2022, 6, 1)
    settle.close(shop, lot, machine, "keeps_working", kinds, on=then, **BY)
    shop.add(ForSale(lot=lot, machine=machine, sold_as="parts", ask=Decimal(5_000)), **BY)
    paid(home, 5_000, "", sort="sold", posted_on="2026-11-01", what="the mill")
    view = versus(*home, kinds, **DRAWS)
    assert view.gone
    assert view.rows[0].gap.mean > 0.0
    assert "left about" in view.answer
    assert any("from 2022-06-01 until 2026-11-01" in words for words in view.assumed)
    settle.close(shop, lot, machine, "sold", kinds, on=ON, **BY)
    again = versus(*home, kinds, **DRAWS)
    assert again.rows[0].gap == view.rows[0].gap


def test_rate_and_comparison_say_the_same_hours_against_buying_in(
    home: Home, kinds: Mapping[str, Kind]
) -> None:
    shop, lot, machine = home
    paid(home, 3_100, "price", sort="bought")
    settle.set_figure(shop, lot, machine, kinds, figure("wage_an_hour", 20, 25, 30), **BY)
    settle.set_figure(shop, lot, machine, kinds, figure("floor_m2_year", 60, 120, 240), **BY)
    (even,) = settle.rate(*home, kinds, **DRAWS).even
    row = next(row for row in versus(*home, kinds, **DRAWS).rows if row.way == "buy_in")
    assert row.hours_even is not None
    assert (row.hours_even.says, row.hours_even.at) == (even.says, even.at)
    assert even.at is not None
