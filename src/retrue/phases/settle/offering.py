"""Offers: kept, answered; the one that is taken becomes a sale in the book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, Literal, Unpack

from retrue.base.currencies import known_code, to_step
from retrue.base.refusals import NotYet, Problem, Unknown
from retrue.base.say import later, say
from retrue.cases.settle.sale_kept import OFFER_SOURCE, sale_kept
from retrue.cases.spot import Spot, first_id
from retrue.kinds.library import Kind
from retrue.phases.settle.after import At
from retrue.phases.settle.keeping import day_problems, put, refuse, sent_before
from retrue.phases.settle.may_sell import spot_of
from retrue.phases.settle.posting import one_posting, post
from retrue.records.hand import Hand, numbered
from retrue.records.settling import Offered, Posting, Promised, Scheme
from retrue.records.shop import Record, RecordShop

LOAD = later("Load it")
Answer = Literal["taken", "refused", "waiting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """On what terms an offer is taken.

    Attributes
    ----------
    tax_rate : Decimal or None
        A share that comes on top of the offer; an offer that holds its tax has its own.
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
    if fact.tax_held is not None and not 0 <= fact.tax_held < 1:
        what = say("is {value}, not a share", value=fact.tax_held)
        problems.append(Problem("tax_held", what, say("Write 0.21 for 21 %.")))
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
    at: At | None = None,
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
    at : (lot, machine) or None
        Ids of the machine that is looked at: an offer of another is refused. None: of any.
    **hand : Hand
        Who answers.

    Returns
    -------
    Record of Offered

    Raises
    ------
    Unknown
        No such offer of that machine; offers of several by that name.
    NotYet
        It is not listed, or sold already, also by this very offer; stop items or guards are open
        and it is not listed for parts or repair; the book is closed.
    Unusable
        A rate is missing.
    """
    first, record = one_offer(shop, wanted, at=at)
    fact = replace(record.fact, answer=answer, text=text or record.fact.text)
    sold = sale_of_offer(shop, first, fact)
    if answer == "taken" and not sold:
        _sell(shop, first, fact, kinds, on, terms or Terms(), hand)
    elif answer != "taken" and sold:
        raise NotYet(
            say("the offer of {whom} was taken, and the machine is sold by it", whom=fact.whom),
            remedy=say("Take its sale back in the book first: retrue settle take-back {line}.",
                       line=sold[:12]),
        )  # fmt: skip
    return put(shop, fact, record, hand)


def sale_of_offer(shop: RecordShop, first: str, fact: Offered) -> str:
    """The sale of this very offer in the book: sent twice, it is sold once.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    first : str
        Id of the offer's first record.
    fact : Offered

    Returns
    -------
    str
        Id of the line's first record; empty where none stands.
    """
    sales = sale_kept(shop, fact.lot, fact.machine).sales
    mine = [id for id, one in sales if one.fact.source == f"{OFFER_SOURCE}{first}"]
    return mine[-1] if mine else ""


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
    spot, _ = spot_of(shop, fact.lot, fact.machine, kinds)
    refuse_unlisted(shop, spot)
    refuse(terms_problems(fact, terms, on))
    sold = replace(sold_posting(spot, fact, terms, on), source=f"{OFFER_SOURCE}{first}")
    made = post(shop, sold, on=on, kinds=kinds, **numbered(hand, 1))
    if terms.paid:
        money_in(shop, made.id, terms.paid, on=on, **numbered(hand, 2))
    if terms.load_by:
        loaded = Promised(
            lot=spot.lot, machine=spot.machine, what=LOAD, whom=fact.whom,
            promised_on=on.isoformat(), until_on=terms.load_by,
        )  # fmt: skip
        put(shop, loaded, None, numbered(hand, 3))


def sold_posting(spot: Spot, fact: Offered, terms: Terms, on: date) -> Posting:
    """An offer that is taken as a line of the book, its money owed; without its source.

    Parameters
    ----------
    spot : Spot
    fact : Offered
    terms : Terms
    on : date

    Returns
    -------
    Posting
    """
    return Posting(
        sort="sold", posted_on=on.isoformat(), what=spot.name, amount=fact.amount,
        currency=fact.currency, lot=spot.lot, machine=spot.machine, whom=fact.whom,
        paid_from="owed", tax_scheme=terms.tax_scheme, **_tax(fact, terms),
    )  # fmt: skip


def refuse_unlisted(shop: RecordShop, spot: Spot) -> None:
    """NotYet where it is not listed; whether it may be sold the book asks.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    """
    if sale_kept(shop, spot.lot, spot.machine).listing is None:
        raise NotYet(
            say("it is not listed"),
            remedy=say("Say first as what it is sold: as found, running, proven, or parts."),
        )


def _tax(fact: Offered, terms: Terms) -> dict[str, Any]:
    """Tax in the offer where it holds any, else on top of it: it is without, as what is asked."""
    if fact.tax_held is not None:
        return {"tax_rate": fact.tax_held, "tax_in": True}
    return {"tax_rate": terms.tax_rate, "tax_in": False}


def terms_problems(fact: Offered, terms: Terms, on: date) -> list[Problem]:
    """What is wrong with the terms on which an offer is taken.

    Parameters
    ----------
    fact : Offered
    terms : Terms
    on : date
        Today.

    Returns
    -------
    list of Problem
    """
    problems = []
    on_top = (terms.tax_rate or Decimal(0)) if fact.tax_held is None else Decimal(0)
    whole = to_step(fact.amount * (1 + on_top), fact.currency, "half_up")
    if None not in (fact.tax_held, terms.tax_rate) and fact.tax_held != terms.tax_rate:
        what = say("is not the tax that the offer holds")
        problems.append(Problem("tax_rate", what, say("Leave it out, or say the offer anew.")))
    if terms.paid is not None and not 0 <= terms.paid <= whole:
        remedy = say("Say what came of it, at most the whole sum.")
        problems.append(Problem("paid", say("is more than the offer, or below nothing"), remedy))
    if terms.load_by is not None and terms.load_by < on.isoformat():
        what = say("is {day}, and past", day=terms.load_by)
        problems.append(Problem("load_by", what, say("Name a day to come.")))
    return problems


def money_in(
    shop: RecordShop,
    sale: str,
    amount: Decimal,
    *,
    on: date,
    at: At | None = None,
    **hand: Unpack[Hand],
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
    at : (lot, machine) or None
        Ids of the machine that is looked at: a sale of another is refused. None: of any.
    **hand : Hand
        Who took it.

    Returns
    -------
    Record of Posting

    Raises
    ------
    Unknown
        No such line in the book, or it is no sale of that machine.
    NotYet, Unusable
        As for a line in the book.
    """
    first, record = one_posting(shop, sale)
    fact = record.fact
    if fact.sort != "sold" or at not in (None, (fact.lot, fact.machine)):
        raise Unknown(
            say("{what} is no sale of this machine", what=fact.what),
            remedy=say("Open what comes after its sale again and choose from it."),
        )
    came = Posting(
        sort="received", posted_on=on.isoformat(), what=fact.what, amount=amount,
        currency=fact.currency, of=first, whom=fact.whom,
    )  # fmt: skip
    return post(shop, came, on=on, **hand)


def one_offer(
    shop: RecordShop, wanted: str, *, at: At | None = None
) -> tuple[str, Record[Offered]]:
    """An offer by any id of its line, or by who made it.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    wanted : str
        An id, or a name.
    at : (lot, machine) or None
        Ids: only offers of that machine. None: of any, where the name stands at one machine only.

    Returns
    -------
    str, Record of Offered
        The id of its first record, and its newest.

    Raises
    ------
    Unknown
        There is none; or several machines have one of that name.
    """
    every = shop.current(Offered) if at is None else shop.current(Offered, lot=at[0], machine=at[1])
    by_id = [one for one in every if any(old.id == wanted for old in shop.history(one.id))]
    found = by_id or [one for one in every if one.fact.whom == wanted]
    if len({(one.fact.lot, one.fact.machine) for one in found}) > 1:
        raise Unknown(
            say("{whom} made offers for several machines", whom=wanted),
            remedy=say("Say for which machine."),
            problems=(Problem("machine", say("is not said")),),
        )
    if not found:
        raise Unknown(
            say("there is no offer {wanted}", wanted=wanted),
            remedy=say("Open the machine's sale again and choose from its offers."),
        )
    return first_id(shop, found[-1]), found[-1]
