"""Whether a machine may be sold: one rule for its listing, its offers, the book and every file."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from retrue.base.formatter import money
from retrue.base.refusals import NotYet, Problem, Unknown
from retrue.base.say import say
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.sale_kept import OFFER_SOURCE, SaleKept, is_sale, sale_kept
from retrue.cases.settle.sale_lines import StopItem
from retrue.cases.settle.sale_stops import stops_kept
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.kinds.load import load
from retrue.records.settling import Posting, SoldAs
from retrue.records.shop import RecordShop

LITTLE = Decimal("0.1")  # of what is asked, where nobody said what the least is (judgement)


def refuse_sold_line(
    shop: RecordShop, fact: Posting, kinds: Mapping[str, Kind] | None = None, *, instead: str = ""
) -> None:
    """Refuse a line of the book that sells a machine which may not be sold, or is sold already.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    fact : Posting
        Lot and machine as ids. Of any other sort, of no machine, or in the bucket ``parts``
        (parts of it, in words): nothing is asked.
    kinds : mapping of kind id to Kind, or None
        None: the library as it is shipped.
    instead : str
        First id of the line that it corrects, or its own where it was kept before.

    Raises
    ------
    NotYet
        It is sold; or stop items or guards are open and it is not listed for parts or repair; or
        nobody took an offer, and it is less than it goes for by its own listing: it may be a part.
    Unknown
        Its type is not in the library: nobody can say what is open.
    """
    if not is_sale(fact):
        return
    kept = sale_kept(shop, fact.lot or "", fact.machine or "")
    if instead and instead in {first for first, _ in kept.sales}:
        return  # the very sale, said anew
    refuse_sold(kept)
    _refuse_little(kept, fact)
    listed = kept.listing.fact.sold_as if kept.listing else "as_found"
    if listed != "parts":
        known = load() if kinds is None else kinds
        spot, kind = spot_of(shop, fact.lot or "", fact.machine or "", known)
        refuse_open(open_stops(shop, spot, kind, listed), listed)


def _refuse_little(kept: SaleKept, fact: Posting) -> None:
    """Refuse a sale typed by hand for less than the machine goes for: it may be a part of it."""
    if kept.listing is None or fact.source.startswith(OFFER_SOURCE):
        return
    listed = kept.listing.fact
    least = listed.ask * LITTLE if listed.dump is None else listed.dump
    if fact.currency != listed.currency or fact.amount >= least:
        return
    told = {"sum": money(fact.amount, fact.currency, 2), "least": money(least, fact.currency, 2)}
    remedy = say("A part of it goes in the bucket parts: the machine stays. The machine itself: "
                 "list it for less first.")  # fmt: skip
    raise NotYet(
        say("{sum} is less than the {least} for which the machine goes at the least", **told),
        remedy=remedy,
        problems=(Problem("bucket", say("does not say that it is a part"), remedy),),
    )


def open_stops(
    shop: RecordShop, spot: Spot, kind: Kind, sold_as: SoldAs = "as_found"
) -> tuple[StopItem, ...]:
    """What keeps the condition record of a machine closed, those that were found first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
    sold_as : str
        Running and proven want more than as found.

    Returns
    -------
    tuple of StopItem
    """
    return stops_kept(record_kept(shop, spot, kind), sold_as)


def refuse_open(stops: tuple[StopItem, ...], sold_as: str) -> None:
    """NotYet where something is open and the machine is not sold for parts or repair.

    Parameters
    ----------
    stops : tuple of StopItem
    sold_as : str

    Raises
    ------
    NotYet
        Each is named, with what clears it.
    """
    if not stops or sold_as == "parts":
        return
    raise NotYet(
        say("{count} stop items or guards are open: {first}", count=len(stops),
            first=stops[0].name),
        remedy=say("Clear them, or list it as parts: for parts or repair, in words."),
        problems=tuple(Problem(one.id, one.name, one.clears) for one in stops),
    )  # fmt: skip


def refuse_sold(kept: SaleKept) -> None:
    """NotYet where a sale of the machine stands in the book.

    Parameters
    ----------
    kept : SaleKept

    Raises
    ------
    NotYet
        To whom, when and for how much is said.
    """
    if kept.sales:
        raise NotYet(
            say("it is sold already: {words}", words=sold_words(kept)),
            remedy=say("Take that line back in the book first, if it came to nothing."),
        )


def sold_words(kept: SaleKept) -> str:
    """To whom it is sold, when, for how much; empty where it is not.

    Parameters
    ----------
    kept : SaleKept

    Returns
    -------
    str

    Examples
    --------
    >>> sold_words(SaleKept())
    ''
    """
    if not kept.sales:
        return ""
    fact = kept.sales[-1][1].fact
    return say("to {whom} on {day} for {sum}", whom=fact.whom or say("a buyer"),
               day=fact.posted_on, sum=money(fact.amount, fact.currency, 2))  # fmt: skip


def spot_of(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[Spot, Kind]:
    """A machine with its kind.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind

    Returns
    -------
    Spot, Kind

    Raises
    ------
    Unknown
        No such lot or machine, or its type is not in the library.
    """
    spot = find(shop, lot, machine, kinds)
    if spot.kind is None:
        raise Unknown(
            say("the type of {name} is not in the library", name=spot.name),
            remedy=say("retrue kinds lists the types."),
        )
    return spot, spot.kind
