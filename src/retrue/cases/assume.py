"""What nobody said, filled with a wide guess and written down as assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.sheet import AssumedRow
from retrue.kinds.library import Kind
from retrue.records.facts import Machine, Shop, Terms

# Common practice, judgement, no source: each stands on the sheet as assumed until it is filled.
HOUR_ALTERNATIVE = 15.0
HOUR_FULL = 45.0
HOURS_A_WEEK = 12.0
HORIZON_YEARS = 7.0
INTEREST = 0.08
ODDS = 0.80
BID_STEP = 10.0
PREMIUM = 0.16
TAX_RATE = 0.21
DISTANCE_KM = 100.0
AGE_YEARS = (18.0, 24.0, 32.0)
REMOVAL_DAYS = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A case with every number that concerns the shop and the sale settled.

    Hour rates are in the shop's currency, as all worlds are; asking and step in the lot's.
    """

    currency: str
    rate: float  # alternative's value of an own hour
    rate_full: float
    hours_a_week: float
    horizon: float  # years
    interest: float  # share a year
    odds: float
    step: float
    premium: float
    tax: float  # unreclaimable, as a share of the hammer
    duty: float
    asking: float | None  # asking price, else the bid now
    distance_km: float
    removal_days: float
    exchange: float  # shop currency for one unit of the lot's
    assumed: tuple[AssumedRow, ...]

    @property
    def k(self) -> float:
        """All that goes up with the hammer price, as a factor on it."""
        return 1.0 + self.premium + self.tax + self.duty


class _Book:
    """Takes values and writes down each one that nobody gave."""

    def __init__(self) -> None:
        self.rows: list[AssumedRow] = []

    def number(
        self, field: str, given: float | Decimal | None, guess: float, unit: str = ""
    ) -> float:
        if given is not None:
            return float(given)
        digits = 2 if abs(guess) < 1 else 0
        self.add(field, f"{number(guess, digits)} {unit}".strip())
        return guess

    def share(self, field: str, given: float | None, guess: float) -> float:
        if given is None:
            self.add(field, f"{number(100 * guess)} %")
            return guess
        return given

    def add(self, field: str, value: str, why: str = "") -> None:
        self.rows.append(AssumedRow(field=field, value=value, why=why or say("nobody has said")))


def settle(case: LotCase, kinds: Mapping[str, Kind]) -> Settled:
    """Fill what is missing with a guess that is written down.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of machine name to Kind

    Returns
    -------
    Settled

    Examples
    --------
    >>> from retrue.records.facts import Lot
    >>> bare = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=())
    >>> settle(bare, {}).k, len(settle(bare, {}).assumed) > 10
    (1.16, True)
    """
    shop, terms, book = case.shop, case.terms, _Book()
    asking = terms.asking if terms.asking is not None else terms.bid_now
    premium = _premium(terms, book)
    exchange = _exchange(case, book)
    return Settled(
        currency=case.lot.currency,
        rate=book.number(
            say("what your hour could earn elsewhere"),
            shop.hour_alternative,
            HOUR_ALTERNATIVE,
            shop.currency,
        ),
        rate_full=book.number(say("your full hour rate"), shop.hour_full, HOUR_FULL, shop.currency),
        hours_a_week=book.number(
            say("your hours a week for this"), shop.hours_a_week, HOURS_A_WEEK, "h"
        ),
        horizon=book.number(say("years you look ahead"), shop.horizon_years, HORIZON_YEARS),
        interest=book.share(say("cost of money a year"), shop.interest, INTEREST),
        odds=book.share(say("chance of not being sorry"), shop.odds, ODDS),
        step=book.number(say("bid step"), terms.bid_step, BID_STEP, case.lot.currency),
        premium=premium,
        tax=_tax(terms, premium, book),
        duty=float(terms.duty or 0.0),
        asking=None if asking is None else float(asking),
        distance_km=book.number(say("distance"), terms.distance_km, DISTANCE_KM, "km"),
        removal_days=book.number(
            say("days until it must be gone"), terms.removal_days, REMOVAL_DAYS, "d"
        ),
        exchange=exchange,
        assumed=(*book.rows, *_open_fields(case, kinds)),
    )


def _premium(terms: Terms, book: _Book) -> float:
    if terms.premium is not None:
        return terms.premium
    if terms.sale in ("fixed_price", "offer"):
        return 0.0
    return book.share(say("buyer's premium"), None, PREMIUM)


def _exchange(case: LotCase, book: _Book) -> float:
    if case.lot.currency == case.shop.currency:
        return 1.0
    if case.lot.rate is not None:
        return float(case.lot.rate)
    book.add(
        say("day's rate"),
        "1",
        say("one {a} taken as one {b}: type the rate", a=case.lot.currency, b=case.shop.currency),
    )
    return 1.0


def _tax(terms: Terms, premium: float, book: _Book) -> float:
    """Tax that never comes back, as a share of the hammer."""
    if terms.tax_scheme in ("margin", "private") or terms.tax_reclaimable:
        return 0.0
    if terms.tax_reclaimable is None:
        book.add(say("tax"), say("comes back"), say("a business that reclaims it is taken"))
        return 0.0
    rate = book.share(say("tax rate"), terms.tax_rate, TAX_RATE)
    return rate * (1.0 + premium)


def _open_fields(case: LotCase, kinds: Mapping[str, Kind]) -> list[AssumedRow]:
    book = _Book()
    for machine in case.machines:
        _machine_fields(machine, book)
    _shop_fields(case.shop, book)
    _terms_fields(case.terms, book)
    for kind in dict.fromkeys(machine.kind for machine in case.machines):
        name = next(k.name for k in kinds.values() if k.id == kind)
        if not case.needs:
            book.add(
                say("what it must do: {kind}", kind=name),
                say("ordinary work, 200 h a year, bought in at 45 an hour now"),
            )
        if not any(a.kind == kind for a in case.alternatives):
            book.add(
                say("what else would do: {kind}", kind=name),
                say("a proven used one, a new one, or buying the work in"),
            )
    return book.rows


def _machine_fields(machine: Machine, book: _Book) -> None:
    if machine.age_years is None:
        low, _, high = AGE_YEARS
        book.add(
            say("age of {name}", name=machine.name),
            say("{low} to {high} years", low=number(low), high=number(high)),
        )
    if machine.new_price is None:
        book.add(
            say("price of a comparable new one: {name}", name=machine.name),
            say("the range of its type"),
        )
    if machine.tooling is None:
        book.add(say("holders, jaws and vices with {name}", name=machine.name), say("some"))


def _shop_fields(shop: Shop, book: _Book) -> None:
    if shop.uses_rigger is None:
        book.add(say("who moves it"), say("a rigger or hired skates, even chances"))
    if shop.supply_outlet is None:
        book.add(say("an outlet of that size"), say("there or not, even chances"))
    if shop.supply_phases is None:
        book.add(say("your supply"), say("three phases, the machine's volts"))
    if shop.floor_rented is None:
        book.add(say("your floor"), say("costs money while it stands there"))


def _terms_fields(terms: Terms, book: _Book) -> None:
    if terms.asking is None and terms.bid_now is None:
        book.add(
            say("asking price or bid"),
            say("none known"),
            say("questions are valued at the price not to go above"),
        )
    if terms.loader_fee is None and terms.loader_named is None:
        book.add(say("loading at the seller's"), say("a named loader with a fee"))
