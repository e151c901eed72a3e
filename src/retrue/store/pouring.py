"""Rows and files of one shop put into an empty place, as they are: all of it, or nothing."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import islice
from pathlib import Path

from sqlalchemy import Connection, func, insert, select
from sqlalchemy.exc import DataError, IntegrityError

from retrue.base.refusals import NotKept, Unreadable
from retrue.base.say import say
from retrue.records.chain import Row
from retrue.records.lines import NAMES, Tally
from retrue.store.beside import coming_name, refusing_disk, remove, sweep, sync_folder, take_name
from retrue.store.files import Readable
from retrue.store.index import all_rows, fill
from retrue.store.kept import Kept, Progress, kept, told
from retrue.store.places import place_of
from retrue.store.shop import SqlShop, open_shop
from retrue.store.tables import records

AT_ONCE = 500
Clock = Callable[[], datetime]


@dataclass(frozen=True, slots=True)
class Source:
    """What is poured: rows in their order, and files by their hashes."""

    rows: Callable[[], AbstractContextManager[Iterable[Row]]]
    sizes: dict[str, int]
    file: Callable[[str], AbstractContextManager[Readable]]
    count: int = 0  # of rows, where it is known


@dataclass(frozen=True, slots=True)
class Poured:
    """What has arrived, read back from where it stands now."""

    records: int
    until: str
    last_sha256: str
    content_sha256: str
    files: int
    file_bytes: int


def pour(
    source: Source, place: str, *, files: Path | None, clock: Clock, progress: Progress
) -> Poured:
    """Fill an empty place.

    Parameters
    ----------
    source : Source
        Proved before.
    place : str
        A path or an address; nothing, or a shop without records.
    files : Path or None
        The folder for kept files; None: beside the SQLite file.
    clock, progress : callable
        The moment; how far it is.

    Returns
    -------
    Poured
        The rows read again from the new place.

    Raises
    ------
    NotKept
        There are records already, the disk is full, or what was read back differs; the place is
        as it was then.
    """
    there = place_of(place)
    if there.path is None or there.path.exists():
        with contextlib.closing(open_shop(place, clock=clock, files=files)) as shop:
            refuse_records(shop, place)
            return _into(shop, source, progress)
    return _beside(there.path, source, files, clock, progress)


def refuse_records(shop: SqlShop, place: str) -> None:
    """Refuse a place that has records already.

    Raises
    ------
    NotKept
        With how many.
    """
    with kept(shop).gate.reading() as db:
        _refuse_records(db, kept(shop).gate.where)


def _refuse_records(db: Connection, where: str) -> None:
    count = db.execute(select(func.count()).select_from(records)).scalar_one()
    if count:
        raise NotKept(
            say("there is a shop with {count} records at {place}", count=count, place=where),
            remedy=say("Name an empty place with --shop; two shops cannot be made one."),
        )


def _beside(
    path: Path, source: Source, files: Path | None, clock: Clock, progress: Progress
) -> Poured:
    """A new SQLite shop: made under hidden names, which it changes when it is whole."""
    home = files or path.with_name(path.name + ".files")
    hidden, hidden_files = coming_name(path), coming_name(home)
    with refusing_disk(path.parent):
        path.parent.mkdir(parents=True, exist_ok=True)
        home.parent.mkdir(parents=True, exist_ok=True)
    sweep(path.parent, path.name)
    sweep(home.parent, home.name)
    first = home if home.exists() else hidden_files
    try:
        with contextlib.closing(open_shop(str(hidden), clock=clock, files=first)) as shop:
            poured = _into(shop, source, progress)
            with kept(shop).gate.engine.connect() as db:
                db.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        with refusing_disk(path.parent):
            if first is hidden_files and hidden_files.exists():
                os.rename(hidden_files, home)
                sync_folder(home.parent)
            take_name(hidden, path, over=False)
    finally:
        for left in (hidden_files, *(hidden.with_name(hidden.name + end) for end in _ENDS)):
            remove(left)
    return poured


_ENDS = ("", "-wal", "-shm", "-journal", ".files")


def _into(shop: SqlShop, source: Source, progress: Progress) -> Poured:
    """Files first, then all rows in one transaction, read again before they are kept."""
    inner, of = kept(shop), len(source.sizes)
    before = set(inner.files.names())
    each = ((name, partial(source.file, name)) for name in source.sizes)
    inner.files.take_all(each, lambda done: progress("files", done, of))
    try:
        given, there = Tally(), Tally()
        with _refusing_twice(), inner.gate.writing() as db:
            _refuse_records(db, inner.gate.where)
            with source.rows() as rows:
                _insert(db, told(given.counted(rows), progress, "records", source.count))
            fill(db)
            for row in all_rows(db):
                there.take(row)
            if there.content != given.content:
                raise _refuse_other(inner)
    except BaseException:
        for name in source.sizes.keys() - before:
            inner.files.forget(name)
        raise
    sizes = source.sizes
    return Poured(
        there.count, there.until, there.last, there.content, len(sizes), sum(sizes.values())
    )


@contextlib.contextmanager
def _refusing_twice() -> Iterator[None]:
    """Turn what the database says of two records of one number, id or place into a refusal."""
    try:
        yield
    except (IntegrityError, DataError, OverflowError):
        raise Unreadable(
            say("no database takes its records: two have one number or id, or one place"),
            remedy=say(
                "Take another backup, or another copy of this one; nothing was changed here."
            ),
        ) from None


def _insert(db: Connection, rows: Iterator[Row]) -> None:
    while some := list(islice(rows, AT_ONCE)):
        db.execute(insert(records), [{name: getattr(row, name) for name in NAMES} for row in some])


def _refuse_other(inner: Kept) -> NotKept:
    return NotKept(
        say("{place} does not read as it was written", place=inner.gate.where),
        remedy=say("Try another disk or database; nothing was kept there."),
    )
