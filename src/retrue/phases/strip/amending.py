"""To correct is to say it anew in the same place; to take back is to say that it does not count."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar, Unpack

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.phases.strip.here import same_or_kept
from retrue.phases.strip.places import CELL_LINE, cell_unsaid
from retrue.records.facts import File, Withdrawn
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import AsFound, Cleaned, CleanReading, PutBack, Taken, Ticked

Stripped = AsFound | Ticked | Cleaned | CleanReading | Taken | PutBack | File
F = TypeVar("F", AsFound, Ticked, Cleaned, CleanReading, Taken, PutBack, File)


def correct(shop: RecordShop, record_id: str, fact: F, **hand: Unpack[Hand]) -> Record[F]:
    """Say anew what was said: a new record in the place of the old one; nothing else moves.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    fact : AsFound, Ticked, Cleaned, CleanReading, Taken, PutBack or File
        Of the same sort. Lot and machine stay; a label keeps its code, for it hangs on the machine;
        a photograph keeps its content and may move to another place, line or label.
    **hand : Hand
        Who corrects it.

    Returns
    -------
    Record

    Raises
    ------
    Unknown
        No such record, or it was taken back.
    Unusable
        It is of another sort, or a field cannot be.
    """
    newest = newest_of(shop, record_id)
    if type(newest.fact) is not type(fact):
        raise Unusable(
            say(
                "record {id} is a {was}, not a {now}", id=record_id, was=newest.kind, now=fact.KIND
            ),
            remedy=say("Take it back, then keep the other."),
        )
    stays = {name: getattr(newest.fact, name) for name in _stays(fact)}
    same: Any = replace(fact, **stays)
    return same_or_kept(shop, same, newest, hand)


def withdraw(
    shop: RecordShop, record_id: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back what was said or done; it stays readable and counts no more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line. Without its photograph a line is open again, and so is its gate.
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
        No such record, or it was taken back already.
    """
    newest = newest_of(shop, record_id)
    gone = Withdrawn(of_kind=newest.kind, reason=reason.strip())
    record = shop.add(gone, replaces=newest.id, **hand)
    if isinstance(newest.fact, AsFound) and newest.fact.entry == CELL_LINE:
        cell_unsaid(shop, newest.fact.machine, hand)
    return record


def newest_of(shop: RecordShop, record_id: str) -> Record[Any]:
    """The record of a line that counts; Unknown where it was taken back or is of another deed."""
    newest = shop.history(record_id)[-1]
    if not isinstance(newest.fact, Stripped):
        raise Unknown(
            say("{record} is nothing of taking apart that still counts", record=record_id),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    return newest


def _stays(fact: Stripped) -> tuple[str, ...]:
    if isinstance(fact, Taken):
        return ("lot", "machine", "code")
    if isinstance(fact, PutBack):
        return ("lot", "machine", "taken")
    if isinstance(fact, File):
        return ("lot", "machine", "sha256", "size_bytes", "media_type")
    return ("lot", "machine")
