"""The condition record, its guards and a check as one flat object for programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.condition_check import (
    Checked,
)
from retrue.cases.settle.condition_file import (
    code_of_record,
    sha256_of,
)
from retrue.cases.settle.record_lines import GuardLine, OpenItem


def flat_record(
    content: Mapping[str, Any],
    left: Sequence[OpenItem],
    *,
    blocked: bool,
    given: str | None,
    files: Sequence[str],
    since: Sequence[tuple[str, str, str]],
) -> dict[str, Any]:
    """A condition record for programs.

    Parameters
    ----------
    content : mapping
        As ``content_of`` gives it.
    left : sequence of OpenItem
        Everything that is open.
    blocked : bool
        Whether that keeps it closed.
    given : str or None
        Id under which it was kept as given away.
    files : sequence of str
        Paths that were written.
    since : sequence of (str, str, str)
        What it says otherwise than the one given before.

    Returns
    -------
    dict
    """
    sha = sha256_of(content) if given else None
    told = say("it was not given away: --pdf or --file gives it")
    return {
        **content,
        "schema": "settle.record.1",
        "content_schema": content["schema"],
        "content_sha256": sha,
        "code": code_of_record(sha) if sha else None,
        "blocked": blocked,
        "open": [asdict(one) for one in left],
        "given": given,
        "files": list(files),
        "since_given": [{"path": path, "was": old, "is": new} for path, old, new in since],
        "why": {} if sha else dict.fromkeys(("given", "content_sha256", "code"), told),
    }


def flat_checked(checked: Checked) -> dict[str, Any]:
    """A check for programs.

    Parameters
    ----------
    checked : Checked

    Returns
    -------
    dict of str to Any

    Examples
    --------
    >>> flat_checked(Checked(what="file", unchanged=True))["schema"]
    'settle.check.1'
    """
    told = asdict(checked)
    return {**told, "schema": "settle.check.1", "why": {}}


def flat_guards(
    lot: str, machine: str, guards: Sequence[GuardLine], cautions: Sequence[str]
) -> dict[str, Any]:
    """Guards and interlocks for programs.

    Parameters
    ----------
    lot : str
    machine : str
    guards : sequence of GuardLine
    cautions : sequence of str

    Returns
    -------
    dict of str to Any
    """
    return {
        "lot": lot,
        "machine": machine,
        "cautions": list(cautions),
        "guards": [asdict(one) for one in guards],
        "open": sum(one.open for one in guards),
        "schema": "settle.guards.1",
        "why": {},
    }
