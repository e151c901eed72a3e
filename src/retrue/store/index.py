"""The index of the records that count: kept beside the records, made anew from them at any time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import islice
from typing import Any

from sqlalchemy import Connection, bindparam, delete, insert, inspect, select
from sqlalchemy.exc import DBAPIError

from retrue.base.refusals import Refusal
from retrue.records.chain import Row, digest, now_in_utc, stamp
from retrue.records.facts import Fact
from retrue.records.outside import standing
from retrue.records.packing import is_of_newer, unpack
from retrue.store.searching import line_of
from retrue.store.shelf import WHOLE
from retrue.store.tables import LIVE, current, records

Entry = dict[str, Any]
MOST_ENTERED = 2000
_ENTER = insert(current)
_LEAVE = delete(current).where(current.c.id.in_(bindparam("ids", expanding=True)))
_EVERY = WHOLE.order_by(records.c.seq)


def entry(row: Row, fact: Fact) -> Entry:
    """What the index keeps of a row.

    Parameters
    ----------
    row : Row
        A row of the table of records.
    fact : Fact
        What it says.

    Returns
    -------
    dict
        Its number, id, kind, lot, machine, the set of readings it belongs to, when it was
        observed, in UTC, and the words it is found by.
    """
    return {
        "seq": row.seq,
        "id": row.id,
        "kind": row.kind,
        "lot": getattr(fact, "lot", None),
        "machine": getattr(fact, "machine", None),
        "set": getattr(fact, "set", None),
        "observed": _in_order(row.observed_at),
        "words": line_of(fact),
    }


def _in_order(observed_at: str) -> str:
    """A device's claim in UTC; one that no calendar holds there stands as it was said."""
    try:
        return stamp(now_in_utc(datetime.fromisoformat(observed_at)))
    except OverflowError:
        return observed_at


def enter(db: Connection, row: Row) -> None:
    """Put a new row into the index and take out the one it replaces."""
    if row.replaces is not None:
        leave(db, [row.replaces])
    fact = unpack(row.kind, row.schema, row.payload)
    db.execute(_ENTER, entry(row, fact))


def enter_all(db: Connection, rows: Iterable[tuple[Row, Fact]]) -> None:
    """Put rows that count into the index, some hundred at a time.

    Parameters
    ----------
    db : Connection
        In a writing transaction.
    rows : iterable of (Row, Fact)
        Each with what it says.
    """
    every = iter(rows)
    while some := list(islice(every, MOST_ENTERED)):
        db.execute(_ENTER, [entry(row, fact) for row, fact in some])


def leave(db: Connection, ids: Sequence[str]) -> None:
    """Take what counts no more out of the index.

    Parameters
    ----------
    db : Connection
        In a writing transaction.
    ids : sequence of str
        At most some hundred.
    """
    db.execute(_LEAVE, {"ids": list(ids)})


def all_rows(db: Connection) -> Iterator[Row]:
    """Every row as stored, oldest first, a thousand at a time."""
    for row in db.execution_options(yield_per=1000).execute(_EVERY):
        yield Row(*row)


def rebuild(db: Connection) -> None:
    """Throw the indexes away and make them from the records."""
    indexes = [table for table in LIVE.sorted_tables if table is not records]
    LIVE.drop_all(db, tables=indexes)
    LIVE.create_all(db, tables=indexes)
    fill(db)


def fill(db: Connection) -> None:
    """Fill an empty index of what counts from the records; what cannot be read stays out of it."""
    replaced = select(records.c.replaces).where(records.c.replaces.is_not(None))
    wanted = _EVERY.where(records.c.id.not_in(replaced))
    rows = [Row(*row) for row in db.execute(wanted)]
    enter_all(db, ((row, fact) for row in rows if (fact := readable(row)) is not None))


def readable(row: Row) -> Fact | None:
    """What a row says, or None where it is damaged: not to be read, or no such id, name, moment.

    A record of a newer program is no damage.

    Raises
    ------
    Unreadable
        A newer program wrote it.
    """
    if any(standing(row.by, row.device, row.noted_at, row.observed_at, row.id, row.replaces)):
        return None
    try:
        return unpack(row.kind, row.schema, row.payload)
    except Refusal:
        if is_of_newer(row.kind, row.schema) and row.sha256 == digest(row):
            raise
        return None


def is_missing(db: Connection, *others: str) -> bool:
    """Whether an index table has been dropped, or one of some others is not there."""
    there = set(inspect(db).get_table_names())
    return not {*LIVE.tables, *others} <= there


def was_dropped(error: DBAPIError) -> bool:
    """Whether a statement failed because somebody has dropped an index table."""
    said = str(error.orig)
    missing = "no such table" in said or getattr(error.orig, "sqlstate", None) == "42P01"
    return missing and current.name in said
