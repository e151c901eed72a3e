"""What lines that are one lot cost together: once, in one currency, without the tax. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from retrue.base.currencies import step
from retrue.base.say import say
from retrue.cases.screen.heading_words import MONEY
from retrue.cases.screen.money_words import Money
from retrue.cases.screen.row import Row, shown
from retrue.cases.screen.terms import Of

OF_THE_LOT = ("asking", "start", "bid")
"""Amounts that tell the currency of a lot, and of which each line may have its own."""


def currency_of(rows: Sequence[Row], of: Of) -> str:
    """The currency of a lot: of its price, else of its own column, else that of the sale.

    Parameters
    ----------
    rows : sequence of Row
    of : Of

    Returns
    -------
    str

    Examples
    --------
    >>> from decimal import Decimal
    >>> from retrue.cases.settle.bring_sheet import Line
    >>> from retrue.records.facts import Shop
    >>> from retrue.cases.screen.terms import About
    >>> of = Of(about=About(shop=Shop(), year=2026), kinds={}, currency="EUR", guessed=True,
    ...         sale="ascending")
    >>> row = Row(line=Line(2, ()), money={"asking": Money(value=Decimal(9), currency="CHF")})
    >>> currency_of([row], of), currency_of([Row(line=Line(3, ()))], of)
    ('CHF', 'EUR')
    """
    for row in rows:
        for role in OF_THE_LOT:
            if role in row.money and row.money[role].currency:
                return row.money[role].currency
        if "currency" in row.values:
            return str(row.values["currency"])
    for row in rows:
        for money in row.money.values():
            if money.currency:
                return money.currency
    return of.currency


def amounts_of(rows: Sequence[Row], of: Of) -> Mapping[str, Decimal]:
    """Amounts of a lot by their role; what is done with them is told in the lines.

    Parameters
    ----------
    rows : sequence of Row
    of : Of

    Returns
    -------
    mapping of str to Decimal
    """
    currency = currency_of(rows, of)
    found: dict[str, Decimal] = {}
    for role in MONEY:
        amounts = list(_of_role(rows, role, currency, of))
        if not amounts:
            continue
        found[role] = amounts[0]
        if len(amounts) > 1 and role in OF_THE_LOT:
            found[role] = sum(amounts, Decimal(0))
            why = say("the sum of its lines, as their number is one")
            rows[-1].tell(role, shown(found[role]), "", "", why)
    return found


def _of_role(rows: Sequence[Row], role: str, currency: str, of: Of) -> Iterator[Decimal]:
    for row in rows:
        money = row.money.get(role)
        if money is None or role in row.shared:
            continue
        if money.currency not in ("", currency):
            why = say("in {other}, the lot is in {currency}", other=money.currency,
                      currency=currency)  # fmt: skip
            row.leave(shown(money.value), "", why)
            continue
        yield _whole(row, role, money, currency, of)


def _whole(row: Row, role: str, money: Money, currency: str, of: Of) -> Decimal:
    """One amount for all machines of a line, without tax where its rate is known."""
    value = money.value
    count = row.values.get("count", 1)
    if money.each and role != "new_price" and count > 1:
        value *= count
        why = say("{count} times the price of one", count=count)
        row.tell(role, shown(value), "", "", why)
    scheme = row.values.get("tax_scheme", of.about.tax_scheme)
    tax_in = of.about.prices_hold_tax if money.tax_in is None else money.tax_in
    if tax_in and scheme not in ("margin", "private"):
        rate = row.values.get("tax_rate", of.about.tax_rate)
        if rate is None:
            row.tell(role, shown(value), "", "", say("it holds tax; nobody says its rate"))
        else:
            value = (value / (1 + Decimal(str(rate)))).quantize(step(currency))
            why = say("without the tax that it holds, at {share} %",
                      share=format(100 * float(rate), "g"))  # fmt: skip
            row.tell(role, shown(value), "", "", why)
    return value
