"""What keeping a purchase table would do, before anything is kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.facts import CostLine
from retrue.records.fixing import Out, Quoted, Stock

Told = Quoted | CostLine | Out | Stock
Action = Literal["new", "changed", "nothing", "refused"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToKeep:
    """One fact that a row tells.

    Attributes
    ----------
    fact : Quoted, CostLine, Out or Stock
    replaces : str or None
        Id of the record in whose place it comes.
    takes : bool
        Of an order: it takes the quote of the same row, which is kept before it.
    """

    fact: Told
    replaces: str | None = None
    takes: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviewRow:
    """One row: what keeping it would do."""

    number: int
    sort: str
    action: Action
    words: str
    keeps: tuple[ToKeep, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What keeping a table would do; nothing is kept yet.

    Attributes
    ----------
    rows : tuple of PreviewRow
        In the order of the file.
    strange : tuple of str
        Columns that nothing is known of; they are not read.
    """

    name: str
    rows: tuple[PreviewRow, ...]
    strange: tuple[str, ...] = ()

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that is wrong, in the order of the rows."""
        return tuple(one for row in self.rows for one in row.problems)

    def count(self, action: Action) -> int:
        """Rows that would do this."""
        return sum(row.action == action for row in self.rows)


def words_of(one: ToKeep) -> str:
    """What keeping a fact would do, in words.

    Parameters
    ----------
    one : ToKeep

    Returns
    -------
    str

    Examples
    --------
    >>> words_of(ToKeep(fact=Stock(name="way oil", amount=20.0, unit="l")))
    'on the shelf: way oil, 20 l'
    """
    fact = one.fact
    if isinstance(fact, Quoted):
        return say("quote of {whom}: {amount} {currency}",
                   whom=fact.vendor, amount=fact.amount, currency=fact.currency)  # fmt: skip
    if isinstance(fact, CostLine):
        return say("own figure for {line}: {amount}, {reason}",
                   line=fact.line, amount=fact.amount, reason=fact.reason)  # fmt: skip
    if isinstance(fact, Out):
        return say("ordered from {whom} on {day}: {what}",
                   whom=fact.whom, day=fact.since_on, what=fact.what)  # fmt: skip
    return say("on the shelf: {name}, {amount} {unit}",
               name=fact.name, amount=short(fact.amount), unit=fact.unit)  # fmt: skip
