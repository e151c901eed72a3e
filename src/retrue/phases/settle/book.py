"""The book on a day, kept at hand while nothing changes."""

from __future__ import annotations

from datetime import date

from retrue.cases.settle.kept import book_kept
from retrue.cases.settle.ledger import book_of
from retrue.cases.settle.lines import Book
from retrue.records.shop import RecordShop


def book(shop: RecordShop, *, on: date, lot: str | None = None, machine: str | None = None) -> Book:
    """The book."""
    return book_of(book_kept(shop), on=on)
