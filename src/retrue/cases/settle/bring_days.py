"""Days as tables write them: whether the day or the month goes first is found from all of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_words import MONTHS, plain
from retrue.records.checking import FIRST_YEAR, LAST_YEAR

DayOrder = Literal["day", "month"]
_TIME = r"(?:[ T,]+[0-9]{1,2}[:h][0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?: ?[AaPp][Mm]|Z)?)?"
_ISO = re.compile(rf"([0-9]{{4}})[-/.]([0-9]{{1,2}})[-/.]([0-9]{{1,2}}){_TIME}")
_PACKED = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})")
_PARTED = re.compile(rf"([0-9]{{1,2}})([-/. ])([0-9]{{1,2}})\2([0-9]{{4}}|[0-9]{{2}}){_TIME}")
_NAMED = re.compile(r"([0-9]{1,2}) ([a-z]+) ([0-9]{4}|[0-9]{2})")


@dataclass(frozen=True, slots=True)
class Order:
    """Which goes first, and why.

    Attributes
    ----------
    first : str
        day, month; empty: no cell leaves it open.
    why : str
        In a sentence; empty: the cells say it themselves, or the owner did.
    """

    first: DayOrder | Literal[""]
    why: str = ""


def day_order(
    cells: Sequence[tuple[int, str]], name: str, *, on: date, wanted: DayOrder | None = None
) -> Order:
    """Whether the day or the month goes first in a table.

    Parameters
    ----------
    cells : sequence of (line number, cell)
        Every cell that holds a day.
    name : str
        Of the file, for refusals.
    on : date
        Today: nothing in a bank file lies ahead of it.
    wanted : str or None
        day, month: as the owner said.

    Returns
    -------
    Order

    Raises
    ------
    Unusable
        Two lines disagree, and both are named; or no line tells and it makes a difference.

    References
    ----------
    ISO 8601-1:2019: year, month, day. Points between day and month: the day goes first (common
    practice, no source).

    Examples
    --------
    >>> day_order([(2, "03/11/2026"), (3, "25/11/2026")], "bank.csv", on=date(2026, 11, 26)).first
    'day'
    """
    if wanted is not None:
        return Order(wanted)
    open_cells = [(number, cell, found) for number, cell in cells if (found := _parted(cell))]
    sure: dict[DayOrder, tuple[int, str]] = {}
    for number, cell, (one, mark, two, _) in open_cells:
        told = _told(one, mark, two)
        if told is not None:
            sure.setdefault(told, (number, cell))
    if len(sure) == 2:
        raise _mixed(name, sure)
    if sure:
        return Order(next(iter(sure)))
    differ = [one for one in open_cells if one[2][0] != one[2][2]]
    return _by_today(differ, name, on) if differ else Order("")


Parted = tuple[int, str, int, int]


def _parted(cell: str) -> Parted | None:
    found = _PARTED.fullmatch(cell.strip())
    if found is None:
        return None
    return int(found[1]), found[2], int(found[3]), _year(found[4])


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _told(one: int, mark: str, two: int) -> DayOrder | None:
    if one > 12:
        return "day"
    if two > 12:
        return "month"
    return "day" if mark == "." else None


def _by_today(differ: Sequence[tuple[int, str, Parted]], name: str, on: date) -> Order:
    """No cell tells: what would lie ahead of today is not what was meant."""
    ahead = {
        first: next((one for one in differ if _ahead(one[2], first, on)), None)
        for first in ("day", "month")
    }
    if ahead["month"] is not None and ahead["day"] is None:
        why = say("read the other way, {cell} in line {number} would lie ahead of today",
                  cell=f"“{ahead['month'][1]}”", number=ahead["month"][0])  # fmt: skip
        return Order("day", why)
    if ahead["day"] is not None and ahead["month"] is None:
        why = say("read the other way, {cell} in line {number} would lie ahead of today",
                  cell=f"“{ahead['day'][1]}”", number=ahead["day"][0])  # fmt: skip
        return Order("month", why)
    number, cell, _ = differ[0]
    what = say("{cell} means two days", cell=f"“{cell}”")
    remedy = say("Say which goes first: day or month (--dates).")
    raise Unusable(
        say("{name}, line {number}: {what}", name=name, number=number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=number), what, remedy),),
    )


def _ahead(parted: Parted, first: str, on: date) -> bool:
    one, _, two, year = parted
    day, month = (one, two) if first == "day" else (two, one)
    try:
        return date(year, month, day) > on
    except ValueError:
        return False


def _mixed(name: str, sure: dict[DayOrder, tuple[int, str]]) -> Unusable:
    one, other = sorted(sure.items(), key=lambda item: item[1])
    remedy = say("Correct the one that is wrong, or say which goes first: day or month (--dates).")
    return Unusable(
        say("{name} has days before months and months before days", name=name),
        remedy=remedy,
        problems=tuple(
            Problem(
                say("line {number}", number=number),
                say("the day goes first in {cell}", cell=f"“{cell}”")
                if first == "day"
                else say("the month goes first in {cell}", cell=f"“{cell}”"),
                remedy,
            )
            for first, (number, cell) in (one, other)
        ),
    )


def day_of_cell(cell: str, first: DayOrder | Literal[""]) -> date:
    """One cell as a day.

    Parameters
    ----------
    cell : str
        2026-11-03, 20261103, 03/11/2026, 3.11.26, 3 nov 2026; a time behind it is not read.
    first : str
        day or month; empty: it makes no difference.

    Returns
    -------
    date

    Raises
    ------
    ValueError
        It is no day; the text says why.

    Examples
    --------
    >>> day_of_cell("03/11/2026", "day"), day_of_cell("3 novembre 2026", "month")
    (datetime.date(2026, 11, 3), datetime.date(2026, 11, 3))
    """
    text = cell.strip()
    if not text:
        raise ValueError(say("no day is given"))
    for year, month, day in _readings(text, first):
        try:
            found = date(year, month, day)
        except ValueError:
            break
        if FIRST_YEAR <= found.year <= LAST_YEAR:
            return found
    raise ValueError(say("{cell} is no day", cell=f"“{cell[:40]}”"))


def _readings(text: str, first: str) -> Iterable[tuple[int, int, int]]:
    if found := _ISO.fullmatch(text) or _PACKED.fullmatch(text):
        yield int(found[1]), int(found[2]), int(found[3])
    elif parted := _parted(text):
        one, _, two, year = parted
        yield (year, one, two) if first == "month" else (year, two, one)
    elif named := _NAMED.fullmatch(plain(text)):
        yield _year(named[3]), MONTHS.get(named[2], 0), int(named[1])
