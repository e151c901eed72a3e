"""What is paid, what is still to come and by when: small sums and days written out by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import numpy as np
import pytest
from tests.cases.priced import MILL, kinds, lot

from retrue.cases.case import LotCase
from retrue.cases.fix.far import Far
from retrue.cases.plans import SELL_AS_FOUND, Plan
from retrue.cases.settle.cost_actual import actuals_of, together
from retrue.cases.settle.cost_days import PlanDay, days_of, last_days, until
from retrue.cases.settle.cost_expected import Expected, expected_lines, mean_of
from retrue.cases.settle.cost_kept import dated_of, known_of
from retrue.cases.settle.cost_lines import CostLineRow, DaysView, Range
from retrue.cases.settle.cost_ranges import moved, plus, scaled
from retrue.cases.settle.cost_still import Known, MachineStill, less_paid, paid_off
from retrue.cases.settle.cost_together import lines_together
from retrue.cases.settle.cost_worlds import Worlds
from retrue.cases.settle.lines import BookLine, BookShare
from retrue.kinds.library import Three
from retrue.records.facts import CostLine

DAYS = Range(p10=30.0, p50=60.4, p90=99.6, mean=70.0)


def still(**more: object) -> MachineStill:
    given: dict[str, object] = {"first_part_on": None, "closed": False, "days": DAYS}
    return SimpleNamespace(**(given | more))  # type: ignore[return-value]  # asked for no more


class TestByWhen:
    """Calendar days counted on by hand: 2026-11-26 and 30, 60, 100 days."""

    on = date(2026, 11, 26)

    def test_days_are_counted_from_the_day_they_count_from(self) -> None:
        made = days_of("2026-11-01", self.on, DAYS, still(), None)
        was = (made.was_early_on, made.was_even_on, made.was_late_on)
        assert was == ("2026-12-01", "2026-12-31", "2027-02-09")
        now = (made.early_on, made.even_on, made.late_on)
        assert now == ("2026-12-26", "2027-01-25", "2027-03-06")
        assert (made.against, made.by_plan, made.reached_on) == ("within", False, None)
        assert until(made) == date(2027, 1, 25)
        assert days_of("", self.on, DAYS, still(), None).was_even_on is None

    def test_a_plan_goes_before_what_is_reckoned_and_what_is_made_before_both(self) -> None:
        plan = PlanDay(early_on="2027-02-01", even_on="2027-02-10", late_on="2027-03-01")
        made = days_of("2026-11-01", self.on, DAYS, still(), plan)
        assert (made.early_on, made.even_on, made.late_on) == (
            "2027-02-01", "2027-02-10", "2027-03-01")  # fmt: skip
        assert made.by_plan
        assert made.against == "above"  # the 10th is later than the 9th
        done = days_of("2026-11-01", self.on, DAYS, still(first_part_on="2026-11-30"), plan)
        assert (done.even_on, done.reached_on, done.by_plan) == ("2026-11-30", "2026-11-30", False)
        assert done.against == "below"  # 30 November is sooner than 1 December

    @pytest.mark.parametrize(
        ("day", "against"),
        [("2026-11-30", "below"), ("2026-12-01", "within"), ("2027-02-09", "within"),
         ("2027-02-10", "above")],
    )  # fmt: skip
    def test_the_ends_are_within(self, day: str, against: str) -> None:
        made = days_of("2026-11-01", self.on, DAYS, still(first_part_on=day), None)
        assert made.against == against

    def test_one_that_is_closed_has_no_day(self) -> None:
        plan = PlanDay(early_on="2027-02-01", even_on="2027-02-10", late_on="2027-03-01")
        made = days_of("2026-11-01", self.on, DAYS, still(closed=True), plan)
        assert (made.early_on, made.even_on, made.late_on, made.by_plan) == (
            None, None, None, False)  # fmt: skip

    def test_a_lot_is_there_with_its_last_machine(self) -> None:
        one = DaysView(begun_on="2026-11-05", was_early_on="2026-12-01", was_even_on="2027-01-01",
                       was_late_on="2027-02-01", even_on="2027-02-02")  # fmt: skip
        other = DaysView(begun_on="2026-11-01", was_early_on="2026-11-20", was_even_on="2027-01-09",
                         was_late_on="2027-01-20", even_on="2027-01-05")  # fmt: skip
        made = last_days([one, other])
        assert made.begun_on == "2026-11-01"
        assert (made.was_even_on, made.even_on) == ("2027-01-09", "2027-02-02")
        assert made.against == "above"
        assert last_days([one, DaysView()]).even_on is None


def bill(amount: str, **more: object) -> BookLine:
    money = Decimal(amount)
    given: dict[str, object] = {
        "id": "bill", "posted_on": "2026-11-02", "sort": "bought", "what": "winder",
        "paid_from": "owed", "state": "posted", "bucket": "outside",
    }  # fmt: skip
    return BookLine(
        currency="EUR", amount=money, net=money, tax=Decimal(0), tax_back=Decimal(0),
        in_shop=money, **given | more,
    )  # fmt: skip


def payment(amount: str, day: str) -> BookLine:
    return bill(amount, id=f"p{day}", of="bill", sort="paid", posted_on=day, paid_from="bank")


def shares(*amounts: str) -> tuple[BookShare, ...]:
    return tuple(
        BookShare(machine=f"m{at}", machine_name=f"m{at}", amount=Decimal(amount))
        for at, amount in enumerate(amounts)
    )


class TestABillThatIsOwed:
    def test_a_part_is_paid_on_its_day_and_the_rest_is_due(self) -> None:
        """By hand: of 1 000 a quarter is paid; 150 and 100 of the shares of 600 and 400."""
        told = actuals_of([bill("1000", shares=shares("600", "400")), payment("250", "2026-12-01")])
        assert told["m0"].lines == (
            ("2026-12-01", Decimal("150.00"), "winder", True),
            ("2026-11-02", Decimal("450.00"), "winder", False),
        )
        assert sum(money for _, money, _, _ in told["m1"].lines) == 400
        assert told["m0"].restored == 600

    def test_cents_left_by_rounding_belong_to_the_last_payment(self) -> None:
        """By hand: thirds of 10 and of 90 are 3.33 and 30.00; 3.34 and 30.00 are left at last."""
        told = actuals_of([
            bill("100.00", shares=shares("10.00", "90.00")), payment("33.33", "2026-11-10"),
            payment("33.33", "2026-11-20"), payment("33.34", "2026-11-30"),
        ])  # fmt: skip
        days = ("2026-11-10", "2026-11-20", "2026-11-30")
        for key, parts in (("m0", ("3.33", "3.33", "3.34")), ("m1", ("30.00", "30.00", "30.00"))):
            paid = [(day, str(money), posted) for day, money, _, posted in told[key].lines]
            assert paid == [(day, part, True) for day, part in zip(days, parts, strict=True)]

    def test_what_is_paid_at_once_is_paid_on_its_day(self) -> None:
        told = actuals_of([bill("80", shares=shares("80"), paid_from="bank")])
        assert told["m0"].lines == (("2026-11-02", Decimal(80), "winder", True),)
        owed = actuals_of([bill("80", shares=shares("80"), state="expected", paid_from="")])
        assert owed["m0"].lines == (("2026-11-02", Decimal(80), "winder", False),)


@pytest.mark.parametrize(
    ("paid", "left"), [(300.0, "700.00"), (499.99, "500.01"), (500.0, "0"), (900.0, "0")]
)
def test_less_than_half_of_what_was_agreed_is_a_part_payment(paid: float, left: str) -> None:
    """Judgement: 1 000 agreed; a small sum is paid on account, a large one is the bill."""
    case = lot(machines=("mill",))
    agreed = CostLine(lot=case.lot.name, machine="mill", line="E40", amount=Decimal(1000))
    at = ("mill", "E40")
    told = paid_off(_with(case, agreed), kinds(), [at], {at: paid})
    assert [(one.line, one.amount) for one in told.cost_lines] == [("E40", Decimal(left))]
    (full,) = paid_off(_with(case, agreed), kinds(), [at]).cost_lines
    assert full.amount == 0
    assert paid_off(_with(case), kinds(), [("saw", "E40")]).cost_lines == ()


def _with(case: LotCase, *lines: CostLine) -> LotCase:
    return replace(case, cost_lines=lines)


def worlds(km: float = 50.0, **buckets: float) -> Worlds:
    """A machine that is sold as found: it only moves."""
    none = np.zeros(2)
    prospect = SimpleNamespace(
        kind=kinds()[MILL], machine=lot(machines=("mill",)).machines[0],
        settled=SimpleNamespace(distance_km=km),
    )  # fmt: skip
    return Worlds(
        name="mill", plan=Plan(SELL_AS_FOUND), prospect=prospect,
        buckets={name: none + money for name, money in buckets.items()}, hours=none, days=none,
        brings=none, extra=none, extra_hours=none,
    )  # fmt: skip


def test_what_is_paid_on_no_line_is_taken_off_once_and_never_below_nothing() -> None:
    """By hand; spindle parts are bought again and again."""
    told = less_paid(
        worlds(move=900.0, hook_up=100.0, parts=500.0),
        {("mill", "move"): 250.0, ("mill", "hook_up"): 150.0, ("mill", "parts"): 70.0,
         ("lathe", "move"): 600.0},
    )  # fmt: skip
    assert {name: money.tolist() for name, money in told.buckets.items()} == {
        "move": [650.0, 650.0], "parts": [500.0, 500.0]}  # fmt: skip
    assert told.money.tolist() == [1_150.0, 1_150.0]


@pytest.mark.parametrize(
    ("km", "band", "stretch"),
    [(100.0, "E20", 1.0), (101.0, "E21", 1.0), (300.0, "E21", 1.0), (301.0, "E22", 1.0),
     (500.0, "E22", 1.0), (1_000.0, "E22", 2.0)],
)  # fmt: skip
@pytest.mark.parametrize("machines", [1, 2, 3])
def test_one_truck_for_all_by_how_far_it_goes(
    km: float, band: str, stretch: float, machines: int
) -> None:
    """By hand from the tables: to 100 km, to 300, beyond it by 500 km; in parts of one truck.

    Of each further machine the tables have what it adds; the rigging is each machine's own, half of
    it where nobody said who does it.
    """
    case, costs = lot(machines=("mill",)), kinds()[MILL].costs
    lines = expected_lines(case, worlds(km, move=5_000.0), Far(), {}, machines)
    mean = {one.line: one.mean for one in lines if one.bucket == "move"}
    assert [one for one in ("E20", "E21", "E22") if one in mean] == [band]
    rigging = 0.5 * mean_of(costs["E24"].amount)
    truck = mean_of(costs[band].amount) * stretch / machines
    assert mean[band] / mean["E24"] == pytest.approx(truck / rigging)
    if machines == 1:
        assert "E23" not in mean
    else:
        further = mean_of(costs["E23"].amount) * (machines - 1) / machines
        assert mean["E23"] / mean["E24"] == pytest.approx(further / rigging)
    assert sum(mean.values()) == pytest.approx(5_000.0)


def test_ranges_are_added_moved_and_multiplied_figure_by_figure() -> None:
    """By definition."""
    one = Range(p10=1.0, p50=2.0, p90=4.0, mean=2.5)
    other = Range(p10=10.0, p50=30.0, p90=70.0, mean=40.0)
    assert plus(one, other) == Range(p10=11.0, p50=32.0, p90=74.0, mean=42.5)
    assert moved(one, 3.0) == Range(p10=4.0, p50=5.0, p90=7.0, mean=5.5)
    assert scaled(one, 3.0) == Range(p10=3.0, p50=6.0, p90=12.0, mean=7.5)


def test_lines_of_several_machines_are_added_figure_by_figure() -> None:
    """By hand; the words are those of the one that has most money."""
    first = CostLineRow(line="F15", words="winding", bucket="outside", forecast=100.0, low=40.0,
                        high=900.0, spent=600.0, owed=20.0, still=5.0, state="spent")  # fmt: skip
    second = CostLineRow(line="F15", words="winding", bucket="outside", forecast=70.0, low=30.0,
                         high=500.0, spent=1.0, owed=3.0, still=40.0)  # fmt: skip
    (both,) = lines_together([[second], [first]])
    assert (both.forecast, both.low, both.high) == (170.0, 70.0, 1_400.0)
    assert (both.spent, both.owed, both.still, both.state) == (601.0, 23.0, 45.0, "spent")
    apart = [CostLineRow(line="", words="rest", bucket=bucket, still=1.0)
             for bucket in ("parts", "outside", "parts")]  # fmt: skip
    assert sorted((row.bucket, row.still) for row in lines_together([apart])) == [
        ("outside", 1.0), ("parts", 2.0)]  # fmt: skip


def test_what_the_plan_buys_is_paid_on_the_last_day_to_order_it() -> None:
    """By hand: begun on 20 January, three weeks for the part; seven in ten of 100 to 400."""
    part = SimpleNamespace(
        line="F15:replace", what="motor", money=Three(100.0, 130.0, 400.0), days=21.4, state="open"
    )
    here = SimpleNamespace(**vars(part) | {"state": "here", "line": "F02:replace"})
    late = SimpleNamespace(**vars(part) | {"days": 90.0, "line": "F09:replace"})
    card = SimpleNamespace(machine="k", state="open", chance=0.7, parts=(part, here, late))
    row = SimpleNamespace(card=card, begins="2027-01-20T18:00")
    done = SimpleNamespace(card=SimpleNamespace(**vars(card) | {"state": "done"}), begins="x")
    plan, told = SimpleNamespace(rows=(done, row)), SimpleNamespace(outs=())
    made = dated_of(plan, told, Known(), {"k": "mill"}, on=date(2026, 11, 26))["k"]
    assert [one.on for one in made] == [date(2026, 12, 30), date(2026, 11, 26)]
    assert [one.amount for one in made] == pytest.approx([0.7 * 170.0] * 2)
    paid = Known(lines=(("mill", "F15:repair"), ("mill", "F09:replace")))
    assert dated_of(plan, told, paid, {"k": "mill"}, on=date(2026, 11, 26)) == {}


def test_lines_that_come_to_more_than_their_bucket_are_taken_down_to_it() -> None:
    """By hand: no line of the tables may stand for more than the worlds take on average."""
    case = lot(machines=("mill",))
    told = expected_lines(case, worlds(move=300.0, other=70.0), Far(), {}, 1)
    assert sum(one.mean for one in told if one.bucket == "move") == pytest.approx(300.0)
    (rest,) = [one for one in told if one.bucket == "other"]
    assert isinstance(rest, Expected)
    assert (rest.line, rest.mean, rest.low, rest.high) == ("", 70.0, 70.0, 70.0)


def whole(*amounts: Decimal) -> list[int]:
    assert all(one == int(one) for one in amounts)
    return [int(one) for one in amounts]


def test_landed_restored_and_running_are_kept_apart() -> None:
    """By hand: 3 000 and 900 owed are on the floor, 500 and 60 owed are work, 120 is running it."""
    told = actuals_of([
        bill("3000", id="a", bucket="price", shares=shares("3000"), paid_from="bank"),
        bill("900", id="b", bucket="move", line="E20", shares=shares("900"), state="expected"),
        bill("500", id="c", bucket="parts", line="F15:local", shares=shares("500")),
        bill("60", id="d", bucket="parts", line="F15:repair", shares=shares("60"),
             state="expected"),
        bill("120", id="e", bucket="running", shares=shares("120"), paid_from="bank"),
        bill("-700", id="f", bucket="sale", sort="sold", shares=shares("-700"), brings=True),
    ])["m0"]  # fmt: skip
    assert whole(told.landed, told.restored, told.running, told.brings) == [3_900, 4_460, 120, 700]
    assert whole(*told.by_line("F15")) == whole(*told.by_bucket("parts")) == [500, 60]
    assert whole(*told.by_line("E20")) == [0, 900]
    assert told.told == {"price", "move", "parts", "running"}
    both = together([told, told])
    assert whole(both.landed, both.restored, both.brings) == [7_800, 8_920, 1_400]
    assert len(both.lines) == 12


def test_a_line_of_nothing_says_that_its_bucket_cost_nothing() -> None:
    told = actuals_of([
        bill("0", bucket="visit", shares=shares("0")),
        bill("80", id="x", bucket="", shares=shares("80", "0")),
    ])  # fmt: skip
    mine = told["m0"]
    assert (sorted(mine.told), mine.unplaced) == (["visit"], 1)
    assert whole(*mine.by_bucket("visit"), mine.restored) == [0, 0, 80]
    assert told["m1"].unplaced == 0


def test_what_was_paid_and_came_back_whole_is_still_to_come() -> None:
    """By hand: 450 of the truck and 90 of the hook-up paid, and both given back to the cent."""
    lines = [
        bill("450", id="a", line="E20", bucket="move", shares=shares("450")),
        bill("90", id="b", bucket="hook_up", shares=shares("90")),
        bill("80", id="c", line="E40", bucket="hook_up", shares=shares("80")),
        bill("-450", id="d", line="E20", bucket="move", sort="returned", shares=shares("-450")),
        bill("-90", id="e", bucket="hook_up", sort="returned", shares=shares("-90")),
    ]
    known = known_of(lines, {"m0": "mill"}, ())
    assert (known.lines, known.once) == ((("mill", "E40"),), {})
    assert known.sums == {("mill", "E40"): 80.0}
    part = known_of(lines[:2], {"m0": "mill"}, ())
    assert part.lines == ((None, "E20"), ("mill", "E20"))
    assert part.once == {("mill", "hook_up"): 90.0}


def test_lines_of_several_machines_stand_in_order_and_what_is_not_known_of_one_is_of_none() -> None:
    """Bucket by bucket, what stands on no line last, the largest forecast first."""

    def row(line: str, bucket: str = "parts", **more: float) -> CostLineRow:
        return CostLineRow(line=line, words=line, bucket=bucket, **more)

    made = [*lines_together([
        [row("F02", forecast=10.0), row("", forecast=500.0), row("F01", forecast=90.0)],
        [row("E20", "move", forecast=1.0), row("F02", forecast=5.0), row("F03", high=3.0, low=1.0)],
        [row("F03", forecast=7.0)],
    ])]  # fmt: skip
    assert [one.line for one in made] == ["E20", "F01", "F02", "F03", ""]
    assert [one.forecast for one in made] == [1.0, 90.0, 15.0, 7.0, 500.0]
    third = made[3]
    assert (third.low, third.high) == (None, None)
    (both,) = lines_together([[row("F03")], [row("F03")]])
    assert both.forecast is None


@pytest.mark.parametrize(
    ("money", "first"),
    [({"spent": 9.0}, True), ({"owed": 9.0}, True), ({"still": 9.0}, True),
     ({"spent": -9.0}, True), ({"spent": 5.0, "owed": -5.0}, False), ({"still": 7.0}, False)],
)  # fmt: skip
def test_how_a_shared_line_stands_is_said_of_the_one_with_most_money(
    money: dict[str, float], first: bool
) -> None:
    """By definition: in the book and owed, what came back counts by its size; and to come."""
    one = CostLineRow(line="F03", words="one", bucket="parts", **money)
    other = CostLineRow(line="F03", words="other", bucket="parts", still=8.0)
    (both,) = lines_together([[one], [other]])
    assert both.words == ("one" if first else "other")
