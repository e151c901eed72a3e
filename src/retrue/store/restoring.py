"""A backup put back on an empty place: proved first, then all of it, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path

from retrue.base.refusals import NotKept
from retrue.base.say import say
from retrue.records.chain import Row
from retrue.store.beside import refuse_lack
from retrue.store.inside import Inside
from retrue.store.kept import Progress, quiet
from retrue.store.places import place_of
from retrue.store.pouring import Poured, Source, pour, refuse_records
from retrue.store.shop import open_shop
from retrue.store.unpacked import open_backup, proved

Clock = Callable[[], datetime]


def restore(
    backup: Path,
    place: str,
    *,
    files: Path | None = None,
    clock: Clock,
    progress: Progress = quiet,
) -> tuple[Inside, Poured]:
    """Put a backup back where there is no shop, or one without records.

    Parameters
    ----------
    backup : Path
        Proved from its first byte to its last before anything is written.
    place : str
        A path or an address.
    files : Path or None
        The folder for kept files; None: beside the SQLite file.
    clock, progress : callable
        The moment; how far it is.

    Returns
    -------
    Inside, Poured
        What the backup says of itself, and what stands there now.

    Raises
    ------
    Unreadable
        It is no backup, of a newer program, cut off, or was changed.
    NotKept
        The place has records, the disk is full, or cannot be written; nothing half is left.
    """
    refuse_filled(place, files, clock)
    inside = proved(backup, progress)
    path = place_of(place).path
    target = files or (path.with_name(path.name + ".files") if path is not None else None)
    with open_backup(backup) as opened:
        if opened.inside != inside:
            raise NotKept(
                say("the backup was changed while it was read"),
                remedy=say("Let nothing write to it, then try again."),
            )
        if target is not None:
            refuse_lack(_standing(target), sum(opened.sizes.values()))

        @contextmanager
        def rows() -> Iterator[Iterable[Row]]:
            yield opened.rows(quiet)

        source = Source(rows, opened.sizes, opened.file, inside.records)
        poured = pour(source, place, files=files, clock=clock, progress=progress)
    return inside, poured


def refuse_filled(place: str, files: Path | None, clock: Clock) -> None:
    """Say at once that a place has records, before a large backup is read."""
    there = place_of(place)
    if there.path is not None and not there.path.exists():
        return
    with closing(open_shop(place, clock=clock, files=files)) as opened:
        refuse_records(opened, place)


def _standing(folder: Path) -> Path:
    """The nearest folder above that is there already."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder
