"""A condition record as a file to give away, with its checksums; and how two of them differ."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from difflib import SequenceMatcher
from itertools import zip_longest
from typing import Any

import msgspec

from retrue.base.codes import code_of
from retrue.base.refusals import Unreadable
from retrue.base.say import say, spelled
from retrue.cases.settle.record_lines import ConditionRecord
from retrue.cases.sheet_json import dumps

FILE_SCHEMA = "condition_record_file.1"
NAMES = ("id", "name", "title", "place", "what")  # by which an item of a list is known again
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
    """A record as plain values in the reader's language, as they are hashed and given away.

    Parameters
    ----------
    record : ConditionRecord

    Returns
    -------
    dict of str to Any
    """
    plain: dict[str, Any] = json.loads(canonical(spelled(asdict(record))))
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
        yield from _in_lists(old, new, path)
    elif old != new:
        yield path, _plain(old), _plain(new)


def _in_lists(old: list[Any], new: list[Any], path: str) -> Iterator[tuple[str, str, str]]:
    """What lists hold otherwise: one line put in is one difference, whatever came after it."""
    same = SequenceMatcher(None, [canonical(one) for one in old], [canonical(one) for one in new],
                           autojunk=False)  # fmt: skip
    for tag, at, until, to, end in same.get_opcodes():
        if tag == "equal":
            continue
        for one, other in _paired(list(range(at, until)), list(range(to, end)), old, new):
            place = other if other is not None else one
            assert place is not None
            yield from differences(
                None if one is None else old[one],
                None if other is None else new[other],
                f"{path}.{place + 1}",
            )


def _paired(
    gone: list[int], come: list[int], old: list[Any], new: list[Any]
) -> Iterator[tuple[int | None, int | None]]:
    """Places that speak of the same thing; those that stand alone."""
    alike: list[tuple[int | None, int | None]] = []
    for one in list(gone):
        mine = next((to for to in come if _name(old[one]) and _name(new[to]) == _name(old[one])),
                    None)  # fmt: skip
        if mine is not None:
            alike.append((one, mine))
            gone.remove(one)
            come.remove(mine)
    named = any(_name(old[one]) for one in gone) and any(_name(new[one]) for one in come)
    if len(gone) == len(come) or not named:
        alike += zip_longest(gone, come)
    else:
        alike += [(one, None) for one in gone] + [(None, one) for one in come]
    yield from sorted(alike, key=lambda pair: pair[1] if pair[1] is not None else pair[0] or 0)


def _name(item: object) -> str:
    """What an item of a list is about."""
    if not isinstance(item, dict):
        return ""
    return next((str(item[key]) for key in NAMES if item.get(key)), "")


def _plain(value: object) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else canonical(value)
