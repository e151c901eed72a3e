"""Files of a machine that are no photographs of a place: parameters, programs, manuals."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack, cast, get_args

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.kept_case import line_of
from retrue.cases.known import nearest
from retrue.cases.move.steps import DATA
from retrue.cases.spot import find as find_spot
from retrue.cases.strip.kept import PICTURES
from retrue.cases.strip.lines import FileLine
from retrue.phases.strip.here import Prove, sent_as
from retrue.records.facts import File
from retrue.records.hand import Hand, without_id
from retrue.records.moving import DataCopy, DataSort
from retrue.records.shop import Record, RecordShop

FILE_SORTS: Mapping[str, str] = DATA  # those of the copies of data: one list for both


def keep_machine_file(
    shop: RecordShop,
    lot: str,
    machine: str,
    content: bytes,
    name: str,
    prove: Prove,
    *,
    sort: str = "other",
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep a file of a machine by its checksum; it is never run.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    content : bytes
        As it came.
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are.
    sort : str
        parameters, programs, pitch_tables, ladder, macros, drive_settings, screens, drawings,
        manual or other.
    **hand : Hand
        Whose hand.

    Returns
    -------
    Record of File
        The same content under the same name is kept once; a sort that is said later counts.

    Raises
    ------
    Unknown
        No such lot, machine or sort.
    """
    spot = find_spot(shop, lot, machine, {})
    _known_sort(sort)
    proved = prove(content, name)
    fact = File(
        sha256=shop.keep_file(content),
        name=name,
        media_type=proved.media_type,
        size_bytes=len(content),
        lot=spot.lot,
        machine=spot.machine,
        caption=sort,
    )
    same = shop.current(File, machine=spot.machine, sha256=fact.sha256, name=name, place=None)
    if not same or sent_as(shop, File, hand) is not None:
        return shop.add(fact, **hand)
    return _sorted_anew(shop, same[-1], fact, hand)


def _sorted_anew(shop: RecordShop, old: Record[File], fact: File, hand: Hand) -> Record[File]:
    """The newer sort counts, of the file and of its copy; one that says nothing changes nothing."""
    if fact.caption in ("other", old.fact.caption):
        return old
    first = _first(shop, old.id)
    for one in shop.current(DataCopy, lot=fact.lot, machine=fact.machine):
        if one.fact.file and _first(shop, one.fact.file) == first:
            anew = replace(one.fact, sort=cast(DataSort, fact.caption))
            shop.add(anew, replaces=one.id, **without_id(hand))
    return shop.add(replace(old.fact, caption=fact.caption), replaces=old.id, **hand)


def machine_files(shop: RecordShop, lot: str, machine: str) -> tuple[FileLine, ...]:
    """The files of a machine, oldest first, each with its checksum.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.

    Returns
    -------
    tuple of FileLine
        Photographs only where they were kept as a copy of data.
    """
    spot = find_spot(shop, lot, machine, {})
    copies = {
        _first(shop, one.fact.file): one.fact
        for one in shop.current(DataCopy, lot=spot.lot, machine=spot.machine)
        if one.fact.file
    }
    kept = [line_of(shop, one) for one in shop.current(File, lot=spot.lot, machine=spot.machine)]
    kept.sort(key=lambda line: line.first.seq)
    return tuple(
        _line(line.first, line.newest.fact, copies.get(line.first.id))
        for line in kept
        if line.first.id in copies or _no_picture(line.newest.fact)
    )


def read_back(shop: RecordShop, file: str, content: bytes, **hand: Unpack[Hand]) -> bool:
    """Hold a copy that was read back against the kept file, and keep what came of it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    file : str
        Id of any record of its line.
    content : bytes
        As read again from the control or from the second copy.
    **hand : Hand
        Who read it.

    Returns
    -------
    bool
        Every byte is the same.

    Raises
    ------
    Unknown
        There is no such file of a machine.
    """
    first, newest = shop.history(file)[0], shop.history(file)[-1]
    kept = newest.fact
    if not isinstance(kept, File) or kept.lot is None or kept.machine is None:
        raise Unknown(
            say("there is no file {file} of a machine", file=file),
            remedy=say("Open the list of its files and choose one."),
        )
    same = hashlib.sha256(content).hexdigest() == kept.sha256
    _keep_read_back(shop, first.id, kept, same, hand)
    return same


def _keep_read_back(shop: RecordShop, file: str, kept: File, same: bool, hand: Hand) -> None:
    """As a copy of data; one that was kept of this file stands aside for it."""
    mine = shop.current(DataCopy, lot=kept.lot, machine=kept.machine)
    old = [one for one in mine if one.fact.file and _first(shop, one.fact.file) == file]
    sort = old[-1].fact.sort if old else kept.caption
    fact = DataCopy(
        lot=kept.lot or "",
        machine=kept.machine or "",
        sort=cast(DataSort, sort if sort in get_args(DataSort) else "other"),
        how=(old[-1].fact.how if old else "") or say("kept as a file"),
        file=file,
        sha256=kept.sha256,
        read_back=same,
        second_place=old[-1].fact.second_place if old else "",
    )
    sent = sent_as(shop, DataCopy, hand)
    if (old and old[-1].fact == fact) or (sent is not None and sent.fact == fact):
        return
    shop.add(fact, replaces=old[-1].id if old else None, **hand)


def _first(shop: RecordShop, id: str) -> str:
    return shop.history(id)[0].id


def _line(first: Record[File], fact: File, copy: DataCopy | None) -> FileLine:
    sort = copy.sort if copy else fact.caption
    return FileLine(
        id=first.id,
        name=fact.name,
        sha256=fact.sha256,
        size_bytes=fact.size_bytes,
        kind_words=say(FILE_SORTS[sort]) if sort in FILE_SORTS else fact.media_type,
        when=first.observed_at,
        read_back=copy.read_back if copy else None,
    )


def _no_picture(fact: File) -> bool:
    return fact.place is None and (
        not fact.media_type.startswith(PICTURES) or fact.caption in FILE_SORTS
    )


def _known_sort(sort: str) -> None:
    if sort not in FILE_SORTS:
        raise Unknown(
            say("{sort} is no sort of file", sort=repr(sort)),
            remedy=nearest(sort, FILE_SORTS)
            or say("It can be {named}.", named=", ".join(FILE_SORTS)),
        )
