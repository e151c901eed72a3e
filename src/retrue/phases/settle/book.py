"""The book on a day, kept at hand while nothing changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any
from weakref import WeakKeyDictionary

from retrue.cases.settle.book_file import read_book
from retrue.cases.settle.book_table import table_rows
from retrue.cases.settle.entries import Entry
from retrue.cases.settle.kept import BookKept, Marks, book_kept
from retrue.cases.settle.ledger import book_of, shown_of
from retrue.cases.settle.lines import Book
from retrue.cases.settle.posting_rules import grounds, lot_id, machine_key
from retrue.records.shop import RecordShop

SPARE = 1000  # entries of lines that were corrected, before they are let go


@dataclass(slots=True)
class _Remembered:
    """What was made of one shop: of these marks, on that day."""

    around: Marks = ()
    entries: dict[tuple[int, int], Entry] = field(default_factory=dict)
    whole: tuple[Marks, date] | None = None
    book: Book | None = None


_MEMORY: WeakKeyDictionary[RecordShop, _Remembered] = WeakKeyDictionary()


def book(shop: RecordShop, *, on: date, lot: str | None = None, machine: str | None = None) -> Book:
    """The book.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    on : date
        Today: hired days up to it were used.
    lot, machine : str or None
        Name or id: only its lines, and of a machine the sums of its shares. What stands where is
        always that of the whole book.

    Returns
    -------
    Book

    Raises
    ------
    Unknown
        No such lot or machine.
    """
    kept = book_kept(shop)
    whole = _whole(shop, kept, on)
    if lot is None and machine is None:
        return whole
    about = grounds(kept)
    home = lot_id(lot, about) if lot is not None else None
    key = machine_key(machine, home, about) if machine is not None else ""
    return shown_of(whole, lot="" if key else home or "", machine=key)


def book_table(shop: RecordShop, view: Book) -> list[list[Any]]:
    """Heading and rows of a book, to be written and read again.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    view : Book

    Returns
    -------
    list of list
    """
    return table_rows(book_kept(shop), view)


def book_file(content: bytes, name: str, *, currency: str, on: date) -> tuple[Book, int]:
    """The book of a table of lines, without a shop.

    Parameters
    ----------
    content : bytes
        CSV with the columns that :func:`book_table` writes.
    name : str
        Of the file.
    currency : str
        The shop's.
    on : date
        Today.

    Returns
    -------
    tuple of (Book, int)
        And how many rows were only expected when it was written: they are left out.

    Raises
    ------
    Unreadable, Unusable
        As for :func:`retrue.cases.settle.book_file.read_book`.
    """
    read = read_book(content, name, currency=currency, on=on)
    return book_of(read.kept), read.left_out


def _whole(shop: RecordShop, kept: BookKept, on: date) -> Book:
    """The whole book: made anew only of what is new."""
    memory = _MEMORY.setdefault(shop, _Remembered())
    if memory.around != kept.around or len(memory.entries) > len(kept.postings) + SPARE:
        memory = _MEMORY[shop] = _Remembered(around=kept.around)
    if memory.book is None or memory.whole != (kept.whole, on):
        made = book_of(kept, on=on, entries=memory.entries)
        memory.book, memory.whole = made, (kept.whole, on)
        return made
    return memory.book
