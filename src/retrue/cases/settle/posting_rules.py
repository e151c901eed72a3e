"""Whether a line can be put in the book: everything wrong with it, field by field. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import date

from retrue.base.currencies import is_whole, minor_units
from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.books.tax import tax_problems
from retrue.cases.settle.derived_lines import known_sources
from retrue.cases.settle.entries import rate_of
from retrue.cases.settle.posting_belongs import left_of as left_of  # from here as well
from retrue.cases.settle.posting_belongs import of_problems, standing_problems
from retrue.cases.settle.posting_grounds import Grounds as Grounds
from retrue.cases.settle.posting_grounds import grounds as grounds
from retrue.cases.settle.posting_grounds import line_id as line_id
from retrue.cases.settle.posting_grounds import lot_id as lot_id
from retrue.cases.settle.posting_grounds import machine_key as machine_key
from retrue.cases.settle.posting_grounds import placed as placed
from retrue.records.settling import Posting

FIRST_DAY = "1970-01-01"  # of a shop that is kept here; judgement, no source


def posting_problems(
    fact: Posting, on: Grounds, *, today: date, instead: str = ""
) -> Iterator[Problem]:
    """Everything that keeps a placed line out of the book, beside what its fields are.

    Parameters
    ----------
    fact : Posting
        As :func:`placed` gives it.
    on : Grounds
    today : date
        Nothing was paid on a later day.
    instead : str
        First id of the line it corrects; empty: it is a new one.

    Yields
    ------
    Problem
    """
    if fact.posted_on > today.isoformat():
        what = say("is {day}, and that is still to come", day=fact.posted_on)
        yield Problem("posted_on", what, say("Write the day of the paper."))
    if fact.posted_on < FIRST_DAY:
        what = say("is {day}, before {first}", day=fact.posted_on, first=FIRST_DAY)
        yield Problem("posted_on", what, say("Look at the paper again."))
    for name, amount, code in (
        ("amount", fact.amount, fact.currency),
        ("into_amount", fact.into_amount, fact.into_currency),
    ):
        if amount is not None and code and not is_whole(amount, code):
            count = minor_units(code)
            what = say("has more decimals than {currency} has", currency=code)
            yield Problem(name, what, say("Write it with {count} at most.", count=count))
    taxless = fact.sort in ("deposit", "deposit_back", "exchanged", "moved")
    if taxless and fact.tax_rate:
        what = say("stands on a line that has no tax of its own")
        yield Problem("tax_rate", what, say("Leave it out."))
    if fact.machine is not None and (fact.shared_by or fact.split):
        field = "shared_by" if fact.shared_by else "split"
        what = say("comes with a line that one machine bears")
        yield Problem(field, what, say("Leave it out; or name the lot, and no machine."))
    rate = fact.tax_rate
    yield from tax_problems(rate=rate, scheme=fact.tax_scheme, reclaimable=fact.tax_reclaimable)
    of = on.by_id.get(fact.of or "")
    said = of.newest.fact if of is not None else None
    if rate_of(fact, said, on.rates) is None:
        yield missing_rate(fact.currency, fact.posted_on)
    if said is not None:
        yield from of_problems(fact, said, on, instead)
    if instead:
        yield from standing_problems(fact, on, instead)


def source_problems(
    fact: Posting, on: Grounds, offers: Collection[str], *, today: date, instead: str = ""
) -> Iterator[Problem]:
    """A line stands for something that is known, or for nothing: never for what nobody kept.

    Parameters
    ----------
    fact : Posting
    on : Grounds
    offers : collection of str
        Sources of the offers that are kept.
    today : date
        Days of hire up to it are known.
    instead : str
        First id of the line it corrects: it keeps its source.

    Yields
    ------
    Problem
        Of the field ``source``.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from retrue.cases.settle.kept import BookKept
    >>> from retrue.records.facts import Shop
    >>> sold = Posting(sort="sold", posted_on="2026-11-25", what="mill", amount=Decimal(900),
    ...                source="offer:4f")
    >>> about = grounds(BookKept(shop=Shop()))
    >>> list(source_problems(sold, about, {"offer:4f"}, today=date(2026, 11, 26)))
    []
    >>> [one.where for one in source_problems(sold, about, (), today=date(2026, 11, 26))]
    ['source']
    """
    old = on.by_id.get(instead)
    if not fact.source or fact.source in offers:
        return
    if old is not None and old.newest.fact.source == fact.source:
        return
    if fact.source not in known_sources(on.kept, on=today):
        what = say("is {source}, which the book does not know", source=repr(fact.source))
        yield Problem("source", what, say("Leave it empty, or open the book and put it in there."))


def missing_rate(currency: str, day: str) -> Problem:
    """No rate leads from a currency to the shop's on that day.

    Parameters
    ----------
    currency, day : str

    Returns
    -------
    Problem
        Of the field ``rate``.
    """
    what = say("missing rate: {currency} on {day}", currency=currency, day=day)
    remedy = say("Type it with the line, or keep the rate of that day first.")
    return Problem("rate", what, remedy)


def refuse_closed(until: str, days: Iterable[str]) -> None:
    """NotYet where a day lies in a part of the book that is closed.

    Parameters
    ----------
    until : str
        ISO date up to which it is closed; empty: it is open.
    days : iterable of str
        ISO dates that something is to be put, corrected or taken back on.

    Raises
    ------
    NotYet
        The book is closed there; the day is named.

    Examples
    --------
    >>> refuse_closed("", ["2026-11-25"])
    >>> refuse_closed("2026-10-31", ["2026-10-01"])
    Traceback (most recent call last):
        ...
    retrue.base.refusals.NotYet: the book is closed up to 2026-10-31, and this is of 2026-10-01
    """
    shut = [day for day in days if until and day <= until]
    if not shut:
        return
    raise NotYet(
        say("the book is closed up to {until}, and this is of {day}", until=until, day=shut[0]),
        remedy=say("Put it on a day after that, or take the closing back first."),
        problems=(Problem("posted_on", say("lies in a part of the book that is closed")),),
    )


def unplaceable(problem: Unknown | Unusable) -> tuple[Problem, ...]:
    """What was wrong with a line that could not even be placed.

    Parameters
    ----------
    problem : Unknown or Unusable

    Returns
    -------
    tuple of Problem
        By its field, where it has one.
    """
    return problem.problems or (Problem("", problem.reason, problem.remedy),)
