"""What the shop keeps of the sale of one machine: how it is listed, offers, figures, the sale."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from retrue.base.currencies import to_step
from retrue.books.rates import Rates
from retrue.cases.settle.sale_lines import StopItem
from retrue.cases.settle.surplus_market import Heard
from retrue.cases.spot import first_id
from retrue.kinds.library import Kind
from retrue.records.facts import Shop
from retrue.records.settling import DayRate, ForSale, Offered, Posting, RunFigure
from retrue.records.shop import Record, RecordShop

OFFER_SOURCE = "offer:"
OF_PARTS = "parts"  # bucket of a line that sells parts of a machine, and not the machine
RATE_DAYS = 30  # an offer in another currency is judged by a rate up to this old (judgement)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SaleKept:
    """What is kept of one machine's sale.

    Attributes
    ----------
    listing : Record of ForSale or None
        The newest.
    offers : tuple of (str, Record of Offered)
        First id and newest record of each, oldest first.
    figures : tuple of RunFigure
    sales, received : tuple of (str, Record of Posting)
        Sold as a whole and not brought back, and money that came for it.
    rates : Rates
    """

    currency: str = "EUR"
    listing: Record[ForSale] | None = None
    offers: tuple[tuple[str, Record[Offered]], ...] = ()
    figures: tuple[RunFigure, ...] = ()
    sales: tuple[tuple[str, Record[Posting]], ...] = ()
    received: tuple[tuple[str, Record[Posting]], ...] = ()
    rates: Rates = field(default_factory=lambda: Rates("EUR"))

    def in_shop(self, amount: Decimal, currency: str, day: str) -> float | None:
        """An amount in the shop's currency; None where no rate of that day is kept."""
        rate = self.rates.on(currency, day)
        return None if rate is None else float(amount * rate.rate)

    def heard(self, on: date) -> Heard | None:
        """What the market said since it is listed; None where it is not.

        An offer counts once it was answered: until then it is held against the line that was
        told before it came.
        """
        listing = self.listing
        if listing is None or not listing.fact.listed_on or self.sales:
            return None
        since = date.fromisoformat(listing.fact.listed_on)
        facts = [one.fact for _, one in self.offers]
        told = [
            self.in_shop(without_tax(one), one.currency, one.offered_on)
            for one in facts
            if one.answer and one.offered_on >= listing.fact.listed_on
        ]
        amounts = tuple(one for one in told if one is not None and one > 0.0)
        return Heard(amounts, float(max(0, (on - since).days)))


def sale_kept(shop: RecordShop, lot: str, machine: str) -> SaleKept:
    """Read what is kept of one machine's sale.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Ids of their first records.

    Returns
    -------
    SaleKept
    """
    shops = shop.current(Shop)
    home = shops[-1].fact.currency if shops else "EUR"
    at = {"lot": lot, "machine": machine}
    listed = shop.current(ForSale, **at)
    sold = [(first_id(shop, one), one) for one in shop.current(Posting, sort="sold", **at)]
    undone = shop.current(Posting, sort="returned") if sold else []
    sales = _standing(sold, undone)
    ids = {first for first, _ in sales}
    paid = shop.current(Posting, sort="received") if ids else []
    came = [one for one in paid if one.fact.of in ids]
    rates = ((r.fact.currency, r.fact.rate_on, r.fact.rate) for r in shop.current(DayRate))
    return SaleKept(
        currency=home,
        listing=listed[-1] if listed else None,
        offers=tuple((first_id(shop, one), one) for one in shop.current(Offered, **at)),
        figures=tuple(one.fact for one in shop.current(RunFigure, **at)),
        sales=sales,
        received=tuple((first_id(shop, one), one) for one in came),
        rates=Rates(home, rates, most_days_old=RATE_DAYS),
    )


def without_tax(fact: Offered) -> Decimal:
    """What an offer is without tax, as what is asked and taken is.

    Parameters
    ----------
    fact : Offered

    Returns
    -------
    Decimal

    Examples
    --------
    >>> held = Offered(lot="1", machine="2", whom="Jan", offered_on="2026-11-26",
    ...                amount=Decimal(12100), tax_held=Decimal("0.21"))
    >>> without_tax(held)
    Decimal('10000.00')
    """
    if not fact.tax_held:
        return fact.amount
    return to_step(fact.amount / (1 + fact.tax_held), fact.currency, "half_up")


def is_sale(fact: Posting) -> bool:
    """Whether a line of the book sells a machine as a whole.

    Parameters
    ----------
    fact : Posting

    Returns
    -------
    bool
        False of parts of it: the bucket says so.

    Examples
    --------
    >>> from dataclasses import replace
    >>> sold = Posting(sort="sold", posted_on="2026-11-26", what="the mill", amount=Decimal(1),
    ...                lot="1", machine="2")
    >>> is_sale(sold), is_sale(replace(sold, bucket="parts")), is_sale(replace(sold, machine=None))
    (True, False, False)
    """
    return fact.sort == "sold" and fact.machine is not None and fact.bucket != OF_PARTS


def _standing(
    sold: Iterable[tuple[str, Record[Posting]]], undone: Iterable[Record[Posting]]
) -> tuple[tuple[str, Record[Posting]], ...]:
    """The sales of the machine as a whole that were not undone with all their money."""
    back: dict[str, Decimal] = {}
    for one in undone:
        back[one.fact.of or ""] = back.get(one.fact.of or "", Decimal(0)) + one.fact.amount
    return tuple(
        (first, one)
        for first, one in sold
        if is_sale(one.fact) and not (first in back and back[first] >= one.fact.amount)
    )


def stops_of_kind(kind: Kind, found: Iterable[str], cleared: Iterable[str]) -> tuple[StopItem, ...]:
    """Stop items of a kind that nobody cleared, those that were found first.

    Parameters
    ----------
    kind : Kind
    found, cleared : iterable of str
        Faults.

    Returns
    -------
    tuple of StopItem

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> stops_of_kind(mill, {"F102"}, set(mill.faults) - {"F102"})[0].known
    True
    """
    there, gone = set(found), set(cleared)
    clears: Mapping[str, str] = {
        id: kind.checks[one.check].text for id, one in kind.stop_cover.items()
    }
    rows = [
        StopItem(id=one.id, name=one.name, clears=clears.get(one.id, ""), known=one.id in there)
        for one in kind.faults.values()
        if one.urgency == "STOP" and (one.id in there or one.id not in gone)
    ]
    return tuple(sorted(rows, key=lambda row: not row.known))
