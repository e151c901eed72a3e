"""The tables: one of records that is only added to, and indexes that may be dropped."""

from __future__ import annotations

from sqlalchemy import (
    Column,
    Connection,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    event,
)
from sqlalchemy.sql import quoted_name

OLDER = ("0001", "0002", "0003", "0004")
HEAD = "0005"
"""The revisions of the index tables; a test compares them with the migrations."""

LIVE = MetaData()

records = Table(
    "records",
    LIVE,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("schema", Integer, nullable=False),
    Column("noted_at", Text, nullable=False),
    Column("observed_at", Text, nullable=False),
    Column(quoted_name("by", quote=True), Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("replaces", Text, unique=True),
    Column("payload", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("previous", Text, nullable=False),
)

current = Table(
    "current_records",
    LIVE,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("lot", Text),
    Column("machine", Text),
    Column("set", Text),
    Column("observed", Text),  # UTC, as `stamp` writes it: text in the order of time
    Column(
        "words", Text
    ),  # folded, each once, a blank before and behind each: it is looked through
)
Index("current_by_lot", current.c.kind, current.c.lot, current.c.machine, current.c.seq)
Index("current_by_machine", current.c.kind, current.c.machine, current.c.seq)
Index("current_by_set", current.c.kind, current.c.set, current.c.seq)
Index("current_by_observed", current.c.observed, current.c.seq, current.c.kind)

remembered = Table(
    "remembered",
    LIVE,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("key", Text, nullable=False, unique=True),
    Column("value", LargeBinary, nullable=False),
    sqlite_autoincrement=True,
)

MOST_REMEMBERED = 4096

REFUSE_CHANGE = {
    "sqlite": (
        "CREATE TRIGGER records_not_updated BEFORE UPDATE ON records "
        "BEGIN SELECT RAISE(ABORT, 'records are never altered'); END",
        "CREATE TRIGGER records_not_deleted BEFORE DELETE ON records "
        "BEGIN SELECT RAISE(ABORT, 'records are never deleted'); END",
    ),
    "postgresql": (
        "CREATE OR REPLACE FUNCTION records_refuse_change() RETURNS trigger AS $$ "
        "BEGIN RAISE EXCEPTION 'records are never altered'; END $$ LANGUAGE plpgsql",
        "CREATE TRIGGER records_not_altered BEFORE UPDATE OR DELETE OR TRUNCATE ON records "
        "FOR EACH STATEMENT EXECUTE FUNCTION records_refuse_change()",
    ),
}
"""By database: what makes the database itself refuse to alter a record."""


@event.listens_for(records, "after_create")
def refuse_change(_: Table, db: Connection, **__: object) -> None:
    """Let the new database refuse to alter its records."""
    for statement in REFUSE_CHANGE[db.dialect.name]:
        db.exec_driver_sql(statement)
