"""To take back is to say that something does not count; it stays readable."""

from __future__ import annotations

from typing import Any, Unpack

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.phases.move.arrival import SPOTS
from retrue.phases.move.rescue import DATA_PLACE, unanswer_looks
from retrue.phases.move.resting import LOG, read_again
from retrue.records.facts import File, Withdrawn
from retrue.records.hand import Hand
from retrue.records.moving import Arrived, DataCopy, LaidUp, MoveStep, Planned, Round
from retrue.records.shop import Record, RecordShop

MOVED = (Planned, DataCopy, MoveStep, Arrived, LaidUp, Round)
PLACES = (*SPOTS, DATA_PLACE, LOG)


def withdraw(
    shop: RecordShop, record_id: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back a step, a copy, a round, a photograph of the arrival, a calculator.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn
        A finding that followed from what was taken back does not count either.

    Raises
    ------
    Unknown
        No such record of a move, or it was taken back already.
    """
    newest: Record[Any] = shop.history(record_id)[-1]
    fact = newest.fact
    photographed = isinstance(fact, File) and fact.place in PLACES
    if not (isinstance(fact, MOVED) or photographed):
        raise Unknown(
            say("there is nothing of a move under this id"),
            remedy=say("Open the page again; it may have been taken back already."),
        )
    gone = Withdrawn(of_kind=newest.kind, reason=reason.strip())
    record = shop.add(gone, replaces=newest.id, **hand)
    if isinstance(fact, DataCopy):
        unanswer_looks(shop, fact.machine, hand)
    elif isinstance(fact, Round):
        read_again(shop, fact.lot, fact.machine, hand)
    return record
