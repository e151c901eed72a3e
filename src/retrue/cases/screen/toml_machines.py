"""The tables of a catalogue in TOML in their order: lots, and the machines that belong to them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from retrue.kinds.lines import Path

MACHINES = ("machine", "machines")
"""Keys of a lot, and sections of a file, that hold machines as tables of their own."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table.

    Attributes
    ----------
    path : tuple
        To it in the file.
    values : mapping of str to object
        Without the machines in it.
    is_head : bool
        Whether machines follow that are its.
    joins : bool
        Whether it is a machine of the lot before.
    """

    path: Path
    values: Mapping[str, Any] = field(default_factory=dict)
    is_head: bool = False
    joins: bool = False


def tables_of(parsed: Mapping[str, Any]) -> tuple[Table, ...]:
    """Lots and machines, each lot before its own.

    Parameters
    ----------
    parsed : mapping
        A whole file: its ``lot`` and ``machine`` are lists of tables.

    Returns
    -------
    tuple of Table
        A machine that stands by itself belongs to the lot whose number it names, else it is one.

    Examples
    --------
    >>> parsed = {"lot": [{"number": 3, "machine": [{"title": "mill"}, {"title": "lathe"}]}],
    ...           "machine": [{"title": "saw"}, {"lot": 3, "title": "grinder"}]}
    >>> [(one.values.get("title"), one.joins) for one in tables_of(parsed)]
    [(None, False), ('mill', True), ('lathe', True), ('grinder', True), ('saw', False)]
    """
    free: list[tuple[Path, Mapping[str, Any]]] = [
        ((key, place), one) for key in MACHINES for place, one in enumerate(parsed.get(key, []))
    ]
    found: list[Table] = []
    for place, lot in enumerate(parsed.get("lot", [])):
        mine = list(_own(("lot", place), lot))
        named = [(path, one) for path, one in free if _same(one.get("lot"), lot.get("number"))]
        free = [pair for pair in free if pair not in named]
        mine += [Table(path, _numbered(one), joins=True) for path, one in named]
        bare = {key: value for key, value in lot.items() if not _are_tables(key, value)}
        found += [Table(("lot", place), bare, is_head=bool(mine)), *mine]
    return (*found, *_free(free))


def _own(path: Path, lot: Mapping[str, Any]) -> Iterator[Table]:
    for key in MACHINES:
        if _are_tables(key, lot.get(key)):
            for place, one in enumerate(lot[key]):
                yield Table((*path, key, place), one, joins=True)


def _are_tables(key: str, value: object) -> bool:
    return (
        key in MACHINES
        and isinstance(value, list)
        and bool(value)
        and all(isinstance(one, dict) for one in value)
    )


def _same(one: object, other: object) -> bool:
    return one is not None and other is not None and str(one) == str(other)


def _free(free: Sequence[tuple[Path, Mapping[str, Any]]]) -> Iterator[Table]:
    """Machines of no lot that stands there: those that name the same one are one."""
    done: list[Path] = []
    for path, one in free:
        if path in done:
            continue
        same = [(there, other) for there, other in free if _same(other.get("lot"), one.get("lot"))]
        for place, (there, other) in enumerate(same or [(path, one)]):
            done.append(there)
            yield Table(there, _numbered(other), joins=place > 0)


def _numbered(one: Mapping[str, Any]) -> dict[str, Any]:
    """With the lot that it names where lots have their number."""
    if "number" in one or "lot" not in one:
        return dict(one)
    return {"number" if key == "lot" else key: value for key, value in one.items()}
