"""Whether a record may stand where it wants to: in the place of another, at a lot or machine."""

from __future__ import annotations

from collections.abc import Collection

from sqlalchemy import Connection, Select, bindparam, select

from retrue.base.refusals import Refusal
from retrue.records.adding import (
    Wish,
    belongs_to,
    refuse_gone,
    refuse_mismatch,
    refuse_replaced,
    refuse_unknown,
)
from retrue.records.facts import Withdrawn
from retrue.store.shelf import THAT_REPLACES, one_row, row_by_id
from retrue.store.tables import records


def refusal_to_replace(db: Connection, wanted: Wish) -> Refusal | None:
    """Why a record cannot stand where it wants to; None where it can."""
    if wanted.replaces is None:
        return refuse_gone() if any_gone(db, belongs_to(wanted)) else None
    replaced = row_by_id(db, wanted.replaces)
    if replaced is None:
        return refuse_unknown(wanted.replaces)
    if one_row(db, THAT_REPLACES, wanted.replaces) is not None:
        return refuse_replaced(wanted.replaces)
    return refuse_mismatch(wanted, replaced)


def any_gone(db: Connection, ids: Collection[str]) -> bool:
    """Whether any line with one of these ids was taken back, and not brought back since."""
    if not ids:
        return False
    return db.execute(_GONE, {"ids": sorted(ids)}).first() is not None


def _gone() -> Select[tuple[str]]:
    """One line that begins with some ids and ends with a withdrawal; put together once."""
    line = select(records.c.id, records.c.kind).where(
        records.c.id.in_(bindparam("ids", expanding=True))
    )
    line_table = line.cte("line", recursive=True)
    newer = select(records.c.id, records.c.kind).join(
        line_table, records.c.replaces == line_table.c.id
    )
    whole = line_table.union(newer)
    after = records.alias("after")
    gone = select(whole.c.id).where(
        whole.c.kind == Withdrawn.KIND,
        ~select(after.c.id).where(after.c.replaces == whole.c.id).exists(),
    )
    return gone.limit(1)


_GONE = _gone()
