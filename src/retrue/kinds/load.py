"""Read the kinds of machine: shipped tables, then learned numbers, then the owner's own."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from retrue.base.refusals import Problem, Unknown, Unreadable, Unusable
from retrue.base.say import english
from retrue.kinds.agree import disagreements
from retrue.kinds.assemble import assemble
from retrue.kinds.entries import Entry, entries_of
from retrue.kinds.library import Kind
from retrue.kinds.owner import lay_over
from retrue.kinds.readers import nearest
from retrue.kinds.remember import key_of, recall, remember
from retrue.kinds.shelves import shelve
from retrue.kinds.sources import Document, read_document

T = TypeVar("T")
Files = tuple[tuple[str, bytes], ...]

SURE = 1e-7  # nearest that a chance given as 0 or 1 comes to its end


def load(
    owner: Files = (),
    cache: Path | None = None,
    *,
    learned: Files = (),
    only: tuple[str, ...] = (),
) -> Mapping[str, Kind]:
    """Read, merge and check the kinds of machine.

    Parameters
    ----------
    owner : tuple of (name, bytes)
        Files with the owner's own numbers; they count before everything else.
    cache : Path or None
        A folder where the result may be kept; it may be emptied at any time.
    learned : tuple of (name, bytes)
        Files with numbers learned from outcomes; they count before the shipped ones.
    only : tuple of str
        Ids of the kinds wanted; empty for all. Everything is checked all the same.

    Returns
    -------
    mapping of str to Kind
        By kind id, in the order of the library.

    Raises
    ------
    Unreadable
        A file is empty, too large, not UTF-8 or not TOML.
    Unusable
        Some values cannot be used; every one is named with file, line and key.
    Unknown
        A kind asked for does not exist.

    Examples
    --------
    >>> kinds = load(only=("turning_centre",))
    >>> kinds["turning_centre"].faults["F12"].name
    'Headstock knocked out of line with Z (crash)'
    >>> own = (("own.toml", b'[[fault]]\\nid = "F12"\\nprior = 0.4\\n'),)
    >>> load(own, only=("turning_centre",))["turning_centre"].faults["F12"].prior
    0.4
    """
    return load_from(shipped(), owner=owner, cache=cache, learned=learned, only=only)


def shipped() -> Files:
    """Give the files of the library that came with the program."""
    folder = resources.files("retrue.kinds") / "data"
    found = {file.name: file.read_bytes() for file in folder.iterdir()}
    return tuple(sorted((name, found[name]) for name in found if name.endswith(".toml")))


def load_from(
    library: Files,
    *,
    owner: Files = (),
    cache: Path | None = None,
    learned: Files = (),
    only: tuple[str, ...] = (),
) -> Mapping[str, Kind]:
    """Do what :func:`load` does, with a library given as files."""
    if cache is None:
        return _read(library, learned, owner, only)
    pieces = [
        (f"{whose} {name}", content)
        for whose, files in (("shipped", library), ("learned", learned), ("owner", owner))
        for name, content in files
    ]
    key = key_of([("only", " ".join(sorted(only)).encode()), *pieces])
    kinds = recall(cache, key)
    if kinds is None:
        kinds = _read(library, learned, owner, only)
        remember(cache, key, kinds)
    return kinds


def one_of(kinds: Mapping[str, T], name: str) -> T:
    """Take one kind by its id, or say which there are.

    Raises
    ------
    Unknown
        With the nearest id.

    Examples
    --------
    >>> one_of({"turning_centre": 1}, "turning_centre")
    1
    """
    if name not in kinds:
        raise Unknown(f"there is no kind {name!r}", remedy=nearest(name, kinds))
    return kinds[name]


def _read(library: Files, learned: Files, owner: Files, only: tuple[str, ...]) -> dict[str, Kind]:
    problems: list[Problem] = []
    ours, taught, own = (_documents(files, problems) for files in (library, learned, owner))
    unread = len(problems)
    entries = [entry for document in ours for entry in entries_of(document, problems)]
    shares = _shares(entries)
    entries = lay_over(entries, taught, "learned from outcomes", problems)
    entries = lay_over(entries, own, "the owner's own number", problems)
    shelves = shelve(entries, problems)
    for kind in shelves.kinds:
        problems += disagreements(kind, shelves)
    _refuse(list(dict.fromkeys(problems)), unread)
    for name in only:
        one_of(shelves.kinds, name)
    return {
        name: _finished(assemble(row, shelves.rows[name]), shares)
        for name, row in shelves.kinds.items()
        if not only or name in only
    }


def _documents(files: Files, problems: list[Problem]) -> list[Document]:
    documents = []
    for name, content in files:
        found = read_document(name, content)
        if isinstance(found, Document):
            documents.append(found)
        else:
            problems.append(found)
    return documents


def _shares(entries: Sequence[Entry]) -> dict[str, float]:
    """Shares of the past lives as shipped: the base odds are solved with these, whatever is own."""
    found = {
        entry.name(): entry.raw.get("share") for entry in entries if entry.section == "history"
    }
    return {name: float(share) for name, share in found.items() if isinstance(share, int | float)}


def _refuse(problems: Sequence[Problem], unread: int) -> None:
    if not problems:
        return
    sort = Unreadable if len(problems) == unread else Unusable
    files = dict.fromkeys(problem.where.split(", line ")[0] for problem in problems)
    raise sort(
        f"{', '.join(files)} cannot be used as it stands",
        remedy="Mend what is named; nothing was changed.",
        problems=tuple(problems),
    )


def _finished(kind: Kind, shares: Mapping[str, float]) -> Kind:
    from retrue.belief.base_odds import solve_base  # dear to load; kinds read before are solved

    base = {
        fault.id: solve_base(
            min(max(fault.prior, SURE), 1 - SURE),
            list(fault.raisers.values()),
            [shares[history] for history in fault.raisers],
        )
        for fault in kind.faults.values()
    }
    return replace(kind, hash=content_hash(kind), base_log_odds=base)


def content_hash(kind: Kind) -> str:
    """Hash what a kind holds: same content, same hash, on any machine.

    Parameters
    ----------
    kind : Kind
        Its own hash and its solved base odds (which follow from the rest) are left out.

    Returns
    -------
    str
        SHA-256 of its canonical JSON, 64 hexadecimal digits.
    """
    held: dict[str, Any] = msgspec.to_builtins(kind, str_keys=True, enc_hook=english)
    for derived in ("hash", "base_log_odds"):
        held.pop(derived)
    text = json.dumps(held, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
