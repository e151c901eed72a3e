"""Hours as people write them: "2.5 h lathe", "1 h 30 mill, balanced the chuck"."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

_TIMES = r"(?P<begin>\d{1,2}:\d{2})\s*(?:-|–|to)\s*(?P<end>\d{1,2}:\d{2})"
_HOURS = r"(?P<hours>[-−]?\d+(?:[.,]\d+)?)\s*h(?:ours?|rs?)?(?:\s*(?P<more>\d{1,2})\s*(?:min)?)?\b"
_MINUTES = r"(?P<minutes>\d+)\s*min(?:utes?)?\b"
_WRITTEN = re.compile(rf"\s*(?:{_TIMES}|{_HOURS}|{_MINUTES})[\s,]*(?P<rest>.*)", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedHours:
    """What was understood.

    Attributes
    ----------
    hours : float or None
        None: from the times.
    begin, end : str
        HH:MM; empty where none were written.
    machine : str
        Its name as known; empty: none was written.
    text : str
        What else was written.
    """

    hours: float | None
    begin: str
    end: str
    machine: str
    text: str


def typed_hours(words: str, machines: Iterable[str]) -> TypedHours:
    """Read hours as they are written.

    Parameters
    ----------
    words : str
        Hours or two times first, then the machine's name, then what was done.
    machines : iterable of str
        The names that are known.

    Returns
    -------
    TypedHours

    Raises
    ------
    Unusable
        No hours are written, or the word behind them begins like no machine.

    Examples
    --------
    >>> typed_hours("2.5 h lathe", ["mill", "lathe"])
    TypedHours(hours=2.5, begin='', end='', machine='lathe', text='')
    >>> typed_hours("1 h 30 mill, balanced the chuck", ["mill"]).hours
    1.5
    >>> typed_hours("19:40 to 22:10 lathe", ["lathe"]).begin
    '19:40'
    """
    found = _WRITTEN.fullmatch(words)
    if found is None:
        what = say("“{text}” tells no hours", text=words[:60])
        raise _refused("hours", what, say('Write it as "2.5 h lathe" or "19:40 to 22:10 lathe".'))
    machine, text = _machine(found["rest"].strip(), list(machines))
    hours = None
    if found["minutes"]:
        hours = round(int(found["minutes"]) / 60, 4)
    elif found["hours"]:
        whole = float(found["hours"].replace(",", ".").replace("−", "-"))
        hours = round(whole + int(found["more"] or 0) / 60, 4)
    return TypedHours(
        hours=hours, begin=_clock(found["begin"]), end=_clock(found["end"]),
        machine=machine, text=text,
    )  # fmt: skip


def _machine(rest: str, known: list[str]) -> tuple[str, str]:
    """The machine's name at the beginning, the longest that fits, and what is behind it."""
    for name in sorted(known, key=len, reverse=True):
        head, tail = rest[: len(name)], rest[len(name) :]
        if head.casefold() == name.casefold() and (not tail or not tail[0].isalnum()):
            return name, tail.strip(" ,;:.-–")
    if rest and known:
        what = say("“{text}” names no machine", text=rest[:60])
        raise _refused("machine", what, say("Name one of: {names}.", names=", ".join(known)))
    return "", rest


def _clock(text: str | None) -> str:
    return text.zfill(5) if text else ""


def _refused(field: str, what: str, remedy: str) -> Unusable:
    return Unusable(what, remedy=remedy, problems=(Problem(field, what, remedy),))
