"""What a backup says of itself: how many records until when, which files, and the hashes of all."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import msgspec

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say

FORM = "retrue-backup/1"
MANIFEST, RECORDS, README, FILES = "manifest.json", "records.jsonl", "README.txt", "files/"
MOST_TOLD = 20  # problems named in one refusal
MARK = b"retrue-backup sha256:"
"""Begins the comment at the end of the file; the hash of every byte before it follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What stands in a backup.

    Attributes
    ----------
    form : str
        Of the file.
    version : str
        Of the program that wrote it.
    made_at : str
        Moment, with offset.
    records, files, file_bytes : int
        How many, and how large the kept files are together.
    until : str
        When the last record was noted; empty where there is none.
    last_sha256 : str
        Of the last record.
    content_sha256 : str
        Over the lines of all records.
    files_sha256 : str
        Over the names and sizes of all kept files.
    problems : tuple of (str, str)
        What the shop itself lacked when the backup was made: where, and what.
    whole_sha256 : str
        Over all that stands here.
    """

    form: str = FORM
    version: str
    made_at: str
    records: int
    files: int
    file_bytes: int
    until: str
    last_sha256: str
    content_sha256: str
    files_sha256: str
    problems: tuple[tuple[str, str], ...] = ()
    whole_sha256: str = ""

    def sealed(self) -> Inside:
        """The same, with the hash over itself."""
        plain = {**asdict(self), "whole_sha256": ""}
        over = hashlib.sha256(_written(plain)).hexdigest()
        return Inside(**{**plain, "problems": self.problems, "whole_sha256": over})

    def written(self) -> bytes:
        """As JSON, for the file."""
        return _written(asdict(self))


def _written(plain: Mapping[str, Any]) -> bytes:
    return (json.dumps(plain, sort_keys=True, ensure_ascii=False, indent=1) + "\n").encode(
        "utf-8", "surrogatepass"
    )


def inside_of(content: bytes) -> Inside:
    """Read what a backup says of itself.

    Raises
    ------
    Unreadable
        It is of a newer program, or not as it was written.
    """
    try:
        plain = msgspec.json.decode(content, type=dict[str, Any])
        if str(plain.get("form", "")).startswith("retrue-backup/") and plain["form"] != FORM:
            raise refuse_newer(str(plain["form"]))
        read = msgspec.convert(plain, Inside)
    except (msgspec.DecodeError, msgspec.ValidationError, UnicodeDecodeError, RecursionError):
        raise refuse_changed() from None
    if read.sealed() != read or read.written() != content:
        raise refuse_changed()
    return read


def refuse_newer(form: str) -> Unreadable:
    """The refusal for a backup of a program that is newer than this one."""
    return Unreadable(
        say("this backup was written by a newer version of this program ({form})", form=form),
        remedy=say("Update the program on this machine, then try again."),
    )


def refuse_changed(*problems: Problem) -> Unreadable:
    """The refusal for a backup that is not as it was made."""
    return Unreadable(
        say("this backup was changed or cut off after it was made"),
        remedy=say("Take another backup, or another copy of this one; nothing was changed here."),
        problems=problems,
    )


def refuse_unfit(problems: Sequence[Problem]) -> Unreadable:
    """The refusal for records that this program would never have kept as they stand."""
    first = problems[0]
    return Unreadable(
        say("this backup holds records as no shop keeps them: {where}: {what}",
            where=first.where, what=first.what),
        remedy=say("Take another backup, or another copy of this one; nothing was changed here."),
        problems=tuple(problems[:MOST_TOLD]),
    )  # fmt: skip


def files_hash(sizes: Mapping[str, int]) -> str:
    """One hash over the names and sizes of files.

    Parameters
    ----------
    sizes : mapping of str to int
        Bytes by SHA-256 in hex.

    Examples
    --------
    >>> files_hash({}) == hashlib.sha256(b"").hexdigest()
    True
    """
    over = hashlib.sha256()
    for name in sorted(sizes):
        over.update(f"{name} {sizes[name]}\n".encode())
    return over.hexdigest()
