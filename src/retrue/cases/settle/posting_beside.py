"""Whether a line typed by hand stands in the book already, or waits there under another name. Pure.

Asked, not decided: two equal bills of a day are rare, and there are such.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.derived_lines import still_expected
from retrue.cases.settle.entries import tax_of
from retrue.cases.settle.posting_grounds import Grounds
from retrue.records.settling import Posting

OF_THE_HAMMER = ("price", "premium")  # a lot has one of each, whatever was typed for it
COSTING = ("bought", "paid", "deposit")
SAME = ("sort", "posted_on", "amount", "currency", "what", "whom", "machine", "of", "into_amount")


def beside_problems(fact: Posting, on: Grounds, *, today: date) -> Iterator[Problem]:
    """What a new line would stand beside: the same line, or an expected one that it probably is.

    Parameters
    ----------
    fact : Posting
        Placed, and not in the book.
    on : Grounds
    today : date
        Days of hire up to it are expected.

    Yields
    ------
    Problem
        Of the field ``source`` for what is expected, of ``what`` for the same line.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from retrue.cases.settle.kept import BookKept
    >>> from retrue.cases.settle.posting_grounds import grounds
    >>> from retrue.records.facts import Shop
    >>> belt = Posting(sort="bought", posted_on="2026-11-25", what="belt", amount=Decimal(9))
    >>> list(beside_problems(belt, grounds(BookKept(shop=Shop())), today=date(2026, 11, 26)))
    []
    """
    if not fact.source and fact.of is None and fact.sort in COSTING:
        for one in still_expected(on.kept, on=today):
            if _is_probably(fact, one):
                yield Problem("source", _named(one), _remedy(one))
                return
    for line in on.kept.postings:
        old: Posting = line.newest.fact
        if _same(fact, old):
            what = say("stands in the book already: {what}, {day} ({id})",
                       what=old.what, day=old.posted_on, id=line.first.id)  # fmt: skip
            yield Problem("what", what, say("Leave it, or say that it is another one: beside."))
            return


def _is_probably(fact: Posting, one: Posting) -> bool:
    """Whether a typed line is probably the expected one: the hammer by its bucket, else the sum."""
    if fact.lot != one.lot or one.sort == "deposit_back":
        return False
    if one.bucket in OF_THE_HAMMER and one.machine is None:
        return fact.bucket == one.bucket
    return (fact.machine, fact.currency) == (one.machine, one.currency) and (
        tax_of(fact).gross == tax_of(one).gross and fact.bucket in ("", one.bucket)
    )


def _named(one: Posting) -> str:
    amount = money(one.amount, one.currency, minor_units(one.currency))
    return say("is empty, and the book expects {what}, {amount}", what=one.what, amount=amount)


def _remedy(one: Posting) -> str:
    return say("Say that it is this one, {source}; or that both are to stand: beside.",
               source=one.source)  # fmt: skip


def _same(fact: Posting, old: Posting) -> bool:
    if any(getattr(fact, name) != getattr(old, name) for name in SAME):
        return False
    return fact.lot == old.lot and (fact.source, fact.bucket) == (old.source, old.bucket)
