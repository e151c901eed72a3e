"""Records as they were last opened: a record never changes, so it is read and opened once."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from functools import cache
from typing import Any, TypeVar

from sqlalchemy import Connection, Select, bindparam, func, select

from retrue.records.chain import Row, now_in_utc, opened, stamp
from retrue.records.facts import Fact
from retrue.records.shop import Record
from retrue.store.tables import current, records

T = TypeVar("T", int, str)
COLUMNS = tuple(Row.__dataclass_fields__)
WHOLE = select(*(records.c[name] for name in COLUMNS))
MOST_OPEN = 65_536  # about 60 MB of findings
AT_ONCE = 500

# What is asked again and again is put together once, and asked with other values.
LAST = select(records.c.seq, records.c.sha256).order_by(records.c.seq.desc()).limit(1)
THAT_REPLACES = WHOLE.where(records.c.replaces == bindparam("id"))
_BY_ID = WHOLE.where(records.c.id == bindparam("id"))
_BY_NUMBERS = WHOLE.where(records.c.seq.in_(bindparam("numbers", expanding=True)))
_OF_KINDS = current.c.kind.in_(bindparam("kinds", expanding=True))
_MARKS = (
    select(current.c.kind, func.count(), func.max(current.c.seq))
    .where(_OF_KINDS)
    .group_by(current.c.kind)
)
_MARKS_BY_LOT = (
    select(current.c.kind, current.c.lot, func.count(), func.max(current.c.seq))
    .where(_OF_KINDS)
    .group_by(current.c.kind, current.c.lot)
)
_SEEN_SINCE = (
    select(current.c.seq)
    .where(current.c.observed >= bindparam("moment"))
    # no bare column: the index of moments is walked, not those that begin with the kind
    .where(func.coalesce(current.c.kind, "").in_(bindparam("kinds", expanding=True)))
    .order_by(current.c.observed.desc(), current.c.seq.desc())
)
_BEFORE = select(records.c.id, records.c.replaces, records.c.observed_at).where(
    records.c.id.in_(bindparam("ids", expanding=True))
)


def one_row(db: Connection, wanted: Select[Any], id: str) -> Row | None:
    """The one row of a selection of whole records by an id, or None."""
    found = db.execute(wanted, {"id": id}).one_or_none()
    return None if found is None else Row(*found)


def row_by_id(db: Connection, id: str) -> Row | None:
    """The row kept under an id, or None."""
    return one_row(db, _BY_ID, id)


@cache
def _counting(given: tuple[str, ...], none: tuple[str, ...]) -> Select[Any]:
    """The numbers of what counts of a kind, where some columns hold a value and some hold none."""
    wanted = select(current.c.seq).where(current.c.kind == bindparam("kind"))
    for name in given:
        wanted = wanted.where(current.c[name] == bindparam(name))
    for name in none:
        wanted = wanted.where(current.c[name].is_(None))
    return wanted.order_by(current.c.seq)


class Shelf:
    """Opened records by their number; only what a reading transaction saw is put here."""

    def __init__(self) -> None:
        self._open: dict[int, Record[Any]] = {}

    def current(self, db: Connection, kind: type[Any], where: dict[str, Any]) -> list[Record[Any]]:
        """Records that count, oldest first, with these values in these fields.

        Parameters
        ----------
        db : Connection
            In a reading transaction.
        kind : type
            The kind of fact.
        where : dict
            Fields of that kind and what they must be equal to.

        Returns
        -------
        list of Record
            Oldest first.
        """
        indexed: dict[str, str | None] = {
            name: where[name]
            for name in ("lot", "machine", "set")
            if name in where and isinstance(where[name], str | None)
        }
        rest = {name: value for name, value in where.items() if name not in indexed}
        given = {name: value for name, value in indexed.items() if value is not None}
        wanted = _counting(tuple(given), tuple(name for name in indexed if name not in given))
        rows = db.execute(wanted, {"kind": kind.KIND, **given})
        found = self.by_number(db, [row[0] for row in rows])
        return [one for one in found if _agrees(one.fact, rest)] if rest else found

    def marks(self, db: Connection, kinds: Sequence[type[Any]]) -> tuple[tuple[int, int], ...]:
        """Of each kind how many records count, and the number of the newest that does.

        Parameters
        ----------
        db : Connection
            In a reading transaction.
        kinds : sequence of type
            The kinds of fact.

        Returns
        -------
        tuple of (int, int)
            In the order of the kinds; 0, 0: none counts.
        """
        names = [kind.KIND for kind in kinds]
        rows = db.execute(_MARKS, {"kinds": names})
        found = {kind: (int(count), int(newest)) for kind, count, newest in rows}
        return tuple(found.get(name, (0, 0)) for name in names)

    def marks_by_lot(
        self, db: Connection, kinds: Sequence[type[Any]]
    ) -> dict[str | None, tuple[tuple[str, int, int], ...]]:
        """Of each lot and kind how many records count, and the number of the newest that does.

        Parameters
        ----------
        db : Connection
            In a reading transaction.
        kinds : sequence of type
            The kinds of fact.

        Returns
        -------
        dict of lot to tuple of (kind, count, newest)
            In the order of the names of the kinds; None: of what names no lot.
        """
        rows = db.execute(_MARKS_BY_LOT, {"kinds": [one.KIND for one in kinds]})
        found: dict[str | None, list[tuple[str, int, int]]] = {}
        for name, of, count, newest in rows:
            found.setdefault(of, []).append((name, int(count), int(newest)))
        return {of: tuple(sorted(rows)) for of, rows in found.items()}

    def seen_since(
        self, db: Connection, moment: datetime, kinds: Collection[type[Any]], most: int | None
    ) -> list[tuple[datetime, Record[Any]]]:
        """Records that count and were first observed at a moment or later, each with when.

        Parameters
        ----------
        db : Connection
            In a reading transaction.
        moment : datetime
            With its offset.
        kinds : collection of type
            The kinds of fact that are wanted.
        most : int or None
            No more than so many, the newest.

        Returns
        -------
        list of (datetime, Record)
            In the order of time; a correction stands at the moment of what it corrects.
        """
        names = sorted(kind.KIND for kind in kinds)
        newest = _SEEN_SINCE if most is None else _SEEN_SINCE.limit(most)
        asked = {"moment": stamp(now_in_utc(moment)), "kinds": names}
        found = self.by_number(db, [row[0] for row in db.execute(newest, asked)])
        first = _first_moments(db, [one for one in found if one.replaces is not None])
        dated = [(first.get(one.id, one.observed_at), one) for one in found]
        return sorted(
            (row for row in dated if row[0] >= moment), key=lambda row: (row[0], row[1].seq)
        )

    def by_number(self, db: Connection, numbers: list[int]) -> list[Record[Any]]:
        """Records by their numbers, in the same order."""
        shelf = self._open
        there = {number: shelf[number] for number in numbers if number in shelf}
        missing = [number for number in numbers if number not in there]
        for some in _batches(missing):
            for row in db.execute(_BY_NUMBERS, {"numbers": some}):
                record = opened(Row(*row))
                there[record.seq] = record
        if len(shelf) + len(missing) > MOST_OPEN:
            self._open = dict(list(there.items())[:MOST_OPEN])
        elif missing:
            shelf.update(there)
        return [there[number] for number in numbers]


def _first_moments(db: Connection, corrected: list[Record[Any]]) -> dict[str, datetime]:
    """When the first record of each line was observed, by the id of its newest."""
    older = {one.id: one.replaces for one in corrected if one.replaces is not None}
    told: dict[str, datetime] = {}
    while older:  # one round for each correction of the longest line
        rows: dict[str, Any] = {}
        for some in _batches(sorted(set(older.values()))):
            rows |= {row.id: row for row in db.execute(_BEFORE, {"ids": some})}
        here = {id: rows[before] for id, before in older.items()}
        told |= {id: datetime.fromisoformat(row.observed_at) for id, row in here.items()}
        older = {id: row.replaces for id, row in here.items() if row.replaces is not None}
    return told


def _batches(numbers: list[T]) -> list[list[T]]:
    return [numbers[at : at + AT_ONCE] for at in range(0, len(numbers), AT_ONCE)]


def _agrees(fact: Fact, where: dict[str, Any]) -> bool:
    return all(getattr(fact, name) == value for name, value in where.items())
