"""Taking apart on paper: the log of a machine, and the sheet for the first night with its boxes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import THIN, minute, number
from retrue.base.say import say
from retrue.cases.strip.lines import (
    CleaningStands,
    EntryLine,
    FirstNight,
    PlaceStands,
    ReadingLine,
    TakenLine,
    TickLine,
)
from retrue.paper.codes import read_code
from retrue.paper.press import Paper, press

_LONGEST = 240
_STATES = {"done": "done", "later": "later", "not_possible": "not possible", "open": "open"}
_RULINGS = {"proved_good": "proved good", "not_proved": "not proved", "proved_bad": "proved bad"}


@dataclass(frozen=True, slots=True)
class EveningRow:
    """One evening: its day, and the ticks of leaving it."""

    day: str
    ticks: tuple[TickLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripSheet:
    """The log of taking a machine apart, or what it asks on the first night."""

    machine: str
    lot: str
    night: FirstNight
    taken: tuple[TakenLine, ...] = ()  # in the order of taking apart
    cleaning: CleaningStands | None = None
    evenings: tuple[EveningRow, ...] = ()
    by: str = ""
    version: str = ""


def strip_sheet(
    sheet: StripSheet, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print the log of taking apart: as found, what is off, cleaning readings, evenings.

    Parameters
    ----------
    sheet : StripSheet
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of as many pages as it takes: nothing that is off is left out.
    """
    off = tuple(reversed([one for one in sheet.taken if not one.back]))
    data = _fixed(sheet, at, language, say("log of taking apart", language=language)) | {
        "paper": paper,
        "title": _short(say("Taken apart: {machine}", language=language, machine=sheet.machine)),
        "counts": _counts(sheet, language),
        "ticks": [_tick(one) for one in sheet.night.ticks],
        "places": [_place(one, language) for one in sheet.night.places],
        "off": [_row(one, language, back=False) for one in off],
        "taken": [_row(one, language, back=True) for one in sheet.taken],
        "stuck": [
            " ".join(
                map(str, filter(None, (_code(one), one.what, _state(one, language), one.text)))
            )
            for one in sheet.taken
            if one.state != "whole"
        ],
        "readings": _readings(sheet.cleaning, language),
        "accepted": _clean(sheet.cleaning.why) if sheet.cleaning else "",
        "evenings": _evenings(sheet.evenings),
    }
    return press("strip_sheet", data, at=at)


