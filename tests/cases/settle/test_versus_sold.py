"""Was it worth it, of a machine that is sold, closed or to be sold: by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import numpy_financial
import pytest
from tests.cases.priced import kinds, lot
from tests.cases.settle.compared import PAID, WORLDS, gaps_with, told

from retrue.cases.settle.hour_rate_whole import Spent, Whole, whole_of
from retrue.cases.settle.rate_json import flat_versus
from retrue.records.fixing import Chosen


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

    def test_a_quick_sale_brings_what_it_brings_by_the_day(self) -> None:
        """10 000 out, 12 000 back 30 days later: 820 % a year, by the library."""
        spent = Spent(money=10_000.0, brought=12_000.0, first_on="2026-01-10",
                      sold_on="2026-02-09")  # fmt: skip
        (row,) = told(whole_of(lot(), "mill", kinds(), spent=spent, worlds=WORLDS)).rows
        rate = numpy_financial.rate(30 / 365.25, 0.0, -10_000.0, 12_000.0)
        assert row.rate.p50 == pytest.approx(rate, rel=1e-6)
        assert row.rate.p50 == pytest.approx(8.2, abs=0.02)
        assert row.payback is not None
        assert row.payback.p50 == pytest.approx(30 / 365.25)

    def test_the_work_done_until_a_sale_is_money_saved_and_said_as_taken(self) -> None:
        """By hand: four years of 350 h at 33.8 an hour, less floor, come to the sale of before."""
        spent = Spent(money=8_000.0, brought=5_000.0, first_on="2022-01-10", sold_on="2026-06-01",
                      ended="keeps_working", ended_on="2022-06-01")  # fmt: skip
        idle = whole_of(lot(), "mill", kinds(), spent=spent, worlds=WORLDS)
        before = told(idle)
        assert before.rows[0].gap.mean < 0.0
        worked = replace(spent, worked_from="2022-06-01")
        whole = whole_of(lot(), "mill", kinds(), spent=worked, worlds=WORLDS)
        view = told(whole)
        gap = gaps_with(whole)[0][2]
        first, last = 142 / 365.25, 1_603 / 365.25
        years = (1.08**-first - 1.08**-last) / np.log(1.08)
        saved = gap.hours * gap.ours.an_hour - gap.ours.a_year
        gained = view.rows[0].gap.mean - before.rows[0].gap.mean
        assert gained == pytest.approx(float(saved.mean()) * years)
        hours = float(whole.worth.hours_a_year.mean())
        assert float(saved.mean()) == pytest.approx(hours * 33.8 - 1_350, rel=0.08)
        assert any("2022-06-01 until 2026-06-01" in words and "are taken" in words
                   for words in view.assumed)  # fmt: skip
        assert "its work saved" in view.answer
        assert not any("All as it was" in words for words in view.fine)
        assert "worked before it was sold" in flat_versus(view)["why"]["rows.0.rate.p50"]

    def test_one_that_was_to_stay_worked_from_its_first_good_part(self) -> None:
        spent = replace(PAID, first_on="2024-01-01", sold_on="2026-01-01", brought=100.0)
        given = {"spent": spent, "reached_on": "2024-03-01", "worlds": 100}
        assert whole_of(lot(), "mill", kinds(), **given).worked == (60.0, 731.0)
        resold = replace(lot(), chosen=(
            Chosen(lot="school", machine="mill", sort="aim", way="sell_running",
                   level="just_running"),
        ))  # fmt: skip
        assert whole_of(resold, "mill", kinds(), **given).worked is None

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
