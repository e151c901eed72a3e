"""What single lines of the tables came to at one machine: money, own hours, days waited."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from retrue.cases.fix.outs import OutKept
from retrue.cases.settle.closing import LineSpent
from retrue.cases.settle.hour_lines import HoursRow
from retrue.cases.settle.lines import BookLine


def money_spent(lines: Iterable[BookLine], machine: str) -> Iterator[LineSpent]:
    """Money that lines of the book put on a machine, where they name a line of the tables.

    Parameters
    ----------
    lines : iterable of BookLine
    machine : str
        Key: id of its first record.

    Yields
    ------
    LineSpent
        Shop's currency; what is only expected is not spent.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from retrue.cases.settle.lines import BookShare
    >>> paid = BookLine(id="a", posted_on="2026-11-26", sort="paid", what="winder", currency="EUR",
    ...     amount=Decimal(600), net=Decimal(600), tax=Decimal(0), tax_back=Decimal(0),
    ...     in_shop=Decimal(600), line="F15:local", shares=(BookShare(machine="m",
    ...     machine_name="mill", amount=Decimal(600)),))
    >>> list(money_spent([paid], "m")), list(money_spent([paid], "n"))
    ([LineSpent(line='F15:local', what='money', amount=600.0)], [])
    """
    for line in lines:
        if line.line and line.state == "posted":
            for share in line.shares:
                if share.machine == machine:
                    yield LineSpent(line=line.line, what="money", amount=float(share.amount))


def hours_spent(rows: Iterable[HoursRow], machine: str) -> Iterator[LineSpent]:
    """Own hours of cards, where a row names one.

    Parameters
    ----------
    rows : iterable of HoursRow
    machine : str
        Key.

    Yields
    ------
    LineSpent
    """
    for row in rows:
        if row.machine == machine and row.line:
            yield LineSpent(line=row.line, what="hours", amount=row.hours)


def days_waited(outs: Iterable[OutKept], machine: str) -> Iterator[LineSpent]:
    """Days from sending or ordering until it was back, where it names a line.

    Parameters
    ----------
    outs : iterable of OutKept
        What came wrong or was called off says nothing.
    machine : str
        Key.

    Yields
    ------
    LineSpent
    """
    for kept in outs:
        ended = kept.ended
        if kept.out.machine != machine or not kept.out.line or ended is None or not kept.counts:
            continue
        since = date.fromisoformat(kept.out.since_on)
        days = (date.fromisoformat(ended.fact.ended_on) - since).days
        yield LineSpent(line=kept.out.line, what="days", amount=float(max(0, days)))
