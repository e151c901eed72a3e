"""How one value of an entry is read: its type, its range, and what to say if it is wrong.

A reader takes the value, its path inside the entry and somewhere to report; it returns the
clean value. What it returns after a report is never used.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Any

from retrue.kinds.library import Chip, Part, Three
from retrue.kinds.lines import Path
from retrue.kinds.stripping import Quantity
from retrue.kinds.waking import Bound

Report = Callable[[Path, str, str], None]
Reader = Callable[[Any, Path, Report], Any]

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
_STAGE = re.compile(r"P\d{1,2}-[A-Z]")
_RULED = re.compile(r"(?:(?:place|job|fault|way):[A-Za-z][A-Za-z0-9_]*|subsystem:[A-Za-z].*)")
_OF_WAY = re.compile(r"(?:[A-Za-z][A-Za-z0-9_]*:)?[a-z_]+")


def nearest(word: str, known: Iterable[str]) -> str:
    """Offer the known word that looks most like the one given.

    Examples
    --------
    >>> nearest("piror", ["prior", "place"])
    'Did you mean prior?'
    >>> nearest("xyz", ["prior"])
    'Known here: prior.'
    """
    listed = sorted(known)
    close = get_close_matches(word, listed, n=1, cutoff=0.6)
    if close:
        return f"Did you mean {close[0]}?"
    return f"Known here: {', '.join(listed[:20])}{', ...' if len(listed) > 20 else ''}."


def text(value: Any, path: Path, report: Report) -> str:
    """Any words."""
    if not isinstance(value, str):
        report(path, f"expected words in quotes, found {_shown(value)}", "")
        return ""
    return value


def flag(value: Any, path: Path, report: Report) -> bool:
    """Yes or no, as true or false."""
    if not isinstance(value, bool):
        report(path, f"expected true or false, found {_shown(value)}", "")
    return bool(value)


def name(value: Any, path: Path, report: Report) -> str:
    """The id of something."""
    if not isinstance(value, str) or not _ID.fullmatch(value):
        report(path, f"expected an id such as F01, found {_shown(value)}", "")
        return ""
    return value


def stage(value: Any, path: Path, report: Report) -> str:
    """The id of a stage of first power."""
    if not isinstance(value, str) or not _STAGE.fullmatch(value):
        report(path, f"expected a stage such as P3-V, found {_shown(value)}", "")
        return ""
    return value


def ruled(value: Any, path: Path, report: Report) -> str:
    """What a rule of cards is of: place:axis_x, job:J05, fault:F15, way:local, subsystem:ways."""
    if not isinstance(value, str) or not _RULED.fullmatch(value):
        remedy = "Name a place, job, fault, way or subsystem, with its colon."
        report(
            path, f"expected what it is of, such as place:cabinet, found {_shown(value)}", remedy
        )
        return ""
    return value


def of_way(value: Any, path: Path, report: Report) -> str:
    """A way (local), or a fault and its way (F15:local)."""
    if not isinstance(value, str) or not _OF_WAY.fullmatch(value):
        report(path, f"expected a way such as local or F15:local, found {_shown(value)}", "")
        return ""
    return value


def choice(*allowed: str) -> Reader:
    """One of a few words."""

    def read(value: Any, path: Path, report: Report) -> str:
        if not isinstance(value, str) or value not in allowed:
            report(path, f"{_shown(value)} is not one of them", nearest(str(value), allowed))
            return allowed[0]
        return value

    return read


def number(
    low: float = -math.inf, high: float = math.inf, *, above: bool = False, what: str = ""
) -> Reader:
    """A finite number in a range; ``above`` leaves the low end itself out."""

    def read(value: Any, path: Path, report: Report) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            report(path, f"expected a number, found {_shown(value)}", "")
            return 0.0
        try:
            figure = float(value)
        except OverflowError:
            figure = math.inf
        if not math.isfinite(figure) or not low <= figure <= high or (above and figure == low):
            report(path, f"{_shown(value)} is {what or 'out of range'}", "")
            return 0.0
        return figure

    return read


share = number(0, 1, what="not a share between 0 and 1")
amount = number(0, what="negative or not finite; money, hours and days start at 0")
positive = number(0, above=True, what="not above 0")
figure = number(what="not a finite number")


def three(value: Any, path: Path, report: Report) -> Three:
    """Low, likely and high, none negative, in that order."""
    names = ("low", "likely", "high")
    table = _table(value, path, report, names)
    got = {key: amount(table[key], (*path, key), report) for key in names if key in table}
    for key in names:
        if key not in got:
            report((*path, key), "is missing", "Give low, likely and high.")
    low, likely, high = (got.get(key, 0.0) for key in names)
    if len(got) == 3 and not low <= likely <= high:
        report(path, f"low {low:g}, likely {likely:g}, high {high:g} are not in order", "")
    return Three(low, likely, high)


def quantity(value: Any, path: Path, report: Report) -> Quantity:
    """How much of one thing: what, low, likely, high in that order, and the unit."""
    names = ("what", "low", "likely", "high", "unit")
    table = _table(value, path, report, names)
    spread = three({key: table[key] for key in names[1:4] if key in table}, path, report)
    return Quantity(
        what=text(table.get("what"), (*path, "what"), report),
        low=spread.low,
        likely=spread.likely,
        high=spread.high,
        unit=text(table.get("unit", ""), (*path, "unit"), report),
    )


def part(value: Any, path: Path, report: Report) -> tuple[float, float]:
    """The median and the log standard deviation of one part of a measure."""
    table = _table(value, path, report, ("median", "log_sd"))
    for key in ("median", "log_sd"):
        if key not in table:
            report((*path, key), "is missing", "")
    return (
        positive(table.get("median", 1), (*path, "median"), report),
        positive(table.get("log_sd", 1), (*path, "log_sd"), report),
    )


def limit(value: Any, path: Path, report: Report) -> tuple[str, float, str]:
    """A limit of a measure: comparison, value, mark."""
    names = ("op", "value", "mark")
    table = _table(value, path, report, names)
    for key in names:
        if key not in table:
            report((*path, key), "is missing", "")
    op = choice("<=", ">=", "<", ">")(table.get("op", "<="), (*path, "op"), report)
    return (
        op,
        figure(table.get("value", 0), (*path, "value"), report),
        text(table.get("mark", ""), (*path, "mark"), report),
    )


def bound(value: Any, path: Path, report: Report) -> Bound:
    """One end of a band: a number, or a share of a plate value or of an earlier reading."""
    if not isinstance(value, dict):
        return Bound(plus=figure(value, path, report))
    table = _table(value, path, report, ("of", "times", "plus"))
    for key in ("of", "times"):
        if key not in table:
            report((*path, key), "is missing", "")
    return Bound(
        of=name(table.get("of", "N04"), (*path, "of"), report),
        times=positive(table.get("times", 1), (*path, "times"), report),
        plus=figure(table.get("plus", 0), (*path, "plus"), report),
    )


def whole(value: Any, path: Path, report: Report) -> int:
    """A whole number from 1 up."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        report(path, f"expected a whole number from 1 up, found {_shown(value)}", "")
        return 1
    return value


