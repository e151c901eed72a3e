"""One row of a purchase table: its cells read as they are written, or named."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, TypeVar

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.fix.known_lines import line_problems
from retrue.cases.fix.table_kept import LotKept
from retrue.cases.fix.typed import MOST_DAYS, currency_of, day_of, money_of
from retrue.cases.known import nearest
from retrue.cases.prove.table import Table

T = TypeVar("T")
SUMMED = 9  # decimals that no person writes


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """A row, and all that is wrong with it."""

    table: Table
    at: int
    on: date  # today
    problems: list[Problem] = field(default_factory=list)
    told: list[tuple[Any, Any]] = field(default_factory=list)  # of what, and what it says

    @property
    def number(self) -> int:
        """Its number in the file, the heading being the first."""
        return self.table.rows[self.at]

    def text(self, column: str) -> str:
        """As written; empty where there is no such column."""
        return self.table.columns[column][self.at] if self.table.has(column) else ""

    def filled(self, *columns: str) -> bool:
        """Whether any of these cells has something in it."""
        return any(self.text(column) for column in columns)

    def wrong(self, column: str, what: str, remedy: str = "") -> None:
        """Name a cell."""
        self.problems.append(Problem(self.table.where(self.at, column), what, remedy))

    def money(self, column: str) -> Decimal | None:
        """An amount, exactly; a spreadsheet's own sums end in digits that nobody wrote."""
        found = self._read(column, lambda text: money_of(text, field=column))
        if found is not None and -int(found.as_tuple().exponent) > SUMMED:
            return found.quantize(Decimal("0.000001"))
        return found

    def figure(self, column: str) -> float | None:
        """A number that is no money, not below zero."""
        found = self._read(column, lambda text: number(text, field=column))
        if found is not None and found < 0:
            self.wrong(column, say("is below zero"), say("Leave it out if unknown."))
            return None
        return None if found is None else float(found)

    def days(self, column: str) -> float | None:
        """Days, ten years of them at most."""
        found = self.figure(column)
        if found is not None and found > MOST_DAYS:
            self.wrong(column, say("is more than ten years"), say("Write it in days."))
            return None
        return found

    def rate(self, column: str) -> Decimal | None:
        """A rate: three decimals are three decimals."""
        found = self._read(column, lambda text: number(text, field=column))
        if found is not None and found <= 0:
            self.wrong(column, say("is not above zero"), say("Write it as 1.17."))
            return None
        return found

    def whole(self, column: str, empty: int) -> int:
        """A whole number above zero."""
        text = self.text(column)
        found = re.fullmatch(r"0*([1-9][0-9]{0,5})(?:\.0)?", text)
        if text and found is None:
            self.wrong(column, say("{text} is no whole number above zero", text=f"“{text[:20]}”"))
        return int(found[1]) if found else empty

    def day(self, column: str) -> str | None:
        """A date; a spreadsheet may write a midnight behind it."""
        text = re.sub(r"[ T]00:00(:00)?$", "", self.text(column))
        if not text:
            return None
        found = day_of(text, self.on) if text[:1].isdigit() else None
        if found is None:
            what = say("{text} is no date", text=f"“{text[:30]}”")
            self.wrong(column, what, say("Write it as 2026-11-24, or 24/11/2026: the day first."))
        return found.isoformat() if found is not None else None

    def past(self, *columns: str) -> None:
        """Name the days that are still to come, where there can be none yet."""
        for column in columns:
            text = re.sub(r"[ T]00:00(:00)?$", "", self.text(column))
            found = day_of(text, self.on) if text[:1].isdigit() else None
            if found is not None and found > self.on:
                what = say("{day} is still to come", day=found)
                remedy = say(
                    "Write it as 2026-11-24, or 24/11/2026: the day goes before the month."
                )
                self.wrong(column, what, remedy)

    def currency(self, column: str, empty: str) -> str:
        """Three letters."""
        found = self._read(column, lambda text: currency_of(text, field=column))
        return empty if found is None else found

    def word(self, column: str, allowed: Sequence[str]) -> str:
        """One of a few words, or empty."""
        text = self.text(column).casefold()
        if text and text not in allowed:
            self.wrong(
                column,
                say("{text} is none of them", text=f"“{text[:20]}”"),
                say("Write {named}, or leave it empty.", named=", ".join(allowed)),
            )
            return ""
        return text

    def need(self, *columns: str) -> bool:
        """Name what is empty and must not be."""
        empty = [name for name in columns if not self.text(name)]
        for name in empty:
            self.wrong(name, say("is empty"), say("Fill it in."))
        return not empty

    def lot(self, lots: Sequence[LotKept]) -> LotKept | None:
        """Its lot; the only one where none is named, or the only one with such a machine."""
        said, machine = self.text("lot"), self.text("machine")
        found = [one for one in lots if said in (one.name, one.id)] if said else list(lots)
        if len(found) > 1 and machine:
            found = [one for one in found if machine in one.machines.values()]
        if len(found) == 1:
            return found[0]
        names = [one.name for one in lots]
        what = say("{said} is no lot", said=f"“{said}”") if said else say("is empty")
        self.wrong("lot", what, nearest(said, names) or say("Fill in the name of the lot."))
        return None

    def machine(self, lot: LotKept) -> str | None:
        """Its machine by id; None where none is named or it is unknown."""
        said = self.text("machine")
        for key, name in lot.machines.items():
            if said and said in (key, name):
                return key
        if said:
            what = say("{lot} has no machine {said}", lot=lot.name, said=f"“{said}”")
            self.wrong("machine", what, nearest(said, list(lot.machines.values())))
        return None

    def line(self, lot: LotKept, machine: str | None) -> str:
        """Its line: of the tables, or in own words."""
        said = self.text("line")
        if not said:
            self.wrong("line", say("is empty"), say("Write F15:local, or what it is for in words."))
            return ""
        for one in line_problems(said, lot.lines.get(machine or "", ())):
            self.wrong("line", one.what, one.remedy)
        return said

    def _read(self, column: str, reader: Callable[[str], T]) -> T | None:
        text = self.text(column)
        try:
            return reader(text) if text else None
        except Unusable as refused:
            one = refused.problems[0]
            self.wrong(column, one.what, one.remedy)
            return None


def later(day: str, days: float | None) -> str | None:
    """A day so many days after another.

    Parameters
    ----------
    day : str
        ISO date.
    days : float or None

    Returns
    -------
    str or None

    Examples
    --------
    >>> later("2026-11-24", 7.0), later("2026-11-24", None)
    ('2026-12-01', None)
    """
    if days is None:
        return None
    return (date.fromisoformat(day) + timedelta(days=round(days))).isoformat()
