"""The same machine shows the same sums on every page at the same moment."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.phases.settle.costed import NOW, Home, frozen_lot

from retrue.cases.kept_case import kept_case
from retrue.cli.settle_cost_lines import cost_lines
from retrue.phases import settle, worth
from retrue.phases.settle.versus import versus
from retrue.records.facts import Lot, Machine, Outcome, Shop, Terms
from retrue.records.moving import Arrived
from retrue.records.settling import CaseClosed, ForSale, HoursTold, Offered, Posting

ON = date(2026, 11, 26)
BY: dict[str, Any] = {"by": "owner"}
WORLDS = 400
PERCENTILES = ("p10", "p50", "p90", "mean")


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


def test_a_part_of_another_machines_line_is_named_and_told_to_be_one() -> None:
    made, kinds = frozen_lot(), load()
    mill, lathe = kinds["vertical_machining_centre"], kinds["turning_centre"]
    line = min(set(lathe.costs) - set(mill.costs))
    post(made, "bought", "300", "tooling", line=line)
    row = next(one for one in made.cost("mill").lines if one.line == line)
    assert row.words == lathe.costs[line].item
    assert row.why == "its part of a line of another machine of the lot"


def test_a_sold_machine_is_held_against_what_it_was_to_bring_in_the_state_it_was_sold() -> None:
    """It was to be kept when the price was frozen; the worlds still had what each state brings."""
    made, kinds = sold(), load()
    at = (made.shop, made.lot, made.mill, kinds)
    view = settle.cost(*at, on=ON)
    assert (view.brings_then, view.sold_on) == (None, "2026-11-20")
    row = next(one for one in settle.closing(*at, on=ON).case.rows if one.line == "brings")
    told = view.resale_then["parts"]
    assert (row.guessed, row.low, row.high) == (told.p50, told.p10, told.p90)
    assert row.was == 5150.0
    assert row.stands != "not_foreseen"
    assert view.resale_then["parts"].p50 < view.resale_then["running"].p50


def test_money_for_parts_on_no_line_is_said_to_take_nothing_off() -> None:
    made = partly_posted()
    post(made, "bought", "5000", "parts", machine=made.mill)
    view = made.cost("mill")
    told = next(one for one in view.assumed if "stand on no line" in one)
    assert "5\u202f000" in told
    assert view.assumed[0] == told  # the page shows the first two beside the number
    assert not any("stand on no line" in one for one in partly_posted().cost("mill").assumed)


def test_a_bill_is_in_its_week_when_it_is_paid() -> None:
    """Owed 900 on 2 November; 400 paid on the 17th: 400 in that week, 500 from today on."""
    made = frozen_lot()
    where: dict[str, Any] = {"lot": made.lot, "machine": made.mill, "bucket": "move"}
    bill = Posting(sort="bought", posted_on="2026-11-02", what="truck", amount=Decimal(900),
                   paid_from="owed", **where)  # fmt: skip
    first = settle.post(made.shop, bill, on=ON, **BY).id
    part = Posting(sort="paid", posted_on="2026-11-17", what="truck", amount=Decimal(400), of=first)
    settle.post(made.shop, part, on=ON, **BY)
    view = made.cost("mill")
    assert view.restored == 900.0
    paid = {one.week_on: one.paid for one in view.cash.points if one.paid is not None}
    assert set(paid.values()) == {400.0}
    assert min(paid) == "2026-11-16"
    assert view.cash.points[-1].even == pytest.approx(view.restored + view.still.p50)


def test_a_lot_in_another_currency_takes_the_rate_that_is_kept() -> None:
    shop = FakeShop()
    worth.keep_shop(shop, Shop(), **BY)
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)
    terms = Terms(lot="", asking=Decimal(2000))
    view = worth.new_lot(shop, Lot(name="school", currency="CHF"), terms, [mill], **BY)
    settle.day_rate(shop, "CHF", Decimal("1.05"), rate_on=date(2026, 11, 25), on=ON, **BY)
    told = settle.cost(shop, view.id, "mill", load(), on=ON, worlds=200)
    assert told.lot_price == pytest.approx(2100.0)
    assert not [one for one in told.assumed if "taken as one" in one]
    assert settle.rate(shop, view.id, "mill", load(), on=ON, worlds=200).paid.p50 == pytest.approx(
        told.restored_end.p50
    )


@pytest.mark.parametrize(
    ("held", "rate", "brings", "due"),
    [(Decimal("0.21"), None, "13636.36", "16500"), (None, Decimal("0.21"), "16500", "19965.00"),
     (None, None, "16500", "16500")],
)  # fmt: skip
def test_an_offer_is_held_against_the_line_and_booked_on_the_footing_it_was_made_on(
    held: Decimal | None, rate: Decimal | None, brings: str, due: str
) -> None:
    """By hand: 16 500 with 21 % in it is 13 636.36 and tax; without, 19 965 is to be paid."""
    made, kinds = here(frozen_lot()), load()
    listing = ForSale(lot="", machine="", sold_as="parts", ask=Decimal(18000))
    settle.put_up(made.shop, made.lot, made.mill, kinds, listing, on=ON, **BY)
    offered = Offered(lot="", machine="", whom="Jan", offered_on=ON.isoformat(),
                      amount=Decimal(16500), tax_held=held)  # fmt: skip
    first = settle.offer(made.shop, made.lot, made.mill, kinds, offered, on=ON, **BY).id
    (line,) = settle.sale(made.shop, made.lot, made.mill, kinds, on=ON).offers
    assert line.amount == pytest.approx(float(brings) if held else 16500.0)
    terms = settle.Terms(tax_rate=rate)
    settle.answer_offer(made.shop, first, "taken", kinds, on=ON, terms=terms, **BY)
    (sale,) = (one for one in settle.book(made.shop, on=ON).lines if one.sort == "sold")
    assert (-sale.in_shop, sale.amount) == (Decimal(brings), Decimal(due))
    (owed,) = settle.after_sale(made.shop, made.lot, made.mill, kinds, on=ON).sales
    assert owed.due == Decimal(due)


def test_what_a_line_takes_where_it_is_needed_stands_beside_its_average() -> None:
    """Within it at 1 640, and an average of 85 beside it: the range where needed says why."""
    made, mill = here(frozen_lot()), load()["vertical_machining_centre"]
    rare = next(
        one for one in made.cost("mill").lines
        if one.line[:1] == "F" and one.chance is not None and one.chance < 0.2
        and one.low is not None and one.high is not None and one.high - one.low > 100.0
    )  # fmt: skip
    assert rare.low is not None
    assert rare.high is not None
    post(made, "bought", f"{(rare.low + rare.high) / 2.0:.2f}", "parts", machine=made.mill,
         line=f"{rare.line}:{mill.fixes[rare.line][0].way}")  # fmt: skip
    row = next(one for one in made.cost("mill").lines if one.line == rare.line)
    assert row.against == "within"
    assert row.spent > (row.forecast or 0.0)
    told = "\n".join(cost_lines(made.cost("mill"), whole=True)).replace("\u202f", " ")
    low, high = (f"€ {round(one):,}".replace(",", " ") for one in (rare.low, rare.high))
    assert f"if needed {low} to {high}" in told
