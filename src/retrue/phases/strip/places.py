"""The as-found list by place: photographs, wipes, readings, marks; and which gates are open."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, Unpack, cast

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.cell import LOOK, cell_finding, read_before
from retrue.cases.cell import MEASURE as CELL
from retrue.cases.spot import Spot
from retrue.cases.strip.gates import PICTURED, Pictured, Said, bare, next_shot
from retrue.cases.strip.gates import place_stands as stands_of
from retrue.cases.strip.kept import PICTURES, cleaned_of, pictures_of, said_of
from retrue.cases.strip.lines import PlaceStands
from retrue.kinds.library import Kind
from retrue.kinds.stripping import AsFoundEntry
from retrue.phases.strip.apart import label_of
from retrue.phases.strip.here import (
    Prove,
    known_entry,
    known_place,
    machine_at,
    refuse,
    same_or_kept,
    sent_as,
)
from retrue.records.facts import File, Finding, Plate, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import AsFound

CELL_LINE = "A17"  # of the list: the volts of the memory's cell
READ_AS_FOUND = "read as found"  # text of a finding that follows from that line
STATES = ("done", "later", "not_possible")


def places(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[PlaceStands, ...]:
    """Every place of a machine with its lines and gates, in the order of its kind."""
    spot, kind = machine_at(shop, lot, machine, kinds)
    said, pictures, cleaned = _kept(shop, spot)
    return tuple(stands_of(kind, id, said, pictures, cleaned.get(id, ())) for id in kind.places)


def place_stands(
    shop: RecordShop, lot: str, machine: str, place: str, kinds: Mapping[str, Kind]
) -> PlaceStands:
    """One place with its lines and gates; Unknown where the kind has no such place."""
    spot, kind = machine_at(shop, lot, machine, kinds)
    known_place(kind, place)
    said, pictures, cleaned = _kept(shop, spot)
    return stands_of(kind, place, said, pictures, cleaned.get(place, ()))


def keep_shot(
    shop: RecordShop,
    lot: str,
    machine: str,
    place: str,
    content: bytes,
    name: str,
    prove: Prove,
    kinds: Mapping[str, Kind],
    *,
    entry: str | None = None,
    taken: str | None = None,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep a photograph of a place; the shutter need not say what it shows.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    place : str
        Id of the place.
    content : bytes
        As it came.
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are.
    kinds : mapping of str to Kind
        The library.
    entry : str or None
        Line of the list; None: the first shot of the place without one, else the place alone.
    taken : str or None
        Id or code of what was undone, where the photograph belongs to that.
    whole : bool
        False: scaled before it was sent.
    **hand : Hand
        Whose hand; sent twice under one id, it is kept once.

    Returns
    -------
    Record of File
        The same photograph again, with no line named, is the kept one under any id.

    Raises
    ------
    Unknown
        No such place, line or label.
    Unusable
        It is no photograph, or its line is of another place.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    known_place(kind, place)
    proved = _picture(prove, content, name)
    sha256 = shop.keep_file(content)
    sent = sent_as(shop, File, hand)
    if sent is not None and (sent.fact.sha256, sent.fact.machine) == (sha256, spot.machine):
        return sent
    again = [] if entry or taken else _same_shot(shop, spot, kind, sha256)
    if again and sent is None:
        return again[-1]
    place, shot = _belongs(shop, spot, kinds, place, entry, taken)
    fact = File(
        sha256=sha256,
        name=name,
        media_type=proved[0],
        size_bytes=len(content),
        lot=spot.lot,
        machine=spot.machine,
        place=place,
        shot=shot,
        taken=proved[1],
        whole=whole,
    )
    return shop.add(fact, **hand)


def say_entry(
    shop: RecordShop,
    lot: str,
    machine: str,
    entry: str,
    kinds: Mapping[str, Kind],
    *,
    state: str = "done",
    why: str = "",
    reading: float | None = None,
    unit: str = "",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[AsFound]:
    """Say of one line that it is done, comes later, or is not possible; the newest word counts.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    entry : str
        Id of the line.
    kinds : mapping of str to Kind
        The library.
    state : str
        done, later or not_possible.
    why : str
        Not possible because.
    reading : float or None
    unit, text : str
        What was read, in which unit; or in words.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of AsFound

    Raises
    ------
    Unknown
        No such line; what is always allowed is ticked instead.
    Unusable
        A shot or a wipe is said to be done without a photograph, a reading without what was read,
        a mark without a word or a photograph, or not possible without a reason.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    line = known_entry(kind, entry)
    fact = AsFound(
        lot=spot.lot,
        machine=spot.machine,
        entry=entry,
        state=cast(Literal["done", "later", "not_possible"], state),
        why=why.strip(),
        reading=reading,
        unit=unit.strip(),
        text=text.strip(),
    )
    if state == "done" and not any(one.shot == entry for one in pictures_of(shop, spot)):
        _refuse_bare(line, fact)
    old = shop.current(AsFound, lot=spot.lot, machine=spot.machine, entry=entry)
    record = same_or_kept(shop, fact, old[-1] if old else None, hand)
    _finding(shop, kind, line, fact, hand)
    return record


