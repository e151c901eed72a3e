"""A shop kept in SQLite or PostgreSQL; every call is one transaction, nothing is altered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Connection, bindparam, delete, insert, select
from sqlalchemy.exc import DBAPIError, IntegrityError

from retrue.base.refusals import NotKept, Overtaken
from retrue.base.say import say
from retrue.records.adding import (
    Wish,
    is_same,
    link,
    refuse_other,
    refuse_unknown,
    wish,
)
from retrue.records.adding_all import wishes
from retrue.records.chain import START, Row, opened
from retrue.records.facts import Fact, Withdrawn
from retrue.records.noting import note
from retrue.records.shop import Record, ToAdd
from retrue.store.engine import Gate, postgresql_gate, sqlite_gate
from retrue.store.files import Files
from retrue.store.index import all_rows, enter
from retrue.store.looking import Looking
from retrue.store.migrating import bring_up_to_date
from retrue.store.places import make_folder, mounts, place_of, refuse_network
from retrue.store.replacing import refusal_to_replace
from retrue.store.shelf import LAST, row_by_id
from retrue.store.tables import MOST_REMEMBERED, remembered
from retrue.store.together import INSERT, link_all, values

F = TypeVar("F", bound=Fact)
T = TypeVar("T")
Clock = Callable[[], datetime]

_RECALL = select(remembered.c.value).where(remembered.c.key == bindparam("key"))
_FORGET = delete(remembered).where(remembered.c.key == bindparam("key"))
_REMEMBER = insert(remembered).returning(remembered.c.number)
_FORGET_OLD = delete(remembered).where(remembered.c.number <= bindparam("last"))


class SqlShop(Looking):
    """A shop on either database; safe for the threads of a server and for several processes."""

    def __init__(self, gate: Gate, *, clock: Clock, files: Files | None) -> None:
        super().__init__(gate)
        self._clock = clock
        self._files = files

    def add(
        self,
        fact: F,
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        id: str | None = None,
        replaces: str | None = None,
    ) -> Record[F]:
        """Keep a fact; when this returns, it is on the disk.

        Parameters
        ----------
        fact : Fact
            What was said, seen, measured or paid.
        by, device : str
            Who says it, on which device.
        observed_at : datetime, optional
            The device's claim, with its offset; else the moment it is noted.
        id : str, optional
            A random UUID made where the record is born; else one is made here.
        replaces : str, optional
            The record this one corrects, takes back or brings back.

        Returns
        -------
        Record
            As it is kept. The same id and content again returns what is kept already.

        Raises
        ------
        Unusable
            A field cannot be kept; all such fields are named.
        Overtaken
            Something else has this id, or the record named is replaced already.
        Unknown
            The record named in ``replaces`` is not there.
        NotKept
            The disk is full, read-only, or the database does not answer.
        """
        wanted = wish(fact, by=by, device=device, observed_at=observed_at, id=id, replaces=replaces)
        kept: Record[F] = self._write(lambda db: opened(self._link(db, wanted)))
        note([kept])
        return kept

    def add_all(
        self,
        wanted: Sequence[ToAdd],
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        newest: int | None = None,
    ) -> list[Record[Any]]:
        """Keep many facts in one transaction: each by the rules of `add`, all of them or none.

        Parameters
        ----------
        wanted : sequence of ToAdd
            In the order they are to stand in; a later one may replace an earlier one.
        by, device, observed_at
            As for `add`, for all of them.
        newest : int, optional
            The number of the newest record when their writer looked.

        Returns
        -------
        list of Record
            One for each, as it is kept; what was kept already among them.

        Raises
        ------
        Unusable, Overtaken, Unknown, NotKept
            As for `add`; nothing of them all is kept then.
        WrittenSince
            There is a newer record than ``newest``.
        """
        every = wishes(wanted, by=by, device=device, observed_at=observed_at)
        kept = self._write(
            lambda db: [opened(row) for row in link_all(db, every, self._clock(), newest)]
        )
        note(kept)
        return kept

    def withdraw(
        self,
        id: str,
        *,
        by: str,
        reason: str = "",
        device: str = "",
        observed_at: datetime | None = None,
        withdrawal: str | None = None,
    ) -> Record[Withdrawn]:
        """Take a record back; what it said stays readable, and counts no more.

        Parameters
        ----------
        id : str
            The record to take back.
        by, reason, device, observed_at
            As for `add`; the reason may stay empty.
        withdrawal : str, optional
            The id of the withdrawal itself, if it was made elsewhere.

        Raises
        ------
        Unknown, Overtaken, Unusable, NotKept
            As for `add`.
        """
        with self._gate.reading() as db:
            kept = row_by_id(db, id)
        if kept is None:
            raise refuse_unknown(id)
        return self.add(
            Withdrawn(of_kind=kept.kind, reason=reason),
            by=by,
            device=device,
            observed_at=observed_at,
            id=withdrawal,
            replaces=id,
        )

    def today(self) -> date:
        """The day it is by the shop's clock."""
        return self._clock().date()

    def keep_file(self, content: bytes) -> str:
        """Keep bytes by their SHA-256 (hex) and return it; twice is once."""
        return self._folder().keep(content)

    def file(self, sha256: str) -> bytes:
        """The kept bytes, proved whole; Unknown if there are none."""
        return self._folder().read(sha256)

    def recall(self, key: str) -> bytes | None:
        """A remembered calculation, or None; the table may be dropped at any time."""
        try:
            with self._gate.reading() as db:
                return db.execute(_RECALL, {"key": key}).scalar()
        except (DBAPIError, NotKept):
            return None

    def remember(self, key: str, value: bytes) -> None:
        """Remember a calculation; what cannot be remembered is calculated again."""
        try:
            with self._gate.writing() as db:
                remembered.create(db, checkfirst=True)
                db.execute(_FORGET, {"key": key})
                number = db.execute(_REMEMBER, {"key": key, "value": value}).scalar_one()
                db.execute(_FORGET_OLD, {"last": number - MOST_REMEMBERED})
        except (DBAPIError, NotKept):
            return

    def rows(self) -> Iterator[Row]:
        """Every row as it is stored, oldest first."""
        with self._gate.reading() as db:
            yield from all_rows(db)

    def close(self) -> None:
        """Let go of all connections; it may be opened again."""
        self._gate.engine.dispose()

    def _folder(self) -> Files:
        if self._files is None:
            raise NotKept(
                say("this shop has no folder for files"),
                remedy=say("Name a folder for its files when you open it."),
            )
        return self._files

    def _link(self, db: Connection, wanted: Wish) -> Row:
        kept = row_by_id(db, wanted.id)
        if kept is not None:
            if is_same(kept, wanted):
                return kept
            raise refuse_other(wanted.id)
        if (refusal := refusal_to_replace(db, wanted)) is not None:
            raise refusal
        last = db.execute(LAST).one_or_none()
        seq, previous = (last.seq + 1, last.sha256) if last is not None else (1, START)
        row = link(wanted, seq=seq, previous=previous, now=self._clock())
        db.execute(INSERT, values(row))
        enter(db, row)
        return row

    def _write(self, deed: Callable[[Connection], T]) -> T:
        try:
            return self._with_index(lambda: self._in(self._gate.writing, deed))
        except IntegrityError:
            raise Overtaken(
                say("this record, or its correction, is already kept"),
                remedy=say("Open the newest one and go on from there."),
            ) from None


