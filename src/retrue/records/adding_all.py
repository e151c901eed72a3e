"""Many facts kept together: each by the rules of one, all of them or none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.records.adding import (
    Wish,
    is_same,
    link,
    refuse_mismatch,
    refuse_other,
    refuse_replaced,
    refuse_unknown,
    wish,
)
from retrue.records.chain import START, Row
from retrue.records.shop import ToAdd, WrittenSince


@dataclass(frozen=True, slots=True)
class Placed:
    """Where each wish stands in the chain.

    Attributes
    ----------
    rows : tuple of Row
        One for each wish, in their order; what was kept before among them.
    new : tuple of Row
        Those that are to be stored, in the order of ``seq``.
    """

    rows: tuple[Row, ...]
    new: tuple[Row, ...]


def wishes(
    wanted: Sequence[ToAdd], *, by: str, device: str, observed_at: datetime | None
) -> list[Wish]:
    """Check all that is to be added, before anything is locked.

    Parameters
    ----------
    wanted : sequence of ToAdd
        In the order they are to stand in.
    by, device : str
        Who says it, on which device.
    observed_at : datetime, optional
        The device's claim for those that bring none of their own.

    Returns
    -------
    list of Wish
        One for each.

    Raises
    ------
    Unusable
        A field of any of them cannot be kept; all such fields are named, each with the number of
        its fact.

    Examples
    --------
    >>> from retrue.records.facts import Note
    >>> made = wishes([ToAdd(fact=Note(text="oil")), ToAdd(fact=Note(text="dust"), id="b")],
    ...               by="me", device="", observed_at=None)
    >>> made[1].id
    'b'
    """
    made: list[Wish] = []
    problems: list[Problem] = []
    for number, one in enumerate(wanted, 1):
        at = one.observed_at or observed_at
        try:
            made.append(
                wish(one.fact, by=by, device=device, observed_at=at, id=one.id,
                     replaces=one.replaces)
            )  # fmt: skip
        except Unusable as refusal:
            problems += [
                replace(
                    problem,
                    where=say("fact {number}, {field}", number=number, field=problem.where),
                )
                for problem in refusal.problems
            ]
    if problems:
        raise Unusable(
            say("{where} {what}", where=problems[0].where, what=problems[0].what),
            remedy=say("Correct the fields named; nothing of them all is kept yet."),
            problems=tuple(problems),
        )
    return made


def place_all(
    wanted: Sequence[Wish],
    kept: Mapping[str, Row],
    replaced: Set[str],
    *,
    last: tuple[int, str] | None,
    now: datetime,
    newest: int | None = None,
) -> Placed:
    """Give every wish its place in the chain, as if they came one after the other.

    Parameters
    ----------
    wanted : sequence of Wish
        In their order; a later one may replace an earlier one.
    kept : mapping of str to Row
        What is kept under the ids they name, of their own and of what they replace.
    replaced : set of str
        Of the ids they replace, those that something kept replaces already.
    last : tuple of int and str, or None
        Number and hash of the newest record kept.
    now : datetime
        The server's clock; one moment for all of them.
    newest : int or None
        The number of the newest record when their writer looked; None: he need not have looked.

    Returns
    -------
    Placed

    Raises
    ------
    WrittenSince
        There is a newer record than the one their writer saw.
    Overtaken
        Something else has one of the ids, or a record named is replaced already.
    Unknown
        A record named in ``replaces`` is not there.
    Unusable
        A record named in ``replaces`` is of another kind.

    Examples
    --------
    >>> from datetime import UTC
    >>> from retrue.records.facts import Note
    >>> made = wishes([ToAdd(fact=Note(text="oil"), id="a"), ToAdd(fact=Note(text="oil"), id="a")],
    ...               by="me", device="", observed_at=None)
    >>> placed = place_all(made, {}, set(), last=None, now=datetime(2026, 11, 25, tzinfo=UTC))
    >>> len(placed.rows), [row.seq for row in placed.new]
    (2, [1])
    """
    if newest is not None and newest != (last[0] if last else 0):
        raise WrittenSince
    there, gone = dict(kept), set(replaced)
    seq, previous = last or (0, START)
    rows: list[Row] = []
    new: list[Row] = []
    for one in wanted:
        row = there.get(one.id)
        if row is not None and not is_same(row, one):
            raise refuse_other(one.id)
        if row is None:
            _may_replace(one, there, gone)
            row = link(one, seq=seq + 1, previous=previous, now=now)
            seq, previous = row.seq, row.sha256
            there[row.id] = row
            gone |= {row.replaces} if row.replaces is not None else set()
            new.append(row)
        rows.append(row)
    return Placed(rows=tuple(rows), new=tuple(new))


def _may_replace(one: Wish, there: Mapping[str, Row], gone: Set[str]) -> None:
    if one.replaces is None:
        return
    if one.replaces not in there:
        raise refuse_unknown(one.replaces)
    if one.replaces in gone:
        raise refuse_replaced(one.replaces)
    refusal = refuse_mismatch(one, there[one.replaces])
    if refusal is not None:
        raise refusal
