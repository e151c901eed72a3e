"""Cards marked: begun, done, stuck, something found, not now, open again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Literal, Unpack, get_args

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.fix.kept import MachineKept
from retrue.cases.fix.lines import Card
from retrue.cases.fix.looked_again import look_again
from retrue.cases.fix.looks import still_open
from retrue.cases.fix.marks import act_of, refuse_again, refuse_done, refuse_unseen
from retrue.cases.fix.marks import what_next as next_of
from retrue.cases.fix.needed import done_jobs
from retrue.cases.fix.off_list import card_off_list
from retrue.cases.fix.states import Marked
from retrue.cases.fix.states import marked as marks_of
from retrue.cases.wake.replaced import signatures_fallen
from retrue.kinds.library import Kind
from retrue.phases.fix.here import card_of, cards_at, machine_at
from retrue.records.checking import problems_of
from retrue.records.facts import Note, Withdrawn
from retrue.records.fixing import CardMarked
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act
from retrue.records.shop import Record, RecordShop

How = Literal["begun", "done", "stuck", "found", "not_now", "open_again"]
ACT_END, NOTE_END = ".act", ".note"  # of the id of what is kept with a mark


def mark(
    shop: RecordShop,
    lot: str,
    machine: str,
    card: str,
    how: How,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    hours: float | None = None,
    left_hours: float | None = None,
    until_on: str | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[CardMarked]:
    """Keep how a card stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    card : str
        Key of one of its cards.
    how : str
        begun, done, stuck, found, not_now, open_again.
    kinds : mapping of str to Kind
        The library.
    on : date
        The day it was worked.
    hours, left_hours : float, optional
        Spent this time; still to do.
    until_on : str, optional
        Of not_now: not before that day.
    text : str
        What was seen; what was found.
    **hand : Hand
        Whose hand marks it.

    Returns
    -------
    Record of CardMarked
        With a fault or a job done its act is kept as well; what was found is kept as a note; a
        card opened again takes its act back.

    Raises
    ------
    Unknown
        No such lot, machine or card.
    NotYet
        First power, which is signed stage by stage; a part that is out or not judged.
    Unusable
        A field cannot be; each is named.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    fact = CardMarked(
        lot=spot.lot, machine=spot.machine, card=card, how=how, marked_on=on.isoformat(),
        hours=hours, left_hours=left_hours, until_on=until_on, text=text.strip(),
    )  # fmt: skip
    _refuse_fields(fact)
    sent = _sent(shop, fact, hand)
    if sent is not None:
        return sent
    kept, need, cards = cards_at(shop, spot, kinds, None, on)
    marked = card_of(cards, card, card_off_list(kept, need.machine, card))
    refuse_again(marked, how, marks_of(need.machine).get(card, Marked()).how)
    if how == "done":
        refuse_done(marked, kind, done_jobs(need.machine))
        refuse_unseen(still_open(marked, need))
    record = shop.add(fact, **hand)
    _beside(shop, record, marked, need.machine, hand)
    return record


def what_next(
    shop: RecordShop,
    record: Record[CardMarked],
    kinds: Mapping[str, Kind],
    *,
    on: date | None = None,
) -> tuple[str, ...]:
    """What to do next after a mark, in sentences: how to get a stuck bolt out, what is free now.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record of CardMarked
    kinds : mapping of str to Kind
    on : date, optional

    Returns
    -------
    tuple of str
    """
    fact = record.fact
    spot, _ = machine_at(shop, fact.lot, fact.machine, kinds)
    _, need, cards = cards_at(shop, spot, kinds, None, on)
    fault = fact.card.partition(":")[0]
    again = look_again(need.kind, need.machine.state, fault) if fact.how == "done" else ""
    card = next((one for one in cards.cards if one.key == fact.card), None)
    told = next_of(card, fact.how, cards) if card is not None else ()
    first = (say("It is {why}.", why=again),) if again else ()
    return (*first, *told)


