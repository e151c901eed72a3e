"""A fact as canonical JSON text and back: the same fact gives the same bytes for good."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields
from decimal import Decimal
from sys import intern
from typing import Any, TypeVar

import msgspec

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say
from retrue.records.checking import KINDS, check, types_of
from retrue.records.facts import Fact

__all__ = ["KINDS", "RAISES", "check", "is_of_newer", "once", "pack", "raises", "unpack", "written"]

LONGEST_CODE = 40  # signs; an id has 36
Plain = dict[str, Any]
Raise = Callable[[Plain], Plain]
R = TypeVar("R", bound=Raise)

RAISES: dict[tuple[str, int], Raise] = {}
"""From (kind, schema) to the pure function that makes a payload of the next schema of it."""


def raises(kind: str, schema: int) -> Callable[[R], R]:
    """Register the function that raises payloads of one old schema to the next.

    Parameters
    ----------
    kind : str
        The kind of fact.
    schema : int
        The old schema that the function reads; it returns schema + 1.

    Examples
    --------
    >>> @raises("made_up", 1)
    ... def metres_to_millimetres(old: Plain) -> Plain:
    ...     return {"width_mm": old["width_m"] * 1000}
    >>> RAISES.pop(("made_up", 1)) is metres_to_millimetres
    True
    """

    def register(function: R) -> R:
        RAISES[kind, schema] = function
        return function

    return register


def pack(fact: Fact) -> str:
    """Write a fact as JSON text: sorted keys, decimals as strings, nothing that is no number.

    Parameters
    ----------
    fact : Fact
        A fact that passes `check`.

    Returns
    -------
    str
        One line; equal facts written alike give equal text, and reading and writing the text
        again changes no byte.

    Raises
    ------
    Unusable
        A value cannot be kept; every bad field is named.

    Examples
    --------
    >>> from retrue.records.facts import Outcome
    >>> pack(Outcome(lot="hall 3", result="won", amount=Decimal("6150.00")))
    '{"amount":"6150.00","lot":"hall 3","result":"won","text":""}'
    """
    check(fact)
    return written(fact)


def written(fact: Fact) -> str:
    """Write a fact that has been checked already; `pack` checks it first."""
    floating = _holding(type(fact), "float")
    names = types_of(type(fact))
    return _TEXT.encode({name: _plain(getattr(fact, name), name in floating) for name in names})


def unpack(kind: str, schema: int, payload: str) -> Fact:
    """Read a fact from its JSON text, raising an old schema on the way.

    Parameters
    ----------
    kind : str
        What kind of fact it is.
    schema : int
        The schema it was written with.
    payload : str
        The text that `pack` wrote; it is never changed, only read.

    Returns
    -------
    Fact
        With the fields of today.

    Raises
    ------
    Unreadable
        The kind is unknown, the schema is newer than ours or nobody can raise it, the text is
        no JSON, or a field does not fit; the field is named.

    Examples
    --------
    >>> unpack("withdrawn", 1, '{"of_kind":"finding","reason":"wrong machine"}')
    Withdrawn(of_kind='finding', reason='wrong machine')
    """
    cls = KINDS.get(kind)
    if cls is None:
        raise Unreadable(
            say("no kind of record is called {kind}", kind=repr(kind)),
            remedy=say("Update the program if a newer version wrote it; else check the spelling."),
        )
    plain = _raised(kind, schema, cls.SCHEMA, _decoded(kind, payload))
    _refuse_strangers(kind, plain, cls)
    try:
        return msgspec.convert({name: once(value) for name, value in plain.items()}, cls)
    except msgspec.ValidationError as error:
        raise _misfit(kind, plain, cls, str(error)) from None


def is_of_newer(kind: str, schema: int) -> bool:
    """Whether only a newer program can have written this: a kind or a schema unknown here.

    Examples
    --------
    >>> is_of_newer("laser_scan", 1), is_of_newer("note", 1)
    (True, False)
    """
    return kind not in KINDS or schema > KINDS[kind].SCHEMA


_TEXT = json.JSONEncoder(sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _plain(value: object, floating: bool) -> object:
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return [_plain(item, floating) for item in value]
    if isinstance(value, Decimal):
        text = format(value, "f")
        return text.removeprefix("-") if value == 0 else text
    if floating and isinstance(value, int | float):
        return float(value) + 0.0  # minus zero becomes zero
    return value


def _holding(kind: type[Fact], word: str) -> frozenset[str]:
    """The fields of a kind of fact whose type is spelled with a word."""
    known = _HELD.get((kind, word))
    if known is None:
        named = types_of(kind).items()
        known = frozenset(name for name, hint in named if word in _spelled(hint))
        _HELD[kind, word] = known
    return known


_HELD: dict[tuple[type[Fact], str], frozenset[str]] = {}  # of those that were asked for


def _spelled(hint: Any) -> str:
    return hint.__name__ if isinstance(hint, type) else str(hint)


def _decoded(kind: str, payload: str) -> Plain:
    try:
        plain = msgspec.json.decode(payload)
    except (msgspec.DecodeError, UnicodeEncodeError, RecursionError) as error:
        raise Unreadable(
            say("a kept {kind} is not JSON text: {error}", kind=kind, error=error),
            remedy=say("Restore the shop from its latest backup and verify the chain of records."),
        ) from None
    if not isinstance(plain, dict):
        raise Unreadable(
            say("a kept {kind} is not a JSON object", kind=kind),
            remedy=say("Restore the shop from its latest backup and verify the chain of records."),
        )
    return plain


def once(value: Any) -> Any:
    """An id or a code as the one text that all records share which name it: they are many.

    Parameters
    ----------
    value : object
        Anything; what is no short text without blanks stays as it is.

    Returns
    -------
    object
        Equal to it.

    Examples
    --------
    >>> a, b = "".join(["C", "17"]), "".join(["C", "17"])
    >>> a is b, once(a) is once(b)
    (False, True)
    """
    is_code = type(value) is str and len(value) <= LONGEST_CODE and " " not in value
    return intern(value) if is_code else value


def _raised(kind: str, schema: int, ours: int, plain: Plain) -> Plain:
    if schema > ours:
        raise Unreadable(
            say(
                "this {kind} was written with schema {schema}; this version reads up to {ours}",
                kind=kind,
                schema=schema,
                ours=ours,
            ),
            remedy=say("Update the program on this machine, then open the shop again."),
        )
    for old in range(schema, ours):
        function = RAISES.get((kind, old))
        if function is None:
            raise Unreadable(
                say("nothing is known of schema {old} of a {kind}", old=old, kind=kind),
                remedy=say("Open the shop with the version that wrote it."),
            )
        plain = function(dict(plain))
    return plain


def _refuse_strangers(kind: str, plain: Plain, cls: type[Fact]) -> None:
    strangers = sorted(plain.keys() - types_of(cls).keys())
    if strangers:
        raise Unreadable(
            say(
                "this {kind} has a field this version does not know: {field}",
                kind=kind,
                field=strangers[0],
            ),
            remedy=say("Update the program, or check the spelling of the field."),
            problems=tuple(Problem(name, say("is not known")) for name in strangers),
        )
    exact = _holding(cls, "Decimal") & plain.keys()
    loose = sorted(name for name in exact if not _is_exact(plain[name]))
    if loose:
        raise Unreadable(
            say("{field} of this {kind} is not an exact decimal", field=loose[0], kind=kind),
            remedy=say("Write amounts as text between quotation marks."),
            problems=tuple(Problem(name, say("is not an exact decimal")) for name in loose),
        )


def _is_exact(value: object) -> bool:
    if isinstance(value, list):
        return all(map(_is_exact, value))
    return value is None or (isinstance(value, str) and value.lstrip("-")[:1].isdigit())


def _misfit(kind: str, plain: Plain, cls: type[Fact], first: str) -> Unreadable:
    """Name every field that does not fit: the fast reading stops at its first."""
    problems = []
    for field in fields(cls):
        if field.name not in plain:
            continue
        try:
            msgspec.convert(plain[field.name], types_of(cls)[field.name])
        except msgspec.ValidationError as error:
            problems.append(Problem(field.name, str(error)))
    if not problems:
        name = first.split("`")[1] if "`" in first else kind
        problems.append(Problem(name, first))
    return Unreadable(
        say(
            "{where} of this {kind} does not fit: {what}",
            where=problems[0].where,
            kind=kind,
            what=problems[0].what,
        ),
        remedy=say("Correct the field named, or restore the shop from its latest backup."),
        problems=tuple(problems),
    )
