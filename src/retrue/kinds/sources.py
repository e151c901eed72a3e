"""Bytes of a library file to its tables, or a problem that names file, line and byte."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from retrue.base.refusals import Problem
from retrue.kinds.lines import Path, line_map

LARGEST = 2_000_000  # bytes; the whole shipped library is a fifth of it
_AT = re.compile(r"^(.*) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)


@dataclass(frozen=True)
class Document:
    """One file that was read: its name, its text and its tables."""

    name: str
    text: str
    tables: Mapping[str, Any]

    @cached_property
    def lines(self) -> Mapping[Path, int]:
        """Where everything stands; worked out only when there is something to say."""
        return line_map(self.text)

    def where(self, path: Path) -> str:
        """Name the file and the nearest line that is known.

        Examples
        --------
        >>> Document("own.toml", "[[fault]]\\nprior = 2", {}).where(("fault", 0, "prior"))
        'own.toml, line 2'
        """
        for length in range(len(path), 0, -1):
            if path[:length] in self.lines:
                return f"{self.name}, line {self.lines[path[:length]]}"
        return self.name


def read_document(name: str, content: bytes) -> Document | Problem:
    """Read one file of a library.

    Parameters
    ----------
    name : str
        What to call it in messages.
    content : bytes
        The file as it is.

    Returns
    -------
    Document or Problem
        Its tables, or the one thing that kept it from being read.

    Examples
    --------
    >>> print(read_document("own.toml", b"prior = high\\n"))
    own.toml, line 1: this is not TOML: Invalid value. Mend the line, column 9.
    """
    if not content.strip():
        return Problem(name, "the file is empty", "Write at least one entry, or leave it out.")
    if len(content) > LARGEST:
        return Problem(
            name,
            f"the file is larger than the {LARGEST} bytes a library file may have",
            "Give the file with your own numbers, nothing else.",
        )
    text = _decoded(name, content)
    if isinstance(text, Problem):
        return text
    try:
        return Document(name, text, tomllib.loads(text))
    except RecursionError:
        return Problem(name, "its values are nested too deeply", "Keep to one value a line.")
    except ValueError as error:  # also an integer of thousands of digits
        return _not_toml(name, text, str(error))


def _decoded(name: str, content: bytes) -> str | Problem:
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        wrong = content[error.start]
        line = content[: error.start].count(b"\n") + 1
        return Problem(
            f"{name}, line {line}",
            f"byte {error.start + 1} (0x{wrong:02x}) is not UTF-8",
            "Save the file as UTF-8.",
        )


def _not_toml(name: str, text: str, message: str) -> Problem:
    found = _AT.match(message)
    if not found:
        return Problem(name, f"this is not TOML: {message}", "Mend the file.")
    if found[2]:
        line, remedy = found[2], f"Mend the line, column {found[3]}."
    else:
        line, remedy = (
            str(len(text.rstrip().split("\n"))),
            "Mend the line, or what stands above it.",
        )
    return Problem(f"{name}, line {line}", f"this is not TOML: {found[1]}", remedy)
