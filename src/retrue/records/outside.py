"""What stands beside a fact: ids, names, moments; the same rules when it comes and when it is read.

A rule for what comes may be stricter than the one for what is kept: what was kept by an older rule
stays readable.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from retrue.base.refusals import Problem
from retrue.base.say import say

ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._:-]{0,63}")
LONGEST_NAME = 200  # characters of a person's or a device's name, when it comes


def coming(
    by: str, device: str, observed_at: datetime | None, id: str | None, replaces: str | None
) -> Iterator[Problem]:
    """What is wrong beside a fact that is to be kept.

    Parameters
    ----------
    by, device : str
        Who says it, on which device.
    observed_at : datetime or None
        The device's claim.
    id, replaces : str or None
        Its own id; that of what it corrects.

    Yields
    ------
    Problem
        By the name of the field.

    Examples
    --------
    >>> [one.where for one in coming("", "phone", None, "../x", None)]
    ['by', 'id']
    """
    yield from _names(by, device, str.isprintable)
    for name, text in (("by", by), ("device", device)):
        if len(text) > LONGEST_NAME:
            yield Problem(
                name,
                say("is longer than {most} characters", most=LONGEST_NAME),
                say("Type a shorter name."),
            )
    if observed_at is not None and observed_at.utcoffset() is None:
        yield _no_offset("observed_at")
    yield from _ids(id, replaces)


def standing(
    by: str, device: str, noted_at: str, observed_at: str, id: str, replaces: str | None
) -> Iterator[Problem]:
    """What is wrong beside a fact that is kept, as its row says it.

    Parameters
    ----------
    by, device, noted_at, observed_at, id : str
        Columns of the row.
    replaces : str or None
        Likewise.

    Yields
    ------
    Problem
        By the name of the column.

    Examples
    --------
    >>> noted = "2026-11-25T20:00:00.000000+00:00"
    >>> [one.where for one in standing("me", "", noted, "2026-11-25T20:00:00", "a", None)]
    ['observed_at']
    >>> list(standing("me", "", noted, noted, "a", None))
    []
    """
    yield from _names(by, device, _is_text)
    for name, text in (("noted_at", noted_at), ("observed_at", observed_at)):
        told = moment_of(text)
        if told is None:
            yield Problem(name, say("is {value}, which is not {what}", value=repr(text[:80]),
                                    what=say("a moment with its offset")))  # fmt: skip
        elif name == "noted_at" and told.utcoffset() != timedelta(0):
            yield Problem(name, say("is not in universal time"))
    yield from _ids(id, replaces)


def moment_of(text: str) -> datetime | None:
    """A moment as a row keeps it; None where it is none, or tells no offset.

    Examples
    --------
    >>> moment_of("yesterday") is moment_of("2026-11-25T20:00:00") is None
    True
    """
    try:
        told = datetime.fromisoformat(text)
    except ValueError:
        return None
    return told if told.utcoffset() is not None else None


def _names(by: str, device: str, is_text: Callable[[str], bool]) -> Iterator[Problem]:
    if not by.strip():
        yield Problem("by", say("is empty"), say("Say who notes this."))
    for name, text in (("by", by), ("device", device)):
        if not is_text(text):
            yield Problem(name, say("holds a character that is not text"), say("Type it again."))


def _is_text(text: str) -> bool:
    """Whether it could have been typed; a sign that is younger than this program could."""
    return all(sign.isprintable() or unicodedata.category(sign) == "Cn" for sign in text)


def _ids(id: str | None, replaces: str | None) -> Iterator[Problem]:
    for name, key in (("id", id), ("replaces", replaces)):
        if key is not None and not ID.fullmatch(key):
            yield Problem(name, say("is {key}", key=repr(key[:80])), say("Use a random UUID."))


def _no_offset(name: str) -> Problem:
    return Problem(name, say("has no offset"), say("Give it as 2026-11-25T20:00+01:00."))
