"""Connections and transactions on both databases, and their errors as refusals."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from retrue.base.refusals import NotKept, Refusal, Unusable
from retrue.base.say import say

WAIT_MS = 15_000
ASLEEP_MS = 300_000  # a computer that falls asleep while it writes must not hold the others up
LOCK = 0x72657472_7565  # one writer at a time to a database: PostgreSQL's advisory lock
WRITING = {"retrue_writing": True}


@dataclass(slots=True)
class Gate:
    """One engine with one way in for reading and one for writing."""

    engine: Engine
    where: str  # without a password
    turn: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One transaction that only reads."""
        with refusing(self.where), self.engine.connect() as db, db.begin():
            yield db

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """One transaction that only reads, the rows of one moment, however long it takes."""
        with refusing(self.where), self.engine.connect() as db:
            if db.dialect.name == "postgresql":
                db = db.execution_options(isolation_level="REPEATABLE READ")
            with db.begin():
                if db.dialect.name == "postgresql":
                    db.execute(text("SET LOCAL idle_in_transaction_session_timeout TO 0"))
                yield db

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction that holds the only right to write, kept on leaving.

        Threads of this process wait in turn; other processes wait at the database.
        """
        with refusing(self.where), self.turn, self.engine.connect() as plain:
            db = plain.execution_options(**WRITING)
            with db.begin():
                if db.dialect.name == "postgresql":
                    db.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
                yield db


def sqlite_gate(path: Path) -> Gate:
    """A gate to a SQLite file.

    Parameters
    ----------
    path : Path
        The database file.

    Returns
    -------
    Gate
        Write-ahead log, every commit synced to the disk, foreign keys on, patient when busy.
    """
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        connect_args={"timeout": WAIT_MS / 1000, "check_same_thread": False},
        pool_size=8,
        max_overflow=56,
    )

    @event.listens_for(engine, "connect")
    def settle(raw: Any, _: object) -> None:
        raw.isolation_level = None  # we begin our transactions ourselves
        raw.execute(f"PRAGMA busy_timeout={WAIT_MS}")
        if raw.execute("PRAGMA journal_mode=WAL").fetchone()[0] != "wal":
            raise NotKept(
                say("{path} is on a disk that cannot hold a write-ahead log", path=path),
                remedy=say("Keep the shop on an ordinary disk of this computer."),
            )
        raw.execute("PRAGMA synchronous=FULL")
        raw.execute("PRAGMA foreign_keys=ON")

    @event.listens_for(engine, "begin")
    def begin(db: Connection) -> None:
        if db.get_execution_options().get("retrue_writing"):
            db.exec_driver_sql("BEGIN IMMEDIATE")  # it waits for others, and may be refused
        else:
            raw = db.connection.driver_connection
            assert raw is not None
            raw.execute("BEGIN")  # it takes no lock yet: there is nothing to refuse

    return Gate(engine, str(path))


def postgresql_gate(address: str) -> Gate:
    """A gate to a PostgreSQL database.

    Raises
    ------
    Unusable
        The address cannot be read.
    NotKept
        The driver is not installed.
    """
    try:
        url = make_url(address)
        engine = create_engine(
            url,
            pool_size=8,
            max_overflow=24,
            pool_pre_ping=True,
            connect_args={} if "connect_timeout" in url.query else {"connect_timeout": 10},
        )
    except (ArgumentError, ValueError):
        raise Unusable(
            say("the address of the database cannot be read"),
            remedy=say("Write it as postgresql://user@host:5432/database."),
        ) from None
    except ModuleNotFoundError:
        raise NotKept(
            say("the driver for PostgreSQL is not installed"),
            remedy=say("Install it with the extra: retrue[postgresql]."),
        ) from None

    @event.listens_for(engine, "connect")
    def settle(raw: Any, _: object) -> None:
        raw.autocommit = True
        raw.execute("SET synchronous_commit TO on")  # whatever the role says
        raw.execute(f"SET lock_timeout TO {WAIT_MS}")
        raw.execute(f"SET idle_in_transaction_session_timeout TO {ASLEEP_MS}")
        raw.autocommit = False

    return Gate(engine, url.set(password=None).render_as_string().replace("+psycopg", ""))


@contextmanager
def refusing(where: str) -> Iterator[None]:
    """Turn what a database says into a refusal with a remedy."""
    try:
        yield
    except PoolTimeout:
        raise _busy(where) from None
    except DBAPIError as error:
        refusal = refusal_for(error, where)
        if refusal is None:
            raise
        raise refusal from error


def refusal_for(error: DBAPIError, where: str) -> Refusal | None:
    """The refusal for a database's error; None if it is a mistake of ours.

    Parameters
    ----------
    error : sqlalchemy.exc.DBAPIError
        As the driver raised it.
    where : str
        The place, without a password.

    Returns
    -------
    Refusal or None
        With what would help.
    """
    for codes, reason, remedy in _SAYINGS:
        if _code(error) in codes:
            return NotKept(say(reason, where=where), remedy=say(remedy))
    return None


def _code(error: DBAPIError) -> str:
    """SQLite's result code, or the class and code that PostgreSQL gives, in any language."""
    driver = error.orig
    number = getattr(driver, "sqlite_errorcode", None)
    if number is not None:
        return SQLITE.get(number, SQLITE.get(number & 0xFF, ""))
    state: str | None = getattr(driver, "sqlstate", None)
    if state is None:  # the driver found no server that could have said it
        gone = isinstance(error, OperationalError) and hasattr(driver, "diag")
        return "08" if gone else ""
    return state if state in POSTGRESQL else state[:2]


def _busy(where: str) -> NotKept:
    return NotKept(
        say("the shop at {where} is busy", where=where),
        remedy=say("Close other programs that hold it open, then try again; nothing was lost."),
    )


SQLITE = {
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_CANTOPEN: "read-only",
    sqlite3.SQLITE_PERM: "read-only",
    sqlite3.SQLITE_BUSY: "busy",
    sqlite3.SQLITE_LOCKED: "busy",
    sqlite3.SQLITE_NOTADB: "broken",
    sqlite3.SQLITE_CORRUPT: "broken",
    sqlite3.SQLITE_IOERR: "disk",
    sqlite3.SQLITE_IOERR_SHORT_READ: "broken",
}
POSTGRESQL = frozenset({"25006", "42501", "53100", "53300", "55P03", "58030", "3D000"})

_SAYINGS: tuple[tuple[frozenset[str], str, str], ...] = (
    (
        frozenset({"full", "53100"}),
        "the disk that holds {where} is full",
        "Free some space, then send it again; nothing kept before is lost.",
    ),
    (
        frozenset({"read-only", "25006", "42501"}),
        "the shop at {where} cannot be written",
        "Give yourself the right to write to it and its folder, or choose another place.",
    ),
    (
        frozenset({"busy", "55P03", "53300"}),
        "the shop at {where} is busy",
        "Close other programs that hold it open, then try again; nothing was lost.",
    ),
    (
        frozenset({"broken"}),
        "{where} is not a whole SQLite database",
        "Check the path; if it is your shop, restore it from its latest backup.",
    ),
    (
        frozenset({"disk", "58030"}),
        "the disk that holds {where} cannot be read or written",
        "Look at the disk and at your quota, then send it again; what was kept before is whole.",
    ),
    (
        frozenset({"08", "28", "57", "3D000"}),
        "the database at {where} does not answer",
        "Start it, and check the address, the user and the password.",
    ),
)
