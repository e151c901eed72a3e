"""The half of a shop that only reads: records by id, by kind, by words, by when they were seen."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from retrue.records.adding import refuse_fields, refuse_unknown
from retrue.records.chain import opened
from retrue.records.facts import Fact
from retrue.records.shop import Record
from retrue.store.engine import Gate
from retrue.store.index import rebuild, was_dropped
from retrue.store.searching import numbers_of
from retrue.store.shelf import LAST, THAT_REPLACES, Shelf, one_row, row_by_id

F = TypeVar("F", bound=Fact)
T = TypeVar("T")


class Looking:
    """What can be asked of a shop; an index that somebody dropped is made anew on the way."""

    def __init__(self, gate: Gate) -> None:
        self._gate = gate
        self._shelf = Shelf()

    def get(self, kind: type[F], id: str) -> Record[F]:
        """One record by its id, replaced or not; Unknown if there is none of that kind."""
        with self._gate.reading() as db:
            row = row_by_id(db, id)
        if row is None or row.kind != kind.KIND:
            raise refuse_unknown(id, kind.KIND)
        return opened(row)

    def current(self, kind: type[F], **where: Any) -> list[Record[F]]:
        """Records nothing has replaced or withdrawn, oldest first, by equal payload fields.

        Parameters
        ----------
        kind : type
            The kind of fact.
        **where : object
            Fields and what they must be equal to; lot, machine and set are found by an index.

        Returns
        -------
        list of Record
            Oldest first.

        Raises
        ------
        Unknown
            The kind has no such field.
        """
        refuse_fields(kind, set(where))
        return self._read(lambda db: self._shelf.current(db, kind, where))

    def marks(self, kinds: Sequence[type[Fact]]) -> tuple[tuple[int, int], ...]:
        """Of each kind how many records count, and the number of the newest that does.

        Parameters
        ----------
        kinds : sequence of type
            The kinds of fact.

        Returns
        -------
        tuple of (int, int)
            In the order of the kinds; the same marks of the same shop are the same records.
        """
        return self._read(lambda db: self._shelf.marks(db, kinds))

    def marks_by_lot(
        self, kinds: Sequence[type[Fact]]
    ) -> dict[str | None, tuple[tuple[str, int, int], ...]]:
        """The marks of each lot, by an index; None: of what names no lot.

        Parameters
        ----------
        kinds : sequence of type
            The kinds of fact.

        Returns
        -------
        dict of lot to tuple of (kind, count, newest)
            In the order of the names of the kinds; what nothing counts of is left out.
        """
        return self._read(lambda db: self._shelf.marks_by_lot(db, kinds))

    def newest(self) -> int:
        """The number of the newest record; 0 where there is none."""
        return self._read(lambda db: db.execute(LAST).scalar() or 0)

    def seen_since(
        self, moment: datetime, kinds: Collection[type[Fact]], *, most: int | None = None
    ) -> list[tuple[datetime, Record[Any]]]:
        """As the promise says, by an index; a correction at the moment of what it corrects."""
        return self._read(lambda db: self._shelf.seen_since(db, moment, kinds, most))

    def found(self, words: str, *, most: int) -> list[Record[Any]]:
        """As the promise says, by an index of words."""
        return self._read(lambda db: self._shelf.by_number(db, numbers_of(db, words, most)))

    def history(self, id: str) -> list[Record[Any]]:
        """A record with all it replaced and all that replaced it, oldest first."""
        with self._gate.reading() as db:
            row = row_by_id(db, id)
            if row is None:
                raise refuse_unknown(id)
            line = [row]
            while (before := line[0].replaces) and (older := row_by_id(db, before)):
                line.insert(0, older)
            while newer := one_row(db, THAT_REPLACES, line[-1].id):
                line.append(newer)
        return [opened(one) for one in line]

    def rebuild(self) -> None:
        """Make the index of what counts anew, and forget what was remembered."""
        with self._gate.writing() as db:
            rebuild(db)

    def _read(self, deed: Callable[[Connection], T]) -> T:
        return self._with_index(lambda: self._in(self._gate.reading, deed))

    @staticmethod
    def _in(way: Callable[[], Any], deed: Callable[[Connection], T]) -> T:
        with way() as db:
            return deed(db)

    def _with_index(self, deed: Callable[[], T]) -> T:
        try:
            return deed()
        except DBAPIError as error:
            if not was_dropped(error):
                raise
        self.rebuild()
        return deed()
