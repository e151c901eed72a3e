"""The book from what is kept: lines newest first, what stands where, always in balance. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable, MutableMapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from retrue.books.balance import balances, off_balance
from retrue.cases.settle.book_words import account_words
from retrue.cases.settle.derived_lines import expected_lines
from retrue.cases.settle.entries import Around, Entry, around, entry_of
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.lines import AccountRow, Book, BookLine
from retrue.records.settling import Posting

Entries = MutableMapping[tuple[int, int], Entry]
"""Entries that were made before, by the numbers of their record and of the one it belongs to."""

COSTING = ("bought", "paid", "returned")
BROUGHT = "brought"  # in place of a bucket: what was taken for a machine or its parts


def book_of(
    kept: BookKept,
    *,
    lots: Collection[str] | None = None,
    on: date | None = None,
    entries: Entries | None = None,
) -> Book:
    """The book.

    Parameters
    ----------
    kept : BookKept
    lots : collection of str or None
        Ids: only lines of these; what stands where is always of the whole book.
    on : date or None
        Today: hire days up to it were used; None: none is known to have been.
    entries : mutable mapping or None
        Entries made before of the same surroundings; new ones are added.

    Returns
    -------
    Book
        Posted and expected lines, none counted twice.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> empty = book_of(BookKept(shop=Shop()))
    >>> empty.lines, empty.balanced
    ((), True)
    """
    about = around(kept)
    made = posted_entries(kept, about, entries)
    every = [entry.line for entry in made]
    every += expected_lines(kept, about, {line.source for line in every}, on=on)
    shown = [line for line in every if lots is None or line.lot in lots]
    shown.sort(key=_newest, reverse=True)
    names = {key: one.name for key, one in kept.machines.items()}
    sums = balances(leg for entry in made for leg in entry.legs)
    return summed(
        Book(
            currency=kept.currency,
            lines=tuple(shown),
            accounts=tuple(
                AccountRow(account=account, words=account_words(account, amount, names),
                           currency=currency, amount=amount)
                for (account, currency), amount in sums.items()
            ),
            balanced=not off_balance(sums),
            closed_until=kept.closed_until,
        )
    )  # fmt: skip


def posted_entries(kept: BookKept, about: Around, entries: Entries | None = None) -> list[Entry]:
    """Every posting as it counts, oldest first.

    Parameters
    ----------
    kept : BookKept
    about : Around
    entries : mutable mapping or None
        Made before; new ones are added.

    Returns
    -------
    list of Entry
    """
    known: Entries = {} if entries is None else entries
    newest = {line.first.id: line.newest for line in kept.postings}
    made = []
    for line in kept.postings:
        fact: Posting = line.newest.fact
        of = newest.get(fact.of) if fact.of is not None else None
        at = (line.newest.seq, of.seq if of is not None else 0)
        entry = known.get(at)
        if entry is None:
            known[at] = entry = entry_of(
                fact, of.fact if of is not None else None, about,
                id=line.first.id, seq=line.newest.seq,
            )  # fmt: skip
        made.append(entry)
    return made


def summed(book: Book, lines: Iterable[BookLine] | None = None, *, machine: str = "") -> Book:
    """A book with its sums of the lines that are shown.

    Parameters
    ----------
    book : Book
    lines : iterable of BookLine or None
        Shown in place of its own, newest first.
    machine : str
        Key: sums are of its shares alone; empty: of whole lines.

    Returns
    -------
    Book

    Examples
    --------
    >>> summed(Book(currency="EUR")).unplaced
    0
    """
    shown = book.lines if lines is None else tuple(lines)
    buckets: dict[str, Decimal] = {}
    missing = set()
    unplaced = 0
    for line in shown:
        if line.missing_rate:
            missing.add((line.currency, line.posted_on))
        amount = share_of(line, machine) if machine else line.in_shop
        if amount:
            at = BROUGHT if line.brings else line.bucket
            buckets[at] = buckets.get(at, Decimal(0)) + amount
        unplaced += (
            not line.bucket and not line.brings and line.sort in COSTING and bool(line.in_shop)
        )
    return replace(
        book,
        lines=shown,
        by_bucket=dict(sorted(buckets.items())),
        unplaced=unplaced,
        missing_rates=tuple(sorted(missing)),
    )


def share_of(line: BookLine, machine: str) -> Decimal:
    """What a line puts on one machine.

    Parameters
    ----------
    line : BookLine
    machine : str
        Key.

    Returns
    -------
    Decimal
        In the shop's currency.
    """
    mine = (share.amount for share in line.shares if share.machine == machine)
    return sum(mine, Decimal(0))


def shown_of(book: Book, *, lot: str = "", machine: str = "") -> Book:
    """A book of one lot or one machine; what stands where stays that of the whole.

    Parameters
    ----------
    book : Book
    lot : str
        Its id; empty: every lot.
    machine : str
        Its key; empty: every machine.

    Returns
    -------
    Book
        Of a machine the lines it bears a share of, and sums of those shares.

    Examples
    --------
    >>> shown_of(Book(currency="EUR"), lot="a").lines
    ()
    """
    lines = (line for line in book.lines if not lot or line.lot == lot)
    if machine:
        lines = (line for line in lines if _touches(line, machine))
    return summed(book, lines, machine=machine)


def _touches(line: BookLine, machine: str) -> bool:
    return line.machine == machine or any(one.machine == machine for one in line.shares)


def _newest(line: BookLine) -> tuple[str, int, str]:
    return line.posted_on, line.seq, line.id