def open_shop(
    place: str,
    *,
    clock: Clock,
    files: Path | None = None,
    mount_table: Callable[[], str] = mounts,
    writable: Callable[[Path], bool] | None = None,
) -> SqlShop:
    """Open a shop, making it if it is new and raising its indexes if they are old.

    Parameters
    ----------
    place : str
        A path, or a ``postgresql://`` address.
    clock : callable
        Tells the moment, with its offset.
    files : Path, optional
        The folder for kept files; beside a SQLite file it is ``NAME.files``.
    mount_table : callable, optional
        Tells the mounted file systems, as in /proc/mounts.
    writable : callable, optional
        Tells whether a folder can be written.

    Returns
    -------
    SqlShop
        Ready; close it when done.

    Raises
    ------
    NotKept
        A network drive, a read-only folder, a full disk, a shop of a newer version, a database
        that does not answer.
    Unusable
        The place cannot be read, or belongs to another program.

    Examples
    --------
    >>> import tempfile
    >>> from datetime import UTC
    >>> def clock() -> datetime:
    ...     return datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    >>> from retrue.records.facts import Lot
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     shop = open_shop(f"{folder}/ghent.sqlite", clock=clock)
    ...     kept = shop.add(Lot(name="school, two machines"), by="owner")
    ...     print(kept.seq, [lot.fact.name for lot in shop.current(Lot)])
    ...     shop.close()
    1 ['school, two machines']
    """
    there = place_of(place)
    if there.path is not None:
        refuse_network(there.path.parent, mount_table())
        make_folder(there.path.parent, writable)
        gate = sqlite_gate(there.path)
        files = files or there.path.with_name(there.path.name + ".files")
    else:
        assert there.address is not None
        gate = postgresql_gate(there.address)
    try:
        bring_up_to_date(gate, there.path)
    except BaseException:
        gate.engine.dispose()
        raise
    return SqlShop(gate, clock=clock, files=None if files is None else Files(files))
