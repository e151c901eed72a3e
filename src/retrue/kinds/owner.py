"""Numbers of one's own, laid over the shipped ones, number by number."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from retrue.base.refusals import Problem
from retrue.kinds.entries import Entry, entries_of
from retrue.kinds.lines import Path
from retrue.kinds.readers import nearest
from retrue.kinds.shape import SECTIONS, Section
from retrue.kinds.sources import Document


def lay_over(
    entries: Sequence[Entry], documents: Sequence[Document], whose: str, problems: list[Problem]
) -> list[Entry]:
    """Lay the numbers of some files over the entries.

    Parameters
    ----------
    entries : sequence of Entry
        The library so far.
    documents : sequence of Document
        Files with own numbers; of two that give the same number the later one counts.
    whose : str
        Mark of a number whose file gives no mark of its own.
    problems : list of Problem
        Whatever cannot be used is added here.

    Returns
    -------
    list of Entry
        The library with each number replaced where one of the files gives it.
    """
    shelf: dict[tuple[str, str], list[Entry]] = {}
    for entry in entries:
        shelf.setdefault((entry.section, entry.name()), []).append(entry)
    for document in documents:
        seen: dict[tuple[str, str], set[str]] = {}
        for patch in entries_of(document, problems):
            name = (patch.section, patch.name())
            if not _usable(patch, shelf, problems):
                continue
            wanted = _wanted(patch, shelf[name], problems)
            if seen.setdefault(name, set()) & wanted:
                problems.append(
                    Problem(patch.where(), "stands twice in this file", "Keep one of them.")
                )
            seen[name] |= wanted
            shelf[name] = [
                part for entry in shelf[name] for part in _patched(entry, patch, wanted, whose)
            ]
    return [entry for group in shelf.values() for entry in group]


def _usable(
    patch: Entry, shelf: Mapping[tuple[str, str], list[Entry]], problems: list[Problem]
) -> bool:
    section = SECTIONS[patch.section]
    before = len(problems)
    numbers = [key for key, spec in section.keys.items() if spec.counts]
    if not numbers:
        problems.append(
            Problem(
                patch.where(), f"a {patch.section} has no numbers to be your own", "Leave it out."
            )
        )
        return False
    for key in patch.raw:
        if key in section.named_by or key in ("kinds", "mark") or key in numbers:
            continue
        if key in section.keys:
            what, remedy = "is not a number; only numbers can be your own", "Leave it out."
        else:
            what, remedy = "unknown key", nearest(key, [*numbers, "kinds", "mark"])
        problems.append(Problem(patch.where((key,)), what, remedy))
    if not isinstance(patch.raw.get("mark", ""), str):
        problems.append(Problem(patch.where(("mark",)), "a mark is words in quotes"))
    if (patch.section, patch.name()) not in shelf:
        problems.append(_stranger(patch, section, shelf))
    return len(problems) == before


def _stranger(
    patch: Entry, section: Section, shelf: Mapping[tuple[str, str], list[Entry]]
) -> Problem:
    missing = [key for key in section.named_by if key not in patch.raw]
    if missing:
        return Problem(patch.where((missing[0],)), "is missing", f"Say which {patch.section}.")
    known = [name for part, name in shelf if part == patch.section]
    first = str(patch.raw[section.named_by[0]])
    alike = [name for name in known if name.startswith(f"{first}:")]
    return Problem(
        patch.where((section.named_by[-1 if alike else 0],)),
        f"unknown {patch.section} {patch.name()}",
        nearest(patch.name(), alike or known),
    )


def _wanted(patch: Entry, group: Sequence[Entry], problems: list[Problem]) -> set[str]:
    has = {kind for entry in group for kind in _kinds(entry)}
    asked = patch.raw.get("kinds", sorted(has))
    if not isinstance(asked, list):
        problems.append(Problem(patch.where(("kinds",)), "expected a list of kinds"))
        return set()
    for at, kind in enumerate(asked):
        if kind not in has:
            problems.append(
                Problem(
                    patch.where(("kinds", at)),
                    f"{kind!r} has no {patch.label()}",
                    nearest(str(kind), has),
                )
            )
    return {kind for kind in asked if isinstance(kind, str)}


def _patched(entry: Entry, patch: Entry, wanted: set[str], whose: str) -> Iterator[Entry]:
    kinds = _kinds(entry)
    inside = [kind for kind in kinds if kind in wanted]
    outside = [kind for kind in kinds if kind not in wanted]
    if outside:
        yield replace(entry, raw={**entry.raw, "kinds": outside})
    if not inside:
        if not outside:
            yield entry
        return
    skipped = {*SECTIONS[patch.section].named_by, "kinds", "mark"}
    given = {key: value for key, value in patch.raw.items() if key not in skipped}
    document, start = patch.origin
    leaves = list(_leaves(given, ()))
    mark = patch.raw.get("mark") or whose
    yield replace(
        entry,
        raw={**_merged(entry.raw, given), **({} if entry.section == "kind" else {"kinds": inside})},
        overridden={
            **entry.overridden,
            **{path: (document, (*start, *path)) for path in leaves},
        },
        before={**{path: _value(entry.raw, path) for path in leaves}, **entry.before},
        own_marks={
            **entry.own_marks,
            **{".".join(str(part) for part in path): mark for path in leaves},
        },
    )


def _kinds(entry: Entry) -> list[str]:
    kinds = [entry.raw.get("id")] if entry.section == "kind" else entry.raw.get("kinds")
    return [kind for kind in kinds if isinstance(kind, str)] if isinstance(kinds, list) else []


def _merged(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(below)
    for key, value in above.items():
        under = merged.get(key)
        both = isinstance(value, dict) and isinstance(under, dict)
        merged[key] = _merged(under, value) if both and under is not None else value
    return merged


def _value(table: Any, path: Path) -> Any:
    for key in path:
        table = table.get(key) if isinstance(table, dict) else None
    return table


def _leaves(given: Mapping[str, Any], path: Path) -> Iterator[Path]:
    for key, value in given.items():
        if isinstance(value, dict) and value:
            yield from _leaves(value, (*path, key))
        else:
            yield (*path, key)
