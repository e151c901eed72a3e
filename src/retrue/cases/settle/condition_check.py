"""Whether a condition record is as it was made, by itself alone; and where it was changed."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from retrue.base.refusals import Unreadable
from retrue.base.say import later, say
from retrue.cases.settle.condition_file import (
    FILE_SCHEMA,
    canonical,
    code_of_record,
    file_of,
    in_groups,
    record_of,
    sha256_of,
)

LARGEST = 60_000_000
_ATTACHED = re.compile(rb"/Type\s*/EmbeddedFile\b[^\n]*?>>\s*stream\r?\n", re.S)
_BEGINS, BEGINNING = b'"content": {', 100
_LENGTH = re.compile(rb"/Length (\d+)")
NOT_TRUE = later(
    "Whether what it says is true: a checksum shows no more than that it is unchanged."
)


Pages = Literal["", "same", "other", "not_checked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What checking a condition record came to.

    Attributes
    ----------
    what : str
        file or pdf.
    unchanged : bool
        Nothing that could be checked is changed.
    where : tuple of str
        What was changed, as near as it can be told.
    was : tuple of str
        What was checked, in sentences.
    was_not : tuple of str
        What was not, and why.
    pages : str
        Of a PDF: whether its printed pages are those that the record inside it gives (same,
        other), or could not be checked (not_checked); empty: it has none.
    machine, made_on, sold_as, sha256, code : str
        Of the record as it stands in the file; empty where it cannot be read.
    """

    what: Literal["file", "pdf"]
    unchanged: bool
    where: tuple[str, ...] = ()
    was: tuple[str, ...] = ()
    was_not: tuple[str, ...] = ()
    pages: Pages = ""
    machine: str = ""
    made_on: str = ""
    sold_as: str = ""
    sha256: str = ""
    code: str = ""


def headline(checked: Checked) -> str:
    """The answer to a check in one sentence, that promises no more than was checked.

    Parameters
    ----------
    checked : Checked

    Returns
    -------
    str

    Examples
    --------
    >>> headline(Checked(what="pdf", unchanged=True, pages="not_checked"))
    'The record inside the PDF is unchanged; its printed pages could not be checked.'
    """
    if not checked.unchanged:
        return say("It is not as it was made.")
    if checked.pages == "not_checked":
        return say(
            "The record inside the PDF is unchanged; its printed pages could not be checked."
        )
    return say("Unchanged since it was made, as far as it could be checked.")


def check_file(content: bytes) -> Checked:
    """Whether a file that was given away is as it was made, by itself alone.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    Checked
        With the parts that were changed; the part of a changed byte is found by its own checksum.

    Raises
    ------
    Unreadable
        It is no file of a condition record.
    """
    refuse_size(content)
    told = _read(content)
    if isinstance(told, Checked):
        return told
    where = [*_changed(told), *_no_record_inside(told)]
    made = _made(told)
    if not where and made != content:
        where.append(_first_other_line(content, made))
    inner = told["content"]
    sha = sha256_of(inner)
    return Checked(
        what="file",
        unchanged=not where,
        where=tuple(where),
        was=(
            say("Every part of the content against its checksum."),
            say("The whole content against its checksum, {sha}.", sha=_aloud(told)),
            say("{count} photographs against theirs.", count=len(told["pictures"])),
        ),
        was_not=(
            say("Whether the checksum is the one that was given: compare it with the paper."),
            NOT_TRUE,
        ),
        machine=str(inner.get("machine", "")),
        made_on=str(inner.get("made_on", "")),
        sold_as=str(inner.get("sold_as", "")),
        sha256=sha,
        code=code_of_record(sha),
    )


def _aloud(told: Mapping[str, Any]) -> str:
    return " ".join(in_groups(told["content_sha256"]))


