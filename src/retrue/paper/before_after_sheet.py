"""Sound, vibration and light before and after on one sheet: values, doubt, difference, pictures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.base.formatter import THIN, minute, number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.sense_drawing import BeforeAfter
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, pages, press
from retrue.paper.square import square
from retrue.paper.stage_sheet import CautionRow
from retrue.paper.written import cut, on_one_line

_TRIES = ((1.0, 62, 1), (0.92, 50, 1), (1.0, 70, 2), (0.92, 60, 2), (0.92, 50, 3))
_MOST_ROWS = 40  # of one picture's table
_TITLES = {"sound": "Sound", "vibration": "Vibration", "light": "Light"}
_TOLD = {
    "better": "better, by more than the doubt",
    "worse": "worse, by more than the doubt",
    "cannot_tell": "no change that the instrument can see",
    "unknown": "not known: one of them has no number",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SensedSide:
    """How one of the two was measured."""

    measured: datetime | None = None
    by: str = ""
    instrument: str = ""
    state: str = ""  # idle, covers off
    speed_rpm: float | None = None


@dataclass(frozen=True, slots=True)
class SensedPicture:
    """A picture of the part, and its numbers: none stands on paper without them."""

    svg: str  # in the colours of paper
    says: str  # in one sentence
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SensedPart:
    """Sound, vibration or light at one place."""

    sort: Literal["sound", "vibration", "light"]
    point: str
    rows: tuple[BeforeAfter, ...]
    before: SensedSide
    after: SensedSide
    done: str = ""  # what was done in between
    indicative: bool = False  # no known level stood beside it
    cautions: tuple[CautionRow, ...] = ()
    mind: tuple[str, ...] = ()  # what stands against comparing them
    notes: tuple[str, ...] = ()  # hours allowed, lamps, what gave it away
    pictures: tuple[SensedPicture, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeAfterSheet:
    """All that was measured twice at one machine. Empty words print as blanks."""

    machine: str
    lot: str
    parts: tuple[SensedPart, ...]
    done: str = ""
    code: str = ""
    address: str = ""
    by: str = ""
    version: str = ""


def before_after_sheet(
    sheet: BeforeAfterSheet, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print what was measured before and after.

    Parameters
    ----------
    sheet : BeforeAfterSheet
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page where it can be, else of as many as the pictures take.

    Raises
    ------
    Unusable
        Nothing was measured twice, a part has no number, or a picture has no numbers beside it.
    """
    _refuse(sheet)
    code = sheet.code or code_of("before_after", sheet.lot, sheet.machine)
    pictures = {"square.svg": square(sheet.address or f"{sheet.lot} {code}".strip())}
    for place, part in enumerate(sheet.parts):
        pictures |= {_file(place, n): one.svg for n, one in enumerate(part.pictures)}
    fixed = _fixed(sheet, code, at, language) | {"paper": paper}
    printed = b""
    for scale, high, most in _TRIES:
        room = {"scale": scale, "high": high}
        printed = press("before_after_sheet", fixed | room, at=at, pictures=pictures)
        if pages(printed) <= most:
            break
    return printed


def _refuse(sheet: BeforeAfterSheet) -> None:
    problems = [] if sheet.parts else [Problem("parts", say("nothing was measured"))]
    for part in sheet.parts:
        if not part.rows:
            problems.append(Problem(part.sort, say("{point} has no number", point=part.point)))
        problems += [
            Problem(part.sort, say("a picture of {point} has no numbers beside it",
                                   point=part.point))
            for one in part.pictures
            if not one.rows
        ]  # fmt: skip
    if problems:
        raise Unusable(
            say("there is nothing to set side by side: {why}",
                why="; ".join(str(one.what) for one in problems)),
            remedy=say("Measure the same place once before and once after."),
            problems=tuple(problems),
        )  # fmt: skip


def _file(part: int, place: int) -> str:
    return f"picture-{part}-{place}.svg"


