"""A calculator as data: its fields, its cautions, and how it reckons."""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from retrue.base import formatter
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import later, say, shown_later
from retrue.base.unit_table import find
from retrue.base.units import convert, number, read
from retrue.cases.reckon.books import AGAIN, BOOKS, WHERE
from retrue.cases.reckon.reckoning import Caution, Reckoning
from retrue.kinds.library import Caution as KindCaution

Values = Mapping[str, Any]
COLDEST_C, HOTTEST_C = -90.0, 150.0
LEAST, MOST = 1e-6, 1e8  # outside of it a number is a slip of the unit
MONTHS = {"_months": 1.0, "_years": 12.0}  # a field of one may be typed in the other
_SPELL = re.compile(r"(?P<size>.*[0-9])\s*(?P<unit>month|year)s?", re.IGNORECASE)
YES = ("yes", "on", "true", "1")
NO = ("no", "off", "false", "0")


class Written(float):
    """A number behind which its unit was written: nobody asks whether it was °C or °F.

    Examples
    --------
    >>> values = values_of(method("warmup"), {"room_c": "68 °F", "first_c": "20"})
    >>> values["room_c"], [isinstance(values[id], Written) for id in ("room_c", "first_c")]
    (20.0, [True, False])
    """

    __slots__ = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """Something a calculator asks; a command's option and a form's field.

    ``id`` ends in its unit; the command calls it ``--mass-kg``. A number may be written with any
    unit that measures the same.
    """

    id: str
    name: str  # as a page says it
    sort: Literal["number", "whole", "choice", "text", "flag", "file"] = "number"
    unit: str = ""
    default: Any = None
    choices: tuple[tuple[str, str], ...] = ()  # key, words
    help: str = ""  # where to find it; one sentence with its full stop
    mark: str = ""  # of the default: from memory, unverified
    signed: bool = False
    zero: bool = False  # zero says something; else an empty field says that nobody knows
    group: str = ""  # the heading under which it stands

    def __post_init__(self) -> None:
        """Its texts are said when they are shown."""
        shown_later(self, "name", "help", "mark", "group")
        words = tuple((key, later(text)) for key, text in self.choices)
        object.__setattr__(self, "choices", words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """One calculator, from field to answer."""

    id: str
    title: str
    what: str  # one sentence: what it tells
    fields: tuple[Field, ...]
    cautions: tuple[str, ...]  # ids of the kinds' list; they stand before the number
    reckon: Callable[[Values], Reckoning]
    standard: str = ""
    example: tuple[str, ...] = ()  # options of a published example
    columns: tuple[str, ...] = ()  # of its file, where it takes one

    def __post_init__(self) -> None:
        """Its texts are said when they are shown."""
        shown_later(self, "title", "what", "standard")


def methods(book: str) -> tuple[Method, ...]:
    """All calculators of one phase, in the order of the job.

    Parameters
    ----------
    book : str
        move, wake, prove or fix.

    Returns
    -------
    tuple of Method

    Examples
    --------
    >>> [one.id for one in methods("move")][:3]
    ['lift', 'forklift', 'skates']
    """
    return tuple(method(id) for id in BOOKS[book])


def book_of(id: str) -> str:
    """The phase that a calculator belongs to.

    Parameters
    ----------
    id : str

    Returns
    -------
    str
        move, wake, prove or fix.

    Raises
    ------
    Unknown
        There is no calculator of that name.

    Examples
    --------
    >>> book_of("ramp")
    'move'
    """
    for book, named in BOOKS.items():
        if id in named:
            return book
    raise Unknown(
        say("there is no calculator {id}", id=id),
        remedy=say(
            "Choose one of: {named}.",
            named=", ".join(str(name) for named in BOOKS.values() for name in named),
        ),
    )


def short(id: str) -> str:
    """A calculator's id as it is typed behind its group, and stands in its page's address.

    Parameters
    ----------
    id : str

    Returns
    -------
    str

    Examples
    --------
    >>> short("match_belt"), short("belt")
    ('belt', 'belt')
    """
    return id.removeprefix(AGAIN)


def typed_as(id: str) -> str:
    """The words behind the program's name that call a calculator.

    Parameters
    ----------
    id : str

    Returns
    -------
    str

    Examples
    --------
    >>> typed_as("match_belt"), typed_as("belt")
    ('fix match belt', 'prove belt')
    """
    book = book_of(id)
    return f"{WHERE.get(book, book)} {short(id)}"


def in_book(book: str, name: str) -> str:
    """The id of a calculator by its book and the name that is typed there.

    Parameters
    ----------
    book, name : str

    Returns
    -------
    str

    Raises
    ------
    Unknown
        The book has no calculator of that name.

    Examples
    --------
    >>> in_book("fix", "belt"), in_book("prove", "belt")
    ('match_belt', 'belt')
    """
    for id in BOOKS[book]:
        if name in (id, short(id)):
            return id
    raise Unknown(
        say("there is no calculator {id} here", id=name),
        remedy=say("Choose one of: {named}.", named=", ".join(map(short, BOOKS[book]))),
    )


def method(id: str) -> Method:
    """One calculator by its id.

    Parameters
    ----------
    id : str
        ``lift``, ``forklift`` ...

    Returns
    -------
    Method

    Raises
    ------
    Unknown
        There is no calculator of that name.

    Examples
    --------
    >>> method("lift").title
    'Lift'
    """
    book = book_of(id)
    module = importlib.import_module(f"retrue.cases.{book}.{BOOKS[book][id]}")
    made: Method = module.METHOD
    return made


def values_of(one: Method, typed: Mapping[str, Any]) -> dict[str, Any]:
    """Typed fields as values; all that is wrong is gathered first.

    Parameters
    ----------
    one : Method
    typed : mapping
        Text or values by field id; what is missing or empty stays None, to be assumed or asked.

    Returns
    -------
    dict
        A value for every field; None where nobody has said.

    Raises
    ------
    Unusable
        Fields that cannot be read, each named.

    Examples
    --------
    >>> values_of(method("lift"), {"mass_kg": "8800 lb", "legs": "2"})["mass_kg"]
    3991.612856
    """
    problems: list[Problem] = []
    made: dict[str, Any] = {}
    known = {field.id for field in one.fields}
    for name in typed:
        if name not in known:
            problems.append(
                Problem(name, say("is no field of {title}", title=one.title), say("Leave it out."))
            )
    for field in one.fields:
        given = typed.get(field.id)
        given = given.strip() if isinstance(given, str) else given
        made[field.id] = None
        if given is None or given == "":
            continue
        try:
            made[field.id] = _value(field, given)
        except Unusable as wrong:
            what = wrong.problems[0].what if wrong.problems else wrong.reason
            problems.append(Problem(field.id, what, wrong.remedy))
    if problems:
        raise Unusable(
            say("Some fields cannot be used yet"),
            remedy=say("Correct the fields that are named; all others are kept as you typed them."),
            problems=tuple(problems),
        )
    return made


def _value(field: Field, given: Any) -> Any:
    if field.sort == "flag":
        return _flag(given)
    if field.sort in ("text", "file"):
        return given
    if field.sort == "choice":
        if given in dict(field.choices):
            return given
        raise Unusable(
            say("{given} is none of the choices", given=given),
            remedy=say("Choose one of: {named}.", named=", ".join(map(str, dict(field.choices)))),
        )
    value = float(given) if isinstance(given, int | float) else _read(field, str(given))
    _fits(field, value)
    if field.sort == "whole":
        if value != int(value):
            raise Unusable(say("not a whole number"), remedy=say("Leave the decimals."))
        return int(value)
    return value


def _fits(field: Field, value: float) -> None:
    """Refuse what no machine has: nothing at all, a slip of the unit, a minus."""
    if value < 0 and not field.signed:
        raise Unusable(say("a number below zero"), remedy=say("Leave the minus away."))
    if value == 0 and not (field.zero or field.signed or field.default == 0):
        raise Unusable(say("zero"), remedy=say("Leave it empty where nobody knows."))
    if field.id.endswith("_share") and value > 1:
        raise Unusable(say("a share over one"), remedy=say("Write 30 per cent as 0.3."))
    if field.unit == "°C" and not COLDEST_C <= value <= HOTTEST_C:
        raise Unusable(
            say("{value} °C, which no workshop has", value=formatter.short(value)),
            remedy=say("Read the thermometer again."),
        )
    if value and not LEAST <= abs(value) <= MOST:
        raise Unusable(
            say(
                "{value} {unit}, which no machine has",
                value=formatter.short(value),
                unit=field.unit,
            ),
            remedy=say("Look at the unit again."),
        )


def _flag(given: Any) -> bool:
    if given in (True, *YES):
        return True
    if given in (False, *NO):
        return False
    raise Unusable(say("{given} is neither yes nor no", given=given), remedy=say("Say yes or no."))


def _read(field: Field, given: str) -> float:
    spell, end = _SPELL.fullmatch(given), f"_{field.id.rpartition('_')[2]}"
    if spell is not None and end in MONTHS:
        months = MONTHS[f"_{spell['unit'].lower()}s"]
        return float(number(spell["size"], field=field.id)) * months / MONTHS[end]
    if field.unit and find(field.unit) is not None:
        said = read(given, field=field.id)
        value = float(convert(said.value, said.unit or field.unit, field.unit, field=field.id))
        return Written(value) if said.unit else value
    return float(number(given, field=field.id))


def answered(
    one: Method, typed: Mapping[str, Any], cautions: Mapping[str, KindCaution]
) -> Reckoning:
    """Fields in, answer out, its cautions before everything.

    Parameters
    ----------
    one : Method
    typed : mapping
        As for :func:`values_of`.
    cautions : mapping of str to Caution
        The words of the library, by id.

    Returns
    -------
    Reckoning

    Raises
    ------
    Unusable
        Fields that cannot be read, each named.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> words = load(only=("turning_centre",))["turning_centre"].cautions
    >>> made = answered(method("forklift"), {"mass_kg": "2000", "rated_kg": "4000 lb",
    ...     "rated_centre_mm": "24 in", "centre_mm": "36 in"}, words)
    >>> made.answer, made.cautions[1].text[:24]
    ('no_go', "The truck's rating holds")
    """
    made = one.reckon(values_of(one, typed))
    words = tuple(
        Caution(text=cautions[id].text, defers_to=cautions[id].defers_to)
        for id in one.cautions
        if id in cautions
    )
    return replace(made, book=book_of(one.id), cautions=(*words, *made.cautions))
