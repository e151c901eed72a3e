"""A shop as a backup, a copy or a check sees it: its rows at one moment, and its kept files."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from retrue.base.refusals import NotKept
from retrue.base.say import say
from retrue.records.chain import Row
from retrue.records.shop import RecordShop
from retrue.store.beside import BUFFER
from retrue.store.engine import Gate
from retrue.store.files import Files, Readable
from retrue.store.index import rebuild
from retrue.store.shop import SqlShop

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many are done, and of how many; 0: nobody knows."""

EVERY = 500  # rows between two words of progress


def quiet(what: str, done: int, of: int) -> None:
    """Say nothing of how far it is."""


@dataclass(frozen=True, slots=True)
class Kept:
    """The inside of a shop on a disk."""

    gate: Gate
    files: Files

    @property
    def database(self) -> Path | None:
        """The SQLite file; None on PostgreSQL."""
        url = self.gate.engine.url
        return Path(url.database) if url.drivername == "sqlite" and url.database else None

    def rebuild(self) -> None:
        """Make the index of what counts anew from the records."""
        with self.gate.writing() as db:
            rebuild(db)

    def sizes(self) -> dict[str, int]:
        """The bytes of every kept file, by its hash, in order."""
        return {name: self.files.path(name).stat().st_size for name in self.files.names()}


def kept(shop: RecordShop) -> Kept:
    """Look inside a shop.

    Raises
    ------
    NotKept
        It stands on no disk, or has no folder for files.
    """
    if not isinstance(shop, SqlShop) or shop._files is None:
        raise NotKept(
            say("this shop stands on no disk"),
            remedy=say("Open the shop that is kept in a file or in a database."),
        )
    return Kept(shop._gate, shop._files)


def told(rows: Iterator[Row], progress: Progress, what: str, of: int = 0) -> Iterator[Row]:
    """Let rows go by and say now and then how many."""
    done = 0
    for done, row in enumerate(rows, 1):
        yield row
        if done % EVERY == 0:
            progress(what, done, of)
    progress(what, done, of or done)


def hash_of(stream: Readable) -> str:
    """SHA-256 in hex of a stream, read to its end in pieces."""
    over = hashlib.sha256()
    while piece := stream.read(BUFFER):
        over.update(piece)
    return over.hexdigest()
