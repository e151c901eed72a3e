"""A machine done with: what was guessed against what was, line by line, as text and back."""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal, get_args

import msgspec

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say

SCHEMA = 1
Sort = Literal["fault", "money", "hours", "days", "bucket", "total"]
Stands = Literal[
    "inside", "above", "below", "nothing", "not_foreseen", "not_needed", "not_seen", "was", "not"
]  # fmt: skip
SORTS, STANDS = get_args(Sort), get_args(Stands)
MOST_ROWS = 2000
LARGEST = 1e9  # no figure of a shop is larger
TOKEN = re.compile(r"(?:[0-9a-f]{16})?")


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRow:
    """One line: what was guessed, what it was.

    Attributes
    ----------
    sort : str
        fault (a chance), money, hours or days of a line of the tables, bucket (money by where it
        went), total.
    line : str
        F15; F15:local, E11, J05; parts; money, hours, days.
    words : str
        For people; nothing personal stands in it.
    guessed : float or None
        A chance, or the even chance of a figure; None: nobody expected it.
    low, high : float or None
        One in ten lay below, one in ten above.
    base : float or None
        Of a fault: its share before anything was looked at.
    said : tuple of float or None
        Of a line: low, likely, high of the tables, nothing learned.
    was : float or None
        What it came to; of a fault 1 or 0; None: nobody saw, or nothing was spent.
    stands : str
        inside, above or below its range; nothing was spent; not_foreseen; not_needed; of a fault:
        was, not, not_seen.
    """

    sort: Sort
    line: str
    words: str
    guessed: float | None = None
    low: float | None = None
    high: float | None = None
    base: float | None = None
    said: tuple[float, float, float] | None = None
    was: float | None = None
    stands: Stands = "inside"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedCase:
    """One machine's rows, with what is needed to read them elsewhere and nothing that names it.

    Attributes
    ----------
    kind : str
        Type of machine.
    age_years : float or None
        To five years.
    level : str
        It was worked for.
    end : str
        keeps_working, sold, parted_out, scrapped.
    currency : str
        Of all money.
    year : int
        In which it was closed.
    brier, base_brier : float or None
        Mean squared miss of the chances of faults that were seen, guessed and bare; None: none was.
    token : str
        By which it is known again, however often it is closed and whatever is left out: 16
        hexadecimal digits that tell nothing else (see :func:`token_of`).
    """

    kind: str
    age_years: float | None
    level: str
    end: str
    currency: str
    year: int
    rows: tuple[ComparedRow, ...]
    brier: float | None = None
    base_brier: float | None = None
    token: str = ""


def token_of(machine: str) -> str:
    """What a closed machine is known by elsewhere.

    Parameters
    ----------
    machine : str
        Id of its first record: drawn by chance, so nobody can guess it from the token.

    Returns
    -------
    str
        16 hexadecimal digits.

    Examples
    --------
    >>> token_of("2e") == token_of("2e") != token_of("2f")
    True
    """
    return hashlib.sha256(f"closed machine {machine}".encode()).hexdigest()[:16]


def case_text(case: ClosedCase) -> str:
    """A closed case as canonical JSON.

    Parameters
    ----------
    case : ClosedCase

    Returns
    -------
    str
        One line; equal cases give equal text.

    Examples
    --------
    >>> text = case_text(ClosedCase(kind="turning_centre", age_years=20, level="right", end="sold",
    ...     currency="EUR", year=2026, rows=()))
    >>> read_case(text).kind
    'turning_centre'
    """
    held = asdict(case) | {"schema": SCHEMA}
    return json.dumps(
        held, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":")
    )


def read_case(text: str, where: str = "") -> ClosedCase:
    """Read a closed case; whatever does not fit is named.

    Parameters
    ----------
    text : str
        JSON.
    where : str
        What the refusals shall call it.

    Returns
    -------
    ClosedCase

    Raises
    ------
    Unreadable
        No JSON, another schema, a field that does not fit; all of them with row and field.

    Examples
    --------
    >>> try:
    ...     read_case("{}", "theirs.json")
    ... except Unreadable as refusal:
    ...     print(refusal.problems[0].where)
    theirs.json, schema
    """
    try:
        told = json.loads(text)
    except (ValueError, RecursionError) as wrong:
        raise Unreadable(
            say("{where} is not JSON: {told}", where=where or say("a closed case"), told=wrong),
            remedy=say("Ask for the file again, as the program wrote it."),
        ) from None
    return case_of(told, where)


