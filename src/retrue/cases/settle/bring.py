"""What a bank file or a parts list would do to the book, row by row. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Literal

from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_alike import alike_rows, in_place, taking
from retrue.cases.settle.bring_amounts import DecimalMark
from retrue.cases.settle.bring_columns import FileKind, read_columns
from retrue.cases.settle.bring_days import DayOrder
from retrue.cases.settle.bring_guess import Known, guess
from retrue.cases.settle.bring_identity import identities
from retrue.cases.settle.bring_lines import Alike, BroughtRow, Keep, Part, Preview
from retrue.cases.settle.bring_moves import Move, Unsigned, moves_of
from retrue.cases.settle.bring_reading import Ways, reading_of
from retrue.cases.settle.lines import BookLine
from retrue.cases.settle.posting_rules import (
    Grounds,
    placed,
    posting_problems,
    refuse_closed,
)
from retrue.records.settling import Posting

Standing = Literal["kept", "taken_back"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the owner says of a file as a whole.

    Attributes
    ----------
    columns : mapping of str to str
        Role to heading.
    only : bool
        No column is read but these.
    decimal, dates, kind, unsigned : str or None
        None: by the file.
    lot, machine : str or None
        Id and key that every row is for, where it says no other.
    account : str
        Own account, where the file does not name it and there are several.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    only: bool = False
    decimal: DecimalMark | None = None
    dates: DayOrder | None = None
    kind: FileKind | None = None
    unsigned: Unsigned | None = None
    lot: str | None = None
    machine: str | None = None
    account: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shelf:
    """What a file is compared with.

    Attributes
    ----------
    on : Grounds
        The postings, lots, machines, rates and the closing.
    lines : tuple of BookLine
        Of the whole book, newest first, expected ones among them.
    expected : mapping of source to Posting
        Lines that are known without typing.
    known : mapping of id to str
        kept, taken_back: every row that ever came from a file.
    left : mapping of id to str
        Rows that the owner left out, with the record that says so.
    brought : mapping of kind of file to frozenset of first ids
        Lines that came from such a file.
    guesses : Known
    """

    on: Grounds
    lines: tuple[BookLine, ...] = ()
    expected: Mapping[str, Posting] = field(default_factory=dict)
    known: Mapping[str, Standing] = field(default_factory=dict)
    left: Mapping[str, str] = field(default_factory=dict)
    brought: Mapping[str, frozenset[str]] = field(default_factory=dict)
    guesses: Known = field(default_factory=Known)


def preview_of(content: bytes, name: str, shelf: Shelf, wanted: Wanted, *, on: date) -> Preview:
    """Read a file and say what keeping it would do.

    Parameters
    ----------
    content : bytes
        A table, as :func:`retrue.cases.settle.bring_sheet.read_sheet` takes it.
    name : str
        For refusals.
    shelf : Shelf
    wanted : Wanted
    on : date
        Today.

    Returns
    -------
    Preview
        Every row below the heading that is not blank, in the order of the file.

    Raises
    ------
    Unreadable, Unusable
        It is no table, a column it must have is missing, or two lines disagree on the decimal
        mark or on whether the day goes first.

    Examples
    --------
    >>> from retrue.cases.settle.kept import BookKept
    >>> from retrue.cases.settle.posting_rules import grounds
    >>> from retrue.records.facts import Shop
    >>> shelf = Shelf(on=grounds(BookKept(shop=Shop())))
    >>> told = preview_of(b"date,amount,name\\n2026-11-03,-12.50,winder\\n", "bank.csv", shelf,
    ...                   Wanted(), on=date(2026, 11, 26))
    >>> told.count("new"), told.rows[0].fact.amount
    (1, Decimal('12.50'))
    """
    sheet, columns = read_columns(
        content, name, own=wanted.columns, kind=wanted.kind, only=wanted.only
    )
    ways = Ways(decimal=wanted.decimal, dates=wanted.dates, unsigned=wanted.unsigned,
                account=wanted.account)  # fmt: skip
    read = reading_of(sheet, columns, ways, home=shelf.on.kept.currency, on=on)
    moves = moves_of(sheet, read.how)
    rows = tuple(_rows(moves, columns.kind, shelf, wanted, on))
    return Preview(
        name=name,
        kind=columns.kind,
        currency=shelf.on.kept.currency,
        columns=columns.columns,
        decimal=read.how.decimal,
        dates=read.how.dates,
        understood=read.understood,
        guessed=read.guessed,
        ignored=read.ignored,
        rows=rows,
        machines={key: one.name for key, one in shelf.on.kept.machines.items()},
        closed_until=shelf.on.kept.closed_until,
    )


def _rows(
    moves: Sequence[Move], kind: FileKind, shelf: Shelf, wanted: Wanted, on: date
) -> Iterator[BroughtRow]:
    ids = list(identities(moves, kind))
    seen = shelf.known.keys() | shelf.left.keys()
    fresh = [move for move, id in zip(moves, ids, strict=True) if id and id not in seen]
    alike = alike_rows(
        fresh, shelf.lines, shelf.on, known=shelf.expected,
        brought=shelf.brought.get(kind, frozenset()), kind=kind,
    )  # fmt: skip
    for move, id in zip(moves, ids, strict=True):
        if move.skipped:
            yield BroughtRow(number=move.number, state="skipped", words=move.skipped)
        elif move.problems:
            yield _refused(move, move.problems)
        elif id in shelf.known:
            yield BroughtRow(
                number=move.number, state="there", id=id, words=_standing(shelf.known[id])
            )
        else:
            row = _row(move, id, alike.get(move.number), kind, shelf, wanted, on)
            yield _left(row, shelf.left[id]) if id in shelf.left else row


def _refused(move: Move, problems: Sequence[Problem]) -> BroughtRow:
    words = "; ".join(str(problem.what) for problem in problems)
    return BroughtRow(number=move.number, state="refused", words=words, problems=tuple(problems))


def _standing(standing: Standing) -> str:
    if standing == "kept":
        return say("in the book already")
    return say("was in the book, and was taken back")


def _left(row: BroughtRow, back: str) -> BroughtRow:
    """A row that the owner left out before: it may be added now."""
    if row.state == "refused":
        return replace(row, state="skipped", words=say("left out before"), problems=())
    return replace(row, state="left", deed="leave", words=say("left out before"), back=back)


def _row(
    move: Move, id: str, alike: Alike | None, kind: FileKind, shelf: Shelf, wanted: Wanted, on: date
) -> BroughtRow:
    try:
        fact, reasons = _fact(move, id, kind, shelf, wanted)
        fact = placed(fact, shelf.on)
    except (Unknown, Unusable) as refusal:
        told = Problem("", refusal.reason, refusal.remedy)
        return _refused(move, _named(move, (told,)))
    problems = list(_problems(fact, shelf.on, on))
    if problems:
        return _refused(move, _named(move, problems))
    row = BroughtRow(
        number=move.number, state="new", id=id, fact=fact, deed="add",
        guessed=(*move.guessed, *reasons),
    )  # fmt: skip
    return row if alike is None else _probably(row, move, alike, kind, shelf.on, on)


def _probably(
    row: BroughtRow, move: Move, alike: Alike, kind: FileKind, about: Grounds, on: date
) -> BroughtRow:
    """A row that looks like a line: what it would take the place of, and what is done of itself."""
    takes = taking(move, row.id, alike, kind)
    pairs = zip(takes, alike.parts, strict=True) if takes else ()
    if any(_cannot_take(one.fact, part, alike, about, on) for one, part in pairs):
        takes = ()
    own = alike.way in ("expected", "owed") and bool(takes)
    return replace(
        row,
        state="probable",
        taking=takes,
        alike=alike,
        words=say("probably this line: {words}", words=alike.words),
        deed="take" if own else "leave",
    )


def _cannot_take(fact: Posting, part: Part, alike: Alike, about: Grounds, on: date) -> bool:
    """A line cannot stand so, or the one whose place it takes is of a part that is closed."""
    instead = part.id if in_place(alike.way, part) else ""
    closed = bool(instead) and part.fact.posted_on <= about.kept.closed_until
    return closed or any(True for _ in _problems(fact, about, on, instead=instead))


def _problems(fact: Posting, about: Grounds, on: date, *, instead: str = "") -> Iterator[Problem]:
    try:
        refuse_closed(about.kept.closed_until, [fact.posted_on])
    except NotYet as refusal:
        yield Problem("posted_on", refusal.reason, refusal.remedy)
    yield from posting_problems(fact, about, today=on, instead=instead)


def _named(move: Move, problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems of a fact, each with the line of the file it is of."""
    return tuple(
        replace(one, where=say("line {number}", number=move.number), what=_what(one))
        for one in problems
    )


