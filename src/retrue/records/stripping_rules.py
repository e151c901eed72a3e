"""What the fields of one fact of moving or taking apart must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.moving import Arrived, DataCopy, LaidUp
from retrue.records.stripping import AsFound, CleanReading, Taken

Rule = Callable[[Any], Iterator[Problem]]


def _as_found(fact: AsFound) -> Iterator[Problem]:
    if fact.state == "not_possible" and not fact.why.strip():
        yield Problem("why", say("is empty"), say("Say why it is not possible."))


def _clean_reading(fact: CleanReading) -> Iterator[Problem]:
    if fact.reading is None and not fact.seen and not fact.text.strip():
        yield Problem(
            "reading", say("is missing"), say("Type what was read, or what the towel shows.")
        )


def _taken(fact: Taken) -> Iterator[Problem]:
    if fact.sort in ("wire", "hose") and not (fact.from_end.strip() or fact.to_end.strip()):
        yield Problem("from_end", say("is empty"), say("Say where one of its ends belongs."))
    elif fact.sort in ("bag", "part", "connector") and not (fact.what + fact.from_end).strip():
        yield Problem("what", say("is empty"), say("Say what it is, in a word or two."))


def _data_copy(fact: DataCopy) -> Iterator[Problem]:
    if fact.sha256 and not HASH_IN_HEX.fullmatch(fact.sha256):
        yield Problem("sha256", say("is not a SHA-256 in hex"), say("Keep the file first."))
    if fact.file is None and not (fact.how + fact.none).strip():
        yield Problem("how", say("is empty"), say("Say how it was saved, or why it could not be."))
    if fact.read_back and fact.none.strip():
        yield Problem("none", say("comes together with a read-back"), say("Keep one of the two."))


def _arrived(fact: Arrived) -> Iterator[Problem]:
    if fact.damage in ("visible", "hidden") and not fact.text.strip():
        yield Problem("text", say("is empty"), say("Say what is broken, in plain words."))
    if fact.found_on and fact.found_on < fact.delivered_on:
        yield Problem("found_on", say("is before the delivery"), say("Read both dates again."))


def _laid_up(fact: LaidUp) -> Iterator[Problem]:
    if fact.until_on and fact.until_on < fact.since_on:
        yield Problem("until_on", say("is before its beginning"), say("Read both dates again."))


STRIPPING: Mapping[type[Any], tuple[Rule, ...]] = {
    AsFound: (_as_found,),
    CleanReading: (_clean_reading,),
    Taken: (_taken,),
    DataCopy: (_data_copy,),
    Arrived: (_arrived,),
    LaidUp: (_laid_up,),
}