def _fixed(sheet: BeforeAfterSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    return {
        "title": cut(
            say("Before and after: {machine}", language=language,
                machine=sheet.machine or say("machine", language=language)), 110
        ),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "done": on_one_line(sheet.done),
        "parts": [_part(part, place, language) for place, part in enumerate(sheet.parts)],
        "head": [say(name, language=language) for name in _HEAD],
        "sides_head": [say(name, language=language) for name in _SIDES],
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }  # fmt: skip


_SENTENCES = {
    "estimate": "Estimate for planning.",
    "safe": "It tells what was measured at one place on one day. It does not say that a machine "
    "may be used; local rules on noise, vibration and light go before it.",
    "defers": "goes before it:",
    "done": "Done in between:",
    "indicative": "Indicative: no known level stood beside the microphone. The difference holds "
    "better than either level.",
    "mind": "Mind:",
    "rests": "Give or take: expanded uncertainty, k = 2; that of a difference takes both readings "
    "as independent. A change inside it is none.",
    "page": "page",
    "square_says": "square pattern with the page of these readings; its code is printed beside it",
}
_HEAD = ("what", "before", "after", "difference", "which says")
_SIDES = ("", "measured", "by", "instrument", "state", "speed")


def _part(part: SensedPart, place: int, language: str) -> dict[str, object]:
    return {
        "title": cut(f"{say(_TITLES[part.sort], language=language)}, {part.point}", 90),
        "done": on_one_line(part.done),
        "indicative": part.indicative,
        "cautions": [
            {"text": on_one_line(one.text), "defers": on_one_line(one.defers_to)}
            for one in part.cautions
        ],
        "rows": [_row(one, language) for one in part.rows],
        "sides": [
            [say(name, language=language), *_side(side, language)]
            for name, side in (("before", part.before), ("after", part.after))
        ],
        "mind": [on_one_line(text) for text in part.mind],
        "notes": [on_one_line(text) for text in part.notes],
        "pictures": [_picture(one, place, n, language) for n, one in enumerate(part.pictures)],
    }


def _row(one: BeforeAfter, language: str) -> dict[str, object]:
    values = (
        _doubted(one.before, one.before_give_or_take, one, language),
        _doubted(one.after, one.after_give_or_take, one, language),
        _doubted(one.difference, one.give_or_take, one, language, signed=True),
    )
    return {
        "name": cut(one.name, 90),
        "values": values,
        "told": say(_TOLD[one.told], language=language),
    }


def _doubted(
    value: float | None, off: float | None, one: BeforeAfter, language: str, *, signed: bool = False
) -> tuple[str, str]:
    """A value with its unit, and how far it may be off, in the same unit."""
    if value is None:
        return "\u2013", ""
    unit = one.difference_unit if signed else one.unit
    told = number(value, one.digits, signed=signed) + THIN + unit
    if off is None:
        return told, ""
    return told, say("give or take {off}", language=language,
                     off=number(off, one.digits))  # fmt: skip


def _side(side: SensedSide, language: str) -> list[str]:
    speed = "" if side.speed_rpm is None else number(side.speed_rpm) + THIN + say(
        "rpm", language=language
    )  # fmt: skip
    when = minute(side.measured) if side.measured else ""
    return [when, cut(side.by, 40), cut(side.instrument, 60), cut(side.state, 60), speed]


def _picture(one: SensedPicture, part: int, place: int, language: str) -> dict[str, object]:
    left = len(one.rows) - _MOST_ROWS
    more = say("and {count} more rows, on the page", language=language, count=left)
    return {
        "file": _file(part, place),
        "says": on_one_line(one.says),
        "columns": [cut(name, 40) for name in one.columns],
        "rows": [[cut(cell, 160) for cell in row] for row in one.rows[:_MOST_ROWS]],
        "more": more if left > 0 else "",
    }


def _cells(sheet: BeforeAfterSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    sorts = dict.fromkeys(say(_TITLES[part.sort], language=language) for part in sheet.parts)
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("before and after", language=language)),
        ("Of", ", ".join(map(str, sorts))),
        ("By", sheet.by),
        ("Printed", minute(at)),
        ("Checked by, on", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
