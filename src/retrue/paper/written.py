"""How a number, a band and a line of words are written on a sheet."""

from __future__ import annotations

from retrue.base.formatter import THIN, number
from retrue.base.say import later, say

_LONGEST = 240
_UNITS = {"C": "°C", "c": "°C", "K/min": later("K a minute"), "ohm": "Ω", "megohm": "MΩ",
          "yes": later("yes")}  # fmt: skip


def on_one_line(text: str) -> str:
    """A text on one line, whole: a caution is never cut.

    Examples
    --------
    >>> on_one_line("off,  locked\\n and tried")
    'off, locked and tried'
    """
    return " ".join(text.split())


def cut(text: str, longest: int = _LONGEST) -> str:
    """A text on one line, cut where it is longer than its room.

    Examples
    --------
    >>> cut("a rather long name", 9)
    'a rather…'
    """
    clean = on_one_line(text)
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"


def shown(value: float | None, unit: str = "", digits: int | None = None) -> str:
    """A value with its unit, never parted from it; nothing for None.

    Without ``digits`` it has as many as it needs, three at most.

    Examples
    --------
    >>> shown(24.15, "V").replace(THIN, "_"), shown(None, "V"), shown(5.0, "C").replace(THIN, "_")
    ('24.15_V', '', '5_°C')
    """
    if value is None:
        return ""
    if digits is None:
        digits = next((d for d in range(3) if abs(value - round(value, d)) < 1e-6), 3)
    unit = unit_words(unit)
    return number(value, digits) + (THIN + unit if unit else "")


def unit_words(unit: str) -> str:
    """A unit as a person reads it.

    Examples
    --------
    >>> unit_words("C"), unit_words("bar")
    ('°C', 'bar')
    """
    return say(_UNITS[unit]) if unit in _UNITS else unit


def expected_words(low: float | None, high: float | None, unit: str, language: str = "") -> str:
    """The band that was written before, in words; nothing where there is none.

    Examples
    --------
    >>> expected_words(22.8, 25.2, "V").replace(THIN, " ")
    'from 22.8 to 25.2 V'
    >>> expected_words(None, 5, "%").replace(THIN, " ")
    'up to 5 %'
    """
    if low is not None and high is not None:
        return say("from {low} to {high}", language=language, low=shown(low),
                   high=shown(high, unit))  # fmt: skip
    if high is not None:
        return say("up to {high}", language=language, high=shown(high, unit))
    if low is not None:
        return say("{low} or more", language=language, low=shown(low, unit))
    return ""


def abort_words(low: float | None, high: float | None, unit: str, language: str = "") -> str:
    """Where to stop, in words; nothing where there is no such limit.

    Examples
    --------
    >>> abort_words(21.6, 26.4, "V").replace(THIN, " ")
    'under 21.6 V, over 26.4 V'
    """
    ends = []
    if low is not None:
        ends.append(say("under {low}", language=language, low=shown(low, unit)))
    if high is not None:
        ends.append(say("over {high}", language=language, high=shown(high, unit)))
    return ", ".join(map(str, ends))


def items(text: str) -> list[str]:
    """The parts of a text that semicolons part, each on one line.

    Examples
    --------
    >>> items("smell; a fuse goes ;")
    ['smell', 'a fuse goes']
    """
    return [part for part in map(on_one_line, text.split(";")) if part]
