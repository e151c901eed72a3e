"""What the fields of one fact of measuring must be to each other."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.measuring import Instrument, OwnLimit, ReadingSet, Result

HASH_IN_HEX = re.compile(r"[0-9a-f]{64}")
RULINGS = frozenset({"proved_good", "not_proved", "proved_bad"})
Rule = Callable[[Any], Iterator[Problem]]


def _instrument(fact: Instrument) -> Iterator[Problem]:
    if fact.hire_a_day is not None and fact.way != "hire":
        yield Problem(
            "hire_a_day",
            say("does not belong to one that is {way}", way=fact.way),
            say("Leave it out, or say that it is hired."),
        )
    if (fact.resolution is not None or fact.uncertainty is not None) and not fact.unit.strip():
        yield Problem("unit", say("is empty"), say("Say in what unit it is read, as µm or µm/m."))
    if fact.certified_on and fact.due_on and fact.due_on < fact.certified_on:
        yield Problem(
            "due_on",
            say("lies before the day of its certificate"),
            say("Write the day by which it is to be checked again."),
        )


def _reading_set(fact: ReadingSet) -> Iterator[Problem]:
    if fact.file is not None and not HASH_IN_HEX.fullmatch(fact.file):
        yield Problem("file", say("is not a SHA-256 in hex"), say("Keep the file first."))
    names = [name for name, _ in fact.options]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        yield Problem(
            "options", say("say {name} twice", name=twice[0]), say("Say each of them once.")
        )


def _result(fact: Result) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.readings):
        yield Problem("readings", say("is not a SHA-256 in hex"), say("Judge the set again."))
    if fact.ruling and fact.ruling not in RULINGS:
        can_be = ", ".join(sorted(RULINGS))
        yield Problem(
            "ruling",
            say("is {ruling}", ruling=repr(fact.ruling)),
            say("It can be {can_be}, or empty.", can_be=can_be),
        )
    if fact.ruling and fact.provisional:
        yield Problem(
            "ruling", say("is given to a provisional result"), say("Leave one of the two empty.")
        )


def _own_limit(fact: OwnLimit) -> Iterator[Problem]:
    if not fact.confirmed:
        return
    for name in ("standard", "edition"):
        if not getattr(fact, name).strip():
            yield Problem(
                name, say("is empty"), say("A confirmed limit names the copy it was read in.")
            )


MEASURING: Mapping[type[Any], tuple[Rule, ...]] = {
    Instrument: (_instrument,),
    ReadingSet: (_reading_set,),
    Result: (_result,),
    OwnLimit: (_own_limit,),
}
