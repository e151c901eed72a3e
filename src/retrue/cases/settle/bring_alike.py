"""Which rows of a file are probably lines that stand in the book: nothing is entered twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.happening import Line
from retrue.cases.settle.bring_bucket_words import words_of
from retrue.cases.settle.bring_columns import FileKind
from retrue.cases.settle.bring_lines import Alike, Keep, Part
from retrue.cases.settle.bring_moves import Move
from retrue.cases.settle.lines import BookLine
from retrue.cases.settle.posting_rules import Grounds, left_of
from retrue.records.settling import Posting

# Days between the line and the payment: judgement, no source.
DAYS = {"posted": 10, "several": 10, "expected": 60, "owed": 120}
FEW = 3  # lines named of several
OFF_BANK = ("cash", "own_pocket")  # what was paid so stands in no bank file
OUT = ("bought", "paid", "deposit")
IN = ("sold", "received", "deposit_back", "returned")


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A line, or some lines together, that a row may look like."""

    alike: Alike
    day: date
    words: frozenset[str]
    ids: frozenset[str]


Way = Literal["expected", "owed", "posted", "several"]
At = tuple[str, Decimal, int]
_Pair = tuple[int, int, _Candidate]


def alike_rows(
    moves: Sequence[Move],
    lines: Sequence[BookLine],
    on: Grounds,
    *,
    known: Mapping[str, Posting],
    brought: frozenset[str],
    kind: FileKind,
) -> dict[int, Alike]:
    """Rows that look like a line: same amount and currency, days near, the same counterparty.

    Parameters
    ----------
    moves : sequence of Move
        Those that are not in the book by their id.
    lines : sequence of BookLine
        Of the whole book, expected ones among them.
    on : Grounds
        The postings behind them.
    known : mapping of source to Posting
        The expected ones, ready to be put in the book.
    brought : frozenset of str
        First ids of lines that came from a file of the same kind: their rows are known by id.
    kind : str
        bank: what was paid in cash or from one's own pocket is in no such file; parts.

    Returns
    -------
    dict of int to Alike
        By the line of the file; a line in the book is given to one row, the nearest in days.

    Examples
    --------
    >>> from retrue.cases.settle.kept import BookKept
    >>> from retrue.cases.settle.posting_rules import grounds
    >>> from retrue.records.facts import Shop
    >>> fact = Posting(sort="bought", posted_on="2026-11-12", what="coil", amount=Decimal(600),
    ...                whom="the winder", paid_from="owed", source="out:4f")
    >>> line = BookLine(id="out:4f", posted_on="2026-11-12", sort="bought", what="coil",
    ...                 whom="the winder", currency="EUR", amount=Decimal(600), net=Decimal(600),
    ...                 tax=Decimal(0), tax_back=Decimal(0), in_shop=Decimal(600),
    ...                 state="expected", source="out:4f")
    >>> move = Move(number=7, day="2026-11-20", amount=Decimal(600), currency="EUR",
    ...             whom="Winder & Son")
    >>> found = alike_rows([move], [line], grounds(BookKept(shop=Shop())), known={"out:4f": fact},
    ...                    brought=frozenset(), kind="bank")
    >>> found[7].words
    'coil, 2026-11-12, €\u202f600.00, the winder'
    """
    at: dict[At, list[_Candidate]] = {}
    free = [
        line for line in lines
        if line.id not in brought and line.amount and _sign(line, on)
        and not (kind == "bank" and line.paid_from in OFF_BANK)
    ]  # fmt: skip
    for key, candidate in _candidates(free, on, known):
        at.setdefault(key, []).append(candidate)
    pairs = sorted((pair for move in moves for pair in _pairs(move, at)), key=lambda one: one[:2])
    found: dict[int, Alike] = {}
    used: set[str] = set()
    for _, number, candidate in pairs:
        if number not in found and not used & candidate.ids:
            found[number] = candidate.alike
            used |= candidate.ids
    return found


def _pairs(move: Move, at: Mapping[At, Sequence[_Candidate]]) -> Iterator[_Pair]:
    """A row with each line it may be, by how far apart they are."""
    candidates = at.get((move.currency, move.amount, move.sign))
    if not candidates:
        return
    words = words_of(move.whom, move.what)
    day = date.fromisoformat(move.day)
    for one in candidates:
        apart = abs((day - one.day).days)
        if apart <= DAYS[one.alike.way] and (not one.words or not words or one.words & words):
            yield apart, move.number, one


def _candidates(
    lines: Sequence[BookLine], on: Grounds, known: Mapping[str, Posting]
) -> Iterator[tuple[At, _Candidate]]:
    told = [(line, found) for line in lines if (found := _alike(line, on, known)) is not None]
    for line, (way, part) in told:
        alike = Alike(way=way, words=_words(line, part.gross), parts=(part,))
        yield _placed([line], alike, _sign(line, on))
    groups: dict[tuple[str, ...], list[tuple[BookLine, Way, Part]]] = {}
    for line, (way, part) in told:
        key = _together(line, way)
        if key:
            groups.setdefault((way, line.currency, str(_sign(line, on)), *key), []).append(
                (line, way, part)
            )
    for mine in groups.values():
        if len(mine) > 1:
            yield _joined(mine, _sign(mine[0][0], on))


