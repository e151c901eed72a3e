"""What stands where: every account in every currency, and whether it all sums to nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from retrue.books.postings import Leg


def balances(legs: Iterable[Leg]) -> dict[tuple[str, str], Decimal]:
    """Sums by account and currency.

    Parameters
    ----------
    legs : iterable of Leg

    Returns
    -------
    dict of (account, currency) to Decimal
        In the order of their names; an account that is even stays, with 0.

    References
    ----------
    By definition.

    Examples
    --------
    >>> balances([Leg("bank", "EUR", Decimal("-2.00")), Leg("cost:m", "EUR", Decimal("2.00"))])
    {('bank', 'EUR'): Decimal('-2.00'), ('cost:m', 'EUR'): Decimal('2.00')}
    """
    sums: dict[tuple[str, str], Decimal] = {}
    for leg in legs:
        at = (leg.account, leg.currency)
        sums[at] = sums[at] + leg.amount if at in sums else leg.amount
    return {at: _plain(sums[at]) for at in sorted(sums)}


def off_balance(sums: Mapping[tuple[str, str], Decimal]) -> dict[str, Decimal]:
    """By how much each currency misses nothing.

    Parameters
    ----------
    sums : mapping of (account, currency) to Decimal

    Returns
    -------
    dict of currency to Decimal
        Empty: the book balances.

    References
    ----------
    By definition: double entry sums to nothing in every currency.

    Examples
    --------
    >>> off_balance({("bank", "EUR"): Decimal(1), ("cost:", "EUR"): Decimal(-1)})
    {}
    """
    off: dict[str, Decimal] = {}
    for (_, currency), amount in sums.items():
        off[currency] = off.get(currency, Decimal(0)) + amount
    return {currency: amount for currency, amount in sorted(off.items()) if amount}


def _plain(amount: Decimal) -> Decimal:
    return abs(amount) if amount == 0 else amount
