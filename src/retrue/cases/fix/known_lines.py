"""Lines that quotes and orders may name: ways of faults, jobs, renewals, extras, or own words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.kinds.library import Kind
from retrue.records.facts import Machine

_CODE = re.compile(r"[A-Za-z]+[0-9]+(?::\w*)?|(?:renew|upgrade|unseen)(?::\S*)?")


def known_lines(kinds: Iterable[Kind]) -> tuple[str, ...]:
    """Every line of the tables of some kinds.

    Parameters
    ----------
    kinds : iterable of Kind

    Returns
    -------
    tuple of str
        F15:local, J05, renew:belt, upgrade:lamp; sorted.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> lines = known_lines([load()["turning_centre"]])
    >>> "F15:local" in lines, "J05" in lines
    (True, True)
    """
    found = set[str]()
    for kind in kinds:
        found |= {f"{fix.fault}:{fix.way}" for fixes in kind.fixes.values() for fix in fixes}
        found |= {*kind.jobs, *(f"renew:{id}" for id in kind.renewals)}
        found |= {f"upgrade:{id}" for id in kind.upgrades}
    return tuple(sorted(found))


def line_problems(line: str, known: Iterable[str]) -> Iterator[Problem]:
    """A line that looks like one of the tables' and is none.

    Parameters
    ----------
    line : str
        Words of the owner's own are welcome.
    known : iterable of str

    Yields
    ------
    Problem

    Examples
    --------
    >>> [one.remedy for one in line_problems("F15:locl", ["F15:local"])]
    ['Did you mean F15:local?']
    >>> list(line_problems("new jaws", ["F15:local"]))
    []
    """
    lines = list(known)
    if line not in lines and _CODE.fullmatch(line):
        yield Problem("line", say("{line} is no line", line=line), nearest(line, lines))


def line_words(line: str, kinds: Iterable[Kind]) -> str:
    """What a line is for, in words.

    Parameters
    ----------
    line : str
    kinds : iterable of Kind
        The first that knows it tells.

    Returns
    -------
    str
        The line itself, where nobody knows it.

    Examples
    --------
    >>> line_words("new jaws", [])
    'new jaws'
    """
    head, _, tail = line.partition(":")
    for kind in kinds:
        tables: tuple[tuple[str, Mapping[str, Any]], ...] = (
            (head, kind.faults),
            (head, kind.jobs),
            (tail, kind.renewals if head == "renew" else {}),
            (tail, kind.upgrades if head == "upgrade" else {}),
        )
        for key, table in tables:
            if key in table:
                return str(table[key].name)
    return line


def kinds_of(machines: Iterable[Machine], kinds: Mapping[str, Kind]) -> tuple[Kind, ...]:
    """The kinds of some machines, each once.

    Parameters
    ----------
    machines : iterable of Machine
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    tuple of Kind
        One that the library does not have is left out.

    Examples
    --------
    >>> kinds_of([], {})
    ()
    """
    return tuple({one.kind: kinds[one.kind] for one in machines if one.kind in kinds}.values())
