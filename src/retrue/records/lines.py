"""A stored row as one line of JSON and back, and the hash over all of them: the same everywhere."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields
from typing import Any

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.records.chain import START, Row

NAMES = tuple(sorted(one.name for one in fields(Row)))
WHOLE_NUMBERS = frozenset({"schema", "seq"})
HOLD_FILES = ("file", "picture", "pictures", "receipt")
OF_A_FILE = frozenset({"file", "data_copy"})  # their ``sha256`` is that of a kept file
PAIRS = ("options", "values")  # as typed, by name: a file stands there by its hash
FILE, HELD = "file:", "held:"  # before such a hash; before the name of a field that was a file
_HASH = re.compile(r"[0-9a-f]{64}")


def line_of(row: Row) -> bytes:
    r"""Write a row as one line: sorted keys, the payload as the text it is, a line feed.

    Parameters
    ----------
    row : Row
        As it is stored.

    Returns
    -------
    bytes
        The same row gives the same bytes.

    Examples
    --------
    >>> row = Row(id="a", kind="note", schema=1, seq=1, noted_at="", observed_at="", by="me",
    ...           device="", replaces=None, payload="{}", previous=START)
    >>> line_of(row)[:38]
    b'{"by":"me","device":"","id":"a","kind"'
    """
    plain = {name: getattr(row, name) for name in NAMES}
    text = json.dumps(plain, ensure_ascii=False, separators=(",", ":"))
    return text.encode("utf-8", "surrogatepass") + b"\n"


def row_of(line: bytes) -> Row:
    """Read a line that `line_of` wrote.

    Parameters
    ----------
    line : bytes
        With its line feed.

    Returns
    -------
    Row

    Raises
    ------
    Unreadable
        It is not a line of that form, byte for byte.

    Examples
    --------
    >>> row = Row(id="a", kind="note", schema=1, seq=1, noted_at="", observed_at="", by="me",
    ...           device="", replaces=None, payload="{}", previous=START)
    >>> row_of(line_of(row)) == row
    True
    """
    try:
        plain = json.loads(line.decode("utf-8", "surrogatepass"))
    except (ValueError, RecursionError):
        raise _refuse_line() from None
    if not isinstance(plain, dict) or tuple(sorted(plain)) != NAMES or not _is_typed(plain):
        raise _refuse_line()
    row = Row(**plain)
    if line_of(row) != line:
        raise _refuse_line()
    return row


def _is_typed(plain: dict[str, Any]) -> bool:
    return all(
        type(value) is int
        if name in WHOLE_NUMBERS
        else isinstance(value, str) or (name == "replaces" and value is None)
        for name, value in plain.items()
    )


def _refuse_line() -> Unreadable:
    return Unreadable(
        say("a line is no record as this program writes them"),
        remedy=say("Take another backup; this one was changed after it was made."),
    )


@dataclass(slots=True)
class Tally:
    """What went by of a chain: how many, the last of them, and the hash over all lines.

    Attributes
    ----------
    count : int
        Records.
    last : str
        Hash of the last record; that of the start where there is none.
    until : str
        When the last one was noted; empty where there is none.
    """

    count: int = 0
    last: str = START
    until: str = ""
    _over: Any = field(default_factory=hashlib.sha256)

    def take(self, row: Row) -> bytes:
        """Count one row, and give its line.

        Parameters
        ----------
        row : Row
            The next one.

        Returns
        -------
        bytes
            As `line_of` writes it.
        """
        line = line_of(row)
        self._over.update(line)
        self.count, self.last, self.until = self.count + 1, row.sha256, row.noted_at
        return line

    def counted(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Let rows go by, counting them."""
        for row in rows:
            self.take(row)
            yield row

    @property
    def content(self) -> str:
        """SHA-256 in hex over all lines so far (FIPS 180-4): equal contents, equal hashes."""
        return str(self._over.hexdigest())


def files_named(row: Row) -> Iterator[str]:
    """The kept files that a row names, by their hashes.

    Parameters
    ----------
    row : Row
        As it is stored; a payload that cannot be read names none.

    Yields
    ------
    str
        SHA-256 in hex.

    Examples
    --------
    >>> told = '{"receipt":"' + "0" * 64 + '"}'
    >>> row = Row(id="a", kind="posting", schema=1, seq=1, noted_at="", observed_at="", by="me",
    ...           device="", replaces=None, payload=told, previous=START)
    >>> [name[:4] for name in files_named(row)]
    ['0000']
    """
    if _HASH.search(row.payload):
        yield from _named(row.kind, _read(row.payload))


def _read(text: object) -> Any:
    """What a JSON text says; nothing where it is none."""
    if not isinstance(text, str):
        return None
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _named(kind: str, plain: object) -> Iterator[str]:
    """The files that a fact names in fields of its own, and in those of a text inside it."""
    if not isinstance(plain, dict):
        return
    for name in (*HOLD_FILES, "sha256") if kind in OF_A_FILE else HOLD_FILES:
        told = plain.get(name)
        yield from _hashes(told if isinstance(told, list) else [told])
    for name in PAIRS:
        yield from _hashes(value.removeprefix(FILE) for _, value in _pairs(plain.get(name)))
    if kind == "record_given":
        content = _read(plain.get("content"))
        pictures = content.get("pictures") if isinstance(content, dict) else None
        for one in pictures if isinstance(pictures, list) else []:
            yield from _hashes([one.get("copy_sha256")] if isinstance(one, dict) else [])
    if kind == "set_aside":
        form = _pairs(plain.get("form"))
        yield from _hashes(value.partition("|")[0] for name, value in form if _is_held(name))
        kinds, wanted = plain.get("kinds"), plain.get("wanted")
        if isinstance(kinds, list) and isinstance(wanted, list):
            for inner, text in zip(kinds, wanted, strict=False):
                if inner != kind:  # nothing is set aside in itself
                    yield from _named(str(inner), _read(text))


def _is_held(name: str) -> bool:
    return name.startswith(HELD)


def _hashes(values: Iterable[object]) -> Iterator[str]:
    for one in values:
        if isinstance(one, str) and _HASH.fullmatch(one):
            yield one


def _pairs(told: object) -> list[tuple[str, str]]:
    """Names with their values, where that is what stands there."""
    every = told if isinstance(told, list) else []
    return [
        (one[0], one[1])
        for one in every
        if isinstance(one, list) and len(one) == 2 and all(isinstance(word, str) for word in one)
    ]
