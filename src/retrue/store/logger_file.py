"""Files that a logger writes: which ones this computer offers, and what stands in one of them.

Only files named when the server was started are ever read. A page names a logger by the name it
was offered under, never by a path.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from retrue.base.refusals import Unknown, Unreadable
from retrue.base.say import say
from retrue.store.media import MEGABYTE

LARGEST = 50 * MEGABYTE
TABLES = frozenset({".csv", ".txt"})


def named(paths: Sequence[Path]) -> dict[str, Path]:
    """Loggers by the last part of their path; one that was there already gets a number.

    Parameters
    ----------
    paths : sequence of Path
        Files, or folders into which a logger puts its files.

    Returns
    -------
    dict of str to Path
        What ``offered`` and ``read`` take.

    Raises
    ------
    Unreadable
        There is no such file or folder.

    Examples
    --------
    >>> list(named([Path("/")]))
    ['logger']
    """
    found: dict[str, Path] = {}
    for path in paths:
        if not path.exists():
            raise Unreadable(
                say("there is no file or folder {path}", path=str(path)),
                remedy=say("Start the logger first, or correct the path."),
            )
        bare = path.resolve().name or "logger"
        name, number = bare, 1
        while name in found:
            number += 1
            name = f"{bare} ({number})"
        found[name] = path.resolve()
    return found


def offered(loggers: Mapping[str, Path]) -> dict[str, Path]:
    """Files that are there now, by the name under which a page may ask for them.

    Parameters
    ----------
    loggers : mapping of str to Path
        From ``named``.

    Returns
    -------
    dict of str to Path
        A file under its own name, each table of a folder under folder/file. What leads out of the
        folder by a link is left out.

    Examples
    --------
    >>> offered({})
    {}
    """
    found: dict[str, Path] = {}
    for name, path in loggers.items():
        if path.is_file():
            found[name] = path
        elif path.is_dir():
            found |= {f"{name}/{one.name}": one for one in sorted(path.iterdir()) if _inside(one)}
    return found


def _inside(path: Path) -> bool:
    table = path.suffix.lower() in TABLES and path.is_file()
    return table and path.resolve().parent == path.parent.resolve()


def stamp(path: Path) -> tuple[int, int]:
    """Size in bytes and moment of the last change in nanoseconds; (0, 0) while it is not there.

    Examples
    --------
    >>> stamp(Path("/nowhere"))
    (0, 0)
    """
    try:
        seen = path.stat()
    except OSError:
        return (0, 0)
    return (seen.st_size, seen.st_mtime_ns)


def read(loggers: Mapping[str, Path], name: str) -> bytes:
    """What stands in a logger's file at this moment, its last line perhaps half written.

    Parameters
    ----------
    loggers : mapping of str to Path
        From ``named``.
    name : str
        One of ``offered``.

    Returns
    -------
    bytes
        The whole file.

    Raises
    ------
    Unknown
        No logger was offered under this name.
    Unreadable
        It is gone, locked, or larger than 50 megabytes.

    Examples
    --------
    >>> read({}, "nose.csv")
    Traceback (most recent call last):
        ...
    retrue.base.refusals.Unknown: no logger is called nose.csv
    """
    path = offered(loggers).get(name)
    if path is None:
        raise Unknown(
            say("no logger is called {name}", name=name),
            remedy=say("Open the pages again with --logger and its file or folder."),
        )
    try:
        if path.stat().st_size > LARGEST:
            raise Unreadable(
                say("{name} is larger than 50 megabytes", name=name),
                remedy=say("Let the logger start a new file, and begin a new watch with it."),
            )
        return path.read_bytes()
    except OSError as wrong:
        raise Unreadable(
            say("{name} cannot be read: {why}", name=name, why=wrong.strerror or ""),
            remedy=say("See that the logger still writes and lets others read its file."),
        ) from wrong
