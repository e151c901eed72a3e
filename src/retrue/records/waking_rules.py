"""What the fields of one fact of first power must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.waking import Sensed, StageEnded, WatchBegun, WatchReadings

Rule = Callable[[Any], Iterator[Problem]]
MOST_ROWS = 100_000  # of one batch: a logger at ten a second for nearly three hours


def _stage_ended(fact: StageEnded) -> Iterator[Problem]:
    if fact.how == "aborted" and not fact.why.strip():
        yield Problem("why", say("is empty"), say("Say in a few words why it was called off."))


def _watch_begun(fact: WatchBegun) -> Iterator[Problem]:
    if fact.alarm == "laptop" and not fact.heard:
        yield Problem(
            "heard",
            say("is not said"),
            say("Sound the alarm once and hear it, or watch with paper and a kitchen timer."),
        )


def _watch_readings(fact: WatchReadings) -> Iterator[Problem]:
    if not fact.rows:
        yield Problem("rows", say("is empty"), say("Give one reading at least."))
    if len(fact.rows) > MOST_ROWS:
        yield Problem("rows", say("holds more than {most}", most=MOST_ROWS), say("Part them."))
    for number, (at, _, _) in enumerate(fact.rows, 1):
        if not _is_moment(at):
            what = say("row {number} has {value}, which is no moment with its offset",
                       number=number, value=repr(at))  # fmt: skip
            yield Problem("rows", what, say("Write it as 2026-11-25T20:00:05+01:00."))
            return


def _is_moment(text: str) -> bool:
    try:
        return "T" in text and datetime.fromisoformat(text).utcoffset() is not None
    except ValueError:
        return False


def _sensed(fact: Sensed) -> Iterator[Problem]:
    if fact.file is None and not fact.readings:
        yield Problem("readings", say("is empty"), say("Give a file, or one number at least."))
    if fact.file is not None and not HASH_IN_HEX.fullmatch(fact.file):
        yield Problem("file", say("is not a SHA-256 in hex"), say("Keep the file first."))


WAKING: Mapping[type[Any], tuple[Rule, ...]] = {
    StageEnded: (_stage_ended,),
    WatchBegun: (_watch_begun,),
    WatchReadings: (_watch_readings,),
    Sensed: (_sensed,),
}
