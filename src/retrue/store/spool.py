"""What is done of a catalogue, kept in one file beside it, so that a stopped run goes on.

The first line names what the rows follow from and how many parts there are; each line after it is
one part. A line is written whole and flushed to the disk; one that was cut off is left out.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator, Mapping
from io import FileIO
from pathlib import Path
from typing import Any

from retrue.base.refusals import NotKept, NotYet, Refusal, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.parts import PartDone

ENDING = ".screening"
SCHEMA = 1


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

    def __init__(self, path: Path, file: FileIO, done: Mapping[int, PartDone]) -> None:
        """Take a file that stands open, ready for the next line."""
        self.path = path
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
            _write(self._file, text_of(part))
            os.fsync(self._file.fileno())
        except OSError as wrong:
            raise _not_kept(self.path, wrong) from wrong
        self.done[part.number] = part


@contextlib.contextmanager
def spooled(path: Path, key: str, parts: int, *, anew: bool = False) -> Iterator[Spool]:
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

    Yields
    ------
    Spool
        With the parts that are done. One that is finished gives way to another key; one that is
        not is never thrown away.

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
        done = {} if anew else _kept(file, path, key)
        if not done:
            head = json.dumps({"key": key, "parts": parts, "schema": SCHEMA}, sort_keys=True)
            file.seek(0)
            file.truncate()
            _write(file, head)
        yield Spool(path, file, done)


def _write(file: FileIO, line: str) -> None:
    rest = memoryview(line.encode() + b"\n")
    while rest:
        rest = rest[file.write(rest) :]


def _kept(file: FileIO, path: Path, key: str) -> dict[int, PartDone]:
    """The parts it holds under this key; the file stands behind the last whole line."""
    first, *lines = file.readall().splitlines(keepends=True) or [b""]
    head = _head(first, path)
    if head is None:
        return {}
    done, whole = {}, len(first)
    for line in lines:
        try:
            if not line.endswith(b"\n"):
                break
            part = done_of(line.decode())
        except (Unreadable, UnicodeDecodeError):
            break
        done[part.number] = part
        whole += len(line)
    if head["key"] != key:
        if done and len(done) < head["parts"]:
            raise _of_another(path, len(done), head["parts"])
        return {}
    file.seek(whole)
    file.truncate()
    return done


def _head(line: bytes, path: Path) -> dict[str, Any] | None:
    """The first line; None where it was cut off, or never written."""
    if not line.endswith(b"\n"):
        return None
    with contextlib.suppress(ValueError):
        head = json.loads(line)
        if isinstance(head, dict) and head.get("schema") == SCHEMA and {"key", "parts"} <= {*head}:
            return head
    raise Unusable(
        say("{path} is no screening that this program began", path=path.name),
        remedy=say("Move that file elsewhere, or begin anew with --restart."),
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
