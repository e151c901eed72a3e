"""What a condition record would say otherwise today than the one that was given last."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.condition_file import differences
from retrue.cases.settle.condition_said import Otherwise, said_otherwise
from retrue.phases.settle.record import RecordStands


def since_given(stands: RecordStands) -> tuple[tuple[str, str, str], ...]:
    """What the record would say otherwise than the one that was given last.

    Parameters
    ----------
    stands : RecordStands

    Returns
    -------
    tuple of (str, str, str)
        Path, what it said, what it would say; without the day, the maker and the edition.
    """
    return tuple(differences(*_both(stands)))


def since_said(stands: RecordStands) -> tuple[Otherwise, ...]:
    """The same in words, each line of the record once.

    Parameters
    ----------
    stands : RecordStands

    Returns
    -------
    tuple of Otherwise
    """
    return said_otherwise(*_both(stands))


def _both(stands: RecordStands) -> tuple[dict[str, Any], dict[str, Any]]:
    """What was given last and what it would be today; nothing twice where none was given."""
    if not stands.given:
        return {}, {}
    old = json.loads(stands.given[-1].fact.content)
    new = deepcopy(dict(stands.as_given or {}))
    for told in (old, new):
        for key in ("made_on", "made_by", "edition"):
            told.pop(key, None)
        for one in told["pictures"]:
            one.pop("copy_sha256", None)
    return old, new


def superseded(stands: RecordStands) -> str:
    """Why the record that was given last does not stand any more; empty where it does.

    Parameters
    ----------
    stands : RecordStands
        As the machine was sold in that record.

    Returns
    -------
    str
    """
    if not stands.given:
        return ""
    if stands.blocked:
        return say("superseded: today it could not be given, {count} things are open",
                   count=len(stands.open))  # fmt: skip
    changes = len(since_said(stands))
    return (
        say("superseded: today it says {count} things otherwise", count=changes) if changes else ""
    )
