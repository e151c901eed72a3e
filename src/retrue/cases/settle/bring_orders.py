"""Orders that are out: the book expects them when they arrive, the bank pays them before. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from retrue.base.say import say
from retrue.cases.settle.derived_lines import BUCKET_OF, tax_of_out
from retrue.cases.settle.entries import around, entry_of
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.lines import BookLine
from retrue.records.settling import Posting


def paid_ahead(kept: BookKept) -> Iterator[Posting]:
    """What was ordered or sent out with a price and is not back yet, ready to be put in the book.

    Parameters
    ----------
    kept : BookKept

    Yields
    ------
    Posting
        Its source is that of the line the book expects once it arrives, so that it counts once.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> list(paid_ahead(BookKept(shop=Shop())))
    []
    """
    posted = {line.newest.fact.source for line in kept.postings}
    for one in kept.outs:
        out, source = one.out, f"out:{one.first.id}"
        if one.ended is None and out.amount and out.sort != "asked" and source not in posted:
            yield Posting(
                sort="bought", posted_on=out.since_on, amount=out.amount, what=out.what,
                bucket=BUCKET_OF[out.sort], lot=out.lot, machine=out.machine, whom=out.whom,
                currency=out.currency, line=out.line, paid_from="owed", source=source,
                **tax_of_out(one, kept),
            )  # fmt: skip


def ahead_lines(kept: BookKept, ahead: Mapping[str, Posting]) -> list[BookLine]:
    """The same as lines that are expected.

    Parameters
    ----------
    kept : BookKept
    ahead : mapping of source to Posting

    Returns
    -------
    list of BookLine
        Their words say that they are ordered.
    """
    about = around(kept)
    return [
        replace(
            entry_of(fact, None, about, id=source).line,
            state="expected",
            what=say("{what}, ordered", what=fact.what),
        )
        for source, fact in ahead.items()
    ]
