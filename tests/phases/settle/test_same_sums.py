"""The same machine shows the same sums on every page at the same moment."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.library import load, priced_once
from tests.phases.settle.test_costing import NOW, Home, frozen_lot

from retrue.cases.kept_case import kept_case
from retrue.phases import settle, worth
from retrue.phases.settle.versus import versus
from retrue.records.facts import Outcome
from retrue.records.moving import Arrived
from retrue.records.settling import CaseClosed, ForSale, HoursTold, Posting

ON = date(2026, 11, 26)
BY: dict[str, Any] = {"by": "owner"}
WORLDS = 400
PERCENTILES = ("p10", "p50", "p90", "mean")


@pytest.fixture(scope="module", autouse=True)
def priced() -> Iterator[None]:
    with priced_once():
        yield


def here(made: Home) -> Home:
    came = Arrived(lot=made.lot, machine=made.mill, delivered_on="2026-10-20")
    made.shop.add(came, **BY)
    return made


def post(made: Home, sort: Any, amount: str, bucket: str, **more: Any) -> None:
    given: dict[str, Any] = {"what": bucket or "it", "posted_on": "2026-11-02"} | more
    fact = Posting(sort=sort, amount=Decimal(amount), lot=made.lot, bucket=bucket, **given)
    settle.post(made.shop, fact, on=ON, **BY)


def nothing_posted() -> Home:
    """Won without a word in the book; the mill came, own hours were told."""
    made = here(frozen_lot())
    told = HoursTold(lot=made.lot, machine=made.mill, worked_on="2026-11-05", hours=5.5)
    settle.tell_hours(made.shop, told, load(), now=NOW, **BY)
    return made


def won() -> Home:
    """The hammer is known from the outcome alone."""
    made = here(frozen_lot())
    made.shop.add(Outcome(lot=made.lot, result="won", amount=Decimal(3000)), **BY)
    return made


def partly_posted() -> Home:
    """The lot's price in one line, parts on lines and on none, a bill paid in part."""
    made = nothing_posted()
    post(made, "bought", "4000", "price")
    post(made, "paid", "800", "removal", machine=made.mill, line="E11")
    post(made, "bought", "95", "parts", machine=made.lathe)
    post(made, "sold", "150", "parts", machine=made.mill)
    return made


def sold() -> Home:
    """Sold and not closed: nothing more is to come of it."""
    made = partly_posted()
    made.shop.add(ForSale(lot=made.lot, machine=made.mill, sold_as="parts",
                          ask=Decimal(5000)), **BY)  # fmt: skip
    post(made, "sold", "5000", "", machine=made.mill, posted_on="2026-11-20")
    return made


@pytest.mark.parametrize("story", [nothing_posted, won, partly_posted, sold])
def test_every_page_has_the_same_money_and_hours(story: Any) -> None:
    made, kinds = story(), load()
    expected = {one.machine: one for one in settle.hours(made.shop, kinds, on=ON).expected}
    for key in (made.mill, made.lathe):
        at = (made.shop, made.lot, key, kinds)
        cost = settle.cost(*at, on=ON, worlds=WORLDS)
        rate = settle.rate(*at, on=ON, worlds=WORLDS)
        compared = versus(*at, on=ON, worlds=WORLDS)
        assert rate.paid_so_far == compared.money_so_far == pytest.approx(cost.restored)
        assert rate.own_hours_so_far == compared.hours_so_far == cost.hours
        assert compared.money_behind == pytest.approx(cost.assumed_money.mean)
        assert compared.money_still == pytest.approx(cost.still.mean)
        for name in PERCENTILES:
            end, hours = getattr(cost.restored_end, name), getattr(cost.hours_end, name)
            for view in (rate.paid, compared.money_end):
                assert getattr(view, name) == pytest.approx(end), name
            for told in (rate.own_hours, compared.hours_end):
                assert getattr(told, name) == pytest.approx(hours), name
        assert set(cost.assumed) >= {one for one in compared.assumed if "book" in one}

        whole = settle.cost(*at, on=ON)
        page, closing = expected[key], settle.closing(*at, on=ON)
        assert (page.low, page.even, page.high) == pytest.approx(
            (whole.hours_forecast.p10, whole.hours_forecast.p50, whole.hours_forecast.p90)
        )
        assert page.end_even == pytest.approx(whole.hours_end.p50)
        assert page.worked == whole.hours
        totals = {row.line: row for row in closing.case.rows if row.sort == "total"}
        assert totals["restored"].was == whole.restored
        assert totals["hours"].was == whole.hours
        assert totals["hours"].guessed == whole.hours_forecast.p50
        assert closing.still == whole.still.mean


def test_proven_to_be_sold_takes_what_is_to_come_but_for_the_tooling_of_ones_own_work() -> None:
    """What Sell says until it is proven, and what its cost has to come: the page says why."""
    made, kinds = nothing_posted(), load()
    at = (made.shop, made.lot, made.mill, kinds)
    cost = settle.cost(*at, on=ON)
    proven = next(one for one in settle.sale(*at, on=ON).states if one.id == "proven")
    tooling = kinds["vertical_machining_centre"].costs["E61"].hours
    assert proven.hours <= cost.hours_still.mean
    assert cost.hours_still.mean - proven.hours <= tooling.high


def test_what_is_frozen_after_it_was_won_is_no_forecast() -> None:
    made, kinds = frozen_lot(), load()
    made.shop.add(Outcome(lot=made.lot, result="won", amount=Decimal(3000)), **BY)
    before = settle.cost(made.shop, made.lot, None, kinds, on=ON, worlds=WORLDS)
    worth.freeze(made.shop, made.lot, kinds, seed=11, worlds=200, reason="known better", **BY)
    after = settle.cost(made.shop, made.lot, None, kinds, on=ON, worlds=WORLDS)
    assert after.restored_forecast == before.restored_forecast
    assert after.hours_forecast == before.hours_forecast


def test_a_closed_machine_counts_what_stands_in_its_book_and_nothing_assumed() -> None:
    """What nobody put in until it was closed stands for nothing any more; its price does."""
    made, kinds = partly_posted(), load()
    assert made.cost("mill").assumed_money.p90 > 0.0
    made.shop.add(CaseClosed(lot=made.lot, machine=made.mill, closed_on="2026-11-20",
                             end="keeps_working", compared="{}", version="0"), **BY)  # fmt: skip
    view = settle.cost(made.shop, made.lot, made.mill, kinds, on=ON, worlds=WORLDS)
    assert (view.assumed_money.p90, view.still.p90) == (0.0, 0.0)
    assert view.restored_end.p50 == pytest.approx(view.restored)


def test_a_lot_in_a_file_says_the_same_as_its_cost() -> None:
    made, kinds = frozen_lot(), load()
    case = kept_case(made.shop, made.lot)
    cost = settle.cost_file(case, None, "", "mill", kinds, on=ON, worlds=WORLDS)
    compared = settle.versus_case(case, "mill", kinds, on=ON, worlds=WORLDS)
    assert compared.money_so_far == 0.0
    for name in PERCENTILES:
        assert getattr(compared.money_end, name) == pytest.approx(getattr(cost.restored_end, name))
