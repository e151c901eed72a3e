"""Which column of a table is which: by the words of its heading, or as the owner said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NoReturn

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.headings import counter, roles_by_heading
from retrue.cases.known import nearest
from retrue.cases.settle.bring_sheet import Sheet, read_sheet
from retrue.cases.settle.bring_words import (
    BANK_ROLES,
    IN_WORDS,
    OUT_WORDS,
    PARTS_ROLES,
    ROLES,
    plain,
)

FileKind = Literal["bank", "parts"]
ROLES_OF: Mapping[FileKind, tuple[str, ...]] = {"bank": BANK_ROLES, "parts": PARTS_ROLES}
NOT_NEEDED = ("value_date", "balance", "whom_account")
ROLE_WORDS: Mapping[str, str] = {
    "date": "day",
    "value_date": "value date",
    "amount": "amount",
    "out": "money out",
    "in": "money in",
    "sign": "sign",
    "currency": "currency",
    "whom": "to or from whom",
    "what": "what for",
    "reference": "reference",
    "balance": "balance",
    "account": "own account",
    "whom_account": "account of the other side",
    "quantity": "how many",
    "unit_price": "price of one",
    "total": "total",
    "tax": "rate of tax",
    "machine": "machine",
}
"""A role in the words of a page."""

LOOKED_AT = 50  # cells that must look like their column
COUNTED = frozenset({"amount", "out", "in", "balance", "quantity", "unit_price", "total", "tax"})
_EVERY = frozenset(word for words in ROLES.values() for word in words)
DAYS = frozenset({"date", "value_date"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column and what it is read as.

    Attributes
    ----------
    at : int
        Its place, counted from 0.
    heading : str
        As written.
    role : str
        One of the roles of its kind of table; empty: it is not read.
    said : bool
        Whether the owner said so.
    """

    at: int
    heading: str
    role: str
    said: bool = False


@dataclass(frozen=True, slots=True)
class Columns:
    """Every column of a table.

    Attributes
    ----------
    kind : str
        bank, or parts.
    columns : tuple of Column
        In the order of the table.
    guessed : bool
        Whether the kind was guessed from the columns.
    """

    kind: FileKind
    columns: tuple[Column, ...]
    guessed: bool

    @property
    def at(self) -> Mapping[str, int]:
        """Place of each role."""
        return {one.role: one.at for one in self.columns if one.role}


def read_columns(
    content: bytes,
    name: str,
    *,
    own: Mapping[str, str],
    kind: FileKind | None,
    only: bool = False,
) -> tuple[Sheet, Columns]:
    """Read a table and find which of its columns is which.

    Parameters
    ----------
    content : bytes
        As for :func:`retrue.cases.settle.bring_sheet.read_sheet`.
    name : str
        For refusals.
    own : mapping of str to str
        Role to the heading of its column, as the owner said.
    kind : str or None
        bank, parts; None: by the columns that are there.
    only : bool
        No column is read but those the owner named.

    Returns
    -------
    Sheet
    Columns

    Raises
    ------
    Unreadable, Unusable
        It is no table, or a column it must have is not found; those that are there are named.

    Examples
    --------
    >>> _, found = read_columns(b"Datum;Bedrag;Naam\\n02/11/2026;-5;x\\n", "bank.csv", own={},
    ...     kind=None)
    >>> found.kind, dict(found.at)
    ('bank', {'date': 0, 'amount': 1, 'whom': 2})
    """
    wanted = {role: plain(heading) or heading for role, heading in own.items()}
    _known_roles(own, kind)
    sheet = read_sheet(content, name, counter(_EVERY, frozenset(wanted.values())))
    if kind is not None:
        found = Columns(kind, tuple(_columns(sheet, kind, own, only)), guessed=False)
    else:
        found = _guessed(sheet, own, only)
    _need(sheet, found)
    return sheet, found


def _known_roles(own: Mapping[str, str], kind: FileKind | None) -> None:
    allowed = ROLES_OF[kind] if kind else tuple(dict.fromkeys((*BANK_ROLES, *PARTS_ROLES)))
    for role in own:
        if role not in allowed:
            what = say("nothing is read from a column {role}", role=f"“{role}”")
            remedy = nearest(role, allowed) or say("It can be {named}.", named=", ".join(allowed))
            raise Unusable(what, remedy=remedy, problems=(Problem("column", what, remedy),))


