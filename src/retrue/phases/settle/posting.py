"""Lines in the book: put in, corrected by another, taken back; their receipts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import NotYet, Unknown
from retrue.base.say import say
from retrue.cases.settle.bearers import borne
from retrue.cases.settle.derived_lines import still_expected
from retrue.cases.settle.kept import book_kept, closed_until
from retrue.cases.settle.posting_beside import beside_problems
from retrue.cases.settle.posting_rules import (
    Grounds,
    grounds,
    line_id,
    placed,
    posting_problems,
    refuse_closed,
    source_problems,
)
from retrue.cases.settle.rate_doubts import last_rates, rate_doubts, typed_problems
from retrue.cases.settle.sale_kept import OFFER_SOURCE
from retrue.kinds.library import Kind
from retrue.phases.settle.keeping import put, refuse_fields, sent_before
from retrue.phases.settle.may_sell import refuse_sold_line
from retrue.phases.settle.named import named_problems
from retrue.phases.settle.rates import refuse_used
from retrue.phases.settle.receipts import receipt_problems
from retrue.records.facts import Withdrawn
from retrue.records.hand import Hand
from retrue.records.settling import DayRate, Offered, Posting, Settling
from retrue.records.shop import Record, RecordShop

Prove = Callable[[bytes, str], Any]


def post(
    shop: RecordShop,
    posting: Posting,
    *,
    on: date,
    most_days_old: int | None = None,
    beside: bool = False,
    sure: bool = False,
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> Record[Posting]:
    """Put a line in the book.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    posting : Posting
        Lot and machines as name or id; ``of`` as an id or the first signs of one.
    on : date
        Today: nothing was paid on a later day.
    most_days_old : int or None
        How old a kept rate may be; None: a week. An older one is written into the line with its
        day.
    beside : bool
        It is another one, beside the same line or the expected one that it looks like.
    sure : bool
        Its rate is right, however far it is from the last one of its currency.
    kinds : mapping of kind id to Kind, or None
        By which it is told whether a machine may be sold; None: the library as it is shipped.
    **hand : Hand
        Whose hand; sent twice under one id it is kept once.

    Returns
    -------
    Record of Posting

    Raises
    ------
    Unknown
        No such lot, machine or line in the book.
    NotYet
        The book is closed on that day. It sells a machine that is sold, or of which stop items or
        guards are open and that is not listed for parts or repair; parts of it go in the bucket
        ``parts``.
    Unusable
        A field cannot be, the currency is none, its rate is missing, more is returned than was
        paid, it stands in the book already or is expected there; each is named.
    """
    about = grounds(book_kept(shop), most_days_old=most_days_old)
    fact = checked(shop, posting, about, on=on)
    if sent_before(shop, fact, hand) is None:
        refuse_fields(fact, *named_problems(shop, fact, kinds))
        if not beside:
            refuse_fields(fact, *beside_problems(fact, about, today=on))
        if fact.rate is not None and not sure:
            refuse_fields(fact, *rate_doubts(fact.currency, fact.rate, last_rates(about.kept)))
        refuse_sold_line(shop, fact, kinds)
    return put(shop, fact, None, hand)


def post_expected(
    shop: RecordShop, source: str, *, on: date, **hand: Unpack[Hand]
) -> Record[Posting]:
    """Put a line in the book that is known without typing, as it is known.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    source : str
        Id of the expected line: what it was made from.
    on : date
        Today.
    **hand : Hand
        Whose hand.

    Returns
    -------
    Record of Posting

    Raises
    ------
    Unknown
        Nothing of that name is expected, or it is in the book already.
    NotYet, Unusable
        As for :func:`post`.
    """
    return post(shop, expected_posting(shop, source, on=on), on=on, **hand)


def expected_posting(shop: RecordShop, source: str, *, on: date) -> Posting:
    """A line that is known without typing and not in the book, ready to be put there.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    source : str
        Id of the expected line: what it was made from.
    on : date
        Today.

    Returns
    -------
    Posting

    Raises
    ------
    Unknown
        Nothing of that name is expected, or it is in the book already.
    """
    for fact in still_expected(book_kept(shop), on=on):
        if fact.source == source:
            return fact
    raise Unknown(
        say("nothing of the name {source} is expected", source=source),
        remedy=say("Look at the book again: perhaps it is posted already."),
    )


def checked(
    shop: RecordShop, posting: Posting, about: Grounds, *, on: date, instead: str = ""
) -> Posting:
    """A line as it would be kept; refused where it cannot be. Nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Its files are looked at.
    posting : Posting
    about : Grounds
    on : date
        Today.
    instead : str
        First id of the line it corrects.

    Returns
    -------
    Posting
    """
    fact = placed(posting, about)
    refuse_closed(about.kept.closed_until, [fact.posted_on])
    problems = list(posting_problems(fact, about, today=on, instead=instead))
    offers = _offers(shop) if fact.source.startswith(OFFER_SOURCE) else frozenset()
    problems += source_problems(fact, about, offers, today=on, instead=instead)
    problems += typed_problems(fact, about.kept.currency, today=on)
    problems += receipt_problems(shop, fact.receipt)
    refuse_fields(fact, *problems)
    old: Posting | None = about.by_id[instead].newest.fact if instead else None
    fact = borne(fact, about.kept.machines, about.kept.worth, old)
    return with_its_rate(fact, about)


def with_its_rate(fact: Posting, about: Grounds) -> Posting:
    """A line with an older rate written into it, as every later reading takes a newer one only.

    Parameters
    ----------
    fact : Posting
    about : Grounds

    Returns
    -------
    Posting
    """
    usual = grounds(about.kept).rates
    if fact.rate is not None or fact.sort == "returned":
        return fact
    found = about.rates.on(fact.currency, fact.posted_on)
    if found is None or usual.on(fact.currency, fact.posted_on) is not None:
        return fact
    return replace(fact, rate=found.rate, rate_on=found.day)


def correct(
    shop: RecordShop,
    line: str,
    posting: Posting,
    *,
    on: date,
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> Record[Posting]:
    """Say a line anew; the old one stays readable and counts no more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    line : str
        Any id of its line, or the first signs of one.
    posting : Posting
        The whole line as it is meant.
    on : date
        Today.
    kinds : mapping of kind id to Kind, or None
        As for :func:`post`.
    **hand : Hand
        Who corrects it.

    Returns
    -------
    Record of Posting

    Raises
    ------
    Unknown, NotYet, Unusable
        As for :func:`post`; the book may be closed on the old day or on the new one.
    """
    about = grounds(book_kept(shop))
    first = line_id(line, about)
    old: Record[Posting] = about.by_id[first].newest
    refuse_closed(about.kept.closed_until, [old.fact.posted_on])
    fact = checked(shop, posting, about, on=on, instead=first)
    refuse_fields(fact, *named_problems(shop, fact, kinds, old.fact))
    refuse_sold_line(shop, fact, kinds, instead=first)
    return put(shop, fact, old, hand)


def take_back(
    shop: RecordShop, record_id: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back any record of money and sale: a line, a rate, a closing, an hour, an offer.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line; of a line in the book the first signs are enough.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn

    Raises
    ------
    Unknown
        No such record of this room, or it was taken back already.
    NotYet
        The book is closed on its day, or another line stands on it; of a rate, a line
        stands on it.
    """
    newest = newest_of(shop, record_id)
    if isinstance(newest.fact, Posting):
        refuse_closed(closed_until(shop), [newest.fact.posted_on])
        _refuse_stood_on(shop, newest)
    if isinstance(newest.fact, DayRate):
        refuse_closed(closed_until(shop), [newest.fact.rate_on])
        refuse_used(shop, newest)
    gone = Withdrawn(of_kind=newest.kind, reason=reason.strip())
    return shop.add(gone, replaces=newest.id, **hand)


