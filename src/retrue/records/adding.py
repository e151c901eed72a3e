"""What may be added: the rules every shop keeps, wherever it keeps its records."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from retrue.base.refusals import Overtaken, Problem, Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.records.chain import Row, digest, now_in_utc, stamp
from retrue.records.checking import types_of
from retrue.records.facts import Fact, Withdrawn
from retrue.records.outside import coming
from retrue.records.packing import check, unpack, written


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A fact somebody wants kept, checked and ready to be given its place in the chain."""

    fact: Fact
    payload: str
    id: str
    by: str
    device: str
    observed_at: datetime | None
    replaces: str | None


def wish(
    fact: Fact,
    *,
    by: str,
    device: str,
    observed_at: datetime | None,
    id: str | None,
    replaces: str | None,
) -> Wish:
    """Check what is to be added, before anything is locked.

    Parameters
    ----------
    fact : Fact
        What is to be kept.
    by, device : str
        Who says it, on which device; ``by`` is never empty.
    observed_at : datetime, optional
        The device's claim, with its offset.
    id : str, optional
        Made where the record is born; a random UUID if it is born here.
    replaces : str, optional
        The record this one corrects or takes back.

    Returns
    -------
    Wish
        Complete.

    Raises
    ------
    Unusable
        A field of the fact or one of the others cannot be kept; all are named.

    Examples
    --------
    >>> from retrue.records.facts import Note
    >>> made = wish(Note(text="way oil on the floor"), by="me", device="", observed_at=None,
    ...             id="a1", replaces=None)
    >>> made.payload[:20]
    '{"alarm":"","doing":'
    """
    problems = list(coming(by, device, observed_at, id, replaces))
    if isinstance(fact, Withdrawn) and replaces is None:
        problems.append(
            Problem("replaces", say("is missing"), say("Name the record to take back."))
        )
    try:
        check(fact)
    except Unusable as refusal:
        problems = [*refusal.problems, *problems]
    if problems:
        raise Unusable(
            say(
                "this {kind} cannot be kept: {where} {what}",
                kind=fact.KIND,
                where=problems[0].where,
                what=problems[0].what,
            ),
            remedy=say("Correct the fields named; all other fields are as you gave them."),
            problems=tuple(problems),
        )
    return Wish(
        fact=fact,
        payload=written(fact),
        id=id if id is not None else str(uuid.uuid4()),
        by=by,
        device=device,
        observed_at=observed_at,
        replaces=replaces,
    )


def is_same(kept: Row, wanted: Wish) -> bool:
    """Whether a kept row says what is wanted: same fact, same person, same place in history.

    Device and times may differ: an outbox may send again from a phone paired anew.
    """
    if kept.kind != wanted.fact.KIND or kept.replaces != wanted.replaces or kept.by != wanted.by:
        return False
    return kept.payload == wanted.payload or unpack(kept.kind, kept.schema, kept.payload) == unpack(
        wanted.fact.KIND, wanted.fact.SCHEMA, wanted.payload
    )


def refuse_other(id: str) -> Overtaken:
    """The refusal for an id under which something else is kept."""
    return Overtaken(
        say("something else is already kept under the id {id}", id=id),
        remedy=say(
            "Open what is kept; give a correction an id of its own and name what it replaces."
        ),
    )


def refuse_replaced(id: str) -> Overtaken:
    """The refusal for a record that somebody else has already corrected or withdrawn."""
    return Overtaken(
        say("record {id} has already been corrected or withdrawn", id=id),
        remedy=say("Open the newest one and go on from there."),
    )


def refuse_unknown(id: str, kind: str = "record") -> Unknown:
    """The refusal for an id under which nothing is kept."""
    return Unknown(
        say("no {kind} is kept under the id {id}", kind=kind, id=id),
        remedy=say("Open the list again and choose from it; check that this is the right shop."),
    )


def refuse_gone() -> Overtaken:
    """The refusal for what is new of a lot or machine that was taken back."""
    return Overtaken(
        say("the lot or machine it belongs to was taken back"),
        remedy=say("Bring that back first, then send this again; nothing of it is lost."),
    )


def belongs_to(wanted: Wish) -> frozenset[str]:
    """Ids of the lot and machine that something new is of; none of what replaces something.

    Examples
    --------
    >>> from retrue.records.facts import Note
    >>> made = wish(Note(text="oil", lot="a", machine="b"), by="me", device="", observed_at=None,
    ...             id="a1", replaces=None)
    >>> sorted(belongs_to(made))
    ['a', 'b']
    """
    if wanted.replaces is not None:
        return frozenset()
    named = (getattr(wanted.fact, field, None) for field in ("lot", "machine"))
    return frozenset(id for id in named if id)


def refuse_mismatch(wanted: Wish, replaced: Row) -> Refusal | None:
    """Why a wish cannot replace a row: a correction is of one kind; a withdrawal names it."""
    was, now = replaced.kind, wanted.fact.KIND
    if isinstance(wanted.fact, Withdrawn):
        expected = wanted.fact.of_kind
        if was == Withdrawn.KIND:
            return Unusable(
                say("record {id} is itself a withdrawal", id=replaced.id),
                remedy=say("To bring back what it took away, add that again in place of it."),
                problems=(Problem("replaces", say("names a withdrawal")),),
            )
    elif was == Withdrawn.KIND:
        taken_back = unpack(replaced.kind, replaced.schema, replaced.payload)
        assert isinstance(taken_back, Withdrawn)
        was, expected = taken_back.of_kind, now
    else:
        expected = now
    if was == expected:
        return None
    return Unusable(
        say("record {id} is a {was}, not a {expected}", id=replaced.id, was=was, expected=expected),
        remedy=say("Replace it by a {was}, or add this without replacing anything.", was=was),
        problems=(
            Problem("replaces", say("names a {was}, not a {expected}", was=was, expected=expected)),
        ),
    )


def link(wanted: Wish, *, seq: int, previous: str, now: datetime) -> Row:
    """Give a wish its place in the chain.

    Parameters
    ----------
    wanted : Wish
        What is to be kept.
    seq : int
        Its number, one more than the last.
    previous : str
        The hash of the last record.
    now : datetime
        The server's clock, with an offset.

    Returns
    -------
    Row
        Ready to be stored, with its hash.
    """
    noted_at = now_in_utc(now)
    row = Row(
        id=wanted.id,
        kind=wanted.fact.KIND,
        schema=wanted.fact.SCHEMA,
        seq=seq,
        noted_at=stamp(noted_at),
        observed_at=stamp(wanted.observed_at or noted_at),
        by=wanted.by,
        device=wanted.device,
        replaces=wanted.replaces,
        payload=wanted.payload,
        previous=previous,
    )
    return replace(row, sha256=digest(row))


def refuse_fields(kind: type[Any], names: set[str]) -> None:
    """Refuse to look for a field that a kind of fact does not have.

    Raises
    ------
    Unknown
        The kind has no such field.
    """
    strangers = sorted(names - types_of(kind).keys())
    if strangers:
        raise Unknown(
            say("a {kind} has no field called {field}", kind=kind.KIND, field=strangers[0]),
            remedy=say("It has {allowed}.", allowed=", ".join(sorted(types_of(kind)))),
        )