def words(each: Reader = text) -> Reader:
    """A list of words."""

    def read(value: Any, path: Path, report: Report) -> tuple[str, ...]:
        if not isinstance(value, list):
            report(path, f"expected a list in square brackets, found {_shown(value)}", "")
            return ()
        return tuple(each(item, (*path, at), report) for at, item in enumerate(value))

    return read


def by_id(each: Reader) -> Reader:
    """A table from ids (or ages) to values."""

    def read(value: Any, path: Path, report: Report) -> dict[str, Any]:
        table = _table(value, path, report, None)
        return {key: each(item, (*path, key), report) for key, item in table.items()}

    return read


def by_word(*allowed: str) -> Callable[[Reader], Reader]:
    """A table from a few known words to values."""

    def of(each: Reader) -> Reader:
        def read(value: Any, path: Path, report: Report) -> dict[str, Any]:
            table = _table(value, path, report, allowed)
            return {
                key: each(item, (*path, key), report)
                for key, item in table.items()
                if key in allowed
            }

        return read

    return of


def by_age(value: Any, path: Path, report: Report) -> dict[int, float]:
    """A table from whole years to shares."""
    table = _table(value, path, report, None)
    ages: dict[int, float] = {}
    for key, item in table.items():
        if not key.isascii() or not key.isdigit() or len(key) > 3:
            report((*path, key), f"{_shown(key)} is not an age in whole years", "")
            continue
        ages[int(key)] = share(item, (*path, key), report)
    return dict(sorted(ages.items()))


def place(value: Any, path: Path, report: Report) -> str | dict[str, str]:
    """A place, or a table that says which place it is on which kind."""
    if isinstance(value, dict):
        return {key: name(item, (*path, key), report) for key, item in value.items()}
    return name(value, path, report)


def chips(value: Any, path: Path, report: Report) -> tuple[Chip, ...]:
    """Ready answers: each with its words and what it says of one check or past life."""
    return tuple(_chip(row, at, report) for row, at in _rows(value, path, report))


def options(value: Any, path: Path, report: Report) -> tuple[tuple[str, tuple[Chip, ...]], ...]:
    """Ready answers of the call: each may say several things."""
    rows = []
    for row, at in _rows(value, path, report):
        said = _table(row, at, report, ("words", "says"))
        spoken = text(said.get("words"), (*at, "words"), report)
        says = [
            _chip({"words": spoken, **item}, spot, report)
            for item, spot in _rows(said.get("says"), (*at, "says"), report)
        ]
        rows.append((spoken, tuple(says)))
    return tuple(rows)


def parts(found: dict[str, tuple[float, float]], mark: str) -> dict[str, Part]:
    """Give each part of a measure its mark."""
    return {
        fault: Part(median=median, log_sd=log_sd, mark=mark)
        for fault, (median, log_sd) in found.items()
    }


def _chip(row: Any, path: Path, report: Report) -> Chip:
    table = _table(row, path, report, ("words", "target", "id", "answer"))
    return Chip(
        words=text(table.get("words"), (*path, "words"), report),
        target=choice("check", "history", "need")(table.get("target"), (*path, "target"), report),
        id=name(table.get("id"), (*path, "id"), report),
        answer=name(table.get("answer"), (*path, "answer"), report),
    )


def _rows(value: Any, path: Path, report: Report) -> list[tuple[dict[str, Any], Path]]:
    if not isinstance(value, list):
        report(path, f"expected a list in square brackets, found {_shown(value)}", "")
        return []
    rows: list[tuple[dict[str, Any], Path]] = []
    for at, item in enumerate(value):
        if isinstance(item, dict):
            rows.append((item, (*path, at)))
        else:
            report((*path, at), f"expected a table in braces, found {_shown(item)}", "")
    return rows


def _table(value: Any, path: Path, report: Report, known: tuple[str, ...] | None) -> dict[str, Any]:
    if not isinstance(value, dict):
        report(path, f"expected a table in braces, found {_shown(value)}", "")
        return {}
    for key in value:
        if known is not None and key not in known:
            report((*path, key), "unknown key", nearest(key, known))
    return value


def _shown(value: Any) -> str:
    shown = repr(value)
    return shown if len(shown) <= 60 else shown[:57] + "..."
