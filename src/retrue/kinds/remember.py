"""A library that was read before, kept in a folder that may be emptied at any time.

A kept file carries the hash of all it was made from in its name and the hash of its own content
at its front; where either differs it is not used.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from importlib import resources
from pathlib import Path

import msgspec

import retrue
from retrue.kinds.library import Kind

KEPT = 8  # files; older ones are removed


def key_of(pieces: Iterable[tuple[str, bytes]]) -> str:
    """Hash named pieces of content, and the code that reads them, into one key.

    Parameters
    ----------
    pieces : iterable of (name, bytes)

    Returns
    -------
    str
        64 hexadecimal digits.

    Examples
    --------
    >>> key_of([("a", b"1")]) == key_of([("a", b"1")]) != key_of([("a", b"2")])
    True
    """
    whole = hashlib.sha256(retrue.__version__.encode())
    for name, content in (*_readers(), *pieces):
        for part in (name.encode(), content):
            whole.update(len(part).to_bytes(8, "big"))
            whole.update(part)
    return whole.hexdigest()


def _readers() -> Iterator[tuple[str, bytes]]:
    """The code whose change would make something else of the same tables."""
    for room in ("retrue.kinds", "retrue.belief"):
        for file in sorted(resources.files(room).iterdir(), key=lambda file: file.name):
            if file.name.endswith(".py") and (room == "retrue.kinds" or "base_odds" in file.name):
                yield file.name, file.read_bytes()


def recall(folder: Path, key: str) -> dict[str, Kind] | None:
    """Give back what was kept under a key, or None."""
    try:
        kept = _file(folder, key).read_bytes()
    except OSError:
        return None
    if len(kept) < 32 or hashlib.sha256(kept[32:]).digest() != kept[:32]:
        return None
    try:
        return msgspec.msgpack.decode(kept[32:], type=dict[str, Kind])
    except (msgspec.MsgspecError, ValueError, TypeError):
        return None


def remember(folder: Path, key: str, kinds: Mapping[str, Kind]) -> None:
    """Keep kinds under a key; a folder that cannot be written is passed over."""
    content = msgspec.msgpack.encode(kinds)
    target = _file(folder, key)
    draft = target.with_suffix(f".{os.getpid()}.draft")
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        draft.write_bytes(hashlib.sha256(content).digest() + content)
        draft.replace(target)
        _tidy(folder)


def _tidy(folder: Path) -> None:
    kept = sorted(folder.glob("kinds-*.kept"), key=lambda file: file.stat().st_mtime)
    for old in kept[:-KEPT]:
        old.unlink(missing_ok=True)


def _file(folder: Path, key: str) -> Path:
    return folder / f"kinds-{key[:40]}.kept"
