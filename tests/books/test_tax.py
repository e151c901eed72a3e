"""Tax of one line by its scheme; what the law says is from memory, and local law comes first."""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.base.refusals import Unusable
from retrue.books.tax import Taxed, taxed


@pytest.mark.parametrize(
    ("gross", "rate", "tax"),
    [("120.00", "0.2", "20.00"), ("117.50", "0.175", "17.50"), ("105.00", "0.05", "5.00")],
)
def test_the_fraction_of_tax_in_a_price(gross: str, rate: str, tax: str) -> None:
    """HMRC VAT Notice 700, the VAT fraction: 1/6 at 20 %, 7/47 at 17.5 %, 1/21 at 5 % (memory)."""
    told = taxed(Decimal(gross), "GBP", rate=Decimal(rate))
    assert (told.tax, told.net + told.tax) == (Decimal(tax), Decimal(gross))


def test_tax_on_top() -> None:
    """By definition: 21 % on 6 150 hammer is 1 291.50."""
    told = taxed(Decimal("6150.00"), "EUR", rate=Decimal("0.21"), included=False)
    assert (told.gross, told.tax, told.cost) == (
        Decimal("7441.50"), Decimal("1291.50"), Decimal("6150.00"))  # fmt: skip


def test_what_does_not_come_back_is_a_cost() -> None:
    told = taxed(Decimal("121.00"), "EUR", rate=Decimal("0.21"), reclaimable=False)
    assert told == Taxed(Decimal(121), Decimal(100), Decimal(21), Decimal(0))
    assert told.cost == Decimal(121)


@pytest.mark.parametrize("scheme", ["margin", "private"])
def test_no_tax_is_shown_and_none_comes_back(scheme: str) -> None:
    """Directive 2006/112/EC, 325: margin tax is not shown apart; 313: private seller (memory)."""
    told = taxed(Decimal("5000.00"), "EUR", rate=None, scheme=scheme)
    assert told == Taxed(Decimal(5000), Decimal(5000), Decimal(0), Decimal(0))
    assert told.cost == Decimal(5000)
    with pytest.raises(Unusable) as refused:
        taxed(Decimal("5000.00"), "EUR", rate=Decimal("0.21"), scheme=scheme, reclaimable=True)
    assert [one.where for one in refused.value.problems] == ["tax_rate", "tax_reclaimable"]


def test_import_tax_comes_back_and_duty_does_not() -> None:
    """Directive 2006/112/EC, 86: duty is in the value that import tax is taken on (memory).

    4 000 and 2.7 % duty: 108 of duty is a cost, 21 % of 4 108 = 862.68 comes back. By hand.
    """
    machine = taxed(Decimal(4000), "EUR", rate=Decimal("0.21"), included=False, scheme="import")
    duty = taxed(Decimal(108), "EUR", rate=Decimal("0.21"), included=False, scheme="import")
    assert machine.back + duty.back == Decimal("862.68")
    assert machine.cost + duty.cost == Decimal(4108)


def test_tax_is_rounded_to_the_coin_as_stated() -> None:
    """0.105 of tax: 0.11 up, 0.10 to the even neighbour."""
    half = taxed(Decimal("0.50"), "EUR", rate=Decimal("0.21"), included=False)
    even = taxed(Decimal("0.50"), "EUR", rate=Decimal("0.21"), included=False, rounding="half_even")
    assert (half.tax, even.tax) == (Decimal("0.11"), Decimal("0.10"))


@pytest.mark.parametrize(("rate", "scheme"), [("21", ""), ("0.21", "flat"), ("-0.1", "")])
def test_what_cannot_be(rate: str, scheme: str) -> None:
    with pytest.raises(Unusable):
        taxed(Decimal(1), "EUR", rate=Decimal(rate), scheme=scheme)
