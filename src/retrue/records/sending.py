"""Kept once: the same fact again, or one that was sent twice, adds nothing."""

from __future__ import annotations

from typing import TypeVar

from retrue.base.refusals import Unknown
from retrue.records.facts import Fact
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)


def same_or_kept(shop: RecordShop, fact: F, old: Record[F] | None, hand: Hand) -> Record[F]:
    """Keep a fact in the place of an older one; the same again, or sent twice, adds nothing.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    fact : Fact
    old : Record or None
        What it takes the place of.
    hand : Hand
        Who writes.

    Returns
    -------
    Record
        The new one, or the one that says the same already.

    Raises
    ------
    Unusable
        A field cannot be, or another content was sent under the same id.
    """
    if old is not None and old.fact == fact:
        return old
    sent = sent_before(shop, fact, hand)
    if sent is not None:
        return sent
    return shop.add(fact, replaces=old.id if old else None, **hand)


def sent_before(shop: RecordShop, fact: F, hand: Hand) -> Record[F] | None:
    """The record that this very sending was kept as.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    fact : Fact
    hand : Hand
        Its ``id`` is that of the sending.

    Returns
    -------
    Record or None
        None where it is new; the shop refuses another content under the same id.
    """
    try:
        kept = shop.get(type(fact), hand["id"]) if "id" in hand else None
    except Unknown:
        return None
    return kept if kept is not None and kept.fact == fact else None
