"""An offer that is heard and answered at once: all of it is kept, or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Unpack

from retrue.base.currencies import known_code
from retrue.cases.settle.kept import book_kept
from retrue.cases.settle.posting_beside import beside_problems
from retrue.cases.settle.posting_rules import grounds
from retrue.cases.settle.sale_kept import OFFER_SOURCE
from retrue.kinds.library import Kind
from retrue.phases.settle.keeping import refuse, refuse_fields, sent_before
from retrue.phases.settle.may_sell import refuse_sold_line, spot_of
from retrue.phases.settle.offering import (
    Answer,
    Terms,
    answer_offer,
    offer,
    refuse_unlisted,
    sold_posting,
    terms_problems,
)
from retrue.phases.settle.posting import checked
from retrue.records.hand import Hand, numbered
from retrue.records.settling import Offered
from retrue.records.shop import Record, RecordShop


def offer_answered(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    offered: Offered,
    answer: Answer,
    *,
    on: date,
    terms: Terms | None = None,
    **hand: Unpack[Hand],
) -> Record[Offered]:
    """Keep what somebody offers with what was answered; refused, nothing of it is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    offered : Offered
        Its lot and machine are not read.
    answer : str
        taken, refused, waiting.
    on : date
        Today.
    terms : Terms or None
        Of one that is taken.
    **hand : Hand
        Who heard it.

    Returns
    -------
    Record of Offered

    Raises
    ------
    Unknown, NotYet, Unusable
        As for :func:`offer` and :func:`answer_offer`.
    """
    spot, _ = spot_of(shop, lot, machine, kinds)
    fact = replace(offered, lot=spot.lot, machine=spot.machine,
                   currency=known_code(offered.currency))  # fmt: skip
    if answer == "taken" and sent_before(shop, fact, hand) is None:
        refuse_taking(shop, fact, kinds, on, terms or Terms())
    made = offer(shop, lot, machine, kinds, offered, on=on, **hand)
    return answer_offer(shop, made.id, answer, kinds, on=on, text=offered.text, terms=terms,
                        at=(spot.lot, spot.machine), **numbered(hand, 4))  # fmt: skip


def refuse_taking(
    shop: RecordShop, fact: Offered, kinds: Mapping[str, Kind], on: date, terms: Terms
) -> None:
    """Refuse an offer that could not be taken, before anything of it is kept.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    fact : Offered
        Lot and machine as ids.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    terms : Terms

    Raises
    ------
    NotYet, Unusable
        As for :func:`answer_offer`.
    """
    spot, _ = spot_of(shop, fact.lot, fact.machine, kinds)
    refuse_unlisted(shop, spot)
    refuse(terms_problems(fact, terms, on))
    about = grounds(book_kept(shop))
    sold = checked(shop, sold_posting(spot, fact, terms, on), about, on=on)
    refuse_fields(sold, *beside_problems(sold, about, today=on))
    refuse_sold_line(shop, replace(sold, source=f"{OFFER_SOURCE}new"), kinds)
