"""One stage of first power on paper, to be signed: cautions, what is closed, bands, stop limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.base.formatter import minute
from retrue.base.say import later, say
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, pages, press
from retrue.paper.square import square
from retrue.paper.written import (
    abort_words,
    cut,
    expected_words,
    items,
    on_one_line,
    shown,
    unit_words,
)

# letters, height of a row of names in mm, pages allowed: the roomiest first
_TRIES = (
    (1.0, 11.5, 1), (0.94, 11.0, 1), (0.88, 10.0, 1), (0.86, 9.0, 1), (1.0, 11.5, 2),
    (0.88, 10.0, 2), (0.94, 11.0, 99),
)  # fmt: skip
_HOW = {
    "look": "looked at", "cured": "put right", "not_fitted": "not fitted", "job": "done",
    "signed": "signed", "open": "open",
}  # fmt: skip
_RULINGS = {"in": "in", "out": "outside the band", "abort": "past the stop limit", "kept": "kept"}


@dataclass(frozen=True, slots=True)
class CautionRow:
    """A caution, and what goes before it."""

    text: str
    defers_to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedRow:
    """One thing that must be closed before the stage: when it was, by whom, at what reading."""

    text: str
    id: str = ""
    how: Literal["look", "cured", "not_fitted", "job", "signed", "open"] = "open"
    when: datetime | None = None
    reading: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadRow:
    """A reading that is kept already."""

    reading: float
    unit: str = ""
    point: str = ""
    ruling: Literal["in", "out", "abort", "kept"] = "kept"


@dataclass(frozen=True, slots=True, kw_only=True)
class BandRow:
    """A number that the stage asks: its band written before, its stop limits, room to write it."""

    words: str
    unit: str = ""
    expected_low: float | None = None
    expected_high: float | None = None
    abort_low: float | None = None
    abort_high: float | None = None
    taken_by: str = ""
    note: str = ""
    mark: str = ""  # where the band comes from
    lacks: str = ""  # what nobody typed yet; the band is then written by hand before the start
    points: tuple[str, ...] = ()  # a box for each; none: one box
    readings: tuple[ReadRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StageSheet:
    """One stage. Empty words print as blanks; without a machine it is the sheet of a kind."""

    stage: str  # P3-V
    title: str
    live: bool  # live work: only why, who, numbers and signature stand on paper
    energises: str = ""
    who: str = ""
    alone_allowed: bool = False
    alone_instead: str = ""
    why: str = ""  # of live work
    does: str = ""  # what to mind, parted by semicolons as all that follows; never of live work
    cautions: tuple[CautionRow, ...] = ()
    closed: tuple[ClosedRow, ...] = ()
    wanting: tuple[str, ...] = ()  # why it stays closed
    bands: tuple[BandRow, ...] = ()
    abort_limits: str = ""
    on_abort: str = ""
    hands_back: str = ""
    leave_it: str = ""
    machine: str = ""
    lot: str = ""
    by_name: str = ""
    at_switch: str = ""
    licence: str = ""
    begun: datetime | None = None
    ended: str = ""  # signed, aborted, as a person reads it
    code: str = ""  # under which the page is found; empty: made from lot, machine, stage
    address: str = ""  # of the page where it is typed in
    by: str = ""
    version: str = ""


def stage_code(sheet: StageSheet) -> str:
    """The code beside the square pattern.

    Parameters
    ----------
    sheet : StageSheet

    Returns
    -------
    str
        Eight signs in two groups; the same stage of the same machine gives the same code.
    """
    return sheet.code or code_of("stage", sheet.lot, sheet.machine, sheet.stage)


def stage_sheet(
    sheet: StageSheet, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print a stage of first power, to be filled in with a pencil and signed.

    Parameters
    ----------
    sheet : StageSheet
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page or two where it can be, else of as many as it takes. Cautions stand
        first and whole; of live work there stand only why, who, numbers, limits and signature.
    """
    code = stage_code(sheet)
    pictures = {"square.svg": square(sheet.address or f"{sheet.lot} {sheet.stage} {code}".strip())}
    fixed = _fixed(sheet, code, at, language) | {"paper": paper}
    printed = b""
    for scale, high, most in _TRIES:
        room = {"scale": scale, "high": high}
        printed = press("stage_sheet", fixed | room, at=at, pictures=pictures)
        if pages(printed) <= most:
            break
    return printed


