"""One table of a lot file becomes one fact: every key known, every value of its sort and size."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime
from decimal import Decimal
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin

from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.records.checking import problems_of, types_of
from retrue.records.facts import Fact

F = TypeVar("F", bound=Fact)
Report = Callable[[str | None, str, str], None]  # key, what is wrong, what would help


class WrongError(Exception):
    """A value is not of its sort; told to the report, never shown as it is."""


def make(
    kind: type[F], table: Mapping[str, Any], report: Report, given: Mapping[str, Any]
) -> F | None:
    """Make one fact of a table.

    Parameters
    ----------
    kind : type
        Of the fact.
    table : mapping
        As parsed; floats as Decimal.
    report : callable
        Told of each thing wrong: (key, what, remedy).
    given : mapping
        Fields that the file does not hold: the lot they belong to.

    Returns
    -------
    Fact or None
        None where something was wrong; all of it has been reported.

    Examples
    --------
    >>> from retrue.records.facts import Machine
    >>> told = []
    >>> make(Machine, {"name": "mill", "age": 3}, lambda *row: told.append(row), {"lot": "14"})
    >>> [(key, what) for key, what, _ in told]
    [('age', 'there is no key age'), (None, 'the key kind is missing')]
    """
    hints = types_of(cast(type[Fact], kind))
    mine = {field.name: field for field in fields(kind) if field.name not in given}
    values: dict[str, Any] = {}
    right = True
    for key, raw in table.items():
        if key not in mine:
            report(key, say("there is no key {key}", key=key), nearest(key, mine))
            right = False
            continue
        try:
            values[key] = value_of(hints[key], raw)
        except WrongError as wrong:
            report(key, str(wrong), say("Leave the key out if nobody knows."))
            right = False
    without = [name for name, field in mine.items() if field.default is MISSING]
    needed = [name for name in without if NoneType not in _ways(hints[name])]
    for name in needed:
        if name not in table:
            report(None, say("the key {key} is missing", key=name), say("Add it."))
    if not set(needed) <= values.keys():
        return None
    missing: dict[str, Any] = {name: None for name in without if name not in values}
    build: Callable[..., F] = kind
    fact = build(**{**missing, **values, **given})
    for problem in problems_of(fact):
        report(problem.where, problem.what, problem.remedy)
        right = False
    return fact if right else None


def value_of(hint: Any, raw: Any) -> Any:
    """A parsed value as the sort a field takes.

    Parameters
    ----------
    hint : type
        As the field declares it.
    raw : object
        As parsed; floats as Decimal.

    Returns
    -------
    object
        Of that sort.

    Raises
    ------
    WrongError
        Says in words what it should be.

    Examples
    --------
    >>> value_of(tuple[float, ...], [Decimal("1.5"), 2])
    (1.5, 2.0)
    """
    ways = [way for way in _ways(hint) if way is not NoneType]
    way = ways[0]
    origin = get_origin(way)
    if origin is Literal:
        return _choice(get_args(way), raw)
    if origin is tuple:
        return _row(get_args(way), raw)
    return {str: _text, bool: _truth, int: _whole, float: _number, Decimal: _exact}[way](raw)


def _ways(hint: Any) -> tuple[Any, ...]:
    return get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)


def _choice(choices: tuple[Any, ...], raw: Any) -> Any:
    if isinstance(raw, bool) or raw not in choices:
        words = ", ".join(str(choice) for choice in choices)
        hint = nearest(raw, [str(c) for c in choices]) if isinstance(raw, str) else ""
        raise WrongError(
            say("{raw} is none of {words}", raw=repr(raw), words=words) + f". {hint}" * bool(hint)
        )
    return raw


def _row(parts: tuple[Any, ...], raw: Any) -> tuple[Any, ...]:
    if get_origin(parts[0]) is tuple:  # pairs: a small table in the file
        if not isinstance(raw, dict):
            raise WrongError(say("must be a table of words"))
        return tuple((str(key), _text(value)) for key, value in raw.items())
    if not isinstance(raw, list):
        raise WrongError(say("must be a list in square brackets"))
    if parts[-1] is not Ellipsis and len(raw) != len(parts):
        raise WrongError(say("must be a list of {count}", count=len(parts)))
    return tuple(value_of(parts[0], part) for part in raw)


def _text(raw: Any) -> str:
    if isinstance(raw, datetime | date):
        return raw.isoformat()
    if not isinstance(raw, str):
        raise WrongError(say("must be words in quotation marks"))
    return raw


def _truth(raw: Any) -> bool:
    if not isinstance(raw, bool):
        raise WrongError(say("must be true or false"))
    return raw


def _whole(raw: Any) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int):
        raise WrongError(say("must be a whole number"))
    return raw


def _number(raw: Any) -> float:
    return float(_exact(raw))


def _exact(raw: Any) -> Decimal:
    if isinstance(raw, bool) or not isinstance(raw, int | Decimal):
        raise WrongError(say("must be a number without quotation marks"))
    return Decimal(raw)
