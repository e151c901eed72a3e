"""Whether a record may stand in the place of the one it names."""

from __future__ import annotations

from sqlalchemy import Connection, func, select

from retrue.base.refusals import Refusal
from retrue.records.adding import Wish, refuse_mismatch, refuse_replaced, refuse_unknown
from retrue.store.shelf import row_by_id
from retrue.store.tables import records


def refusal_to_replace(db: Connection, wanted: Wish) -> Refusal | None:
    """Why a record cannot replace the one it names; None where it can, or names none."""
    if wanted.replaces is None:
        return None
    replaced = row_by_id(db, wanted.replaces)
    if replaced is None:
        return refuse_unknown(wanted.replaces)
    newer = select(func.count()).where(records.c.replaces == wanted.replaces)
    if db.execute(newer).scalar_one():
        return refuse_replaced(wanted.replaces)
    return refuse_mismatch(wanted, replaced)
