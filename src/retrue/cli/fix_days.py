"""Days typed at the keyboard: 2026-12-24, 24/12, Friday, today."""

from __future__ import annotations

from datetime import date

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.typed import day_of
from retrue.cli.house import House


def today(house: House, on: str | None = None) -> date:
    """The day it is, or the one that was typed.

    Raises
    ------
    Unusable
        It is no day.
    """
    now = house.clock().astimezone().date()
    return now if on is None else _read(on, "on", now, ahead=False)


def day(text: str | None, option: str, on: date, *, ahead: bool = False) -> str | None:
    """A day as typed, ISO.

    Raises
    ------
    Unusable
        It is no day.
    """
    return None if text is None else _read(text, option, on, ahead=ahead).isoformat()


def _read(text: str, option: str, on: date, *, ahead: bool) -> date:
    found = day_of(text, on, ahead=ahead)
    if found is None:
        remedy = say("Write it as 2026-12-24, 24/12, or a day of the week.")
        told = say("{text} is no day", text=f"“{text[:30]}”")
        raise Unusable(told, remedy=remedy, problems=(Problem(option, told, remedy),))
    return found
