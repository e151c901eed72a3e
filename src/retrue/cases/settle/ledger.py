"""The book from what is kept: lines newest first, what stands where, always in balance. Pure."""

from __future__ import annotations

from bisect import insort
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from retrue.books.balance import balances, off_balance
from retrue.books.postings import reversed_legs
from retrue.cases.settle.book_doubts import hammer_doubts
from retrue.cases.settle.book_words import account_words
from retrue.cases.settle.derived_lines import expected_lines
from retrue.cases.settle.entries import Around, Entry, around, entry_of
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.lines import AccountRow, Book, BookLine
from retrue.records.settling import Posting

At = int | tuple[int, int]

FEW = 50  # new lines that are put in one by one
COSTING = ("bought", "paid", "returned")
BROUGHT = "brought"  # in place of a bucket: what was taken for a machine or its parts


@dataclass(slots=True, eq=False)
class Posted:
    """What is posted, as it was made before: brought up to date it is made anew where it changed.

    Attributes
    ----------
    entries : dict
        By the number of their record, and that of the one it belongs to.
    lines : list of BookLine
        Oldest first.
    sums : dict of (account, currency) to Decimal
    """

    entries: dict[At, Entry] = field(default_factory=dict)
    lines: list[BookLine] = field(default_factory=list)
    sums: dict[tuple[str, str], Decimal] = field(default_factory=dict)


def book_of(
    kept: BookKept,
    *,
    lots: Collection[str] | None = None,
    on: date | None = None,
    posted: Posted | None = None,
) -> Book:
    """The book.

    Parameters
    ----------
    kept : BookKept
    lots : collection of str or None
        Ids: only lines of these; what stands where is always of the whole book.
    on : date or None
        Today: hire days up to it were used; None: none is known to have been.
    posted : Posted or None
        Made before of the same surroundings; it is brought up to date.

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
    made = Posted() if posted is None else posted
    up_to_date(made, kept, about)
    every = list(made.lines)
    for line in expected_lines(kept, about, {line.source for line in made.lines}, on=on):
        insort(every, line, key=_newest)
    every.reverse()
    shown = every if lots is None else [line for line in every if line.lot in lots]
    names = {key: one.name for key, one in kept.machines.items()}
    return summed(
        Book(
            currency=kept.currency,
            lines=tuple(shown),
            accounts=tuple(
                AccountRow(account=account, words=account_words(account, amount, names),
                           currency=currency, amount=amount)
                for (account, currency), amount in sorted(made.sums.items())
            ),
            balanced=not off_balance(made.sums),
            closed_until=kept.closed_until,
            doubts=tuple(hammer_doubts(kept)),
        )
    )  # fmt: skip


def up_to(kept: BookKept, on: date) -> BookKept:
    """What a book is made of, as far as it was there on a day.

    Parameters
    ----------
    kept : BookKept
    on : date
        Lines of later days are left out.

    Returns
    -------
    BookKept

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> up_to(BookKept(shop=Shop()), date(2026, 11, 26)).postings
    ()
    """
    day = on.isoformat()
    return replace(
        kept, postings=tuple(one for one in kept.postings if one.newest.fact.posted_on <= day)
    )


def up_to_date(posted: Posted, kept: BookKept, about: Around) -> None:
    """Make what is new, and let go of what counts no more.

    Parameters
    ----------
    posted : Posted
        Of the same surroundings; it is changed.
    kept : BookKept
    about : Around
    """
    wanted: set[At] = set()
    new: dict[At, Entry] = {}
    newest = {line.first.id: line.newest for line in kept.postings}
    for line in kept.postings:
        fact: Posting = line.newest.fact
        of = newest.get(fact.of) if fact.of is not None else None
        at: At = line.newest.seq if of is None else (line.newest.seq, of.seq)
        wanted.add(at)
        if at not in posted.entries:
            belongs = None if of is None else of.fact
            new[at] = entry_of(fact, belongs, about, id=line.first.id, seq=line.newest.seq)
    gone = [one for one in posted.entries if one not in wanted]
    legs = [leg for one in gone for leg in reversed_legs(posted.entries[one].legs)]
    legs += [leg for entry in new.values() for leg in entry.legs]
    for account, amount in balances(legs).items():
        total = posted.sums.get(account, Decimal(0)) + amount
        posted.sums[account] = abs(total) if total == 0 else total
    for one in gone:
        del posted.entries[one]
    posted.entries |= new
    if len(new) > FEW or gone:
        posted.lines = sorted((entry.line for entry in posted.entries.values()), key=_newest)
        return
    for entry in new.values():
        insort(posted.lines, entry.line, key=_newest)


def summed(book: Book, lines: Iterable[BookLine] | None = None) -> Book:
    """A book with its sums of the lines that are shown.

    Parameters
    ----------
    book : Book
    lines : iterable of BookLine or None
        Shown in place of its own, newest first.

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
        amount = book.counted(line)
        if amount:
            at = BROUGHT if line.brings else line.bucket
            buckets[at] = buckets.get(at, Decimal(0)) + amount
            unplaced += not line.bucket and not line.brings and line.sort in COSTING
    return replace(
        book,
        lines=shown,
        by_bucket=dict(sorted(buckets.items())),
        unplaced=unplaced,
        missing_rates=tuple(sorted(missing)),
    )


def shown_of(book: Book, *, lot: str = "", keys: Collection[str] = ()) -> Book:
    """A book of one lot or one machine; what stands where stays that of the whole.

    Parameters
    ----------
    book : Book
    lot : str
        Its id; empty: a machine is asked for.
    keys : collection of str
        Of the machines: all of the lot, or the one.

    Returns
    -------
    Book
        Lines of the lot, and those that its machines bear a share of; sums of their shares.

    Examples
    --------
    >>> shown_of(Book(currency="EUR"), lot="a").lines
    ()
    """
    mine = frozenset(keys)
    lines = (
        line
        for line in book.lines
        if (lot and line.lot == lot)
        or line.machine in mine
        or any(one.machine in mine for one in line.shares)
    )
    return summed(replace(book, lot=lot, keys=mine), lines)


def _newest(line: BookLine) -> tuple[str, int, str]:
    return line.posted_on, line.seq, line.id
