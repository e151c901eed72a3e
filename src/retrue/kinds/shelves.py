"""Clean entries sorted by kind of machine and by section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import Problem
from retrue.kinds.entries import Entry, read_entry
from retrue.kinds.shape import SECTIONS

Row = tuple[Entry, Mapping[str, Any]]
Rows = Mapping[str, list[Row]]


@dataclass(frozen=True, slots=True)
class Shelves:
    """What each kind has.

    Attributes
    ----------
    kinds : mapping of kind id to its own row
    rows : mapping of kind id to section to clean rows
        Entries with a problem of their own are left out.
    names : mapping of kind id to section to names
        Of all entries, also those with a problem, so that one mistake is named once.
    everywhere : mapping of section to names
        Of all kinds together.
    doubles : mapping of kind id to entries that stand twice
    """

    kinds: Mapping[str, Mapping[str, Any]]
    rows: Mapping[str, Rows]
    names: Mapping[str, Mapping[str, set[str]]]
    everywhere: Mapping[str, set[str]]
    doubles: Mapping[str, list[Entry]]


def shelve(entries: Sequence[Entry], problems: list[Problem]) -> Shelves:
    """Read all entries and sort them; what is wrong is added to the problems.

    Parameters
    ----------
    entries : sequence of Entry
        As written, with own numbers laid over.
    problems : list of Problem
        Added to.

    Returns
    -------
    Shelves
    """
    kinds = _kinds(entries, problems)
    known = {name: name for name in kinds}
    rows: dict[str, dict[str, list[Row]]] = {
        kind: {section: [] for section in SECTIONS} for kind in kinds
    }
    names: dict[str, dict[str, set[str]]] = {
        kind: {section: set() for section in SECTIONS} for kind in kinds
    }
    doubles: dict[str, list[Entry]] = {kind: [] for kind in kinds}
    for entry in entries:
        if entry.section == "kind":
            continue
        before = len(problems)
        clean, name = read_entry(entry, known, problems), entry.name()
        for kind in clean["kinds"]:
            here = names[kind][entry.section]
            if name in here:
                doubles[kind].append(entry)
            here.add(name)
            if len(problems) == before:
                rows[kind][entry.section].append((entry, clean))
    everywhere: dict[str, set[str]] = {
        section: set().union(*(names[kind][section] for kind in kinds)) for section in SECTIONS
    }
    return Shelves(kinds, rows, names, everywhere, doubles)


def _kinds(entries: Sequence[Entry], problems: list[Problem]) -> dict[str, Mapping[str, Any]]:
    found: dict[str, Mapping[str, Any]] = {}
    for entry in entries:
        if entry.section != "kind":
            continue
        row = read_entry(entry, {}, problems)
        if row["id"] in found:
            problems.append(Problem(entry.where(), "stands twice", "Keep one."))
        elif row["id"]:
            found[row["id"]] = row
    return found
