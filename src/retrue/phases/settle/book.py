"""The book on a day, kept at hand while nothing changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

from retrue.base.say import reader
from retrue.cases.settle.book_file import read_book
from retrue.cases.settle.book_table import table_rows
from retrue.cases.settle.kept import READ, BookKept, Marks, book_kept, lines_of
from retrue.cases.settle.ledger import Posted, book_of, shown_of, up_to
from retrue.cases.settle.lines import Book
from retrue.cases.settle.posting_rules import grounds, lot_id, machine_key
from retrue.records.facts import Lot, Machine
from retrue.records.shop import RecordShop


@dataclass(slots=True)
class _Remembered:
    """What was made of one shop: of these marks, on that day, in a language."""

    around: Marks = ()
    language: str = ""
    posted: Posted = field(default_factory=Posted)
    whole: tuple[Marks, date, str] | None = None
    book: Book | None = None


_MEMORY: WeakKeyDictionary[RecordShop, _Remembered] = WeakKeyDictionary()
_TURN = Lock()  # what is remembered is brought up to date by one at a time


def book(shop: RecordShop, *, on: date, lot: str | None = None, machine: str | None = None) -> Book:
    """The book.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    on : date
        Today: nothing after it counts, and hired days up to it were used.
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
    whole = _whole(shop, on)
    if lot is None and machine is None:
        return whole
    return _part(whole, book_kept(shop), lot, machine)


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


def _part(whole: Book, kept: BookKept, lot: str | None, machine: str | None) -> Book:
    """The book of a lot, or of one machine."""
    about = grounds(kept)
    home = lot_id(lot, about) if lot is not None else None
    if machine is not None:
        return shown_of(whole, keys=[machine_key(machine, home, about)])
    keys = [one.key for one in kept.machines.values() if one.lot == home]
    return shown_of(whole, lot=home or "", keys=keys)


def book_file(
    content: bytes, name: str, *, currency: str, on: date, machine: str | None = None
) -> tuple[Book, int]:
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
    machine : str or None
        Its name: only its lines, and sums of its shares.

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
    view = book_of(read.kept)
    if machine is not None:
        view = _part(view, read.kept, None, machine)
    return view, read.left_out


def _whole(shop: RecordShop, on: date) -> Book:
    """The whole book: made anew only where it changed."""
    marks = shop.marks(READ)
    with _TURN:
        memory = _MEMORY.setdefault(shop, _Remembered())
        if memory.book is not None and memory.whole == (marks, on, reader()):
            return memory.book
        kept = book_kept(shop)
        if (memory.around, memory.language) != (kept.around, reader()):
            memory = _MEMORY[shop] = _Remembered(around=kept.around, language=reader())
        made = memory.book = book_of(up_to(kept, on), on=on, posted=memory.posted)
        memory.whole = kept.whole, on, reader()
        return made


def for_whom(shop: RecordShop) -> list[tuple[str, str, tuple[tuple[str, str], ...]]]:
    """What a line may be for: each lot, and its machines.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    list of (str, str, tuple of (str, str))
        Id and name of a lot, key and name of each of its machines; the newest lot first.
    """
    machines: dict[str, list[tuple[str, str]]] = {}
    for one in lines_of(shop, shop.current(Machine)):
        fact: Machine = one.newest.fact
        machines.setdefault(fact.lot, []).append((one.first.id, fact.name))
    lots = reversed(lines_of(shop, shop.current(Lot)))
    return [
        (one.first.id, one.newest.fact.name, tuple(machines.get(one.first.id, ()))) for one in lots
    ]
