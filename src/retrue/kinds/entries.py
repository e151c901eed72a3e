"""Entries of a library: each with where its values stand, read by the keys of its section."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from retrue.base.refusals import Problem
from retrue.kinds.lines import Path
from retrue.kinds.readers import nearest
from retrue.kinds.shape import SECTIONS, Section
from retrue.kinds.sources import Document

Origin = tuple[Document, Path]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as written, and which file each of its values came from."""

    section: str
    raw: Mapping[str, Any]
    origin: Origin
    overridden: Mapping[Path, Origin] = field(default_factory=dict)
    own_marks: Mapping[str, str] = field(default_factory=dict)
    before: Mapping[Path, Any] = field(default_factory=dict)  # shipped values of what is own

    def name(self) -> str:
        """Name it inside its section: ``F01``, ``F01:repair``."""
        return ":".join([str(self.raw.get(key, "")) for key in SECTIONS[self.section].named_by])

    def label(self) -> str:
        """Name it for a message: ``fault F01``, ``fix F01 repair``."""
        named = (self.raw.get(key, "") for key in SECTIONS[self.section].named_by)
        return " ".join([self.section, *(str(part) for part in named if part != "")])

    def where(self, path: Path = ()) -> str:
        """Name file, line, entry and key of one of its values."""
        document, spot = self._origin_of(path)
        tail = ".".join(str(part) for part in path)
        return ", ".join(filter(None, (document.where(spot), self.label(), tail)))

    def _origin_of(self, path: Path) -> Origin:
        for length in range(len(path), 0, -1):
            if path[:length] in self.overridden:
                document, base = self.overridden[path[:length]]
                return document, (*base, *path[length:])
        for own, origin in self.overridden.items():
            if path and own[: len(path)] == path:
                return origin
        document, start = self.origin
        return document, (*start, *path)


def entries_of(document: Document, problems: list[Problem]) -> Iterator[Entry]:
    """Give the entries of one file; a section nobody knows is a problem."""
    for section, rows in document.tables.items():
        if section not in SECTIONS:
            problems.append(
                Problem(
                    document.where((section,)),
                    f"unknown section {section}",
                    nearest(section, SECTIONS),
                )
            )
        elif not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            problems.append(
                Problem(
                    document.where((section,)),
                    f"{section} is not a list of entries",
                    f"Write [[{section}]] above each entry.",
                )
            )
        else:
            for at, row in enumerate(rows):
                yield Entry(section, row, (document, (section, at)))


def read_entry(entry: Entry, kinds: Mapping[str, str], problems: list[Problem]) -> dict[str, Any]:
    """Read every key of an entry; what is wrong is added to the problems.

    Returns
    -------
    dict
        Clean values by key, with ``kinds``, ``mark`` and ``marks`` (own marks by number).
    """

    def report(path: Path, what: str, remedy: str) -> None:
        problems.append(Problem(entry.where(path), what, remedy))

    section = SECTIONS[entry.section]
    clean: dict[str, Any] = {"marks": {}, "mark": ""}
    for key, value in entry.raw.items():
        if key in section.keys:
            clean[key] = section.keys[key].reader(value, (key,), report)
        elif key == "kinds" and entry.section != "kind":
            clean["kinds"] = _kinds(value, kinds, report)
        elif key == "mark" and section.marked:
            clean["mark"] = value if isinstance(value, str) else ""
            if not clean["mark"]:
                report((key,), "a mark is words in quotes", "")
        elif key.startswith("mark_") and section.marked:
            _own_mark(key, value, section, clean["marks"], report)
        else:
            report((key,), "unknown key", nearest(key, _allowed(section)))
    _missing(entry, section, clean, report)
    clean["marks"].update(entry.own_marks)
    return clean


def _missing(entry: Entry, section: Section, clean: dict[str, Any], report: Any) -> None:
    for key, spec in section.keys.items():
        if key not in entry.raw:
            clean[key] = spec.empty
            if spec.needed:
                report((key,), "is missing", "")
    if entry.section != "kind" and "kinds" not in entry.raw:
        clean["kinds"] = ()
        report(("kinds",), "is missing", "Say which kinds of machine it is for.")
    if section.marked and "mark" not in entry.raw:
        report(("mark",), "is missing", 'Say where the numbers come from: mark = "...".')


def _kinds(value: Any, kinds: Mapping[str, str], report: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not value:
        report(("kinds",), "expected a list of kinds", "")
        return ()
    for at, kind in enumerate(value):
        if not isinstance(kind, str) or kind not in kinds:
            report(("kinds", at), f"unknown kind {kind!r}", nearest(str(kind), kinds))
    return tuple(kind for kind in value if isinstance(kind, str) and kind in kinds)


def _own_mark(key: str, value: Any, section: Section, marks: dict[str, str], report: Any) -> None:
    name = key.removeprefix("mark_")
    numbers = [known for known, spec in section.keys.items() if spec.counts]
    head = next((known for known in numbers if name == known or name.startswith(known + "_")), None)
    if head is None:
        report((key,), "marks no number of this entry", nearest(name, numbers))
    elif not isinstance(value, str) or not value:
        report((key,), "a mark is words in quotes", "")
    else:
        marks[head if name == head else f"{head}.{name[len(head) + 1 :]}"] = value


def _allowed(section: Section) -> list[str]:
    return [*section.keys, "kinds", *(["mark"] if section.marked else [])]
