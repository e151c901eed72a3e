"""Arrival: photographs on the truck and on the floor beside the seller's, and the damage note."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.move.damage import damage_dates
from retrue.cases.move.steps import SIDES
from retrue.cases.spot import find
from retrue.kinds.library import Kind
from retrue.phases.move.views import Arrival, SideShots
from retrue.records.facts import File
from retrue.records.hand import Hand
from retrue.records.moving import Arrived
from retrue.records.shop import Record, RecordShop

SPOTS = ("truck", "floor")


def keep_side(
    shop: RecordShop,
    lot: str,
    machine: str,
    content: bytes,
    name: str,
    prove: Callable[[bytes, str], Any],
    kinds: Mapping[str, Kind],
    *,
    spot: str,
    side: str,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep a photograph of one side, on the truck or on the floor.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    content : bytes
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are.
    kinds : mapping of str to Kind
        The library.
    spot : str
        truck or floor.
    side : str
        front, right, back, left or feet.
    whole : bool
        False: scaled before it was sent.

    Returns
    -------
    Record of File
    """
    place = find(shop, lot, machine, kinds)
    _known(spot, SPOTS, "spot")
    _known(side, tuple(SIDES), "side")
    proved = prove(content, name)
    fact = File(
        sha256=shop.keep_file(content), name=name, media_type=proved.media_type,
        size_bytes=len(content), lot=place.lot, machine=place.machine, place=spot, shot=side,
        taken=proved.taken, whole=whole,
    )  # fmt: skip
    return shop.add(fact, **hand)


def _known(word: str, known: tuple[str, ...], field: str) -> None:
    if word not in known:
        what = say("{word} is none of them", word=word)
        remedy = say("Choose one of: {named}.", named=", ".join(known))
        raise Unusable(what, remedy=remedy, problems=(Problem(field, what, remedy),))


def arrived(
    shop: RecordShop,
    lot: str,
    machine: str,
    fact: Arrived,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Arrived]:
    """Keep how it came; a later word takes the place of an earlier one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    fact : Arrived
        Its lot and machine are filled in here.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of Arrived
    """
    place = find(shop, lot, machine, kinds)
    placed = replace(fact, lot=place.lot, machine=place.machine)
    old = shop.current(Arrived, machine=place.machine)
    if old and old[-1].fact == placed:
        return old[-1]
    return shop.add(placed, replaces=old[-1].id if old else None, **hand)


def arrival(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], today: date
) -> Arrival:
    """How it came, as it stands on a day.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    today : date

    Returns
    -------
    Arrival
    """
    place = find(shop, lot, machine, kinds)
    files = shop.current(File, lot=place.lot)
    mine = [one for one in files if one.fact.machine == place.machine]
    records = shop.current(Arrived, machine=place.machine)
    record = records[-1] if records else None
    fact = record.fact if record else None
    broken = fact is not None and fact.damage in ("visible", "hidden")
    dates = damage_dates(fact) if fact is not None and broken else None
    sellers = [one.id for one in files if one.fact.place is None and _shows(one, place.machine)]
    sides = tuple(
        SideShots(side, say(name), _of(mine, "truck", side), _of(mine, "floor", side))
        for side, name in SIDES.items()
    )
    left = (dates.write_by - today).days if dates else None
    return Arrival(place.name, place.lot_name, record, sides, tuple(sellers), dates, left)


def damage_pictures(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[Record[File], ...]:
    """The photographs of the arrival, as the note to the carrier lists them.

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
    tuple of Record of File
        Oldest first.
    """
    place = find(shop, lot, machine, kinds)
    files = shop.current(File, lot=place.lot, machine=place.machine)
    return tuple(one for one in files if one.fact.place in SPOTS)


def _shows(one: Record[File], machine: str) -> bool:
    """Whether a photograph of the listing may show this machine."""
    is_picture = one.fact.media_type.startswith("image/")
    return is_picture and one.fact.machine in (None, machine)


def _of(files: list[Record[File]], spot: str, side: str) -> tuple[str, ...]:
    return tuple(one.id for one in files if one.fact.place == spot and one.fact.shot == side)
