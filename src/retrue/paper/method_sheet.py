"""The method sheet of a move: every answer behind its cautions, the steps, the data, the boxes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import THIN, minute, number
from retrue.base.recalled import recall
from retrue.base.say import later, say
from retrue.cases.reckon.reckoning import ANSWERS, Against, Answer, Cell, Figure, Listing, Reckoning
from retrue.paper.press import Paper, press

SHAPES: dict[Answer, str] = {  # the three shapes of a ruling: full, half, open with its corner cut
    "go": "proved_good",
    "get_first": "not_proved",
    "no_go": "proved_bad",
}
COLUMNS: Mapping[str, str] = {
    "space": later("space"), "of": later("of"), "needed": later("needed"), "clear": later("clear"),
    "up to": later("up to"), "direction": later("direction"), "side": later("side"),
    "acceleration share": later("acceleration, share of g"), "allowance": later("allowance"),
    "exact": later("exact"), "machine": later("machine"), "room": later("room"),
    "angle": later("angle"), "leg": later("leg"), "tap": later("tap"),
    "secondary": later("secondary"), "deviation": later("deviation"),
}  # fmt: skip
_UNITS = {
    "mm": "mm", "m": "m", "mm2": "mm²", "m2": "m²", "kg": "kg", "deg": "°", "newton": "N",
    "volts": "V", "kva": "kVA", "kw": "kW", "ampere": "A", "amperes": "A", "hz": "Hz", "c": "°C",
    "kelvin": "K", "bar": "bar", "mpa": "MPa", "percent": "%", "s": "s", "minutes": "min",
    "hours": "h", "days": "days", "years": "years", "rpm": "rpm", "megohm": "MΩ", "ohm": "Ω",
    "litre": "l", "litres": "l", "nm": "Nm",
}  # fmt: skip
_LONGEST = 320
_ROWS = 40  # of one listing


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step of the move: what is done, by whom, and the caution that stands before it."""

    number: int
    text: str
    who: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class DataRow:
    """One sort of data saved before the plug is pulled."""

    sort: str
    how: str = ""
    sha256_short: str = ""
    read_back: str = ""  # yes, no, or why not


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodSheet:
    """All that is known of a move. Empty words print as blanks."""

    machine: str
    lot: str
    reckonings: tuple[Reckoning, ...]
    steps: tuple[StepRow, ...] = ()
    data: tuple[DataRow, ...] = ()
    insurance: str = ""
    by: str = ""
    version: str = ""


