"""What the book says otherwise than what it was made from. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.settle.derived_lines import WHOLE, expected
from retrue.cases.settle.kept import BookKept
from retrue.records.settling import Posting


def hammer_doubts(kept: BookKept) -> Iterator[str]:
    """Where the bid was told anew after its price was posted.

    Parameters
    ----------
    kept : BookKept

    Yields
    ------
    str
        A sentence for each line that stands with another sum, or for a lot that was not won.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> list(hammer_doubts(BookKept(shop=Shop())))
    []
    """
    posted: list[Posting] = [
        line.newest.fact for line in kept.postings if line.newest.fact.source.startswith(WHOLE)
    ]
    if not posted:
        return
    now = {one.source: one for one in expected(kept, on=None)}
    known = {f"{WHOLE}{one.first.id}" for one in kept.outcomes}
    for fact in posted:
        bid = ":".join(fact.source.split(":")[:2])
        of_it = [one for source, one in now.items() if source.startswith(f"{bid}:")]
        told = now.get(fact.source)
        if not of_it:
            unknown = bid not in known
            words = say("taken back") if unknown else say("not won")
            yield say("The bid is told as {told}, and the book has {what}, {booked}.",
                      told=words, what=fact.what, booked=_money(fact))  # fmt: skip
        elif told is not None and told.amount != fact.amount and not fact.tax_in:
            yield say("{what} is told as {told}, and the book has {booked}.",
                      what=fact.what, told=_money(told), booked=_money(fact))  # fmt: skip


def _money(fact: Posting) -> str:
    return money(fact.amount, fact.currency, minor_units(fact.currency))
