"""Bring a shop up to date when it is opened: a copy first, then one transaction."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, inspect, text

from retrue.base.refusals import NotKept, Unusable
from retrue.base.say import say
from retrue.store.engine import Gate
from retrue.store.index import fill, is_missing, rebuild
from retrue.store.tables import HEAD, LIVE, OLDER

STEPS = Path(__file__).parent / "migrations"
VERSION = "index_version"
_KEPT = text(f"SELECT version_num FROM {VERSION}")


def bring_up_to_date(gate: Gate, path: Path | None) -> Path | None:
    """Make a new shop, or raise the index tables of an older one.

    Parameters
    ----------
    gate : Gate
        The way into the database.
    path : Path or None
        The SQLite file to copy first; None on PostgreSQL.

    Returns
    -------
    Path or None
        The copy that was made, if the tables had to change.

    Raises
    ------
    NotKept
        A newer version of the program has kept this shop, or it cannot be written.
    Unusable
        The database belongs to another program.
    """
    with gate.reading() as db:
        if not is_missing(db, VERSION) and _version(db) == HEAD:
            return None
    with gate.writing() as db:  # look again: another process may have been first
        kept = kept_at(db)
        if kept is None:
            _refuse_stranger(db, gate.where)
            _refuse_orphans(path)
            _make(db)
        elif kept == HEAD:
            if is_missing(db):
                rebuild(db)
        else:
            return _raise(db, kept, gate.where, path)
    return None


def kept_at(db: Connection) -> str | None:
    """The revision of a shop's index tables; None if there is no shop yet."""
    if not inspect(db).has_table(VERSION):
        return None
    return _version(db)


def _version(db: Connection) -> str | None:
    kept: str | None = db.execute(_KEPT).scalar()
    return kept


def back_up(path: Path, copy: Path) -> None:
    """Copy a live SQLite database through its backup interface.

    Parameters
    ----------
    path, copy : Path
        The shop's file, which may be in use, and the new file.

    Raises
    ------
    NotKept
        The copy could not be written; nothing is left of it.
    """
    try:
        with (
            contextlib.closing(sqlite3.connect(path)) as live,
            contextlib.closing(sqlite3.connect(copy)) as new,
        ):
            new.execute("PRAGMA synchronous=FULL")
            live.backup(new)
    except (sqlite3.Error, OSError) as error:
        copy.unlink(missing_ok=True)
        raise NotKept(
            say(
                "no copy of {path} could be made before changing it: {error}",
                path=path,
                error=error,
            ),
            remedy=say("Free some space or check the rights to its folder; the shop is unchanged."),
        ) from None


def _make(db: Connection) -> None:
    LIVE.create_all(db, checkfirst=False)  # whoever has any of them was refused
    db.execute(text(f"CREATE TABLE {VERSION} (version_num VARCHAR(32) NOT NULL PRIMARY KEY)"))
    db.execute(text(f"INSERT INTO {VERSION} VALUES (:head)"), {"head": HEAD})


def _refuse_stranger(db: Connection, where: str) -> None:
    there = set(inspect(db).get_table_names())
    if db.dialect.name == "postgresql":  # a schema may be shared, the names may not
        there &= {table.name for table in LIVE.sorted_tables}
    if there:
        raise Unusable(
            say("{where} is a database of another program", where=where),
            remedy=say("Name another file or database; a new shop is made where there is nothing."),
        )


def _refuse_orphans(path: Path | None) -> None:
    """A database with nothing in it beside a folder of kept files was cut off, or is gone."""
    files = None if path is None else path.with_name(path.name + ".files")
    if files is not None and next(files.glob("[0-9a-f][0-9a-f]/*"), None) is not None:
        raise NotKept(
            say("{path} holds no records, and the folder beside it holds kept files", path=path),
            remedy=say("Put the latest backup back with retrue shop restore. To begin anew, move "
                       "the folder {folder} away.", folder=files.name),
        )  # fmt: skip


def climb(db: Connection, revision: str) -> None:
    """Take the steps from where a database stands up to a revision, in its open transaction."""
    from alembic.config import Config  # dear to load, rarely needed
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    script = ScriptDirectory(str(STEPS))

    def steps(standing: Any, _: object) -> Sequence[Any]:
        return script._upgrade_revs(revision, standing)

    with EnvironmentContext(Config(), script, fn=steps) as environment:
        environment.configure(connection=db, transactional_ddl=True, version_table=VERSION)
        environment.run_migrations()


def _raise(db: Connection, kept: str, where: str, path: Path | None) -> Path | None:
    if kept not in OLDER:
        raise NotKept(
            say(
                "the shop at {where} was kept by a newer version of this program ({kept})",
                where=where,
                kept=kept,
            ),
            remedy=say("Update the program on this machine, then open the shop again."),
        )
    copy = None
    if path is not None:
        copy = _free_name(path, kept)
        back_up(path, copy)
    climb(db, HEAD)
    fill(db)
    return copy


def _free_name(path: Path, kept: str) -> Path:
    stem, number = f"{path.name}.before-{kept}-to-{HEAD}", 0
    while (copy := path.with_name(stem + (f".{number}" if number else ""))).exists():
        number += 1
    return copy