def one_posting(shop: RecordShop, wanted: str) -> tuple[str, Record[Posting]]:
    """The first id of a line in the book, and the record that counts.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    wanted : str
        Any id of its line, or the first signs of one.

    Returns
    -------
    tuple of (str, Record of Posting)

    Raises
    ------
    Unknown
        There is none, or several begin so.
    """
    about = grounds(book_kept(shop))
    first = line_id(wanted, about)
    return first, about.by_id[first].newest


def newest_of(shop: RecordShop, record_id: str) -> Record[Any]:
    """The record of money and sale that counts, of a line by any of its ids.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    record_id : str
        Any record of its line; of a line in the book the first signs are enough.

    Returns
    -------
    Record

    Raises
    ------
    Unknown
        No such record of this room, or it was taken back already.
    """
    try:
        newest: Record[Any] = shop.history(record_id)[-1]
    except Unknown:
        newest = one_posting(shop, record_id)[1]
    if not isinstance(newest.fact, Settling):
        raise Unknown(
            say("{record} is nothing of money and sale that counts", record=record_id),
            remedy=say("Open the list again; perhaps it was taken back already."),
        )
    return newest


def _refuse_stood_on(shop: RecordShop, newest: Record[Posting]) -> None:
    first = shop.history(newest.id)[0].id
    standing = [one.fact.what for one in shop.current(Posting, of=first)]
    if standing:
        raise NotYet(
            say("{what} stands on this line", what=standing[0]),
            remedy=say("Take that back first; then this."),
        )


def _offers(shop: RecordShop) -> frozenset[str]:
    """What the sale of each offer that is kept says it was made from."""
    ids = (shop.history(one.id)[0].id for one in shop.current(Offered))
    return frozenset(f"{OFFER_SOURCE}{id}" for id in ids)
