"""Closed machines as a file without names: to give away, and to take in."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow, case_of, case_text
from retrue.kinds.library import Kind

SCHEMA = 1
FORM = "closed machines"
DIGITS = 3  # of a figure that leaves the shop
MOST_CASES = 500
BIGGEST_BYTES = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """A file of others as it was read.

    Attributes
    ----------
    content : str
        Canonical JSON of the cases that are new here.
    cases : tuple of ClosedCase
        New here.
    known : int
        Those that are one's own, or were taken in before.
    strange : tuple of str
        Types of machine that this library does not have: kept, and silent.
    """

    content: str
    cases: tuple[ClosedCase, ...]
    known: int
    strange: tuple[str, ...]


def shared_text(cases: Sequence[ClosedCase], without: Collection[str] = ()) -> str:
    """Closed machines as the text that leaves the shop: exactly this, and nothing else.

    Parameters
    ----------
    cases : sequence of ClosedCase
    without : collection of str
        Sorts of row (money, hours, days, fault, bucket, total) or lines (price) left out.

    Returns
    -------
    str
        JSON with sorted keys, one row on a line, so that it can be read before it is given away.
        Figures have three digits; cases stand in the order of their text, not of their days.

    Examples
    --------
    >>> case = ClosedCase(kind="turning_centre", age_years=20, level="right", end="sold",
    ...     currency="EUR", year=2026, rows=(ComparedRow(sort="bucket", line="parts",
    ...     words="parts", was=1234.5),))
    >>> "1230" in shared_text([case]), "parts" in shared_text([case], {"parts"})
    (True, False)
    """
    texts = sorted(case_text(_bare(case, without)) for case in cases)
    told = {"cases": [json.loads(text) for text in texts], "form": FORM, "schema": SCHEMA}
    return json.dumps(told, sort_keys=True, ensure_ascii=False, indent=1) + "\n"


def read_shared(
    content: bytes, name: str, known: Collection[str], kinds: Mapping[str, Kind]
) -> TakenIn:
    """Read what others gave; nothing of a file that does not fit is taken.

    Parameters
    ----------
    content : bytes
    name : str
        As the refusals shall call it.
    known : collection of str
        Prints (see :func:`print_of`) of cases that are here.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    TakenIn

    Raises
    ------
    Unreadable
        No such file, another form, or a case that does not fit: named with case, row and field.
    """
    told = _parsed(content, name)
    if told.get("form") != FORM or told.get("schema") != SCHEMA:
        raise Unreadable(
            say("{name} is no file of closed machines", name=name),
            remedy=say("It is made by: retrue settle share"),
        )
    listed = told.get("cases")
    if not isinstance(listed, list) or len(listed) > MOST_CASES:
        what = say("is not a list of at most {most}", most=MOST_CASES)
        raise Unreadable(
            say("{name}: cases {what}", name=name, what=what),
            remedy=say("Ask for the file again."),
            problems=(Problem("cases", what),),
        )
    where = say("{name}, case", name=name)
    cases = [case_of(one, f"{where} {place}") for place, one in enumerate(listed, start=1)]
    new: dict[str, ClosedCase] = {}
    for case in cases:
        if print_of(case) not in known:
            new.setdefault(print_of(case), case)
    texts = [json.loads(case_text(one)) for one in new.values()]
    return TakenIn(
        content=json.dumps(
            {"cases": texts}, sort_keys=True, ensure_ascii=False, separators=(",", ":")
        ),
        cases=tuple(new.values()),
        known=len(cases) - len(new),
        strange=tuple(sorted({one.kind for one in new.values()} - kinds.keys())),
    )


def print_of(case: ClosedCase) -> str:
    """What a case is known by, whether it was given away or not.

    Parameters
    ----------
    case : ClosedCase

    Returns
    -------
    str
        Its token; of a case without one the SHA-256 of what would leave the shop of it.

    Examples
    --------
    >>> print_of(ClosedCase(kind="turning_centre", age_years=20, level="right", end="sold",
    ...     currency="EUR", year=2026, rows=(), token="0123456789abcdef"))
    '0123456789abcdef'
    """
    return case.token or hashlib.sha256(case_text(_bare(case, ())).encode()).hexdigest()


def _parsed(content: bytes, name: str) -> dict[str, object]:
    if len(content) > BIGGEST_BYTES:
        raise Unreadable(
            say("{name} has {count} bytes, too many", name=name, count=len(content)),
            remedy=say("A file of closed machines is text of a few pages."),
        )
    try:
        told = json.loads(content.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError) as wrong:
        raise Unreadable(
            say("{name} is not JSON in UTF-8: {told}", name=name, told=wrong),
            remedy=say("Ask for the file again, as the program wrote it."),
        ) from None
    return told if isinstance(told, dict) else {}


def _bare(case: ClosedCase, without: Collection[str]) -> ClosedCase:
    left = set(without)
    rows = tuple(
        _rounded(row) for row in case.rows if row.sort not in left and row.line not in left
    )
    return replace(case, rows=rows, brier=_short(case.brier), base_brier=_short(case.base_brier))


def _rounded(row: ComparedRow) -> ComparedRow:
    return replace(
        row,
        guessed=_short(row.guessed),
        low=_short(row.low),
        high=_short(row.high),
        base=_short(row.base),
        was=_short(row.was),
    )


def _short(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.{DIGITS}g}")