def correct_mark(
    shop: RecordShop, record: str, fact: CardMarked, **hand: Unpack[Hand]
) -> Record[CardMarked]:
    """Say anew what was marked; lot, machine, card and what it says of its state stay.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of its line.
    fact : CardMarked
        With the hours, the day and the words as they should be.
    **hand : Hand
        Who corrects it.

    Returns
    -------
    Record of CardMarked

    Raises
    ------
    Unknown
        No such mark, or it was taken back.
    Unusable
        It would be another card or another state: take it back instead.
    """
    newest = _newest(shop, record)
    was = newest.fact
    if (fact.card, fact.how) != (was.card, was.how):
        raise Unusable(
            say("this would be another mark"),
            remedy=say("Take the old one back, then mark the card."),
            problems=(Problem("card", say("is {card}", card=was.card)),),
        )
    _refuse_fields(fact)
    return shop.add(fact, replaces=newest.id, **hand)


def take_back_mark(
    shop: RecordShop, record: str, *, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back a mark with the act and the note that were kept with it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of its line.
    reason : str
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn

    Raises
    ------
    Unknown
        No such mark, or it was taken back already.
    """
    newest = _newest(shop, record)
    first = shop.history(newest.id)[0]
    gone = shop.add(Withdrawn(of_kind=newest.kind, reason=reason.strip()), replaces=newest.id,
                    **hand)  # fmt: skip
    for one in _kept_with(shop, newest.fact, first.id):
        shop.add(Withdrawn(of_kind=one.kind, reason=reason.strip()), replaces=one.id,
                 **without_id(hand))  # fmt: skip
    return gone


def _beside(
    shop: RecordShop, record: Record[CardMarked], card: Card, machine: MachineKept, hand: Hand
) -> None:
    """What is kept with a mark: its act, its note; what an opened card takes back."""
    fact = record.fact
    if fact.how == "done":
        act = act_of(card, fact)
        if act is not None:
            kept = shop.add(act, **_named(hand, record.id + ACT_END))
            for one in signatures_fallen(shop, kept, fact.lot, fact.machine, machine.kind):
                gone = Withdrawn(of_kind=one.kind, reason=say("motor, drive or cable was changed"))
                shop.add(gone, replaces=one.id, **without_id(hand))
    elif fact.how == "found" and fact.text:
        note = Note(text=fact.text, lot=fact.lot, machine=fact.machine)
        shop.add(note, **_named(hand, record.id + NOTE_END))
    elif fact.how == "open_again":
        _take_acts_back(shop, fact, card, hand)


def _take_acts_back(shop: RecordShop, fact: CardMarked, card: Card, hand: Hand) -> None:
    """The newest act that a card stands for counts no more."""
    acts = [
        one
        for one in shop.current(Act, lot=fact.lot, machine=fact.machine)
        if (card.job and one.fact.job == card.job)
        or (card.way and one.fact.fault in card.faults and one.fact.way == card.way)
    ]
    for one in acts[-1:]:
        gone = Withdrawn(of_kind=one.kind, reason=fact.text or say("the card was opened again"))
        shop.add(gone, replaces=one.id, **without_id(hand))


def _kept_with(shop: RecordShop, fact: CardMarked, mark_id: str) -> list[Record[Any]]:
    here = {"lot": fact.lot, "machine": fact.machine}
    kept: list[Record[Any]] = [*shop.current(Act, **here), *shop.current(Note, **here)]
    with_it = (mark_id + ACT_END, mark_id + NOTE_END)
    return [one for one in kept if shop.history(one.id)[0].id in with_it]


def _newest(shop: RecordShop, record: str) -> Record[CardMarked]:
    newest = shop.history(record)[-1]
    if not isinstance(newest.fact, CardMarked):
        raise Unknown(
            say("{record} is no mark of a card that still counts", record=record),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    return newest


def _sent(shop: RecordShop, fact: CardMarked, hand: Hand) -> Record[CardMarked] | None:
    """The record that this very sending was kept as."""
    try:
        kept = shop.get(CardMarked, hand["id"]) if "id" in hand else None
    except Unknown:
        return None
    return kept if kept is not None and kept.fact == fact else None


def _refuse_fields(fact: CardMarked) -> None:
    problems = list(problems_of(fact))
    if fact.how not in get_args(How):
        problems.append(Problem("how", say("is {how}", how=repr(fact.how))))
    if problems:
        raise Unusable(
            say("this cannot be kept as it stands"),
            remedy=say("Mend what is named."),
            problems=tuple(problems),
        )


def _named(hand: Hand, id: str) -> Hand:
    rest = without_id(hand)
    rest["id"] = id
    return rest
