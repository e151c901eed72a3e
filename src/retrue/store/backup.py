"""The shop as one file: written beside its name, read back and proved, and only then given it."""

from __future__ import annotations

import hashlib
import io
import os
import time
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, BinaryIO

from retrue.base.refusals import NotKept, Overtaken, Problem, Refusal, Unusable
from retrue.base.say import say
from retrue.records.chain import Row, broken
from retrue.records.lines import Tally, files_named
from retrue.records.shop import RecordShop
from retrue.store.beside import BUFFER, DISK, Disk, coming, refuse_lack
from retrue.store.index import all_rows
from retrue.store.inside import FILES, MANIFEST, MARK, README, RECORDS, Inside, files_hash
from retrue.store.kept import Kept, Progress, hash_of, kept, quiet, told
from retrue.store.unpacked import manifest_of, read_back

AT_ONCE = 32 * BUFFER  # a file up to this size is read once, a larger one twice
LEAST_FREE = 4 * BUFFER
DATED = (2026, 1, 1, 0, 0, 0)  # of every part: the same shop, the same bytes
TEXT = """A backup of a shop of retrue.

records.jsonl   every record in its order, one JSON object a line; "payload" is what it says, as
                JSON text; "sha256" is its hash, "previous" that of the record before it
files/          every kept file as it came, named by its SHA-256
manifest.json   how many there are, and the hashes of all of it

Put it back with:   retrue shop restore FILE
"""


@dataclass(slots=True)
class _Seen:
    """What went into a backup while its rows went by."""

    tally: Tally
    named: set[str]
    older: str | None = None  # hash here of the record that an older backup ends with


def back_up(
    shop: RecordShop,
    target: Path,
    *,
    version: str,
    now: datetime,
    progress: Progress = quiet,
    disk: Disk = DISK,
) -> Inside:
    """Write a shop to one file, read it back, and only then give it its name.

    A server may go on writing: the records are those of one moment.

    Parameters
    ----------
    shop : RecordShop
        On a disk.
    target : Path
        The file; an older backup of the same shop is replaced once the new one is proved.
    version : str
        Of the program.
    now : datetime
        With its offset.
    progress : callable
        Hears how far it is.
    disk : Disk
        What writes.

    Returns
    -------
    Inside
        What is in it; ``problems`` names what the shop itself lacks.

    Raises
    ------
    NotKept
        The disk is full or cannot be written; the shop lacks something, and an older backup
        stands under that name. Nothing is left of the new one then, and the older one stays.
    Overtaken
        The file there holds records that this shop does not have.
    Unusable
        What has that name is no backup.
    """
    inner = kept(shop)
    older = _older(target)
    inner.files.sweep(time.time())
    refuse_lack(target.parent, sum(inner.sizes().values()) + LEAST_FREE)
    with coming(target, disk=disk, over=older is not None) as file:
        written = _write(inner, file, older, version, now, progress)
        if written.problems and older is not None:
            raise _refuse_to_replace(target, written)
        file.flush()
        disk.sync(file.fileno())
        inside, whole = read_back(Path(str(file.name)), progress)
        if inside != written or not _marked(file, whole):
            raise NotKept(
                say("the backup does not read as it was written"),
                remedy=say("Try another disk; this one does not keep what it is given."),
            )
    return written


def refuse_place(target: Path, own: tuple[Path, ...]) -> None:
    """Refuse a place for a backup that is lost together with the shop.

    Parameters
    ----------
    target : Path
        Where it is to go.
    own : tuple of Path
        Folders of the shop.

    Raises
    ------
    NotKept
        It lies in one of them, or its folder is not there.
    """
    folder = target.resolve().parent
    if not folder.is_dir():
        raise NotKept(
            say("there is no such folder: {folder}", folder=folder),
            remedy=say("Make it first, or check how its name is written."),
        )
    for home in own:
        if folder == home.resolve() or home.resolve() in folder.parents:
            raise NotKept(
                say("{folder} is the shop's own folder: what takes the shop takes the backup",
                    folder=folder),
                remedy=say("Choose another disk: a stick, a drive, another computer."),
            )  # fmt: skip


def own_folders(shop: RecordShop) -> tuple[Path, ...]:
    """The folders in which a shop itself stands."""
    inner = kept(shop)
    database = inner.database
    return (inner.files.folder, *((database.parent,) if database is not None else ()))


