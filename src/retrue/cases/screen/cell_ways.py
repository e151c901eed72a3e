"""How a cell of a catalogue is read, what is heard in it, and the only number it holds. Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from retrue.base.say import say
from retrue.cases.screen.cell_numbers import (
    NUMBER,
    is_below_zero,
    is_power_of_ten,
    number_of,
)
from retrue.cases.screen.money_words import ABOUT
from retrue.cases.settle.bring_amounts import DecimalMark
from retrue.cases.settle.bring_days import DayOrder

DayFirst = DayOrder | Literal["", "open"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How the cells are read.

    Attributes
    ----------
    mark : str or None
        The decimal mark of the column; None: nothing tells.
    year : int
        This year.
    dates : str
        day, month: which goes first; open: nobody knows; empty: it makes no difference.
    offset : str
        From UTC, of moments that name none; empty: nobody says.
    unit : str
        That the heading names, of cells that name none; empty: it names none.
    dollar : str
        What a bare dollar sign in a column of currencies stands for; empty: nobody can tell.
    """

    mark: DecimalMark | None
    year: int
    dates: DayFirst = ""
    offset: str = ""
    unit: str = ""
    dollar: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One thing that was heard.

    Attributes
    ----------
    field : str
        Of a machine, of the terms, or of the lot.
    value : object
        Of the sort that the field takes.
    why : str
        Why it is a guess; empty where it is none.
    """

    field: str
    value: object
    why: str = ""


_ABOUT = re.compile(rf"(?i)(?<!\w)(?:{'|'.join(map(re.escape, ABOUT))})\.?(?!\w)|[~±]")


def one_number(cell: str, ways: Ways) -> tuple[Decimal, str, str]:
    """The only number of a cell.

    Parameters
    ----------
    cell : str
    ways : Ways

    Returns
    -------
    Decimal
    str
        The words around it.
    str
        Why it is a guess; empty where it is none.

    Raises
    ------
    ValueError
        There is none, there are several, or it lies below zero.
    """
    refuse_odd(cell)
    found = list(NUMBER.finditer(cell))
    if len(found) != 1:
        what = say("no number stands there") if not found else say("several numbers stand there")
        raise ValueError(what)
    value = number_of(found[0][0], ways.mark)
    words, abouts = _ABOUT.subn(" ", f"{cell[: found[0].start()]} {cell[found[0].end() :]}")
    return value, words.strip(" .:;"), say("the catalogue says about") if abouts else ""


def refuse_odd(cell: str) -> None:
    """Refuse what is below zero, and a power of ten.

    Parameters
    ----------
    cell : str

    Raises
    ------
    ValueError
        It is one of them; the text says which.

    Examples
    --------
    >>> refuse_odd("4.200 kg")
    """
    if is_below_zero(cell):
        raise ValueError(say("{cell} is below zero", cell=f"“{cell[:40]}”"))
    if is_power_of_ten(cell):
        raise ValueError(say("{cell} is written with a power of ten", cell=f"“{cell[:40]}”"))
