"""The first night and every evening: the ticks, and all places on one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any, Literal, Unpack, cast

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.strip.lines import FirstNight, TickLine
from retrue.cases.strip.ticks import ALLOWED, items_of, tick_lines
from retrue.kinds.library import Kind
from retrue.phases.strip.here import machine_at, sent_before
from retrue.phases.strip.places import places
from retrue.records.facts import Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import Ticked

LISTS = ("first_night", "evening", ALLOWED, "dies_first")
TickedList = Literal["first_night", "evening", "allowed", "dies_first"]
ONCE = ("first_night", "dies_first")  # a second tap adds nothing


def first_night(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> FirstNight:
    """The first night on one page, in the order of the evening.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    FirstNight
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    ticked = shop.current(Ticked, lot=spot.lot, machine=spot.machine)
    stands = places(shop, spot.lot, spot.machine, kinds)
    counts = ("shots", "wanted_shots", "wipes", "wanted_wipes")
    sums = {name: sum(getattr(one, name) for one in stands) for name in counts}
    return FirstNight(
        ticks=tick_lines(kind, "first_night", ticked),
        dies_first=tick_lines(kind, "dies_first", ticked),
        allowed=tick_lines(kind, ALLOWED, ticked),
        places=stands,
        may_clean=tuple(one.name for one in stands if one.may_clean),
        not_yet=tuple(one.name for one in stands if not one.may_clean),
        **sums,
    )


def allowed(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[TickLine, ...]:
    """What may be done at any hour, whatever else is open; with when it was done last."""
    spot, kind = machine_at(shop, lot, machine, kinds)
    return tick_lines(kind, ALLOWED, shop.current(Ticked, lot=spot.lot, machine=spot.machine))


def evening(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], day: str
) -> tuple[TickLine, ...]:
    """The five ticks of one evening.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    day : str
        ISO date; a tick counts for the day it was set on, by the device's claim.

    Returns
    -------
    tuple of TickLine
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    ticked = shop.current(Ticked, lot=spot.lot, machine=spot.machine, list="evening")
    return tick_lines(kind, "evening", [one for one in ticked if _on(one, day)])


def tick(
    shop: RecordShop,
    lot: str,
    machine: str,
    list: str,
    item: str,
    kinds: Mapping[str, Kind],
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Ticked]:
    """Keep one tick. No gate is asked: what is always allowed is never refused.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    list, item : str
        first_night, evening, allowed or dies_first; and the id of its item.
    kinds : mapping of str to Kind
        The library.
    text : str
        A word about it: the volts of the cell, where the tray stands.
    **hand : Hand
        Whose hand ticked.

    Returns
    -------
    Record of Ticked
        Of the first night and of what dies first a second tap is the first one again.

    Raises
    ------
    Unknown
        No such list or item.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    _known_item(kind, list, item)
    fact = Ticked(
        lot=spot.lot,
        machine=spot.machine,
        list=cast(TickedList, list),
        item=item,
        text=text.strip(),
    )
    same = {spec.name: getattr(fact, spec.name) for spec in fields(fact)}
    old = shop.current(Ticked, **same) if list in ONCE else []
    return sent_before(shop, fact, hand) or (old[-1] if old else shop.add(fact, **hand))


def untick(shop: RecordShop, record: str, **hand: Unpack[Hand]) -> Record[Withdrawn]:
    """Take a tick back: its item is not ticked any more, however often it was.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of its line.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn
        It stays readable and counts no more; taken back already, what did it is given again.

    Raises
    ------
    Unknown
        It is no tick.
    """
    line: list[Record[Any]] = shop.history(record)
    newest = line[-1]
    if not any(isinstance(one.fact, Ticked) for one in line):
        raise Unknown(say("{record} is no tick", record=record), remedy=say("Open the page again."))
    if isinstance(newest.fact, Withdrawn):
        return newest
    for other in _beside(shop, newest):
        shop.add(Withdrawn(of_kind=other.kind), replaces=other.id, **without_id(hand))
    return shop.add(Withdrawn(of_kind=newest.kind), replaces=newest.id, **hand)


def _beside(shop: RecordShop, tick: Record[Ticked]) -> list[Record[Ticked]]:
    """Other ticks of the same item: of an evening those of its day, of what may be done none."""
    same = {name: getattr(tick.fact, name) for name in ("lot", "machine", "list", "item")}
    others = [one for one in shop.current(Ticked, **same) if one.id != tick.id]
    if tick.fact.list == "evening":
        return [one for one in others if _on(one, day_of(tick))]
    return others if tick.fact.list in ONCE else []


def day_of(record: Record[Ticked]) -> str:
    """The day by the wall on which it was ticked, in ISO form; after midnight it is the next.

    Parameters
    ----------
    record : Record of Ticked

    Returns
    -------
    str
    """
    return record.observed_at.astimezone().date().isoformat()


def _on(record: Record[Ticked], day: str) -> bool:
    return day_of(record) == day


def _known_item(kind: Kind, list: str, item: str) -> None:
    if list not in LISTS:
        raise Unknown(
            say("there is no list {list}", list=repr(list)),
            remedy=say("It can be {named}.", named=", ".join(LISTS)),
        )
    known = items_of(kind, list)
    if item not in known:
        raise Unknown(
            say("{item} is no item of this list", item=repr(item)),
            remedy=nearest(item, known) or say("It can be {named}.", named=", ".join(known)),
        )
