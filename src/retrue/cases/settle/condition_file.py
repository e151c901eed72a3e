"""A condition record as a file to give away, with its checksums; and how two of them differ."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

import msgspec

from retrue.base.codes import code_of
from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.settle.record_lines import ConditionRecord
from retrue.cases.sheet_json import dumps

FILE_SCHEMA = "condition_record_file.1"
GROUP = 4  # signs that are read aloud at once
HOW_TO_CHECK = (
    "Each checksum is the SHA-256 of its part written as JSON: keys sorted, no blanks, UTF-8. "
    "content_sha256 is that of the whole content; it stands on the printed record. It shows that "
    "nothing was changed since it was made, not that it is true."
)


def canonical(value: object) -> str:
    """Plain values as JSON in the one form that is hashed.

    Parameters
    ----------
    value : object

    Returns
    -------
    str

    Examples
    --------
    >>> canonical({"b": [1.5, None], "a": "é"})
    '{"a":"é","b":[1.5,null]}'
    """
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def sha256_of(value: object) -> str:
    """The SHA-256 of a value's canonical JSON, 64 signs.

    Parameters
    ----------
    value : object

    Returns
    -------
    str

    References
    ----------
    FIPS 180-4. The canonical form is ours: keys sorted, no blanks, UTF-8.

    Examples
    --------
    >>> sha256_of({})[:12]  # of the two bytes {}
    '44136fa355b3'
    """
    return hashlib.sha256(canonical(value).encode()).hexdigest()


def content_of(record: ConditionRecord) -> dict[str, Any]:
    """A record as plain values, as they are hashed and given away.

    Parameters
    ----------
    record : ConditionRecord

    Returns
    -------
    dict of str to Any
    """
    plain: dict[str, Any] = json.loads(canonical(asdict(record)))
    return plain


def record_of(content: Mapping[str, Any]) -> ConditionRecord:
    """A record from plain values.

    Parameters
    ----------
    content : mapping of str to Any

    Returns
    -------
    ConditionRecord

    Raises
    ------
    Unreadable
        It is none, or it states as a fact what has no grade for it.
    """
    try:
        return msgspec.convert(dict(content), ConditionRecord)
    except (msgspec.ValidationError, ValueError) as wrong:
        raise Unreadable(
            say("this is no condition record: {why}", why=str(wrong)),
            remedy=say("Ask whoever gave it to you for another copy."),
        ) from None


def in_groups(sha256: str) -> tuple[str, ...]:
    """A checksum in groups that can be read aloud.

    Parameters
    ----------
    sha256 : str

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> in_groups("44136fa355b3")
    ('4413', '6fa3', '55b3')
    """
    return tuple(sha256[at : at + GROUP] for at in range(0, len(sha256), GROUP))


def file_of(content: Mapping[str, Any], pictures: Mapping[str, bytes]) -> bytes:
    """The file to give away: the content, its checksums, the copies of the photographs.

    Parameters
    ----------
    content : mapping
        As ``content_of`` gives it.
    pictures : mapping of str to bytes
        Copies without metadata by their SHA-256.

    Returns
    -------
    bytes
        JSON; the same every time.
    """
    told = {
        "schema": FILE_SCHEMA,
        "how_to_check": HOW_TO_CHECK,
        "content": content,
        "content_sha256": sha256_of(content),
        "parts_sha256": {key: sha256_of(value) for key, value in content.items()},
        "pictures": {key: base64.b64encode(one).decode() for key, one in pictures.items()},
    }
    return (dumps(told) + "\n").encode()


def code_of_record(sha256: str) -> str:
    """The eight signs under which a record is found again.

    Parameters
    ----------
    sha256 : str

    Returns
    -------
    str

    Examples
    --------
    >>> len(code_of_record("0" * 64))
    9
    """
    return code_of("condition record", sha256)


def differences(old: object, new: object, path: str = "") -> Iterator[tuple[str, str, str]]:
    """Where two contents differ: path, what stood there, what stands there now.

    Parameters
    ----------
    old : object
    new : object
    path : str

    Yields
    ------
    tuple[str, str, str]

    Examples
    --------
    >>> list(differences({"a": [1, {"b": "x"}]}, {"a": [1, {"b": "y"}, 2]}))
    [('a.2.b', 'x', 'y'), ('a.3', '', '2')]
    """
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted(old.keys() | new.keys()):
            inner = f"{path}.{key}" if path else str(key)
            yield from differences(old.get(key), new.get(key), inner)
    elif isinstance(old, list) and isinstance(new, list):
        for at in range(max(len(old), len(new))):
            one = old[at] if at < len(old) else None
            other = new[at] if at < len(new) else None
            yield from differences(one, other, f"{path}.{at + 1}")
    elif old != new:
        yield path, _plain(old), _plain(new)


def _plain(value: object) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else canonical(value)
