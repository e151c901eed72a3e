"""Was it worth it: against the value of the price itself, by hand, and by what must hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import numpy_financial
import pytest
from tests.cases.priced import kinds, lot

from retrue.books.value import internal_rates
from retrue.cases.alternatives import later, present_years
from retrue.cases.assume import settle
from retrue.cases.drawing import Drawer
from retrue.cases.network import build
from retrue.cases.plans import Plan
from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.cost_ranges import range_of
from retrue.cases.settle.cost_still import Known
from retrue.cases.settle.hour_rate_figures import Figures, figures_of
from retrue.cases.settle.hour_rate_whole import Spent, Whole, whole_of
from retrue.cases.settle.laid_out import LaidOut
from retrue.cases.settle.rate_json import flat_versus
from retrue.cases.settle.versus import blank_versus, rate_curve, rate_row, versus_of
from retrue.cases.settle.versus_flows import Gap, Side, gaps_of
from retrue.cases.settle.versus_lines import VersusView
from retrue.cases.settle.versus_said import row_words
from retrue.cases.view import look
from retrue.records.facts import Alternative
from retrue.records.fixing import Chosen
from retrue.records.settling import RunFigure

WORLDS = 400
NONE = Figures({})
IDS = ("l", "school", "m", "mill")
PAID = Spent(money=8_000.0, buckets={"price": 8_000.0})


@pytest.fixture(scope="module")
def whole() -> Whole:
    return whole_of(lot(), "mill", kinds(), spent=PAID, worlds=WORLDS)


@pytest.fixture(scope="module")
def view(whole: Whole) -> VersusView:
    return told(whole)


def told(whole: Whole, figures: Figures = NONE) -> VersusView:
    return versus_of(whole, figures, blank_versus(IDS, whole))


def own(item: str, low: float, likely: float, high: float) -> Figures:
    fact = RunFigure(lot="l", machine="m", item=item, low=Decimal(str(low)),
                     likely=Decimal(str(likely)), high=Decimal(str(high)))  # fmt: skip
    return figures_of([("r", fact)])


class TestAgainstThePrice:
    def test_each_other_way_is_worth_what_the_price_says(self, whole: Whole) -> None:
        """Present value by its own parts: price, own hours, margin from a day on, resale."""
        settled = whole.settled
        end = later(settled.horizon * 365.25, settled.interest)
        for other in whole.worth.others.values():
            years = present_years(other.days, settled.interest, settled.horizon)
            value = (-other.price - other.own_hours * settled.rate + other.saved * years
                     + other.left * end)  # fmt: skip
            np.testing.assert_allclose(value, other.value, atol=1e-9)
        assert whole.worth.best in whole.worth.others
        np.testing.assert_array_equal(whole.worth.others[whole.worth.best].value, whole.worth.value)

    def test_the_gap_at_no_price_is_the_gain_the_price_is_made_of(self) -> None:
        """Nothing spent, one machine: the plan gone through with, less what the lot shares."""
        alone = lot(machines=("mill",))
        whole = whole_of(alone, "mill", kinds(), spent=replace(PAID, money=0.0), worlds=WORLDS)
        gap = next(gap for name, _, gap in gaps_of(whole, NONE) if name == whole.worth.best)
        built = build(alone, kinds())
        drawer, keep = Drawer(7, "school", WORLDS), ((Plan("keep", "right"),),)
        seen = look(alone, built, (), settle(alone, built.kinds), drawer=drawer, only=keep)
        outcome, shared = seen.option.outcomes[0], seen.chooser.shared
        rate = seen.settled.rate
        common = (shared.money + shared.running_money
                  + (shared.hours + shared.running_hours) * rate)  # fmt: skip
        np.testing.assert_allclose(gap.now, outcome.gain_through - common, atol=1e-6)

    def test_what_is_spent_lowers_the_gap_one_for_one(self, whole: Whole) -> None:
        dearer = whole_of(lot(), "mill", kinds(), spent=replace(PAID, money=9_500.0), worlds=WORLDS)
        for (_, _, now), (_, _, more) in zip(
            gaps_of(whole, NONE), gaps_of(dearer, NONE), strict=True
        ):
            np.testing.assert_allclose(now.now - more.now, 1_500.0, atol=1e-6)

    def test_what_is_paid_for_is_not_drawn_again(self, whole: Whole) -> None:
        known = Known(once={("mill", "hook_up"): 1e6}, arrived=frozenset(("mill",)))
        paid = whole_of(lot(), "mill", kinds(), spent=PAID, known=known, worlds=WORLDS)
        assert float(paid.still_money.mean()) < float(whole.still_money.mean())

    def test_what_lies_behind_and_is_in_no_book_counts_as_its_cost_has_it(self) -> None:
        """Its percentiles are added to those of what is to come: nothing is drawn a second time."""
        here = Known(arrived=frozenset(("mill",)))
        road = Range(p10=0.0, p50=1_000.0, p90=1_600.0, mean=1_050.0)
        laid = LaidOut(behind={"move": road}, price_left=300.0, assumed=("said",))
        plain = whole_of(lot(), "mill", kinds(), spent=PAID, known=here, worlds=WORLDS)
        came = whole_of(lot(), "mill", kinds(), spent=PAID, known=here, laid=laid, worlds=WORLDS)
        np.testing.assert_allclose(came.money, 8_000.0 + came.behind + came.still_money)
        assert float(came.behind.mean()) == pytest.approx(1_050.0)
        before, after = range_of(plain.money), range_of(came.money)
        for name, more in (("p10", 0.0), ("p50", 1_000.0), ("p90", 1_600.0), ("mean", 1_050.0)):
            gained = getattr(after, name) - getattr(before, name)
            assert gained == pytest.approx(more + 300.0), name
        assert "said" in came.assumed


def side(money: float, an_hour: float, left: float = 0.0, hours: float = 0.0) -> Side:
    one = np.ones(3)
    return Side(money * one, hours * one, an_hour * one, 0 * one, 0 * one, left * one, 0 * one,
                0 * one)  # fmt: skip


class TestByHand:
    """No interest, 5 years, at once: 6 000 more laid out, 12 an hour more saved, 1 000 left."""

    gap = Gap(
        ours=side(10_000.0, 22.0, 3_000.0, hours=100.0), other=side(4_000.0, 10.0, 2_000.0),
        hours=np.array([50.0, 100.0, 200.0]), rate=10.0, interest=0.0, horizon=5.0,
    )  # fmt: skip

    def test_a_straight_line_in_hours(self) -> None:
        np.testing.assert_allclose(self.gap.at_none, -6_000.0)
        np.testing.assert_allclose(self.gap.an_hour, 60.0)
        np.testing.assert_allclose(self.gap.now, [-3_000.0, 0.0, 6_000.0])
        np.testing.assert_allclose(self.gap.at_hours(100.0), 0.0)

    def test_own_hours_at_another_rate(self) -> None:
        np.testing.assert_allclose(self.gap.at_rate(0.0) - self.gap.now, 1_000.0)

    def test_payments_year_by_year(self) -> None:
        """-7 000 at once (own hours paid), 1 200 a year at 100 h, 1 000 more at the end."""
        np.testing.assert_allclose(
            self.gap.payments[:, 1], [-7_000, 1_200, 1_200, 1_200, 1_200, 2_200]
        )
        np.testing.assert_allclose(self.gap.payments.sum(axis=0), self.gap.now)


class TestTheWholeAnswer:
    def test_the_strongest_other_way_stands_first(self, view: VersusView) -> None:
        gaps = [row.gap.mean for row in view.rows]
        assert gaps == sorted(gaps)
        assert {row.way for row in view.rows} == {"buy_in", "used"}
        assert all(0.0 <= row.chance <= 1.0 for row in view.rows)

    def test_used_and_new_are_taken_where_nobody_typed_one(self) -> None:
        bare = replace(lot(), alternatives=())
        whole = whole_of(bare, "mill", kinds(), spent=PAID, worlds=WORLDS)
        assert {row.way for row in told(whole).rows} == {"buy_in", "used", "new"}

    def test_at_the_break_even_hours_both_are_as_good(self, whole: Whole, view: VersusView) -> None:
        for row, (_, _, gap) in zip(view.rows, gaps_of(whole, NONE), strict=True):
            assert row.hours_even is not None
            if row.hours_even.at is not None:
                there = gap.at_hours(row.hours_even.at)
                assert abs(float(there.mean())) < 1e-6 * float(np.abs(gap.now).mean())

    def test_at_the_switching_value_of_an_own_hour_both_are_as_good(
        self, whole: Whole, view: VersusView
    ) -> None:
        for row, (_, _, gap) in zip(view.rows, gaps_of(whole, NONE), strict=True):
            if row.switching.at is not None:
                assert float(gap.at_rate(row.switching.at).mean()) == pytest.approx(0.0, abs=1e-6)
            assert row.by_hour_value.zero >= row.by_hour_value.full  # a used one takes fewer hours

    def test_lost_days_are_the_yearly_gap_over_a_day_of_eight_hours(
        self, whole: Whole, view: VersusView
    ) -> None:
        """A day of 8 h at what the work costs now, 52 an hour: 416."""
        years = float(present_years(0.0, whole.settled.interest, whole.settled.horizon))
        for row in view.rows:
            assert row.lost_day == pytest.approx(8 * 52.0)
            assert row.days is not None
            if row.days.at is not None:
                assert row.days.at == pytest.approx(row.gap.mean / years / 416.0)

    def test_rates_are_those_of_the_library_on_the_payments_themselves(self, whole: Whole) -> None:
        _, _, gap = next(one for one in gaps_of(whole, NONE) if one[1] == "buy_in")
        row = next(row for row in told(whole).rows if row.way == "buy_in")
        rates = [numpy_financial.irr(gap.payments[:, at]) for at in range(WORLDS)]
        assert row.rate.lays_out_more
        assert row.rate.p50 == pytest.approx(np.nanmedian(rates), abs=0.004)
        assert row.rate.roots == pytest.approx(
            internal_rates(gap.payments.mean(axis=1).tolist()).rates, abs=1e-6
        )
        assert row.payback is not None
        assert 0.0 < (row.payback.p10 or 0.0) < (row.payback.p50 or 0.0)

    def test_every_world_has_one_rate_or_is_counted(self, whole: Whole, view: VersusView) -> None:
        fine = " ".join(view.fine)
        assert ("more than one rate" in fine) == any(one.rate.several for one in view.rows)
        for row, (_, _, gap) in zip(view.rows, gaps_of(whole, NONE), strict=True):
            same = (gap.payments[0] < 0.0) == row.rate.lays_out_more
            found = [internal_rates(gap.payments[:, at].tolist()) for at in np.flatnonzero(same)]
            assert row.rate.turned == WORLDS - len(found)
            assert row.rate.none == sum(not one.rates for one in found)
            assert row.rate.several == sum(len(one.rates) > 1 for one in found)

    def test_never_and_always_are_words(self, whole: Whole) -> None:
        dear = told(whole_of(lot(), "mill", kinds(), spent=replace(PAID, money=1e7),
                             worlds=WORLDS))  # fmt: skip
        for row in dear.rows:
            assert row.chance == 0.0
            assert row.days is not None
            assert row.days.says == "never"
            assert row.switching.says in ("never", "at")
            assert all(words for words in row_words(row))
        assert "not worth it" in dear.answer
        assert flat_versus(dear)["why"]["rows.0.days.at"] == dear.rows[0].days.words


class TestFiguresOfOnesOwn:
    def test_hours_of_work_move_both_sides(self, whole: Whole) -> None:
        few, many = (told(whole, own("hours_a_year", h, h, h)) for h in (50.0, 900.0))
        assert few.hours_a_year == pytest.approx(50.0)
        assert row_gap(few, "buy_in") < row_gap(many, "buy_in")
        moved = {way: row_gap(many, way) - row_gap(few, way) for way in ("used", "buy_in")}
        assert abs(moved["used"]) < 0.1 * moved["buy_in"]  # a used one does the same work

    def test_dear_maintenance_counts_against_ours_alone(
        self, whole: Whole, view: VersusView
    ) -> None:
        dear = told(whole, own("maintenance_a_year", 5_000, 5_000, 5_000))
        assert row_gap(dear, "used") < row_gap(view, "used") - 10_000.0

    def test_a_year_of_running_in_the_book_counts_where_no_figure_does(self, whole: Whole) -> None:
        spent = replace(whole.spent, run_a_year=9_000.0)
        assert row_gap(told(replace(whole, spent=spent)), "used") < row_gap(told(whole), "used")

    def test_down_days_cost(self, whole: Whole, view: VersusView) -> None:
        down = told(whole, own("down_days_a_year", 110, 110, 110))  # half of the working days
        assert row_gap(down, "used") < row_gap(view, "used")

    def test_what_it_brings_in_the_end_counts(self, whole: Whole) -> None:
        low, high = (told(whole, own("resale_at_end", r, r, r)) for r in (0.0, 10_000.0))
        end = float(later(7 * 365.25, 0.08))
        assert row_gap(high, "used") - row_gap(low, "used") == pytest.approx(10_000 * end)


def row_gap(view: VersusView, way: str) -> float:
    return next(row for row in view.rows if row.way == way).gap.mean


class TestOneThatIsSoldOrToBeSold:
    def test_a_sold_one_is_held_against_not_having_bought_it_and_nothing_is_drawn(self) -> None:
        """By hand: 9 000 after half a year at 8 % is 8 660; less 5 000 and 20 h at 12: 3 420."""
        spent = Spent(money=5_000.0, brought=9_000.0, hours=20.0, first_on="2026-01-01",
                      sold_on="2026-07-02", buckets={"price": 5_000.0})  # fmt: skip
        whole = whole_of(lot(), "mill", kinds(), spent=spent, on=date(2026, 11, 26), worlds=WORLDS)
        view = told(whole)
        (row,) = view.rows
        worth = 9_000 * 1.08 ** (-182 / 365.25) - 5_000 - 20 * 12
        assert row.gap.p10 == pytest.approx(worth)
        assert row.gap.p90 == pytest.approx(worth)
        assert (row.way, view.money_still, view.hours_still) == ("nothing", 0.0, 0.0)
        assert view.hours_curve is None
        assert "is gone and left" in view.answer
        assert view.next_at == "close"

    def test_one_that_was_scrapped_brings_nothing_more(self) -> None:
        spent = replace(PAID, first_on="2026-01-01", ended="scrapped", ended_on="2026-07-01")
        view = told(whole_of(lot(), "mill", kinds(), spent=spent, worlds=WORLDS))
        (row,) = view.rows
        assert (row.gap.p10, row.gap.p90) == (-8_000.0, -8_000.0)

    def test_one_that_keeps_working_and_is_closed_has_nothing_more_to_come(
        self, whole: Whole
    ) -> None:
        spent = replace(PAID, first_on="2026-01-01", ended="keeps_working", ended_on="2026-07-01")
        closed = whole_of(lot(), "mill", kinds(), spent=spent, worlds=WORLDS)
        assert closed.keeps
        assert float(closed.still_money.max()) == 0.0
        np.testing.assert_allclose(closed.days, 181.0)
        np.testing.assert_allclose(closed.left, whole.left)

    def test_one_that_is_worked_for_to_be_sold_has_no_hours_of_work(self) -> None:
        case = replace(lot(), chosen=(
            Chosen(lot="school", machine="mill", sort="aim", way="sell_running",
                   level="just_running"),
        ))  # fmt: skip
        view = told(whole_of(case, "mill", kinds(), spent=PAID, worlds=WORLDS))
        (row,) = view.rows
        assert row.hours_even is None
        assert row.days is None
        assert view.next_at == "sell"


def test_more_than_one_rate_of_the_payments_is_drawn_and_said() -> None:
    """-100, 230, -132 (every 1 000): worth nothing at 10 % and at 20 %; no rate is told."""
    payments = 1_000.0 * np.repeat([[-100.0], [230.0], [-132.0]], 30, axis=1)
    rate = rate_row(payments)
    assert rate.roots == pytest.approx((0.10, 0.20))
    assert (rate.several, rate.p50) == (30, None)
    whole = whole_of(lot(machines=("mill",)), "mill", kinds(), spent=PAID, worlds=WORLDS)
    row = replace(told(whole).rows[0], rate=rate, payments=(-100e3, 230e3, -132e3))
    curve = rate_curve(row, 0.08, "EUR")
    assert curve is not None
    assert [x for x, _ in curve.marks] == pytest.approx([0.10, 0.20])
    assert max(curve.even) > 0.0 > curve.even[0]


def test_a_typed_new_one_and_a_lease_have_their_ways() -> None:
    price = (Decimal(60_000), Decimal(80_000), Decimal(95_000))
    more = (
        Alternative(name="new one", kind="vertical_machining_centre", way="new", price=price),
        Alternative(name="leased", kind="vertical_machining_centre", way="lease", price=price),
    )
    case = replace(lot(machines=("mill",)), alternatives=more)
    view = told(whole_of(case, "mill", kinds(), spent=PAID, worlds=WORLDS))
    assert {row.way for row in view.rows} == {"buy_in", "new", "lease"}
