"""What the fields of one fact of what to do must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, time
from typing import Any

from retrue.base.formatter import number
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.fixing import CardMarked, Chosen, Gear, Out, OutEnded, Quoted, Rung, Worker

Rule = Callable[[Any], Iterator[Problem]]
WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WORKED_FOR = ("keep", "new_control", "sell_running", "sell_proven")
AIMS = (*WORKED_FOR, "sell_as_found", "part_out")
MOST_HOURS, MOST_LEFT = 200.0, 1000.0  # of one card, spent at one time; still to do


def _chosen(fact: Chosen) -> Iterator[Problem]:
    if fact.sort != "aim" and not fact.what.strip():
        yield Problem("what", say("is empty"), say("Name the fault, the part or the extra."))
    if fact.sort != "aim":
        return
    if fact.way not in AIMS:
        yield Problem(
            "way",
            say("is {value}", value=repr(fact.way)),
            say("It can be {named}.", named=", ".join(AIMS)),
        )
    elif fact.way in WORKED_FOR and not fact.level:
        yield Problem("level", say("is empty"), say("Say how far: just running, right, like new."))


def _quoted(fact: Quoted) -> Iterator[Problem]:
    yield from _dated_rate(fact.rate, fact.rate_on)
    yield from _not_before(fact.valid_until_on, fact.quoted_on, "valid_until_on")


def _dated_rate(rate: Any, rate_on: str | None) -> Iterator[Problem]:
    if rate is not None and rate_on is None:
        yield Problem("rate_on", say("is missing"), say("Say of which day the rate is."))


def _out(fact: Out) -> Iterator[Problem]:
    yield from _not_before(fact.promised_on, fact.since_on, "promised_on")
    yield from _not_before(fact.ring_on, fact.since_on, "ring_on")


def _not_before(later: str | None, first: str, name: str) -> Iterator[Problem]:
    if later is not None and _is_day(later) and _is_day(first) and later < first:
        yield Problem(
            name,
            say("is {later}, before {first}", later=later, first=first),
            say("Look at both dates again."),
        )


def _rung(fact: Rung) -> Iterator[Problem]:
    yield from _not_before(fact.promised_on, fact.rung_on, "promised_on")
    yield from _not_before(fact.ring_on, fact.rung_on, "ring_on")
    if fact.nobody and fact.promised_on is not None:
        yield Problem(
            "promised_on",
            say("is {day}, and nobody answered", day=fact.promised_on),
            say("Leave one of the two out."),
        )
    if not (fact.nobody or fact.promised_on or fact.ring_on or fact.text.strip()):
        yield Problem(
            "text",
            say("is empty, as is all the rest"),
            say("Say what was said: a new promise, a day to ring, words, or that nobody answered."),
        )


def _out_ended(fact: OutEnded) -> Iterator[Problem]:
    if fact.judged and fact.how != "back":
        yield Problem("judged", say("comes with nothing that came back"), say("Leave it out."))


def _card_marked(fact: CardMarked) -> Iterator[Problem]:
    for name, value, most in (
        ("hours", fact.hours, MOST_HOURS),
        ("left_hours", fact.left_hours, MOST_LEFT),
    ):
        if value is not None and value > most:
            yield Problem(
                name,
                say("is {hours} h", hours=number(value)),
                say("It can be {most} h at most; say the rest another time.", most=number(most)),
            )
    yield from _not_before(fact.until_on, fact.marked_on, "until_on")


def _worker(fact: Worker) -> Iterator[Problem]:
    for day, begins, ends in fact.evenings:
        if day not in WEEK:
            yield Problem(
                "evenings",
                say("names {day}", day=repr(day)),
                say("It can be {named}.", named=", ".join(WEEK)),
            )
        yield from _hours("evenings", begins, ends)
    for day, begins, ends in fact.also:
        if not _is_day(day):
            yield Problem("also", say("has {day}", day=repr(day)), say("Write it as 2026-11-25."))
        yield from _hours("also", begins, ends)
    for first, last in fact.away:
        if not (_is_day(first) and _is_day(last)) or last < first:
            yield Problem(
                "away",
                say("has {first} to {last}", first=first, last=last),
                say("Give the first day and the last, as 2026-12-24 to 2026-12-31."),
            )


def _hours(name: str, begins: str, ends: str) -> Iterator[Problem]:
    starts, stops = _clock(begins), _clock(ends)
    if starts is None or stops is None or stops <= starts:
        yield Problem(
            name,
            say("has {begins} to {ends}", begins=repr(begins), ends=repr(ends)),
            say("Write it as 19:30 to 22:00, the end after the beginning, on one day."),
        )


def _gear(fact: Gear) -> Iterator[Problem]:
    for day in fact.days:
        if not _is_day(day):
            yield Problem("days", say("has {day}", day=repr(day)), say("Write it as 2026-11-25."))


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _clock(text: str) -> time | None:
    try:
        return time.fromisoformat(text) if len(text) == 5 else None
    except ValueError:
        return time.max if text == "24:00" else None


FIXING: Mapping[type[Any], tuple[Rule, ...]] = {
    Chosen: (_chosen,),
    Quoted: (_quoted,),
    Out: (_out,),
    Rung: (_rung,),
    OutEnded: (_out_ended,),
    CardMarked: (_card_marked,),
    Worker: (_worker,),
    Gear: (_gear,),
}
