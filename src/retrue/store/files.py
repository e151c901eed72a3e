"""Any file, kept by the hash of its content in a folder beside the records."""

from __future__ import annotations

import errno
import hashlib
import os
import re
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from retrue.base.refusals import NotKept, Unknown, Unreadable
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.store.places import make_folder, refuse_folder

Write = Callable[[int, memoryview], int]


class Files:
    """A folder of kept files; a file never changes once it is there."""

    def __init__(self, folder: Path, *, write: Write = os.write) -> None:
        self.folder = folder
        self._write = write

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
        home = self._path(name)
        if home.exists() and _is_whole(home, name):
            return name
        make_folder(home.parent)
        coming = home.parent / f".coming-{uuid.uuid4().hex}"
        with self._refusing():
            try:
                self._put(coming, content)
                os.replace(coming, home)
                _sync_folder(home.parent)
            finally:
                coming.unlink(missing_ok=True)
        return name

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
            content = self._path(sha256).read_bytes()
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
            raise Unreadable(
                say("the kept file {sha256} is damaged", sha256=sha256[:12]),
                remedy=say("Restore it from a backup, or keep the original file again."),
            )
        return content

    def names(self) -> Iterator[str]:
        """The hashes of all kept files, in order."""
        for path in sorted(self.folder.glob("[0-9a-f][0-9a-f]/*")):
            if HASH_IN_HEX.fullmatch(path.name):
                yield path.name

    def _path(self, sha256: str) -> Path:
        if not HASH_IN_HEX.fullmatch(sha256):
            raise _refuse_unknown(sha256)
        return self.folder / sha256[:2] / sha256

    def _put(self, path: Path, content: bytes) -> None:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        try:
            left = memoryview(content)
            while left:
                left = left[self._write(handle, left) :]
            os.fsync(handle)
        finally:
            os.close(handle)

    @contextmanager
    def _refusing(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
                raise NotKept(
                    say("the disk that holds {folder} is full", folder=self.folder),
                    remedy=say("Free some space, then send the file again; nothing else is lost."),
                ) from None
            raise refuse_folder(self.folder, error.strerror or str(error)) from None


def _is_whole(path: Path, sha256: str) -> bool:
    with path.open("rb") as kept:
        return hashlib.file_digest(kept, "sha256").hexdigest() == sha256


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _refuse_unknown(sha256: str) -> Unknown:
    shown = re.sub(r"[^0-9A-Za-z]", "", sha256)[:12]
    return Unknown(
        say("no file is kept under {name}", name=shown or "that name"),
        remedy=say("Open the page again and choose from it; check that this is the right shop."),
    )
