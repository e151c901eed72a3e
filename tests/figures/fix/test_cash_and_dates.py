"""Money by week and one machine's dates: in the picture, on their scale, all of it in the table."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.fix.buying_lines import Buying, WeekCash
from retrue.cases.fix.cash_drawing import MOST_WEEKS, CashDrawing, CashWeek, cash_drawing
from retrue.cases.fix.dates_drawing import DatesDrawing
from retrue.figures.axes import WIDTHS
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE, PAPER

ROOMS = ("phone", "wide", "paper")
MONDAY = date(2026, 11, 30)
CASH = CashDrawing(
    weeks=tuple(CashWeek(on=MONDAY + timedelta(weeks=n), amount=sum)
                for n, sum in enumerate((1200.0, 0.0, -400.0, 600.0))),
    currency="EUR", later=90.0, undated=2500.0,
)  # fmt: skip


def dates(weeks: int = 12, **more) -> DatesDrawing:
    even = MONDAY + timedelta(weeks=weeks)
    told = {"early_on": even - timedelta(days=10), "even_on": even,
            "promise_on": even + timedelta(days=21)} | more  # fmt: skip
    return DatesDrawing(machine="mill", start=date(2026, 11, 26), **told)


def bars(drawn: str) -> list[tuple[float, float]]:
    found = re.findall(r'<rect x="([-\d.]+)"[^>]*?width="([\d.]+)"', drawn)
    return [(float(x), float(width)) for x, width in found]


def within(drawn: str, wide: float) -> bool:
    words = [float(x) for x in re.findall(r'<text x="([-\d.]+)"', drawn)]
    return all(x >= 0 and x + width <= wide + 0.5 for x, width in bars(drawn)) and all(
        0 <= x <= wide for x in words
    )


@pytest.mark.parametrize("room", ROOMS)
def test_sums_are_lengths_from_zero_and_what_comes_back_goes_the_other_way(room):
    drawn = picture(CASH, theme=PAGE, room=room)
    (first, long), (back, returned), (last, half) = bars(drawn)
    assert first == pytest.approx(last)  # both begin at zero
    assert back + returned == pytest.approx(first)
    assert half == pytest.approx(long / 2, rel=0.01)
    assert returned == pytest.approx(long / 3, rel=0.01)
    assert within(drawn, WIDTHS[room])


def test_the_table_has_every_week_what_is_later_and_what_has_no_week():
    told = dict(rows(CASH))
    assert told["week of 2026-11-30"] == "€\u202f1\u202f200"
    assert told["week of 2026-12-14"] == "€\u202f400 comes back"
    assert told["later"] == "€\u202f90"
    assert told["no week can be told for"] == "€\u202f2\u202f500"


def test_weeks_between_are_drawn_empty_and_of_many_only_those_in_which_money_moves():
    def view(gap_weeks: int, count: int) -> CashDrawing | None:
        weeks = tuple(
            WeekCash(week_on=(MONDAY + timedelta(weeks=n * gap_weeks)).isoformat(), amount=10.0)
            for n in range(count)
        )
        return cash_drawing(Buying(on="2026-11-26", currency="EUR", rows=(), weeks=weeks,
                                   stock=(), total=0.0))  # fmt: skip

    near, far, many = view(2, 3), view(9, 3), view(1, 20)
    assert near is not None
    assert far is not None
    assert many is not None
    assert [one.amount for one in near.weeks] == [10, 0, 10, 0, 10]
    assert [one.amount for one in far.weeks] == [10, 10, 10]
    assert len(many.weeks) == MOST_WEEKS
    assert many.later == pytest.approx(10.0 * (20 - MOST_WEEKS))
    assert view(1, 0) is None


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("weeks", [1, 12, 60, 400])
def test_the_band_reaches_from_luck_to_promise_and_the_days_are_written(room, weeks):
    drawing = dates(weeks)
    drawn = picture(drawing, theme=PAGE, room=room)
    assert within(drawn, WIDTHS[room])
    for told in ("with luck", "as likely as not", f"promise {drawing.promise_on}"):
        assert f">{told}<" in drawn, told
    assert drawn.count(str(drawing.even_on)) >= 2  # drawn, and said to who cannot see it


def test_days_lie_on_the_rule_in_proportion():
    first, moved = (picture(dates(8, early_on=early), theme=PAGE, room="wide")
                    for early in (date(2027, 1, 4), date(2027, 1, 11)))  # fmt: skip
    (x, width), (further, narrower) = bars(first)[0], bars(moved)[0]
    days = 21 + 21
    assert x + width == pytest.approx(
        further + narrower, abs=0.02
    )  # the promise stands where it stood
    assert width / narrower == pytest.approx(days / (days - 7), rel=0.01)


def test_the_promise_of_the_plan_before_stays_in_sight():
    broken = dates(was_on=date(2027, 2, 15))
    assert "promised before: 2027-02-15" in picture(broken, theme=PAGE, room="phone")
    assert dict(rows(broken))["promised before"] == "2027-02-15"
    assert "promised before" not in picture(dates(), theme=PAGE, room="phone")


def test_no_day_on_the_rule_is_crossed_by_the_promise():
    drawn = picture(dates(), theme=PAGE, room="phone")
    crossed = float(re.findall(r'd="M([\d.]+) [\d.]+l-7 12', drawn)[0])
    for x, told in re.findall(r'<text x="([\d.]+)"[^>]*text-anchor="start"[^>]*>(\d[^<]+)<', drawn):
        assert not float(x) < crossed < float(x) + 6.0 * len(told)


def test_paper_has_no_colour_that_only_a_page_knows():
    assert not any("var(" in picture(one, theme=PAPER, room="paper") for one in (CASH, dates()))


def test_what_cannot_be_drawn_is_refused_with_a_remedy():
    for bad in (CashDrawing(weeks=(), currency="EUR"),
                CashDrawing(weeks=(CashWeek(on=MONDAY, amount=float("nan")),), currency="EUR"),
                dates(early_on=date(2028, 1, 1))):  # fmt: skip
        with pytest.raises(Unusable) as told:
            picture(bad, theme=PAGE, room="wide")
        assert told.value.remedy
