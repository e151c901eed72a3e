"""Money is exact, and one currency is never added to another."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.money import Money
from retrue.base.refusals import Unusable

CENTS = st.decimals(min_value=-(10**9), max_value=10**9, places=2)


def test_a_tenth_and_two_tenths_are_three_tenths():
    total = Money(Decimal("0.10"), "EUR") + Money(Decimal("0.20"), "EUR")
    assert total == Money(Decimal("0.30"), "EUR")


@given(CENTS, CENTS, CENTS)
def test_adding_keeps_every_cent_in_any_order(a: Decimal, b: Decimal, c: Decimal):
    one, two, three = (Money(amount, "EUR") for amount in (a, b, c))
    assert (one + two) + three == three + (two + one)


def test_two_currencies_are_refused_with_a_remedy():
    with pytest.raises(Unusable, match="EUR and CHF") as refused:
        Money(Decimal(1), "EUR") + Money(Decimal(1), "CHF")
    assert refused.value.remedy


def test_money_is_frozen():
    amount = Money(Decimal(1), "EUR")
    with pytest.raises(FrozenInstanceError):
        amount.currency = "CHF"  # type: ignore[misc]  # a frozen value must refuse it
