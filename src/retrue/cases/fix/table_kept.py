"""What is kept, as a purchase table compares itself with it: by machine, line and record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from retrue.cases.fix.quotes import Change
from retrue.records.facts import CostLine, Fact
from retrue.records.fixing import Out, Quoted, Stock
from retrue.records.shop import Record

F = TypeVar("F", bound=Fact)


@dataclass(frozen=True, slots=True)
class Held:
    """A record that counts, with every version of its line, oldest first."""

    versions: tuple[Record[Any], ...]
    over: bool = False  # of something out: it has ended

    @property
    def first(self) -> str:
        """What others name it by."""
        return self.versions[0].id

    @property
    def newest(self) -> Record[Any]:
        """What counts."""
        return self.versions[-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class LotKept:
    """One lot of a purchase table.

    Attributes
    ----------
    id, name : str
    machines : mapping of str to str
        Names by ids.
    lines : mapping of str to tuple of str
        Known lines by machine's id; under the empty id those of all of them.
    priced : frozenset of str
        Lines that may have an own figure.
    by_unit : frozenset of str
        Lines that are paid by the unit.
    change : Change
        How its amounts become the shop's currency.
    held : tuple of Held
        Quotes, own figures and what is or was out.
    """

    id: str
    name: str
    machines: Mapping[str, str]
    lines: Mapping[str, tuple[str, ...]]
    priced: frozenset[str]
    change: Change
    held: tuple[Held, ...] = ()
    by_unit: frozenset[str] = frozenset()

    def facts(self, kind: type[F], machine: str | None, line: str) -> tuple[Held, ...]:
        """What is held of one sort for one line of one machine."""
        return tuple(
            one
            for one in self.held
            if isinstance(one.newest.fact, kind)
            and getattr(one.newest.fact, "machine", None) == machine
            and line in (getattr(one.newest.fact, "line", ""), _words(one.newest.fact))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TableKept:
    """Everything a purchase table compares itself with."""

    lots: Sequence[LotKept] = ()
    stock: Sequence[Held] = ()
    _by_id: dict[str, Held] = field(default_factory=dict)

    def held(self, record: str) -> Held | None:
        """What a record's id stands for, if it still counts."""
        if not self._by_id:
            every = [one for lot in self.lots for one in lot.held] + list(self.stock)
            self._by_id.update({version.id: one for one in every for version in one.versions})
        return self._by_id.get(record)

    def lot(self, id: str) -> LotKept | None:
        """A lot by its id or its name."""
        return next((one for one in self.lots if id in (one.id, one.name)), None)


def _words(fact: Fact) -> str | None:
    """Something out without a line of its own goes by its words."""
    return fact.what if isinstance(fact, Out) and not fact.line else None


def newest_of(held: Iterable[Held]) -> Held | None:
    """The one kept last.

    Parameters
    ----------
    held : iterable of Held

    Returns
    -------
    Held or None

    Examples
    --------
    >>> newest_of([]) is None
    True
    """
    return max(held, key=lambda one: one.newest.seq, default=None)


TOLD = (Quoted, CostLine, Out, Stock)
"""Facts that a purchase table can tell."""
