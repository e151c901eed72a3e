"""One line of a record that has no words of its own: its reading, its tick, what it hangs on."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.prove.sensed import SENSES
from retrue.records.facts import Fact

OF: Mapping[str, str] = {
    "put_back": "taken",
    "rung": "out",
    "out_ended": "out",
    "watch_readings": "watch",
    "watch_called": "watch",
    "watch_ended": "watch",
    "moved": "finding",
    "trial": "trouble",
    "screening": "catalogue",
    "share": "catalogue",
    "part_screened": "catalogue",
    "bidder": "catalogue",
    "budget": "catalogue",
    "row_taken": "catalogue",
}
"""Of a kind of record the field that names what its line begins with, by the id of that."""

Said = Callable[[str], str]
"""The words of a field of the record."""


def number_and_unit(value: float, unit: str, digits: int | None = None) -> str:
    """A reading as it was typed, with its unit.

    Parameters
    ----------
    value : float
    unit : str
        Empty: none.
    digits : int, optional
        Decimals; else as many as it has, six at most.

    Returns
    -------
    str

    Examples
    --------
    >>> number_and_unit(0.35, "Ω").replace("\\u202f", " "), number_and_unit(2.0, "")
    ('0.35 Ω', '2')
    """
    if digits is None:
        digits = len(f"{abs(value):.6f}".rstrip("0").partition(".")[2])
    text = formatter.number(value, digits)
    return f"{text}\u202f{unit}" if unit else text


def line_words(fact: Fact, said: Said, of: str) -> str:
    """The line of a kind of record that is told by more than its words.

    Parameters
    ----------
    fact : Fact
        What was kept.
    said : callable
        Gives the words of a field by its name; empty where nobody said.
    of : str
        The line of the record it hangs on; empty where there is none.

    Returns
    -------
    str
        Empty for a kind that has no line of its own here.

    Examples
    --------
    >>> from retrue.records.stripping import PutBack
    >>> back = PutBack(lot="l", machine="m", taken="t", torque_nm=12.0)
    >>> line_words(back, lambda name: {"torque_nm": "12 Nm"}.get(name, ""), "pump foot")
    'pump foot, 12 Nm'
    """
    find = LINES.get(fact.KIND)
    if find is None:
        return ""
    return ", ".join(str(one) for one in find(fact, said, of) if one)


def _is(what: str, value: str) -> str:
    return f"{what}: {value}"


def _trial(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return of or said("group"), say("passes") if fact.passes else say("fails"), fact.text


def _stage_reading(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    where = f"{said('name')}: {said('point')}" if fact.point else said("name")
    value = number_and_unit(fact.reading, fact.unit)
    read = _is(where, value)
    return read, said("stage"), fact.taken_by, fact.text


def _stage_ended(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return said("stage"), said("how"), fact.name, fact.why, fact.text


def _clean_reading(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    what = ", ".join(filter(None, (said("sort"), said("point"))))
    value = number_and_unit(fact.reading, fact.unit) if fact.reading is not None else said("seen")
    read = _is(what, value) if value else what
    return read, said("when"), said("place"), fact.text


def _as_found(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    what = said("entry")
    if fact.reading is not None:
        value = number_and_unit(fact.reading, fact.unit)
        what = _is(what, value)
    return what, said("state") if fact.state != "done" else "", fact.why, fact.text


def _sensed(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    sense = SENSES[fact.sort]
    typed = [
        _is(str(sense.typed[key][0]), number_and_unit(value, sense.typed[key][1]))
        for key, value in fact.readings if key in sense.typed
    ]  # fmt: skip
    return (
        said("sort"),
        said("point"),
        said("when"),
        said("state"),
        *typed,
        fact.file_name,
        fact.text,
    )


def _sensed_result(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    sense = SENSES[fact.sort]
    try:
        value = json.loads(fact.answer).get(sense.key)
    except ValueError:
        value = None
    if not isinstance(value, int | float):
        return said("sort"), say("it says no number")
    return (_is(str(sense.name), number_and_unit(value, sense.unit, sense.digits)),)


def _act(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    """What was put right, and how: not that it was found bad."""
    done = said("way") or said("sort")
    what = said("fault") or said("job")
    first = _is(what, done) if fact.fault or said("way") else what
    rest = (fact.expected, fact.seen, fact.decided, fact.bought, said("money"))
    return (first or done, *rest)


def _card_marked(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    first = _is(said("card"), said("how"))
    until = say("until {day}", day=said("until_on")) if fact.until_on else ""
    hours = say("{hours} h", hours=said("hours")) if fact.hours else ""
    return first, hours, until, fact.text


def _hanging(*names: str) -> Callable[[Any, Said, str], tuple[str, ...]]:
    """What it hangs on, then some fields."""
    return lambda fact, said, of: (of, *(said(name) for name in names))


def _quoted(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return said("line"), said("amount"), fact.vendor, fact.text


def _out(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    line = said("line")
    words = (line, fact.what if fact.what.casefold() not in line.casefold() else "")
    return (*words, fact.whom, said("amount"), fact.parcel, fact.text)


def _outcome(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return said("result"), said("amount"), fact.text


def _screening(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return of, say("{count} lots", count=fact.lot_count), said("state")


def _share(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return of, say("part {number}", number=fact.part + 1), said("state"), fact.who


def _part_screened(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return of, say("part {number}", number=fact.part + 1)


def _bidder(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    number = say("lot {number}", number=fact.number)
    return of, number, fact.who, said("limit"), said("result"), said("amount"), fact.text


def _row_taken(fact: Any, said: Said, of: str) -> tuple[str, ...]:
    return of, say("lot {number}", number=fact.number)


LINES: Mapping[str, Callable[[Any, Said, str], tuple[str, ...]]] = {
    "act": _act,
    "as_found": _as_found,
    "bidder": _bidder,
    "budget": _hanging("money", "floor_m2", "hours", "odds"),
    "card_marked": _card_marked,
    "clean_reading": _clean_reading,
    "moved": _hanging("before", "after"),
    "out": _out,
    "out_ended": _hanging("how", "judged", "ended_on", "paid", "text"),
    "outcome": _outcome,
    "part_screened": _part_screened,
    "put_back": _hanging("torque_nm", "text"),
    "quoted": _quoted,
    "row_taken": _row_taken,
    "rung": _hanging("text", "promised_on"),
    "screening": _screening,
    "sensed": _sensed,
    "sensed_result": _sensed_result,
    "share": _share,
    "stage_ended": _stage_ended,
    "stage_reading": _stage_reading,
    "trial": _trial,
    "watch_called": _hanging("call", "why"),
    "watch_ended": _hanging("how", "name", "text"),
    "watch_readings": _hanging("rows", "text"),
}
"""By kind; all others are told by their own words."""
