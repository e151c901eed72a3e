"""What is still to come or missing: what nobody put in, where it ends, money by week."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.phases.settle.costed import BY, FAULT, ON, Home, frozen_lot, line, row

from retrue.base.refusals import Unknown
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.cost_said import end_words
from retrue.phases import settle, worth
from retrue.records.facts import CostLine, Finding, Lot, Machine, Terms
from retrue.records.fixing import Chosen, Out
from retrue.records.moving import Arrived
from retrue.records.seeking import Act
from retrue.records.settling import CaseClosed, Posting


class TestWhatIsMissing:
    def test_the_road_lies_behind_and_nothing_is_in_the_book(self, mill: CostView) -> None:
        """It stands from nothing up to what was expected, and is said to."""
        told = row(mill, "move")
        assert told.state == "not_in_book"
        assert told.assumed is not None
        assert (told.assumed.p10, told.still) == (0.0, None)
        assert any("move" in text and "A line of 0" in text for text in mill.assumed)

    def test_a_line_of_nothing_says_that_it_cost_nothing(self) -> None:
        made = frozen_lot()
        came = Arrived(lot=made.lot, machine=made.mill, delivered_on="2026-10-20")
        made.shop.add(came, **BY)
        assert row(made.cost("mill"), "move").assumed is not None
        where = {"lot": made.lot, "machine": made.mill, "bucket": "move"}
        free = Posting(
            sort="paid", posted_on="2026-11-02", what="nothing", amount=Decimal(0), **where
        )
        settle.post(made.shop, free, on=ON, **BY)
        assert not any(one.bucket == "move" and one.assumed for one in made.cost("mill").rows)

    def test_without_a_frozen_number_the_tables_are_asked(self) -> None:
        shop = FakeShop()
        mill = Machine(lot="", name="mill", kind="vertical_machining_centre")
        kept = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [mill], **BY)
        view = settle.cost(shop, kept.id, "mill", load(), on=ON, worlds=200)
        assert view.forecast_from == "tables"
        assert view.restored_forecast.p90 > view.restored_forecast.p10 > 0.0
        assert "No number was frozen" in " ".join(view.assumed)
        assert "Nobody told any own hours" in " ".join(view.assumed)

    def test_a_machine_of_an_unknown_type_keeps_the_page_open(self) -> None:
        made = frozen_lot()
        other = Machine(lot=made.lot, name="saw", kind="band_saw")
        key = made.shop.add(other, **BY).id
        bill = Posting(sort="bought", posted_on="2026-11-02", what="blade", amount=Decimal(40),
                       lot=made.lot, machine=key, bucket="parts")  # fmt: skip
        made.shop.add(bill, **BY)
        view = made.cost()
        assert (view.restored, view.nobodys) == (40.0, 40.0)
        assert any("saw" in text for text in view.assumed)
        with pytest.raises(Unknown):
            made.cost("saw")

    def test_answers_that_contradict_each_other_keep_it_open(self) -> None:
        made = frozen_lot()
        seen = {"lot": made.lot, "machine": made.mill, "grade": 3, "channel": "apart"}
        for answer in ("present", "absent"):
            made.shop.add(Finding(fault=FAULT, answer=answer, **seen), **BY)
        view = made.cost("mill")
        assert view.restored_end.p50 > 0.0


def test_it_stands_within_above_or_below(home: Home) -> None:
    """The end is compared with the band of 8 in 10, from its own numbers."""
    view = home.cost("mill")
    told, end = view.restored_forecast, view.restored_end.p50
    expected = "above" if end > told.p90 else "below" if end < told.p10 else "within"
    assert view.against == expected
    assert view.restored_end.p50 == pytest.approx(
        view.restored + view.still.p50 + view.assumed_money.p50
    )


def test_a_dear_surprise_carries_it_above_the_band() -> None:
    made = frozen_lot()
    where = {"lot": made.lot, "machine": made.mill, "bucket": "parts"}
    spindle = Posting(
        sort="bought", posted_on="2026-11-02", what="spindle", amount=Decimal(30000), **where
    )
    settle.post(made.shop, spindle, on=ON, **BY)
    view = made.cost("mill")
    assert (view.against, row(view, "parts").against) == ("above", "above")
    assert "above what was expected" in end_words(view)


def test_a_machine_worked_on_to_be_sold_says_what_it_may_bring() -> None:
    made = frozen_lot()
    aim = Chosen(lot=made.lot, machine=made.mill, sort="aim", way="sell_running",
                 level="just_running")  # fmt: skip
    assert made.cost("mill").brings_forecast is None
    made.shop.add(aim, **BY)
    view = made.cost("mill")
    assert view.brings_forecast is not None
    assert view.brings_forecast.p90 > view.brings_forecast.p10 > 0.0
    assert view.brings == 0.0


def test_a_machine_that_is_done_with_has_nothing_to_come() -> None:
    made = frozen_lot()
    over = CaseClosed(lot=made.lot, machine=made.mill, closed_on="2026-11-20", end="sold",
                      compared="{}")  # fmt: skip
    before = made.cost()
    made.shop.add(over, **BY)
    view = made.cost()
    mill, lathe = view.machines
    assert (mill.still.p90, mill.hours_still.p90, mill.stop) == (0.0, 0.0, None)
    assert mill.days.even_on is None
    assert lathe.hours_still == before.machines[1].hours_still
    assert row(lathe, "removal").still == row(before.machines[1], "removal").still
    assert view.still.mean == pytest.approx(lathe.still.mean)


def test_a_part_payment_leaves_the_rest_to_come() -> None:
    """600 were quoted and 150 paid on account: 450 are still to come; 600 paid leave nothing."""
    left = []
    for amount in (0, 150, 600):
        made = frozen_lot()
        seen = {"lot": made.lot, "machine": made.mill, "grade": 3, "channel": "apart"}
        made.shop.add(Finding(fault=FAULT, answer="present", **seen), **BY)
        where = {"lot": made.lot, "machine": made.mill, "line": f"{FAULT}:local"}
        made.shop.add(CostLine(amount=Decimal(600), reason="I know a winder", **where), **BY)
        chosen = Chosen(lot=made.lot, machine=made.mill, sort="way", what=FAULT, way="local")
        made.shop.add(chosen, **BY)
        if amount:
            bill = Posting(sort="paid", posted_on="2026-11-02", what="winder", bucket="outside",
                           amount=Decimal(amount), **where)  # fmt: skip
            settle.post(made.shop, bill, on=ON, **BY)
        left.append(line(made.cost("mill"), FAULT).still)
    nothing, part, whole = left
    assert nothing - part == pytest.approx((nothing - whole) / 4.0, rel=0.03)


class TestMoneyByWeek:
    def test_what_is_paid_runs_up_to_the_books_sum(self, mill: CostView) -> None:
        paid = [one.paid for one in mill.cash.points if one.paid is not None]
        assert paid == sorted(paid)
        assert paid[-1] == pytest.approx(mill.restored + mill.running - mill.brings)

    def test_what_is_to_come_runs_up_to_the_end(self, mill: CostView) -> None:
        last = mill.cash.points[-1]
        paid = [one.paid for one in mill.cash.points if one.paid is not None][-1]
        assert last.even == pytest.approx(paid + mill.still.p50)
        assert last.high == pytest.approx(paid + mill.still.p90)

    def test_the_line_to_stop_at_counts_from_what_is_paid(self, mill: CostView) -> None:
        assert mill.stop is not None
        paid = [one.paid for one in mill.cash.points if one.paid is not None][-1]
        assert mill.cash.stop_at == pytest.approx(paid + mill.stop.stop_at)

    def test_what_is_sent_out_falls_due_on_the_day_it_is_promised_for(self) -> None:
        made = frozen_lot()
        seen = {"lot": made.lot, "machine": made.mill, "grade": 3, "channel": "apart"}
        made.shop.add(Finding(fault=FAULT, answer="present", **seen), **BY)
        sent = Out(lot=made.lot, machine=made.mill, sort="sent_out", line=f"{FAULT}:local",
                   what="spindle motor", whom="winder", since_on="2026-11-20",
                   promised_on="2026-12-11", amount=Decimal(700))  # fmt: skip
        made.shop.add(sent, **BY)
        curve = made.cost("mill").cash
        week = next(one for one in curve.points if "spindle motor" in one.lines)
        assert week.week_on == "2026-12-07"
        assert curve.dated == 700.0

    def test_what_was_won_is_owed_until_it_is_in_the_book(self) -> None:
        """2,500 on the hammer and 16 in a hundred on it, split as the book splits it."""
        made = frozen_lot()
        worth.outcome(made.shop, made.lot, "won", amount=Decimal(2500), **BY)
        view = made.cost()
        assert (row(view, "price").owed, row(view, "price").still) == (2500.0, None)
        assert row(view, "premium").owed == 400.0
        assert view.restored == 2900.0


class TestTheFirstGoodPart:
    def test_it_is_made_when_the_job_that_ends_with_it_is_done(self) -> None:
        made = frozen_lot()
        assert made.cost("mill").days.reached_on is None
        act = Act(lot=made.lot, machine=made.mill, sort="measure", job="J26")
        made.shop.add(act, **BY)
        view = made.cost("mill")
        assert view.days.reached_on is not None
        assert view.stop is None
