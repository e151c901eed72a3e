"""The library as closed machines have taught it: one's own, and those that others gave."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import lru_cache

from retrue.base.say import Later
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow, case_of, read_case
from retrue.kinds.judged import Three
from retrue.kinds.learned import Outcome, with_learned
from retrue.kinds.learned_ranges import Spent, What, with_ranges
from retrue.kinds.library import Kind
from retrue.records.facts import Finding
from retrue.records.seeking import Guess
from retrue.records.settling import CaseClosed, LedgerTaken
from retrue.records.shop import Record, RecordShop

OTHERS = 0.5  # what an outcome of another shop counts (judgement)
WHAT: Mapping[str, What] = {"money": "money", "hours": "hours", "days": "days"}


def kinds_taught(shop: RecordShop, kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library with what closed machines say: ranges that moved, and shares.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kinds : mapping of str to Kind
        The library, the owner's own numbers laid over it; these stay.

    Returns
    -------
    mapping of str to Kind
        The same where no machine was closed and nothing was taken in. A machine that is worked on
        moves no price: its teardowns count once it is closed.
    """
    spent, outcomes = tuple(every_spent(shop)), every_outcome(shop)
    return _taught(_Library(kinds), spent, outcomes) if spent or outcomes else kinds


def ranges_taught(shop: RecordShop, kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library with moved ranges alone, for those that lay shares over it themselves.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    mapping of str to Kind
        The same where no machine was closed and nothing was taken in.
    """
    spent = tuple(every_spent(shop))
    return _taught(_Library(kinds), spent, ()) if spent else kinds


def every_spent(shop: RecordShop) -> Iterator[Spent]:
    """Lines that were paid, worked or waited for, of closed machines here and elsewhere.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Yields
    ------
    Spent
        Those of others count half.
    """
    yield from spent_of([read_case(one.fact.compared) for one in shop.current(CaseClosed)])
    yield from spent_of(others_cases(shop), OTHERS)


def every_outcome(shop: RecordShop) -> tuple[Outcome, ...]:
    """Faults whose truth was seen, at closed machines here and elsewhere.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    tuple of Outcome
        Those of others count half.
    """
    closed = frozenset(one.fact.machine for one in shop.current(CaseClosed))
    return (*_own_outcomes(shop, closed), *fault_outcomes(others_cases(shop), OTHERS))


def others_cases(shop: RecordShop) -> list[ClosedCase]:
    """Machines that others closed and gave.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    list of ClosedCase
    """
    return [case for one in shop.current(LedgerTaken) for case in cases_in(one.fact.content)]


def spent_of(cases: list[ClosedCase], weight: float = 1.0) -> tuple[Spent, ...]:
    """Lines of closed cases that the tables have a range for.

    Parameters
    ----------
    cases : list of ClosedCase
    weight : float
        What each counts.

    Returns
    -------
    tuple of Spent

    Examples
    --------
    >>> row = ComparedRow(sort="money", line="E11", words="truck", said=(600, 900, 1800), was=1200)
    >>> case = ClosedCase(kind="turning_centre", age_years=20, level="right", end="sold",
    ...     currency="EUR", year=2026, rows=(row,))
    >>> [(one.line, one.was, one.weight) for one in spent_of([case], 0.5)]
    [('E11', 1200, 0.5)]
    """
    return tuple(
        Spent(row.line, WHAT[row.sort], Three(*row.said), row.was, weight)
        for case in cases
        for row in case.rows
        if row.sort in WHAT and row.said is not None and row.was is not None
    )


def fault_outcomes(cases: list[ClosedCase], weight: float) -> Iterator[Outcome]:
    """Faults of closed cases whose truth was seen.

    Parameters
    ----------
    cases : list of ClosedCase
    weight : float
        What each counts.

    Yields
    ------
    Outcome
    """
    for case in cases:
        for row in case.rows:
            if row.sort == "fault" and row.was is not None:
                base, share = _shares(row)
                yield Outcome(case.kind, row.line, share, base, row.was >= 0.5, weight)


def cases_in(content: str) -> list[ClosedCase]:
    """The cases of a file that others gave, as it was kept.

    Parameters
    ----------
    content : str
        Canonical JSON.

    Returns
    -------
    list of ClosedCase

    Raises
    ------
    Unreadable
        A case that does not fit.
    """
    return [case_of(one) for one in json.loads(content)["cases"]]


def _shares(row: ComparedRow) -> tuple[float, float]:
    guessed = row.guessed if row.guessed is not None else row.base
    base = row.base if row.base is not None else guessed
    return (base if base is not None else 0.5), (guessed if guessed is not None else 0.5)


def _own_outcomes(shop: RecordShop, closed: frozenset[str]) -> Iterator[Outcome]:
    """What was guessed before a part was opened, of machines that are done with."""
    for guess in shop.current(Guess):
        if guess.fact.machine in closed:
            said = _said_today(shop, guess)
            if said is not None:
                one = guess.fact
                was = said.answer == "present"
                yield Outcome(one.kind, one.fault, one.share, one.base_rate, was)


def _said_today(shop: RecordShop, guess: Record[Guess]) -> Finding | None:
    said = shop.history(guess.fact.finding)[-1].fact
    return said if isinstance(said, Finding) and said.fault == guess.fact.fault else None


class _Library:
    """Kinds as a key: the same hashes are the same library, those that speak one of their own."""

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        """Take them by their hashes, and by whether their texts speak the reader's language."""
        self.kinds = kinds
        self._key = tuple(
            sorted((name, kind.hash, isinstance(kind.name, Later)) for name, kind in kinds.items())
        )

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Library) and self._key == other._key


@lru_cache(maxsize=4)
def _taught(
    library: _Library, spent: tuple[Spent, ...], outcomes: tuple[Outcome, ...]
) -> Mapping[str, Kind]:
    return with_learned(with_ranges(library.kinds, spent), outcomes)
