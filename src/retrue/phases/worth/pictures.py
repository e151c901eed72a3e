"""Photographs of a lot: kept whole, sorted by what they show, judged one at a time by chips."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Unpack

from retrue.kinds.library import Chip, Kind, Shot
from retrue.phases.worth.judge import Judged
from retrue.records.facts import File
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

NOTHING_BAD = "nothing_bad"
CANT_TELL = "cant_tell"


@dataclass(frozen=True, slots=True)
class Proved:
    """What a file is, proved from its content, not from its name."""

    media_type: str
    taken: str | None = None


Prove = Callable[[bytes, str], Proved]


@dataclass(frozen=True, slots=True)
class Answer:
    """One key below a picture: its words, and all that one tap on it says."""

    key: str  # what the form sends; the words, or nothing_bad, cant_tell
    words: str
    says: tuple[Chip, ...]
    tapped: bool


@dataclass(frozen=True, slots=True)
class Look:
    """One photograph with what can be said of it.

    Attributes
    ----------
    id : str
        Of the photograph's first record; findings name it.
    file : Record of File
    shot : Shot or None
        None: nobody has said what it shows; then ``views`` are offered.
    machine : str or None
        Its machine's name.
    answers : tuple of Answer
        Four to six chips, then "nothing bad" and "can't tell"; empty while unsorted.
    views : tuple of Shot
        What it may be, for this machine's kind.
    judged : bool
        Something was said of it.
    left : int
        Photographs of the lot still unjudged, this one counted.
    """

    id: str
    file: Record[File]
    shot: Shot | None
    machine: str | None
    answers: tuple[Answer, ...]
    views: tuple[Shot, ...]
    judged: bool
    left: int


def keep_picture(
    shop: RecordShop,
    lot: str,
    content: bytes,
    name: str,
    prove: Prove,
    *,
    machine: str | None = None,
    shot: str | None = None,
    caption: str = "",
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep one photograph or film of a lot, as it came.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    content : bytes
        The file; kept by its hash.
    name : str
        As the device calls it.
    prove : callable
        ``retrue.store.proof``: says what the bytes are; refuses what is not a picture.
    machine, shot : str or None
        If known: whose picture, and what it shows (S.., W..).
    caption : str
    whole : bool
        False: scaled before it was sent.

    Returns
    -------
    Record of File
    """
    ...


def keep_pictures(
    shop: RecordShop,
    lot: str,
    contents: Sequence[tuple[str, bytes]],
    prove: Prove,
    *,
    machine: str | None = None,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> tuple[list[Record[File]], list[str]]:
    """Keep many at once; (kept, refused): a bad one is named with its remedy, the rest are kept."""
    ...


def pictures(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> list[Look]:
    """All photographs of a lot, oldest first, with what was said of each."""
    ...


def picture(shop: RecordShop, lot: str, id: str, kinds: Mapping[str, Kind]) -> Look:
    """One photograph with its answers."""
    ...


def next_picture(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> Look | None:
    """The next photograph nobody has judged, oldest first; None when all are."""
    ...


def sort_picture(
    shop: RecordShop,
    lot: str,
    id: str,
    kinds: Mapping[str, Kind],
    *,
    shot: str | None = None,
    machine: str | None = None,
    **hand: Unpack[Hand],
) -> Look:
    """Say what a photograph shows and of which machine; None leaves that as it was."""
    ...


def tap(
    shop: RecordShop,
    lot: str,
    id: str,
    answer: str,
    kinds: Mapping[str, Kind],
    *,
    informant: str | None = None,
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """One tap below a photograph: kept first, then judged.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, id : str
        The lot, and the photograph's id (``Look.id``).
    answer : str
        ``Answer.key``. "nothing_bad": every check of the view not yet answered here is not seen;
        "cant_tell": no evidence, and the photograph counts as judged.
    kinds : mapping of str to Kind
        The library.
    informant : str or None
        Who took the picture; None if the seller did not.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who taps.

    Returns
    -------
    Judged
        What was kept (grade 1, photograph), the price before and after.

    Raises
    ------
    NotYet
        Nobody has said what the photograph shows, or of which machine.
    Unknown
        No such photograph, no such answer.
    """
    ...
