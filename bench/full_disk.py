"""A disk that becomes full at a random moment, in one of many ways; for ``bench/kill.py``."""

from __future__ import annotations

import errno
import os
import resource
import signal
import sqlite3
from random import Random

from sqlalchemy import event, text

from retrue.store.beside import DISK, Disk
from retrue.store.shop import SqlShop


def fill_up(shop: SqlShop, chance: Random) -> Disk:
    """Let one sort of fullness come; the disk that files and backups are written to."""
    engine = shop._gate.engine
    lite = engine.dialect.name == "sqlite"
    way = chance.choice(("database", "database", "system", "calls"))
    if way == "system":
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        most = chance.randrange(40_000, 900_000) if lite else chance.randrange(1, 30_000)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
    elif way == "calls":
        disk = failing(chance.randrange(6))
        assert shop._files is not None
        shop._files._disk = disk
        return disk
    elif lite:
        few_pages(shop, chance.randrange(12))
    else:
        with shop._gate.writing() as db:
            for statement in refusing_rows(chance):
                db.execute(text(statement))
    return DISK


def failing(after: int) -> Disk:
    """A disk whose calls fail from some call on."""
    left = iter(range(after))

    def ask() -> None:
        if next(left, None) is None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def write(handle: int, data: bytes) -> int:
        ask()
        return os.write(handle, data)

    def sync(handle: int) -> None:
        ask()
        os.fsync(handle)

    return Disk(write, sync)


def few_pages(shop: SqlShop, more: int) -> None:
    """SQLite may have so many more pages than it has."""
    with shop._gate.reading() as db:
        most = db.exec_driver_sql("PRAGMA page_count").scalar_one() + more

    @event.listens_for(shop._gate.engine, "checkout")
    def narrow(raw: sqlite3.Connection, *_: object) -> None:
        raw.execute(f"PRAGMA max_page_count={most}")


def refusing_rows(chance: Random) -> list[str]:
    """Statements by which a PostgreSQL server says that its disk is full: at a row or at commit."""
    table = chance.choice(("records", "current_records"))
    when = chance.choice(
        ("TRIGGER disk_full BEFORE INSERT", "CONSTRAINT TRIGGER disk_full AFTER INSERT")
    )
    deferred = "DEFERRABLE INITIALLY DEFERRED" if when.startswith("CONSTRAINT") else ""
    return [
        "CREATE OR REPLACE FUNCTION disk_full() RETURNS trigger AS $$ BEGIN "
        "IF random() < 0.1 THEN RAISE EXCEPTION 'could not extend file: No space left on device' "
        "USING ERRCODE = '53100'; END IF; RETURN NEW; END $$ LANGUAGE plpgsql",
        f"CREATE {when} ON {table} {deferred} FOR EACH ROW EXECUTE FUNCTION disk_full()",
    ]


def room_again(shop: SqlShop) -> None:
    """Take away what made the server say that it is full."""
    if shop._gate.engine.dialect.name == "postgresql":
        with shop._gate.writing() as db:
            for table in ("records", "current_records"):
                db.execute(text(f"DROP TRIGGER IF EXISTS disk_full ON {table}"))
