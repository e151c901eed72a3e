"""A new file, written beside its name: it takes the name when it is whole, or is gone."""

from __future__ import annotations

import errno
import io
import os
import re
import shutil
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from retrue.base.refusals import NotKept
from retrue.base.say import say
from retrue.store.places import refuse_folder

Write = Callable[[int, Any], int]
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
COMING = re.compile(r"\.(?:(?P<name>.+)\.)?coming-(?P<process>\d+)-[0-9a-f]{32}.*")
BUFFER = 1 << 20


@dataclass(frozen=True, slots=True)
class Disk:
    """What writes and syncs; a test puts in its place one that is full."""

    write: Write = os.write
    sync: Callable[[int], None] = os.fsync


DISK = Disk()


class _Raw(io.FileIO):
    """A new file whose writes go through a disk."""

    def __init__(self, path: Path, disk: Disk) -> None:
        super().__init__(path, "x+")
        self._disk = disk

    def write(self, data: Any, /) -> int:
        return self._disk.write(self.fileno(), data)


def coming_name(target: Path) -> Path:
    """A hidden name beside a file, which says whose process makes it.

    Parameters
    ----------
    target : Path
        What it is to become.

    Returns
    -------
    Path
    """
    return target.with_name(f".{target.name}.coming-{os.getpid()}-{uuid.uuid4().hex}")


@contextmanager
def coming(target: Path, *, disk: Disk = DISK, over: bool = False) -> Iterator[io.BufferedRandom]:
    """A file open to be written, which takes its name when the block ends well.

    Parameters
    ----------
    target : Path
        The name it gets.
    disk : Disk
        What writes.
    over : bool
        Whether it may take the place of a file that is there.

    Yields
    ------
    io.BufferedRandom
        Its ``name`` is the hidden one.

    Raises
    ------
    NotKept
        The disk is full, or nothing can be written there; nothing is left of it then, and what
        had the name before has it still.
    """
    hidden = coming_name(target)
    sweep(target.parent, target.name)
    try:
        with refusing_disk(target.parent):
            with io.BufferedRandom(_Raw(hidden, disk), BUFFER) as file:
                yield file
                file.flush()
                disk.sync(file.fileno())
            take_name(hidden, target, over=over)
    finally:
        hidden.unlink(missing_ok=True)


def take_name(hidden: Path, target: Path, *, over: bool) -> None:
    """Give a file that is whole its name, for good.

    Raises
    ------
    NotKept
        Something has taken the name meanwhile, and may not be replaced.
    """
    if over:
        os.replace(hidden, target)
    else:
        try:
            os.link(hidden, target)
        except FileExistsError:
            raise refuse_taken(target) from None
        except OSError:  # a disk without links: the moment between is the only risk
            if target.exists():
                raise refuse_taken(target) from None
            os.rename(hidden, target)
    sync_folder(target.parent)


def refuse_taken(target: Path) -> NotKept:
    """The refusal for a name that something else has already."""
    return NotKept(
        say("{path} is there already", path=target),
        remedy=say("Choose another name; what is there stays as it is."),
    )


def sweep(folder: Path, name: str) -> None:
    """Remove what a process that was killed has left of a file that never came to be.

    Parameters
    ----------
    folder : Path
        Where it stands.
    name : str
        What it was to become; what lives, or is of another name, stays.
    """
    for path in leftovers(folder):
        found = COMING.fullmatch(path.name)
        if found and found["name"] == name and not is_alive(int(found["process"])):
            remove(path)


def leftovers(folder: Path) -> list[Path]:
    """What stands in a folder under a name of something that is coming."""
    try:
        return sorted(path for path in folder.iterdir() if COMING.fullmatch(path.name))
    except OSError:
        return []


def remove(path: Path) -> None:
    """Remove a file or a folder with all in it; one that is gone is gone."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink(missing_ok=True)


def is_alive(process: int) -> bool:
    """Whether a process runs on this computer; where that cannot be told, it does."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


@contextmanager
def refusing_disk(folder: Path) -> Iterator[None]:
    """Turn what a disk says into a refusal with a remedy."""
    try:
        yield
    except OSError as error:
        if error.errno in FULL:
            raise refuse_full(folder) from None
        raise refuse_folder(folder, error.strerror or str(error)) from None


def refuse_full(folder: Path, lacking_bytes: int = 0) -> NotKept:
    """The refusal for a disk with no room left, with what it lacks where that is known."""
    megabytes = -(-lacking_bytes // 1_000_000)
    return NotKept(
        say("the disk that holds {folder} is full", folder=folder)
        if not megabytes
        else say("the disk that holds {folder} lacks {size} MB", folder=folder, size=megabytes),
        remedy=say("Free some space, then do it again; what was kept before is whole."),
    )


def refuse_lack(folder: Path, needed_bytes: int) -> None:
    """Refuse at once what will not go on a disk.

    Raises
    ------
    NotKept
        With how much it lacks.
    """
    with refusing_disk(folder):
        free = shutil.disk_usage(folder).free
    if needed_bytes > free:
        raise refuse_full(folder, needed_bytes - free)


def sync_folder(folder: Path) -> None:
    """Have a folder's names on the disk."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