def case_of(told: object, where: str = "") -> ClosedCase:
    """A closed case from decoded JSON; refusals as of :func:`read_case`.

    Parameters
    ----------
    told : object
        As ``json.loads`` gave it.
    where : str
        What the refusals shall call it.

    Returns
    -------
    ClosedCase

    Raises
    ------
    Unreadable
        A field that does not fit; all of them with row and field.

    Examples
    --------
    >>> case_of({"schema": 1, "kind": "turning_centre", "age_years": None, "level": "right",
    ...     "end": "sold", "currency": "EUR", "year": 2026, "rows": []}).end
    'sold'
    """
    if not isinstance(told, dict):
        told = {}
    problems = list(_case_problems(told))
    rows = told.get("rows")
    if isinstance(rows, list) and len(rows) <= MOST_ROWS:
        for place, row in enumerate(rows, start=1):
            for field, what in _row_problems(row):
                problems.append((say("row {number}, {field}", number=place, field=field), what))
    else:
        problems.append(("rows", say("is not a list of at most {most}", most=MOST_ROWS)))
    if problems:
        raise Unreadable(
            say("{where} does not fit: {what}", where=where or say("a closed case"),
                what=f"{problems[0][0]} {problems[0][1]}"),
            remedy=say("Nothing of it was taken. Ask for the file again."),
            problems=tuple(
                Problem(f"{where}, {field}" if where else field, what) for field, what in problems
            ),
        )  # fmt: skip
    return msgspec.convert({key: told[key] for key in told if key != "schema"}, ClosedCase)


def _case_problems(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    if told.get("schema") != SCHEMA:
        yield "schema", say("is {schema}, not {ours}", schema=told.get("schema"), ours=SCHEMA)
    known = {"schema", "kind", "age_years", "level", "end", "currency", "year", "rows", "brier"}
    for name in sorted(told.keys() - known - {"base_brier", "token"}):
        yield name, say("is not known")
    for name in ("kind", "level", "end", "currency"):
        if not _is_word(told.get(name)):
            yield name, say("is not a word")
    token = told.get("token", "")
    if not isinstance(token, str) or not TOKEN.fullmatch(token):
        yield "token", say("is not 16 hexadecimal digits")
    year = told.get("year")
    if not isinstance(year, int) or isinstance(year, bool) or not 1900 <= year <= 2999:
        yield "year", say("is not a year")
    for name in ("age_years", "brier", "base_brier"):
        if told.get(name) is not None and not _is_figure(told[name]):
            yield name, say("is not a number")


def _row_problems(row: object) -> Iterator[tuple[str, str]]:
    if not isinstance(row, dict):
        yield "", say("is not a row")
        return
    fields = set(ComparedRow.__slots__)
    for name in sorted(row.keys() - fields):
        yield name, say("is not known")
    if row.get("sort") not in SORTS:
        yield "sort", say("is not one of {named}", named=", ".join(SORTS))
    if row.get("stands", "inside") not in STANDS:
        yield "stands", say("is not one of {named}", named=", ".join(map(str, STANDS)))
    for name in ("line", "words"):
        if not isinstance(row.get(name), str):
            yield name, say("is not text")
    for name in ("guessed", "low", "high", "base", "was"):
        if row.get(name) is not None and not _is_figure(row[name]):
            yield name, say("is not a number")
    yield from _said_problems(row.get("said"))
    if row.get("sort") == "fault":
        for name in ("guessed", "base", "was"):
            if _is_figure(row.get(name)) and not 0 <= row[name] <= 1:
                yield name, say("is not a chance")


def _said_problems(said: object) -> Iterator[tuple[str, str]]:
    if said is None:
        return
    if not isinstance(said, list) or len(said) != 3 or not all(map(_is_figure, said)):
        yield "said", say("is not low, likely, high")
    elif not 0 <= said[0] <= said[1] <= said[2] or said[1] == 0:
        yield "said", say("does not rise")


def _is_word(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= 60


def _is_figure(value: object) -> bool:
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and math.isfinite(value)
        and abs(value) <= LARGEST
    )