def refuse_size(content: bytes) -> None:
    """Refuse an empty or a huge file.

    Parameters
    ----------
    content : bytes

    Raises
    ------
    Unreadable
    """
    if not content or len(content) > LARGEST:
        raise Unreadable(
            say("this file is empty or larger than {most} MB", most=LARGEST // 1_000_000),
            remedy=say("Choose the file of the record, or its PDF."),
        )


def _read(content: bytes) -> dict[str, Any] | Checked:
    try:
        told = json.loads(content.decode("utf-8"))
        canonical(told).encode()
    except RecursionError:
        raise _no_record() from None
    except (UnicodeDecodeError, json.JSONDecodeError) as wrong:
        if FILE_SCHEMA.encode() not in content and _BEGINS not in content[:BEGINNING]:
            raise _no_record() from None
        at = wrong.start if isinstance(wrong, UnicodeDecodeError) else wrong.pos
        line = content[:at].count(b"\n") + 1
        where = (say("line {line}: it cannot be read any more", line=line),)
        return Checked(what="file", unchanged=False, where=where, was_not=(NOT_TRUE,))
    except ValueError:  # digits without end, no number, half a letter: no record holds them
        where = (say("it holds a number or a letter that no record holds"),)
        return Checked(what="file", unchanged=False, where=where, was_not=(NOT_TRUE,))
    if not isinstance(told, dict) or not isinstance(told.get("content"), dict):
        raise _no_record()
    for key, empty in (("parts_sha256", {}), ("pictures", {}), ("content_sha256", "")):
        if not isinstance(told.get(key), type(empty)):
            told[key] = empty
    return told


def _no_record() -> Unreadable:
    return Unreadable(
        say("this is no condition record"),
        remedy=say("Choose the .json file of a record, or its PDF."),
    )


def _changed(told: Mapping[str, Any]) -> Iterator[str]:
    content, sums = told["content"], told["parts_sha256"]
    for key in sorted(content.keys() | sums.keys()):
        if key not in content:
            yield say("{part}: taken out", part=key)
        elif key not in sums:
            yield say("{part}: put in, or its checksum taken out", part=key)
        elif sha256_of(content[key]) != sums[key]:
            yield say("{part}: it does not fit its checksum", part=key)
    if sha256_of(content) != told["content_sha256"]:
        yield say("the whole content: it does not fit its checksum")
    yield from _changed_pictures(told)


def _no_record_inside(told: Mapping[str, Any]) -> Iterator[str]:
    """Whether the content is a record at all: nothing below grade 3 stands in it as a fact."""
    try:
        record_of(told["content"])
    except Unreadable as no:
        yield no.reason


def _changed_pictures(told: Mapping[str, Any]) -> Iterator[str]:
    listed = {one.get("copy_sha256"): at for at, one in enumerate(_pictures(told), start=1)}
    for key, text in told["pictures"].items():
        name = say("photograph {number}", number=listed.get(key, "?"))
        if key not in listed:
            yield say("{name}: it is not one of the record", name=name)
        elif hashlib.sha256(_bytes(text)).hexdigest() != key:
            yield say("{name}: it does not fit its checksum", name=name)
    for key, at in listed.items():
        if key and key not in told["pictures"]:
            yield say("photograph {number}: taken out", number=at)


def _pictures(told: Mapping[str, Any]) -> list[dict[str, Any]]:
    listed = told["content"].get("pictures", [])
    return [one for one in listed if isinstance(one, dict)] if isinstance(listed, list) else []


def _bytes(text: object) -> bytes:
    try:
        return base64.b64decode(str(text), validate=True)
    except (binascii.Error, ValueError):
        return b""


def pictures_of(content: bytes) -> dict[str, bytes]:
    """The copies of the photographs of a file, by their SHA-256; those that fit it.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    dict of str to bytes
    """
    told = _read(content)
    every = {} if isinstance(told, Checked) else told["pictures"]
    found = {key: _bytes(text) for key, text in every.items()}
    return {key: one for key, one in found.items() if hashlib.sha256(one).hexdigest() == key}


def _made(told: Mapping[str, Any]) -> bytes:
    pictures = {key: _bytes(text) for key, text in told["pictures"].items()}
    return file_of(told["content"], pictures)


def _first_other_line(content: bytes, made: bytes) -> str:
    lines, were = content.split(b"\n"), made.split(b"\n")
    if content.startswith(made):
        more = len(content) - len(made)
        return say("after its end, line {line}: {count} bytes were added", line=len(were),
                   count=more)  # fmt: skip
    if made.startswith(content):
        return say("line {line}: its end is cut off", line=len(lines))
    pairs = zip(lines, were, strict=False)
    line = next(at for at, (one, other) in enumerate(pairs, start=1) if one != other)
    return say("line {line}: written otherwise than it was made", line=line)


def attached(pdf: bytes) -> bytes | None:
    """The file that a printed record carries inside it.

    Parameters
    ----------
    pdf : bytes

    Returns
    -------
    bytes or None
        None where it carries none.

    References
    ----------
    ISO 32000-2:2020, 7.11.4 (embedded file streams), 7.4.4 (flate); from memory.

    Examples
    --------
    >>> attached(b"%PDF-2.0 1 0 obj<</Type/EmbeddedFile /Length 2>>\\nstream\\n{}\\nendstream")
    b'{}'
    """
    found = _ATTACHED.search(pdf)
    if found is None:
        return None
    head = pdf[pdf.rfind(b"obj", 0, found.start()) : found.end()]
    length = _LENGTH.search(head)
    raw = pdf[found.end() : found.end() + int(length[1])] if length else b""
    try:  # no more than a record can be: a small file may unpack to a huge one
        return zlib.decompressobj().decompress(raw, LARGEST) if b"FlateDecode" in head else raw
    except zlib.error:
        return b""
