"""What is stamped on a machine: typed once, beside its photograph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Unpack

from retrue.base import formatter
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.known import plate_doubts
from retrue.kinds.library import Kind, PlateEntry
from retrue.phases.worth.lots import LotView, view_lot
from retrue.records.facts import Machine, Plate
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop

WEIGHT = "N03"


@dataclass(frozen=True, slots=True)
class PlateLine:
    """One stamped value of a machine; ``doubt`` is a plain sentence where it looks odd."""

    entry: PlateEntry
    kept: Record[Plate] | None
    doubt: str = ""


def plate_sheet(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> list[PlateLine]:
    """All values that may be stamped on a machine, with those typed so far."""
    key, kind = _machine(view_lot(shop, lot), machine, kinds)
    kept = {record.fact.entry: record for record in shop.current(Plate, machine=key)}
    return [
        PlateLine(entry, kept.get(id), _doubt(entry, kept[id].fact.value) if id in kept else "")
        for id, entry in kind.plate.items()
    ]


def keep_plate(
    shop: RecordShop,
    lot: str,
    machine: str,
    entry: str,
    value: str,
    kinds: Mapping[str, Kind],
    *,
    picture: str | None = None,
    **hand: Unpack[Hand],
) -> PlateLine:
    """Keep one stamped value; an odd one is kept too, with a doubt, never refused.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    entry : str
        N01 ...
    value : str
        As stamped, in the entry's unit.
    kinds : mapping of str to Kind
        The library.
    picture : str or None
        The photograph it was read from.
    **hand : Hand
        Who reads it.

    Returns
    -------
    PlateLine
        A weight also becomes the machine's mass, where nobody has said one.

    Raises
    ------
    Unusable
        The kind has no such entry, or the value is empty.
    """
    view = view_lot(shop, lot)
    key, kind = _machine(view, machine, kinds)
    fact = Plate(machine=key, entry=entry, value=value.strip(), picture=picture)
    doubts = [Problem(d.field, d.what, d.remedy) for d in plate_doubts(fact, kind)]
    if doubts:
        raise Unusable(
            say("this cannot be kept as a stamped value"),
            remedy=say("Mend what is named."),
            problems=tuple(doubts),
        )
    old = shop.current(Plate, machine=key, entry=entry)
    if old and old[-1].fact == fact:
        kept = old[-1]
    else:
        kept = shop.add(fact, replaces=old[-1].id if old else None, **hand)
    _weigh(shop, view, kept, hand)
    return PlateLine(kind.plate[entry], kept, _doubt(kind.plate[entry], fact.value))


def _machine(view: LotView, machine: str, kinds: Mapping[str, Kind]) -> tuple[str, Kind]:
    key = view.machine_id(machine)
    return key, next(kinds[record.fact.kind] for at, record in view.machines if at == key)


def _weigh(shop: RecordShop, view: LotView, kept: Record[Plate], hand: Hand) -> None:
    mass = _number(kept.fact.value)
    record = next(record for at, record in view.machines if at == kept.fact.machine)
    if kept.fact.entry != WEIGHT or not mass or record.fact.mass_kg is not None:
        return
    heavier: Machine = replace(record.fact, mass_kg=mass)
    shop.add(heavier, replaces=record.id, **without_id(hand))


def _doubt(entry: PlateEntry, value: str) -> str:
    if entry.low is None or entry.high is None:
        return ""
    read = _number(value)
    if read is None:
        return say("kept as typed; a number was expected")
    if entry.low <= read <= entry.high:
        return ""
    usual = formatter.span(entry.low, entry.high, 0 if entry.high >= 10 else 2)
    return say(
        "kept as typed; usual is {span} {unit}: look again", span=usual, unit=entry.unit
    ).replace("  ", " ")


def _number(value: str) -> float | None:
    """One comma or one point is the decimal mark; thin spaces and apostrophes may group."""
    bare = value.strip()
    for sign in (" ", "\u2009", "\u202f", "\u00a0", "'", "\u2019"):
        bare = bare.replace(sign, "")
    bare = bare.replace(",", ".") if bare.count(",") == 1 and "." not in bare else bare
    plain = bare.replace(".", "", 1)
    return float(bare) if plain.isascii() and plain.isdigit() else None
