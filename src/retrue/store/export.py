"""Everything in open forms, for whoever leaves: tables, lines of JSON, files under plain names."""

from __future__ import annotations

import csv
import io
import json
import os
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields
from datetime import datetime
from pathlib import Path, PurePath
from typing import IO, Any

from sqlalchemy import Connection, select

from retrue.base.refusals import NotKept, Refusal
from retrue.base.say import say
from retrue.records.chain import Row
from retrue.records.facts import File, Lot, Machine
from retrue.records.lines import files_named
from retrue.records.packing import KINDS, unpack
from retrue.records.shop import RecordShop
from retrue.store.beside import BUFFER, DISK, Disk, coming, refuse_lack, refuse_taken
from retrue.store.export_words import FileWords, cell, file_path
from retrue.store.index import all_rows
from retrue.store.kept import Kept, Progress, hash_of, kept, quiet, told
from retrue.store.tables import records

LEAST_FREE = 4 * BUFFER
DATED = (2026, 1, 1, 0, 0, 0)
HEAD = ("id", "when", "by", "device")
INDEX = (
    "path", "sha256", "whole", "size_bytes", "media_type", "name", "lot", "machine", "place",
    "caption", "taken", "record",
)  # fmt: skip
TEXT = """Everything a shop of retrue held, made {made} by version {version}.

tables/NAME.csv   one table for each kind of record: only what counts, one record a line. UTF-8,
                  commas, the first line names the columns. "when" is when it was seen, as the
                  device said. Several values in one cell stand as JSON: ["a","b"].
                  A text that begins with = + - or @ has an apostrophe before it, so that no
                  spreadsheet runs it; take it away to have the text as it was typed.
records.jsonl     every record there ever was, also what was corrected or taken back, one JSON
                  object a line, in the order of keeping. "counts" is false for what was replaced,
                  "replaces" names the record it took the place of. Here nothing is marked or
                  changed: where a table and this differ, this is right. "sha256" is the SHA-256
                  over a JSON list of kind, schema, id, by, device, noted_at, observed_at,
                  replaces, payload as text with sorted keys, and "previous".
files/            every kept file as it came, by lot and machine
files.csv         which file is which: path, hash, what it shows; "whole" is no where a file had
                  been damaged in the shop

Amounts of money are decimals with a point, in the currency of their lot or of the shop; lengths and
other numbers carry their unit at the end of the column's name. All of it may be opened with any
spreadsheet or editor; nothing here needs the program that made it.
"""


@dataclass(frozen=True, slots=True)
class Taken:
    """What went into an export."""

    records: int
    counting: int
    tables: int
    files: int
    damaged: tuple[str, ...]  # hashes of files that are not what they were
    unread: tuple[str, ...]  # ids of records that stand in records.jsonl alone
    size_bytes: int


def export(
    shop: RecordShop,
    target: Path,
    *,
    version: str,
    now: datetime,
    progress: Progress = quiet,
    disk: Disk = DISK,
) -> Taken:
    """Write everything a shop holds as one zip of open forms.

    Parameters
    ----------
    shop : RecordShop
        On a disk; also one that is damaged: what can be read is written.
    target : Path
        A file that is not there yet.
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
    Taken

    Raises
    ------
    NotKept
        Something has that name, the disk is full or cannot be written; nothing is left then.
    """
    inner = kept(shop)
    if target.exists():
        raise refuse_taken(target)
    refuse_lack(target.parent, sum(inner.sizes().values()) + LEAST_FREE)
    with coming(target, disk=disk) as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as packed:
            made = now.isoformat(timespec="minutes")
            with _part(packed, "README.txt") as part:
                part.write(TEXT.format(made=made, version=version).encode())
            with inner.gate.snapshot() as db:
                counted, unread = _records(db, packed, progress)
                words = _Words(db)
                tables = list(_tables(db, packed))
            damaged, count = _files(inner, packed, words, progress)
        file.flush()
        disk.sync(file.fileno())
        _refuse_unlike(Path(str(file.name)))
        size = os.fstat(file.fileno()).st_size
    return Taken(
        records=counted[0], counting=counted[1], tables=len(tables), files=count,
        damaged=tuple(damaged), unread=tuple(unread), size_bytes=size,
    )  # fmt: skip


@contextmanager
def _part(packed: zipfile.ZipFile, name: str, *, stored: bool = False) -> Iterator[IO[bytes]]:
    part = zipfile.ZipInfo(name, DATED)
    part.external_attr = 0o644 << 16
    part.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    with packed.open(part, "w", force_zip64=True) as out:
        yield out


def _records(
    db: Connection, packed: zipfile.ZipFile, progress: Progress
) -> tuple[tuple[int, int], list[str]]:
    """Every record; how many there are, how many count, and which cannot be read."""
    gone = set(
        db.execute(select(records.c.replaces).where(records.c.replaces.is_not(None))).scalars()
    )
    count, unread = 0, []
    with _part(packed, "records.jsonl") as part:
        for row in told(all_rows(db), progress, "records"):
            plain, is_read = _plain(row)
            if not is_read:
                unread.append(row.id)
            part.write(_json(plain | {"counts": row.id not in gone}))
            count += 1
    return (count, count - len(gone)), unread


def _plain(row: Row) -> tuple[dict[str, Any], bool]:
    plain: dict[str, Any] = {one.name: getattr(row, one.name) for one in fields(row)}
    try:
        plain["payload"] = json.loads(row.payload)
        unpack(row.kind, row.schema, row.payload)
    except (ValueError, RecursionError, Refusal):
        return plain, False
    return plain, True


