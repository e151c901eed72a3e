"""Any file, kept by the hash of its content in a folder beside the records."""

from __future__ import annotations

import hashlib
import io
import os
import re
import uuid
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Protocol

from retrue.base.refusals import Unknown, Unreadable
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.store.beside import (
    BUFFER,
    DISK,
    Disk,
    is_alive,
    leftovers,
    refusing_disk,
    remove,
    sync_folder,
)
from retrue.store.places import make_folder

LEAVE_S = 3600.0  # what is coming may be another computer's


class Readable(Protocol):
    """What can be read in pieces."""

    def read(self, size: int, /) -> bytes:
        """The next piece; nothing at the end."""
        ...


Opens = Callable[[], AbstractContextManager[Readable]]


class Files:
    """A folder of kept files; a file never changes once it is there."""

    def __init__(self, folder: Path, *, disk: Disk = DISK) -> None:
        self.folder = folder
        self._disk = disk

    def keep(self, content: bytes) -> str:
        """Keep bytes; the same bytes twice are kept once.

        Parameters
        ----------
        content : bytes
            Any content; it is never executed.

        Returns
        -------
        str
            SHA-256 in hex, the name under which they stay.

        Raises
        ------
        NotKept
            The folder cannot be written, or the disk is full.
        """
        name = hashlib.sha256(content).hexdigest()
        self.take(name, io.BytesIO(content))
        return name

    def take(self, sha256: str, source: Readable) -> bool:
        """Keep what a stream holds under the hash it must have.

        Parameters
        ----------
        sha256 : str
            In hex.
        source : stream of bytes
            Read to its end, piece by piece.

        Returns
        -------
        bool
            False: it was here already.

        Raises
        ------
        NotKept
            The folder cannot be written, or the disk is full; nothing is left of it then.
        Unreadable
            The stream holds something else.
        """
        home = self.path(sha256)
        coming = self.folder / f".coming-{os.getpid()}-{uuid.uuid4().hex}"
        with refusing_disk(self.folder):
            if home.exists() and _is_whole(home, sha256):
                return False
            make_folder(home.parent)
            try:
                if self._put(coming, source) != sha256:
                    raise _refuse_damaged(sha256)
                os.replace(coming, home)
                sync_folder(home.parent)
            finally:
                coming.unlink(missing_ok=True)
        return True

    def take_all(self, sources: Iterable[tuple[str, Opens]], came: Callable[[int], None]) -> int:
        """Keep many files: all are on the disk before the first has its name; all or none.

        Each is synced, and each folder once at the end, so that ten thousand take no longer than
        their bytes.

        Parameters
        ----------
        sources : iterable of (str, callable)
            The hash each must have, in hex; what opens it.
        came : callable
            Hears how many there are so far.

        Returns
        -------
        int
            How many were not here before.

        Raises
        ------
        NotKept
            The folder cannot be written, or the disk is full; none of them is left then.
        Unreadable
            A stream holds something else.
        """
        coming: dict[Path, Path] = {}
        named: list[Path] = []
        try:
            with refusing_disk(self.folder):
                for done, (sha256, opens) in enumerate(sources, 1):
                    self._put_beside(sha256, opens, coming)
                    came(done)
                for path in coming.values():
                    self._sync(path)
                for home, path in coming.items():
                    os.replace(path, home)
                    named.append(home)
                for folder in sorted({home.parent for home in named}):
                    sync_folder(folder)
        except BaseException:
            for left in (*coming.values(), *named):
                left.unlink(missing_ok=True)
            raise
        return len(named)

    def _put_beside(self, sha256: str, opens: Opens, coming: dict[Path, Path]) -> None:
        """Write one file under a hidden name, unless it is here already."""
        home = self.path(sha256)
        if home in coming or (home.exists() and _is_whole(home, sha256)):
            return
        make_folder(home.parent)
        path = coming[home] = self.folder / f".coming-{os.getpid()}-{uuid.uuid4().hex}"
        with opens() as source:
            if self._put(path, source, sync=False) != sha256:
                raise _refuse_damaged(sha256)

    def _sync(self, path: Path) -> None:
        handle = os.open(path, os.O_RDWR)
        try:
            self._disk.sync(handle)
        finally:
            os.close(handle)

    def sweep(self, now_s: float) -> None:
        """Remove what killed processes left half written, an hour or longer ago.

        Parameters
        ----------
        now_s : float
            The moment, in seconds as file systems count them.
        """
        for path in leftovers(self.folder):
            process = int(path.name.split("-")[1])
            if not is_alive(process) and now_s - path.stat().st_mtime > LEAVE_S:
                remove(path)

    def forget(self, sha256: str) -> None:
        """Take away a file that has only just come and that no record names."""
        self.path(sha256).unlink(missing_ok=True)

    def read(self, sha256: str) -> bytes:
        """The bytes kept under a hash, proved whole.

        Raises
        ------
        Unknown
            Nothing is kept under it.
        Unreadable
            What is kept there is damaged.
        """
        try:
            content = self.path(sha256).read_bytes()
        except FileNotFoundError:
            raise _refuse_unknown(sha256) from None
        except OSError as error:
            raise Unreadable(
                say(
                    "the kept file {sha256} cannot be read: {strerror}",
                    sha256=sha256[:12],
                    strerror=error.strerror,
                ),
                remedy=say("Check the disk and the rights to the folder of kept files."),
            ) from None
        if hashlib.sha256(content).hexdigest() != sha256:
            raise _refuse_damaged(sha256)
        return content

    def names(self) -> Iterator[str]:
        """The hashes of all kept files, in order."""
        for path in sorted(self.folder.glob("[0-9a-f][0-9a-f]/*")):
            if HASH_IN_HEX.fullmatch(path.name):
                yield path.name

    def path(self, sha256: str) -> Path:
        """Where the bytes of a hash stand, or would; Unknown if it is no hash."""
        if not HASH_IN_HEX.fullmatch(sha256):
            raise _refuse_unknown(sha256)
        return self.folder / sha256[:2] / sha256

    def _put(self, path: Path, source: Readable, *, sync: bool = True) -> str:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        over = hashlib.sha256()
        try:
            while piece := source.read(BUFFER):
                over.update(piece)
                left = memoryview(piece)
                while left:
                    left = left[self._disk.write(handle, left) :]
            if sync:
                self._disk.sync(handle)
        finally:
            os.close(handle)
        return over.hexdigest()


def _is_whole(path: Path, sha256: str) -> bool:
    with path.open("rb") as kept:
        return hashlib.file_digest(kept, "sha256").hexdigest() == sha256


def _refuse_damaged(sha256: str) -> Unreadable:
    return Unreadable(
        say("the kept file {sha256} is damaged", sha256=sha256[:12]),
        remedy=say("Restore it from a backup, or keep the original file again."),
    )


def _refuse_unknown(sha256: str) -> Unknown:
    shown = re.sub(r"[^0-9A-Za-z]", "", sha256)[:12]
    return Unknown(
        say("no file is kept under {name}", name=shown or "that name"),
        remedy=say("Open the page again and choose from it; check that this is the right shop."),
    )