def _roles_of(kind: FileKind) -> Mapping[str, Sequence[str]]:
    return {role: ROLES[role] for role in sorted(ROLES_OF[kind])}


def _columns(sheet: Sheet, kind: FileKind, own: Mapping[str, str], only: bool) -> Iterator[Column]:
    said = _said(sheet, own)
    headings = sheet.heading.cells
    bare = [plain(one) for one in headings]
    roles = roles_by_heading(
        bare, {} if only else _roles_of(kind), said, lambda at, role: _looks_like(sheet, at, role)
    )
    if "date" not in roles.values():  # a file with one day only
        roles = {at: "date" if role == "value_date" else role for at, role in roles.items()}
    for at, heading in enumerate(headings):
        if heading or at in roles:
            yield Column(at, heading, roles.get(at, ""), said=at in said)


def _said(sheet: Sheet, own: Mapping[str, str]) -> dict[int, str]:
    found: dict[int, str] = {}
    headings = [plain(one) or one for one in sheet.heading.cells]
    for role, heading in own.items():
        wanted = plain(heading) or heading
        if wanted not in headings:
            what = say("{name} has no column {heading}", name=sheet.name, heading=f"“{heading}”")
            named = ", ".join(one for one in sheet.heading.cells if one)
            remedy = say("There are: {named}.", named=named)
            raise Unusable(what, remedy=remedy, problems=(Problem("column", what, remedy),))
        found[headings.index(wanted)] = role
    return found


def _looks_like(sheet: Sheet, at: int, role: str) -> bool:
    """Whether most cells of a column can be what its heading says."""
    cells = [cell for row in sheet.rows if (cell := row.cell(at))][:LOOKED_AT]
    if role == "currency":
        return 2 * sum(len(cell) <= 3 and not any(map(str.isdigit, cell)) for cell in cells) >= len(
            cells
        )
    if role == "sign":
        words = OUT_WORDS | IN_WORDS
        return 2 * sum(cell.casefold().strip(".") in words for cell in cells) >= len(cells)
    if role in COUNTED or role in DAYS:
        return 2 * sum(any(map(str.isdigit, cell)) for cell in cells) >= len(cells)
    return True


def _guessed(sheet: Sheet, own: Mapping[str, str], only: bool) -> Columns:
    mine: dict[FileKind, dict[str, str]] = {
        kind: {role: heading for role, heading in own.items() if role in roles}
        for kind, roles in ROLES_OF.items()
    }
    bank = Columns("bank", tuple(_columns(sheet, "bank", mine["bank"], only)), guessed=True)
    parts = Columns("parts", tuple(_columns(sheet, "parts", mine["parts"], only)), guessed=True)
    is_list = {"quantity", "unit_price", "machine"} & parts.at.keys() and not _lacks(parts)
    is_bank = {"balance", "value_date", "out", "account", "whom_account"} & bank.at.keys()
    if is_list and not (is_bank and not _lacks(bank)):
        return parts
    return bank if not _lacks(bank) or _lacks(parts) else parts


def _lacks(found: Columns) -> list[str]:
    at = found.at
    if found.kind == "bank":
        amounts = {"amount", "out", "in"} & at.keys()
        return ([] if "date" in at else ["date"]) + ([] if amounts else ["amount"])
    priced = {"total", "unit_price"} & at.keys()
    return ([] if "what" in at else ["what"]) + ([] if priced else ["total"])


def _need(sheet: Sheet, found: Columns) -> None:
    lacks = _lacks(found)
    if lacks:
        _refuse(sheet, lacks)


def _refuse(sheet: Sheet, lacks: Sequence[str]) -> NoReturn:
    headings = [one for one in sheet.heading.cells if one]
    remedy = say(
        "Say which it is: --column {role}={heading}. There are: {named}.",
        role=lacks[0], heading=re.sub(r"\s+", " ", headings[0]), named=", ".join(headings),
    )  # fmt: skip
    raise Unusable(
        say("{name} has no column for {lacks}", name=sheet.name, lacks=", ".join(map(str, lacks))),
        remedy=remedy,
        problems=tuple(
            Problem(say("line {number}", number=sheet.heading.number),
                    say("no column is known as {role}", role=role), remedy)
            for role in lacks
        ),
    )  # fmt: skip
