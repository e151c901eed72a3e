"""On which line of a TOML file a value stands; the standard reader does not say."""

from __future__ import annotations

import re
from collections.abc import Mapping

Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z0-9_.\- ]+?)\s*\]\]?\s*(?:#.*)?$")
_VALUE = re.compile(r"^\s*(?:\"([^\"]*)\"|'([^']*)'|([A-Za-z0-9_.-]+))\s*=")
_QUOTED = re.compile(r"\"(?:\\.|[^\"\\])*\"|'[^']*'|#.*$")


def line_map(text: str) -> Mapping[Path, int]:
    r"""Find the line of every table, key and array row.

    Parameters
    ----------
    text : str
        A TOML file of the plain sort used here: headers, ``key = value``, and arrays that may
        run over several lines with one row a line.

    Returns
    -------
    mapping of path to int
        ``("fault", 2, "prior")`` is the key ``prior`` of the third ``[[fault]]``; lines from 1.

    Examples
    --------
    >>> lines = line_map('[[fault]]\nid = "F01"\n\n[fault.raisers]\nHH = 2\n')
    >>> lines[("fault", 0, "raisers", "HH")]
    5
    """
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    inside: Path | None = None
    depth = row = 0
    for number, line in enumerate(text.split("\n"), start=1):
        if inside is not None:
            if depth == 1 and line.strip()[:1] not in ("", "]", "#"):
                found[(*inside, row)] = number
                row += 1
            depth += _opened(line)
            inside = inside if depth > 0 else None
        elif header := _HEADER.match(line):
            table = _table(header[2], header[1] == "[[", counts)
            for path in (table, table[:-1]):
                found.setdefault(path, number)
        elif value := _VALUE.match(line):
            name = next(part for part in value.groups() if part is not None)
            path = (*table, *(name.split(".") if value[3] else (name,)))
            found.setdefault(path, number)
            depth, row = _opened(line[value.end() :]), 0
            inside = path if depth > 0 else None
    return found


def _table(name: str, many: bool, counts: dict[Path, int]) -> Path:
    path: Path = ()
    parts = [part.strip() for part in name.split(".")]
    for at, part in enumerate(parts):
        path = (*path, part)
        if many and at == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _opened(text: str) -> int:
    bare = _QUOTED.sub("", text)
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")
