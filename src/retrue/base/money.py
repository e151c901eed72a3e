"""Money as records keep it: a decimal amount with its currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from retrue.base.refusals import Unusable


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in one currency.

    Examples
    --------
    >>> Money(Decimal("10.50"), "EUR") + Money(Decimal("0.50"), "EUR")
    Money(amount=Decimal('11.00'), currency='EUR')
    """

    amount: Decimal
    currency: str

    def __add__(self, other: Money) -> Money:
        if self.currency != other.currency:
            raise Unusable(
                f"{self.currency} and {other.currency} cannot be added",
                remedy="Give the day's rate and change one of them first.",
            )
        return Money(self.amount + other.amount, self.currency)
