"""What reading a bank file or a parts list would do to the book, before anything is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from retrue.base.refusals import Problem
from retrue.cases.settle.bring_amounts import DecimalMark
from retrue.cases.settle.bring_columns import Column, FileKind
from retrue.cases.settle.bring_days import DayOrder
from retrue.records.settling import Posting, PostingSort

RowState = Literal["new", "there", "probable", "left", "refused", "skipped"]
"""To be added; kept already; probably kept; left out before; not understood; no payment."""

Deed = Literal["add", "take", "leave"]
"""Add it; let it take the place of the line it looks like; leave it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line in the book that a row looks like.

    Attributes
    ----------
    id : str
        First id of the line; of an expected one its source.
    record : str
        Of a posted line: id of its newest record.
    fact : Posting
        As it counts, or as it would be put in the book.
    gross : Decimal
        With its tax, in its currency.
    """

    id: str
    record: str = ""
    fact: Posting
    gross: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """What of the book a row looks like.

    Attributes
    ----------
    way : str
        expected: known from an outcome, an order or a hire, and the row takes its place; owed: the
        row pays it; posted: it was typed by hand; several: it pays lines typed by hand together.
    words : str
        For a reader.
    parts : tuple of Part
        One line, or those that one sum pays.
    """

    way: Literal["expected", "owed", "posted", "several"]
    words: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """One fact that keeping a row adds.

    Attributes
    ----------
    id : str
    fact : Posting
    replaces : str or None
        Id of the record in whose place it comes.
    """

    id: str
    fact: Posting
    replaces: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtRow:
    """One row of the file.

    Attributes
    ----------
    number : int
        Line of the file, counted from 1.
    state : str
        new, there, probable, left, refused, skipped.
    id : str
        Made of what the row says: the same row has it in every file; empty: it says nothing.
    fact : Posting or None
        The line as it would be added.
    taking : tuple of Keep
        What is kept where it takes the place of what it looks like, or pays it; empty: it cannot.
    alike : Alike or None
    back : str
        Of a row that was left out before: the record that says so, should it be added now.
    words : str
        Of a row that is not to be added: why.
    guessed : tuple of str
        What was guessed, each with its reason.
    deed : str
        What happens unless the owner says otherwise.
    problems : tuple of Problem
    """

    number: int
    state: RowState
    id: str = ""
    fact: Posting | None = None
    taking: tuple[Keep, ...] = ()
    alike: Alike | None = None
    back: str = ""
    words: str = ""
    guessed: tuple[str, ...] = ()
    deed: Deed = "leave"
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What keeping a file would do; nothing is kept yet.

    Attributes
    ----------
    name : str
        Of the file.
    kind : str
        bank, or parts.
    currency : str
        The shop's own.
    columns : tuple of Column
    decimal : str
        comma or point.
    dates : str
        day, month; empty: it makes no difference.
    understood, guessed, ignored : tuple of str
        Of the file as a whole, each a sentence.
    rows : tuple of BroughtRow
        In the order of the file; every line below the heading that is not blank is one of them.
    machines : mapping of str to str
        Key to name, for the owner to choose from.
    closed_until : str
        ISO date up to which the book was closed when the file was read.
    """

    name: str
    kind: FileKind
    currency: str
    columns: tuple[Column, ...]
    decimal: DecimalMark
    dates: DayOrder | Literal[""]
    understood: tuple[str, ...] = ()
    guessed: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()
    rows: tuple[BroughtRow, ...] = ()
    machines: Mapping[str, str] = field(default_factory=dict)
    closed_until: str = ""

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that was not understood, in the order of the rows."""
        return tuple(one for row in self.rows for one in row.problems)

    def count(self, state: RowState) -> int:
        """Rows in this state."""
        return sum(row.state == state for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What the owner says of single rows, by their line in the file.

    Attributes
    ----------
    deeds : mapping of int to str
        add, take, leave.
    sorts, buckets : mapping of int to str
        In place of what was guessed.
    belongs : mapping of int to (lot or None, machine or None)
        Names or ids, in place of what was guessed; without a machine it is the whole lot's, or
        the shop's.
    taxes : mapping of int to Decimal or None
        The tax in the amount, a share: 0.21; None: none is said, whatever was guessed.
    good_rows : bool
        Keep what was understood, though other rows were not.
    """

    deeds: Mapping[int, Deed] = field(default_factory=dict)
    sorts: Mapping[int, PostingSort] = field(default_factory=dict)
    buckets: Mapping[int, str] = field(default_factory=dict)
    belongs: Mapping[int, tuple[str | None, str | None]] = field(default_factory=dict)
    taxes: Mapping[int, Decimal | None] = field(default_factory=dict)
    good_rows: bool = False
