"""Is a fact fit to be kept? Every bad field is named, all of them at once."""

from __future__ import annotations

import math
import types
from collections.abc import Callable, Iterator
from dataclasses import fields
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.records.facts import FACTS, Alternative, Fact, File, Finding, Note, Shop, Withdrawn
from retrue.records.fixing_rules import FIXING
from retrue.records.joining_rules import JOINING
from retrue.records.keeping_rules import KEEPING
from retrue.records.measuring_rules import HASH_IN_HEX, MEASURING
from retrue.records.screening_rules import SCREENING
from retrue.records.seeking_rules import SEEKING
from retrue.records.settling_rules import SETTLING
from retrue.records.stripping_rules import STRIPPING
from retrue.records.waking_rules import WAKING

KINDS: dict[str, type[Fact]] = {fact.KIND: fact for fact in FACTS}

SHARES = frozenset(
    {"interest", "odds", "premium", "tax_rate", "duty", "resale_share", "sorry"}
    | {"share", "base_rate", "cures"}
)
TEMPERATURES = frozenset({"temperature_c", "air_c", "machine_c", "nose_c", "room_c"})
SIGNED = TEMPERATURES | {"reading", "readings", "rows", "cost_per_hour", "seed"}
ABOVE_ZERO = frozenset(
    {"bid_step", "rate", "horizon_years", "units", "page", "worlds", "resolution", "value"}
    | {"every_days", "count", "step"}
)
MOST_DAYS = 3660  # ten years: an interval, or a term of a law
MOST_YEARS = 100  # that a cell may last
HOTTEST_C = 500
AT_MOST = {
    "every_days": MOST_DAYS,
    "local_days": MOST_DAYS,
    "cell_years": MOST_YEARS,
    "humidity_percent": 100,
    **dict.fromkeys(sorted(TEMPERATURES), HOTTEST_C),
}
FIRST_YEAR, LAST_YEAR = 1900, 2999  # of a day: sums with dates stay dates
MOMENTS = frozenset({"closes_at", "at"})  # with an offset: bidders sit in several time zones
MAY_BE_EMPTY = frozenset({"sheet"})

CHECK_ANSWERS = frozenset({"not_seen", "seen", "slight", "severe", "cant_tell"})
HISTORY_ANSWERS = frozenset({"yes", "no", "likely", "maybe", "unknown"})
FAULT_ANSWERS = frozenset({"present", "absent"})
TAKEN = "a date or a moment"  # cameras write no offset
COLDEST_C = -273.15

LARGEST_MONEY = Decimal(10) ** 12
LARGEST_WHOLE = 2**63 - 1
MOST_DECIMALS = 12


def check(fact: Fact) -> None:
    """Refuse a fact with values that cannot be; an implausible value is not refused.

    Parameters
    ----------
    fact : Fact
        Any of the facts a shop keeps.

    Raises
    ------
    Unusable
        Its ``problems`` name every bad field: wrong type, not a finite number, a share outside
        0 to 1, negative money or hours, an empty name, a date that is none.

    Examples
    --------
    >>> from retrue.records.facts import Terms
    >>> check(Terms(lot="hall 3", premium=0.18))
    >>> try:
    ...     check(Terms(lot=" ", premium=18.0))
    ... except Unusable as refusal:
    ...     print([problem.where for problem in refusal.problems])
    ['lot', 'premium']
    """
    problems = tuple(problems_of(fact))
    if problems:
        raise Unusable(
            say(
                "this {kind} cannot be kept: {where} {what}",
                kind=fact.KIND,
                where=problems[0].where,
                what=problems[0].what,
            ),
            remedy=say("Correct the fields named; all other fields are as you gave them."),
            problems=problems,
        )


def problems_of(fact: Fact) -> Iterator[Problem]:
    """Yield everything wrong with a fact, field by field in their order, then across fields.

    Examples
    --------
    >>> [str(problem) for problem in problems_of(Note())]
    ['text: is empty. Give one sentence, one picture, or both.']
    """
    misfits = False
    hints = types_of(type(fact))
    for field in _FIELDS[type(fact)]:
        value = getattr(fact, field.name)
        if value is field.default:
            continue
        hint = hints[field.name]
        if type(value) is not hint and not fits(value, hint):
            misfits = True
            yield Problem(field.name, _mismatch(value, hint))
            continue
        yield from _values(field.name, value, required=field.default != "")
    if not misfits:
        for rule in _ACROSS.get(type(fact), ()):
            yield from rule(fact)


def types_of(kind: type[Fact]) -> dict[str, Any]:
    """The declared type of every field of a kind of fact, by field name.

    Examples
    --------
    >>> types_of(Note)["text"]
    <class 'str'>
    """
    known = _TYPES.get(kind)
    if known is None:
        hints = get_type_hints(kind)
        known = _TYPES[kind] = {field.name: hints[field.name] for field in fields(kind)}
    return known


