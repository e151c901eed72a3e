"""What it cost: the book re-added by hand, the frozen sheet kept to, hours counted three ways."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from tests.cases.priced import lot
from tests.fakes.shop import FakeShop
from tests.library import load, priced_once

from retrue.base.refusals import Unknown
from retrue.cases.settle.cost_json import flat, table_rows
from retrue.cases.settle.cost_lines import CostLineRow, CostRow, CostView
from retrue.cases.settle.cost_rows import BUCKET_OF_GROUP
from retrue.cases.settle.cost_said import end_words
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import dumps, from_json
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.records.facts import CostLine, Finding, Frozen, Lot, Machine, Shop, Terms
from retrue.records.fixing import Chosen, Out
from retrue.records.moving import Arrived
from retrue.records.seeking import Act
from retrue.records.settling import BUCKETS, CaseClosed, HoursTold, Posting

ON = date(2026, 11, 26)
NOW = datetime(2026, 11, 26, 22, 30, tzinfo=UTC)
BY = {"by": "owner"}
FAULT, GONE, LEFT = "F15", "F01", "F96"
WORLDS = 400


@dataclass(frozen=True)
class Home:
    """A shop with a lot of two: the mill is bought, moved and worked on."""

    shop: FakeShop
    lot: str
    mill: str
    lathe: str

    def cost(self, machine: str | None = None) -> CostView:
        return settle.cost(self.shop, self.lot, machine, load(), on=ON, worlds=WORLDS)


# What is paid: sort, amount, currency, rate, bucket, line, machine, tax that is in it
PAID = (
    ("bought", "4000", "EUR", None, "price", "", None, None),
    ("bought", "640", "EUR", None, "premium", "", None, None),
    ("paid", "1210", "EUR", None, "removal", "E11", "mill", "0.21"),  # 1000 after the tax
    ("paid", "900.10", "CHF", "1.05", "outside", f"{FAULT}:local", "mill", None),
    ("bought", "61.03", "EUR", None, "parts", "", "mill", None),
    ("bought", "85", "EUR", None, "", "", "mill", None),
    ("bought", "95", "EUR", None, "other", "", "lathe", None),
    ("paid", "44", "EUR", None, "running", "", "mill", None),
    ("sold", "150", "EUR", None, "parts", "", "mill", None),
)
HOURS = (("mill", 3.5), ("mill", 2.0), ("lathe", 1.25))


@pytest.fixture(scope="module", autouse=True)
def priced() -> Iterator[None]:
    """The same lot is priced once."""
    with priced_once():
        yield


def frozen_lot() -> Home:
    shop, kinds = FakeShop(), load()
    mine = Shop(hour_alternative=Decimal(15), hour_full=Decimal(45), hours_a_week=16)
    worth.keep_shop(shop, mine, **BY)
    terms = Terms(lot="", bid_now=Decimal(3000), premium=0.16, bid_step=Decimal(10),
                  tax_reclaimable=True, tax_rate=0.21)  # fmt: skip
    machines = [
        Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24),
        Machine(lot="", name="lathe", kind="turning_centre", age_years=22),
    ]
    priced = lot()
    view = worth.new_lot(
        shop, Lot(name="school"), terms, machines, priced.needs, priced.alternatives, **BY
    )
    worth.freeze(shop, view.id, kinds, seed=7, worlds=WORLDS, **BY)
    return Home(shop, view.id, *(key for key, _ in view.machines))


@pytest.fixture(scope="module")
def home() -> Home:
    made, kinds = frozen_lot(), load()
    made.shop.add(Arrived(lot=made.lot, machine=made.mill, delivered_on="2026-10-20"), **BY)
    for sort, amount, currency, rate, bucket, line, machine, tax in PAID:
        fact = Posting(
            sort=sort, posted_on="2026-11-02", what=f"{bucket or 'something'} of {machine}",
            amount=Decimal(amount), currency=currency, rate=Decimal(rate) if rate else None,
            rate_on="2026-11-02" if rate else None, lot=made.lot, machine=machine, bucket=bucket,
            line=line, tax_rate=Decimal(tax) if tax else None, whom="somebody",
        )  # fmt: skip
        settle.post(made.shop, fact, on=ON, **BY)
    for name, hours in HOURS:
        key = {"mill": made.mill, "lathe": made.lathe}[name]
        told = HoursTold(lot=made.lot, machine=key, worked_on="2026-11-05", hours=hours)
        settle.tell_hours(made.shop, told, kinds, now=NOW, **BY)
    seen = {"lot": made.lot, "machine": made.mill, "grade": 3, "channel": "apart"}
    made.shop.add(Finding(fault=GONE, answer="absent", **seen), **BY)
    chosen = Chosen(lot=made.lot, machine=made.mill, sort="way", what=LEFT, way="live_with")
    made.shop.add(chosen, **BY)
    return made


@pytest.fixture(scope="module")
def whole(home: Home) -> CostView:
    return home.cost()


@pytest.fixture(scope="module")
def mill(whole: CostView) -> CostView:
    return whole.machines[0]


@pytest.fixture(scope="module")
def sheet(home: Home) -> PriceSheet:
    return from_json(home.shop.current(Frozen)[-1].fact.sheet)


def row(view: CostView, bucket: str) -> CostRow:
    return next(one for one in view.rows if one.bucket == bucket)


def line(view: CostView, id: str) -> CostLineRow:
    return next(one for one in view.lines if one.line == id)


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
