"""One table of a lot file becomes one fact: every key known, every value of its sort and size."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.records.facts import Fact

F = TypeVar("F", bound=Fact)
Report = Callable[[str | None, str, str], None]  # key, what is wrong, what would help

SHARES = {"premium", "tax_rate", "duty", "interest", "odds", "resale_share"}
ANY_SIGN = {"reading", "temperature_c"}
MOST = {"hours_a_week": 168, "hours_a_year": 8784, "grade": 5}


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
    """
    hints = _hints(cast(Hashable, kind))
    mine = {field.name: field for field in fields(kind) if field.name not in given}
    values: dict[str, Any] = {}
    right = True
    for key, raw in table.items():
        if key not in mine:
            report(key, say("there is no key {key}", key=key), nearest(key, mine))
            right = False
            continue
        try:
            values[key] = sized(key, value_of(hints[key], raw))
        except WrongError as wrong:
            report(key, str(wrong), say("Leave the key out if nobody knows."))
            right = False
    for name, field in mine.items():
        if name not in table and field.default is MISSING and NoneType not in _ways(hints[name]):
            report(None, say("the key {key} is missing", key=name), say("Add it."))
            right = False
    if not right:
        return None
    missing: dict[str, Any] = {
        name: None
        for name, field in mine.items()
        if name not in values and field.default is MISSING
    }
    build: Callable[..., F] = kind
    return build(**{**missing, **values, **given})


def value_of(hint: Any, raw: Any) -> Any:
    """A parsed value as the sort a field takes; WrongError says in words what it should be."""
    ways = [way for way in _ways(hint) if way is not NoneType]
    way = ways[0]
    origin = get_origin(way)
    if origin is Literal:
        return _choice(get_args(way), raw)
    if origin is tuple:
        return _row(get_args(way), raw)
    return {str: _text, bool: _truth, int: _whole, float: _number, Decimal: _exact}[way](raw)


def sized(key: str, value: Any) -> Any:
    """The value again, if its size can be; WrongError if it cannot."""
    parts = value if isinstance(value, tuple) else (value,)
    for part in parts:
        if isinstance(part, bool) or not isinstance(part, int | float | Decimal):
            continue
        if not math.isfinite(part):
            raise WrongError(say("must be a finite number"))
        if key in SHARES and not 0 <= part <= 1:
            raise WrongError(say("is {part}, and a share or chance lies from 0 to 1", part=part))
        if key not in ANY_SIGN and part < 0:
            raise WrongError(say("is {part}, and cannot be negative", part=part))
        if part > MOST.get(key, math.inf):
            raise WrongError(say("is {part}, more than there can be", part=part))
    if key == "odds" and value in (0, 1):
        raise WrongError(say("must lie between 0 and 1, for instance 0.8"))
    if key == "price" and value is not None and list(value) != sorted(value):
        raise WrongError(say("must rise: low, likely, high"))
    return value


@cache
def _hints(kind: Hashable) -> dict[str, Any]:
    return get_type_hints(kind)


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
