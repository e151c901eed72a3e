"""Was it worth it: against the value of the price itself, by hand, and by what must hold."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import numpy_financial
import pytest
from tests.cases.priced import kinds, lot
from tests.cases.settle.compared import IDS, NONE, PAID, WORLDS, gaps_with, told

from retrue.books.hour_rate import capital_a_year
from retrue.books.value import internal_rates
from retrue.cases.alternatives import later, present_years
from retrue.cases.assume import settle
from retrue.cases.drawing import Drawer
from retrue.cases.network import build
from retrue.cases.plans import Plan
from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.cost_ranges import range_of
from retrue.cases.settle.cost_still import Known
from retrue.cases.settle.hour_rate import hour_rate_view
from retrue.cases.settle.hour_rate_blank import blank_rate
from retrue.cases.settle.hour_rate_figures import Figures, figures_of
from retrue.cases.settle.hour_rate_inputs import inputs_of
from retrue.cases.settle.hour_rate_whole import Whole, whole_of
from retrue.cases.settle.laid_out import LaidOut
from retrue.cases.settle.rate_json import flat_versus
from retrue.cases.settle.rate_lines import EvenRow
from retrue.cases.settle.versus import rate_curve
from retrue.cases.settle.versus_flows import Gap, Side
from retrue.cases.settle.versus_lines import VersusView
from retrue.cases.settle.versus_rate import rate_row
from retrue.cases.settle.versus_said import row_words
from retrue.cases.view import look
from retrue.records.facts import Alternative
from retrue.records.settling import RunFigure


def rated(whole: Whole, figures: Figures = NONE) -> EvenRow:
    """What the hour rate says of buying in."""
    inputs = inputs_of(whole, figures, (None, None))
    return hour_rate_view(inputs, blank_rate(IDS, whole, inputs)).even[0]


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
        always = own("down_days_a_year", 0, 0, 0)  # the price knows no floor and no days it stands
        gaps = gaps_with(whole, always, floor=(False, None))
        gap = next(gap for name, _, gap in gaps if name == whole.worth.best)
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
        for (_, _, now), (_, _, more) in zip(gaps_with(whole), gaps_with(dearer), strict=True):
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
    return Side(money * one, hours * one, an_hour * one, 0 * one, 0 * one, 5 * 365.25 * one,
                left * one, 0 * one, 0 * one)  # fmt: skip


class TestByHand:
    """No interest, 5 years, at once: 6 000 more laid out, 12 an hour more saved, 1 000 left."""

    gap = Gap(
        ours=side(10_000.0, 22.0, 3_000.0, hours=100.0), other=side(4_000.0, 10.0, 2_000.0),
        hours=np.array([50.0, 100.0, 200.0]), rate=10.0, interest=0.0, horizon=5.0,
    )  # fmt: skip

    def test_present_value_and_the_money_of_a_year_are_the_same_at_years_ends(self) -> None:
        """6 000 more at once, 1 000 more back after 5 years at 8 %: by the annuity of the library.

        The money of a year times what one unit a year is worth is the present value.
        """
        gap = replace(self.gap, interest=0.08, rate=0.0)
        now = numpy_financial.npv(0.08, gap.payments[:, 2])
        capital = -numpy_financial.pmt(0.08, 5, 6_000.0, -1_000.0)
        annuity = -numpy_financial.pv(0.08, 5, 1.0)
        assert now == pytest.approx((200.0 * 12.0 - capital) * annuity)
        assert capital_a_year(6_000.0, 1_000.0, 0.08, 5.0) == pytest.approx(capital)

    @pytest.mark.parametrize("days", [30.0, 400.0, 900.0])
    def test_payments_of_a_sale_are_worth_what_the_gap_is(self, days: float) -> None:
        one = np.ones(3)
        sold = Side(4_000 * one, 0 * one, 0 * one, 0 * one, 0 * one, 0 * one, 0 * one,
                    5_000 * 1.08 ** (-days / 365.25) * one, days * one)  # fmt: skip
        gap = replace(self.gap, ours=sold, other=replace(sold, money=0 * one, sale=0 * one),
                      interest=0.08)  # fmt: skip
        assert numpy_financial.npv(0.08, gap.payments[:, 0]) == pytest.approx(gap.now[0])

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
        for row, (_, way, gap) in zip(view.rows, gaps_with(whole), strict=True):
            assert row.hours_even is not None
            if way == "buy_in":
                assert row.hours_even.at == rated(whole).at
            elif row.hours_even.at is not None:
                there = gap.at_hours(row.hours_even.at)
                assert abs(float(there.mean())) < 1e-6 * float(np.abs(gap.now).mean())

    def test_at_the_switching_value_of_an_own_hour_both_are_as_good(
        self, whole: Whole, view: VersusView
    ) -> None:
        for row, (_, _, gap) in zip(view.rows, gaps_with(whole), strict=True):
            if row.switching.at is not None:
                assert float(gap.at_rate(row.switching.at).mean()) == pytest.approx(0.0, abs=1e-6)
            assert row.by_hour_value.zero >= row.by_hour_value.full  # a used one takes fewer hours

    def test_lost_days_are_the_yearly_gap_over_a_day_of_eight_hours(
        self, whole: Whole, view: VersusView
    ) -> None:
        """By hand: 52 an hour less 12 of the operator less 6.2 of running: 33.8, a day 270."""
        for row, (_, way, gap) in zip(view.rows, gaps_with(whole), strict=True):
            assert row.lost_day == pytest.approx(8 * 33.8, rel=0.01)
            assert row.days is not None
            if way != "buy_in" and row.days.at is not None:
                years = float(present_years(gap.ours.days, 0.08, 7.0).mean())
                assert row.days.at == pytest.approx(row.gap.mean / years / row.lost_day)

    def test_lost_days_are_the_hours_beyond_break_even_by_eight(self, whole: Whole) -> None:
        """On 500 h of work, all of them there: what lies beyond break-even, in days of 8 h."""
        figures = figures_of(
            (item, RunFigure(lot="l", machine="m", item=item, low=Decimal(n), likely=Decimal(n),
                             high=Decimal(n)))
            for item, n in (("hours_a_year", 500), ("down_days_a_year", 0))
        )  # fmt: skip
        row = next(row for row in told(whole, figures).rows if row.way == "buy_in")
        even = rated(whole, figures).at
        assert row.hours_even is not None
        assert row.days is not None
        assert even is not None
        assert row.hours_even.at == even
        assert row.days.at == pytest.approx((500.0 - even) / 8.0)

    def test_a_day_on_which_it_stands_costs_its_hours_at_the_money_of_a_lost_day(
        self, whole: Whole
    ) -> None:
        """By hand: 22 of 220 days lose a tenth of the work, each 8 h of it one lost day."""
        none, some = (own("down_days_a_year", days, days, days) for days in (0, 22))
        (before, after) = (
            next(row for row in told(whole, one).rows if row.way == "buy_in")
            for one in (none, some)
        )
        gap = next(gap for _, way, gap in gaps_with(whole, none) if way == "buy_in")
        lost = gap.hours * 0.1 / 8.0 * present_years(gap.ours.days, 0.08, 7.0)
        assert before.gap.mean - after.gap.mean == pytest.approx(
            float(lost.mean()) * before.lost_day, rel=0.01
        )

    @pytest.mark.parametrize("wage", [12, 20, 30])
    def test_the_operators_hour_is_said_as_it_is_used(self, whole: Whole, wage: int) -> None:
        figures = own("wage_an_hour", wage, wage, wage)
        view = told(whole, figures)
        assert f"stays at €\u202f{wage}." in " ".join(view.fine)
        row = next(row for row in view.rows if row.way == "buy_in")
        assert row.hours_even is not None
        assert row.hours_even.at == rated(whole, figures).at

    @pytest.mark.parametrize(
        ("item", "value"), [("floor_m2_year", 500), ("life_years", 3), ("down_days_a_year", 60)]
    )
    def test_floor_life_and_days_it_stands_count_in_both(
        self, whole: Whole, view: VersusView, item: str, value: int
    ) -> None:
        figures = own(item, value, value, value)
        dear = told(whole, figures)
        assert row_gap(dear, "buy_in") < row_gap(view, "buy_in") - 500.0
        before, after = (
            next(row for row in one.rows if row.way == "buy_in") for one in (view, dear)
        )
        assert after.hours_even is not None
        assert before.hours_even is not None
        assert after.hours_even.at == rated(whole, figures).at
        assert (after.hours_even.at or 1e9) > (before.hours_even.at or 0.0)

    def test_by_present_value_it_is_said_beside_and_near(
        self, whole: Whole, view: VersusView
    ) -> None:
        (fine,) = (words for words in view.fine if "By present value" in words)
        gap = next(gap for _, way, gap in gaps_with(whole) if way == "buy_in")
        hours = -float(gap.at_none.mean()) / float(gap.an_hour.mean())
        assert f"from {hours:.0f} h" in fine
        assert hours == pytest.approx(rated(whole).at, rel=0.1)

    def test_rates_are_those_of_the_library_on_the_payments_themselves(self, whole: Whole) -> None:
        _, _, gap = next(one for one in gaps_with(whole) if one[1] == "buy_in")
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
        for row, (_, _, gap) in zip(view.rows, gaps_with(whole), strict=True):
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
