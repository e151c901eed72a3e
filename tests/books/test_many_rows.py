"""Rates and paybacks of many rows against one row at a time, and against numpy-financial."""

from __future__ import annotations

import numpy as np
import numpy_financial
import pytest

from retrue.base.refusals import Unusable
from retrue.books.many_rows import many_paybacks, many_rates, rates_of_one_sale
from retrue.books.value import (
    annuity_factor,
    discount_factors,
    internal_rates,
    net_present_value,
    payback_years,
)

DOCUMENTED = [  # numpy-financial documentation, irr; the last two digits of the first as printed
    ([-100, 39, 59, 55, 20], 0.28094842),
    ([-250_000, 100_000, 150_000, 200_000, 250_000, 300_000], 0.56723303),
    ([-100, 0, 0, 74], -0.0955),
    ([-5, 10.5, 1, -8, 1], 0.0886),
]


@pytest.fixture(scope="module")
def rows() -> np.ndarray:
    rng = np.random.default_rng(11)
    made = rng.normal(400.0, 500.0, size=(8, 300))
    made[0] = -rng.uniform(200.0, 3_000.0, 300)
    made[:, :3] = -np.abs(made[:, :3])
    return made


@pytest.mark.parametrize(("payments", "documented"), DOCUMENTED)
def test_documented_rates(payments, documented):
    found = many_rates(np.array([payments], dtype=float).T)
    if found.several[0]:
        every = internal_rates(payments).rates
        assert min(abs(rate - documented) for rate in every) < 6e-5
    else:
        assert found.rates[0] == pytest.approx(documented, abs=6e-5)


def test_two_roots_are_told_and_neither_is_picked():
    """-100, 230, -132 is worth nothing at 10 % and at 20 %; the library gives the first alone."""
    payments = [-100.0, 230.0, -132.0]
    assert internal_rates(payments).rates == pytest.approx((0.10, 0.20))
    found = many_rates(np.array([payments]).T)
    assert found.several[0]
    assert np.isnan(found.rates[0])
    assert numpy_financial.irr(payments) == pytest.approx(0.10)


def test_random_rows_have_the_rate_of_the_library_where_there_is_just_one(rows):
    found = many_rates(rows)
    alone = 0
    for at in range(rows.shape[1]):
        one = internal_rates(rows[:, at].tolist())
        assert found.none[at] == (not one.rates)
        assert found.several[at] == (len(one.rates) > 1)
        if one.rate is not None and -0.5 < one.rate < 5:
            alone += 1
            assert found.rates[at] == pytest.approx(one.rate, abs=1e-9)
            assert found.rates[at] == pytest.approx(numpy_financial.irr(rows[:, at]), abs=1e-7)
            worth = numpy_financial.npv(found.rates[at], rows[:, at])
            assert abs(worth) < 1e-6 * np.abs(rows[:, at]).sum()
    assert alone > 100


def test_present_values_of_random_rows_are_those_of_the_library(rows):
    ours = net_present_value(0.08, rows)
    theirs = [numpy_financial.npv(0.08, rows[:, at]) for at in range(rows.shape[1])]
    np.testing.assert_allclose(ours, theirs)


def test_money_back_in_three_and_a_third_years():
    """Standard annuity case, computed: 10 000 back in five payments of 3 000: 3.33 years."""
    assert many_paybacks(np.array([[-10_000.0], *[[3_000.0]] * 5]))[0] == pytest.approx(10 / 3)


def test_paybacks_are_those_of_one_row_at_a_time(rows):
    found = many_paybacks(rows)
    for at in range(rows.shape[1]):
        one = payback_years(rows[:, at].tolist())
        assert found[at] == (np.inf if one is None else pytest.approx(one))
    assert np.isinf(found).any()
    assert many_paybacks(np.array([[5.0], [1.0]])).tolist() == [0.0]


def test_saving_a_hundred_a_month_for_ten_years_at_five_per_cent():
    """numpy-financial documentation, fv: 15 692.928894335748, from annuity and discount factors."""
    rate, months = 0.05 / 12, 120
    now = 100.0 + 100.0 * annuity_factor(rate, months)
    assert now / discount_factors(rate, months) == pytest.approx(15_692.928894, abs=5e-7)
    assert numpy_financial.fv(rate, months, -100, -100) == pytest.approx(15_692.928894, abs=5e-7)


@pytest.mark.parametrize("payments", [[], [1.0, 2.0], [[np.nan]]])
def test_what_is_no_table_of_payments_is_refused(payments):
    with pytest.raises(Unusable):
        many_rates(payments)
    with pytest.raises(Unusable):
        many_paybacks(payments)


def test_one_sale_brings_what_the_library_says_by_the_day():
    """10 000 out, 12 000 back after 30 days is about 820 % a year; a loss after three years."""
    years = np.array([30 / 365.25, 3.0, 0.5])
    paid, brought = np.array([10_000.0, 8_000.0, 100.0]), np.array([12_000.0, 5_000.0, 121.0])
    told = rates_of_one_sale(paid, brought, years)
    library = [
        numpy_financial.rate(time, 0.0, -out, back)
        for time, out, back in zip(years, paid, brought, strict=True)
    ]
    np.testing.assert_allclose(told, library, rtol=1e-6)
    assert told[0] == pytest.approx(8.2, abs=0.02)


def test_what_has_no_rate_is_no_number():
    told = rates_of_one_sale([0.0, 5.0, 5.0], [5.0, 0.0, 9.0], [1.0, 1.0, 0.0])
    assert np.isnan(told).all()