def method_sheet(
    sheet: MethodSheet,
    *,
    at: datetime,
    pictures: Mapping[str, str] | None = None,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print the method sheet of a move.

    Parameters
    ----------
    sheet : MethodSheet
        Answers in the order of the move, steps, data rescued.
    at : datetime
        When it was printed, with its offset.
    pictures : mapping of str to str, optional
        SVG in the colours of paper, by the answer's method; what has none prints without.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF. Every caution stands whole before the number it belongs to.
    """
    given = {f"{method}.svg": drawn for method, drawn in (pictures or {}).items() if drawn}
    data = _fixed(sheet, at, language) | {
        "paper": paper,
        "answers": [
            _answer(made, f"{made.method}.svg" in given, language) for made in sheet.reckonings
        ],
        "steps": [_step(step) for step in sheet.steps],
        "rescued": [
            [_short(text, 90) for text in (row.sort, row.how, row.sha256_short, row.read_back)]
            for row in sheet.data
        ],
        "boxes": _boxes(language),
    }
    used = {f"{made.method}.svg" for made in sheet.reckonings}
    held = {name: drawn for name, drawn in given.items() if name in used}
    return press("method_sheet", data, at=at, pictures=held)


def _fixed(sheet: MethodSheet, at: datetime, language: str) -> dict[str, object]:
    sentences = {
        "estimate": "Estimate for planning. Local codes, the machine's manual and licensed riggers "
        "and electricians go before anything written here.",
        "all": "Where it stands",
        "defers": "goes before it:",
        "against": "What stands against it",
        "missing": "What to get first",
        "needs": "What is needed",
        "assumed": "Taken because nobody has said, or from memory and unverified",
        "sources": "Sources",
        "source": "source",
        "number": "number",
        "what": "what",
        "steps": "Step by step",
        "done": "done",
        "rescued": "Data saved before the plug is pulled",
        "none_rescued": "No data are saved yet. Copy them before the plug is pulled.",
        "insurance": "Insurance of the move",
        "not_asked": "not asked yet: who pays if it falls, up to how much, from where to where",
        "boxes": "To be filled in by hand, beside the machine",
        "note": "Notes: what was odd, what was changed on the way",
        "page": "page",
    }
    title = say("Method sheet of the move: {machine}", language=language, machine=sheet.machine)
    return {
        "title": _short(title, 110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in sentences.items()},
        "insurance": _short(sheet.insurance, 400),
        "rescued_head": [
            say(name, language=language)
            for name in ("data", "how", "checksum begins", "read back and the same")
        ],
        "block": [
            {"name": say(name, language=language), "value": _short(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }


def _cells(sheet: MethodSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    counts = [sum(made.answer == answer for made in sheet.reckonings) for answer in ANSWERS]
    stands = ", ".join(
        f"{say(word, language=language)} {count}"
        for word, count in zip(ANSWERS.values(), counts, strict=True)
        if count
    )
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("method of the move", language=language)),
        ("Answers", stands),
        ("By", sheet.by),
        ("On", minute(at)),
        ("Checked by, on", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )


def _answer(made: Reckoning, drawn: bool, language: str) -> dict[str, object]:
    word, headline = say(ANSWERS[made.answer], language=language), _clean(made.headline)
    return {
        "title": _short(made.title, 90),
        "shape": SHAPES[made.answer],
        "word": word,
        "twice": headline.casefold().startswith(word.casefold()),
        "headline": headline,
        "cautions": [
            {"text": _clean(one.text), "defers": _clean(one.defers_to)} for one in made.cautions
        ],
        "figures": [_figure(one, language) for one in made.figures],
        "against": [_against(one) for one in made.against],
        "missing": [_against(one) for one in made.missing],
        "needs": [{"text": _short(one.text), "cost": one.cost} for one in made.needs],
        "assumed": [_short(text) for text in made.assumed],
        "notes": [_short(text) for text in made.notes],
        "sources": [_short(recall(text)) for text in made.sources],
        "listings": [_listing(one, language) for one in made.listings],
        "picture": f"{made.method}.svg" if drawn else "",
        "picture_says": _short(made.title, 90),
    }


def _figure(one: Figure, language: str) -> dict[str, str]:
    unknown = one.value is None
    value = say("not known", language=language) if one.value is None else _told(one)
    return {
        "name": _short(one.name, 110),
        "value": value,
        "source": _short(recall(one.why if unknown else one.source), 160),
    }


def _told(one: Figure) -> str:
    """A value with its unit, never parted from it."""
    shown = number(one.value or 0.0, one.digits)
    if one.unit in ("deg", "°"):
        return f"{shown}°"
    return f"{shown}{THIN}{one.unit}" if one.unit else shown


def _against(one: Against) -> dict[str, str]:
    return {"reason": _clean(one.reason), "remedy": _clean(one.remedy)}


def _listing(one: Listing, language: str) -> dict[str, object]:
    left = len(one.rows) - _ROWS
    more = say("{count} more rows stand on the page.", language=language, count=left)
    return {
        "title": _short(one.title, 90),
        "columns": [column_name(name, language) for name in one.columns],
        "words": [
            any(isinstance(row[place], str) for row in one.rows)
            for place in range(len(one.columns))
        ],
        "rows": [[_cell(cell) for cell in row] for row in one.rows[:_ROWS]],
        "more": more if left > 0 else "",
    }


def column_name(column: str, language: str = "") -> str:
    """A column of a listing as a person reads it, its unit behind a comma.

    Parameters
    ----------
    column : str
        ``clear_mm``, ``up to``.
    language : str
        Two letters.

    Returns
    -------
    str

    Examples
    --------
    >>> column_name("clear_mm"), column_name("angle_deg"), column_name("up to")
    ('clear, mm', 'angle, °', 'up to')
    """
    stem, _, ending = column.rpartition("_")
    unit = _UNITS.get(ending, "") if stem else ""
    words = (stem if unit else column).replace("_", " ")
    told = say(COLUMNS.get(words, words), language=language)
    return _short(f"{told}, {unit}" if unit else told, 40)


def _cell(cell: Cell) -> str:
    if cell is None:
        return "\u2013"
    if isinstance(cell, str):
        return _short(cell, 80)
    digits = 0 if float(cell).is_integer() or abs(cell) >= 100 else 1 if abs(cell) >= 10 else 2
    return number(cell, digits)


def _step(step: StepRow) -> dict[str, str]:
    return {
        "number": str(step.number),
        "text": _short(step.text),
        "who": _short(step.who, 60),
        "caution": _clean(step.caution),
    }


def _boxes(language: str) -> list[str]:
    """What must be written beside the machine by those who lift it."""
    names = (
        "mass as weighed, kg",
        "weighed by, with what, on",
        "rigger: name, firm, licence",
        "rigger: signature",
        "who gives the signals: name",
        "who insures, number, up to",
        "wind, rain, floor as found",
        "stop at: what ends the lift",
    )
    return [say(name, language=language) for name in names]


def _clean(text: str) -> str:
    """A text on one line, whole: a caution is never cut."""
    return " ".join(text.split())


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = _clean(text)
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
