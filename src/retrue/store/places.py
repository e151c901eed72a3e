"""Where a shop is kept: a path or a PostgreSQL address, and whether that place will do."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from retrue.base.refusals import NotKept, Unusable
from retrue.base.say import say

NETWORK = frozenset(
    {
        "nfs",
        "nfs4",
        "cifs",
        "smb2",
        "smb3",
        "smbfs",
        "ncpfs",
        "afs",
        "coda",
        "ceph",
        "glusterfs",
        "lustre",
        "gpfs",
        "davfs",
        "beegfs",
        "fuse.sshfs",
        "fuse.glusterfs",
        "fuse.ceph",
        "fuse.davfs2",
        "fuse.rclone",
        "fuse.s3fs",
        "fuse.smbnetfs",
        "vboxsf",
        "vmhgfs",
        "fuse.vmhgfs-fuse",
    }
)
"""File systems whose locks and shared memory do not hold between two machines."""

FILE_NAME = "shop.sqlite"


@dataclass(frozen=True, slots=True)
class Place:
    """A place in its two forms; exactly one of them is given."""

    path: Path | None
    address: str | None


def place_of(place: str) -> Place:
    """Read a place as the user writes it.

    Parameters
    ----------
    place : str
        A path (a folder gets a file ``shop.sqlite`` in it) or a ``postgresql://`` address.

    Returns
    -------
    Place
        A resolved path or an address for the psycopg driver.

    Raises
    ------
    Unusable
        Empty, in memory, or an address of another kind of database.

    Examples
    --------
    >>> place_of("postgresql://shop@localhost/shop").address
    'postgresql+psycopg://shop@localhost/shop'
    >>> place_of("/tmp/ghent.sqlite").path.name
    'ghent.sqlite'
    """
    if not place.strip() or place == ":memory:":
        raise Unusable(
            say("a shop needs a place where it stays"),
            remedy=say("Name a file, as shop.sqlite, or a postgresql:// address."),
        )
    scheme, mark, rest = place.partition("://")
    if not mark:
        return Place(_file(place), None)
    if scheme == "sqlite":
        return Place(_file(rest.removeprefix("/")), None)
    if scheme in ("postgresql", "postgres", "postgresql+psycopg"):
        return Place(None, f"postgresql+psycopg://{rest}")
    raise Unusable(
        say("a shop cannot be kept at a {scheme}:// address", scheme=scheme),
        remedy=say("Name a file, as shop.sqlite, or a postgresql:// address."),
    )


def _file(text: str) -> Path:
    path = Path(text).expanduser().resolve()
    return path / FILE_NAME if path.is_dir() else path


def mounts() -> str:
    """The kernel's table of mounted file systems; empty where there is none to read."""
    try:
        return Path("/proc/self/mounts").read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return ""


def file_system(path: Path, table: str) -> str:
    r"""The kind of file system a path is on.

    Parameters
    ----------
    path : Path
        Absolute.
    table : str
        Lines as in /proc/mounts: device, mount point, kind, ...; blanks written as ``\040``.

    Returns
    -------
    str
        Empty if the table does not tell.

    Examples
    --------
    >>> table = "dev / ext4 rw 0 0" + chr(10) + "box:/x /home/my\\040share nfs4 rw 0 0"
    >>> file_system(Path("/home/my share/shop.sqlite"), table)
    'nfs4'
    """
    depths = {str(one): len(one.parts) for one in (path, *path.parents)}
    best, kind = -1, ""
    for line in table.splitlines():
        words = line.split(" ")
        if len(words) < 3:
            continue
        depth = depths.get(_unescaped(words[1]), -1)
        if depth > -1 and depth >= best:
            best, kind = depth, words[2]
    return kind


def _unescaped(text: str) -> str:
    for code, character in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        text = text.replace(code, character)
    return text


def refuse_network(path: Path, table: str) -> None:
    """Refuse a database file on a network drive.

    Raises
    ------
    NotKept
        Its locks would not hold; two computers could write at once and spoil it.
    """
    kind = file_system(path, table)
    if kind in NETWORK or str(path).startswith(("\\\\", "//")):
        raise NotKept(
            say("{path} is on a network drive ({kind})", path=path, kind=kind or "shared folder"),
            remedy=say("Keep the shop on a disk of this computer, or in a PostgreSQL database."),
        )


def make_folder(folder: Path, writable: Callable[[Path], bool] | None = None) -> None:
    """Make a folder to keep things in, and refuse one that cannot be written.

    Raises
    ------
    NotKept
        It cannot be made or written.
    """
    can = writable or (lambda one: os.access(one, os.W_OK | os.X_OK))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise refuse_folder(folder, error.strerror or "it cannot be made") from None
    if not can(folder):
        raise refuse_folder(folder, "it is read-only")


def refuse_folder(folder: Path, why: str) -> NotKept:
    """The refusal for a folder nothing can be written to."""
    return NotKept(
        say("nothing can be kept in {folder}: {why}", folder=folder, why=why),
        remedy=say("Choose a folder of your own, or give yourself the right to write there."),
    )
