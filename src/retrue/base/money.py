"""Money as records keep it: a decimal amount with its currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from retrue.base.refusals import Unusable
from retrue.base.say import say


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
                say("{one} and {two} cannot be added", one=self.currency, two=other.currency),
                remedy=say("Give the day's rate and change one of them first."),
            )
        return Money(self.amount + other.amount, self.currency)
