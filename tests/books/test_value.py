"""Money over time against textbook values and a general-purpose library, numpy-financial."""

from __future__ import annotations

import numpy as np
import numpy_financial
import pytest
from hypothesis import given
from hypothesis import strategies as some

from retrue.base.refusals import Unusable
from retrue.books.value import (
    annuity_factor,
    capital_charge,
    capital_recovery_factor,
    discount_factors,
    internal_rates,
    net_present_value,
    payback_years,
)

FIVE_YEARS = [-10_000.0] + [3_000.0] * 5


def test_ten_thousand_back_in_five_threes():
    """Standard annuity case at 10 %, computed: 1372.36, 15.24 %, 3.33 years, factor 0.263797."""
    assert float(net_present_value(0.10, FIVE_YEARS)) == pytest.approx(1372.36, abs=0.005)
    assert internal_rates(FIVE_YEARS).rate == pytest.approx(0.1524, abs=0.00005)
    assert payback_years(FIVE_YEARS) == pytest.approx(3.33, abs=0.005)
    assert capital_recovery_factor(0.10, 5) == pytest.approx(0.263797, abs=5e-7)


def test_present_value_of_the_library_documents():
    """numpy-financial documentation, npv: rate 0.08, -40 000, 5 000, 8 000, 12 000, 30 000."""
    cash = [-40_000, 5_000, 8_000, 12_000, 30_000]
    assert float(net_present_value(0.08, cash)) == pytest.approx(3065.22267, abs=5e-6)
    assert float(net_present_value(0.281, [-100, 39, 59, 55, 20])) == pytest.approx(
        -0.00847859163845488, abs=1e-12
    )


@pytest.mark.parametrize(
    ("payments", "documented"),
    [
        ([-100, 39, 59, 55, 20], 0.28095),
        ([-100, 0, 0, 74], -0.0955),
        ([-100, 100, 0, -7], -0.0833),
        ([-100, 100, 0, 7], 0.06206),
        ([-5, 10.5, 1, -8, 1], 0.0886),
    ],
)
def test_internal_rates_of_the_library_documents(payments, documented):
    """numpy-financial documentation, irr: one of our rates is the documented one."""
    rates = internal_rates(payments).rates
    nearest = min(rates, key=lambda rate: abs(rate - documented))
    assert nearest == pytest.approx(documented, abs=0.00006)
    assert min(abs(rate - numpy_financial.irr(payments)) for rate in rates) < 1e-8


def test_payments_that_change_sign_twice_say_that_they_have_two_rates():
    """Lorie and Savage 1955, the larger oil pump: 25 % and 400 % (from memory)."""
    found = internal_rates([-1_600, 10_000, -10_000])
    assert found.rates == pytest.approx((0.25, 4.0))
    assert found.rate is None
    assert "more than one" in found.why


@pytest.mark.parametrize("payments", [[-1, -2], [0, 0], [1, 2, 3], [5]])
def test_money_that_flows_one_way_has_no_rate_and_says_so(payments):
    found = internal_rates(payments)
    assert (found.rates, found.rate) == ((), None)
    assert found.why == "money flows one way only"


def test_payments_that_no_rate_brings_to_nothing_say_so():
    found = internal_rates([1_000, -1_000, 1_000])
    assert (found.rates, found.rate) == ((), None)
    assert found.why


def test_a_rate_met_twice_is_named_once():
    found = internal_rates([-1.0, 2 * 1.1, -(1.1**2)])
    assert len(found.rates) <= 1
    assert found.rates == pytest.approx((0.1,), abs=1e-3)


@given(
    some.integers(1, 5_000),
    some.lists(some.integers(-5_000, 5_000), max_size=7),
    some.integers(1, 5_000),
    some.booleans(),
)
def test_every_rate_named_makes_the_payments_worth_nothing(first, middle, last, lent):
    """Ends of opposite sign: by the intermediate value theorem there is a rate above -1."""
    payments = [first, *middle, -last] if lent else [-first, *middle, last]
    rates = internal_rates(payments).rates
    assert rates
    worth = [abs(float(net_present_value(rate, payments))) for rate in rates]
    size = [float(net_present_value(rate, np.abs(payments))) for rate in rates]
    assert all(one <= 1e-7 * whole for one, whole in zip(worth, size, strict=True))


@given(some.lists(some.integers(-5_000, 5_000), min_size=1, max_size=12), some.floats(-0.5, 1.5))
def test_present_values_agree_with_the_library(payments, rate):
    wanted = numpy_financial.npv(rate, payments)
    assert float(net_present_value(rate, payments)) == pytest.approx(wanted, rel=1e-9, abs=1e-6)


@given(some.floats(0.001, 0.4), some.integers(1, 40))
def test_capital_recovery_agrees_with_the_library(rate, years):
    assert capital_recovery_factor(rate, years) == pytest.approx(
        -numpy_financial.pmt(rate, years, 1.0), rel=1e-9
    )
    assert annuity_factor(rate, years) == pytest.approx(
        -numpy_financial.pv(rate, years, 1.0), rel=1e-9
    )


def test_without_interest_or_next_to_none_capital_comes_back_in_equal_parts():
    assert capital_recovery_factor(0.0, 8) == 1 / 8
    assert capital_recovery_factor(1e-40, 8) == pytest.approx(1 / 8)


def test_a_loan_of_200_000_over_15_years_at_7_5_per_cent_costs_1854_02_a_month():
    """numpy-financial documentation, pmt."""
    assert 200_000 * capital_recovery_factor(0.075 / 12, 12 * 15) == pytest.approx(
        1854.0247200054619, abs=1e-8
    )


def test_saving_100_a_month_towards_15692_93_is_worth_100_now():
    """numpy-financial documentation, pv: 5 % over ten years, 100 a month, 15 692.93 at the end."""
    month = 0.05 / 12
    now = 15_692.93 * discount_factors(month, 120) - 100 * annuity_factor(month, 120)
    assert float(now) == pytest.approx(100.00067131625819, abs=1e-8)


def test_owning_a_restored_machine_and_a_new_one_costs_5688_and_13988_a_year():
    """Invented figures, common practice, no source: 8 % over 7 years, resale at the end."""
    assert capital_charge(33_700, 7_000, 0.08, 7) == pytest.approx(5_688, abs=0.6)
    assert capital_charge(95_000, 38_000, 0.08, 7) == pytest.approx(13_988, abs=0.6)


def test_present_value_takes_one_column_a_world():
    table = np.array([[-100.0, -200.0], [60.0, 150.0], [60.0, 150.0]])
    wanted = [float(net_present_value(0.08, column)) for column in table.T]
    assert net_present_value(0.08, table) == pytest.approx(wanted)


def test_payback_counts_from_the_last_time_the_money_is_out():
    assert payback_years([-100, 150, -100, 100]) == pytest.approx(2.5)
    assert payback_years([-100, 20]) is None
    assert payback_years([50, 20]) == 0
    assert payback_years(FIVE_YEARS, rate=0.10) == pytest.approx(4.2637, abs=0.0005)


@pytest.mark.parametrize(
    "call",
    [
        lambda: discount_factors(-1.0, 1),
        lambda: annuity_factor(0.1, -1),
        lambda: capital_recovery_factor(0.1, 0),
        lambda: net_present_value(0.1, []),
        lambda: net_present_value(0.1, [1.0, float("nan")]),
        lambda: internal_rates([[1.0], [2.0]]),  # type: ignore[list-item]  # what is no row of payments must be refused
    ],
)
def test_rates_years_and_payments_that_cannot_be_are_refused(call):
    with pytest.raises(Unusable):
        call()
