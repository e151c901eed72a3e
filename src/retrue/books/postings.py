"""Double entry: one thing that happened as legs that sum to nothing in every currency."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.books.rates import changed
from retrue.books.tax import Taxed

EXCHANGE = "exchange"
DEPOSITS = "deposits"
TAX_BACK = "tax_back"
TAX_DUE = "tax_due"
OWED_BY_US = "owed"
OWED_TO_US = "owed_us"
STOCK = "stock"
MONEY = ("bank", "cash", "card", "own_pocket")
COSTS = ("bought", "paid", "returned")
BRINGS = ("sold", "received")


@dataclass(frozen=True, slots=True)
class Leg:
    """What one account gains in one currency; less than nothing: what it loses."""

    account: str
    currency: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Deal:
    """One thing that happened, ready to be booked.

    Attributes
    ----------
    sort : str
        bought, paid, deposit, deposit_back, sold, received, returned, moved, exchanged.
    taxed : Taxed
        In ``currency``.
    home : str
        The shop's currency.
    rate : Decimal or None
        Shop's currency for one unit; None: missing, the deal stays in its own currency.
    money : str
        Account the money leaves or comes into.
    shares : tuple of (account, amount)
        In ``home`` (without a rate in ``currency``), what each bears; they add up to the cost.
    undoes : str
        Of ``returned``: what it undoes, a cost or a sale.
    settles : str
        Account that is evened out in place of a cost or a sale: owed, owed_us, deposits.
    into_amount, into_currency, into_money
        Of ``exchanged``: what came in, and where; empty: where the other left.
    """

    sort: str
    taxed: Taxed
    currency: str
    home: str
    rate: Decimal | None
    money: str = "bank"
    shares: tuple[tuple[str, Decimal], ...] = ()
    undoes: str = ""
    settles: str = ""
    into_amount: Decimal = Decimal(0)
    into_currency: str = ""
    into_money: str = ""


def cost_in_home(taxed: Taxed, rate: Decimal | None, home: str) -> tuple[Decimal, Decimal]:
    """What a line costs, and what of it comes back as tax, in the shop's currency.

    Parameters
    ----------
    taxed : Taxed
        In the currency of the paper.
    rate : Decimal or None
        Shop's currency for one unit; None: both stay as they are.
    home : str

    Returns
    -------
    tuple of (Decimal, Decimal)
        Cost, tax that comes back; their sum is the gross amount changed once, to the cent.

    References
    ----------
    By definition.

    Examples
    --------
    >>> cost_in_home(Taxed(Decimal("121.00"), Decimal("100.00"), Decimal("21.00"),
    ...              Decimal("21.00")), Decimal("1.1"), "EUR")
    (Decimal('110.00'), Decimal('23.10'))
    """
    if rate is None:
        return taxed.cost, taxed.back
    gross, back = changed(taxed.gross, rate, home), changed(taxed.back, rate, home)
    return gross - back, back


def legs_of(deal: Deal) -> tuple[Leg, ...]:
    """The legs of one deal.

    Parameters
    ----------
    deal : Deal

    Returns
    -------
    tuple of Leg
        They sum to nothing in every currency. Costs and sales stand in the shop's currency; what
        was paid in another one passes through the exchange account in both.

    Raises
    ------
    Unusable
        The shares do not add up, or the sort is none.

    References
    ----------
    Selinger 2005, Tutorial on multiple currency accounting: a trading account between currencies
    keeps each of them in balance (secondary source, from memory).

    Examples
    --------
    >>> paid = Taxed(Decimal("10.00"), Decimal("10.00"), Decimal("0.00"), Decimal("0.00"))
    >>> deal = Deal(sort="bought", taxed=paid, currency="CHF", home="EUR", rate=Decimal("1.05"),
    ...             shares=(("cost:m", Decimal("10.50")),))
    >>> [(leg.account, leg.currency, str(leg.amount)) for leg in legs_of(deal)]
    ... # doctest: +NORMALIZE_WHITESPACE
    [('cost:m', 'EUR', '10.50'), ('exchange', 'EUR', '-10.50'), ('exchange', 'CHF', '10.00'),
     ('bank', 'CHF', '-10.00')]
    """
    legs = list(_legs(deal))
    made = tuple(leg for leg in legs if leg.amount)
    refuse_unbalanced(made, deal.sort)
    return made


def reversed_legs(legs: Sequence[Leg]) -> tuple[Leg, ...]:
    """The same deal undone: every leg the other way.

    Parameters
    ----------
    legs : sequence of Leg

    Returns
    -------
    tuple of Leg

    References
    ----------
    By definition.

    Examples
    --------
    >>> reversed_legs([Leg("bank", "EUR", Decimal("-1.00"))])
    (Leg(account='bank', currency='EUR', amount=Decimal('1.00')),)
    """
    return tuple(Leg(leg.account, leg.currency, -leg.amount) for leg in legs)


def refuse_unbalanced(legs: Sequence[Leg], what: str) -> None:
    """Refuse legs that do not sum to nothing in every currency, each currency named.

    Parameters
    ----------
    legs : sequence of Leg
    what : str
        Whose legs they are.

    Raises
    ------
    Unusable
        They do not balance.

    References
    ----------
    By definition: every currency sums to nothing.

    Examples
    --------
    >>> refuse_unbalanced([Leg("bank", "EUR", Decimal("-1.00"))], "paid")
    Traceback (most recent call last):
        ...
    retrue.base.refusals.Unusable: paid does not balance: EUR is off by -1.00
    """
    sums: dict[str, Decimal] = {}
    for leg in legs:
        sums[leg.currency] = sums.get(leg.currency, Decimal(0)) + leg.amount
    off = [(currency, amount) for currency, amount in sorted(sums.items()) if amount]
    if not off:
        return
    told = ", ".join(say("{currency} is off by {amount}", currency=c, amount=a) for c, a in off)
    accounts = ", ".join(f"{leg.account} {leg.amount} {leg.currency}" for leg in legs)
    raise Unusable(
        say("{what} does not balance: {told}", what=what, told=told),
        remedy=say("Look at its legs: {legs}.", legs=accounts),
        problems=tuple(
            Problem(currency, say("is off by {amount}", amount=amount)) for currency, amount in off
        ),
    )


def _legs(deal: Deal) -> list[Leg]:
    gross, currency = deal.taxed.gross, deal.currency
    if deal.sort == "exchanged" and currency == deal.into_currency:
        into = deal.into_money or deal.money
        return [Leg(deal.money, currency, -gross), Leg(into, currency, deal.into_amount)]
    if deal.sort == "exchanged":
        return [
            Leg(deal.money, currency, -gross),
            Leg(EXCHANGE, currency, gross),
            Leg(EXCHANGE, deal.into_currency, -deal.into_amount),
            Leg(deal.into_money or deal.money, deal.into_currency, deal.into_amount),
        ]
    if deal.sort == "deposit":
        return [Leg(DEPOSITS, currency, gross), Leg(deal.money, currency, -gross)]
    if deal.sort == "deposit_back":
        return [Leg(deal.money, currency, gross), Leg(DEPOSITS, currency, -gross)]
    if deal.sort == "moved":
        return [Leg(account, _home(deal), amount) for account, amount in deal.shares]
    if deal.settles in (OWED_BY_US, OWED_TO_US) or (deal.settles and not deal.shares):
        return _settled(deal)
    if deal.sort in COSTS and deal.undoes != "sale":
        return _cost(deal, -1 if deal.sort == "returned" else 1)
    if deal.sort in BRINGS or deal.undoes == "sale":
        return _sale(deal, -1 if deal.sort == "returned" else 1)
    raise Unusable(
        say("{sort} is no sort of line", sort=deal.sort), remedy=say("Say what happened.")
    )


def _home(deal: Deal) -> str:
    return deal.home if deal.rate is not None else deal.currency


def _settled(deal: Deal) -> list[Leg]:
    """A debt evened out: money goes or comes, and what its currency moved is a cost or brings.

    References
    ----------
    IAS 21, 28: exchange differences on settling are gain or loss (from memory).
    """
    moved = [Leg(account, deal.home, amount) for account, amount in deal.shares]
    moved.append(Leg(EXCHANGE, deal.home, -sum((one.amount for one in moved), Decimal(0))))
    sign = 1 if deal.settles == OWED_BY_US else -1
    gross = sign * deal.taxed.gross
    owed = [Leg(deal.settles, deal.currency, gross), Leg(deal.money, deal.currency, -gross)]
    return owed + moved


def _cost(deal: Deal, sign: int) -> list[Leg]:
    home = _home(deal)
    _, back = cost_in_home(deal.taxed, deal.rate, deal.home)
    legs = [Leg(account, home, sign * amount) for account, amount in deal.shares]
    legs.append(Leg(TAX_BACK, home, sign * back))
    source = deal.settles or deal.money
    return legs + _paid(deal, home, source, -sign)


def _sale(deal: Deal, sign: int) -> list[Leg]:
    """Shares of a sale bring: they are below nothing, as their cost is."""
    home = _home(deal)
    gross, tax = deal.taxed.gross, deal.taxed.tax
    if deal.rate is not None:
        gross, tax = (changed(one, deal.rate, deal.home) for one in (gross, tax))
    legs = [Leg(account, home, sign * amount) for account, amount in deal.shares]
    legs.append(Leg(TAX_DUE, home, -sign * tax))
    return legs + _paid(deal, home, deal.money, sign)


def _paid(deal: Deal, home: str, account: str, sign: int) -> list[Leg]:
    """The money's side: through the exchange account where it is another currency."""
    gross = sign * deal.taxed.gross
    leg = Leg(account, deal.currency, gross)
    if home == deal.currency:
        return [leg]
    assert deal.rate is not None
    there = sign * changed(deal.taxed.gross, deal.rate, deal.home)
    return [Leg(EXCHANGE, home, there), Leg(EXCHANGE, deal.currency, -gross), leg]