def _older(target: Path) -> Inside | None:
    """What an older backup of that name says of itself; None where there is none."""
    if target.is_dir():
        raise Unusable(
            say("{path} is a folder", path=target), remedy=say("Name a file: shop-backup.zip")
        )
    if not target.exists():
        return None
    try:
        return manifest_of(target)
    except Refusal:
        raise Unusable(
            say("{path} is there already and is no whole backup of a shop", path=target),
            remedy=say("Choose another name; what is there stays as it is."),
        ) from None


def _write(
    inner: Kept,
    file: BinaryIO,
    older: Inside | None,
    version: str,
    now: datetime,
    progress: Progress,
) -> Inside:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as packed:
        packed.comment = MARK + b"0" * 64
        with packed.open(_part(README), "w") as part:
            part.write(TEXT.encode())
        seen = _Seen(Tally(), set())
        with packed.open(_part(RECORDS, deflated=True), "w", force_zip64=True) as part:
            problems = list(broken(_rows(inner, part, seen, older, progress)))
        if older is not None and older.records and seen.older != older.last_sha256:
            raise _refuse_foreign(older)
        sizes: dict[str, int] = {}
        problems += _files(inner, packed, seen.named, sizes, progress)
        tally = seen.tally
        inside = Inside(
            version=version,
            made_at=now.isoformat(timespec="seconds"),
            records=tally.count,
            files=len(sizes),
            file_bytes=sum(sizes.values()),
            until=tally.until,
            last_sha256=tally.last,
            content_sha256=tally.content,
            files_sha256=files_hash(sizes),
            problems=tuple((one.where, one.what) for one in problems),
        ).sealed()
        with packed.open(_part(MANIFEST), "w") as part:
            part.write(inside.written())
    return inside


def _part(name: str, *, deflated: bool = False) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo(name, DATED)
    made.external_attr = 0o644 << 16
    made.compress_type = zipfile.ZIP_DEFLATED if deflated else zipfile.ZIP_STORED
    return made


def _rows(
    inner: Kept, part: IO[bytes], seen: _Seen, older: Inside | None, progress: Progress
) -> Iterator[Row]:
    with inner.gate.reading() as db:
        for row in told(all_rows(db), progress, "records"):
            part.write(seen.tally.take(row))
            seen.named.update(files_named(row))
            if older is not None and row.seq == older.records:
                seen.older = row.sha256
            yield row


def _files(
    inner: Kept, packed: zipfile.ZipFile, named: set[str], sizes: dict[str, int],
    progress: Progress,
) -> Iterator[Problem]:  # fmt: skip
    """Put every kept file in; name those that are damaged, and those that are missing."""
    there = list(inner.files.names())
    for done, name in enumerate(there, 1):
        size = _one_file(inner.files.path(name), packed, name)
        if size is None:
            yield Problem(name, say("this kept file is damaged"))
        else:
            sizes[name] = size
        progress("files", done, len(there))
    for name in sorted(named.difference(there)):
        yield Problem(name, say("this kept file is missing, and a record names it"))


def _one_file(path: Path, packed: zipfile.ZipFile, name: str) -> int | None:
    """Put one file in, proved; None if it cannot be read or is not what its name says."""
    content = b""
    try:
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            if size <= AT_ONCE:
                content = file.read()
                found = hashlib.sha256(content).hexdigest()
            else:
                found = hash_of(file)
    except OSError:
        return None
    if found != name:
        return None
    part = _part(f"{FILES}{name[:2]}/{name}")
    if size <= AT_ONCE:
        packed.writestr(part, content)
        return len(content)
    part.file_size = size
    with path.open("rb") as file, packed.open(part, "w", force_zip64=True) as out:
        while piece := file.read(BUFFER):
            out.write(piece)
    return size


def _marked(file: io.BufferedRandom, whole: str) -> bool:
    """Write the hash of every byte before it into the last 64 bytes; whether they read so."""
    end = file.seek(-len(whole), os.SEEK_END)
    file.write(whole.encode())
    file.flush()
    with Path(str(file.name)).open("rb") as again:
        again.seek(end)
        return again.read() == whole.encode()


def _refuse_foreign(older: Inside) -> Overtaken:
    return Overtaken(
        say("the backup there ends with record {count}, which this shop does not have",
            count=older.records),
        remedy=say("Choose another name. If it is a backup of this shop, records were lost here: "
                   "retrue note check --last {last} tells.", last=older.last_sha256[:16]),
    )  # fmt: skip


def _refuse_to_replace(target: Path, made: Inside) -> NotKept:
    return NotKept(
        say("the shop is not whole, and {path} is an older backup: it stays", path=target),
        remedy=say("Choose another name for a backup of what there is; retrue note check tells "
                   "what is missing."),
        problems=tuple(Problem(where, what) for where, what in made.problems),
    )  # fmt: skip
