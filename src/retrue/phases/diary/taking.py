"""Take back and bring back: the same rules for every page, command and kind of record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Unpack
from uuid import uuid4

from retrue.base.refusals import NotYet, Overtaken, Unusable
from retrue.base.say import say
from retrue.cases.diary_rules import RULES
from retrue.phases.diary.hanging import hanging
from retrue.phases.diary.listing import said_by
from retrue.phases.diary.one import refuse_bringing, refuse_taking
from retrue.records.facts import Note, Withdrawn
from retrue.records.hand import Hand, numbered
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop, ToAdd, WrittenSince

TRIES = 50  # of a deed that others write between, before it is given up
WORDS: Mapping[str, tuple[str, ...]] = {
    "note": ("text", "alarm", "doing", "setting", "old", "new", "why"),
    "file": ("caption",),
}
"""What is corrected on the record's own page, for there is no form for it elsewhere."""

TakeBack = Callable[..., object]
"""A phase's own deed: the shop, the record, its reason, the hand; it takes with it what falls."""


def take_back(
    shop: RecordShop,
    record: str,
    *,
    reason: str = "",
    rooms: Mapping[str, TakeBack],
    **hand: Unpack[Hand],
) -> Record[Withdrawn]:
    """Take a record back with all that falls with it; it stays readable and counts no more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of its line.
    reason : str
        Why, if there is one.
    rooms : mapping of str to callable
        The deeds of the phases, by the rooms of `retrue.cases.diary_rules`.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn
        Sent twice it is one.

    Raises
    ------
    Unknown
        There is no such record.
    NotYet
        The rules do not let it, or something stands on it.
    Overtaken
        It was taken back already.
    Unusable
        The deed of its phase wants a reason.
    """
    return _looking_again(lambda: _taken(shop, record, reason.strip(), rooms, hand))


def _looking_again(deed: Callable[[], Record[Any]]) -> Record[Any]:
    """What hangs on a record is looked up and written as one: anew where something came between."""
    for _ in range(TRIES):
        try:
            return deed()
        except WrittenSince:
            continue
    raise Overtaken(
        say("this record, or its correction, is already kept"),
        remedy=say("Open the newest one and go on from there."),
    )


def _taken(
    shop: RecordShop, record: str, reason: str, rooms: Mapping[str, TakeBack], hand: Hand
) -> Record[Withdrawn]:
    seen = shop.newest()
    newest: Record[Any] = shop.history(record)[-1]
    if isinstance(newest.fact, Withdrawn):
        return _again(newest, hand)
    refuse_taking(shop, newest)
    rule = RULES[newest.kind]
    if rule.way == "room":
        rooms[rule.room](shop, newest, reason, hand)
    else:
        _take(shop, newest, reason, hand, seen)
    gone: Record[Any] = shop.history(newest.id)[-1]
    if not isinstance(gone.fact, Withdrawn):  # what stood before counts again
        gone = next(one for one in shop.history(newest.id) if one.replaces == newest.id)
    return gone


def _again(newest: Record[Any], hand: Hand) -> Record[Withdrawn]:
    if newest.id == hand.get("id"):
        return newest
    raise Overtaken(
        say("this was taken back already"), remedy=say("Bring it back, or leave it as it is.")
    )


def _take(shop: RecordShop, newest: Record[Any], reason: str, hand: Hand, seen: int) -> None:
    """The record and all that falls with it, in one go; ids that belong together."""
    whole = _with_id(hand)
    every = (newest, *hanging(shop, newest).falls)
    wanted = [
        ToAdd(
            fact=Withdrawn(of_kind=one.kind, reason=reason),
            id=numbered(whole, place)["id"],
            replaces=one.id,
        )
        for place, one in enumerate(every)
    ]
    _add_all(shop, wanted, hand, seen)


def bring_back(shop: RecordShop, record: str, **hand: Unpack[Hand]) -> Record[Any]:
    """Let a record count again as it was and when it was, with all that was taken back with it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        A record of a line that was taken back, or one that was corrected since: what it says then
        counts again in the place of the newest.
    **hand : Hand
        Who brings it back.

    Returns
    -------
    Record
        As it counts again.

    Raises
    ------
    Unknown
        There is no such record.
    NotYet
        It counts already, it is said anew instead, or what it belongs to was taken back.
    """
    return _looking_again(lambda: _brought(shop, record, hand))


def _brought(shop: RecordShop, record: str, hand: Hand) -> Record[Any]:
    seen = shop.newest()
    line = shop.history(record)
    newest, wanted = line[-1], next(one for one in line if one.id == record)
    if newest.id == hand.get("id"):
        return newest
    refuse_bringing(shop, wanted, newest)
    whole = _with_id(hand)
    back = [_as_it_was(shop, wanted, whole["id"], newest.id)]
    for place, other in enumerate(_taken_with(shop, newest), start=1):
        back.append(_as_it_was(shop, other, numbered(whole, place)["id"], other.id))
    return _add_all(shop, back, hand, seen)[0]


def _as_it_was(shop: RecordShop, record: Record[Any], id: str, replaces: str) -> ToAdd:
    """What a record says, at the moment it was first said: bringing it back observes nothing."""
    fact = said_by(shop, record)
    first = next(one for one in shop.history(record.id) if one.fact == fact)
    return ToAdd(fact=fact, id=id, replaces=replaces, observed_at=first.observed_at)


def _add_all(shop: RecordShop, wanted: list[ToAdd], hand: Hand, seen: int) -> list[Record[Any]]:
    return shop.add_all(
        wanted,
        by=hand["by"],
        device=hand.get("device", ""),
        observed_at=hand.get("observed_at"),
        newest=seen,
    )


def say_anew(
    shop: RecordShop, record: str, words: Mapping[str, str], **hand: Unpack[Hand]
) -> Record[Any]:
    """Correct the words of a note or the line below a photograph, which no other page does.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of its line.
    words : mapping of str to str
        By field; those that are not named stay.
    **hand : Hand
        Who corrects it.

    Returns
    -------
    Record
        The newest; the same again adds nothing.

    Raises
    ------
    Unknown
        There is no such record.
    NotYet
        It is corrected on another page, or was taken back.
    Unusable
        Nothing would be left of it.
    """
    newest: Record[Any] = shop.history(record)[-1]
    allowed = WORDS.get(newest.kind, ())
    if not allowed or set(words) - set(allowed):
        raise NotYet(
            say("this is not corrected here"),
            remedy=say("Open the page that shows it, or bring it back first."),
        )
    said = {name: text.strip() for name, text in words.items()}
    fact = replace(newest.fact, **said)
    if isinstance(fact, Note) and not (fact.text or fact.alarm or fact.setting or fact.file):
        raise Unusable(
            say("the note is empty"), remedy=say("Write one sentence, or take it back instead.")
        )
    return same_or_kept(shop, fact, newest, hand)


def _taken_with(shop: RecordShop, newest: Record[Any]) -> list[Record[Withdrawn]]:
    """What one deed took back together with a record, and has not been touched since."""
    if not isinstance(newest.fact, Withdrawn):
        return []
    return [one for one in shop.current(Withdrawn) if one.id.startswith(f"{newest.id}.")]


def _with_id(hand: Hand) -> Hand:
    whole = hand.copy()
    whole.setdefault("id", str(uuid4()))
    return whole
