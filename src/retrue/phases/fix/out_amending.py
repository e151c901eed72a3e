"""What is out, quoted, on the shelf: corrected it is said anew; taken back it counts no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any, TypeVar, Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.records.checking import problems_of
from retrue.records.facts import Fact, Withdrawn
from retrue.records.fixing import Out, OutEnded, Quoted, Rung, Stock
from retrue.records.hand import Hand
from retrue.records.sending import same_or_kept
from retrue.records.sending import sent_before as sent_before
from retrue.records.shop import Record, RecordShop

Outside = Out | Rung | OutEnded | Quoted | Stock
F = TypeVar("F", Out, Rung, OutEnded, Quoted, Stock)
G = TypeVar("G", bound=Fact)
STAYS: dict[type[Any], tuple[str, ...]] = {
    Out: ("lot",),
    Rung: ("lot", "out"),
    OutEnded: ("lot", "out"),
    Quoted: ("lot",),
    Stock: ("name",),
}
"""What a correction leaves as it was."""


def correct_out(shop: RecordShop, record_id: str, fact: F, **hand: Unpack[Hand]) -> Record[F]:
    """Say anew what was said of something out, of a quote, of the shelf.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    fact : Out, Rung, OutEnded, Quoted or Stock
        Of the same sort; the lot stays, and so does what a call or an end belongs to.
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
    newest = _newest(shop, record_id)
    if type(newest.fact) is not type(fact):
        raise Unusable(
            say("record {id} is a {was}, not a {now}",
                id=record_id, was=newest.kind, now=fact.KIND),
            remedy=say("Take it back, then keep the other."),
        )  # fmt: skip
    stays = {name: getattr(newest.fact, name) for name in STAYS[type(fact)]}
    same: Any = replace(fact, **stays)
    return put(shop, same, newest, hand)


def withdraw_out(
    shop: RecordShop, record_id: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back what was kept of something out, of a quote, of the shelf; it stays readable.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line. Without its end a thing is out again.
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
    newest = _newest(shop, record_id)
    gone = Withdrawn(of_kind=newest.kind, reason=reason.strip())
    return shop.add(gone, replaces=newest.id, **hand)


def put(shop: RecordShop, fact: G, old: Record[G] | None, hand: Hand) -> Record[G]:
    """Keep a fact in the place of an older one; the same again, or sent twice, adds nothing."""
    refuse_fields(fact)
    return same_or_kept(shop, fact, old, hand)


def refuse_fields(fact: Any, *more: Problem) -> None:
    """Unusable with every field named that cannot be kept."""
    problems = (*problems_of(fact), *more)
    if problems:
        raise Unusable(
            say("this cannot be kept as it stands"),
            remedy=say("Mend what is named."),
            problems=problems,
        )


def still_to_come(day: str, today: date | None, field: str) -> Iterator[Problem]:
    """A day of which nothing can be told yet."""
    if today is not None and day > today.isoformat():
        what = say("is {day}, and that is still to come", day=day)
        yield Problem(field, what, say("Write the day on which it was."))


def _newest(shop: RecordShop, record_id: str) -> Record[Any]:
    newest: Record[Any] = shop.history(record_id)[-1]
    if not isinstance(newest.fact, Outside):
        raise Unknown(
            say("{record} is nothing out, quoted or on the shelf that counts", record=record_id),
            remedy=say("Open the list again; perhaps it was taken back already."),
        )
    return newest
