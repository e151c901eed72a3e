"""The run-in watch on paper: a kitchen timer, a pencil, limits for each step, when to stop."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from retrue.base.formatter import minute, number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, press
from retrue.paper.square import square
from retrue.paper.stage_sheet import CautionRow
from retrue.paper.written import (
    abort_words,
    cut,
    expected_words,
    items,
    on_one_line,
    shown,
    unit_words,
)

MOST_ROWS = 400  # of one sheet: a day and a half at five minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchStep:
    """One step of the run-in table, with the limits of its own."""

    number: int
    words: str  # 10 % of the highest speed
    minutes: float  # at least
    speed_rpm: float | None = None  # None: the highest speed is not known; a box instead
    expected_rise_k: float | None = None  # of the nose over the room
    abort_rise_k: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class WatchLimit:
    """A number that is held against the same limits in every step."""

    name: str
    unit: str
    expected_low: float | None = None
    expected_high: float | None = None
    abort_low: float | None = None
    abort_high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchSheet:
    """A watch without the laptop. Empty words print as blanks to be filled by hand."""

    what: str = ""  # spindle, after six years of rest
    steps: tuple[WatchStep, ...] = ()
    limits: tuple[WatchLimit, ...] = ()
    stop_rules: str = ""  # of the stage, parted by semicolons
    on_abort: str = ""
    cautions: tuple[CautionRow, ...] = ()
    every_minutes: float = 5.0  # the kitchen timer
    silence_minutes: float = 6.0  # no reading for so long: stop
    level_k: float = 0.5  # it has levelled when it changes by less
    level_minutes: float = 5.0  # in so many minutes
    rise_k_per_minute: float | None = 1.0  # faster: stop
    room_c: float | None = None  # as measured before the start
    rows: int = 24  # of a watch without steps
    stage: str = ""  # P8-V
    machine: str = ""
    lot: str = ""
    at_switch: str = ""
    by_name: str = ""
    code: str = ""
    address: str = ""
    by: str = ""
    version: str = ""


def watch_sheet(
    sheet: WatchSheet,
    *,
    at: datetime,
    picture: str | None = None,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print the watch of a run-in for a pencil and a kitchen timer.

    Parameters
    ----------
    sheet : WatchSheet
    at : datetime
        When it was printed, with its offset.
    picture : str, optional
        The steps as a stair, SVG in the colours of paper.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of as many pages as the rows take. It says that no alarm sounds from paper, and
        when to stop, before any row.

    Raises
    ------
    Unusable
        The timer is slower than the time without a reading that means stop, steps are out of
        order, or there are no rows or more than one reads.
    """
    problems = tuple(_problems(sheet))
    if problems:
        raise Unusable(
            say("this watch cannot be written on paper: {why}", language=language,
                why="; ".join(str(one.what) for one in problems)),
            remedy=say("Put the watch right before it is printed.", language=language),
            problems=problems,
        )  # fmt: skip
    code = sheet.code or code_of("watch", sheet.lot, sheet.machine, sheet.stage, sheet.what)
    pictures = {"square.svg": square(sheet.address or f"{sheet.lot} {sheet.stage} {code}".strip())}
    if picture and sheet.steps:  # whose numbers stand above their rows
        pictures["steps.svg"] = picture
    data = _fixed(sheet, code, at, language) | {"paper": paper, "picture": "steps.svg" in pictures}
    return press("watch_sheet", data, at=at, pictures=pictures)


def rows_of(step: WatchStep, every_minutes: float) -> int:
    """How many rows a step takes: its start, one at each ring, and two more to level.

    Parameters
    ----------
    step : WatchStep
    every_minutes : float
        Of the timer.

    Returns
    -------
    int

    Examples
    --------
    >>> rows_of(WatchStep(number=1, words="5 %", minutes=10), 5)
    5
    """
    return math.ceil(step.minutes / every_minutes) + 3


def _problems(sheet: WatchSheet) -> Iterator[Problem]:
    if not 0 < sheet.every_minutes <= sheet.silence_minutes:
        yield Problem(
            "every_minutes",
            say("the timer rings every {every} minutes, and {silence} without a reading mean stop",
                every=number(sheet.every_minutes, 1), silence=number(sheet.silence_minutes, 1)),
        )  # fmt: skip
        return
    for before, after in pairwise(sheet.steps):
        if after.number <= before.number:
            yield Problem("steps", say("step {number} is out of order", number=after.number))
    for step in sheet.steps:
        if not step.minutes > 0:
            yield Problem("minutes", say("step {number} takes no time", number=step.number))
    count = _count(sheet)
    if not 0 < count <= MOST_ROWS:
        yield Problem("rows", say("{count} rows; a sheet takes 1 to {most}", count=count,
                                  most=MOST_ROWS))  # fmt: skip


def _count(sheet: WatchSheet) -> int:
    if sheet.steps:
        return sum(rows_of(step, sheet.every_minutes) for step in sheet.steps)
    return sheet.rows


