"""Kept once: the same again, or sent twice, adds nothing; a bad field is named."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, TypeVar

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.records.checking import problems_of
from retrue.records.facts import Fact
from retrue.records.hand import Hand
from retrue.records.sending import same_or_kept
from retrue.records.sending import sent_before as sent_before
from retrue.records.shop import Record, RecordShop

G = TypeVar("G", bound=Fact)


def put(shop: RecordShop, fact: G, old: Record[G] | None, hand: Hand) -> Record[G]:
    """Keep a fact in the place of an older one; the same again, or sent twice, adds nothing.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    fact : Fact
    old : Record or None
        What it takes the place of.
    hand : Hand
        Who writes.

    Returns
    -------
    Record

    Raises
    ------
    Unusable
        A field cannot be; every one is named.
    """
    refuse_fields(fact)
    return same_or_kept(shop, fact, old, hand)


def refuse_fields(fact: Any, *more: Problem) -> None:
    """Refuse a fact with every field named that cannot be kept.

    Parameters
    ----------
    fact : Fact
    *more : Problem
        Found beside those of its fields.

    Raises
    ------
    Unusable
    """
    refuse((*problems_of(fact), *more))


def refuse(problems: Iterable[Problem]) -> None:
    """Refuse with every problem named; nothing where there is none.

    Parameters
    ----------
    problems : iterable of Problem

    Raises
    ------
    Unusable
    """
    told = tuple(problems)
    if not told:
        return
    reason = told[0].what if len(told) == 1 and told[0].where == "rate" else ""
    raise Unusable(
        reason or say("this cannot be kept as it stands"),
        remedy=told[0].remedy if reason else say("Mend what is named; nothing else was lost."),
        problems=told,
    )


def day_problems(day: str, on: date, field: str) -> tuple[Problem, ...]:
    """What is wrong with a day of which nothing can be told yet.

    Parameters
    ----------
    day : str
        ISO date.
    on : date
        Today.
    field : str
        Where it was given.

    Returns
    -------
    tuple of Problem
        Empty where the day has come.
    """
    if day <= on.isoformat():
        return ()
    what = say("is {day}, and that is still to come", day=day)
    return (Problem(field, what, say("Write the day on which it was.")),)
