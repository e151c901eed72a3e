"""Something hired is told twice, as gear by its days and as what is out: it counts once. Pure."""

from __future__ import annotations

from collections.abc import Collection

from retrue.cases.fix.outs import OutKept
from retrue.cases.settle.kept import BookKept

HIRE = "hire:"  # of the source of a day of hire: hire:NAME:DAY


def days_in_book(kept: BookKept) -> frozenset[tuple[str, str]]:
    """Days of hire that stand in the book, by the name of the gear and the day.

    Parameters
    ----------
    kept : BookKept

    Returns
    -------
    frozenset of (str, str)

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> days_in_book(BookKept(shop=Shop()))
    frozenset()
    """
    sources = (str(line.newest.fact.source) for line in kept.postings)
    parts = (one.removeprefix(HIRE).rpartition(":") for one in sources if one.startswith(HIRE))
    return frozenset((name, day) for name, _, day in parts)


def by_its_days(one: OutKept, posted: Collection[tuple[str, str]]) -> bool:
    """Whether what is out was hired by days that stand in the book: its sum is not counted again.

    Parameters
    ----------
    one : OutKept
    posted : collection of (str, str)
        As :func:`days_in_book` gives them.

    Returns
    -------
    bool
    """
    return any(is_that(one, name, "", day) for name, day in posted)


def is_that(one: OutKept, gear: str, whom: str, day: str) -> bool:
    """Whether something that is out is that gear, and was here on that day.

    Parameters
    ----------
    one : OutKept
    gear : str
        Its name, which stands in the words of what is out.
    whom : str
        At whom it is hired; empty: not said.
    day : str
        ISO date.

    Returns
    -------
    bool
        Two names of whom, unlike each other, are two hires.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> from retrue.records.shop import Record
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="hired", what="Hoist of 2 t", whom="the hirer",
    ...           since_on="2026-11-18")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""), out=out)
    >>> is_that(kept, "hoist", "", "2026-11-19"), is_that(kept, "hoist", "", "2026-11-17")
    (True, False)
    """
    out = one.out
    if out.sort != "hired" or gear.replace("_", " ").casefold() not in out.what.casefold():
        return False
    told, other = whom.strip().casefold(), out.whom.strip().casefold()
    if told and other and told != other:
        return False
    return out.since_on <= day and (one.ended is None or day <= one.ended.fact.ended_on)
