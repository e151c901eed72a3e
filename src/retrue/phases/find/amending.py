"""To correct is to say it anew in the same place; to take back is to say that it does not count."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar, Unpack

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.phases.find.lines import same_or_kept, trouble_line
from retrue.records.facts import Finding, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act, Guess, Hunch, PartMoved, Signed, Trial, Trouble
from retrue.records.shop import Record, RecordShop

Told = Trouble | Hunch | Trial | Act | PartMoved | Signed | Finding | Guess
F = TypeVar("F", Trouble, Hunch, Trial, Act, PartMoved, Signed, Finding)


def correct(shop: RecordShop, record_id: str, fact: F, **hand: Unpack[Hand]) -> Record[F]:
    """Say anew what was said: a new record in the place of the old one; nothing else moves.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    fact : Trouble, Hunch, Trial, Act, PartMoved, Signed or Finding
        Of the same sort; lot and machine stay those of the old one.
    **hand : Hand
        Who corrects it.

    Returns
    -------
    Record
        The new one; the old one stays readable, and what came after it stays after it.

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
    same: Any = replace(fact, lot=newest.fact.lot, machine=newest.fact.machine)
    trouble = getattr(same, "trouble", None)
    if trouble:
        same = replace(same, trouble=trouble_line(shop, trouble).first.id)
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
        Any record of its line.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn
        With the truth of a teardown its guess goes, and with a guess its finding.

    Raises
    ------
    Unknown
        No such record, or it was taken back already.
    """
    newest = newest_of(shop, record_id)
    gone = shop.add(
        Withdrawn(of_kind=newest.kind, reason=reason.strip()), replaces=newest.id, **hand
    )
    for other in _with_it(shop, newest):
        shop.add(
            Withdrawn(of_kind=other.kind, reason=reason.strip()),
            replaces=other.id,
            **without_id(hand),
        )
    return gone


def newest_of(shop: RecordShop, record_id: str) -> Record[Any]:
    """The record of a line that counts; Unknown where it was taken back or is of another deed."""
    newest = shop.history(record_id)[-1]
    if not isinstance(newest.fact, Told):
        raise Unknown(
            say("{record} is nothing of fault-finding that still counts", record=record_id),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    return newest


def _with_it(shop: RecordShop, gone: Record[Any]) -> list[Record[Any]]:
    """What falls with a record: the guess of a finding, the finding of a guess."""
    if isinstance(gone.fact, Guess):
        line = shop.history(gone.fact.finding)
        return [line[-1]] if isinstance(line[-1].fact, Finding) else []
    if isinstance(gone.fact, Finding) and gone.fact.fault is not None:
        first = shop.history(gone.id)[0].id
        return list(shop.current(Guess, lot=gone.fact.lot, finding=first))
    return []
