"""Money that is back exactly at a year's end: by definition it is back, not still out."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.books.break_even import crossing, crossings
from retrue.books.hour_rate import price_an_hour
from retrue.books.many_rows import many_paybacks
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