def _finding(shop: RecordShop, kind: Kind, line: AsFoundEntry, fact: AsFound, hand: Hand) -> None:
    """A number of a line that measures something is a finding as well; the last one counts."""
    if line.measure != CELL:
        return
    if fact.state == "not_possible":
        cell_unsaid(shop, fact.machine, hand)
    if fact.state != "done" or fact.reading is None or fact.unit not in ("", "V"):
        return
    plates = [one.fact for one in shop.current(Plate, machine=fact.machine)]
    new = cell_finding(fact.lot, fact.machine, fact.reading, plates, say(READ_AS_FOUND))
    if new is None or new.check not in kind.checks:
        return
    old = read_before(shop.current(Finding, machine=fact.machine), new)
    if old is None or old.fact != new:
        shop.add(new, replaces=old.id if old else None, **without_id(hand))


def cell_unsaid(shop: RecordShop, machine: str, hand: Hand) -> None:
    """The cell's volts of the list count no more: neither does what follows from them."""
    for one in shop.current(Finding, machine=machine):
        if one.fact.check == LOOK and one.fact.text == say(READ_AS_FOUND):
            gone = Withdrawn(of_kind=one.kind, reason=say("its reading was taken back"))
            shop.add(gone, replaces=one.id, **without_id(hand))


def _kept(
    shop: RecordShop, spot: Spot
) -> tuple[Mapping[str, Said], tuple[Pictured, ...], Mapping[str, tuple[str, ...]]]:
    return said_of(shop, spot), pictures_of(shop, spot), cleaned_of(shop, spot)


def _same_shot(shop: RecordShop, spot: Spot, kind: Kind, sha256: str) -> list[Record[File]]:
    """Photographs of the machine's places with the same bytes."""
    same = shop.current(File, lot=spot.lot, machine=spot.machine, sha256=sha256)
    return [one for one in same if one.fact.place in kind.places]


def _picture(prove: Prove, content: bytes, name: str) -> tuple[str, str | None]:
    """Media type, and when it was taken if the file says so."""
    proved = prove(content, name)
    if not proved.media_type.startswith(PICTURES):
        raise Unusable(
            say("{name} is no photograph and no film", name=name),
            remedy=say("Keep it among the files of the machine instead."),
        )
    return proved.media_type, getattr(proved, "taken", None)


def _belongs(
    shop: RecordShop,
    spot: Spot,
    kinds: Mapping[str, Kind],
    place: str,
    entry: str | None,
    taken: str | None,
) -> tuple[str, str | None]:
    """The place and what the photograph shows: a label, a line, or nothing by name."""
    if taken is not None:
        label = label_of(shop, spot, taken).fact
        return label.place, label.code
    if entry is not None and spot.kind is not None:
        home = known_entry(spot.kind, entry).place
        if home != place:
            refuse(Problem("entry", say("{entry} is a line of {place}", entry=entry, place=home)))
        return place, entry
    first = next_shot(place_stands(shop, spot.lot, spot.machine, place, kinds).entries)
    return place, first.entry.id if first else None


def _refuse_bare(line: AsFoundEntry, fact: AsFound) -> None:
    """Done, with nothing that shows it."""
    if line.what in PICTURED:
        raise Unusable(
            say("{what}: only a photograph makes this done", what=line.text),
            remedy=say("Take it, say later, or say why it is not possible."),
        )
    if not bare(line, fact):
        return
    if line.what == "mark":
        remedy = say("Write how it is marked, or photograph it.")
        refuse(Problem("text", say("is empty"), remedy))
    remedy = say("Type what was read, or photograph the gauge.")
    refuse(Problem("reading", say("is missing"), remedy))
