"""What a cost page draws: the buckets with most money, the weeks in which any moves; by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

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
    return SimpleNamespace(**(given | more))  # type: ignore[return-value]  # asked for no more


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
