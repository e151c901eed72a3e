"""A table of lines read without a shop: every row a line, every bad row named. Pure."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from retrue.base.currencies import known_code
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.happening import Line
from retrue.cases.settle.book_table import COLUMNS, NAMED, TOLD
from retrue.cases.settle.kept import BookKept, LotHere, MachineHere
from retrue.cases.settle.posting_rules import grounds, posting_problems
from retrue.records.checking import problems_of
from retrue.records.facts import Shop
from retrue.records.settling import Posting
from retrue.records.shop import Record

NEEDED = ("posted_on", "sort", "what", "amount")
DECIMALS = ("amount", "rate", "tax_rate", "into_amount")
YES_NO = {"": None, "yes": True, "no": False, "true": True, "false": False}
MOST_ROWS = 100_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BookFile:
    """What a table of lines holds.

    Attributes
    ----------
    kept : BookKept
        Lots and machines by their names.
    left_out : int
        Rows that were only expected when the table was written.
    """

    kept: BookKept
    left_out: int = 0


def read_book(content: bytes, name: str, *, currency: str, on: date) -> BookFile:
    """Read a table of lines, with the columns that the book writes.

    Parameters
    ----------
    content : bytes
        UTF-8; a comma or a semicolon between columns.
    name : str
        Of the file, for refusals.
    currency : str
        The shop's.
    on : date
        Nothing was paid on a later day.

    Returns
    -------
    BookFile

    Raises
    ------
    Unreadable
        It is no table, a column is missing or none of ours.
    Unusable
        Rows that cannot be, each named by its line, and what is wrong with which column.

    Examples
    --------
    >>> table = b"posted_on,sort,what,amount,machine\\n2026-11-25,bought,belts,\\"12,50\\",mill\\n"
    >>> read = read_book(table, "lines.csv", currency="EUR", on=date(2026, 11, 26))
    >>> [str(line.newest.fact.amount) for line in read.kept.postings]
    ['12.50']
    """
    rows = list(_rows(content, name))
    left_out = sum(row.get("state") == "expected" for _, row in rows)
    wrong: list[Problem] = []
    lines: list[tuple[int, Line]] = []
    for at, (number_of_line, row) in enumerate(rows):
        if row.get("state") == "expected":
            continue
        try:
            fact = _fact(row, currency)
        except Unusable as refusal:
            wrong += _at(number_of_line, refusal.problems)
            continue
        record = _record(row.get("id") or f"row {number_of_line}", len(rows) - at, fact)
        lines.append((number_of_line, Line(record, record)))
    kept = _kept([line for _, line in lines], currency)
    wrong += _twice(lines)
    wrong += _doubts(lines, kept, on)
    if wrong:
        raise Unusable(
            say("{name} cannot be used: {first}", name=name, first=wrong[0]),
            remedy=say("Mend the rows that are named and read it again."),
            problems=tuple(wrong),
        )
    return BookFile(kept=kept, left_out=left_out)


def _kept(lines: list[Line], currency: str) -> BookKept:
    """Lots and machines are known by the names they go by in the table."""
    lots: dict[str, LotHere] = {}
    machines: dict[str, MachineHere] = {}
    for line in lines:
        fact: Posting = line.newest.fact
        if fact.lot is not None:
            lots[fact.lot] = LotHere(id=fact.lot, name=fact.lot, currency=currency)
        for key in (fact.machine, fact.from_machine, *fact.shared_by):
            if key is not None and (key not in machines or not machines[key].lot):
                machines[key] = MachineHere(key=key, name=key, lot=fact.lot or "")
    ordered = tuple(sorted(lines, key=lambda line: line.first.seq))
    return BookKept(shop=Shop(currency=currency), lots=lots, machines=machines, postings=ordered)


def _doubts(lines: list[tuple[int, Line]], kept: BookKept, on: date) -> Iterator[Problem]:
    about = grounds(kept)
    for at, line in lines:
        fact: Posting = line.newest.fact
        found = list(problems_of(fact))
        if not found:
            found = [
                one
                for one in posting_problems(fact, about, today=on, instead=line.first.id)
                if one.where != "rate"  # a missing rate is told with the book, not refused
            ]
        if fact.of is not None and fact.of not in about.by_id:
            found.append(Problem("of", say("is no row of this table"), say("Name its id.")))
        yield from _at(at, tuple(found))


def _twice(lines: list[tuple[int, Line]]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for at, line in lines:
        first = seen.setdefault(line.first.id, at)
        if first != at:
            what = say("stands on line {first} too", first=first)
            yield from _at(at, (Problem("id", what, say("Give each row its own.")),))


def _at(line: int, problems: tuple[Problem, ...]) -> list[Problem]:
    return [
        Problem(say("line {line}", line=line), f"{one.where} {one.what}".strip(), one.remedy)
        for one in problems
    ]


def _fact(row: Mapping[str, str], currency: str) -> Posting:
    wrong: list[Problem] = []
    said: dict[str, Any] = {}
    for name in _PLAIN:
        if row.get(name):
            said[name] = row[name]
    for name, read in _READ.items():
        if row.get(name):
            try:
                said[name] = read(row[name], name)
            except Unusable as refusal:
                wrong += refusal.problems
    wrong += [Problem(name, say("is empty"), say("Fill it in.")) for name in NEEDED
              if not row.get(name)]  # fmt: skip
    if wrong:
        raise Unusable(say("a row cannot be read"), remedy=say("Mend it."), problems=tuple(wrong))
    return Posting(**{"currency": currency} | said)


def _code(text: str, name: str) -> str:
    return known_code(text, field=name)


def _decimal(text: str, name: str) -> Decimal:
    return number(text, field=name)


def _float(text: str, name: str) -> float:
    return float(number(text, field=name))


def _yes_no(text: str, name: str) -> bool | None:
    word = text.lower()
    if word not in YES_NO:
        what = say("is {value}", value=repr(text))
        remedy = say("Write yes or no.")
        raise Unusable(what, remedy=remedy, problems=(Problem(name, what, remedy),))
    return YES_NO[word]


def _names(text: str, _: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in text.split(";") if one.strip())


def _weights(text: str, name: str) -> tuple[Decimal, ...]:
    return tuple(number(one, field=name) for one in _names(text, name))


_READ: Mapping[str, Callable[[str, str], Any]] = {
    **dict.fromkeys(DECIMALS, _decimal),
    "currency": _code,
    "into_currency": _code,
    "units": _float,
    "tax_in": _yes_no,
    "tax_reclaimable": _yes_no,
    "shared_by": _names,
    "weights": _weights,
}
_PLAIN = tuple(
    one.name for one in fields(Posting) if one.name in COLUMNS and one.name not in (*TOLD, *_READ)
)
assert set(NAMED) <= set(_PLAIN)


def _record(id: str, seq: int, fact: Posting) -> Record[Posting]:
    return Record(
        id=id, kind=fact.KIND, schema=fact.SCHEMA, seq=seq, noted_at=_EPOCH, observed_at=_EPOCH,
        by="", device="", replaces=None, fact=fact, sha256="", previous="",
    )  # fmt: skip


def _rows(content: bytes, name: str) -> Iterator[tuple[int, dict[str, str]]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(
            say("{name} is not UTF-8 text", name=name),
            remedy=say("Save it as CSV with UTF-8 and read it again."),
        ) from None
    first = text.partition("\n")[0]
    reader = csv.DictReader(
        (f"{line}\n" for line in text.split("\n")),
        delimiter=";" if first.count(";") > first.count(",") else ",",
    )
    _refuse_columns(name, reader.fieldnames or ())
    try:
        for at, row in enumerate(reader):
            if at >= MOST_ROWS:
                raise Unreadable(
                    say("{name} has more than {most} rows", name=name, most=MOST_ROWS),
                    remedy=say("Read it in parts."),
                )
            cells = {key: value.strip() for key, value in row.items()
                     if isinstance(key, str) and isinstance(value, str)}  # fmt: skip
            if any(cells.values()):
                yield reader.line_num, cells
    except csv.Error as wrong:
        raise Unreadable(
            say("{name} is no table: {why}", name=name, why=wrong),
            remedy=say("Save it again as CSV."),
        ) from None


def _refuse_columns(name: str, columns: Any) -> None:
    missing = [one for one in NEEDED if one not in columns]
    strange = [one for one in columns if one not in COLUMNS]
    if not missing and not strange:
        return
    problems = [Problem(one, say("is missing")) for one in missing]
    problems += [Problem(one or "-", say("is none of the book's columns")) for one in strange]
    raise Unreadable(
        say("{name} is no book: {first}", name=name, first=problems[0]),
        remedy=say("Its columns are {columns}.", columns=", ".join(COLUMNS)),
        problems=tuple(problems),
    )
