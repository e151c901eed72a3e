"""A backup read: nothing in it is trusted, nothing is written by a name that stands in it."""

from __future__ import annotations

import hashlib
import io
import os
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say
from retrue.records.chain import Row, broken
from retrue.records.lines import Tally, row_of
from retrue.records.packing import is_of_newer
from retrue.store.beside import BUFFER
from retrue.store.inside import (
    FILES,
    MANIFEST,
    MARK,
    README,
    RECORDS,
    Inside,
    files_hash,
    inside_of,
    refuse_changed,
    refuse_newer,
    refuse_unfit,
)
from retrue.store.kept import Progress, hash_of, quiet, told

KEPT_NAME = re.compile(re.escape(FILES) + r"([0-9a-f]{2})/(\1[0-9a-f]{62})")
ALONE = frozenset({MANIFEST, RECORDS, README})
ZIP = b"PK\x03\x04"  # how a zip with something in it begins, and each of its parts
HEAD = struct.Struct("<4s5H3I2H")  # of a part; the last two are the lengths of its name and of more
LONGEST_LINE = 64 * BUFFER
LARGEST_MANIFEST = 16 * BUFFER
MOST_PACKED = 400  # times smaller; text of records packs ten times, at most some hundred


class Part(io.RawIOBase):
    """One part of a backup, open to be read; what its zip says wrong is a refusal."""

    def __init__(self, inner: IO[bytes], path: Path) -> None:
        self._inner = inner
        self._path = path

    def read(self, size: int = -1, /) -> bytes:
        """Some of it."""
        with _reading(self._path):
            return self._inner.read(size)

    def readline(self, size: int | None = -1, /) -> bytes:
        """One line, or its beginning."""
        with _reading(self._path):
            return self._inner.readline(-1 if size is None else size)

    def close(self) -> None:
        """Let go of it."""
        self._inner.close()
        super().close()


class Backup:
    """A backup that is open and stands to be proved."""

    def __init__(self, packed: zipfile.ZipFile, path: Path) -> None:
        self._packed = packed
        self._path = path
        self._parts = _parts(packed, path)
        self.inside: Inside = inside_of(self._manifest())

    def rows(self, progress: Progress = quiet, what: str = "records") -> Iterator[Row]:
        """Every row, in its order."""
        return told(self._lines(), progress, what, self.inside.records)

    def _lines(self) -> Iterator[Row]:
        with self._open(RECORDS) as part:
            while line := part.readline(LONGEST_LINE):
                yield row_of(line)

    def hash_of_part(self, name: str) -> str:
        """The hash of one part that is no kept file, read to its end."""
        with self._open(name) as part:
            return hash_of(part)

    @property
    def sizes(self) -> dict[str, int]:
        """The bytes of every kept file in it, by its hash, in order."""
        found = {KEPT_NAME.fullmatch(name): one.file_size for name, one in self._parts.items()}
        return dict(sorted((match[2], size) for match, size in found.items() if match))

    @property
    def stored(self) -> list[tuple[str, zipfile.ZipInfo]]:
        """The parts that hold kept files, by their hashes, in the order in which they stand."""
        found = [(KEPT_NAME.fullmatch(name), part) for name, part in self._parts.items()]
        every = [(match[2], part) for match, part in found if match]
        return sorted(every, key=lambda one: one[1].header_offset)

    def file(self, sha256: str) -> Part:
        """One kept file, open to be read."""
        return self._open(f"{FILES}{sha256[:2]}/{sha256}")

    def _open(self, name: str) -> Part:
        with _reading(self._path):
            return Part(self._packed.open(self._parts[name]), self._path)

    def _manifest(self) -> bytes:
        if self._parts[MANIFEST].file_size > LARGEST_MANIFEST:
            raise refuse_changed(Problem(MANIFEST, say("is too large")))
        with self._open(MANIFEST) as part:
            return part.read()