def _what(problem: Problem) -> str:
    """What is wrong, with its field where the words do not name it."""
    if problem.where in ("rate", "posted_on", ""):
        return problem.what
    return say("{field} {what}", field=problem.where, what=problem.what)


def _fact(
    move: Move, id: str, kind: FileKind, shelf: Shelf, wanted: Wanted
) -> tuple[Posting, list[str]]:
    """A row as a line in the book, with the reasons of what was guessed."""
    made = guess(move, shelf.guesses, "paid" if kind == "bank" else "bought")
    fields = made.fields
    if kind == "parts" and fields["sort"] == "bought":
        made.take(say("parts, as it is a list of parts"), bucket="parts")
    fields.update(_whose(move, fields, wanted))
    if fields["sort"] in ("returned", "deposit_back"):
        fields.update(lot=None, machine=None)
    guessed_tax = fields.pop("tax_rate", None) if kind == "bank" else None
    fact = Posting(
        posted_on=move.day, what=move.what or move.whom or move.reference or say("payment"),
        amount=move.amount, currency=move.currency, whom=move.whom, units=move.units,
        tax_rate=move.tax_rate if fields["sort"] in ("bought", "received") else guessed_tax,
        tax_in=move.tax_in, source=id, text=_text(move), **fields,
    )  # fmt: skip
    return fact, made.reasons


def _text(move: Move) -> str:
    return move.reference if move.what or move.whom else ""


def _whose(move: Move, fields: Mapping[str, Any], wanted: Wanted) -> dict[str, str | None]:
    """Lot and machine: as the row says, else as the owner said of all, else as was guessed."""
    if move.machine:
        return {"machine": move.machine, "lot": wanted.lot}
    if wanted.machine is not None:
        return {"machine": wanted.machine, "lot": wanted.lot}
    if wanted.lot is not None and fields.get("lot") != wanted.lot:
        return {"machine": None, "lot": wanted.lot}
    return {}


def kept_of(row: BroughtRow, deed: str, fact: Posting | None) -> tuple[Keep, ...]:
    """What keeping a row adds.

    Parameters
    ----------
    row : BroughtRow
    deed : str
        add, take or leave.
    fact : Posting or None
        The line as the owner changed it; None: as it was read.

    Returns
    -------
    tuple of Keep

    Examples
    --------
    >>> kept_of(BroughtRow(number=2, state="skipped"), "leave", None)
    ()
    """
    if deed == "take":
        return row.taking
    if deed == "add" and row.fact is not None and row.back:
        return (Keep(id=f"{row.id}.again", fact=fact or row.fact, replaces=row.back),)
    if deed == "add" and row.fact is not None:
        return (Keep(id=row.id, fact=fact or row.fact),)
    return ()