def _json(plain: Mapping[str, Any]) -> bytes:
    text = json.dumps(plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return text.encode("utf-8", "surrogatepass") + b"\n"


def _counting(db: Connection, kind: str) -> Iterator[tuple[Row, Any]]:
    """Records of a kind that count, each with what it says; those that cannot be read left out."""
    replaced = select(records.c.replaces).where(records.c.replaces.is_not(None))
    wanted = (
        select(records)
        .where(records.c.kind == kind, records.c.id.not_in(replaced))
        .order_by(records.c.seq)
    )
    for found in db.execution_options(yield_per=1000).execute(wanted).mappings():
        row = Row(**found)
        try:
            yield row, unpack(row.kind, row.schema, row.payload)
        except Refusal:
            continue


def _tables(db: Connection, packed: zipfile.ZipFile) -> Iterator[str]:
    there = set(db.execute(select(records.c.kind).distinct()).scalars())
    for kind in sorted(there & KINDS.keys()):
        names = [one.name for one in fields(KINDS[kind])]
        with _part(packed, f"tables/{kind}.csv") as part:
            _lines(part, [[*HEAD, *(f"told_{n}" if n in HEAD else n for n in names)]])
            for row, fact in _counting(db, kind):
                head = (row.id, row.observed_at, row.by, row.device)
                _lines(part, [[*head, *(getattr(fact, name) for name in names)]])
        yield kind


def _lines(part: IO[bytes], rows: Iterable[Iterable[Any]]) -> None:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([cell(value) for value in row] for row in rows)
    part.write(out.getvalue().encode("utf-8", "surrogatepass"))


class _Words:
    """Names of lots and machines, and what is known of each kept file."""

    def __init__(self, db: Connection) -> None:
        lots = {row.id: fact.name for row, fact in _counting(db, Lot.KIND)}
        machines = {row.id: fact.name for row, fact in _counting(db, Machine.KIND)}
        self.of: dict[str, list[tuple[FileWords, tuple[str | None, ...]]]] = {}
        for row, fact in _counting(db, File.KIND):
            words = FileWords(
                sha256=fact.sha256, name=fact.name, media_type=fact.media_type,
                lot=lots.get(fact.lot, ""), machine=machines.get(fact.machine, ""),
                place=fact.place or "", caption=fact.caption,
            )  # fmt: skip
            about = (fact.name, words.lot, words.machine, fact.place, fact.caption, fact.taken)
            line = (fact.media_type, *about, row.id)
            self.of.setdefault(fact.sha256, []).append((words, line))
        for row in all_rows(db):
            for sha256 in files_named(row):
                if sha256 not in self.of:
                    self.of[sha256] = [_told_by(row, sha256, lots, machines)]


def _told_by(
    row: Row, sha256: str, lots: Mapping[str, str], machines: Mapping[str, str]
) -> tuple[FileWords, tuple[str | None, ...]]:
    """What a record tells of a file that it names itself: a table, a recording, a receipt."""
    try:
        fact = unpack(row.kind, row.schema, row.payload)
    except Refusal:
        return FileWords(sha256=sha256), (None,) * (len(INDEX) - len(HEAD) - 1) + (row.id,)
    name = str(getattr(fact, "file_name", "") or "") if getattr(fact, "file", "") == sha256 else ""
    lot = lots.get(str(getattr(fact, "lot", "")), "")
    machine = machines.get(str(getattr(fact, "machine", "")), "")
    place = str(getattr(fact, "place", "") or getattr(fact, "point", "") or "")
    caption = PurePath(name).stem or row.kind.replace("_", " ")
    words = FileWords(
        sha256=sha256, name=name, lot=lot, machine=machine, place=place, caption=caption
    )
    return words, (None, name, lot, machine, place, caption, None, row.id)


def _files(
    inner: Kept, packed: zipfile.ZipFile, words: _Words, progress: Progress
) -> tuple[list[str], int]:
    """Every kept file once, and the table that tells which is which."""
    names = list(inner.files.names())
    damaged, lines = [], []
    for done, name in enumerate(names, 1):
        known = words.of.get(name, [])
        path = file_path(known[0][0] if known else FileWords(sha256=name))
        whole, size = _one_file(inner.files.path(name), packed, path, name)
        if not whole:
            damaged.append(name)
        head = [path, name, "yes" if whole else "no", size]
        lines += [[*head, *line] for _, line in known]
        if not known:
            lines.append([*head, *[None] * (len(INDEX) - len(head))])
        progress("files", done, len(names))
    with _part(packed, "files.csv") as part:
        _lines(part, [INDEX, *lines])
    return damaged, len(names)


def _one_file(path: Path, packed: zipfile.ZipFile, to: str, name: str) -> tuple[bool, int]:
    with path.open("rb") as file:
        whole = hash_of(file) == name
        size = file.seek(0, os.SEEK_CUR)
        file.seek(0)
        with _part(packed, to, stored=True) as out:
            while piece := file.read(BUFFER):
                out.write(piece)
    return whole, size


def _refuse_unlike(path: Path) -> None:
    """Read all of it back."""
    with zipfile.ZipFile(path) as packed:
        if packed.testzip() is not None:
            raise NotKept(
                say("the export does not read as it was written"),
                remedy=say("Try another disk; this one does not keep what it is given."),
            )