@contextmanager
def open_backup(path: Path) -> Iterator[Backup]:
    """Open a backup to read it.

    Parameters
    ----------
    path : Path
        The file.

    Yields
    ------
    Backup
        Its names and sizes have been looked at; `proved` proves the rest.

    Raises
    ------
    Unreadable
        It is not there, no backup, of a newer program, cut off, or was changed.
    """
    with _reading(path):
        packed = zipfile.ZipFile(path)
    with packed:
        yield Backup(packed, path)


@contextmanager
def _reading(path: Path) -> Iterator[None]:
    """Turn what a zip or its disk says into a refusal."""
    try:
        yield
    except (zipfile.BadZipFile, EOFError, zlib.error, NotImplementedError, RuntimeError):
        raise refuse_changed() from None
    except (ValueError, OverflowError, struct.error, UnicodeDecodeError):
        raise refuse_changed() from None
    except OSError as error:
        raise Unreadable(
            say("{path} cannot be read: {why}", path=path, why=error.strerror or error),
            remedy=say("Check the path, the disk, and your right to read it."),
        ) from None


def manifest_of(path: Path) -> Inside:
    """What a backup says of itself, which is not proved yet."""
    with open_backup(path) as backup:
        return backup.inside


def proved(path: Path, progress: Progress = quiet) -> Inside:
    """Read all of a backup and prove every byte: the file, the chain, every kept file.

    Parameters
    ----------
    path : Path
        The file.
    progress : callable
        Hears how far it is.

    Returns
    -------
    Inside
        What is in it.

    Raises
    ------
    Unreadable
        As `open_backup`; or it is not what it says.

    References
    ----------
    FIPS 180-4 (SHA-256).
    """
    return _proved(path, progress, marked=True)[0]


def read_back(path: Path, progress: Progress = quiet) -> tuple[Inside, str]:
    """Prove that a backup which has just been written, and bears no mark yet, reads as it says.

    Its records were proved one by one while they were written: here the hash over all of them,
    and that of each kept file, must be those of its manifest and of its names.

    Parameters
    ----------
    path : Path
        The file; its last 64 bytes are to hold the hash of all before them.
    progress : callable
        Hears how far it is.

    Returns
    -------
    Inside, str
        What is in it, for the writer to compare with what he wrote; and that hash.

    Raises
    ------
    Unreadable
        As `proved`.
    """
    return _proved(path, progress, marked=False)


def _proved(path: Path, progress: Progress, *, marked: bool) -> tuple[Inside, str]:
    _refuse_other_beginning(path)
    with open_backup(path) as backup:
        read = _read_through(path, backup, progress)
        if read.tail != MARK or (marked and read.whole != read.end):
            raise refuse_changed(Problem(path.name, say("is not as it was written")))
        if marked:
            _prove_rows(backup, progress)
        elif backup.hash_of_part(RECORDS) != backup.inside.content_sha256:
            raise refuse_changed(Problem(RECORDS, say("is not as it was written")))
        backup.hash_of_part(README)  # its check sum is held against it
        _prove_list(backup)
        if read.damaged:
            raise refuse_changed(Problem(read.damaged, say("this kept file is damaged")))
        return backup.inside, read.whole


def _prove_rows(backup: Backup, progress: Progress) -> None:
    inside = backup.inside
    tally = Tally()
    newer: set[str] = set()
    rows = _watched(backup.rows(progress, "records read back"), tally, newer)
    problems = list(broken(rows))
    found = [one.where for one in problems]
    lacking = [where for where, _ in inside.problems]
    stands = (tally.count, tally.last, tally.until, tally.content)
    told_of = (inside.records, inside.last_sha256, inside.until, inside.content_sha256)
    if stands != told_of:
        raise refuse_changed(Problem(RECORDS, say("is not as it was written")))
    if found != [where for where in lacking if where in set(found)]:
        if newer:  # as written, and yet not to be understood here
            raise refuse_newer(inside.version)
        raise refuse_unfit(problems)


def _prove_list(backup: Backup) -> None:
    inside, sizes = backup.inside, backup.sizes
    files = (inside.files, inside.file_bytes, inside.files_sha256)
    if files != (len(sizes), sum(sizes.values()), files_hash(sizes)):
        raise refuse_changed(Problem(FILES, say("are not those it was written with")))


