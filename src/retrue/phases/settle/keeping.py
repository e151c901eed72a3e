"""Kept once: the same again, or sent twice, adds nothing; a bad field is named."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, TypeVar

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.records.checking import problems_of
from retrue.records.facts import Fact
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

G = TypeVar("G", bound=Fact)


def put(shop: RecordShop, fact: G, old: Record[G] | None, hand: Hand) -> Record[G]:
    """Keep a fact in the place of an older one; the same again, or sent twice, adds nothing."""
    refuse_fields(fact)
    if old is not None and old.fact == fact:
        return old
    sent = sent_before(shop, fact, hand)
    if sent is not None:
        return sent
    return shop.add(fact, replaces=old.id if old else None, **hand)


def sent_before(shop: RecordShop, fact: G, hand: Hand) -> Record[G] | None:
    """The record that this very sending was kept as; the shop refuses another content."""
    try:
        kept = shop.get(type(fact), hand["id"]) if "id" in hand else None
    except Unknown:
        return None
    return kept if kept is not None and kept.fact == fact else None


def refuse_fields(fact: Any, *more: Problem) -> None:
    """Unusable with every field named that cannot be kept."""
    refuse((*problems_of(fact), *more))


def refuse(problems: Iterable[Problem]) -> None:
    """Unusable with every problem named; nothing where there is none."""
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
    """A day of which nothing can be told yet."""
    if day <= on.isoformat():
        return ()
    what = say("is {day}, and that is still to come", day=day)
    return (Problem(field, what, say("Write the day on which it was.")),)
