"""What was just said of a sale, in words; taken back, what stood before counts again."""

from __future__ import annotations

from typing import Any, Unpack

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.settle.sale_words import said_words
from retrue.phases.settle.after import At
from retrue.phases.settle.keeping import put
from retrue.phases.settle.offering import LOAD, sale_of_offer
from retrue.phases.settle.posting import newest_of, take_back
from retrue.records.hand import Hand, numbered
from retrue.records.settling import Offered, Posting, Promised
from retrue.records.shop import Record, RecordShop


def said_of_sale(shop: RecordShop, record_id: str, *, at: At) -> str:
    """What a record of the sale of one machine says, in a few words.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    record_id : str
        Any record of its line.
    at : (lot, machine)
        Ids of the machine that is looked at.

    Returns
    -------
    str
        Empty where it is of another machine, or counts no more.
    """
    try:
        fact = newest_of(shop, record_id).fact
    except Unknown:
        return ""
    return said_words(fact) if _at(shop, fact) == at else ""


def _at(shop: RecordShop, fact: Any) -> tuple[Any, Any]:
    """The machine it is about; of money that came, that of its sale."""
    if isinstance(fact, Posting) and fact.machine is None and fact.of:
        fact = newest_of(shop, fact.of).fact
    return getattr(fact, "lot", None), getattr(fact, "machine", None)


def as_before(shop: RecordShop, record_id: str, *, at: At, **hand: Unpack[Hand]) -> Record[Any]:
    """Take back what was just said of a sale: what stood before counts again.

    With an offer that was taken its sale goes out of the book, and the promise to load it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line; of a line in the book the first signs are enough.
    at : (lot, machine)
        Ids of the machine that is looked at.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record
        The withdrawal, where it was the first thing said; else what stood before, said again.

    Raises
    ------
    Unknown
        No such record of this machine, or it was taken back already.
    NotYet
        The book is closed on its day, or another line stands on it: money that came for a sale.
    """
    newest = newest_of(shop, record_id)
    if _at(shop, newest.fact) != at:
        raise Unknown(
            say("{record} is nothing of this machine", record=record_id),
            remedy=say("Open its page again and choose from it."),
        )
    line = shop.history(newest.id)
    if isinstance(newest.fact, Offered) and newest.fact.answer == "taken":
        _unsell(shop, line[0].id, newest.fact, hand)
    if len(line) < 2 or isinstance(newest.fact, Posting):
        return take_back(shop, newest.id, **hand)
    return put(shop, line[-2].fact, newest, hand)


def _unsell(shop: RecordShop, first: str, fact: Offered, hand: Hand) -> None:
    """The sale of an offer out of the book, and what was promised with it."""
    sale = sale_of_offer(shop, first, fact)
    if not sale:
        return
    sold: Posting = newest_of(shop, sale).fact
    take_back(shop, sale, **numbered(hand, 1))
    said = {"lot": fact.lot, "machine": fact.machine, "whom": fact.whom, "what": LOAD,
            "promised_on": sold.posted_on}  # fmt: skip
    for at, one in enumerate(shop.current(Promised, **said)):
        take_back(shop, one.id, **numbered(hand, 2 + at))
