"""Photographs of a lot: kept whole, found again, sorted by what they show."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Protocol, Unpack

from retrue.base.refusals import Problem, Refusal, Unknown
from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.phases.worth.looks import Look, look_at, shots_of
from retrue.phases.worth.lots import first_id, view_lot
from retrue.records.facts import File, Finding, Note
from retrue.records.hand import Hand, numbered
from retrue.records.shop import Record, RecordShop

PICTURES = ("image/", "video/")


class Proved(Protocol):
    """What a file is, proved from its content, not from its name."""

    @property
    def media_type(self) -> str:
        """As proved."""
        ...


Prove = Callable[[bytes, str], Proved]


def keep_picture(
    shop: RecordShop,
    lot: str,
    content: bytes,
    name: str,
    prove: Prove,
    *,
    machine: str | None = None,
    shot: str | None = None,
    caption: str = "",
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep one photograph or film of a lot, as it came.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    content : bytes
        The file; kept by its hash.
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are; refuses what is not a picture.
    machine, shot : str or None
        If known: whose picture, and what it shows (S.., W..).
    caption : str
        What stands below it.
    whole : bool
        False: scaled before it was sent.
    **hand : Hand
        Who writes.

    Returns
    -------
    Record of File
        The photograph; sent twice under one name, it is kept once.
    """
    view = view_lot(shop, lot)
    proved = prove(content, name)
    fact = File(
        sha256=shop.keep_file(content),
        name=name,
        media_type=proved.media_type,
        size_bytes=len(content),
        lot=view.id,
        machine=None if machine is None else view.machine_id(machine),
        shot=shot,
        caption=caption,
        taken=getattr(proved, "taken", None),
        whole=whole,
    )
    same = shop.current(File, lot=view.id, sha256=fact.sha256, name=name, place=None)
    return same[0] if same else shop.add(fact, **hand)


def keep_pictures(
    shop: RecordShop,
    lot: str,
    contents: Sequence[tuple[str, bytes]],
    prove: Prove,
    *,
    machine: str | None = None,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> tuple[list[Record[File]], list[Problem]]:
    """Keep many at once; a bad one is named with its remedy, all others are kept.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.
    lot : str
        Name or id.
    contents : sequence of (str, bytes)
        Name and content of each.
    prove : callable
        Says what the bytes are.
    machine : str or None
        If all are of one machine.
    whole : bool
        False: scaled before they were sent.
    **hand : Hand
        Who writes; with an ``id`` they become id, id.2, id.3 ...

    Returns
    -------
    list of Record, list of Problem
        What was kept, what was refused and why.
    """
    kept: list[Record[File]] = []
    refused: list[Problem] = []
    for place, (name, content) in enumerate(contents):
        mine = numbered(hand, place)
        try:
            kept.append(
                keep_picture(shop, lot, content, name, prove, machine=machine, whole=whole, **mine)
            )
        except Refusal as refusal:
            refused.append(Problem(name, refusal.reason, refusal.remedy))
    return kept, refused


def pictures(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> list[Look]:
    """All photographs of a lot, oldest first, with what was said of each.

    Those taken of a place of a machine (as found, on the truck, of a label) are no seller's
    pictures: there is nothing to sort in them.
    """
    view = view_lot(shop, lot)
    said: dict[str | None, list[tuple[str, str]]] = {}
    for record in shop.current(Finding, lot=view.id):
        said.setdefault(record.fact.picture, []).append((record.id, record.fact.text))
    for note in shop.current(Note, lot=view.id):
        said.setdefault(note.fact.file, []).append((note.id, note.fact.text))
    records = [
        (first_id(shop, record), record)
        for record in shop.current(File, lot=view.id)
        if record.fact.media_type.startswith(PICTURES) and not _placed(record.fact)
    ]
    records.sort(key=lambda pair: shop.get(File, pair[0]).seq if pair[1].replaces else pair[1].seq)
    left = sum(key not in said for key, _ in records)
    return [look_at(view, key, record, said.get(key, []), kinds, left) for key, record in records]


def picture(shop: RecordShop, lot: str, look: str, kinds: Mapping[str, Kind]) -> Look:
    """One photograph with its answers, by ``Look.id``."""
    for one in pictures(shop, lot, kinds):
        if look in (one.id, one.file.id):
            return one
    raise Unknown(
        say("lot {lot} has no photograph {look}", lot=lot, look=look),
        remedy=say("Open the lot again and choose one of its photographs."),
    )


def next_picture(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> Look | None:
    """The next photograph nobody has judged, oldest first; None when all are."""
    return next((look for look in pictures(shop, lot, kinds) if not look.judged), None)


def sort_picture(
    shop: RecordShop,
    lot: str,
    look: str,
    kinds: Mapping[str, Kind],
    *,
    shot: str | None = None,
    machine: str | None = None,
    **hand: Unpack[Hand],
) -> Look:
    """Say what a photograph shows and of which machine; None leaves that as it was.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, look : str
        The lot, and the photograph's id (``Look.id``).
    kinds : mapping of str to Kind
        The library.
    shot : str or None
        A view (W..) or a picture asked for (S..).
    machine : str or None
        Name or id.
    **hand : Hand
        Who says so.

    Returns
    -------
    Look
        The photograph with its answers.
    """
    view = view_lot(shop, lot)
    one = picture(shop, view.id, look, kinds)
    if shot is not None and shot not in shots_of(view, kinds, None):
        raise Unknown(
            say("there is no view {shot}", shot=shot), remedy=say("Choose one of those offered.")
        )
    fact = replace(
        one.file.fact,
        shot=shot or one.file.fact.shot,
        machine=view.machine_id(machine) if machine else one.file.fact.machine,
    )
    if fact != one.file.fact:
        shop.add(fact, replaces=one.file.id, **hand)
    return picture(shop, view.id, one.id, kinds)


def _placed(file: File) -> bool:
    return file.machine is not None and file.place is not None
