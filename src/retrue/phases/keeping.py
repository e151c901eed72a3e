"""Nothing lost: that a backup was made is kept, and told when it was long ago."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol, Unpack

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.records.facts import Lot, Note, Shop
from retrue.records.hand import Hand
from retrue.records.keeping import BackedUp
from retrue.records.shop import Record, RecordShop

WEEK_DAYS = 7
HANDED = "handed out"  # in place of a path: the device that made it has it


class Made(Protocol):
    """What a backup says of itself."""

    @property
    def records(self) -> int:
        """How many are in it."""
        ...

    @property
    def last_sha256(self) -> str:
        """Hash of the last of them."""
        ...

    @property
    def files(self) -> int:
        """How many kept files."""
        ...

    @property
    def problems(self) -> Sequence[object]:
        """What the shop itself lacked."""
        ...


@dataclass(frozen=True, slots=True)
class SinceBackup:
    """How long ago the last backup was.

    Attributes
    ----------
    last : Record of BackedUp, or None
        None: there has been none.
    days : int or None
        Since then, or since the first thing that was kept; None: nothing is kept yet.
    is_due : bool
        A week or longer.
    words : str
        One sentence; empty where nothing is kept yet.
    """

    last: Record[BackedUp] | None
    days: int | None
    is_due: bool
    words: str


def keep_backup(
    shop: RecordShop, made: Made, *, place: str, size_bytes: int, **hand: Unpack[Hand]
) -> Record[BackedUp]:
    """Keep that a backup was made and read back.

    Parameters
    ----------
    shop : RecordShop
        Whose backup it is.
    made : Made
        What is in it.
    place : str
        Where it went.
    size_bytes : int
        Of the file.
    **hand
        Who made it, on which device.
    """
    fact = BackedUp(
        place=place,
        records=made.records,
        last_sha256=made.last_sha256,
        files=made.files,
        size_bytes=size_bytes,
        whole=not made.problems,
    )
    return shop.add(fact, **hand)


def step_words(what: str, done: int, of: int) -> str:
    """How far a step of a long deed is, in words.

    Parameters
    ----------
    what : str
        The step, as the store names it.
    done, of : int
        How many, of how many; 0: nobody knows.
    """
    told = {
        "records": say("Records"),
        "files": say("Files"),
        "files read": say("Files read"),
        "records read back": say("Records read back"),
        "files read back": say("Files read back"),
        "lots": say("Lots"),
    }
    if not of:
        return say("{what}: {done}", what=told[what], done=number(done))
    return say("{what}: {done} of {of}", what=told[what], done=number(done), of=number(of))


def backups(shop: RecordShop) -> list[Record[BackedUp]]:
    """Every backup that was made, oldest first."""
    return shop.current(BackedUp)


def since_backup(shop: RecordShop, on: date) -> SinceBackup:
    """How long ago the shop was last backed up, and whether that is too long.

    Parameters
    ----------
    shop : RecordShop
        The shop.
    on : date
        As of that day.

    Returns
    -------
    SinceBackup
        ``is_due`` after a week: common practice, no source.
    """
    made = backups(shop)
    if made:
        days = max(0, (on - _day(made[-1])).days)
        return SinceBackup(made[-1], days, days >= WEEK_DAYS, _words(days))
    first = _first_day(shop)
    if first is None:
        return SinceBackup(None, None, False, "")
    days = max(0, (on - first).days)
    return SinceBackup(
        None, days, days >= WEEK_DAYS, say("No backup was taken off this laptop yet.")
    )


def _words(days: int) -> str:
    if days == 0:
        return say("The last backup is of today.")
    if days == 1:
        return say("The last backup is of yesterday.")
    return say("The last backup is {days} days old.", days=days)


def _day(record: Record[Any]) -> date:
    """The day by the wall on which it was kept: at half past midnight that is today."""
    return record.noted_at.astimezone().date()


def _first_day(shop: RecordShop) -> date | None:
    """Since when anything is kept: by the first lot, else the first note, else my shop."""
    for kind in (Lot, Note, Shop):
        if kept := shop.current(kind):
            return _day(shop.history(kept[0].id)[0])
    return None
