"""A case as the text of a lot file: sections in order, what says nothing left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import MISSING, fields
from decimal import Decimal
from typing import Any

from retrue.cases.case import Happened, Kept, LotCase
from retrue.records.facts import Fact


def write_lot(case: LotCase) -> str:
    """Write a lot file; reading it again gives the same case.

    Parameters
    ----------
    case : LotCase
        Any case whose facts belong to its lot.

    Returns
    -------
    str
        TOML; fields that say nothing are left out.
    """
    lines = [f"as_of = {_toml(case.as_of)}", ""] if case.as_of else []
    for title, fact in (("shop", case.shop), ("lot", case.lot), ("terms", case.terms)):
        lines += [f"[{title}]", *_pairs(fact), ""]
    many: tuple[tuple[str, Iterable[Any]], ...] = (
        ("need", case.needs),
        ("alternative", case.alternatives),
        ("machine", case.machines),
        ("plate", case.plates),
        ("finding", _chronicle(case)),
        ("asked", case.asked),
        ("cost_line", case.cost_lines),
        ("planned", case.planned),
        ("chosen", case.chosen),
    )
    for title, facts in many:
        for fact in facts:
            named = fact.event.KIND if isinstance(fact, Happened) else title
            lines += [*block(named, fact), ""]
    return "\n".join(lines)


def _chronicle(case: LotCase) -> Iterator[Kept | Happened]:
    """Findings with what happened between them, oldest first."""
    told = iter(case.happened)
    one = next(told, None)
    for place, kept in enumerate(case.findings):
        while one is not None and one.place <= place:
            yield one
            one = next(told, None)
        yield kept
    while one is not None:
        yield one
        one = next(told, None)


def block(title: str, fact: Fact | Kept | Happened) -> list[str]:
    r"""One ``[[title]]`` block, as lines; what is kept brings its id, what happened its day too.

    Parameters
    ----------
    title : str
        Of the section.
    fact : Fact, Kept or Happened
        What it says.

    Returns
    -------
    list of str

    Examples
    --------
    >>> from retrue.records.facts import Machine
    >>> print(*block("machine", Machine(lot="14", name="mill", kind="turning_centre")), sep="\n")
    [[machine]]
    name = "mill"
    kind = "turning_centre"
    """
    if isinstance(fact, Kept):
        return [f"[[{title}]]", f"id = {_toml(fact.id)}", *_pairs(fact.finding)]
    if isinstance(fact, Happened):
        day = [f"on = {_toml(fact.on)}"] if fact.on else []
        return [f"[[{title}]]", f"id = {_toml(fact.id)}", *day, *_pairs(fact.event)]
    return [f"[[{title}]]", *_pairs(fact)]


def _pairs(fact: Fact) -> Iterator[str]:
    for one in fields(fact):
        value = getattr(fact, one.name)
        default = one.default
        if one.name == "lot" or value is None:
            continue
        if default is not MISSING and value == default and type(value) is type(default):
            continue
        yield f"{one.name} = {_toml(value)}"


def _toml(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return _quoted(value)
        case int():
            return str(value)
        case Decimal():
            return f"{value:f}"
        case float():
            return repr(value)
        case tuple() if value and isinstance(value[0], tuple):
            return "{ " + ", ".join(f"{_quoted(k)} = {_toml(v)}" for k, v in value) + " }"
        case _:
            return "[" + ", ".join(_toml(part) for part in value) + "]"


def _quoted(text: str) -> str:
    names = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    return (
        '"'
        + "".join(
            names.get(c) or (c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}") for c in text
        )
        + '"'
    )
