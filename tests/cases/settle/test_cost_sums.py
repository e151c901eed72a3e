"""Forecast, still to come and money by week: against the trade's own ranges and by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from tests.cases.priced import MILL, found, kinds, lot

from retrue.cases.case import LotCase
from retrue.cases.settle.cash_curve import Dated, cash_curve
from retrue.cases.settle.cost import hour_values
from retrue.cases.settle.cost_actual import Actual, actuals_of, line_key
from retrue.cases.settle.cost_expected import Expected
from retrue.cases.settle.cost_kept import known_of
from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.cost_ranges import against, plus, sure
from retrue.cases.settle.cost_rows import Behind, cost_rows, line_rows, unbooked
from retrue.cases.settle.cost_still import Known, Still, still_of
from retrue.cases.settle.cost_words import OF_SHEET, bucket_of_sheet
from retrue.cases.settle.forecast import Forecast, forecast_of
from retrue.cases.settle.lines import BookLine, BookShare
from retrue.records.settling import BUCKETS

WORLDS = 1000
ON = date(2026, 11, 26)


def forecast(case: LotCase) -> Forecast:
    return forecast_of(case, kinds(), sheet=None, hammer=3000.0, worlds=WORLDS)


@pytest.fixture(scope="module")
def two() -> LotCase:
    """Both machines, 100 km away, a rigger at both ends."""
    case = lot(distance_km=100.0)
    return replace(case, shop=replace(case.shop, uses_rigger=True))


@pytest.fixture(scope="module")
def one(two: LotCase) -> LotCase:
    return replace(two, machines=two.machines[:1])


@pytest.fixture(scope="module")
def still(one: LotCase) -> Still:
    return still_of(one, kinds(), Known(), worlds=WORLDS)


class TestRangesOfTheTrade:
    """Common practice, no source: what a move of one machine of 4 t comes to, all in."""

    def test_moving_one_machine(self, one: LotCase) -> None:
        """900 to 5,500, likely 1,900: rig-out, transport, rig-in; ours pays the loader besides."""
        buckets = forecast(one).machines[0].buckets
        whole = plus(buckets["removal"], buckets["move"])
        assert 900.0 <= whole.p10 <= 1900.0 <= whole.p90 <= 5500.0

    def test_moving_two_on_one_truck(self, two: LotCase) -> None:
        """1,300 to 7,500; each is rigged out and in on its own here, so ours is the dear half."""
        buckets = forecast(two).buckets
        whole = plus(buckets["removal"], buckets["move"])
        assert 1300.0 <= whole.p10 <= whole.p90 <= 7500.0

    def test_hook_up(self, one: LotCase) -> None:
        """300 to 2,500 for a new line, likely 800; two thirds of it where an outlet is there."""
        case = replace(one, shop=replace(one.shop, supply_outlet=False))
        told = forecast(case).machines[0].buckets["hook_up"]
        assert 300.0 <= told.p10 <= 800.0 <= told.p90 <= 2500.0

    def test_the_premium_is_sixteen_in_a_hundred(self, one: LotCase) -> None:
        """10, 16, 20 of a hundred: terms of auction houses; 0.16 is typed here."""
        assert forecast(one).machines[0].buckets["premium"] == sure(480.0)


class TestTheForecast:
    def test_all_names_of_the_sheet_are_buckets_of_the_book(self) -> None:
        assert set(OF_SHEET.values()) <= set(BUCKETS)
        assert bucket_of_sheet("hook-up") == "hook_up"

    def test_tax_that_does_not_come_back_stands_with_the_price(self, one: LotCase) -> None:
        """By hand: 3,000 and 480, each with 21 in a hundred on it."""
        terms = replace(one.terms, tax_rate=0.21, tax_reclaimable=False)
        told = forecast(replace(one, terms=terms)).machines[0].buckets
        assert told["price"].p50 == pytest.approx(3630.0)
        assert told["premium"].p50 == pytest.approx(580.8)
        assert "tax" not in told

    def test_the_price_is_shared_alike_where_nobody_froze_what_each_is_worth(
        self, two: LotCase
    ) -> None:
        """As the book splits it; a machine of an unknown type bears its part."""
        told = forecast_of(two, kinds(), sheet=None, hammer=3000.0, worlds=200)
        assert [m.buckets["price"].p50 for m in told.machines] == [1500.0, 1500.0]
        assert "in equal parts" in told.split
        more = forecast_of(two, kinds(), sheet=None, hammer=3000.0, others=("saw",), worlds=200)
        assert [m.buckets["price"].p50 for m in more.machines] == [1000.0, 1000.0]
        assert more.on_others["price"] == 1000.0
        assert more.money.mean == pytest.approx(told.money.mean)
        assert more.buckets["price"].mean == pytest.approx(3000.0)

    def test_the_lot_is_no_wider_than_its_machines_side_by_side(self, two: LotCase) -> None:
        """They share prices and pace: more than one alone, less than both at their worst."""
        made = forecast(two)
        widest = plus(made.machines[0].money, made.machines[1].money)
        assert made.money.mean == pytest.approx(widest.mean)
        assert made.money.p90 - made.money.p10 <= widest.p90 - widest.p10


class TestStillToCome:
    def test_a_line_that_is_paid_comes_no_more(self, one: LotCase, still: Still) -> None:
        """What F15 takes on average is gone from the sum, and no other bucket moves."""
        case = replace(one, findings=(found("f", "mill", fault="F15", answer="present"),))
        open_, paid = (
            still_of(case, kinds(), Known(lines=lines), worlds=WORLDS)
            for lines in ((), (("mill", "F15:local"), ("mill", "F15:outside"),
                               ("mill", "F15:replace"), ("mill", "F15:second_hand"),
                               ("mill", "F15:repair")))
        )  # fmt: skip
        assert paid.money.mean < open_.money.mean - 300.0
        assert paid.machines[0].buckets["removal"] == open_.machines[0].buckets["removal"]

    def test_paid_on_no_line_is_taken_off_what_is_bought_once(
        self, one: LotCase, still: Still
    ) -> None:
        known = Known(once={("mill", "hook_up"): 100.0})
        told = still_of(one, kinds(), known, worlds=WORLDS).machines[0].buckets["hook_up"]
        before = still.machines[0].buckets["hook_up"]
        assert 0.0 <= before.mean - told.mean <= 100.0
        assert told.p90 == pytest.approx(before.p90 - 100.0)

    def test_a_machine_that_came_has_its_road_behind_it(self, one: LotCase, still: Still) -> None:
        come = still_of(one, kinds(), Known(arrived=frozenset(("mill",))), worlds=WORLDS)
        assert {"removal", "move"} <= set(still.machines[0].buckets)
        assert not {"removal", "move"} & set(come.machines[0].buckets)
        assert come.landed.p90 == 0.0

    def test_all_looks_made_that_clear_a_danger_leave_a_sum(self, one: LotCase) -> None:
        """Nothing is hired for them then: no whole number stands where money is added to."""
        kind = kinds()[MILL]
        looks = {cover.check for cover in kind.stop_cover.values()}
        seen = [found(f"c{at}", "mill", check=check, answer="not_seen")
                for at, check in enumerate(sorted(looks))]  # fmt: skip
        case = replace(one, findings=tuple(seen))
        assert still_of(case, kinds(), Known(), worlds=200).money.mean > 0.0

    def test_lines_come_to_the_sum(self, still: Still) -> None:
        told = still.machines[0]
        assert sum(line.mean for line in told.lines) == pytest.approx(told.money.mean, rel=0.01)


def paid(key: str, amount: str, **more: object) -> BookLine:
    money = Decimal(amount)
    given = {"id": f"{key}{amount}", "posted_on": "2026-11-02", "sort": "paid", "what": "bill"}
    share = BookShare(machine=key, machine_name=key, amount=money)
    return BookLine(
        currency="EUR", amount=money, net=money, tax=Decimal(0), tax_back=Decimal(0),
        in_shop=money, shares=(share,), **given | more,
    )  # fmt: skip


class TestTheBook:
    def test_ways_of_one_fault_are_one_line(self) -> None:
        lines = [paid("m", "600.10", line="F15:local", bucket="outside"),
                 paid("m", "80.05", line="F15:replace", bucket="parts")]  # fmt: skip
        told = actuals_of(lines)["m"]
        assert told.by_line("F15") == (Decimal("680.15"), Decimal(0))
        assert told.by_bucket("parts") == (Decimal("80.05"), Decimal(0))
        assert line_key("renew:belt") == "renew:belt"

    def test_what_is_owed_is_known_and_not_spent(self) -> None:
        told = actuals_of([paid("m", "600", state="expected", bucket="outside")])["m"]
        assert told.by_bucket("outside") == (Decimal(0), Decimal(600))
        assert told.restored == 600

    def test_tenths_of_a_cent_never_gather(self) -> None:
        lines = [paid("m", "0.10", id=str(at), bucket="parts") for at in range(30)]
        told = actuals_of(lines)["m"]
        assert told.restored == Decimal("3.00")

    def test_a_sale_is_no_cost(self) -> None:
        told = actuals_of([paid("m", "-150", sort="sold", brings=True)])["m"]
        assert (told.brings, told.restored) == (Decimal(150), Decimal(0))

    def test_what_counts_no_more(self) -> None:
        lines = [paid("k", "600", line="F15:local", bucket="outside"),
                 paid("k", "90", bucket="hook_up"), paid("k", "70", bucket="parts"),
                 paid("k", "450", line="E20", bucket="move")]  # fmt: skip
        known = known_of(lines, {"k": "mill"}, ())
        assert set(known.lines) == {("mill", "F15:local"), ("mill", "E20"), (None, "E20")}
        assert known.once == {("mill", "hook_up"): 90.0}


def test_the_ends_are_the_sums_of_spent_owed_and_to_come() -> None:
    actual = Actual(
        spent={("parts", ""): Decimal(300)}, owed={("parts", "F15"): Decimal(600)},
        told=frozenset(("parts",)),
    )  # fmt: skip
    forecast_, left = Range(p10=500.0, p50=800.0, p90=1200.0, mean=850.0), sure(400.0)
    (row,) = cost_rows(actual, {"parts": forecast_}, {"parts": left}, {})
    assert (row.spent, row.owed, row.end.p50, row.against) == (300.0, 600.0, 1300.0, "above")


def test_a_band_is_left_at_its_ends() -> None:
    told = Range(p10=8900.0, p50=11000.0, p90=14200.0, mean=11300.0)
    assert [against(end, told) for end in (8899.0, 8900.0, 14200.0, 14201.0)] == [
        "below", "within", "within", "above"]  # fmt: skip


def test_the_other_way_that_was_taken_makes_this_one_not_needed() -> None:
    pair = [Expected(line=id, words=id, bucket="hook_up", mean=300.0, chance=0.5, low=40.0,
                     high=2500.0) for id in ("E40", "E41")]  # fmt: skip
    actual = Actual(spent={("hook_up", "E41"): Decimal(210)}, told=frozenset(("hook_up",)))
    rows = line_rows(actual, pair, (), Behind(here=True, powered=True))
    told = {row.line: (row.state, row.why) for row in rows}
    assert told["E40"] == ("not_needed", "the other way was taken")
    assert told["E41"] == ("spent", "")


def test_what_lies_behind_and_is_not_in_the_book_stands_from_nothing_up() -> None:
    told = {"move": Range(p10=700.0, p50=1000.0, p90=1900.0, mean=1100.0), "price": sure(3000.0)}
    assert unbooked(Actual(), told, {}, Behind()) == {}
    made = unbooked(Actual(), told, {}, Behind(bought=True, here=True))
    assert made["price"] == sure(3000.0)
    assert (made["move"].p10, made["move"].p90) == (0.0, 1900.0)


def test_own_hours_three_ways_by_hand() -> None:
    """9,840 and 143 h: 143 * 15 = 2,145 and 143 * 45 = 6,435."""
    told = hour_values(9840.0, 143.0, (15.0, 45.0))
    assert (told.zero, told.alternative, told.full) == (9840.0, 11985.0, 16275.0)


class TestMoneyByWeek:
    def test_owed_falls_due_on_its_day_and_the_rest_is_spread(self) -> None:
        """By hand: 400 in week 2 for sure, 300 over three weeks, 100 each."""
        actual = Actual(lines=(("2026-11-16", Decimal(900), "removal", True),
                               ("2026-12-01", Decimal(400), "winder", False)))  # fmt: skip
        made = cash_curve(actual, sure(300.0), (), on=ON, until=date(2026, 12, 10))
        assert [(one.week_on, one.even) for one in made.points if one.even is not None] == [
            ("2026-11-23", 1000.0), ("2026-11-30", 1500.0), ("2026-12-07", 1600.0)]  # fmt: skip

    def test_dated_purchases_shape_the_rest(self) -> None:
        still = Range(p10=100.0, p50=300.0, p90=900.0, mean=400.0)
        buy = (Dated(on=date(2026, 12, 8), amount=240.0, words="belt"),)
        made = cash_curve(Actual(), still, buy, on=ON, until=date(2026, 12, 10))
        even = [one.even for one in made.points]
        assert even == pytest.approx([20.0, 40.0, 300.0])
        assert made.points[-1].high == pytest.approx(900.0)
        assert made.points[-1].lines == ("belt",)

    def test_money_of_weeks_is_the_whole(self) -> None:
        numbers = np.random.default_rng(7)
        lines = tuple(
            (f"2026-{month:02d}-{day:02d}", Decimal(str(round(float(money), 2))), "x", True)
            for month, day, money in zip(
                numbers.integers(1, 11, 60), numbers.integers(1, 28, 60),
                numbers.uniform(-50, 900, 60), strict=True,
            )
        )  # fmt: skip
        made = cash_curve(Actual(lines=lines), sure(0.0), (), on=ON, until=None)
        assert made.points[-1].paid == float(sum(money for _, money, _, _ in lines))
        assert sum(one.amount for one in made.points) == pytest.approx(made.points[-1].paid)

    def test_a_day_far_off_is_drawn_to_an_end(self) -> None:
        made = cash_curve(Actual(), sure(300.0), (), on=ON, until=date(2099, 1, 1))
        assert len(made.points) <= 105
        assert made.points[-1].even == pytest.approx(300.0)