def _fixed(sheet: StageSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    usual = _usual(sheet.bands)
    return {
        "title": cut(f"{sheet.stage}: {sheet.title}", 110),
        "kicker": cut(", ".join(map(str, filter(None, (sheet.machine, sheet.lot)))), 110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "live": sheet.live,
        "cautions": [
            {"text": on_one_line(one.text), "defers": on_one_line(one.defers_to)}
            for one in sheet.cautions
        ],
        "people": list(_people(sheet, language)),
        "nobody": _nobody(sheet, language),
        "energises": on_one_line(sheet.energises),
        "why": on_one_line(sheet.why) if sheet.live else "",
        "does": [] if sheet.live else items(sheet.does),
        "wanting": _wanting(sheet),
        "opens": _opens(sheet, language),
        "closed": [_closed(one, language) for one in sheet.closed],
        "closed_head": [say(name, language=language) for name in _CLOSED_HEAD],
        "bands": [_band(one, usual, language) for one in sheet.bands],
        "shared": _shared(usual, language),
        "bands_head": [say(name, language=language) for name in _BANDS_HEAD],
        "abort": items(sheet.abort_limits),
        "then": items(sheet.on_abort),
        "hands_back": on_one_line(sheet.hands_back),
        "leave": items(sheet.leave_it),
        "ended": on_one_line(sheet.ended),
        "signing": _signing(sheet, language),
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }


_SENTENCES = {
    "estimate": "Estimate for planning.",
    "safe": "Local codes, the machine's manual and licensed trades go before anything written "
    "here. Stop when a reading leaves its band.",
    "defers": "goes before it:",
    "energises": "Under power:",
    "why": "Why it is done",
    "live": "Live work for a licensed person. How it is done is his and stands on no sheet: here "
    "are why, who, the numbers he hands back, where he stops, and his signature.",
    "wanting": "What keeps this stage closed",
    "closed": "Closed before anything is switched on",
    "does": "In this stage",
    "bands": "Numbers: the band stands before the start, the reading beside it",
    "before": "write before the start",
    "missing": "missing:",
    "taken": "read by:",
    "abort": "Stop at once",
    "then": "After a stop, in this order",
    "dead": "Dead is measured, not waited for: under 50 V DC, with a meter proved before and "
    "after, by a person who may.",
    "hands_back": "To hand back",
    "sign": "Stop here and sign. Nothing goes on by time alone.",
    "leave": "It may be left when",
    "note": "Notes: smells, sounds, what was odd",
    "page": "page",
    "square_says": "square pattern with the page of this stage; its code is printed beside it",
}
_CLOSED_HEAD = ("what", "how", "on", "reading", "by")
_BANDS_HEAD = ("what", "expected", "stop", "read")


def _people(sheet: StageSheet, language: str) -> Iterator[dict[str, str]]:
    """Who does it, who stands at the main switch: names in boxes large enough for a pencil."""
    rows = [("done by, name", sheet.by_name)]
    if not sheet.alone_allowed:
        rows.insert(0, ("at the main switch, name", sheet.at_switch))
    if sheet.live:
        rows.append(("licence", sheet.licence))
    rows.append(("begun, date and time", minute(sheet.begun) if sheet.begun else ""))
    if sheet.who:
        yield {"name": say("who may do it", language=language), "value": cut(sheet.who, 60)}
    for name, value in rows:
        yield {"name": say(name, language=language), "value": cut(value, 60)}


def _nobody(sheet: StageSheet, language: str) -> str:
    if sheet.alone_allowed:
        return say("This stage may be done alone: nothing is under power.", language=language)
    told = say("Nobody at the main switch: this stage stays closed.", language=language)
    if not sheet.alone_instead:
        return told
    instead = say("Alone, instead: {what}.", language=language,
                  what=on_one_line(sheet.alone_instead).rstrip("."))  # fmt: skip
    return f"{told} {instead}"


def _closed(one: ClosedRow, language: str) -> dict[str, object]:
    return {
        "id": one.id,
        "text": cut(one.text),
        "how": say(_HOW[one.how], language=language),
        "when": minute(one.when) if one.when else "",
        "reading": cut(one.reading, 40),
        "by": cut(one.by, 40),
        "open": one.how == "open",
    }


def _wanting(sheet: StageSheet) -> list[str]:
    """What keeps it closed and stands in no row of what must be closed."""
    listed = {on_one_line(one.text) for one in sheet.closed if one.how == "open"}
    return [text for text in map(on_one_line, sheet.wanting) if text not in listed]


def _opens(sheet: StageSheet, language: str) -> str:
    count = sum(one.how == "open" for one in sheet.closed)
    if not count:
        return ""
    return say("{count} of {all} still open: the stage stays closed until each is done, with "
               "its date, reading and name.", language=language, count=count,
               all=len(sheet.closed))  # fmt: skip


def _usual(bands: tuple[BandRow, ...]) -> tuple[str, str]:
    """By whom most numbers are read, and where most bands come from: said once, below all."""
    takers = Counter(one.taken_by for one in bands).most_common(1)
    marks = Counter(one.mark for one in bands).most_common(1)
    return (takers[0][0] if takers else "", marks[0][0] if marks else "")


def _shared(usual: tuple[str, str], language: str) -> str:
    taken, mark = usual
    parts = []
    if taken:
        parts.append(say("Where nothing else is said, read by: {who}.", language=language,
                         who=taken))  # fmt: skip
    if mark:
        parts.append(say("Bands: {mark}.", language=language, mark=mark))
    return " ".join(map(str, parts))


def _band(one: BandRow, usual: tuple[str, str], language: str) -> dict[str, object]:
    taken, mark = usual
    return {
        "words": cut(one.words),
        "note": cut("; ".join(map(str, filter(None, (one.note,
                                                     one.mark if one.mark != mark else ""))))),
        "taken": cut(one.taken_by, 60) if one.taken_by != taken else "",
        "lacks": on_one_line(one.lacks),
        "unit": unit_words(one.unit),
        "expected": expected_words(one.expected_low, one.expected_high, one.unit, language),
        "abort": abort_words(one.abort_low, one.abort_high, one.unit, language),
        "points": [cut(point, 40) for point in one.points] or [""],
        "readings": [
            cut(" ".join(map(str, filter(None, (
                row.point, shown(row.reading, row.unit or one.unit),
                "(" + say(_RULINGS[row.ruling], language=language) + ")",
            )))), 80)
            for row in one.readings
        ],
    }  # fmt: skip


def _signing(sheet: StageSheet, language: str) -> list[str]:
    names = ["name", "date and time", "signature"]
    if sheet.live:
        names.insert(1, later("licence, number"))
    return [say(name, language=language) for name in names]


def _cells(sheet: StageSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("stage of first power: {stage}", language=language, stage=sheet.stage)),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("Instruments, their checks", ""),
        ("Room, °C", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