_TYPES: dict[type[Fact], dict[str, Any]] = {}  # of those that were asked for
_FIELDS = {kind: fields(kind) for kind in FACTS}


def fits(value: object, hint: Any) -> bool:
    """Whether a value has the declared type; a whole number may stand for a float.

    Examples
    --------
    >>> fits(3, float | None), fits(3.5, Decimal), fits(("a",), tuple[str, ...])
    (True, False, True)
    """
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return any(fits(value, one) for one in inner)
    if origin is Literal:
        return any(type(value) is type(word) and value == word for word in inner)
    if origin is tuple:
        if not isinstance(value, tuple):
            return False
        if inner[-1] is Ellipsis:
            return all(fits(item, inner[0]) for item in value)
        return len(value) == len(inner) and all(map(fits, value, inner))
    if hint is float:
        return isinstance(value, int | float) and not isinstance(value, bool)
    if hint is int:
        return isinstance(value, int) and not isinstance(value, bool)
    return isinstance(value, hint)


def _mismatch(value: object, hint: Any) -> str:
    allowed = [word for part in (hint, *get_args(hint)) for word in _words(part)]
    if allowed:
        can_be = ", ".join(dict.fromkeys(map(str, allowed)))
        return say("is {value}; it can be {can_be}", value=repr(value), can_be=can_be)
    named = getattr(hint, "__name__", hint)
    return say(
        "is {value}, which is not of the right type ({named})", value=repr(value), named=named
    )


def _words(hint: Any) -> tuple[object, ...]:
    return get_args(hint) if get_origin(hint) is Literal else ()


def _values(name: str, value: object, *, required: bool) -> Iterator[Problem]:
    if isinstance(value, tuple):
        for item in value:
            yield from _values(name, item, required=True)
    elif isinstance(value, str):
        yield from _text(name, value, required=required)
    elif isinstance(value, Decimal | float | int) and not isinstance(value, bool):
        yield from _number(name, value)


def _text(name: str, value: str, *, required: bool) -> Iterator[Problem]:
    if required and name not in MAY_BE_EMPTY and not value.strip():
        yield Problem(
            name, say("is empty"), say("Fill it in, or leave it out where it may be unknown.")
        )
    if "\x00" in value or not _is_utf8(value):
        yield Problem(name, say("holds a character that is not text"), say("Type it again."))
    for is_one, reads, what, remedy in _DATED:
        if is_one(name) and value.strip() and not reads(value):
            yield Problem(
                name,
                say("is {value}, which is not {what}", value=repr(value), what=say(what)),
                say(remedy),
            )
    if name == "currency" and not (len(value) == 3 and value.isascii() and value.isupper()):
        yield Problem(
            name,
            say("is {value}, not a currency code", value=repr(value)),
            say("Write three letters, as EUR."),
        )


def _number(name: str, value: Decimal | float | int) -> Iterator[Problem]:
    if isinstance(value, int):
        if abs(value) > LARGEST_WHOLE:
            yield Problem(name, say("has too many digits"), say("Give a smaller whole number."))
            return
    elif not (value.is_finite() if isinstance(value, Decimal) else math.isfinite(value)):
        yield Problem(name, say("is not a finite number"), say("Leave it out if nobody knows it."))
        return
    if isinstance(value, Decimal) and (
        abs(value) >= LARGEST_MONEY or -int(value.as_tuple().exponent) > MOST_DECIMALS
    ):
        yield Problem(name, say("has too many digits"), say("Give it as an ordinary amount."))
    elif name in TEMPERATURES and value < COLDEST_C:
        yield Problem(
            name, say("is {value} °C: nothing is as cold", value=value), say("Read it again.")
        )
    elif name in SHARES and not 0 <= value <= 1:
        yield Problem(
            name, say("is {value}, outside 0 to 1", value=value), say("Write 18 per cent as 0.18.")
        )
    elif name in ABOVE_ZERO and value <= 0:
        yield Problem(
            name,
            say("is {value}; it must be above zero", value=value),
            say("Leave it out if unknown."),
        )
    elif name not in SIGNED and value < 0:
        yield Problem(
            name,
            say("is {value}; it cannot be negative", value=value),
            say("Leave it out if unknown."),
        )
    elif value > AT_MOST.get(name, value):
        yield Problem(
            name,
            say("is {value}; it can be {most} at most", value=value, most=AT_MOST[name]),
            say("Leave it out if unknown."),
        )


def _is_utf8(value: str) -> bool:
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def is_a_day(name: str) -> bool:
    """Whether a field of this name holds a date."""
    return name.endswith("_on") or name == "removal_by"


