"""Rates a year over many worlds: which worlds count, and which are only counted."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import numpy_financial
import pytest

from retrue.cases.settle.versus import rate_curve
from retrue.cases.settle.versus_flows import Gap, Side
from retrue.cases.settle.versus_rate import rate_row, sale_of, sale_row

YEAR = 365.25  # days


def payments(sole: int) -> np.ndarray:
    """Worlds with one rate, 10 % and on; three with two; one with none; two the other way round."""
    one = [[-100.0, 110.0 + at, 0.0] for at in range(sole)]
    two = [[-100.0, 230.0, -132.0]] * 3
    return np.array([*one, *two, [-100.0, -1.0, -1.0], [90.0, -180.0, 0.0], [90.0, 1.0, 1.0]]).T


def test_only_worlds_with_one_rate_and_the_same_way_round_make_the_band() -> None:
    """By hand: 10 % to 30 %; a loan's rate is none of the money laid out."""
    told = rate_row(payments(21))
    assert (told.p10, told.p50, told.p90) == pytest.approx((0.12, 0.20, 0.28))
    assert (told.none, told.several, told.turned, told.lays_out_more) == (1, 3, 2, True)
    mean = payments(21).mean(axis=1)
    assert min(abs(root - numpy_financial.irr(mean)) for root in told.roots) < 1e-6


def test_kept_in_hand_it_is_the_other_way_round() -> None:
    """By definition: the same payments with the other sign have the same rates."""
    told = rate_row(-payments(21))
    assert (told.p10, told.p50, told.p90) == pytest.approx((0.12, 0.20, 0.28))
    assert (told.none, told.several, told.turned, told.lays_out_more) == (1, 3, 2, False)


@pytest.mark.parametrize(("sole", "band"), [(19, False), (20, True)])
def test_of_fewer_than_twenty_worlds_no_band_is_told(sole: int, band: bool) -> None:
    """Judgement."""
    told = rate_row(payments(sole))
    assert (told.p10 is not None, told.p50 is not None, told.p90 is not None) == (band,) * 3


def sold(worlds: int, brings: float = 7_000.0, paid: float = 6_000.0, days: float = 0.5) -> Gap:
    """Sold for so much on the day; 40 own hours at 10 are paid as well."""
    none = np.zeros(worlds)
    ours = Side(
        money=none + paid, own_hours=none + 40.0, an_hour=none, a_year=none, days=none, until=none,
        left=none, sale=none + brings * 1.08**-days, sale_days=none + days * YEAR,
    )  # fmt: skip
    nothing = Side(none, none, none, none, none, none, none, none, none)
    return Gap(ours, nothing, none + 100.0, rate=10.0, interest=0.08, horizon=5.0)


def test_a_sale_after_half_a_year_brings_its_yearly_rate() -> None:
    """By the library: 6 400 out, 7 000 back after half a year."""
    gap = sold(20)
    paid, brought, years = (float(one[0]) for one in sale_of(gap))
    assert (paid, brought, years) == pytest.approx((6_400.0, 7_000.0, 0.5))
    told = sale_row(gap, worked=False)
    assert told.p50 == pytest.approx(numpy_financial.rate(0.5, 0.0, -6_400.0, 7_000.0))
    assert (told.none, told.several, told.turned, told.roots) == (0, 0, 0, ())
    assert (told.lays_out_more, told.why) == (True, "")


def test_without_enough_worlds_or_where_it_worked_no_rate_is_told_and_why() -> None:
    few, nothing, worked = (
        sale_row(sold(19), worked=False),
        sale_row(sold(25, brings=0.0), worked=False),
        sale_row(sold(25), worked=True),
    )
    assert few.p50 is nothing.p50 is worked.p50 is None
    assert (few.none, nothing.none, worked.none) == (0, 25, 0)
    assert few.why == nothing.why != worked.why
    assert worked.why.startswith("it worked before")


def test_the_curve_of_two_rates_is_nothing_at_both_and_reaches_beyond_them() -> None:
    """-100, 230, -132 is worth nothing at 10 % and at 20 %: present values by the library."""
    rows = (-100.0, 230.0, -132.0)
    row = SimpleNamespace(name="new", rate=SimpleNamespace(roots=(0.1, 0.2)), payments=rows)
    drawn = rate_curve(row, 0.30, "EUR")
    assert drawn is not None
    assert drawn.xs[0] == pytest.approx(-0.075)
    assert drawn.xs[-1] == pytest.approx(0.375)
    assert list(drawn.even) == pytest.approx([numpy_financial.npv(x, rows) for x in drawn.xs])
    assert (drawn.now, drawn.low, drawn.high) == (0.30, (), ())
    one = SimpleNamespace(name="new", rate=SimpleNamespace(roots=(0.1,)), payments=rows)
    assert rate_curve(one, 0.30, "EUR") is None


@pytest.mark.parametrize(
    ("day", "year"), [(0.0, 0), (0.2, 1), (2.0, 2), (2.005, 2), (2.02, 3), (9.0, 9)]
)
def test_money_stands_at_the_end_of_the_year_in_which_its_day_lies(day: float, year: int) -> None:
    """By definition; a day or two after a year's end are of that year."""
    gap = sold(1, days=day)
    rows = gap.payments[:, 0]
    assert rows[year] == pytest.approx(7_000.0 * 1.08 ** (year - day) - 6_400.0 * (year == 0))
    assert len(rows) == max(5, year) + 1
    assert np.count_nonzero(rows) == 1 + (year > 0)
    ours = replace(gap.ours, sale=np.zeros(1), left=np.full(1, 900.0), until=np.full(1, day * YEAR))
    kept = replace(gap, ours=ours).payments[:, 0]
    assert kept[year] == pytest.approx(900.0 - 6_400.0 * (year == 0))


def test_as_many_years_are_looked_at_as_the_longest_world_takes() -> None:
    gap = sold(3, days=0.5)
    late = replace(gap.ours, sale_days=np.array([0.5, 8.5, 2.0]) * YEAR)
    assert len(replace(gap, ours=late).payments) == 10
    assert len(replace(gap, horizon=0.2).payments) == 2
