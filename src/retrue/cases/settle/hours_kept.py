"""What own hours are put together from, read from the shop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from retrue.base.refusals import Unknown
from retrue.cases.settle.evening import Guessed, Trace, evenings
from retrue.cases.settle.evening_clock import Wall
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.cases.settle.evening_shown import named
from retrue.cases.settle.evening_traces import OURS, SORTS, in_hand_since, traces_of
from retrue.cases.settle.hour_clock import stretches
from retrue.cases.settle.hours import HoursKept, spoken_for, still_asked
from retrue.cases.spot import first_id
from retrue.records.facts import Lot, Machine, Outcome
from retrue.records.fixing import CardMarked
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.moving import Arrived
from retrue.records.seeking import Act
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import Cleaned

DAY = timedelta(days=1)


def hours_kept(shop: RecordShop, wall: Wall, *, now: datetime, rules: Rules = RULES) -> HoursKept:
    """Everything that tells own hours, with the names of machines and lots.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    wall : callable
    now : datetime
    rules : Rules

    Returns
    -------
    HoursKept
    """
    spent: list[Record[Any]] = [one for one in shop.current(CardMarked) if one.fact.hours]
    spent += [one for one in shop.current(Act) if one.fact.hours]
    spent += [one for one in shop.current(Cleaned) if one.fact.hours]
    names = {first_id(shop, one): one.fact.name for one in shop.current(Lot)}
    names |= {first_id(shop, one): one.fact.name for one in shop.current(Machine)}
    return HoursKept(
        told=tuple(shop.current(HoursTold)),
        stretches=stretches(shop.current(ClockRung), wall, now=now, rules=rules),
        spent=tuple(spent),
        names=names,
    )


def told_lately(
    seen: Iterable[tuple[datetime, Record[Any]]], wall: Wall, *, now: datetime
) -> HoursKept:
    """What was answered and clocked, of what was seen lately.

    Parameters
    ----------
    seen : iterable of (datetime, Record)
    wall : callable
    now : datetime

    Returns
    -------
    HoursKept
        Without what was spent with cards, and without names.
    """
    records = [record for _, record in seen]
    rung = [one for one in records if isinstance(one.fact, ClockRung)]
    return HoursKept(
        told=tuple(one for one in records if isinstance(one.fact, HoursTold)),
        stretches=stretches(rung, wall, now=now),
    )


def traces_kept(
    shop: RecordShop, seen: Iterable[tuple[datetime, Record[Any]]], wall: Wall
) -> list[Trace]:
    """The traces of what was seen; the shop is asked what is in hand.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    seen : iterable of (datetime, Record)
        From a day before the first evening that is asked about on: one that began before it is
        left out whole.
    wall : callable

    Returns
    -------
    list of Trace
    """
    since: dict[str, datetime | None] = {}
    every: dict[str, list[Record[Outcome]]] = {}
    for one in shop.current(Outcome):
        every.setdefault(one.fact.lot, []).append(one)

    def in_hand(lot: str) -> datetime | None:
        if lot not in since:
            outcomes = every.get(lot, [])
            since[lot] = in_hand_since(lot, outcomes, _first_of(shop, lot, outcomes), wall)
        return since[lot]

    rows = list(seen)
    return traces_of(rows, wall, in_hand=in_hand, sets=_sets(shop, rows))


def guessed(
    shop: RecordShop,
    kept: HoursKept,
    traces: Iterable[Trace],
    wall: Wall,
    *,
    since: datetime,
    now: datetime,
) -> Guessed:
    """The evenings that are still to be asked about.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kept : HoursKept
    traces : iterable of Trace
        Those after now are left out.
    wall : callable
    since, now : datetime

    Returns
    -------
    Guessed
        With the names of their machines.
    """
    traces = [one for one in traces if one.at <= now]
    found = evenings(traces, spoken_for=spoken_for(kept, wall), now=now)
    asked = [one for one in still_asked(found.evenings, kept) if one.begins >= since]
    names = dict(kept.names) or names_of(shop, asked)
    return Guessed(evenings=tuple(named(one, names) for one in asked), not_asked=found.not_asked)


def names_of(shop: RecordShop, asked: Iterable[Any]) -> Mapping[str, str]:
    """The names of the machines and lots of some evenings.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    asked : iterable of Evening

    Returns
    -------
    mapping of key to name
    """
    keys = {key for one in asked for share in one.shares for key in (share.lot, share.machine)}
    made = {}
    for key in keys - {None}:
        try:
            fact = shop.history(key)[-1].fact
        except Unknown:
            continue
        made[key] = getattr(fact, "name", "")
    return made


def kinds_seen() -> set[type[Any]]:
    """The kinds of fact that traces and answers are among.

    Returns
    -------
    set of type

    Examples
    --------
    >>> HoursTold in kinds_seen(), CardMarked in kinds_seen(), Lot in kinds_seen()
    (True, True, False)
    """
    return {*SORTS, HoursTold, ClockRung}


def _first_of(shop: RecordShop, lot: str, outcomes: Iterable[Record[Outcome]]) -> list[Record[Any]]:
    """What only an owner keeps of a lot; the surest ends the search."""
    won = any(one.fact.result == "won" for one in outcomes)
    made: list[Record[Any]] = []
    for kind in OURS:
        made += shop.current(kind, lot=lot)
        if won or (made and kind is Arrived):
            break
    return made


def _sets(shop: RecordShop, seen: Iterable[tuple[datetime, Record[Any]]]) -> dict[str, ReadingSet]:
    wanted = {one.fact.set for _, one in seen if isinstance(one.fact, Reading)}
    if not wanted:
        return {}
    counts = {one.id: one.fact for one in shop.current(ReadingSet)}
    made = {key: counts[key] for key in wanted if key in counts}
    for key in wanted - made.keys():  # corrected or taken back since
        try:
            made[key] = shop.get(ReadingSet, key).fact
        except Unknown:
            continue
    return made
