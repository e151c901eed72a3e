"""One shop copied to an empty place, of the other database or the same, row for row."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, inspect

from retrue.base.refusals import NotKept, Problem, Unknown
from retrue.base.say import say
from retrue.records.chain import Row, broken
from retrue.records.lines import Tally, files_named
from retrue.records.shop import RecordShop
from retrue.store.engine import postgresql_gate
from retrue.store.index import all_rows
from retrue.store.kept import Kept, Progress, hash_of, kept, quiet
from retrue.store.places import place_of
from retrue.store.pouring import Poured, Source, pour
from retrue.store.restoring import refuse_filled
from retrue.store.tables import records


@dataclass(frozen=True, slots=True)
class Copied:
    """A shop and its copy, each as it was read where it stands."""

    source: Poured
    copy: Poured

    @property
    def is_equal(self) -> bool:
        """Whether every row is the same, byte for byte."""
        return self.source == self.copy


def copy(
    shop: RecordShop,
    place: str,
    *,
    files: Path | None = None,
    clock: Callable[[], datetime],
    progress: Progress = quiet,
) -> Copied:
    """Copy a shop to the other database, or to another place of the same, row for row.

    A server may go on writing to the shop: what is copied is its rows of one moment.

    Parameters
    ----------
    shop : RecordShop
        On a disk.
    place : str
        A path or an address; nothing, or a shop without records.
    files : Path or None
        The folder for kept files there; None: beside the SQLite file.
    clock, progress : callable
        The moment; how far it is.

    Returns
    -------
    Copied
        Both with the hash of their last record, and one over all rows.

    Raises
    ------
    NotKept
        The place has records, the disk is full, or cannot be written; or the shop itself is not
        whole, and each problem is named. Nothing half is left.
    """
    inner = kept(shop)
    refuse_filled(place, files, clock)
    tally = Tally()
    with inner.gate.snapshot() as db:

        @contextmanager
        def rows() -> Iterator[Iterable[Row]]:
            yield tally.counted(all_rows(db))

        sizes = _sizes_of_whole(inner, db, progress)
        poured = pour(
            Source(rows, sizes, lambda name: inner.files.path(name).open("rb")),
            place, files=files, clock=clock, progress=progress,
        )  # fmt: skip
    told = Poured(
        tally.count, tally.until, tally.last, tally.content, len(sizes), sum(sizes.values())
    )
    return Copied(told, poured)


def refuse_absent(place: str) -> None:
    """Refuse to copy from a place where no shop is, before one is made there.

    Parameters
    ----------
    place : str
        A path or an address.

    Raises
    ------
    Unknown
        Nothing is there, or a database without a shop.
    NotKept
        The database does not answer.
    """
    there = place_of(place)
    if there.path is not None:
        is_there, where = there.path.exists(), str(there.path)
    else:
        assert there.address is not None
        gate = postgresql_gate(there.address)
        try:
            with gate.reading() as db:
                is_there, where = inspect(db).has_table(records.name), gate.where
        finally:
            gate.engine.dispose()
    if not is_there:
        raise Unknown(
            say("there is no shop at {place}", place=where),
            remedy=say("Check how its name is written; nothing was made anywhere."),
        )


def _sizes_of_whole(inner: Kept, db: Connection, progress: Progress) -> dict[str, int]:
    """The kept files; what is damaged is not copied, for the copy would look whole."""
    named: set[str] = set()

    def seen(rows: Iterable[Row]) -> Iterator[Row]:
        for row in rows:
            named.update(files_named(row))
            yield row

    problems = list(broken(seen(all_rows(db))))
    sizes = inner.sizes()  # after the rows: what they name is there
    for done, name in enumerate(sizes, 1):
        with inner.files.path(name).open("rb") as stream:
            if hash_of(stream) != name:
                problems.append(Problem(name, say("this kept file is damaged")))
        progress("files read", done, len(sizes))
    for name in sorted(named - sizes.keys()):
        problems.append(Problem(name, say("this kept file is missing, and a record names it")))
    if problems:
        raise NotKept(
            say("the shop is not whole, and was not copied"),
            remedy=say("Restore its latest whole backup at the new place, or take everything away "
                       "with retrue shop export."),
            problems=tuple(problems),
        )  # fmt: skip
    return sizes
