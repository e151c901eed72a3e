"""Which column of a catalogue is which: by the words of its heading, or as the owner said."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NoReturn

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.headings import EXACT, counter, match, roles_by_heading
from retrue.cases.known import nearest
from retrue.cases.screen.heading_short import full_heading
from retrue.cases.screen.heading_two import EVERY, IN_FULL, lower_of, pair_of
from retrue.cases.screen.heading_words import COUNTED, MONEY, ROLE_WORDS, ROLES, SIZES
from retrue.cases.screen.kinds_told import tells_anything
from retrue.cases.screen.listing import ListedColumn
from retrue.cases.screen.money_words import CURRENCY_WORDS
from retrue.cases.screen.sale_spoken import shares_in
from retrue.cases.settle.bring_sheet import Sheet, SheetWords, read_sheet
from retrue.cases.settle.bring_words import plain

HEADING_WITHIN = 40  # lines
LOOKED_AT = 50  # cells that must look like their column
LONGEST_NUMBER = 16  # characters of a lot's number
NAMES = ("title", "kind", "text", "model")  # one of them says what a line is
MANY_SIZES = re.compile(r"[0-9]\s*(?:mm|cm|m)?\s*[xX×*/]\s*[0-9]|[xX]\W*[0-9].*[yYzZ]\W*[0-9]")
TWO_PRICES = frozenset({*MONEY, "estimate"})  # may stand in two columns, the lower and the higher
ONCE = frozenset({*MONEY, *SIZES, "year", "age", "count", "premium", "tax"})


@dataclass(frozen=True, slots=True)
class Columns:
    """Every column of a catalogue.

    Attributes
    ----------
    columns : tuple of ListedColumn
        In the order of the table.
    beside : mapping of int to str
        Columns that another of the same role stands before, and its heading.
    lower : mapping of int to int
        Columns that hold the lower of two prices, and which holds the higher.
    """

    columns: tuple[ListedColumn, ...]
    beside: Mapping[int, str]
    lower: Mapping[int, int] = field(default_factory=dict)

    @property
    def at(self) -> Mapping[str, int]:
        """Place of the first column of each role."""
        found: dict[str, int] = {}
        for one in self.columns:
            if one.role:
                found.setdefault(one.role, one.at)
        return found


def sheet_of(content: bytes, name: str, own: Mapping[str, str]) -> Sheet:
    """Read a catalogue as a table.

    Parameters
    ----------
    content : bytes
        As for :func:`retrue.cases.settle.bring_sheet.read_sheet`.
    name : str
        For refusals.
    own : mapping of str to str
        Role to the heading of its column, as the owner said.

    Returns
    -------
    Sheet

    Raises
    ------
    Unreadable, Unusable
        It is no table, or nothing is read from a role that the owner named.
    """
    _refuse_unknown(own)
    wanted = frozenset(plain(_unnumbered(heading)) or heading for heading in own.values())
    try:
        return read_sheet(content, name, _counter(wanted), CATALOGUE)
    except Unusable as refusal:
        sheet = read_sheet(content, name, len, CATALOGUE)
        lines = (*sheet.above, sheet.heading, *sheet.rows)
        at = pair_of(lines[:HEADING_WITHIN])
        if at is not None and at + 2 < len(lines):
            return replace(
                sheet, above=lines[: at + 1], heading=lines[at + 1], rows=lines[at + 2 :]
            )
        _refuse_one_column(sheet, refusal)
        raise


def _counter(wanted: frozenset[str]) -> Callable[[Sequence[str]], int]:
    """What counts the cells that name a column; "VAT 21 %" names none, it speaks of the sale."""
    count = counter(EVERY, wanted)

    def known(cells: Sequence[str]) -> int:
        behind = (*cells[1:], "")
        return count(
            [
                "" if ("%" in one and shares_in(one).heard) or _BARE_SHARE.fullmatch(after) else one
                for one, after in zip(cells, behind, strict=False)
            ]
        )

    return known


_BARE_SHARE = re.compile(r"\s*(?:0[.,]\d{1,4}|\d{1,2}(?:[.,]\d{1,3})? ?%)\s*")
"""What stands behind its name: "Premium", "18 %"; a heading stands behind none."""


def _refuse_one_column(sheet: Sheet, refusal: Unusable) -> None:
    """Where no line has two cells there is no table, and nothing to choose from."""
    if all(sum(map(bool, line.cells)) < 2 for line in (sheet.heading, *sheet.rows)):
        remedy, problems = refusal.remedy, refusal.problems
        raise Unreadable(refusal.reason, remedy=remedy, problems=problems) from None


def columns_of(
    sheet: Sheet, own: Mapping[str, str], *, by_key: bool = False, names: Sequence[str] = ()
) -> tuple[Sheet, Columns]:
    r"""Find which column of a table is which.

    Parameters
    ----------
    sheet : Sheet
    own : mapping of str to str
        Role to the heading of its column, as the owner said.
    by_key : bool
        Whether a heading that is the name of a role means it, whatever stands below.
    names : sequence of str
        By what each column is known, where its heading stands in two lines; empty: by its heading.

    Returns
    -------
    Sheet
        Its headings all different.
    Columns

    Raises
    ------
    Unusable
        A role or a heading does not exist; no column says what a line is; or two columns say the
        same and their cells differ.
    Unreadable
        There is one column only, and it does not say what a line is.

    Examples
    --------
    >>> table = sheet_of(b"Los;Bezeichnung;Baujahr\n1;Drehmaschine;1999\n", "a.csv", {})
    >>> dict(columns_of(table, {})[1].at)
    {'number': 0, 'title': 1, 'year': 2}
    """
    _refuse_unknown(own)
    bare = list(names) or [full_heading(one, IN_FULL) or one for one in sheet.heading.cells]
    sheet = replace(sheet, heading=replace(sheet.heading, cells=_numbered(sheet.heading.cells)))
    said = _said(sheet, own)
    said |= _axes(bare, said)
    if by_key:
        said |= _by_key(sheet, said)
    lower = {
        at: other for at, other in lower_of(bare).items()
        if at not in said and any(match(bare[other], ROLES[role]) for role in TWO_PRICES)
    }  # fmt: skip
    bare = ["" if at in lower else one for at, one in enumerate(bare)]
    roles = roles_by_heading(bare, ROLES, said, _looks_like(sheet))
    lower = {at: other for at, other in lower.items() if roles.get(other) in TWO_PRICES}
    roles |= {at: roles[other] for at, other in lower.items()}
    beside = dict(_beside(sheet, bare, roles, frozenset(own)))
    for at in [at for at in beside if _is_text(bare[at])]:
        roles[at] = "text"
        del beside[at]
    if not set(NAMES) & set(roles.values()):
        _refuse_nameless(sheet)
    columns = tuple(
        ListedColumn(at=at, heading=heading, role=roles.get(at, ""), said=roles.get(at) in own)
        for at, heading in enumerate(sheet.heading.cells)
        if heading or at in roles
    )
    return sheet, Columns(columns, beside, lower)


def _no_heading(first: str) -> str:
    return say(
        "Put a heading above them (lot, description, year, price), or say which column is which: "
        "--columns title={first}.",
        first=first,
    )


CATALOGUE = SheetWords(
    empty=lambda: say("Export it again: its first line names the columns."),
    no_rows=lambda: say("Export it again, with the lines of its lots."),
    no_text=lambda: say("Save the catalogue as CSV, XLSX or TOML: one line for each lot."),
    too_long=lambda: say("Cut it in parts: a sale at a time."),
    no_heading=_no_heading,
)
"""What would help where a catalogue is no table."""


def _refuse_unknown(own: Mapping[str, str]) -> None:
    for role in own:
        if role not in ROLES:
            what = say("nothing is read from a column {role}", role=f"“{role}”")
            remedy = nearest(role, ROLES) or say("It can be {named}.", named=", ".join(ROLES))
            raise Unusable(what, remedy=remedy, problems=(Problem("columns", what, remedy),))


def _unnumbered(heading: str) -> str:
    """A heading without the number that tells it from another."""
    return re.sub(r" [0-9]+$", "", heading)


def _numbered(headings: Sequence[str]) -> tuple[str, ...]:
    """Headings that stand twice, told apart: Price, Price 2."""
    counts: Counter[str] = Counter()
    named = []
    for heading in headings:
        counts[heading] += 1
        again = heading and counts[heading] > 1
        named.append(f"{heading} {counts[heading]}" if again else heading)
    return tuple(named)


def _axes(bare: Sequence[str], said: Mapping[int, str]) -> dict[int, str]:
    """One heading of travels over two or three columns: they are X, Y and Z."""
    found: dict[int, str] = {}
    for at, heading in enumerate(bare):
        many = [other for other in range(at, min(at + 3, len(bare))) if bare[other] == heading]
        if heading in ROLES["travel"] and len(many) > 1 and at not in found:
            axes = ("x", "y", "z") if len(many) == 3 else ("diameter", "length")
            found |= dict(zip(many, axes, strict=False))
    return found if not set(found) & set(said) else {}


def _by_key(sheet: Sheet, said: Mapping[int, str]) -> dict[int, str]:
    keys = enumerate(sheet.heading.cells)
    free = {at: key for at, key in keys if at not in said and key in ROLES}
    return {at: key for at, key in free.items() if key not in said.values()}


def _said(sheet: Sheet, own: Mapping[str, str]) -> dict[int, str]:
    found: dict[int, str] = {}
    bare = [plain(one) or one for one in sheet.heading.cells]
    for role, heading in own.items():
        wanted = plain(heading) or heading
        if wanted not in bare:
            what = say("{name} has no column {heading}", name=sheet.name, heading=f"“{heading}”")
            remedy = say("There are: {named}.", named=_named(sheet))
            raise Unusable(what, remedy=remedy, problems=(Problem("columns", what, remedy),))
        found[bare.index(wanted)] = role
    return found


def _named(sheet: Sheet) -> str:
    return ", ".join(one for one in sheet.heading.cells if one)


def _refuse_nameless(sheet: Sheet) -> NoReturn:
    remedy = say(
        "Say which it is: --columns title={heading}. There are: {named}.",
        heading=next(one for one in sheet.heading.cells if one), named=_named(sheet),
    )  # fmt: skip
    what = say("no column says what a lot is")
    alone = sum(map(bool, sheet.heading.cells)) == 1  # no table: there is nothing to choose from
    refusal = Unreadable if alone else Unusable
    raise refusal(
        say("{name}: {what}", name=sheet.name, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=sheet.heading.number), what, remedy),),
    )


def _looks_like(sheet: Sheet) -> Callable[[int, str], bool]:
    """Whether most cells of a column can be what a role says."""

    def look(at: int, role: str) -> bool:
        cells = [cell for row in sheet.rows if (cell := row.cell(at))][:LOOKED_AT]
        return 2 * sum(_can_be(cell, role) for cell in cells) >= len(cells)

    return look


def _can_be(cell: str, role: str) -> bool:
    if role == "currency":
        short = len(cell) <= 3 or plain(cell) in CURRENCY_WORDS
        return short and not any(map(str.isdigit, cell))
    if role == "dimensions":
        return MANY_SIZES.search(cell) is not None or not any(map(str.isdigit, cell))
    if role in SIZES and MANY_SIZES.search(cell):
        return False
    if role == "number":
        return len(cell) <= LONGEST_NUMBER
    if role == "kind":
        return tells_anything(cell)
    if role in ("title", "text"):
        return any(map(str.isalpha, cell))
    if role == "control":
        return not tells_anything(cell)
    return role not in COUNTED or not any(map(str.isalpha, cell)) or any(map(str.isdigit, cell))


def _is_text(heading: str) -> bool:
    """Whether a heading can be that of one more column of words."""
    return match(heading, ROLES["title"]) >= EXACT - 0.5 or match(heading, ROLES["text"]) > 0


def _beside(
    sheet: Sheet, bare: Sequence[str], roles: Mapping[int, str], own: frozenset[str]
) -> Iterator[tuple[int, str]]:
    """Columns whose whole heading names a role that another column has."""
    by_role: dict[str, int] = {}
    for at, role in roles.items():
        by_role.setdefault(role, at)
    for at, heading in enumerate(bare):
        if at in roles or not heading:
            continue
        role = next((one for one in by_role if match(heading, ROLES[one]) > EXACT - 0.5), "")
        if role:
            if role in ONCE - own and _differ(sheet, at, by_role[role]):
                _refuse_two(sheet, role, by_role[role], at)
            yield at, sheet.heading.cell(by_role[role])


def _differ(sheet: Sheet, one: int, other: int) -> bool:
    pairs = ((row.cell(one), row.cell(other)) for row in sheet.rows)
    return any(here and there and here != there for here, there in pairs)


def _refuse_two(sheet: Sheet, role: str, one: int, other: int) -> NoReturn:
    word = say(ROLE_WORDS[role])
    what = say(
        "columns {one} and {other} both say: {role}", one=one + 1, other=other + 1, role=word
    )
    remedy = say(
        "Say which it is, or give one of them another heading: --columns {role}={first}.",
        role=role, first=sheet.heading.cell(other),
    )  # fmt: skip
    raise Unusable(
        say("{name}: {what}", name=sheet.name, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=sheet.heading.number), what, remedy),),
    )