def _placed(lines: Sequence[BookLine], alike: Alike, sign: int) -> tuple[At, _Candidate]:
    total = sum((part.gross for part in alike.parts), Decimal(0))
    last = max(line.posted_on for line in lines)
    candidate = _Candidate(
        alike,
        date.fromisoformat(last),
        words_of(*(line.whom for line in lines)),
        frozenset(line.id for line in lines),
    )
    return (lines[0].currency, total, sign), candidate


def _together(line: BookLine, way: Way) -> tuple[str, ...]:
    """By what lines may be paid with one sum: one sale, one hire, one counterparty and day."""
    if way == "expected":
        sort, _, rest = line.source.partition(":")
        return (line.source.rpartition(":")[0],) if sort in ("outcome", "hire") and rest else ()
    whom = line.whom.strip().casefold()
    return (whom, line.posted_on) if whom else ()


def _joined(mine: Sequence[tuple[BookLine, Way, Part]], sign: int) -> tuple[At, _Candidate]:
    lines = [line for line, _, _ in mine]
    way = mine[0][1]
    total = sum((part.gross for _, _, part in mine), Decimal(0))
    words = say("{count} lines together, {amount}: {named}",
                count=len(lines), amount=_money(total, lines[0].currency),
                named="; ".join(line.what for line in lines[:FEW]))  # fmt: skip
    alike = Alike(
        way="several" if way == "posted" else way, words=words, parts=tuple(p for _, _, p in mine)
    )
    return _placed(lines, alike, sign)


def _sign(line: BookLine, on: Grounds) -> int:
    """Which way the money of a line goes: -1 out, 1 in, 0 nowhere."""
    if line.sort == "returned":
        of = on.by_id.get(line.of)
        return -1 if of is not None and of.newest.fact.sort in ("sold", "received") else 1
    return -1 if line.sort in OUT else 1 if line.sort in IN else 0


def _alike(line: BookLine, on: Grounds, known: Mapping[str, Posting]) -> tuple[Way, Part] | None:
    if line.state == "expected":
        fact = known.get(line.source)
        if fact is None:
            return None
        return "expected", Part(id=line.id, fact=fact, gross=line.amount)
    kept: Line | None = on.by_id.get(line.id)
    if kept is None:
        return None
    part = Part(id=line.id, record=kept.newest.id, fact=kept.newest.fact, gross=line.amount)
    if part.fact.paid_from != "owed":
        return "posted", part
    if part.fact.sort not in ("bought", "paid", "sold", "deposit"):
        return None
    sort = "received" if part.fact.sort == "sold" else "paid"
    left = left_of(line.id, part.fact, on, sort=sort)
    return ("owed", replace(part, gross=left)) if left > 0 else None


def _words(line: BookLine, left: Decimal) -> str:
    told = say("{what}, {day}, {amount}",
               what=line.what, day=line.posted_on,
               amount=_money(line.amount, line.currency))  # fmt: skip
    if left != line.amount:
        told = say("{told}, of which {left} are left",
                   told=told, left=_money(left, line.currency))  # fmt: skip
    return say("{told}, {whom}", told=told, whom=line.whom) if line.whom else told


def _money(amount: Decimal, currency: str) -> str:
    return money(amount, currency, minor_units(currency))


def taking(move: Move, id: str, alike: Alike, kind: FileKind) -> tuple[Keep, ...]:
    """What is kept where a row takes the place of what it looks like, or pays it.

    Parameters
    ----------
    move : Move
    id : str
        Of the row.
    alike : Alike
    kind : str
        bank, or parts.

    Returns
    -------
    tuple of Keep
        Empty: several lines typed by hand stand as they are.
    """
    if alike.way == "several":
        return ()
    return tuple(
        Keep(
            id=id if place == 0 else f"{id}.{place + 1}",
            fact=_taken(move, id, alike.way, part, kind),
            replaces=part.record if in_place(alike.way, part) else None,
        )
        for place, part in enumerate(alike.parts)
    )


def in_place(way: Way, part: Part) -> bool:
    """Whether a row takes the place of a posted line: a deposit owed is given on the row's day.

    Parameters
    ----------
    way : str
    part : Part

    Returns
    -------
    bool
        False where it stands beside the line and pays it.

    Examples
    --------
    >>> fact = Posting(sort="deposit", posted_on="2026-11-12", what="hoist", amount=Decimal(150),
    ...                paid_from="owed")
    >>> in_place("owed", Part(id="a", record="a", fact=fact, gross=Decimal(150)))
    True
    """
    return way == "posted" or (way == "owed" and part.fact.sort == "deposit")


def _taken(move: Move, id: str, way: Way, part: Part, kind: FileKind) -> Posting:
    old = part.fact
    if way == "owed" and not in_place(way, part):
        return Posting(
            sort="received" if old.sort == "sold" else "paid", posted_on=move.day, what=old.what,
            whom=old.whom or move.whom, amount=part.gross, currency=move.currency, of=part.id,
            source=id, text=move.reference,
        )  # fmt: skip
    return replace(
        old,
        posted_on=move.day,
        whom=old.whom or move.whom,
        paid_from="bank" if kind == "bank" or old.paid_from == "owed" else old.paid_from,
        source=old.source or id,
        text=old.text or move.reference,
    )
