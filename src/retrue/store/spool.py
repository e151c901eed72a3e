"""What is done of a catalogue, kept in one file beside it, so that a stopped run goes on.

The first line names what the rows follow from and how many parts there are; each line after it is
one part, with the SHA-256 of it behind a tab. A line is written whole and flushed to the disk; one
that was cut off is left out, and one that was changed as well: its part is worked out anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from io import FileIO
from pathlib import Path
from typing import Any

from retrue.base.refusals import NotKept, NotYet, Refusal, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.parts import PartDone

ENDING = ".screening"
SCHEMA = 2
TAB = "\t"  # before the hash of a line; JSON has none outside its texts, and none as it is in them


def beside(catalogue: Path) -> Path:
    """Where the spool of a catalogue lies.

    Parameters
    ----------
    catalogue : Path

    Returns
    -------
    Path

    Examples
    --------
    >>> beside(Path("sale.csv")).name
    'sale.csv.screening'
    """
    return catalogue.with_name(catalogue.name + ENDING)


class Spool:
    """Parts of one catalogue, kept as they are done."""

    def __init__(
        self, path: Path, file: FileIO, done: Mapping[int, PartDone], damaged: int = 0
    ) -> None:
        """Take a file that stands open, ready for the next line.

        Parameters
        ----------
        path : Path
        file : FileIO
        done : mapping of int to PartDone
        damaged : int
            How many of its lines are not what was written.
        """
        self.path = path
        self.damaged = damaged
        self.done = dict(done)
        self._file = file

    def keep(self, part: PartDone) -> None:
        """Write one part, whole and at once.

        Raises
        ------
        NotKept
            The disk is full, or gone.
        """
        try:
            text = text_of(part)
            _write(self._file, f"{text}{TAB}{_hash(text)}")
            os.fsync(self._file.fileno())
        except OSError as wrong:
            raise _not_kept(self.path, wrong) from wrong
        self.done[part.number] = part


@contextlib.contextmanager
def spooled(
    path: Path,
    key: str,
    parts: int,
    *,
    anew: bool = False,
    lots: Sequence[Sequence[str]] | None = None,
) -> Iterator[Spool]:
    """Open the spool of a catalogue, begun here or by a run that was stopped.

    Parameters
    ----------
    path : Path
    key : str
        Names what the rows follow from.
    parts : int
        Into how many the catalogue is cut.
    anew : bool
        Leave what it holds.
    lots : sequence of sequence of str or None
        Numbers of the lots of each part: a line with others is damaged. None: they are not held
        against it.

    Yields
    ------
    Spool
        With the parts that are done, and the count of lines that are damaged: they are not among
        them. One that is finished gives way to another key; one that is not is never thrown away.

    Raises
    ------
    Unusable
        It holds the beginning of another screening, or is no spool.
    NotYet
        Another run is at it.
    NotKept
        It cannot be written.
    """
    try:
        file = path.open("r+b" if path.exists() else "w+b", buffering=0)
    except OSError as wrong:
        raise _not_kept(path, wrong) from wrong
    with file:
        _alone(file, path)
        done, damaged = ({}, 0) if anew else _kept(file, path, key, parts, lots)
        if not done:
            head = json.dumps({"key": key, "parts": parts, "schema": SCHEMA}, sort_keys=True)
            file.seek(0)
            file.truncate()
            _write(file, head)
        yield Spool(path, file, done, damaged)


def _write(file: FileIO, line: str) -> None:
    rest = memoryview(line.encode() + b"\n")
    while rest:
        rest = rest[file.write(rest) :]


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


Lots = Sequence[Sequence[str]] | None


def _kept(
    file: FileIO, path: Path, key: str, parts: int, lots: Lots
) -> tuple[dict[int, PartDone], int]:
    """The parts it holds under this key, and the damaged lines; it stands behind the last whole."""
    content = file.readall()
    first, *lines = content.splitlines(keepends=True) or [b""]
    head = _head(first, path)
    if head is None:
        return {}, 0
    whole = [line for line in lines if line.endswith(b"\n")]
    if head["schema"] != SCHEMA:
        if len(whole) < head["parts"]:
            raise _of_another_version(path)
        return {}, 0
    mine = head["key"] == key and head["parts"] == parts
    read = [_part(line, head["parts"], lots if mine else None) for line in whole]
    done = {part.number: part for part in read if part is not None}
    if not mine:
        if done and len(done) < head["parts"]:
            raise _of_another(path, len(done), head["parts"])
        return {}, 0
    file.seek(len(first) + sum(map(len, whole)))
    file.truncate()
    return done, len(read) - sum(part is not None for part in read)


def _part(line: bytes, parts: int, lots: Lots) -> PartDone | None:
    """What a whole line holds; None where that is not what was written, or of no such part."""
    with contextlib.suppress(Unreadable, UnicodeDecodeError):
        text, _, hashed = line.decode().rstrip("\n").rpartition(TAB)
        if hashed != _hash(text):
            return None
        part = done_of(text)
        if not 0 <= part.number < parts:
            return None
        told = None if lots is None else tuple(lots[part.number])
        if told is None or told == tuple(row.number for row in part.rows):
            return part
    return None


def _head(line: bytes, path: Path) -> dict[str, Any] | None:
    """The first line; None where it was cut off, or never written."""
    if not line.endswith(b"\n"):
        return None
    with contextlib.suppress(ValueError):
        head = json.loads(line)
        if isinstance(head, dict) and _is_head(head):
            return head
    raise Unusable(
        say("{path} is no screening that this program began", path=path.name),
        remedy=say("Move that file elsewhere, or begin anew with --restart."),
    )


def _is_head(head: Mapping[str, Any]) -> bool:
    key, parts = head.get("key"), head.get("parts")
    counted = isinstance(parts, int) and not isinstance(parts, bool) and parts >= 0
    version = head.get("schema")
    numbered = isinstance(version, int) and not isinstance(version, bool)
    return numbered and isinstance(key, str) and counted


def _of_another_version(path: Path) -> Refusal:
    return Unusable(
        say("{path} is an unfinished screening of another version of this program", path=path.name),
        remedy=say("Finish it with that version, or leave it and begin anew with --restart."),
    )


def _of_another(path: Path, done: int, parts: int) -> Refusal:
    what = say(
        "{path} holds {done} of {parts} parts of a screening with another catalogue or other terms",
        path=path.name, done=done, parts=parts,
    )  # fmt: skip
    remedy = say("Finish it as it was begun, or leave it and begin anew with --restart.")
    return Unusable(what, remedy=remedy)


def _not_kept(path: Path, wrong: OSError) -> NotKept:
    return NotKept(
        say("{path} cannot be written: {why}", path=path.name, why=wrong.strerror or wrong),
        remedy=say("Make room, or copy the catalogue to a folder that may be written to."),
    )


def _alone(file: FileIO, path: Path) -> None:
    """Keep it for this run alone, where the system can."""
    try:
        import fcntl
    except ImportError:  # not on this system
        return
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise NotYet(
            say("another run is at {path}", path=path.name),
            remedy=say("Wait until it is done, or stop it."),
        ) from None
