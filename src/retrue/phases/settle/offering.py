"""Offers: kept, answered; the one that is taken becomes a sale in the book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal, Unpack

from retrue.base.currencies import known_code
from retrue.base.refusals import NotYet, Problem, Unknown
from retrue.base.say import say
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.sale_kept import OFFER_SOURCE, sale_kept
from retrue.cases.settle.sale_stops import stops_kept
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.settle.after import promise
from retrue.phases.settle.keeping import day_problems, put, refuse, sent_before
from retrue.phases.settle.posting import post
from retrue.phases.settle.selling import refuse_open, spot_of
from retrue.records.hand import Hand, numbered
from retrue.records.settling import Offered, Posting, Promised, Scheme
from retrue.records.shop import Record, RecordShop

Answer = Literal["taken", "refused", "waiting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """On what terms an offer is taken.

    Attributes
    ----------
    paid : Decimal or None
        What came at once, a deposit or all of it, in the currency of the offer.
    load_by : str or None
        ISO date by which it is to be loaded.
    """

    tax_rate: Decimal | None = None
    tax_scheme: Scheme = ""
    paid: Decimal | None = None
    load_by: str | None = None


def offer(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    offered: Offered,
    *,
    on: date,
    **hand: Unpack[Hand],
) -> Record[Offered]:
    """Keep what somebody offers.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    offered : Offered
        Its lot and machine are not read.
    on : date
        Today.
    **hand : Hand
        Who heard it.

    Returns
    -------
    Record of Offered
        A second offer of the same buyer that nobody answered takes the place of his first.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        A currency that is none, a day to come, nothing offered.
    """
    spot, _ = spot_of(shop, lot, machine, kinds)
    code = known_code(offered.currency)
    fact = replace(offered, lot=spot.lot, machine=spot.machine, currency=code)
    refuse(_problems(fact, on))
    sent = sent_before(shop, fact, hand)
    if sent is not None:
        return sent
    mine = shop.current(Offered, lot=spot.lot, machine=spot.machine, whom=fact.whom)
    open_ones = [one for one in mine if one.fact.answer in ("", "waiting")]
    return put(shop, fact, open_ones[-1] if open_ones else None, hand)


def _problems(fact: Offered, on: date) -> list[Problem]:
    problems = list(day_problems(fact.offered_on, on, "offered_on"))
    if fact.amount <= 0:
        problems.append(Problem("amount", say("is nothing"), say("Say how much is offered.")))
    if not fact.whom.strip():
        problems.append(Problem("whom", say("is empty"), say("Say who offers it.")))
    return problems


def answer_offer(
    shop: RecordShop,
    wanted: str,
    answer: Answer,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    text: str = "",
    terms: Terms | None = None,
    **hand: Unpack[Hand],
) -> Record[Offered]:
    """Keep what was answered; an offer that is taken is sold in the book, its money owed.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    wanted : str
        Any id of the offer, or who made it.
    answer : str
        taken, refused, waiting.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    text : str
        In the owner's words.
    terms : Terms or None
        Of one that is taken.
    **hand : Hand
        Who answers.

    Returns
    -------
    Record of Offered

    Raises
    ------
    Unknown
        No such offer.
    NotYet
        It is not listed, or sold already; stop items or guards are open and it is not listed for
        parts or repair; the book is closed.
    Unusable
        A rate is missing.
    """
    first, record = one_offer(shop, wanted)
    fact = replace(record.fact, answer=answer, text=text or record.fact.text)
    if answer == "taken" and not _is_sold(shop, first, fact):
        _sell(shop, first, fact, kinds, on, terms or Terms(), hand)
    return put(shop, fact, record, hand)


def _is_sold(shop: RecordShop, first: str, fact: Offered) -> bool:
    """Whether the sale of this very offer stands in the book: sent twice, it is sold once."""
    sales = sale_kept(shop, fact.lot, fact.machine).sales
    return any(one.fact.source == f"{OFFER_SOURCE}{first}" for _, one in sales)


def _sell(
    shop: RecordShop,
    first: str,
    fact: Offered,
    kinds: Mapping[str, Kind],
    on: date,
    terms: Terms,
    hand: Hand,
) -> None:
    """The sale of an offer: in the book, what came at once, and the day it is loaded."""
    spot, kind = spot_of(shop, fact.lot, fact.machine, kinds)
    _refuse_sale(shop, spot, kind)
    refuse(_terms_problems(fact, terms, on))
    sold = Posting(
        sort="sold", posted_on=on.isoformat(), what=spot.name, amount=fact.amount,
        currency=fact.currency, lot=spot.lot, machine=spot.machine, whom=fact.whom,
        paid_from="owed", tax_rate=terms.tax_rate, tax_scheme=terms.tax_scheme,
        source=f"{OFFER_SOURCE}{first}",
    )  # fmt: skip
    made = post(shop, sold, on=on, **numbered(hand, 1))
    if terms.paid:
        money_in(shop, made.id, terms.paid, on=on, **numbered(hand, 2))
    if terms.load_by:
        loaded = Promised(
            lot=spot.lot, machine=spot.machine, what=say("Load it"), whom=fact.whom,
            promised_on=on.isoformat(), until_on=terms.load_by,
        )  # fmt: skip
        promise(shop, spot.lot, spot.machine, kinds, loaded, on=on, **numbered(hand, 3))


def _refuse_sale(shop: RecordShop, spot: Spot, kind: Kind) -> None:
    """NotYet where it is sold, not listed, or open and not listed for parts or repair."""
    kept = sale_kept(shop, spot.lot, spot.machine)
    if kept.sales:
        raise NotYet(say("it is sold already"), remedy=say("Look at what comes after the sale."))
    if kept.listing is None:
        raise NotYet(
            say("it is not listed"),
            remedy=say("Say first as what it is sold: as found, running, proven, or parts."),
        )
    sold_as = kept.listing.fact.sold_as
    refuse_open(stops_kept(record_kept(shop, spot, kind), sold_as), sold_as)


def _terms_problems(fact: Offered, terms: Terms, on: date) -> list[Problem]:
    problems = []
    if terms.paid is not None and not 0 <= terms.paid <= fact.amount:
        remedy = say("Say what came of it, at most the whole sum.")
        problems.append(Problem("paid", say("is more than the offer, or below nothing"), remedy))
    if terms.load_by is not None and terms.load_by < on.isoformat():
        what = say("is {day}, and past", day=terms.load_by)
        problems.append(Problem("load_by", what, say("Name a day to come.")))
    return problems


def money_in(
    shop: RecordShop, sale: str, amount: Decimal, *, on: date, **hand: Unpack[Hand]
) -> Record[Posting]:
    """Money that came for a sale: a deposit, or the rest.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    sale : str
        Id of the sale in the book.
    amount : Decimal
        In the currency of the sale.
    on : date
        The day it came.
    **hand : Hand
        Who took it.

    Returns
    -------
    Record of Posting

    Raises
    ------
    Unknown
        No such line in the book.
    NotYet, Unusable
        As for a line in the book.
    """
    first = shop.history(sale)[0]
    fact: Posting = shop.history(sale)[-1].fact
    came = Posting(
        sort="received", posted_on=on.isoformat(), what=fact.what, amount=amount,
        currency=fact.currency, of=first.id, whom=fact.whom,
    )  # fmt: skip
    return post(shop, came, on=on, **hand)


def one_offer(shop: RecordShop, wanted: str) -> tuple[str, Record[Offered]]:
    """An offer by any id of its line, or by who made it; its first id, and the newest record."""
    every = shop.current(Offered)
    for record in reversed(every):
        line = [one.id for one in shop.history(record.id)]
        if wanted in line or wanted == record.fact.whom:
            return line[0], record
    raise Unknown(
        say("there is no offer {wanted}", wanted=wanted),
        remedy=say("Open the machine's sale again and choose from its offers."),
    )
