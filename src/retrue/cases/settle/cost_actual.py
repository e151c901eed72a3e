"""What the book puts on each machine: by bucket, by line, on no line; what it brought. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from retrue.cases.settle.cost_words import LANDED, RUNNING
from retrue.cases.settle.lines import BookLine

NOTHING, CENT = Decimal(0), Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Actual:
    """Money of one machine, or of several together; shop's currency, exact.

    Attributes
    ----------
    spent, owed : mapping of (bucket, line) to Decimal
        In the book; known and not yet in it. An empty line is on none.
    brings : Decimal
        What was taken for it.
    told : frozenset of str
        Buckets that any line names, one of nothing too: so it is known to have cost nothing.
    lines : tuple of (ISO date, Decimal, words, posted)
        Each sum with its day, what it brought below zero.
    unplaced : int
        Sums without a bucket.
    """

    spent: Mapping[tuple[str, str], Decimal] = field(default_factory=dict)
    owed: Mapping[tuple[str, str], Decimal] = field(default_factory=dict)
    brings: Decimal = NOTHING
    told: frozenset[str] = frozenset()
    lines: tuple[tuple[str, Decimal, str, bool], ...] = ()
    unplaced: int = 0

    def by_bucket(self, bucket: str) -> tuple[Decimal, Decimal]:
        """In the book, and owed, for one bucket."""
        return (
            sum((money for (at, _), money in self.spent.items() if at == bucket), NOTHING),
            sum((money for (at, _), money in self.owed.items() if at == bucket), NOTHING),
        )

    def by_line(self, line: str) -> tuple[Decimal, Decimal]:
        """In the book, and owed, for one line; of a fault, all its ways."""
        return (
            sum((money for (_, at), money in self.spent.items() if at == line), NOTHING),
            sum((money for (_, at), money in self.owed.items() if at == line), NOTHING),
        )

    @property
    def buckets(self) -> tuple[str, ...]:
        """Buckets in which there is any money."""
        return tuple(dict.fromkeys(bucket for bucket, _ in (*self.spent, *self.owed)))

    @property
    def landed(self) -> Decimal:
        """On the floor, so far."""
        return sum((sum(self.by_bucket(bucket), NOTHING) for bucket in LANDED), NOTHING)

    @property
    def running(self) -> Decimal:
        """What running it took."""
        return sum(self.by_bucket(RUNNING), NOTHING)

    @property
    def restored(self) -> Decimal:
        """All so far, but what running it took."""
        whole = sum((sum(self.by_bucket(bucket), NOTHING) for bucket in self.buckets), NOTHING)
        return whole - self.running


def line_key(line: str) -> str:
    """The line that money is compared on: of a fault, all its ways together.

    Parameters
    ----------
    line : str
        F15:local, E11, J05, renew:belt, or empty.

    Returns
    -------
    str

    Examples
    --------
    >>> [line_key(line) for line in ("F15:local", "E11", "renew:belt", "")]
    ['F15', 'E11', 'renew:belt', '']
    """
    head, colon, _ = line.partition(":")
    return head if colon and head[:1] == "F" and head[1:].isdigit() else line


@dataclass(slots=True)
class _Sums:
    """An Actual in the making."""

    spent: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    owed: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    brings: Decimal = NOTHING
    told: set[str] = field(default_factory=set)
    lines: list[tuple[str, Decimal, str, bool]] = field(default_factory=list)
    unplaced: int = 0

    def add(self, line: BookLine, money: Decimal, paid: Paid = ()) -> None:
        """A line's share; with what was paid of it where it was put in as owed."""
        if line.bucket and not line.brings:
            self.told.add(line.bucket)
        if not money:
            return
        posted = line.state == "posted"
        self.lines += _paid_of(line, money, paid)
        if line.brings:
            self.brings -= money
            return
        self.unplaced += not line.bucket
        sums, at = self.spent if posted else self.owed, (line.bucket, line_key(line.line))
        sums[at] = sums.get(at, NOTHING) + money


Paid = tuple[BookLine, ...]


def _paid_of(line: BookLine, money: Decimal, paid: Paid) -> list[tuple[str, Decimal, str, bool]]:
    """A line's share on the days it was paid: of a bill that is owed, the rest is due."""
    posted = line.state == "posted"
    if not posted or line.paid_from != "owed" or not line.amount:
        return [(line.posted_on, money, line.what, posted)]
    told, left = [], money
    for one in paid:
        part = (money * one.amount / line.amount).quantize(CENT)
        told.append((one.posted_on, part, line.what, True))
        left -= part
    if abs(left) >= CENT * max(1, len(paid)):
        told.append((line.posted_on, left, line.what, False))
    elif told:  # what rounding left belongs to the last payment
        told[-1] = (told[-1][0], told[-1][1] + left, line.what, True)
    return told


def actuals_of(lines: Iterable[BookLine]) -> dict[str, Actual]:
    """What the book puts on each machine.

    Parameters
    ----------
    lines : iterable of BookLine
        In any order.

    Returns
    -------
    dict of key to Actual
        An empty key is nobody's; machines without a line are left out.

    Examples
    --------
    >>> actuals_of(())
    {}
    """
    made: dict[str, _Sums] = {}
    every = sorted(lines, key=lambda one: (one.posted_on, one.seq, one.id))
    paid: dict[str, Paid] = {}
    for line in every:
        if line.of and line.sort in ("paid", "received") and not line.shares:
            paid[line.of] = (*paid.get(line.of, ()), line)
    for line in every:
        for share in line.shares:
            made.setdefault(share.machine, _Sums()).add(line, share.amount, paid.get(line.id, ()))
    return {
        key: Actual(
            spent=one.spent, owed=one.owed, brings=one.brings, told=frozenset(one.told),
            lines=tuple(one.lines), unplaced=one.unplaced,
        )
        for key, one in made.items()
    }  # fmt: skip


def together(told: Iterable[Actual]) -> Actual:
    """Several machines as one.

    Parameters
    ----------
    told : iterable of Actual

    Returns
    -------
    Actual

    Examples
    --------
    >>> together([]).brings
    Decimal('0')
    """
    spent: dict[tuple[str, str], Decimal] = {}
    owed: dict[tuple[str, str], Decimal] = {}
    brings = NOTHING
    days: list[tuple[str, Decimal, str, bool]] = []
    buckets, unplaced = frozenset[str](), 0
    for one in told:
        unplaced += one.unplaced
        buckets |= one.told
        for whole, part in ((spent, one.spent), (owed, one.owed)):
            for at, money in part.items():
                whole[at] = whole.get(at, NOTHING) + money
        brings += one.brings
        days += one.lines
    return Actual(
        spent=spent,
        owed=owed,
        brings=brings,
        told=buckets,
        lines=tuple(sorted(days)),
        unplaced=unplaced,
    )