def _watched(rows: Iterator[Row], tally: Tally, newer: set[str]) -> Iterator[Row]:
    for row in tally.counted(rows):
        if is_of_newer(row.kind, row.schema):
            newer.add(row.kind)
        yield row


@dataclass(slots=True)
class _Read:
    """What one reading of a whole file showed.

    Attributes
    ----------
    whole, tail, end
        The hash of all bytes but the last 64, what stands before these, and they themselves.
    damaged : str
        The first kept file that is not what its name says; empty: none.
    """

    whole: str = ""
    tail: bytes = b""
    end: str = ""
    damaged: str = ""


def _read_through(path: Path, backup: Backup, progress: Progress) -> _Read:
    """Read every byte once: the hash of them all, and of each kept file on the way."""
    over, read = hashlib.sha256(), _Read()
    every = backup.stored
    with _reading(path), path.open("rb") as file:
        left = os.fstat(file.fileno()).st_size - 64

        def take(count: int, *hear: Callable[[bytes], None]) -> None:
            nonlocal left
            while count > 0 and (piece := file.read(min(BUFFER, count, max(left, 0)))):
                over.update(piece)
                read.tail = (read.tail + piece[-len(MARK) :])[-len(MARK) :]
                count, left = count - len(piece), left - len(piece)
                for one in hear:
                    one(piece)

        for done, (sha256, part) in enumerate(every, 1):
            take(part.header_offset - file.tell())
            if not _is_kept(sha256, part, take) and not read.damaged:
                read.damaged = sha256
            progress("files read back", done, len(every))
        take(left)
        read.whole, read.end = over.hexdigest(), file.read(65).decode("ascii", "replace")
    return read


def _is_kept(sha256: str, part: zipfile.ZipInfo, take: Callable[..., None]) -> bool:
    """Whether a kept file is what its name and the list at the end of the zip say of it."""
    head, content, check = bytearray(), hashlib.sha256(), [0]
    take(HEAD.size, head.extend)
    if len(head) != HEAD.size:
        return False
    begin, _, _, packing, _, _, _, _, _, name, more = HEAD.unpack(head)
    named = bytearray()
    take(name, named.extend)
    take(more)

    def crc(piece: bytes) -> None:
        check[0] = zlib.crc32(piece, check[0])

    take(part.file_size, content.update, crc)
    said = (begin, packing, bytes(named), content.hexdigest(), check[0])
    return said == (ZIP, zipfile.ZIP_STORED, part.filename.encode(), sha256, part.CRC)


def _refuse_other_beginning(path: Path) -> None:
    with _reading(path), path.open("rb") as file:
        begins = file.read(len(ZIP)) == ZIP
    if not begins:
        raise _refuse_stranger(path, "")


def _parts(packed: zipfile.ZipFile, path: Path) -> dict[str, zipfile.ZipInfo]:
    """The parts by name; refused is what a backup never holds."""
    parts: dict[str, zipfile.ZipInfo] = {}
    for one in packed.infolist():
        if one.filename not in ALONE and not KEPT_NAME.fullmatch(one.filename):
            raise _refuse_stranger(path, one.filename)
        if one.filename in parts or one.flag_bits & 0x1:
            raise refuse_changed(Problem(one.filename[:80], say("stands in it twice")))
        if one.filename not in ALONE and one.compress_type != zipfile.ZIP_STORED:
            raise refuse_changed(Problem(one.filename, say("is not as it was written")))
        most = MOST_PACKED if one.filename == RECORDS else 1
        if one.file_size > most * one.compress_size + BUFFER * (most > 1):
            raise refuse_changed(Problem(one.filename, say("unpacks to far more than a backup")))
        parts[one.filename] = one
    if not parts.keys() >= ALONE:
        raise _refuse_stranger(path, "")
    return parts


def _refuse_stranger(path: Path, name: str) -> Unreadable:
    shown = re.sub(r"[^\x20-\x7e]", "?", name)[:80]
    return Unreadable(
        say("{path} is no backup of a shop", path=path.name),
        remedy=say("Choose a file that retrue shop backup has made."),
        problems=(Problem(shown, say("does not belong in a backup")),) if shown else (),
    )
