"""Ends of formulas of the books: back to the cent, no margin, no tax, nothing ahead; by hand."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.books.break_even import crossing, crossings
from retrue.books.hour_rate import price_an_hour
from retrue.books.many_rows import many_paybacks
from retrue.books.rates import Rates
from retrue.books.tax import Taxed, tax_problems, taxed
from retrue.books.value import annuity_factor, discount_factors, payback_years


@pytest.mark.parametrize(
    ("payments", "years"),
    [
        ([-100.0, 100.0], 1.0),
        ([-100.0, 60.0, 40.0, 0.0], 2.0),
        ([-100.0, 60.0, 40.0, -40.0, 40.0], 4.0),
        ([0.0, 0.0], 0.0),
        ([0.0, -50.0, 100.0], 1.5),
    ],
)
def test_money_that_is_back_to_the_cent_is_back(payments: list[float], years: float) -> None:
    """Payback period, Brealey, Myers and Allen 2020, chapter 5: until inflows equal the outlay."""
    assert payback_years(payments) == pytest.approx(years)
    assert many_paybacks(np.array([payments]).T).tolist() == pytest.approx([years])


def test_years_without_end_and_rates_beyond_all_are_refused() -> None:
    for wrong in (float("inf"), float("nan")):
        with pytest.raises(Unusable):
            annuity_factor(0.1, wrong)
        with pytest.raises(Unusable):
            discount_factors(wrong, 1.0)
    assert annuity_factor(0.1, 0.0) == 0.0


def test_one_payment_that_is_no_number_spoils_the_row() -> None:
    for wrong in ([[-1.0], [float("nan")]], [[float("inf")], [1.0]]):
        with pytest.raises(Unusable):
            many_paybacks(wrong)


def test_neither_ahead_nor_gaining_is_never_ahead() -> None:
    """By definition of being ahead: more than nothing, be it less than one."""
    assert crossing(0.0, -1.0).says == crossing(-0.5, 0.0).says == "never"
    assert crossing(0.0, 0.5).says == crossing(0.5, 0.0).says == "always"
    assert crossing(-0.5, 0.5).at == crossing(0.5, -0.5).at == 1.0
    for there, never, always in ((True, np.inf, 0.0), (False, 0.0, np.inf)):
        told = crossings([0.0, -0.5, 0.0, 0.5], [-1.0, 0.0, 0.5, 0.0], from_there=there)
        assert told.tolist() == [never, never, always, always]


def test_without_a_margin_the_price_is_the_cost() -> None:
    assert price_an_hour(80.0, 0.0) == 80.0


def test_a_tax_of_nothing_can_be_and_one_of_all_cannot() -> None:
    """A share from 0 to below 1: 0 % is a rate that papers name (Directive 2006/112/EC, memory)."""
    for rate, fields in ((Decimal(0), []), (Decimal("0.99"), []), (Decimal(1), ["tax_rate"])):
        told = tax_problems(rate=rate, scheme="", reclaimable=None)
        assert [one.where for one in told] == fields
    whole = taxed(Decimal("80.00"), "EUR", rate=Decimal(0), included=False)
    assert whole == Taxed(Decimal(80), Decimal(80), Decimal(0), Decimal(0))


def test_a_rate_that_was_kept_is_not_one_that_was_typed() -> None:
    rates = Rates("EUR", [("CHF", "2026-11-20", Decimal("1.07"))])
    kept, typed = (rates.on("CHF", "2026-11-21", typed=rate) for rate in (None, Decimal("1.1")))
    own = rates.on("EUR", "2026-11-21")
    assert kept is not None
    assert typed is not None
    assert own is not None
    assert (kept.typed, typed.typed, own.typed) == (False, True, False)
    assert (kept.day, typed.day) == ("2026-11-20", "2026-11-21")