def _fixed(sheet: WatchSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    return {
        "title": cut(_title(sheet, language), 110),
        "kicker": cut(", ".join(map(str, filter(None, (sheet.machine, sheet.lot, sheet.stage)))),
                      110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "timer": say(
            "Set the kitchen timer to {every} minutes before the start. When it rings: read, "
            "write one row, set it again.", language=language, every=shown(sheet.every_minutes),
        ),
        "cautions": [
            {"text": on_one_line(one.text), "defers": on_one_line(one.defers_to)}
            for one in sheet.cautions
        ],
        "people": list(_people(sheet, language)),
        "stops": list(_stops(sheet, language)),
        "then": items(sheet.on_abort),
        "levelled": _levelled(sheet, language),
        "limits": [_limit(one, language) for one in sheet.limits],
        "limits_head": [say(name, language=language) for name in ("in every step", "expected",
                                                                  "stop")],
        "rows_head": [say(name, language=language) for name in _ROWS_HEAD],
        "steps": [_step(sheet, step, language) for step in sheet.steps]
        or [{"title": "", "told": [], "minutes": _minutes(sheet, sheet.rows)}],
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }  # fmt: skip


def _title(sheet: WatchSheet, language: str) -> str:
    if not sheet.what:
        return say("Run-in watch on paper", language=language)
    return say("Run-in watch on paper: {what}", language=language, what=sheet.what)


_SENTENCES = {
    "estimate": "Estimate for planning.",
    "silent": "The alarm does not sound from paper.",
    "silent_more": "Nobody is warned by this sheet: the timer, your eyes, your ears and the "
    "person at the main switch are the watch. Stand where you reach neither chuck nor spindle; "
    "read and write with the door shut.",
    "defers": "goes before it:",
    "stop": "Stop at once when",
    "then": "After a stop, in this order",
    "dead": "Dead is measured, not waited for: under 50 V DC, with a meter proved before and "
    "after, by a person who may.",
    "before": "Written before the start",
    "picture_says": "the steps as a stair: speed over minutes, with what the nose may rise; the "
    "same numbers stand above the rows of each step",
    "clean": "clean",
    "rough": "rough",
    "held": "held",
    "down": "down",
    "step_sign": "levelled, sounds clean: next step, name",
    "note": "Notes: smells, sounds, what was odd",
    "page": "page",
    "square_says": "square pattern with the page of this watch; its code is printed beside it",
}
_ROWS_HEAD = ("minutes", "amps", "nose, °C", "room, °C", "sound", "pressure, bar",
              "held or stepped down")  # fmt: skip


def _people(sheet: WatchSheet, language: str) -> Iterator[dict[str, str]]:
    told = (
        ("at the main switch, name", sheet.at_switch),
        ("at the machine, name", sheet.by_name),
        ("begun, date and time", ""),
        ("room at the start, °C", shown(sheet.room_c)),
        ("sound before, from where", ""),
    )
    for name, value in told:
        yield {"name": say(name, language=language), "value": cut(value, 60)}


def _stops(sheet: WatchSheet, language: str) -> Iterator[str]:
    """The stage's own limits first, then what a sheet of paper adds."""
    yield from items(sheet.stop_rules)
    if sheet.rise_k_per_minute is not None:
        most = sheet.rise_k_per_minute * sheet.every_minutes
        yield say("the nose stands more than {most} over the row before", language=language,
                  most=shown(most, "K"))  # fmt: skip
    yield say("{minutes} minutes without a row written", language=language,
              minutes=shown(sheet.silence_minutes))  # fmt: skip
    yield say("a number stands past its stop limit", language=language)
    yield say("a new sound, a smell, smoke, a leak", language=language)
    yield say("nobody stands at the main switch any more", language=language)


def _levelled(sheet: WatchSheet, language: str) -> str:
    return say(
        "Next step only when the nose changes by less than {k} in {minutes} minutes and it sounds "
        "clean; else hold, and take another row. A nose that peaks and then falls by itself has "
        "held. Every next step is signed.",
        language=language, k=shown(sheet.level_k, "K"), minutes=shown(sheet.level_minutes),
    )  # fmt: skip


def _limit(one: WatchLimit, language: str) -> dict[str, str]:
    return {
        "name": cut(one.name, 60),
        "unit": unit_words(one.unit),
        "expected": expected_words(one.expected_low, one.expected_high, one.unit, language),
        "abort": abort_words(one.abort_low, one.abort_high, one.unit, language),
    }


def _step(sheet: WatchSheet, step: WatchStep, language: str) -> dict[str, object]:
    told = [say("at least {minutes} minutes", language=language, minutes=shown(step.minutes))]
    if step.speed_rpm is not None:
        told.append(say("{speed} rpm", language=language, speed=number(step.speed_rpm)))
    told += list(_rises(sheet.room_c, step, language))
    if step.note:
        told.append(on_one_line(step.note))
    title = say("Step {number}: {words}", language=language, number=step.number, words=step.words)
    return {"title": cut(title, 90), "told": told,
            "minutes": _minutes(sheet, rows_of(step, sheet.every_minutes))}  # fmt: skip


def _minutes(sheet: WatchSheet, rows: int) -> list[str]:
    """The minute of each ring, from the start of the step."""
    return [shown(round(row * sheet.every_minutes, 2)) for row in range(rows)]


def _rises(room_c: float | None, step: WatchStep, language: str) -> Iterator[str]:
    """Limits of the nose: in degrees where the room is known, so that nobody adds by a spindle."""
    pairs = (
        ("nose up to {rise} over the room", "nose up to {rise} over the room: {nose}",
         step.expected_rise_k),
        ("stop over {rise}", "stop over {rise}: {nose}", step.abort_rise_k),
    )  # fmt: skip
    for bare, full, rise in pairs:
        if rise is None:
            continue
        if room_c is None:
            yield say(bare, language=language, rise=shown(rise, "K"))
        else:
            yield say(full, language=language, rise=shown(rise, "K"),
                      nose=shown(room_c + rise, "C", 1))  # fmt: skip


def _cells(sheet: WatchSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("run-in watch {stage}", language=language, stage=sheet.stage).strip()),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("Thermometer, meter, checks", ""),
        ("Ended how, on, name", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
