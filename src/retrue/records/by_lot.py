"""What was worked out of each lot, held until one of its records changes; it may be dropped."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import Any, Generic, TypeVar
from weakref import WeakKeyDictionary

from retrue.base.say import reader
from retrue.records.checking import KINDS
from retrue.records.facts import Fact, Moved, Note, Withdrawn
from retrue.records.fixing import PlanKept
from retrue.records.measuring import Reading
from retrue.records.screening import (
    Bidder,
    Budget,
    Catalogue,
    CatalogueContent,
    PartScreened,
    RowTaken,
    Screening,
    Share,
)
from retrue.records.seeking import PartMoved
from retrue.records.settling import BooksClosed, ClockRung, DayRate, HoursTold, LedgerTaken
from retrue.records.shop import RecordShop
from retrue.records.waking import SensedResult, WatchCalled, WatchReadings

T = TypeVar("T")
# What changes by the minute and is in nothing that is worked out of a lot.
BY_THE_MINUTE: tuple[type[Any], ...] = (
    Bidder, BooksClosed, Budget, Catalogue, CatalogueContent, ClockRung, DayRate, HoursTold,
    LedgerTaken, Moved, PartScreened, PlanKept, Reading, RowTaken, Screening, SensedResult, Share,
    WatchCalled, WatchReadings,
    Withdrawn,  # what was taken back counts no more, and that is seen at its own kind
)  # fmt: skip
MOST = 96  # values that are held of one shop: of forty lots in two languages
LOOSE: tuple[type[Any], ...] = (Note,)  # one that names no lot concerns none
ACROSS: tuple[type[Any], ...] = (PartMoved,)  # one record that two lots speak of
SETTLED: tuple[type[Fact], ...] = tuple(one for one in KINDS.values() if one not in BY_THE_MINUTE)

Marks = tuple[tuple[str, int, int], ...]
ByMarks = dict[str | None, Marks]


class ByLot(Generic[T]):
    """One value for each lot, made anew only where what it is made of has changed.

    What it holds may be sentences: each language a reader has is held by itself.

    Parameters
    ----------
    kinds : iterable of type
        The kinds of fact it is made of; all that do not change by the minute, unless told.
    most : int
        So many values are held, unless more are wanted at once; those go that were wanted longest
        ago.

    Examples
    --------
    >>> held = ByLot[int]()
    >>> class Shop:
    ...     marks = {"a": (("finding", 1, 7),), None: ()}
    ...     def marks_by_lot(self, kinds):
    ...         return self.marks
    ...     def newest(self):
    ...         return sum(newest for rows in self.marks.values() for _, _, newest in rows)
    >>> shop, made = Shop(), []
    >>> def count(lot):
    ...     made.append(lot)
    ...     return len(made)
    >>> held.of(shop, ["a"], (), count), held.of(shop, ["a"], (), count)
    ([1], [1])
    >>> shop.marks = {"a": (("finding", 2, 8),), None: ()}
    >>> held.of(shop, ["a"], (), count)
    [2]
    """

    def __init__(self, kinds: Iterable[type[Any]] = SETTLED, *, most: int = MOST) -> None:
        self._kinds = tuple(kinds)
        self._most = most
        self._held: WeakKeyDictionary[RecordShop, dict[Hashable, tuple[Hashable, T]]]
        self._held = WeakKeyDictionary()

    def of(
        self,
        shop: RecordShop,
        lots: Iterable[str],
        told: Hashable,
        make: Callable[[str], T],
        part: Hashable = "",
    ) -> list[T]:
        """The values of some lots, in their order.

        Parameters
        ----------
        shop : RecordShop
            It is only read.
        lots : iterable of str
            Ids of their first records.
        told : hashable
            What else the values hang on: the day, the library.
        make : callable
            Works one out, by its lot.
        part : hashable
            Of what in each lot, where several values of one are held side by side.

        Returns
        -------
        list
        """
        marks = marks_now(shop, self._kinds)
        shared = _shared(marks)
        held = self._held.setdefault(shop, {})
        found = []
        for lot in lots:
            place, key = (lot, reader(), part), (told, shared, marks.get(lot, ()))
            before = held.get(place)
            if before is None or before[0] != key:
                before = (key, make(lot))
            held.pop(place, None)
            held[place] = before  # as the newest
            found.append(before[1])
        for old in list(held)[: -max(self._most, len(found), 1)]:
            held.pop(old, None)
        return found


_LATELY: WeakKeyDictionary[RecordShop, tuple[int, dict[tuple[type[Any], ...], ByMarks]]]
_LATELY = WeakKeyDictionary()


def marks_now(shop: RecordShop, kinds: tuple[type[Any], ...]) -> ByMarks:
    """The marks of each lot, counted anew only where something was kept since.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kinds : tuple of type

    Returns
    -------
    dict of lot to marks
        None: of what names no lot.
    """
    newest = shop.newest()
    known = _LATELY.get(shop)
    if known is None or known[0] != newest:
        known = _LATELY[shop] = (newest, {})
    if kinds not in known[1]:
        known[1][kinds] = shop.marks_by_lot(kinds)
    return known[1][kinds]


def _shared(marks: ByMarks) -> Hashable:
    """What every lot hangs on: records that name none, and those that two speak of."""
    names = {one.KIND for one in ACROSS}
    across = [(lot, row) for lot, rows in marks.items() for row in rows if row[0] in names]
    loose = {one.KIND for one in LOOSE}
    shop = tuple(row for row in marks.get(None, ()) if row[0] not in loose)
    return shop, tuple(sorted(across, key=str))
