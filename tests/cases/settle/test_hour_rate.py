"""What an hour costs: the trade's worked example, and one machine of a lot in its worlds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import numpy_financial
import pytest
from tests.cases.priced import kinds, lot

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.settle.hour_rate import fixed_and_hourly, hour_rate_view
from retrue.cases.settle.hour_rate_blank import blank_rate
from retrue.cases.settle.hour_rate_figures import Figures, figure_doubts, figures_of
from retrue.cases.settle.hour_rate_file import is_rate_file, rate_of_file, read_rate
from retrue.cases.settle.hour_rate_inputs import inputs_of, rate_of
from retrue.cases.settle.hour_rate_whole import Spent, Whole, spent_of, whole_of
from retrue.cases.settle.lines import Book, BookLine, BookShare
from retrue.cases.settle.rate_json import flat_rate
from retrue.cases.settle.rate_lines import HourRateView, rate_drawing
from retrue.records.settling import RunFigure

WORLDS = 400
ON = date(2026, 11, 26)
IDS = ("l", "school", "m", "mill")

# Common practice, from memory: all-in 24 000 and 215 own hours at 45 (9 700), 7 000 left after
# 7 years at 8 %, 14 m2 at 96, 2 500, 6 kW at 0.25, 200, 1 500; a new one 95 000, 38 000, 1 200,
# 600.
RESTORED = """
name = "restored"
interest = 0.08
hour_alternative = 45.0
margin = 0.20
[figures]
paid = 24000
own_hours = 215.5555556
hours_a_year = {hours}
life_years = 7
resale_at_end = 7000
floor_m2 = 14
floor_m2_year = 96
maintenance_a_year = 2500
energy_kw = 6
energy_price_kwh = 0.25
insurance_a_year = 200
tooling_a_year = 1500
work_cost_an_hour = 60
[other]
name = "a new one"
paid = 95000
own_hours = 0
resale_at_end = 38000
maintenance_a_year = 1200
insurance_a_year = 600
"""


def from_file(hours: str, *, text: str = RESTORED) -> HourRateView:
    return rate_of_file(read_rate(text.format(hours=hours).encode(), "mill.toml"), worlds=WORLDS)


@pytest.fixture(scope="module")
def whole() -> Whole:
    spent = Spent(money=9_000.0, hours=40.0, first_on="2026-06-01",
                  buckets={"price": 7_000.0, "move": 2_000.0})  # fmt: skip
    return whole_of(lot(), "mill", kinds(), spent=spent, on=ON, worlds=WORLDS)


def view_of(whole: Whole, figures: Figures | None = None) -> HourRateView:
    figures = figures or Figures({})
    inputs = inputs_of(whole, figures, (None, None))
    blank = blank_rate(IDS, whole, inputs)
    return blank if blank.why else hour_rate_view(inputs, blank)


def own(**values: tuple[float, float, float]) -> Figures:
    return figures_of(
        (item, RunFigure(lot="l", machine="m", item=item, low=Decimal(str(low)),
                         likely=Decimal(str(likely)), high=Decimal(str(high))))
        for item, (low, likely, high) in values.items()
    )  # fmt: skip


class TestAPlainFile:
    def test_nine_hundred_hours_cost_fourteen_and_a_new_one_twenty_two(self) -> None:
        told = from_file("900")
        assert told.an_hour is not None
        assert round(told.an_hour.mean) == 14
        assert sum(part.a_year for part in told.parts) == pytest.approx(12_582, abs=1)
        capital = told.parts[0].a_year + told.parts[1].a_year
        assert capital == pytest.approx(5_688, abs=1)

    def test_fifteen_lost_days_eat_the_gap_of_a_year(self) -> None:
        """19 982 less 12 582 is 7 400; a day of 8 h at 60 is 480: 15.4, the trade says 15.

        The trade's operator stands idle at no running cost: with his hour and the energy as
        nothing it is that. Ours does other work: 60 less 45 less 1.5 is 13.5, a day 108, 68 days.
        """
        told = {row.what: row for row in from_file("900").even}
        assert told["lost_days"].at == pytest.approx(7_400 / 108, abs=0.2)
        idle = RESTORED.replace("energy_kw = 6", "energy_kw = 0\nwage_an_hour = 0")
        trade = {row.what: row for row in from_file("900", text=idle).even}
        assert trade["lost_days"].at == pytest.approx(7_400 / 480, abs=0.02)
        assert told["other_machine"].says == "always"
        assert "always cheaper" in told["other_machine"].words

    def test_two_hundred_and_fifty_hours_cost_forty_six(self) -> None:
        told = from_file("250")
        assert told.an_hour is not None
        assert round(told.an_hour.mean) == 46

    def test_a_margin_is_on_the_price(self) -> None:
        told = from_file("900")
        assert told.an_hour is not None
        assert told.asked == pytest.approx((told.an_hour.mean + 45.0) / 0.8)

    def test_uncertain_hours_make_an_hour_dearer_than_mean_over_mean(self) -> None:
        told = from_file("[300, 900, 1200]")
        assert told.an_hour is not None
        assert told.ratio_of_means is not None
        assert told.an_hour.mean > told.ratio_of_means + 0.1
        assert told.an_hour.p10 < told.an_hour.p50 < told.an_hour.p90
        assert [one.what for one in told.moves] == ["hours_a_year"]
        assert told.moves[0].low > told.moves[0].high  # few hours are dear ones

    def test_the_same_bytes_give_the_same_numbers(self) -> None:
        assert from_file("[300, 900, 1200]") == from_file("[300, 900, 1200]")

    def test_every_bad_line_is_named(self) -> None:
        text = b"interest = 8\n[figures]\npaidd = 3\nhours_a_year = [3, 2, 1]\nlife_years = 0\n"
        with pytest.raises(Unusable) as refused:
            read_rate(text, "mill.toml")
        places = [one.where for one in refused.value.problems]
        assert places == [
            "figures.paidd (line 3)", "figures.hours_a_year (line 4)",
            "figures.life_years (line 5)", "figures.paid (line 2)", "interest (line 1)",
        ]  # fmt: skip
        assert "Did you mean paid?" in refused.value.problems[0].remedy

    @pytest.mark.parametrize("value", ["true", "'x'", "nan", "inf", "-5", "[1, 2]", "[1, nan, 3]"])
    def test_what_is_no_figure_is_refused(self, value: str) -> None:
        with pytest.raises(Unusable, match="some figures"):
            read_rate(f"[figures]\nhours_a_year = 900\npaid = {value}\n".encode(), "mill.toml")

    @pytest.mark.parametrize("content", [b"\xff\xfe", b"[figures", b"x" * 300_000])
    def test_what_is_no_file_of_figures_is_refused(self, content: bytes) -> None:
        assert not is_rate_file(content)
        with pytest.raises(Unreadable):
            read_rate(content, "mill.toml")


class TestOneMachineOfALot:
    def test_the_mean_is_that_of_the_ratio_world_by_world(self, whole: Whole) -> None:
        inputs = inputs_of(whole, Figures({}), (None, None))
        rate = rate_of(inputs, whole.settled.rate)
        told = view_of(whole)
        assert told.an_hour is not None
        assert told.an_hour.mean == pytest.approx(float(np.mean(rate.a_year / rate.hours)))
        assert told.ratio_of_means == pytest.approx(rate.a_year.mean() / rate.hours.mean())
        assert told.an_hour.mean > told.ratio_of_means * 1.005

    def test_parts_add_up_and_every_guess_is_marked(self, whole: Whole) -> None:
        told = view_of(whole)
        assert told.an_hour is not None
        assert sum(part.an_hour.mean for part in told.parts) == pytest.approx(told.an_hour.mean)
        assert {row.mark for row in told.figures} == {"assumed", "reckoned"}
        assert all(row.why for row in told.figures)

    def test_running_by_default_is_what_the_price_takes_for_it(self, whole: Whole) -> None:
        """6.2 an hour, by the worked example of 900 h: price and rate must say the same."""
        inputs = inputs_of(whole, Figures({}), (None, None))
        fixed, hourly = fixed_and_hourly(inputs, whole.settled.rate)
        assert hourly == pytest.approx(6.2, rel=0.03)
        assert fixed > 0

    def test_what_goes_by_the_hour_goes_by_the_hours_it_works(self, whole: Whole) -> None:
        """By hand: half of 220 days it stands: 450 of 900 h, 2.79 each of maintenance."""
        figures = own(hours_a_year=(900, 900, 900), down_days_a_year=(110, 110, 110))
        inputs = inputs_of(whole, figures, (None, None))
        hourly = float(inputs.values["maintenance_a_year"].mean())
        assert hourly == pytest.approx(2.79, rel=0.03)
        parts = {part.part: part for part in view_of(whole, figures).parts}
        for part in ("maintenance", "insurance", "tooling"):
            item = inputs.values[f"{part}_a_year"]
            assert parts[part].a_year == pytest.approx(450.0 * float(item.mean())), part
            assert parts[part].an_hour.mean == pytest.approx(float(item.mean())), part
        row = next(one for one in inputs.rows if one.item == "maintenance_a_year")
        assert row.likely == pytest.approx(450.0 * 2.79, rel=0.01)

    def test_own_hours_count_at_three_values(self, whole: Whole) -> None:
        told = view_of(whole).by_hour_value
        assert told is not None
        assert told.zero < told.alternative < told.full
        assert (told.alternative - told.zero) / 12.0 == pytest.approx(
            (told.full - told.zero) / 45.0
        )

    def test_a_figure_of_ones_own_stands_in_place_of_the_guess(self, whole: Whole) -> None:
        sure = (900.0, 900.0, 900.0)
        told = view_of(whole, own(hours_a_year=sure, down_days_a_year=(0, 0, 0)))
        assert told.hours.p10 == told.hours.p90 == 900.0
        row = next(one for one in told.figures if one.item == "hours_a_year")
        assert (row.mark, row.record) == ("own", "hours_a_year")
        assert "hours_a_year" not in [one.what for one in told.moves]

    def test_a_year_of_running_in_the_book_stands_in_place_of_its_parts(self, whole: Whole) -> None:
        known = replace(whole, spent=replace(whole.spent, run_a_year=1_234.0))
        told = {part.part: part.a_year for part in view_of(known).parts}
        assert told["running"] == pytest.approx(1_234.0)
        assert "maintenance" not in told
        typed = view_of(known, own(maintenance_a_year=(900, 900, 900)))
        assert {part.part: part.a_year for part in typed.parts}["maintenance"] == pytest.approx(900)

    def test_a_machine_that_is_sold_has_no_hour_and_says_so(self, whole: Whole) -> None:
        sold = replace(whole, spent=replace(whole.spent, sold_on="2026-11-20"))
        told = view_of(sold)
        assert told.an_hour is None
        assert "is sold" in told.why
        flat = flat_rate(told)
        assert flat["an_hour"] is None
        assert flat["why"]["an_hour"] == told.why
        assert rate_drawing(told) is None

    def test_without_work_there_is_no_hour_to_cost(self, whole: Whole) -> None:
        none = replace(whole.worth, hours_a_year=np.zeros(WORLDS), margin_a_year=np.zeros(WORLDS))
        idle = replace(whole, prospect=replace(whole.prospect, worth=none))
        assert "no work" in view_of(idle).why
        assert view_of(idle, own(hours_a_year=(100, 200, 300))).an_hour is not None

    def test_what_is_spent_counts_as_it_was_and_what_is_to_come_as_drawn(
        self, whole: Whole
    ) -> None:
        np.testing.assert_allclose(whole.money - whole.still_money, 9_000.0)
        np.testing.assert_allclose(whole.hours - whole.still_hours, 40.0)
        dearer = whole_of(
            lot(), "mill", kinds(), on=ON, worlds=WORLDS,
            spent=replace(whole.spent, money=12_000.0),
        )  # fmt: skip
        np.testing.assert_allclose(dearer.money - whole.money, 3_000.0)


class TestBesideBuyingIn:
    def test_a_year_of_each_costs_the_same_at_those_hours(self, whole: Whole) -> None:
        """Capital by the annuity of the library; floor, running, operator by hand."""
        figures = own(
            down_days_a_year=(0, 0, 0), floor_m2=(10, 10, 10), floor_m2_year=(96, 96, 96),
            maintenance_a_year=(900, 900, 900), insurance_a_year=(100, 100, 100),
            tooling_a_year=(0, 0, 0), energy_kw=(6, 6, 6), energy_price_kwh=(0.5, 0.5, 0.5),
            wage_an_hour=(20, 20, 20), resale_at_end=(3_000, 3_000, 3_000),
            work_cost_an_hour=(60, 60, 60), life_years=(7, 7, 7),
        )  # fmt: skip
        (row,) = view_of(whole, figures).even
        paid = float((whole.money + 12.0 * whole.hours).mean())
        capital = -numpy_financial.pmt(0.08, 7, paid, -3_000.0)
        hours = row.at
        assert hours is not None
        ours = capital + 10 * 96 + 900 + 100 + hours * (6 * 0.5 + 20)
        assert ours == pytest.approx(60 * hours)

    def test_more_hours_than_a_year_has_are_never(self) -> None:
        """By hand: 50 000 a year over a lead of 2 an hour is 25 000 h."""
        text = "[figures]\npaid = 350000\nhours_a_year = 900\nlife_years = 7\n" \
               "work_cost_an_hour = 17\nwage_an_hour = 15\n"  # fmt: skip
        told = rate_of_file(read_rate(f"interest = 0.0\n{text}".encode(), "mill.toml"), worlds=10)
        assert told.even[0].says == "never"
        assert "never beats" in told.even[0].words


def line(day: str, amount: int, bucket: str, **more: object) -> BookLine:
    share = BookShare(machine="m", machine_name="mill", amount=Decimal(amount))
    money = {name: Decimal(amount) for name in ("amount", "net", "in_shop")}
    given = {"sort": "paid", "what": bucket, "currency": "EUR", "tax": Decimal(0),
             "tax_back": Decimal(0), "shares": (share,)}  # fmt: skip
    return BookLine(id=f"{day}{bucket}", posted_on=day, bucket=bucket, **money, **(given | more))


class TestWhatTheBookSays:
    def test_running_is_kept_apart_and_told_by_year(self) -> None:
        book = Book(currency="EUR", lines=(
            line("2025-11-20", 100, "running"), line("2026-02-01", 250, "running"),
            line("2025-06-01", 4_000, "price"), line("2026-11-01", 300, "parts"),
        ))  # fmt: skip
        spent = spent_of(book, "m", 12.0, on=ON)
        assert spent.money == 4_300.0
        assert [(one.year, one.amount, one.lines) for one in spent.run_years] == [
            (2025, 100.0, 1), (2026, 250.0, 1),
        ]  # fmt: skip
        assert spent.run_a_year == pytest.approx(350.0)

    @pytest.mark.parametrize("again", ["2026-11-20", "2026-11-17", "2026-11-24"])
    def test_two_yearly_bills_are_one_a_year(self, again: str) -> None:
        """By hand: 600 a year, whether the second comes on its day, early or late."""
        book = Book(currency="EUR", lines=(
            line("2025-11-20", 600, "running"), line(again, 600, "running"),
        ))  # fmt: skip
        assert spent_of(book, "m", 0.0, on=ON).run_a_year == 600.0

    def test_a_bill_a_month_is_twelve_a_year(self) -> None:
        days = [f"{2024 + at // 12}-{at % 12 + 1:02d}-05" for at in range(35)]
        book = Book(currency="EUR", lines=tuple(line(day, 50, "running") for day in days))
        assert spent_of(book, "m", 0.0, on=ON).run_a_year == pytest.approx(600.0)

    def test_less_than_a_year_of_running_is_no_yearly_figure(self) -> None:
        spent = spent_of(Book(currency="EUR", lines=(line("2026-02-01", 250, "running"),)), "m",
                         0.0, on=ON)  # fmt: skip
        assert spent.run_a_year is None
        assert spent.run_years[0].amount == 250.0

    def test_a_sale_brings_and_is_no_cost(self) -> None:
        book = Book(currency="EUR", lines=(
            line("2026-01-10", 3_000, "price"),
            line("2026-09-01", -5_000, "", sort="sold", brings=True, machine="m"),
        ))  # fmt: skip
        spent = spent_of(book, "m", 0.0, on=ON)
        assert (spent.money, spent.brought, spent.sold_on) == (3_000.0, 5_000.0, "2026-09-01")

    def test_other_machines_lines_do_not_count(self) -> None:
        assert spent_of(Book(currency="EUR", lines=(line("2026-01-10", 9, "price"),)), "other", 0.0,
                        on=ON).money == 0.0  # fmt: skip


@pytest.mark.parametrize(
    ("item", "three", "where"),
    [
        ("speed", (1, 2, 3), "item"),
        ("floor_m2", (-1, 2, 3), "low"),
        ("floor_m2", (3, 2, 1), "likely"),
        ("life_years", (0, 7, 9), "low"),
        ("hours_a_year", (0, 7, 9), "low"),
        ("hours_a_year", (900, 900, 99_999), "high"),
        ("down_days_a_year", (0, 7, 400), "high"),
        ("life_years", (5, 7, 1_000), "high"),
    ],
)
def test_a_figure_that_cannot_be_is_named(item: str, three: tuple[int, ...], where: str) -> None:
    low, likely, high = map(Decimal, three)
    assert figure_doubts(item, low, likely, high)[0].where == where


def test_a_file_with_more_hours_than_a_year_has_is_refused_with_its_line() -> None:
    with pytest.raises(Unusable) as refused:
        read_rate(b"[figures]\npaid = 3\nhours_a_year = 99999\n", "mill.toml")
    assert [one.where for one in refused.value.problems] == ["figures.hours_a_year (line 3)"]
    assert "8784" in refused.value.problems[0].remedy


def test_a_figure_far_above_what_is_usual_is_kept_and_asked_about(whole: Whole) -> None:
    dear = view_of(whole, own(energy_price_kwh=(250, 250, 250)))
    assert any("Look again: a kilowatt-hour" in words for words in dear.assumed)
    plain = view_of(whole, own(energy_price_kwh=(0.2, 0.3, 0.4)))
    assert not any("Look again" in words for words in plain.assumed)
