"""Own hours told: a guessed evening answered in one tap, hours typed, an answer taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any, Unpack

from retrue.base.refusals import Overtaken, Unknown
from retrue.base.say import say
from retrue.cases.settle.evening import Evening
from retrue.cases.settle.evening_clock import Wall
from retrue.cases.settle.hour_answers import How, answered_again, answers
from retrue.cases.settle.hour_doubts import from_times, refuse_day, refuse_told
from retrue.cases.settle.hour_typed import typed_hours
from retrue.cases.settle.hours import HoursKept, as_known, person
from retrue.cases.settle.hours_kept import hours_kept
from retrue.cases.spot import find, find_lot, first_id
from retrue.kinds.library import Kind
from retrue.phases.settle.hours import open_evenings, this_wall
from retrue.records.facts import Machine, Withdrawn
from retrue.records.hand import Hand, numbered
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import Record, RecordShop, ToAdd

FEWEST_SIGNS = 4  # of a key that is typed


def answer(
    shop: RecordShop,
    key: str,
    how: How,
    *,
    now: datetime,
    until: datetime | None = None,
    hours: float | None = None,
    text: str = "",
    wall: Wall = this_wall,
    **hand: Unpack[Hand],
) -> list[Record[HoursTold]]:
    """Keep the answer to a guessed evening.

    Parameters
    ----------
    shop : RecordShop
    key : str
        Of the evening; its first four signs are enough.
    how : str
        yes, less, more, not_mine.
    now : datetime
    until : datetime, optional
        When the evening ended as it was asked: what came later is asked about by itself.
    hours : float, optional
        Another figure; None: the guess, half an hour less, half an hour more.
    text : str
    wall : callable
    **hand : Hand
        Whose hand answers. The same id again gives what was kept.

    Returns
    -------
    list of Record of HoursTold
        One for each machine and card; all of them or none. An evening that was answered before
        is answered otherwise: less and more go on from what stands.

    Raises
    ------
    Overtaken
        That evening is not asked about any more.
    Unusable
        The figure is none.
    """
    sent = _sent(shop, hand)
    if sent:
        return sent
    every = HoursKept(told=tuple(shop.current(HoursTold)))
    told = [one for one in every.told if _is(one.fact.evening, key)]
    if told:
        facts, gone = answered_again(told, how, hours=hours), [one.id for one in told]
        refuse_day(facts, person(told[0]), every, replaces=gone)
        return _keep(shop, facts, hand, replaces=gone)
    asked = _asked(shop, key, now=until or now, wall=wall)
    facts = answers(asked, how, by=hand["by"], hours=hours, text=text)
    refuse_day(facts, asked.worker, every)
    return _keep(shop, facts, hand)


def tell_hours(
    shop: RecordShop,
    fact: HoursTold,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    replaces: str | None = None,
    wall: Wall = this_wall,
    **hand: Unpack[Hand],
) -> Record[HoursTold]:
    """Keep hours that somebody types.

    Parameters
    ----------
    shop : RecordShop
    fact : HoursTold
        With lot and machine by name or id.
    kinds : mapping of str to Kind
    now : datetime
    replaces : str, optional
        The record they correct.
    wall : callable
    **hand : Hand

    Returns
    -------
    Record of HoursTold

    Raises
    ------
    Unusable
        Hours that cannot be, or over others of the same person; what it runs into is named, and
        nothing is kept.
    Unknown
        No such lot or machine.
    """
    sent = _sent(shop, hand)
    if sent:
        return sent[0]
    kept = hours_kept(shop, wall, now=now)
    placed = _placed(shop, fact, kinds)
    if placed.worker:
        placed = replace(placed, worker=as_known(placed.worker, hand["by"], kept))
    who = placed.worker or hand["by"]
    refuse_told(placed, who, kept, wall, now=now, replaces=replaces or "")
    return shop.add(placed, replaces=replaces, **hand)


def hours_typed(
    shop: RecordShop, words: str, *, on: date, lot: str | None = None, worker: str = ""
) -> HoursTold:
    """Read hours as they are written: "2.5 h lathe".

    Parameters
    ----------
    shop : RecordShop
        It is only read: which machines there are.
    words : str
    on : date
        The day they were worked.
    lot : str, optional
        Where its machine is; None: the only lot with such a machine.
    worker : str

    Returns
    -------
    HoursTold
        Not kept yet.

    Raises
    ------
    Unusable
        No hours are written, or no machine is called so.
    Unknown
        No such lot, or several have a machine of that name.
    """
    home = None if lot is None else find_lot(shop, lot)[0]
    here = shop.current(Machine) if home is None else shop.current(Machine, lot=home)
    read = typed_hours(words, [one.fact.name for one in here])
    mine = [one for one in here if one.fact.name == read.machine]
    one = _only(mine, read.machine) if mine else None
    timed = from_times(read.begin, read.end) if read.begin else None
    return HoursTold(
        lot=one.fact.lot if one else home, machine=first_id(shop, one) if one else None,
        worked_on=on.isoformat(), begin=read.begin, end=read.end, worker=worker, text=read.text,
        hours=read.hours if read.hours is not None else timed or 0.0,
    )  # fmt: skip


def take_back_hours(shop: RecordShop, told: str, **hand: Unpack[Hand]) -> list[Record[Any]]:
    """Take told hours back, with all that was kept by the same answer; or a start or a stop.

    Parameters
    ----------
    shop : RecordShop
    told : str
        Id of a record.
    **hand : Hand

    Returns
    -------
    list of Record of Withdrawn
        The evening is asked about again.

    Raises
    ------
    Unknown
        No such hours.
    """
    every: list[Record[Any]] = [*shop.current(HoursTold), *shop.current(ClockRung)]
    mine = [one for one in every if one.id == told]
    if not mine:
        raise Unknown(
            say("no hours are told under {id}", id=told),
            remedy=say("Open own hours again; perhaps they were taken back already."),
        )
    key = getattr(mine[0].fact, "evening", "")
    if key:
        mine = [one for one in every if getattr(one.fact, "evening", "") == key]
    gone = [ToAdd(fact=Withdrawn(of_kind=one.kind), replaces=one.id) for one in mine]
    return _add_all(shop, gone, hand)


def _sent(shop: RecordShop, hand: Hand) -> list[Record[HoursTold]]:
    """What was kept under this id already."""
    if not hand.get("id"):
        return []
    found: list[Record[HoursTold]] = []
    try:
        while True:
            found.append(shop.get(HoursTold, numbered(hand, len(found))["id"]))
    except Unknown:
        return found


def _is(key: str, said: str) -> bool:
    return key == said or (len(said) >= FEWEST_SIGNS and key.startswith(said))


def _asked(shop: RecordShop, key: str, *, now: datetime, wall: Wall) -> Evening:
    kept = hours_kept(shop, wall, now=now)
    for one in open_evenings(shop, kept, wall, now=now).evenings:
        if _is(one.key, key):
            return one
    raise Overtaken(
        say("this evening is not asked about any more"),
        remedy=say("Open own hours again: what came in since may have moved it."),
    )


def _keep(
    shop: RecordShop,
    facts: Sequence[HoursTold],
    hand: Hand,
    replaces: Sequence[str] = (),
) -> list[Record[HoursTold]]:
    wanted = [
        ToAdd(fact=fact, id=numbered(hand, n).get("id"), replaces=replaces[n] if replaces else None)
        for n, fact in enumerate(facts)
    ]
    return _add_all(shop, wanted, hand)


def _add_all(shop: RecordShop, wanted: Sequence[ToAdd], hand: Hand) -> list[Record[Any]]:
    return shop.add_all(
        wanted,
        by=hand["by"],
        device=hand.get("device", ""),
        observed_at=hand.get("observed_at"),
    )


def _placed(shop: RecordShop, fact: HoursTold, kinds: Mapping[str, Kind]) -> HoursTold:
    """The same with ids for names."""
    if fact.lot is None:
        return fact
    if fact.machine is None:
        return replace(fact, lot=find_lot(shop, fact.lot)[0])
    spot = find(shop, fact.lot, fact.machine, kinds)
    return replace(fact, lot=spot.lot, machine=spot.machine)


def _only(mine: Sequence[Record[Machine]], name: str) -> Record[Machine]:
    if len(mine) > 1:
        raise Unknown(
            say("{count} machines are called {name}", count=len(mine), name=name),
            remedy=say("Name the lot as well."),
        )
    return mine[0]
