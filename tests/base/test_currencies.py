"""Currencies and their smallest coins, against a published copy of the list of ISO 4217."""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.base.currencies import (
    MINOR,
    UNVERIFIED,
    is_whole,
    known_code,
    minor_units,
    to_step,
)
from retrue.base.refusals import Unusable

# ISO 4217, table A.1, column "minor unit": a public copy of the list as of 2011 (secondary source).
# Every code of it that is still in use and has no minor unit or three decimals; all others have 2.
NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UYI VND VUV XAF XOF XPF"
THREE = "BHD IQD JOD KWD LYD OMR TND"
TWO = "AUD BGN CAD CHF CNY CZK DKK EUR GBP HUF INR MXN NOK NZD PLN RON SEK SGD TRY USD ZAR"


@pytest.mark.parametrize(("codes", "decimals"), [(NONE, 0), (THREE, 3), (TWO, 2)])
def test_decimals_as_published(codes: str, decimals: int) -> None:
    assert {minor_units(code) for code in codes.split()} == {decimals}


def test_what_differs_from_that_copy_is_marked_unverified() -> None:
    """Later amendments of the standard, from memory: UGX lost its cents, CLF has four decimals."""
    other = {code for code, count in MINOR.items() if count != 2} - {*NONE.split(), *THREE.split()}
    assert other == {"UGX", "CLF", "UYW"}
    assert other <= UNVERIFIED
    assert set(MINOR) >= UNVERIFIED


@pytest.mark.parametrize("code", ["EURO", "", "E U", "ABC", "XXX"])
def test_an_unknown_code_is_refused_by_name(code: str) -> None:
    with pytest.raises(Unusable) as refused:
        known_code(code, field="into_currency")
    assert refused.value.problems[0].where == "into_currency"
    assert code in refused.value.reason or "nothing" in refused.value.reason


def test_the_nearest_is_named() -> None:
    with pytest.raises(Unusable) as refused:
        known_code("CFH")
    assert "CHF" in refused.value.remedy


@pytest.mark.parametrize(
    ("amount", "even", "up"),
    [("2.5", "2", "3"), ("3.5", "4", "4"), ("-2.5", "-2", "-3"), ("-0.4", "0", "0")],
)
def test_both_ways_of_rounding(amount: str, even: str, up: str) -> None:
    """IEEE 754-2008, 4.3: halves to the even neighbour, or away from nothing."""
    assert to_step(Decimal(amount), "JPY") == Decimal(even)
    assert to_step(Decimal(amount), "JPY", "half_up") == Decimal(up)
    assert not to_step(Decimal("-0.4"), "JPY").is_signed()


def test_no_amount_is_finer_than_its_coin() -> None:
    assert is_whole(Decimal("1.234"), "KWD")
    assert not is_whole(Decimal("1.234"), "EUR")
    assert not is_whole(Decimal("1.5"), "JPY")
