"""What a cost page draws: the buckets with most money, the weeks in which any moves; by hand."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest

from retrue.cases.settle.cash_curve import Dated, cash_curve
from retrue.cases.settle.cost_actual import Actual
from retrue.cases.settle.cost_drawing import MOST_BARS, cost_bars, curve_drawing
from retrue.cases.settle.cost_lines import CashCurve, CashPoint, CostView, Range
from retrue.cases.settle.cost_ranges import sure

BAND = Range(p10=100.0, p50=200.0, p90=300.0, mean=210.0)


def row(words: str, actual: float = 0.0, told: Range | None = None, end: float = 0.0) -> object:
    return SimpleNamespace(words=words, forecast=told, actual=actual, end=sure(end))


def view(*rows: object, points: tuple[CashPoint, ...] = (), **more: object) -> CostView:
    given: dict[str, object] = {
        "rows": rows, "machine_name": "mill", "lot_name": "school", "currency": "EUR",
        "restored": 700.0, "restored_forecast": BAND, "restored_end": sure(900.0),
        "cash": CashCurve(on="2026-11-26", points=points, floor_a_month=60.0, stop_at=5_000.0,
                          dated=0.0),
    }  # fmt: skip
    # a whole view is worked out from a shop; what draws it asks for these fields and no others
    return SimpleNamespace(**(given | more))  # type: ignore[return-value]


def week(on: str, paid: float | None, high: float | None = None) -> CashPoint:
    return CashPoint(week_on=on, paid=paid, low=None, even=None, high=high, amount=0.0)


class TestBars:
    def test_each_has_its_band_its_pointer_and_its_end_and_all_of_it_stands_apart(self) -> None:
        made = cost_bars(view(row("move", 250.0, BAND, 260.0), row("gloves", 85.0, end=85.0)))
        move, gloves = made.bars
        assert (move.words, move.forecast, move.actual, move.end) == (
            "move", BAND, 250.0, sure(260.0))  # fmt: skip
        assert (gloves.forecast, gloves.actual) == (None, 85.0)
        whole = made.whole
        assert (whole.forecast, whole.actual, whole.end) == (BAND, 700.0, sure(900.0))
        assert (made.name, made.currency, made.left_out) == ("mill", "EUR", 0)
        assert cost_bars(view(machine_name="")).name == "school"

    def test_of_more_than_twelve_the_largest_are_drawn_in_the_order_in_which_money_goes(
        self,
    ) -> None:
        """By what is farthest: the bad luck that was expected, what is spent, the bad end."""
        small = [row(f"small {at}", 20.0 + at) for at in range(12)]
        rows = [small[0], row("told", 0.0, BAND), *small[1:7], row("spent", 290.0), *small[7:],
                row("end", 0.0, end=280.0), row("back", -900.0)]  # fmt: skip
        made = cost_bars(view(*rows))
        assert MOST_BARS == 12
        # of sixteen: told 300, spent 290, end 280, then 31, 30 and so on down to 23
        assert [one.words for one in made.bars] == [
            "told", "small 3", "small 4", "small 5", "small 6", "spent", "small 7", "small 8",
            "small 9", "small 10", "small 11", "end"]  # fmt: skip
        assert made.left_out == 4

    def test_what_only_came_back_counts_as_nothing(self) -> None:
        """Below zero and at zero are alike: the first ones stay."""
        told = Range(p10=-9.0, p50=-8.0, p90=-7.0, mean=-8.0)
        rows = [row("back", -900.0, told, -900.0), *(row(f"{at}", 5.0) for at in range(11)),
                row("none")]  # fmt: skip
        assert [one.words for one in cost_bars(view(*rows)).bars][:2] == ["back", "0"]


class TestWeeks:
    def test_now_is_the_last_week_in_which_something_is_in_the_book(self) -> None:
        points = (week("2026-11-16", 900.0), week("2026-11-23", 1_000.0, 1_400.0),
                  week("2026-11-30", None, 1_900.0))  # fmt: skip
        made = curve_drawing(view(points=points))
        assert made is not None
        assert (made.name, made.points, made.currency) == ("mill", points, "EUR")
        assert (made.now, made.stop_at) == (1, 5_000.0)
        lot = curve_drawing(view(points=(points[2], points[2]), machine_name=""))
        assert lot is not None
        assert (lot.name, lot.now) == ("school", 0)

    @pytest.mark.parametrize(
        ("points", "drawn"),
        [((), False), ((week("2026-11-16", 900.0),), False),
         ((week("2026-11-16", 0.0), week("2026-11-23", 0.0, 0.4)), False),
         ((week("2026-11-16", 0.0), week("2026-11-23", None, 0.5)), True),
         ((week("2026-11-16", 0.5), week("2026-11-23", None)), True)],
    )  # fmt: skip
    def test_one_week_or_less_than_half_a_unit_is_no_picture(
        self, points: tuple[CashPoint, ...], drawn: bool
    ) -> None:
        assert (curve_drawing(view(points=points)) is not None) is drawn


ON = date(2026, 11, 26)  # a Thursday: its week begins on the 23rd
Line = tuple[str, Decimal, str, bool]


def line(on: str, money: int, words: str = "x", posted: bool = True) -> Line:
    return (on, Decimal(money), words, posted)


class TestMoneyByWeek:
    """All by hand: what is in the book up to today, what is owed on its day, the rest beyond."""

    def test_what_is_in_the_book_ahead_is_still_to_come(self) -> None:
        lines = (line("2026-11-26", 100), line("2026-11-27", 40), line("2026-11-20", 7, "y", False),
                 line("2026-11-17", 300, "w"), line("2026-11-18", 60))  # fmt: skip
        made = cash_curve(Actual(lines=lines), sure(0.0), (), on=ON, until=date(2026, 12, 1),
                          stop_at=2_000.0, floor_a_month=60.0)  # fmt: skip
        first, now, last = made.points
        assert (first.week_on, first.paid, first.amount, first.even) == (
            "2026-11-16", 360.0, 360.0, None)  # fmt: skip
        assert first.lines == ("w", "x")
        # 40 on Friday; 7 are overdue, and fall due today
        assert (now.week_on, now.paid, now.even, now.amount) == (
            "2026-11-23", 460.0, 507.0, 147.0)  # fmt: skip
        assert (last.week_on, last.paid, last.even, last.amount) == (
            "2026-11-30", None, 507.0, 0.0)  # fmt: skip
        assert (made.stop_at, made.floor_a_month, made.on) == (2_460.0, 60.0, "2026-11-26")
        assert cash_curve(Actual(), sure(0.0), (), on=ON, until=None).stop_at is None

    def test_a_week_without_money_is_a_point_too(self) -> None:
        made = cash_curve(Actual(lines=(line("2026-11-09", 50),)), sure(0.0), (), on=ON, until=None)
        assert [(one.week_on, one.paid, one.amount) for one in made.points] == [
            ("2026-11-09", 50.0, 50.0),
            ("2026-11-16", 50.0, 0.0),
            ("2026-11-23", 50.0, 0.0),
        ]
        assert made.points[-1].even == 50.0

    def test_without_a_day_it_is_spread_over_half_a_year(self) -> None:
        """This week and 26 more: 27 of 10 each; the band grows with what has come."""
        told = Range(p10=135.0, p50=270.0, p90=540.0, mean=300.0)
        made = cash_curve(Actual(), told, (), on=ON, until=None)
        assert len(made.points) == 27
        assert [one.amount for one in made.points] == pytest.approx([10.0] * 27)
        half = made.points[13]
        assert (half.low, half.even, half.high) == pytest.approx(
            (135.0 * 14 / 27, 140.0, 540.0 * 14 / 27))  # fmt: skip
        assert len(cash_curve(Actual(), sure(0.0), (), on=ON, until=None).points) == 1

    def test_lists_that_come_to_more_than_is_to_come_are_taken_down_to_it(self) -> None:
        """300 listed for the first week and 100 for the second, 200 to come: 150 and 50."""
        listed = (Dated(on=ON, amount=300.0, words="drive"),
                  Dated(on=date(2026, 12, 2), amount=100.0, words="belt"))  # fmt: skip
        made = cash_curve(Actual(), sure(200.0), listed, on=ON, until=None)
        assert made.dated == 400.0
        assert [one.even for one in made.points[:3]] == pytest.approx([150.0, 200.0, 200.0])
        more = cash_curve(Actual(), sure(500.0), listed, on=ON, until=date(2026, 12, 4))
        assert [one.amount for one in more.points] == pytest.approx([350.0, 150.0])
        none = cash_curve(Actual(), sure(-5.0), listed, on=ON, until=date(2026, 12, 4))
        assert [one.even for one in none.points] == pytest.approx([-2.5, -5.0])

    def test_what_is_known_beyond_the_first_good_part_is_drawn_too(self) -> None:
        far = (Dated(on=date(2026, 12, 16), amount=30.0, words="hoist"),)
        made = cash_curve(Actual(), sure(30.0), far, on=ON, until=date(2026, 12, 2))
        assert [one.week_on for one in made.points][-1] == "2026-12-14"
        assert [one.even for one in made.points] == pytest.approx([0.0, 0.0, 0.0, 30.0])
        late = cash_curve(Actual(), sure(5.0), (), on=ON, until=ON + timedelta(weeks=200))
        assert len(late.points) == 105  # this week and two years
        past = cash_curve(Actual(), sure(5.0), (), on=ON, until=date(2026, 1, 1))
        assert [one.week_on for one in past.points] == ["2026-11-23"]

    def test_six_words_of_a_week_are_told_each_once(self) -> None:
        lines = [line("2026-11-17", 1, f"{at % 8}") for at in range(16)]
        due = [line("2026-11-24", 1, "due", False)] * 2
        made = cash_curve(Actual(lines=(*lines, *due)), sure(0.0), (), on=ON, until=None)
        assert made.points[0].lines == ("0", "1", "2", "3", "4", "5")
        assert made.points[1].lines == ("due",)
        now = [line("2026-11-24", 1, f"{at}") for at in range(5)]
        both = cash_curve(Actual(lines=(*now, line("2026-12-24", 1, "6", False), *due)), sure(0.0),
                          (), on=ON, until=None)  # fmt: skip
        assert both.points[0].lines == ("0", "1", "2", "3", "4", "due")