def first_night_sheet(
    sheet: StripSheet, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print the sheet for the first night: what to do in its order, a box for each line.

    Parameters
    ----------
    sheet : StripSheet
        Only ``night`` and the names are used; what is done already prints as a tick.
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF; each caution stands before the lines it belongs to.
    """
    night = sheet.night
    data = _fixed(sheet, at, language, say("first night", language=language)) | {
        "paper": paper,
        "title": _short(say("First night: {machine}", language=language, machine=sheet.machine)),
        "ticks": [_tick(one) for one in night.ticks],
        "dies": [_tick(one) for one in night.dies_first],
        "allowed": [_tick(one) for one in night.allowed],
        "places": [_place(one, language) for one in night.places],
        "wanted": say(
            "{shots} photographs and {wipes} wipes before anything is cleaned", language=language,
            shots=number(night.wanted_shots), wipes=number(night.wanted_wipes),
        ),
    }  # fmt: skip
    return press("first_night_sheet", data, at=at)


def _fixed(sheet: StripSheet, at: datetime, language: str, what: str) -> dict[str, object]:
    sentences = {
        "safe": "Main switch off, locked with your own key, before hands go anywhere. Local codes "
        "and licensed trades go before anything written here.",
        "estimate": "Estimate for planning.",
        "its_here": "It is here",
        "leave": "It may be left",
        "dies": "What dies first",
        "allowed": "Always allowed",
        "found": "As found",
        "off": "Not yet back, in the order of putting it together",
        "none_off": "Everything that was taken off is back.",
        "nothing": "Nothing was taken off yet.",
        "taken": "Everything that was taken off, in its order",
        "stuck": "Stuck or broken",
        "readings": "Cleaning, by readings",
        "no_readings": "No readings of the cleaning yet.",
        "evenings": "Left in the evening",
        "camera": "Camera and wipes, place by place",
        "because": "not possible because",
        "read": "read",
        "tomorrow": "What may be cleaned tomorrow, by name",
        "note": "Notes: smells, sounds, what was odd",
        "page": "page",
    }
    heads = {
        "taken_head": ("step", "label", "what", "from, to", "place", "pieces", "torque, shim",
                       "back"),
        "found_head": ("what", "state", "reading or why"),
        "readings_head": ("where", "before", "after", "after running", "result"),
    }  # fmt: skip
    return {
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in sentences.items()},
        **{key: [say(text, language=language) for text in row] for key, row in heads.items()},
        "block": [
            {"name": say(name, language=language), "value": _short(value, 60)}
            for name, value in _cells(sheet, at, what)
        ],
    }


def _cells(sheet: StripSheet, at: datetime, what: str) -> tuple[tuple[str, str], ...]:
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", what),
        ("Photographs, wipes", f"{number(sheet.night.shots)}, {number(sheet.night.wipes)}"),
        ("By", sheet.by),
        ("Printed", minute(at)),
        ("Filled in by, on", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )


def _counts(sheet: StripSheet, language: str) -> str:
    off = sum(not one.back for one in sheet.taken)
    return say(
        "{taken} taken off, {off} not yet back; {shots} of {wanted} photographs, {wipes} of "
        "{towels} wipes.",
        language=language,
        taken=number(len(sheet.taken)),
        off=number(off),
        shots=number(sheet.night.shots),
        wanted=number(sheet.night.wanted_shots),
        wipes=number(sheet.night.wipes),
        towels=number(sheet.night.wanted_wipes),
    )


def _tick(one: TickLine) -> dict[str, object]:
    when = minute(one.at) if one.done and one.at is not None else ""
    return {"text": _short(one.text), "caution": _clean(one.caution), "done": one.done,
            "when": when}  # fmt: skip


def _place(one: PlaceStands, language: str) -> dict[str, object]:
    return {
        "name": one.name,
        "needs": _clean(one.needs),
        "cautions": [_clean(text) for text in one.cautions],
        "counted": say(
            "{shots} of {wanted} photographs, {wipes} of {towels} wipes", language=language,
            shots=one.shots, wanted=one.wanted_shots, wipes=one.wipes, towels=one.wanted_wipes,
        ),
        "entries": [_entry(line, language) for line in one.entries],
    }  # fmt: skip


def _entry(line: EntryLine, language: str) -> dict[str, object]:
    reading = ""
    if line.reading is not None:
        reading = _number(line.reading) + (THIN + line.unit if line.unit else "")
    told = "; ".join(map(str, filter(None, (reading, line.why, line.text))))
    if line.files:
        told = "; ".join(
            filter(None, (say("photographed: {count}", language=language, count=len(line.files)),
                          told))
        )  # fmt: skip
    return {
        "text": _short(line.entry.text),
        "sort": line.entry.what,
        "note": _short(line.entry.note, 160),
        "state": say(_STATES[line.state], language=language),
        "done": line.state == "done",
        "told": _short(told, 160),
        "why": line.state == "not_possible",
    }


def _code(one: TakenLine) -> str:
    return read_code(one.code)


def _state(one: TakenLine, language: str) -> str:
    return say(one.state, language=language) if one.state != "whole" else ""


def _row(one: TakenLine, language: str, *, back: bool) -> list[str]:
    ends = " \u2192 ".join(map(str, filter(None, (one.from_end, one.to_end))))
    torque = "" if one.torque_nm is None else _number(one.torque_nm) + THIN + "Nm"
    shim = "" if one.shim_mm is None else _number(one.shim_mm) + THIN + "mm"
    what = ", ".join(map(str, filter(None, (say(one.sort, language=language), one.what,
                                   _state(one, language)))))  # fmt: skip
    done = say("back", language=language) if one.back else say("off", language=language)
    return [
        str(one.step),
        _code(one),
        _short(what, 110),
        _short(ends, 90),
        _short(one.place_name or one.place, 40),
        "" if one.count is None else number(one.count),
        ", ".join(map(str, filter(None, (torque, shim)))),
        done if back else "",
    ]


def _readings(cleaning: CleaningStands | None, language: str) -> list[dict[str, object]]:
    if cleaning is None:
        return []
    return [
        {
            "where": _short(f"{one.point}, {say(one.sort, language=language)}", 90),
            "values": [
                _value(value, seen, one.unit, language)
                for value, seen in (
                    (one.before, one.before_seen),
                    (one.after, one.after_seen),
                    (one.after_running, one.after_running_seen),
                )
            ],
            "ruling": one.ruling or "",
            "word": say(_RULINGS[one.ruling], language=language) if one.ruling else "",
            "why": _short(one.why, 160),
        }
        for one in _in_order(cleaning.readings)
    ]


def _in_order(readings: tuple[ReadingLine, ...]) -> list[ReadingLine]:
    """What is proved bad first, what has no rule last."""
    rank = {"proved_bad": 0, "not_proved": 1, "proved_good": 2, None: 3}
    return sorted(readings, key=lambda one: rank[one.ruling])


def _value(value: float | None, seen: str, unit: str, language: str) -> str:
    told = "" if value is None else _number(value) + (THIN + unit if unit else "")
    return ", ".join(map(str, filter(None, (told, say(seen, language=language) if seen else ""))))


def _evenings(rows: tuple[EveningRow, ...]) -> dict[str, object]:
    """A table of days and ticks; the ticks are named by the first evening."""
    names = [_short(one.text, 70) for one in rows[0].ticks] if rows else []
    return {
        "names": names,
        "rows": [
            {"day": row.day, "done": [one.done for one in row.ticks][: len(names)]} for row in rows
        ],
    }


def _number(value: float) -> str:
    digits = next((d for d in range(4) if abs(value - round(value, d)) < 1e-9), 4)
    return number(value, digits)


def _clean(text: str) -> str:
    """A text on one line, whole: a caution is never cut."""
    return " ".join(text.split())


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = _clean(text)
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
