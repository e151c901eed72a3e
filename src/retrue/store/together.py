"""Many records written in one transaction: asked for and stored some hundred at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from sqlalchemy import Connection, bindparam, insert, select

from retrue.records.adding import Wish, belongs_to, refuse_gone
from retrue.records.adding_all import place_all
from retrue.records.chain import Row
from retrue.records.facts import Fact
from retrue.store.index import enter_all, leave
from retrue.store.replacing import any_gone
from retrue.store.shelf import AT_ONCE, COLUMNS, LAST, WHOLE
from retrue.store.tables import records

INSERT = insert(records)
_BY_IDS = WHOLE.where(records.c.id.in_(bindparam("ids", expanding=True)))
_REPLACED = select(records.c.replaces).where(
    records.c.replaces.in_(bindparam("ids", expanding=True))
)


def link_all(
    db: Connection, wanted: Sequence[Wish], now: datetime, newest: int | None = None
) -> tuple[Row, ...]:
    """Store every wish that is not kept yet.

    Parameters
    ----------
    db : Connection
        In the one transaction that writes.
    wanted : sequence of Wish
        In the order they are to stand in.
    now : datetime
        The server's clock.
    newest : int or None
        The number of the newest record when their writer looked.

    Returns
    -------
    tuple of Row
        One for each wish, as it is kept.

    Raises
    ------
    WrittenSince, Overtaken, Unknown, Unusable
        As `retrue.records.adding_all.place_all` tells; nothing has been written then.
    """
    replaced = {one.replaces for one in wanted if one.replaces is not None}
    kept = {row.id: row for row in _rows(db, {one.id for one in wanted} | replaced)}
    placed = place_all(
        wanted, kept, set(_replaced(db, replaced)), last=_last(db), now=now, newest=newest
    )
    if placed.new:
        new = {row.id for row in placed.new}
        named = {id for one in wanted if one.id in new for id in belongs_to(one)}
        if any(any_gone(db, some) for some in _batches(named)):
            raise refuse_gone()
        db.execute(INSERT, [values(row) for row in placed.new])
        _enter_all(db, placed.new, {one.id: one.fact for one in wanted})
    return placed.rows


def values(row: Row) -> dict[str, object]:
    """A row as the table takes it."""
    return {name: getattr(row, name) for name in COLUMNS}


def _enter_all(db: Connection, new: Sequence[Row], facts: Mapping[str, Fact]) -> None:
    """Put new rows into the index, less those that one of them replaces; take out the old."""
    gone = {row.replaces for row in new if row.replaces is not None}
    for some in _batches(gone):
        leave(db, some)
    enter_all(db, ((row, facts[row.id]) for row in new if row.id not in gone))


def _last(db: Connection) -> tuple[int, str] | None:
    last = db.execute(LAST).one_or_none()
    return None if last is None else (last.seq, last.sha256)


def _rows(db: Connection, ids: Iterable[str]) -> Iterator[Row]:
    for some in _batches(ids):
        for row in db.execute(_BY_IDS, {"ids": some}):
            yield Row(*row)


def _replaced(db: Connection, ids: Iterable[str]) -> Iterator[str]:
    for some in _batches(ids):
        yield from db.execute(_REPLACED, {"ids": some}).scalars()


def _batches(ids: Iterable[str]) -> Iterator[list[str]]:
    every = sorted(ids)
    for at in range(0, len(every), AT_ONCE):
        yield every[at : at + AT_ONCE]
