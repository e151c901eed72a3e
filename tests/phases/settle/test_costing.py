"""What it cost: the book re-added by hand, the frozen sheet kept to, hours counted three ways."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.phases.settle.costed import BY, FAULT, GONE, LEFT, ON, Home, frozen_lot, line, row

from retrue.cases.settle.cost_json import flat, table_rows
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.cost_rows import BUCKET_OF_GROUP
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import dumps
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.records.facts import Lot, Terms
from retrue.records.settling import BUCKETS


class TestTheBookReAdded:
    """Sums from the raw postings again, by hand: money only, Decimal to the cent."""

    def test_of_the_mill(self, mill: CostView, sheet: PriceSheet) -> None:
        alone = {one.name: Decimal(repr(one.walk_away)) for one in sheet.machines}
        part = alone["mill"] / (alone["mill"] + alone["lathe"])
        shared = (Decimal(4000) * part).quantize(Decimal("0.01")) + (Decimal(640) * part).quantize(
            Decimal("0.01")
        )
        changed = (Decimal("900.10") * Decimal("1.05")).quantize(Decimal("0.01"))
        own = Decimal(1000) + changed + Decimal("61.03") + Decimal(85)
        assert Decimal(repr(mill.restored)) == pytest.approx(shared + own, abs=Decimal("0.011"))
        assert mill.landed == pytest.approx(float(shared + 1000), abs=0.011)
        assert (mill.brings, mill.running) == (150.0, 44.0)

    def test_of_the_lot_to_the_cent(self, whole: CostView) -> None:
        changed = (Decimal("900.10") * Decimal("1.05")).quantize(Decimal("0.01"))
        every = Decimal("4640") + 1000 + changed + Decimal("61.03") + 85 + 95
        assert Decimal(str(round(whole.restored, 2))) == every
        assert whole.restored == pytest.approx(sum(one.restored for one in whole.machines))

    def test_each_sum_stands_in_one_row_and_in_one_line(self, whole: CostView) -> None:
        for view in (whole, *whole.machines):
            assert sum(one.actual for one in view.rows) == pytest.approx(view.restored)
            assert sum(one.spent + one.owed for one in view.lines) == pytest.approx(view.restored)

    def test_what_running_it_took_is_in_no_sum(self, mill: CostView) -> None:
        assert not any(one.bucket == "running" for one in mill.rows)
        assert any("44" in text for text in mill.fine)


class TestOwnHours:
    def test_three_values_by_hand(self, mill: CostView) -> None:
        """5.5 h at nothing, at 15 and at 45."""
        assert mill.hours == 5.5
        told = mill.by_hour_value
        assert told.zero == mill.restored
        assert told.alternative == pytest.approx(mill.restored + 82.5)
        assert told.full == pytest.approx(mill.restored + 247.5)

    def test_of_the_lot(self, whole: CostView) -> None:
        assert whole.hours == 6.75
        assert whole.by_hour_value.full == pytest.approx(whole.restored + 303.75)


class TestTheForecast:
    def test_its_averages_are_those_of_the_frozen_sheet(
        self, whole: CostView, sheet: PriceSheet
    ) -> None:
        """Both machines with the price come to what the sheet says of the whole lot."""
        assert whole.restored_forecast.mean == pytest.approx(sheet.walk_away.restored, rel=1e-6)
        for machine, one in zip(sheet.machines, whole.machines, strict=True):
            for name, bucket in (("removal and loader", "removal"), ("hook-up", "hook_up")):
                told = next((r.forecast for r in one.rows if r.bucket == bucket), None)
                mean = told.mean if told is not None else 0.0
                assert mean == pytest.approx(machine.buckets.get(name, 0.0), rel=1e-6)

    def test_its_band_is_the_sheets_and_the_price(self, mill: CostView, sheet: PriceSheet) -> None:
        told = sheet.machines[0]
        width = mill.restored_forecast.p90 - mill.restored_forecast.p10
        assert width == pytest.approx(told.cost.p90 - told.cost.p10)
        hammer, premium = row(mill, "price").forecast, row(mill, "premium").forecast
        assert hammer is not None
        assert premium is not None
        assert premium.p50 == pytest.approx(0.16 * hammer.p50)

    def test_lines_add_up_to_their_buckets(self, mill: CostView) -> None:
        sums: dict[str, float] = {}
        for one in mill.lines:
            bucket = "parts" if one.bucket == "outside" else one.bucket
            sums[bucket] = sums.get(bucket, 0.0) + (one.forecast or 0.0)
        told = {one.bucket: one.forecast.mean for one in mill.rows if one.forecast is not None}
        told["parts"] += told.pop("outside")
        for bucket, mean in told.items():
            assert sums[bucket] == pytest.approx(mean, rel=0.02, abs=6.0), bucket

    def test_what_was_found_later_changes_nothing_of_it(self, home: Home, whole: CostView) -> None:
        before = frozen_lot().cost()
        assert before.restored_forecast == whole.restored_forecast
        assert before.hours_forecast == whole.hours_forecast


class TestHowALineStands:
    def test_a_fault_seen_not_to_be_there_is_not_needed(self, mill: CostView) -> None:
        told = line(mill, GONE)
        assert (told.state, told.why, told.still) == ("not_needed", "seen not to be there", 0.0)

    def test_one_that_is_lived_with_may_not_hold(self, mill: CostView) -> None:
        told = line(mill, LEFT)
        assert (told.state, told.why) == ("to_come", "lived with, as chosen: it may not hold")
        assert told.still < (told.forecast or 0.0)

    def test_money_on_a_line_is_set_against_it(self, mill: CostView) -> None:
        told = line(mill, FAULT)
        assert told.state == "spent"
        assert told.spent == pytest.approx(945.10, abs=0.011)
        assert line(mill, "E11").spent == 1000.0

    def test_what_is_paid_is_not_to_come_again(self, mill: CostView) -> None:
        assert line(mill, FAULT).still == pytest.approx(0.0, abs=line(mill, FAULT).forecast or 0)

    def test_what_nobody_foresaw_says_so(self, whole: CostView) -> None:
        lathe = whole.machines[1]
        assert row(lathe, "other").state == "not_foreseen"
        assert row(whole.machines[0], "").words == "not yet placed"

    def test_what_is_not_decided_is_still_to_come(self, mill: CostView) -> None:
        to_come = [one for one in mill.lines if one.state == "to_come" and one.line[:1] == "F"]
        assert to_come
        assert all(not one.spent for one in to_come)


def test_it_is_remembered_and_stays_the_same(home: Home, whole: CostView) -> None:
    assert flat(home.cost()) == flat(whole)


def test_programs_get_one_object_with_a_reason_for_every_null(whole: CostView) -> None:
    told = flat(whole)
    assert dumps(told) == dumps(flat(whole))
    assert told["schema"] == "settle.cost.1"
    nulls = {
        f"rows.{at}.{name}"
        for at, one in enumerate(told["rows"])
        for name, value in one.items()
        if value is None
    }
    nulls |= {
        f"lines.{at}.{name}"
        for at, one in enumerate(told["lines"])
        for name, value in one.items()
        if value is None
    }
    nulls |= {f"days.{name}" for name, value in told["days"].items() if value is None}
    nulls |= {name for name in ("stop", "brings_forecast") if told[name] is None}
    assert nulls <= set(told["why"])


def test_the_table_holds_every_row_and_line(whole: CostView) -> None:
    rows = table_rows(whole)
    for machine in whole.machines:
        mine = [one for one in rows if one[0] == machine.machine_name]
        assert len(mine) == len(machine.rows) + 2 + len(machine.lines)
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    assert len(list(csv.reader(io.StringIO(text.getvalue())))) == len(rows)


def test_every_group_of_costs_has_a_bucket() -> None:
    groups: Mapping[str, Kind] = load()
    named = {cost.group for kind in groups.values() for cost in kind.costs.values()}
    assert named <= set(BUCKET_OF_GROUP)
    assert set(BUCKET_OF_GROUP.values()) <= set(BUCKETS)


def test_a_lot_without_machines_is_not_closed_off() -> None:
    shop = FakeShop()
    kept = worth.new_lot(shop, Lot(name="empty"), Terms(lot=""), [], **BY)
    view = settle.cost(shop, kept.id, None, load(), on=ON, worlds=200)
    assert (view.restored, view.machines) == (0.0, ())