def _is_day(value: str) -> bool:
    try:
        made = date.fromisoformat(value)
        return made.isoformat() == value and FIRST_YEAR <= made.year <= LAST_YEAR
    except ValueError:
        return False


def _is_moment(value: str) -> bool:
    try:
        return "T" in value.upper() and datetime.fromisoformat(value).utcoffset() is not None
    except ValueError:
        return False


def _is_day_or_moment(value: str) -> bool:
    try:
        datetime.fromisoformat(value)
    except ValueError:
        return False
    return True


WRITE_MOMENT = "Write it as 2026-11-25T20:00+01:00."
_DATED: tuple[tuple[Callable[[str], bool], Callable[[str], bool], str, str], ...] = (
    (is_a_day, _is_day, "a date", "Write it as 2026-11-25."),
    (MOMENTS.__contains__, _is_moment, "a moment with its offset", WRITE_MOMENT),
)


def _finding(fact: Finding) -> Iterator[Problem]:
    told = [name for name in ("check", "history", "fault") if getattr(fact, name) is not None]
    if len(told) != 1:
        what = say("comes together with {other}", other=told[-1]) if told else say("is missing")
        yield Problem(
            told[0] if told else "check", what, say("Name exactly one check, past life or fault.")
        )
        return
    measured = fact.measure is not None and fact.reading is not None
    if (fact.measure is None) != (fact.reading is None):
        gone = "reading" if fact.reading is None else "measure"
        yield Problem(gone, say("is missing"), say("A reading needs its measure and its number."))
    elif measured and told[0] != "check":
        yield Problem(
            "reading",
            say("does not belong to a {word}", word=told[0]),
            say("Name the check it belongs to."),
        )
    if fact.uncertainty is not None and fact.reading is None:
        yield Problem("uncertainty", say("has no reading"), say("Give the reading as well."))
    words = {"check": CHECK_ANSWERS, "history": HISTORY_ANSWERS, "fault": FAULT_ANSWERS}[told[0]]
    if fact.answer not in words and not (measured and not fact.answer):
        can_be = ", ".join(sorted(words))
        yield Problem(
            "answer",
            say("is {answer}", answer=repr(fact.answer)),
            say("For a {word} it can be {can_be}.", word=told[0], can_be=can_be),
        )


def _note(fact: Note) -> Iterator[Problem]:
    if not fact.file and not (fact.text + fact.alarm + fact.setting).strip():
        yield Problem("text", say("is empty"), say("Give one sentence, one picture, or both."))


def _alternative(fact: Alternative) -> Iterator[Problem]:
    if fact.price is not None and not fact.price[0] <= fact.price[1] <= fact.price[2]:
        yield Problem(
            "price", say("does not rise"), say("Give the low, the likely, then the high price.")
        )


def _file(fact: File) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.sha256):
        yield Problem("sha256", say("is not a SHA-256 in hex"), say("Keep the file first."))
    if fact.taken is not None and fact.taken.strip() and not _is_day_or_moment(fact.taken):
        yield Problem(
            "taken",
            say("is {value}, which is not {what}", value=repr(fact.taken), what=say(TAKEN)),
            say("Write it as 2026-11-25T20:00."),
        )


def _shop(fact: Shop) -> Iterator[Problem]:
    for history, answer in fact.histories:
        if answer not in HISTORY_ANSWERS:
            can_be = ", ".join(sorted(HISTORY_ANSWERS))
            yield Problem(
                "histories",
                say("{history} is {answer}", history=history, answer=repr(answer)),
                say("It can be {can_be}.", can_be=can_be),
            )
    if fact.supply_phases not in (None, 1, 2, 3):
        yield Problem(
            "supply_phases",
            say("is {supply_phases}", supply_phases=fact.supply_phases),
            say("A supply has 1, 2 or 3 phases."),
        )


def _withdrawn(fact: Withdrawn) -> Iterator[Problem]:
    if fact.of_kind not in KINDS or fact.of_kind == Withdrawn.KIND:
        yield Problem(
            "of_kind",
            say("is {of_kind}", of_kind=repr(fact.of_kind)),
            say("Name the kind of record that is taken back."),
        )


_ACROSS: dict[type[Fact], tuple[Callable[[Any], Iterator[Problem]], ...]] = {
    Finding: (_finding,),
    Note: (_note,),
    Alternative: (_alternative,),
    File: (_file,),
    Shop: (_shop,),
    Withdrawn: (_withdrawn,),
    **MEASURING,
    **SEEKING,
    **STRIPPING,
    **WAKING,
    **FIXING,
    **SETTLING,
    **SCREENING,
    **JOINING,
    **KEEPING,
}
