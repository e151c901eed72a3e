"""What the fields of one fact of money and sale must be to each other."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from datetime import time
from decimal import Decimal
from itertools import pairwise
from typing import Any

from retrue.base.formatter import number
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.settling import (
    BUCKETS,
    RUN_ITEMS,
    SALE_ITEMS,
    BooksClosed,
    BuyerAsked,
    CaseClosed,
    ClockRung,
    DayRate,
    ForSale,
    HoursTold,
    Included,
    LedgerTaken,
    Offered,
    Posting,
    Promised,
    RecordGiven,
    RunFigure,
)

Rule = Callable[[Any], Iterator[Problem]]
MOST_HOURS = 24.0  # of one evening, one pair of hands
HASH_IN_HEX = re.compile(r"[0-9a-f]{64}")
HIGHEST_GRADE = 5
LONGEST_NAME, LONGEST_TEXT = 300, 4_000  # characters
TEXTS = frozenset({"text", "reason", "changes", "question", "answer"})
WHOLE_FILES = frozenset({"content", "compared"})  # canonical JSON, as long as it is


def _lengths(fact: Any) -> Iterator[Problem]:
    """No word so long that a page or a sheet cannot hold it."""
    for field in fields(fact):
        value = getattr(fact, field.name)
        if not isinstance(value, str) or len(value) <= LONGEST_NAME:
            continue
        most = LONGEST_TEXT if field.name in TEXTS else LONGEST_NAME
        if len(value) > most and field.name not in WHOLE_FILES:
            yield Problem(
                field.name,
                say("has {count} characters", count=len(value)),
                say("{most} at most: say the rest in another record.", most=most),
            )


def _posting(fact: Posting) -> Iterator[Problem]:
    yield from _one_of("bucket", fact.bucket, ("", *BUCKETS))
    if fact.rate is not None and fact.rate_on is None:
        yield Problem("rate_on", say("is missing"), say("Say of which day the rate is."))
    if fact.sort == "moved" and not (fact.from_stock or fact.from_machine):
        yield Problem(
            "from_stock", say("is empty"), say("Say what it came from: the shelf or a machine.")
        )
    if fact.sort == "moved" and fact.machine is None:
        yield Problem("machine", say("is missing"), say("Say which machine it went into."))
    if fact.sort == "moved" and fact.from_machine == fact.machine is not None:
        yield Problem(
            "from_machine", say("is the machine it went into"), say("Name the other machine.")
        )
    if fact.sort in ("returned", "deposit_back") and fact.of is None:
        yield Problem("of", say("is missing"), say("Name the line in the book that it undoes."))
    yield from _exchanged(fact)
    yield from _weights(fact)
    if fact.receipt is not None and not HASH_IN_HEX.fullmatch(fact.receipt):
        yield Problem("receipt", say("is not a SHA-256 in hex"), say("Keep the file first."))


def _exchanged(fact: Posting) -> Iterator[Problem]:
    if fact.sort != "exchanged":
        if fact.into_amount is not None or fact.into_currency:
            yield Problem("into_amount", say("comes with nothing exchanged"), say("Leave it out."))
        if fact.into_place:
            yield Problem("into_place", say("comes with nothing exchanged"), say("Leave it out."))
        return
    if fact.into_amount is None:
        yield Problem("into_amount", say("is missing"), say("Say how much came in."))
    code = fact.into_currency
    if not code:
        yield Problem("into_currency", say("is empty"), say("Write three letters, as EUR."))
    elif not (len(code) == 3 and code.isascii() and code.isupper()):
        yield Problem(
            "into_currency",
            say("is {value}, not a currency code", value=repr(code)),
            say("Write three letters, as EUR."),
        )
    elif code == fact.currency:
        yield from _own_money(fact)


def _own_money(fact: Posting) -> Iterator[Problem]:
    """One's own money in another place: the same sum of the same currency."""
    if fact.into_place in ("", fact.paid_from):
        yield Problem(
            "into_currency",
            say("is the same currency, in the same place"),
            say("Name the currency that came in, or the place it came into."),
        )
    elif fact.into_amount is not None and fact.into_amount != fact.amount:
        yield Problem(
            "into_amount",
            say("is not what went out, in the same currency"),
            say("Put what it cost in the book as a line of its own."),
        )


def _weights(fact: Posting) -> Iterator[Problem]:
    if fact.split == "weights" and not any(weight > 0 for weight in fact.weights):
        yield Problem("weights", say("has no weight above 0"), say("Give each machine its weight."))
    if fact.weights and len(fact.weights) != len(fact.shared_by):
        yield Problem(
            "weights",
            say(
                "has {count} for {machines}", count=len(fact.weights), machines=len(fact.shared_by)
            ),
            say("Give each machine one weight."),
        )
    if len(set(fact.shared_by)) < len(fact.shared_by):
        yield Problem("shared_by", say("names a machine twice"), say("Give each machine once."))


