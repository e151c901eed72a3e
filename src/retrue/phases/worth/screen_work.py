"""A catalogue worked on by several people and machines: parts are taken, done, kept, taken over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Literal, Unpack

from retrue.base.formatter import minute
from retrue.base.refusals import NotYet, Overtaken, Problem, Unknown
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.parts import Part, PartDone, parts_of
from retrue.cases.screen.screening import screening_key
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_ids import named, same_id, standing
from retrue.phases.worth.screening import Reading, catalogue_id, reading_in_english
from retrue.records.hand import Hand, without_id
from retrue.records.screening import PartScreened, Screening, Share
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop, ToAdd

SEED, WORLDS = 7, 2000
LEFT_ALONE = timedelta(minutes=10)  # after which a part may be taken over (judgement)
TRIES = 5  # of keeping a part while others take it over

State = Literal["on", "stopped"]


def begun_of(shop: RecordShop, catalogue: str) -> Record[Screening] | None:
    """The screening of a catalogue that stands; None: it was not begun.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Id of its first record.

    Returns
    -------
    Record of Screening or None
    """
    return standing(shop, Screening, catalogue)[1]


def begin_screening(
    shop: RecordShop,
    catalogue: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int | None = None,
    worlds: int | None = None,
    again: bool = False,
    **hand: Unpack[Hand],
) -> Record[Screening]:
    """Begin to screen a catalogue, or go on with what was begun.

    Parameters
    ----------
    shop : RecordShop
    catalogue : str
        Name or id.
    kinds : mapping of str to Kind
    seed, worlds : int, optional
        Of the sum; else as it was begun.
    again : bool
        Begin anew where something it rests on has changed; what was done before counts no more.
    **hand : Hand

    Returns
    -------
    Record of Screening
        Sent twice, or begun by two people at once, it is one.

    Raises
    ------
    Overtaken
        It was begun from something else: the columns, the terms, my shop, the library or the
        version of the program differ.
    """
    return begun_with_parts(shop, catalogue, kinds, seed, worlds, again, hand)[0]


def begun_with_parts(
    shop: RecordShop,
    catalogue: str,
    kinds: Mapping[str, Kind],
    seed: int | None,
    worlds: int | None,
    again: bool,
    hand: Hand,
) -> tuple[Record[Screening], tuple[Part, ...]]:
    """The screening as `begin_screening` begins it, and the parts it is done in."""
    home = catalogue_id(shop, catalogue)
    first, old = standing(shop, Screening, home)
    seed = seed if seed is not None else old.fact.seed if old else SEED
    worlds = worlds if worlds is not None else old.fact.worlds if old else WORLDS
    wanted, parts = planned(shop, home, kinds, seed=seed, worlds=worlds)
    if old is None:
        old = _added(shop, wanted, first, hand)
    if old.fact.key != wanted.key and not again:
        raise _other_key(old, wanted)
    return _put(shop, old, wanted, hand), parts


def planned(
    shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind], *, seed: int, worlds: int
) -> tuple[Screening, tuple[Part, ...]]:
    """A catalogue as it would be screened now, and its parts; the same in every language.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Id of its first record.
    kinds : mapping of str to Kind
    seed, worlds : int
        Of the sum.

    Returns
    -------
    (Screening, tuple of Part)
        Not kept yet; its ``key`` names all that the rows follow from.
    """
    reading = reading_in_english(shop, catalogue, kinds)
    key, parts = _cut(reading, seed, worlds)
    fact = Screening(catalogue=catalogue, key=key, seed=seed, worlds=worlds,
                     lot_count=len(reading.listing.lots), part_count=len(parts))  # fmt: skip
    return fact, parts


@lru_cache(maxsize=4)  # of some hundred lots each
def _cut(reading: Reading, seed: int, worlds: int) -> tuple[str, tuple[Part, ...]]:
    """The name of all that the rows follow from, and the parts."""
    with speaking(ENGLISH):
        key = screening_key(reading.listing, reading.kinds, seed=seed, worlds=worlds)
        return key, parts_of(reading.listing.lots, seed=seed, worlds=worlds)


def stop_screening(shop: RecordShop, catalogue: str, **hand: Unpack[Hand]) -> Record[Screening]:
    """Let nobody take another part of a catalogue; what is done is kept."""
    return _turn(shop, catalogue, "stopped", hand)


def go_on_screening(shop: RecordShop, catalogue: str, **hand: Unpack[Hand]) -> Record[Screening]:
    """Let parts of a catalogue be taken again."""
    return _turn(shop, catalogue, "on", hand)


def take_part(
    shop: RecordShop,
    begun: Screening,
    part: int,
    *,
    worker: str,
    now: datetime,
    left_alone: timedelta = LEFT_ALONE,
    **hand: Unpack[Hand],
) -> Record[Share]:
    """Take one part of a catalogue, so that nobody else works on it.

    Parameters
    ----------
    shop : RecordShop
    begun : Screening
        What is worked for.
    part : int
        Counted from 0.
    worker : str
        A name for this run on this computer.
    now : datetime
    left_alone : timedelta
        A part that somebody took so long ago may be taken over.
    **hand : Hand

    Returns
    -------
    Record of Share
        Taken twice by one run, it is one.

    Raises
    ------
    Overtaken
        Somebody else has it, or it is done; who, since when.
    """
    fact = Share(catalogue=begun.catalogue, key=begun.key, part=part, worker=worker,
                 who=hand["by"])  # fmt: skip
    first, old = standing(shop, Share, fact.catalogue, fact.key, part)
    if old is None:
        return shop.add(fact, **named(hand, first))
    if old.fact == fact:
        return old
    if not may_be_taken(old, now, left_alone):
        raise _somebody_has(old)
    return shop.add(fact, replaces=old.id, **without_id(hand))


def may_be_taken(share: Record[Share], now: datetime, left_alone: timedelta = LEFT_ALONE) -> bool:
    """Whether a part that somebody took is free again: left, or left alone for long."""
    if share.fact.state == "taken":
        return now - share.noted_at >= left_alone
    return share.fact.state == "left"


def keep_part(
    shop: RecordShop, begun: Screening, done: PartDone, **hand: Unpack[Hand]
) -> Record[PartScreened]:
    """Keep what a part says; whoever had it, it is done with.

    Parameters
    ----------
    shop : RecordShop
    begun : Screening
        What it was worked out for.
    done : PartDone
        Worked out in English.
    **hand : Hand

    Returns
    -------
    Record of PartScreened
        The same answer a second time, whoever brings it, is the first.

    Raises
    ------
    Overtaken
        Another answer is kept: two computers do not reckon alike.
    """
    id = same_id(PartScreened.KIND, begun.catalogue, begun.key, done.number)
    fact = PartScreened(catalogue=begun.catalogue, key=begun.key, part=done.number,
                        content=text_of(done))  # fmt: skip
    for _ in range(TRIES):
        kept = _kept_before(shop, id, done)
        if kept is not None:
            return kept
        try:
            return _kept_with_share(shop, fact, id, hand)
        except Overtaken:
            continue
    raise _unlike(done.number)


def leave_part(
    shop: RecordShop, begun: Screening, part: int, *, worker: str, **hand: Unpack[Hand]
) -> Record[Share] | None:
    """Give back a part that was taken and not done, so that anybody may take it.

    Parameters
    ----------
    shop : RecordShop
    begun : Screening
        What it was taken for.
    part : int
    worker : str
        Whose it was.
    **hand : Hand

    Returns
    -------
    Record of Share or None
        None: it was not this run's any more.
    """
    old = standing(shop, Share, begun.catalogue, begun.key, part)[1]
    if old is None or old.fact.worker != worker or old.fact.state != "taken":
        return None
    try:
        return shop.add(replace(old.fact, state="left"), replaces=old.id, **without_id(hand))
    except Overtaken:  # somebody took it over in the moment between
        return None


def _begun(shop: RecordShop, catalogue: str) -> Record[Screening]:
    begun = begun_of(shop, catalogue_id(shop, catalogue))
    if begun is None:
        raise NotYet(
            say("this catalogue is not being screened"), remedy=say("Begin its screening first.")
        )
    return begun


def _added(shop: RecordShop, fact: Screening, id: str, hand: Hand) -> Record[Screening]:
    try:
        return shop.add(fact, **named(hand, id))
    except Overtaken:  # somebody else began it in the moment between
        kept: Record[Screening] = shop.history(id)[-1]
        return kept


def _put(
    shop: RecordShop, old: Record[Screening], fact: Screening, hand: Hand
) -> Record[Screening]:
    """The screening as it is wanted in the place of what stands; two who want the same are one."""
    try:
        return same_or_kept(shop, fact, old, without_id(hand))
    except Overtaken:
        newest: Record[Screening] = shop.history(old.id)[-1]
        if newest.fact != fact:
            raise
        return newest


def _turn(shop: RecordShop, catalogue: str, state: State, hand: Hand) -> Record[Screening]:
    old = _begun(shop, catalogue)
    return _put(shop, old, replace(old.fact, state=state), hand)


def _kept_before(shop: RecordShop, id: str, done: PartDone) -> Record[PartScreened] | None:
    try:
        kept = shop.get(PartScreened, id)
    except Unknown:
        return None
    if done_of(kept.fact.content) != done:
        raise _unlike(done.number)
    return kept


def _kept_with_share(
    shop: RecordShop, fact: PartScreened, id: str, hand: Hand
) -> Record[PartScreened]:
    first, old = standing(shop, Share, fact.catalogue, fact.key, fact.part)
    share = ToAdd(fact=_done_share(fact, old, hand), id=None if old else first,
                  replaces=old.id if old else None)  # fmt: skip
    kept: list[Record[PartScreened]] = shop.add_all(
        [ToAdd(fact=fact, id=id), share], by=hand["by"], device=hand.get("device", ""),
        observed_at=hand.get("observed_at"),
    )  # fmt: skip
    return kept[0]


def _done_share(fact: PartScreened, old: Record[Share] | None, hand: Hand) -> Share:
    if old is not None:
        return replace(old.fact, state="done")
    return Share(catalogue=fact.catalogue, key=fact.key, part=fact.part, worker=hand["by"],
                 who=hand["by"], state="done")  # fmt: skip


def _other_key(old: Record[Screening], wanted: Screening) -> Overtaken:
    pairs = {"seed": (wanted.seed, old.fact.seed), "worlds": (wanted.worlds, old.fact.worlds)}
    return Overtaken(
        say("{who} began to screen this catalogue from something else", who=old.by),
        remedy=say(
            "The columns, the terms, my shop, the library or the version of the program differ: "
            "begin anew, or go on where it was begun."
        ),
        problems=tuple(
            Problem(name, say("is {now}, and was {then} when it was begun", now=now, then=then))
            for name, (now, then) in pairs.items()
            if now != then
        ),
    )


def _somebody_has(share: Record[Share]) -> Overtaken:
    since = minute(share.noted_at.astimezone())
    if share.fact.state == "done":
        what = say("{who} has done this part, {since}", who=share.fact.who, since=since)
    else:
        what = say("{who} has had this part since {since}", who=share.fact.who, since=since)
    return Overtaken(what, remedy=say("Take another part; one that is left alone becomes free."))


def _unlike(part: int) -> Overtaken:
    return Overtaken(
        say("part {number} was worked out otherwise on another computer", number=part + 1),
        remedy=say("Bring all computers to the same version of the program, then begin anew."),
    )
