"""A catalogue screened as a whole: which parts are left, in which order rows stand, its name."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from retrue import __version__
from retrue.cases.screen.listing import ListedLot, Listing
from retrue.cases.screen.parts import Part, PartDone, parts_of
from retrue.cases.screen.screened import ScreenedLot
from retrue.kinds.library import Kind

WAY = 2  # of working rows out; another one, other rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Screening:
    """A catalogue and its rows.

    Attributes
    ----------
    listing : Listing
    rows : tuple of ScreenedLot
        In the order of the file; fewer than lots where it was stopped.
    """

    listing: Listing
    rows: tuple[ScreenedLot, ...]


def screening_key(listing: Listing, kinds: Mapping[str, Kind], *, seed: int, worlds: int) -> str:
    """Name everything that the rows of a catalogue follow from: one name, the same rows.

    Parameters
    ----------
    listing : Listing
        What was read of the file, with shop, needs and terms in every lot's case.
    kinds : mapping of kind id to Kind
    seed, worlds : int
        Of the sum.

    Returns
    -------
    str
        SHA-256 in hexadecimal, also over this program's version.

    References
    ----------
    FIPS 180-4, Secure Hash Standard.

    Examples
    --------
    >>> empty = Listing(name="a", currencies=(), columns=(), lots=(), others=())
    >>> one, other = (screening_key(empty, {}, seed=seed, worlds=2000) for seed in (7, 8))
    >>> one == other, len(one)
    (False, 64)
    """
    used = sorted({id for lot in listing.lots for id in lot.kinds if id in kinds})
    told = (__version__, WAY, seed, worlds, [(id, kinds[id].hash) for id in used])
    key = hashlib.sha256(repr(told).encode())
    for lot in listing.lots:
        key.update(_fixed(lot).encode())
    return key.hexdigest()


def _fixed(lot: ListedLot) -> str:
    """Everything of a lot that a row follows from."""
    return repr((lot.number, lot.line, lot.title, lot.case, lot.why, lot.kinds, lot.stand_in))


def left(
    listing: Listing, *, seed: int, worlds: int, done: Collection[int] = ()
) -> tuple[Part, ...]:
    """Parts that nobody has done yet.

    Parameters
    ----------
    listing : Listing
    seed, worlds : int
        Of the sum.
    done : collection of int
        Numbers of parts.

    Returns
    -------
    tuple of Part
    """
    every = parts_of(listing.lots, seed=seed, worlds=worlds)
    return tuple(part for part in every if part.number not in done)


def rows_of(done: Iterable[PartDone]) -> tuple[ScreenedLot, ...]:
    """The rows of some parts in the order of the file, whatever order they were done in.

    Parameters
    ----------
    done : iterable of PartDone
        Each part once.

    Returns
    -------
    tuple of ScreenedLot

    Examples
    --------
    >>> rows_of([PartDone(number=1, rows=()), PartDone(number=0, rows=())])
    ()
    """
    return tuple(row for part in sorted(done, key=lambda one: one.number) for row in part.rows)
