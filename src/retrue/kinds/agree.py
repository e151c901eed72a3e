"""Whether the entries of one kind agree: every id they name is there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any, get_args

from retrue.base.refusals import Problem
from retrue.kinds.entries import Entry
from retrue.kinds.library import Chip, Way
from retrue.kinds.lines import Path
from retrue.kinds.readers import nearest
from retrue.kinds.shelves import Shelves

Named = tuple[str, Path, str]

_SPEAKING = frozenset({"shot", "question"})  # sections whose rows have chips
_ALLOWED: Mapping[str, tuple[str, ...]] = {
    "check": ("not_seen", "seen", "slight", "severe", "cant_tell"),
    "history": ("yes", "no", "likely", "maybe", "unknown"),
}


def disagreements(kind: str, shelves: Shelves) -> Iterator[Problem]:
    """Name every id that is nowhere, and every entry that stands twice.

    Parameters
    ----------
    kind : str
        Id of the kind.
    shelves : Shelves
        Clean entries and known names. Links and cures to what only another kind has fall away
        later; a place, a measure's check or a fix's fault must be of this kind.

    Yields
    ------
    Problem
    """
    for entry in shelves.doubles[kind]:
        yield Problem(entry.where(), f"stands twice for {kind}", "Keep one, or rename the other.")
    for section, group in shelves.rows[kind].items():
        speaks = section in _SPEAKING
        for entry, row in group:
            spoken = _spoken(section, row) if speaks else ()
            for target, path, name in (*_named(section, kind, row), *spoken):
                sort = target.removeprefix("own ")
                own = sort != target
                known = _known(sort, own, kind, shelves)
                if name not in known:
                    what = f"unknown {sort} {name!r}" + (f" of {kind}" if own else "")
                    yield Problem(entry.where(path), what, nearest(name, known))
            if speaks:
                yield from _answers(section, entry, row)


def _known(sort: str, own: bool, kind: str, shelves: Shelves) -> Collection[str]:
    if sort == "way":
        return get_args(Way)
    if sort == "subsystem":
        return {str(row["subsystem"]) for _, row in shelves.rows[kind]["fault"]}
    return shelves.names[kind][sort] if own else shelves.everywhere[sort]


def _named(section: str, kind: str, row: Mapping[str, Any]) -> Iterator[Named]:
    for key, target in _TABLES.get(section, {}).items():
        for name in row[key]:
            yield target, (key, name), name
    for key, target in _LISTS.get(section, {}).items():
        for at, name in enumerate(row[key]):
            yield target, (key, at), name
    for key, target in _SINGLE.get(section, {}).items():
        if row[key]:
            yield target, (key,), row[key]
    if section in ("card_rule", "way_effect"):
        yield _of(section, row["of"])
    for key in ("place", "opens"):
        if key in row and row[key] is not None:
            yield from _place(key, kind, row[key])


_TABLES: Mapping[str, Mapping[str, str]] = {
    "fault": {"raisers": "history"},
    "place": {"stuck_raisers": "history"},
    "fix": {"also_cures": "fault"},
    "job": {"cures": "fault"},
    "cost": {"cures": "fault"},
    "check": {"links": "fault"},
    "measure": {"parts": "fault"},
    "symptom": {"links": "fault", "also": "check"},
    "renewal": {"raisers": "history"},
    "upgrade": {"cures": "fault"},
}
_LISTS: Mapping[str, Mapping[str, str]] = {
    "job": {"places": "own place", "reveals": "check"},
    "check": {"measures": "measure"},
    "shot": {"checks": "check"},
    "cause": {"leads_to": "fault"},
    "group": {"checks": "own check"},
    "swappable": {"goes_along": "own fault", "stays": "own fault", "first": "own check"},
    "tick": {"cautions": "own caution"},
    "muck": {"cautions": "own caution"},
    "stage": {
        "faults": "own fault",
        "checks": "own check",
        "jobs": "own job",
        "part_of": "own job",
        "cautions": "own caution",
    },
    "stage_reading": {"without": "own fault"},
    "card_rule": {"cautions": "own caution"},
    "renewal": {"faults": "own fault"},
    "upgrade": {"cautions": "own caution"},
    "guard": {"faults": "own fault", "checks": "own check", "cautions": "own caution"},
}
_SINGLE: Mapping[str, Mapping[str, str]] = {
    "fix": {"fault": "own fault"},
    "as_found": {"measure": "own measure"},
    "cause": {"fault": "fault"},
    "place": {"behind": "own place"},
    "check": {"caution": "own caution"},
    "measure": {"check": "own check"},
    "stop_cover": {"fault": "own fault", "check": "own check"},
    "symptom": {"check": "own check", "group": "own group"},
    "swappable": {"follows": "own check", "keeps": "own check"},
    "severe": {"fault": "own fault", "check": "own check"},
    "stage_reading": {
        "stage": "own stage",
        "measure": "own measure",
        "away_from": "own plate",
        "if_stamped": "own plate",
        "unless_stamped": "own plate",
    },
}


def _of(section: str, of: str) -> Named:
    """What a rule of cards or an effect of a way speaks of."""
    sort, _, name = of.partition(":")
    if section == "way_effect":
        return ("own fix" if name else "way", ("of",), of)
    return (sort if sort == "way" else f"own {sort}", ("of",), name)


def _place(key: str, kind: str, place: str | Mapping[str, str]) -> Iterator[Named]:
    if isinstance(place, str):
        yield "own place", (key,), place
    elif kind in place:
        yield "own place", (key, kind), place[kind]
    else:
        yield "own place", (key,), ""


def _spoken(section: str, row: Mapping[str, Any]) -> Iterator[Named]:
    for path, chip in _chips(section, row):
        if chip.target != "need":
            yield chip.target, (*path, "id"), chip.id


def _answers(section: str, entry: Entry, row: Mapping[str, Any]) -> Iterator[Problem]:
    for path, chip in _chips(section, row):
        allowed = _ALLOWED.get(chip.target)
        if allowed and chip.answer not in allowed:
            what = f"{chip.answer!r} is no answer to a {chip.target}"
            yield Problem(entry.where((*path, "answer")), what, nearest(chip.answer, allowed))


def _chips(section: str, row: Mapping[str, Any]) -> Iterator[tuple[Path, Chip]]:
    if section == "shot":
        for at, chip in enumerate(row["chips"]):
            yield ("chips", at), chip
    if section == "question":
        for at, (_, says) in enumerate(row["options"]):
            for spot, chip in enumerate(says):
                yield ("options", at, "says", spot), chip
