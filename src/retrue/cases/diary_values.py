"""The values of a record as its reader says them: amounts, days, codes, names of the library."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal, get_args, get_origin

from retrue.base import formatter
from retrue.base.say import later, say
from retrue.cases.diary_codes import code_words
from retrue.cases.diary_fields import unit_of
from retrue.cases.said import ANSWERS, GRADES
from retrue.kinds.library import Kind
from retrue.records.checking import MOMENTS, SHARES, types_of
from retrue.records.facts import Fact

PLAIN_DECIMALS = frozenset({"rate", "weights", "low", "likely", "high"})
CENTS = frozenset({"posting", "out_ended", "day_rate"})
"""Kinds that the book tells of: to the cent, as it stands there; all else so where it has cents."""
SHARE_DECIMALS = frozenset({"tax_rate", "tax_held"})

VALUE_WORDS: Mapping[str, str] = {
    "proved_good": later("in"),
    "not_proved": later("too close to call"),
    "proved_bad": later("out"),
    "photo": later("on a photograph"),
    "call": later("told by phone"),
    "visit_dead": later("at the visit, power off"),
    "visit_live": later("at the visit, under power"),
    "apart": later("taken apart"),
    "power_up": later("at first power"),
    "incl": later("with tax"),
    "excl": later("without tax"),
    "not_mine": later("not mine"),
    "own_pocket": later("my own pocket"),
    "owed": later("still owed"),
    "buy_in": later("buying the work in"),
    "one_by_one": later("one by one"),
    "open_again": later("open again"),
    "not_now": later("put off"),
    "ascending": later("bids go up until nobody bids more"),
    "sealed": later("one sealed bid"),
    "offer": later("make an offer"),
    "part_out": later("sell it in parts"),
    "new_control": later("keep it, with a new control"),
    **ANSWERS,
}
"""Codes that read badly with their underscores taken out."""

OWN_WORDS = (
    later("CMR"), later("abrasive"), later("aim"), later("allowed"), later("bank"),
    later("clock"), later("conductive"), later("deposit"), later("deposit back"),
    later("dies first"), later("dried coolant"), later("drive settings"), later("equal"),
    later("goes with"), later("hold"), later("ladder"), later("levelled"), later("logger"),
    later("macros"), later("margin"), later("mine"), later("month"), later("pitch tables"),
    later("private"),
    later("screens"), later("start"), later("stays"), later("tape"), later("theirs"),
    later("together"), later("upgrade"), later("vibration"), later("waiting"), later("walked"),
    later("weights"), later("wrong"),
)  # fmt: skip
"""Codes that read well so; here they are found by who translates."""

LIBRARY: Mapping[str, tuple[str, str]] = {
    "check": ("checks", "text"),
    "history": ("histories", "name"),
    "fault": ("faults", "name"),
    "place": ("places", "name"),
    "job": ("jobs", "name"),
    "symptom": ("symptoms", "words"),
    "group": ("groups", "name"),
    "stage": ("stages", "title"),
    "muck": ("mucks", "name"),
    "part": ("swappable", "name"),
    "shot": ("shots", "shows"),
    "measure": ("measures", "name"),
}
"""Fields that hold an id of the library: which of its tables, and what of an entry is said."""


def value_words(fact: Fact, name: str, *, currency: str, kind: Kind | None) -> str:
    """One value of a record as its reader says it.

    Parameters
    ----------
    fact : Fact
        What was kept.
    name : str
        Of the field; a name of another record is not looked up here.
    currency : str
        In which its amounts are.
    kind : Kind or None
        The type of its machine, for names of the library.

    Returns
    -------
    str
        Empty where nobody has said.

    Examples
    --------
    >>> from retrue.records.facts import Note, Outcome
    >>> won = Outcome(lot="l", result="won", amount=Decimal("6150"))
    >>> value_words(won, "amount", currency="EUR", kind=None) == "€\u202f6\u202f150"
    True
    >>> value_words(Note(put_back=False), "put_back", currency="EUR", kind=None)
    'no'
    """
    value: Any = getattr(fact, name)
    if value is None or value == "" or value == ():
        return ""
    if name == "grade":
        return say(GRADES[value])
    if said := code_words(fact, name, kind):
        return said
    if name == "entry" and kind is not None and value in _entries(kind):
        return _entries(kind)[value]
    if isinstance(value, str):
        return _text(fact, name, value, kind)
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if isinstance(value, tuple):
        return _several(value)
    return _amount(fact, name, value, currency)


def library_word(kind: Kind | None, field: str, id: str) -> str:
    """What the library calls an id; empty where it does not know it.

    Parameters
    ----------
    kind : Kind or None
        The type of the machine.
    field : str
        In which field it stands.
    id : str
        Of the library.

    Returns
    -------
    str
    """
    if kind is None or field not in LIBRARY:
        return ""
    table, said = LIBRARY[field]
    entry = getattr(kind, table).get(id)
    return "" if entry is None else str(getattr(entry, said))


def _entries(kind: Kind) -> Mapping[str, str]:
    """Lines of the as-found list and of the plate, which both are called an entry."""
    plate = {id: one.label for id, one in kind.plate.items()}
    return plate | {id: one.text for id, one in kind.as_found.items()}


def _text(fact: Fact, name: str, value: str, kind: Kind | None) -> str:
    if said := library_word(kind, name, value):
        return said
    if name.endswith("_on"):
        return _day(value)
    if name in MOMENTS:
        return _moment(value)
    coded = _is_code(types_of(type(fact))[name]) or name in ("answer", "kind", "ruling", "item")
    if not coded or " " in value:
        return say(value) if name == "point" else value  # a usual word is kept in English
    return say(VALUE_WORDS.get(value, value.replace("_", " ")))


def _is_code(hint: Any) -> bool:
    return get_origin(hint) is Literal or any(get_origin(one) is Literal for one in get_args(hint))


def _day(value: str) -> str:
    try:
        return formatter.day(date.fromisoformat(value))
    except ValueError:
        return value


def _moment(value: str) -> str:
    try:
        return formatter.minute(datetime.fromisoformat(value))
    except ValueError:
        return value


def _amount(fact: Fact, name: str, value: Any, currency: str) -> str:
    if name == "sorry":
        return formatter.odds(float(value))
    if name in SHARE_DECIMALS or name in SHARES:
        return f"{formatter.number(value * 100, _digits(value * 100))}\u202f%"
    if isinstance(value, Decimal) and name not in PLAIN_DECIMALS:
        return formatter.money(value, currency, 2 if fact.KIND in CENTS or _digits(value) else 0)
    unit = unit_of(name) or (str(getattr(fact, "unit", "")) if name == "reading" else "")
    return formatter.number(value, _digits(value)) + (f"\u202f{unit}" if unit else "")


def _digits(value: Any) -> int:
    return len(f"{abs(float(value)):.6f}".rstrip("0").partition(".")[2])


def _several(value: tuple[Any, ...]) -> str:
    if isinstance(value[0], tuple):
        pairs = ((str(one[0]), " ".join(str(part) for part in one[1:])) for one in value)
        return "; ".join(f"{first.replace('_', ' ')}: {rest}" for first, rest in pairs)
    return ", ".join(
        formatter.number(one, _digits(one)) if isinstance(one, int | float | Decimal) else str(one)
        for one in value
    )