def _hours(fact: HoursTold) -> Iterator[Problem]:
    if fact.hours > MOST_HOURS:
        yield Problem(
            "hours",
            say("is {hours} h", hours=number(fact.hours)),
            say("A day has {most} h; say the rest on another day.", most=number(MOST_HOURS)),
        )
    if fact.answer == "not_mine" and fact.hours:
        yield Problem("hours", say("comes with hours that are not mine"), say("Leave it at 0."))
    for name, value in (("begin", fact.begin), ("end", fact.end)):
        if value and not _is_clock(value):
            yield Problem(name, say("is {value}", value=repr(value)), say("Write it as 19:40."))


def _is_clock(text: str) -> bool:
    try:
        return len(text) == 5 and time.fromisoformat(text) is not None
    except ValueError:
        return text == "24:00"


def _clock_rung(fact: ClockRung) -> Iterator[Problem]:
    if fact.how == "start" and fact.machine is None and not fact.text.strip():
        yield Problem(
            "machine", say("is missing"), say("Say at which machine, or in words what for.")
        )


def _run_figure(fact: RunFigure) -> Iterator[Problem]:
    yield from _one_of("item", fact.item, (*RUN_ITEMS, *SALE_ITEMS))
    if not fact.low <= fact.likely <= fact.high:
        yield Problem(
            "likely", say("does not rise"), say("Give the low, the likely, then the high figure.")
        )


def _for_sale(fact: ForSale) -> Iterator[Problem]:
    steps: list[tuple[str, Decimal]] = [("ask", fact.ask)]
    steps += [("take", fact.take)] if fact.take is not None else []
    steps += [("dump", fact.dump)] if fact.dump is not None else []
    for (over, higher), (name, lower) in pairwise(steps):
        if lower > higher:
            yield Problem(
                name,
                say("is above {over}", over=over),
                say("Ask is the highest, then what is taken, then what it is let go for."),
            )


def _included(fact: Included) -> Iterator[Problem]:
    if fact.sort == "guard" and not fact.state:
        yield Problem("state", say("is empty"), say("Say how the guard or interlock stands."))
    if fact.sort != "guard" and fact.state:
        yield Problem("state", say("comes with what is no guard"), say("Leave it out."))
    if not 0 <= fact.grade <= HIGHEST_GRADE:
        yield Problem("grade", say("is outside 0 to 5"), say("Leave it to the page."))
    if fact.file is not None and not HASH_IN_HEX.fullmatch(fact.file):
        yield Problem("file", say("is not a SHA-256 in hex"), say("Keep the file first."))


def _record_given(fact: RecordGiven) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.content_sha256):
        yield Problem(
            "content_sha256", say("is not a SHA-256 in hex"), say("Make the record again.")
        )


def _ledger_taken(fact: LedgerTaken) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.file_sha256):
        yield Problem("file_sha256", say("is not a SHA-256 in hex"), say("Read the file again."))


def _promised(fact: Promised) -> Iterator[Problem]:
    for name, value in (("until_on", fact.until_on), ("kept_on", fact.kept_on)):
        yield from _not_before(name, value, fact.promised_on)


def _buyer_asked(fact: BuyerAsked) -> Iterator[Problem]:
    yield from _not_before("answered_on", fact.answered_on, fact.asked_on)
    if fact.answered_on is not None and not fact.answer.strip():
        yield Problem("answer", say("is empty"), say("Say what was answered."))


def _not_before(name: str, later: str | None, first: str) -> Iterator[Problem]:
    if later is not None and len(later) == len(first) and later < first:
        yield Problem(
            name,
            say("is {later}, before {first}", later=later, first=first),
            say("Look at both dates again."),
        )


def _one_of(name: str, value: str, known: tuple[str, ...]) -> Iterator[Problem]:
    if value not in known:
        yield Problem(
            name,
            say("is {value}", value=repr(value)),
            say("It can be {named}.", named=", ".join(one for one in known if one)),
        )


SETTLING: Mapping[type[Any], tuple[Rule, ...]] = {
    Posting: (_lengths, _posting),
    DayRate: (_lengths,),
    BooksClosed: (_lengths,),
    HoursTold: (_lengths, _hours),
    ClockRung: (_lengths, _clock_rung),
    RunFigure: (_lengths, _run_figure),
    ForSale: (_lengths, _for_sale),
    Offered: (_lengths,),
    Included: (_lengths, _included),
    RecordGiven: (_lengths, _record_given),
    Promised: (_lengths, _promised),
    BuyerAsked: (_lengths, _buyer_asked),
    CaseClosed: (_lengths,),
    LedgerTaken: (_lengths, _ledger_taken),
}
