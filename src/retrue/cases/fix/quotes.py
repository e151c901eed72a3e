"""Quotes in one currency: exact sums at rates that somebody typed and dated, the cheapest named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.buying_lines import Offer
from retrue.records.facts import Lot
from retrue.records.fixing import Quoted
from retrue.records.shop import Record

RATE_DAYS = 30  # common practice, no source: an older rate is told
CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How amounts become the shop's currency.

    Attributes
    ----------
    currency : str
        The shop's.
    lot : Lot or None
        Its rate counts for amounts in its currency that bring none of their own.
    tax_rate : float or None
        Share; by it amounts with tax and without can be compared.
    """

    currency: str
    lot: Lot | None = None
    tax_rate: float | None = None


@dataclass(frozen=True, slots=True)
class Rate:
    """Shop currency for one unit of another, and the day it is of."""

    value: Decimal
    on: str | None = None


def change_of(case: LotCase) -> Change:
    """How amounts of a lot become the shop's currency.

    Parameters
    ----------
    case : LotCase

    Returns
    -------
    Change

    Examples
    --------
    >>> from retrue.records.facts import Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> change_of(case).currency
    'EUR'
    """
    return Change(currency=case.shop.currency, lot=case.lot, tax_rate=case.terms.tax_rate)


def rate_of(
    currency: str, change: Change, own: Decimal | None = None, own_on: str | None = None
) -> Rate | None:
    """The rate of a currency: one without doubt, a typed one, or none.

    Parameters
    ----------
    currency : str
        Of the amount.
    change : Change
    own : Decimal or None
        Typed beside the amount; it goes before the lot's.
    own_on : str or None
        The day it is of, ISO.

    Returns
    -------
    Rate or None

    Examples
    --------
    >>> change = Change(currency="EUR", lot=Lot(name="a", currency="CHF", rate=Decimal("1.05")))
    >>> rate_of("CHF", change).value, rate_of("EUR", change).value, rate_of("GBP", change)
    (Decimal('1.05'), Decimal('1'), None)
    """
    if currency == change.currency:
        return Rate(Decimal(1))
    if own is not None:
        return Rate(own, own_on)
    lot = change.lot
    if lot is not None and lot.currency == currency and lot.rate is not None:
        return Rate(lot.rate, lot.rate_on)
    return None


def whole_amount(quoted: Quoted, change: Change) -> Decimal | None:
    """What a quote comes to in the shop's currency, all units, exactly.

    Parameters
    ----------
    quoted : Quoted
    change : Change

    Returns
    -------
    Decimal or None
        None: no rate is known.

    Examples
    --------
    >>> quoted = Quoted(lot="a", line="F15:local", vendor="the winder", quoted_on="2026-11-24",
    ...     amount=Decimal("350.10"), currency="GBP", rate=Decimal("1.17"), units=2)
    >>> whole_amount(quoted, Change(currency="EUR"))
    Decimal('819.2340')
    """
    rate = rate_of(quoted.currency, change, quoted.rate, quoted.rate_on)
    return None if rate is None else quoted.amount * quoted.units * rate.value


def offers_of(quotes: Iterable[Record[Quoted]], change: Change, *, on: date) -> tuple[Offer, ...]:
    """Quotes of one line, compared.

    Parameters
    ----------
    quotes : iterable of Record of Quoted
    change : Change
    on : date
        The day they are compared on.

    Returns
    -------
    tuple of Offer
        Those that hold first, the cheapest first; what cannot be compared comes last. None is
        called the cheapest where some hold tax and others do not, and no rate of it is known, or
        nobody said whether they do.

    Examples
    --------
    >>> offers_of((), Change(currency="EUR"), on=date(2026, 11, 26))
    ()
    """
    made = [_offer(one, change, on) for one in quotes]
    alike = _alike(made, change)
    made.sort(
        key=lambda one: (not one.valid, one.amount is None, _net(one, change), one.record.seq)
    )
    first = made[0] if made else None
    if first is None or not first.valid or first.amount is None:
        return tuple(made)
    if alike:
        return (replace(first, cheapest=True), *made[1:])
    told = say("Some hold tax and others do not, or nobody said: ask, then compare.")
    return tuple(replace(one, why=_joined(one.why, told)) for one in made)


def _offer(record: Record[Quoted], change: Change, on: date) -> Offer:
    quoted = record.fact
    rate = rate_of(quoted.currency, change, quoted.rate, quoted.rate_on)
    amount = whole_amount(quoted, change)
    until = quoted.valid_until_on
    valid = until is None or until >= on.isoformat()
    return Offer(
        record=record,
        amount=None if amount is None else float(amount),
        why=_joined(
            "" if valid else say("Held until {day} only.", day=until),
            _told_rate(quoted, rate, change, on),
            say("Tax is in it.") if quoted.tax == "incl" else "",
        ),
        days=quoted.days,
        valid=valid,
    )


def _told_rate(quoted: Quoted, rate: Rate | None, change: Change, on: date) -> str:
    if quoted.currency == change.currency:
        return ""
    if rate is None:
        return say(
            "No rate is known for {currency}: type it with its day, and it counts.",
            currency=quoted.currency,
        )
    if rate.on is None:
        return say("Nobody said of which day the rate {rate} is.", rate=rate.value)
    age = (on - date.fromisoformat(rate.on)).days
    if age > RATE_DAYS:
        return say("The rate is {days} days old: look it up again.", days=age)
    return say("At {rate} of {day}.", rate=rate.value, day=rate.on)


def _alike(offers: Sequence[Offer], change: Change) -> bool:
    """Whether those that hold can be compared."""
    taxes = {one.record.fact.tax for one in offers if one.valid and one.amount is not None}
    return len(taxes) < 2 or (change.tax_rate is not None and "" not in taxes)


def _net(offer: Offer, change: Change) -> float:
    amount = offer.amount or 0.0
    if offer.record.fact.tax == "incl" and change.tax_rate is not None:
        return amount / (1 + change.tax_rate)
    return amount


def _joined(*sentences: str) -> str:
    return " ".join(map(str, filter(None, sentences)))


def own_figure(quoted: Quoted, change: Change, *, by_unit: bool = False) -> Decimal | None:
    """What a quote is as an own figure: in the shop's currency, before tax, to the cent.

    Parameters
    ----------
    quoted : Quoted
    change : Change
        Tax that is in the quote is taken out where its rate is known.
    by_unit : bool
        Its line is paid by the unit: for one of them, else for all.

    Returns
    -------
    Decimal or None
        None: no rate is known.

    Examples
    --------
    >>> quoted = Quoted(lot="a", line="F15:local", vendor="the winder", quoted_on="2026-11-24",
    ...     amount=Decimal(605), tax="incl", units=2)
    >>> change = Change(currency="EUR", lot=Lot(name="a"), tax_rate=0.21)
    >>> own_figure(quoted, change), own_figure(quoted, change, by_unit=True)
    (Decimal('1000.00'), Decimal('500.00'))
    """
    amount = whole_amount(quoted, change)
    if amount is None:
        return None
    if quoted.tax == "incl" and change.tax_rate is not None:
        amount /= 1 + Decimal(str(change.tax_rate))
    return (amount / quoted.units if by_unit else amount).quantize(CENT)
