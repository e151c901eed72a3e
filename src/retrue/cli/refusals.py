"""A refusal at the command door: its exit code and its lines."""

from __future__ import annotations

from dataclasses import asdict

from retrue.base.refusals import (
    NotAllowed,
    NotKept,
    NotYet,
    Overtaken,
    Refusal,
    TooHard,
    TooOften,
    Unknown,
    Unreadable,
    Unusable,
)
from retrue.cases.sheet_json import dumps

EXIT_CODES: dict[type[Refusal], int] = {
    Unreadable: 2,
    Unusable: 2,
    TooHard: 2,
    Unknown: 2,
    NotYet: 3,
    Overtaken: 2,
    NotAllowed: 2,
    TooOften: 2,
    NotKept: 1,
}


def lines(refusal: Refusal) -> list[str]:
    """Say a refusal: the reason, every bad field on a line of its own, the remedy last.

    Examples
    --------
    >>> lines(Unknown("there is no lot 'x'", remedy="retrue lot list names them."))
    ["there is no lot 'x'", 'retrue lot list names them.']
    """
    return [refusal.reason, *(str(problem) for problem in refusal.problems), refusal.remedy]


def as_object(refusal: Refusal) -> str:
    """A refusal for programs, in the manner of every other answer.

    Examples
    --------
    >>> print(as_object(Unknown("there is no lot 'x'", remedy="Look again.")))
    {
      "problems": [],
      "reason": "there is no lot 'x'",
      "refusal": "Unknown",
      "remedy": "Look again.",
      "schema": 1
    }
    """
    return dumps(
        {
            "problems": [asdict(problem) for problem in refusal.problems],
            "reason": refusal.reason,
            "refusal": type(refusal).__name__,
            "remedy": refusal.remedy,
            "schema": 1,
        }
    )
