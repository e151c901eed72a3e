"""Cleaning: shut until the place is kept as found; proved by readings, not by looks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, Unpack, cast

from retrue.cases.kept_case import line_of
from retrue.cases.strip.acceptance import MEGOHMS, megohm_of
from retrue.cases.strip.cleaning import cleaning_stands, plan_line
from retrue.cases.strip.gates import refuse_cleaning
from retrue.cases.strip.lines import CleaningStands
from retrue.kinds.library import Kind
from retrue.phases.strip.here import known_place, machine_at, refuse_fields, sent_as
from retrue.phases.strip.places import place_stands
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import Cleaned, CleanReading, Muck

When = Literal["before", "after", "after_running"]
ReadingSort = Literal["insulation", "winding", "tape", "wipe", "sludge", "other"]
Seen = Literal["", "clean", "grey", "dirty"]


def clean(
    shop: RecordShop,
    lot: str,
    machine: str,
    place: str,
    muck: str,
    kinds: Mapping[str, Kind],
    *,
    hours: float | None = None,
    waste_kg: float | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Cleaned]:
    """Keep that a place was cleaned of one sort of muck.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, place, muck : str
        Name or id; ids of the place and of the sort of muck.
    kinds : mapping of str to Kind
        The library.
    hours, waste_kg : float or None
        What it took and what came off.
    text : str
        One sentence.
    **hand : Hand
        Whose hand cleaned.

    Returns
    -------
    Record of Cleaned

    Raises
    ------
    NotYet
        The place is not kept as found yet: one problem for each open line.
    Unknown
        No such place, or no such sort of muck.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    known_place(kind, place)
    plan_line(kind, muck)
    fact = Cleaned(
        lot=spot.lot,
        machine=spot.machine,
        place=place,
        muck=cast(Muck, muck),
        hours=hours,
        waste_kg=waste_kg,
        text=text.strip(),
    )
    refuse_fields(fact)
    if sent_as(shop, Cleaned, hand) is None:
        refuse_cleaning(place_stands(shop, spot.lot, spot.machine, place, kinds))
    return shop.add(fact, **hand)


def clean_reading(
    shop: RecordShop,
    lot: str,
    machine: str,
    place: str,
    when: str,
    sort: str,
    kinds: Mapping[str, Kind],
    *,
    point: str = "",
    reading: float | None = None,
    unit: str = "",
    seen: str = "",
    air_c: float | None = None,
    humidity_percent: float | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[CleanReading]:
    """Keep a reading that cleaning is proved by.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, place : str
        Name or id; id of the place.
    when : str
        before, after or after_running.
    sort : str
        insulation (a power circuit to earth), winding (a motor to earth), tape, wipe, sludge or
        other.
    kinds : mapping of str to Kind
        The library.
    point : str
        Where exactly, in the same words before and after.
    reading : float or None
    unit : str
        In which the number was read; insulation never without.
    seen : str
        Of a wipe or tape: clean, grey, dirty.
    air_c, humidity_percent : float or None
        Of the room; two readings are compared on days alike only.
    text : str
    **hand : Hand
        Who read it.

    Returns
    -------
    Record of CleanReading

    Raises
    ------
    Unusable
        Nothing was read, or insulation stands there without a unit of resistance.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    known_place(kind, place)
    fact = CleanReading(
        lot=spot.lot, machine=spot.machine, place=place, when=cast(When, when),
        sort=cast(ReadingSort, sort), point=point.strip(), reading=reading, unit=unit.strip(),
        seen=cast(Seen, seen), air_c=air_c, humidity_percent=humidity_percent, text=text.strip(),
    )  # fmt: skip
    refuse_fields(fact)
    if sort in MEGOHMS:
        megohm_of(fact)
    return shop.add(fact, **hand)


def cleaning(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    mucks: tuple[str, ...] = (),
) -> CleaningStands:
    """The plan of cleaning, the readings, and whether they prove it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    mucks : tuple of str
        Sorts to be taken off; empty for all of the kind.

    Returns
    -------
    CleaningStands
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    kept = shop.current(CleanReading, lot=spot.lot, machine=spot.machine)
    kept.sort(key=lambda one: line_of(shop, one).first.seq)
    return cleaning_stands(kind, mucks or tuple(kind.mucks), [one.fact for one in kept])
