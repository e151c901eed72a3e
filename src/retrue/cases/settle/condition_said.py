"""What a condition record says otherwise than one before it, in the words of the record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.formatter import short
from retrue.base.say import later

HEADINGS = {
    "machine": later("Machine"),
    "kind": later("Kind of machine"),
    "sold_words": later("Sold as"),
    "open": later("Open"),
    "guards": later("Guards and interlocks"),
    "proved": later("Measured"),
    "known": later("Known faults"),
    "live_with": later("Agreed to live with"),
    "as_found": later("As found"),
    "done": later("Done"),
    "looked": later("Looked at"),
    "stages": later("First power"),
    "quiet": later("Sound, vibration, light"),
    "parts": later("Parts that were moved"),
    "settings": later("Settings"),
    "title": later("What is stamped on it"),
    "data": later("Data that were saved"),
    "included": later("What goes with it"),
    "moved": later("How it came and rested"),
    "untested": later("Not tested"),
    "again": later("Not looked at since the work"),
    "pictures": later("Photographs"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """One line that a record says otherwise; ``was`` or ``now`` is empty where it has none."""

    heading: str
    was: str
    now: str


def said_otherwise(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Otherwise, ...]:
    """What one content says otherwise than another, line by line.

    Parameters
    ----------
    old, new : mapping
        As ``content_of`` gives them.

    Returns
    -------
    tuple of Otherwise
        A line that only stands in another place is the same line.

    Examples
    --------
    >>> old = {"live_with": ["Worn wipers"], "guards": [{"name": "Door", "words": "Proved."}]}
    >>> new = {"live_with": ["Dents", "Worn wipers"],
    ...        "guards": [{"name": "Door", "words": "Defeated."}]}
    >>> for one in said_otherwise(old, new):
    ...     print(one.heading, one.was, one.now, sep=" | ")
    Guards and interlocks | Door: Proved. | Door: Defeated.
    Agreed to live with |  | Dents
    """
    told: list[Otherwise] = []
    for key, heading in HEADINGS.items():
        before, after = list(_lines(old.get(key))), list(_lines(new.get(key)))
        gone = [one for one in before if one not in after]
        come = [one for one in after if one not in before]
        for was in gone:
            now = next((one for one in come if _lead(one) == _lead(was)), "")
            if now:
                come.remove(now)
            told.append(Otherwise(heading=heading, was=was, now=now))
        told += [Otherwise(heading=heading, was="", now=now) for now in come]
    return tuple(told)


def _lead(line: str) -> str:
    return line.removeprefix(REPORTED).partition(": ")[0]


def _lines(value: object) -> Iterator[str]:
    """Every line of one part of a record."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from (_line(one) for one in value.get("stated", ()))
        yield from (REPORTED + _line(one) for one in value.get("reported", ()))
    elif isinstance(value, list):
        for one in value:
            if isinstance(one, dict) and "looks" in one:
                yield from (f"{one.get('place', '')}: {look}" for look in one["looks"])
            else:
                yield _line(one)


def _line(item: object) -> str:
    if not isinstance(item, dict):
        return str(item)
    if "ruling" in item:
        number = item.get("value")
        value = "" if number is None else f"{short(number, '.4g')} {item['unit']}, "
        return f"{item['title']}: {value}{item['apart'] or item['words']} {item['on']}"
    if "old" in item:
        return f"{item['name']}: {item['old']}, {item['new']}"
    if "words" in item:
        return f"{item['name']}: {item['words']}"
    if "caption" in item:
        return ", ".join(str(item[key]) for key in ("caption", "place", "on") if item.get(key))
    how = f" ({item['how']})" if item.get("how") else ""
    return f"{item.get('what', '')}{how}"


REPORTED = later("only reported: ")
