"""A catalogue cut into parts that anybody may work on, in any order, with the same answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from retrue.cases.screen.here import Here as Here  # from here as well
from retrue.cases.screen.here import Spread as Spread
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.screened import ScreenedLot
from retrue.kinds.library import Kind

PART = 25  # lots; fixed, so that a part has the same name whoever works on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Some lots of a catalogue, and what all of them are priced by.

    Attributes
    ----------
    number : int
        Counted from 0.
    lots : tuple of ListedLot
    seed, worlds : int
    """

    number: int
    lots: tuple[ListedLot, ...]
    seed: int
    worlds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDone:
    """What a part says: a row for each of its lots, in their order."""

    number: int
    rows: tuple[ScreenedLot, ...]


Work = Callable[[Part, Mapping[str, Kind]], PartDone]


def parts_of(lots: Sequence[ListedLot], *, seed: int, worlds: int) -> tuple[Part, ...]:
    """Cut lots into parts of the same size, but for the last.

    Parameters
    ----------
    lots : sequence of ListedLot
    seed, worlds : int

    Returns
    -------
    tuple of Part

    Examples
    --------
    >>> parts_of((), seed=7, worlds=2000)
    ()
    """
    return tuple(
        Part(number=number, lots=tuple(lots[at : at + PART]), seed=seed, worlds=worlds)
        for number, at in enumerate(range(0, len(lots), PART))
    )
