"""A deposit that is out, that came back, or that the other side kept. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.outs import OutKept
from retrue.cases.settle.kept import BookKept
from retrue.records.settling import Posting

BUCKET_OF = {
    "ordered": "parts",
    "sent_out": "outside",
    "asked": "outside",
    "borrowed": "tooling",
    "hired": "hire",
}
Taken = Mapping[str, Mapping[str, Decimal]]


def common_of(one: OutKept) -> dict[str, Any]:
    """What every line of something that is out has in common: lot, machine, whom, currency.

    Parameters
    ----------
    one : OutKept

    Returns
    -------
    dict
        Fields of a posting.
    """
    out = one.out
    return {
        "lot": out.lot,
        "machine": out.machine,
        "whom": out.whom,
        "currency": out.currency,
        "line": out.line,
        "paid_from": "owed",
    }


def taken_of(kept: BookKept) -> Taken:
    """What was taken from each line of the book, by what the taking line was made from.

    Parameters
    ----------
    kept : BookKept

    Returns
    -------
    mapping of first id to mapping of source to Decimal

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> taken_of(BookKept(shop=Shop()))
    {}
    """
    taken: dict[str, dict[str, Decimal]] = {}
    for line in kept.postings:
        fact: Posting = line.newest.fact
        if fact.of is not None:
            mine = taken.setdefault(fact.of, {})
            mine[fact.source] = mine.get(fact.source, Decimal(0)) + fact.amount
    return taken


def deposit_lines(one: OutKept, given: Mapping[str, str], taken: Taken) -> Iterator[Posting]:
    """What is expected of a deposit.

    Parameters
    ----------
    one : OutKept
    given : mapping of source to first id
        Deposits that stand in the book.
    taken : mapping
        As :func:`taken_of` gives it: what came back or was kept by then is not expected again.

    Yields
    ------
    Posting
        It is out: a deposit. It came back: the money. It did not: a cost, of the deposit in the
        book, or where nobody posted that, from the first.

    References
    ----------
    By definition: what does not come back is spent.
    """
    out, ended = one.out, one.ended
    if not out.deposit:
        return
    source, common = f"out:{one.first.id}:deposit", common_of(one)
    back = None if ended is None else ended.fact.deposit_back
    if back is None or ended is None:
        yield Posting(
            sort="deposit", posted_on=out.since_on, amount=out.deposit,
            what=say("deposit for {what}", what=out.what), source=source, **common,
        )  # fmt: skip
    elif source in given:
        own = f"{source}:{'back' if back else 'kept'}"
        others = (sum_ for by, sum_ in taken.get(given[source], {}).items() if by != own)
        left = out.deposit - sum(others, Decimal(0))
        if left > 0:
            yield Posting(
                sort="deposit_back" if back else "paid", posted_on=ended.fact.ended_on,
                what=say("deposit for {what}", what=out.what) if back else _kept_words(one),
                bucket="" if back else BUCKET_OF[out.sort], of=given[source], amount=left,
                source=own, **common | {"paid_from": "bank"},
            )  # fmt: skip
    elif not back:
        yield Posting(
            sort="bought", posted_on=out.since_on, amount=out.deposit, what=_kept_words(one),
            bucket=BUCKET_OF[out.sort], source=source, **common,
        )  # fmt: skip


def _kept_words(one: OutKept) -> str:
    return say("deposit that did not come back: {what}", what=one.out.what)
