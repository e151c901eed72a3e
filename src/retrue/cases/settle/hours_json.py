"""Own hours as plain values for programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from datetime import date
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.evening import Evening, Guessed
from retrue.cases.settle.evening_shown import question
from retrue.cases.settle.hour_lines import HoursRow, HoursView, RunningClock
from retrue.records.settling import HoursTold
from retrue.records.shop import Record

NULLS = {
    "lot": "the shop as a whole",
    "machine": "at no machine",
    "low": "no price was frozen",
    "even": "no price was frozen",
    "high": "no price was frozen",
    "end_low": "no price was frozen",
    "end_even": "no price was frozen",
    "end_high": "no price was frozen",
    "planned": "no plan is kept",
}


def flat(view: HoursView) -> dict[str, Any]:
    """Own hours as plain values.

    Parameters
    ----------
    view : HoursView

    Returns
    -------
    dict
        Documented in docs/json.md.

    Examples
    --------
    >>> told = flat(HoursView(on="2026-11-26", guesses=(), rows=(), by_machine={"m": 2.5}, note=""))
    >>> told["hours"], told["by_machine"]
    (2.5, {'m': 2.5})
    """
    told: dict[str, Any] = {
        "schema": "settle.hours.1",
        "on": view.on,
        "hours": round(sum(view.by_machine.values()), 4),
        "by_machine": dict(view.by_machine),
        "by_week": [{"week_on": monday, "hours": hours} for monday, hours in view.by_week],
        "by_worker": [{"worker": who, "hours": hours} for who, hours in view.by_worker],
        "rows": [_row(one) for one in view.rows],
        "guesses": [flat_evening(one, date.fromisoformat(view.on)) for one in view.guesses],
        "clocks": [_clock(one) for one in view.clocks],
        "expected": [asdict(one) for one in view.expected],
        "not_asked": view.not_asked,
        "note": view.note,
    }
    return told | {"why": dict(whys(told))}


def flat_guessed(guessed: Guessed, on: date) -> dict[str, Any]:
    """Evenings of a plain table as plain values.

    Parameters
    ----------
    guessed : Guessed
    on : date
        The day the questions are worded from.

    Returns
    -------
    dict
    """
    told: dict[str, Any] = {
        "schema": "settle.hours.file.1",
        "guesses": [flat_evening(one, on) for one in guessed.evenings],
        "hours": round(sum(one.hours for one in guessed.evenings), 4),
        "not_asked": guessed.not_asked,
    }
    return told | {"why": dict(whys(told))}


def flat_kept(told: Iterable[Record[HoursTold]]) -> dict[str, Any]:
    """What was kept of an answer as plain values.

    Parameters
    ----------
    told : iterable of Record of HoursTold

    Returns
    -------
    dict
    """
    rows = list(told)
    kept: dict[str, Any] = {
        "schema": "settle.hours.kept.1",
        "kept": [one.id for one in rows],
        "hours": round(sum(one.fact.hours for one in rows), 4),
        "worked_on": rows[0].fact.worked_on if rows else None,
        "answer": rows[0].fact.answer if rows else None,
        "rows": [
            {
                "id": one.id,
                "lot": one.fact.lot,
                "machine": one.fact.machine,
                "hours": one.fact.hours,
                "line": one.fact.line,
            }
            for one in rows
        ],
    }
    return kept | {"why": dict(whys(kept))}


def whys(told: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Why each null is one, by the path of its key.

    Parameters
    ----------
    told : object
        Plain values.
    path : str
        Where they stand.

    Yields
    ------
    tuple of (str, str)

    Examples
    --------
    >>> dict(whys({"rows": [{"lot": None, "hours": 2.5}]}))
    {'rows.0.lot': 'the shop as a whole'}
    """
    if isinstance(told, dict):
        for key, value in told.items():
            here = f"{path}.{key}" if path else key
            if value is None:
                yield here, say(NULLS.get(key, "nothing was kept"))
            else:
                yield from whys(value, here)
    elif isinstance(told, list | tuple):
        for at, value in enumerate(told):
            yield from whys(value, f"{path}.{at}")


def flat_evening(one: Evening, on: date) -> dict[str, Any]:
    """One guessed evening as plain values.

    Parameters
    ----------
    one : Evening
    on : date

    Returns
    -------
    dict

    Examples
    --------
    >>> from retrue.cases.settle.evening_shown import EXAMPLE
    >>> flat_evening(EXAMPLE, date(2026, 11, 25))["hours"]
    2.5
    """
    return {
        "key": one.key,
        "worked_on": one.worked_on,
        "begin": one.begin,
        "end": one.end,
        "begins": one.begins.isoformat(timespec="minutes"),
        "ends": one.ends.isoformat(timespec="minutes"),
        "hours": one.hours,
        "worker": one.worker,
        "shares": [asdict(share) for share in one.shares],
        "traces": one.traces,
        "sorts": dict(one.sorts),
        "rest": one.rest,
        "question": question(one, on),
    }


def _row(one: HoursRow) -> dict[str, Any]:
    return asdict(one)


def _clock(one: RunningClock) -> dict[str, Any]:
    told = asdict(one)
    told["since"] = one.since.isoformat(timespec="minutes")
    return told
