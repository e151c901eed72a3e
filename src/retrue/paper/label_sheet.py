"""Labels for what is taken off: to cut out or on plain stickers, each with a code to type."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import minute, number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.paper.codes import read_code
from retrue.paper.press import Paper, press
from retrue.paper.square import square

SORTS = {
    "wire": "wire",
    "hose": "hose",
    "connector": "connector",
    "bag": "bag",
    "part": "part",
}
_PAGES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
_SIDE, _TOP, _FOOT = 9.0, 19.0, 29.0  # mm kept free on a sheet to cut; the foot holds its block
_SET_NAME = 40  # letters: more would make the squares too fine for a small label
_UNBROKEN = 10  # letters of one word that may not be parted
_LONGEST = {"what": 90, "from_end": 64, "to_end": 64, "place": 48, "step": 24}
_SMALLEST = 20.0  # mm of height under which a label cannot hold its code and square
_NARROWEST = 52.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelRow:
    """One label. A wire prints two halves with the same code, one for each end."""

    code: str  # eight signs
    sort: str  # wire, hose, connector, bag, part
    what: str
    from_end: str = ""
    to_end: str = ""
    place: str = ""
    step: str = ""  # of taking apart


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """Labels of one machine, in the order they are printed."""

    machine: str
    lot: str
    rows: tuple[LabelRow, ...]
    by: str = ""
    version: str = ""
    set_name: str = ""  # in the square pattern before the code; empty: lot and machine
    address: str = ""  # in front of the code in the square pattern, instead of the set's name


@dataclass(frozen=True, slots=True, kw_only=True)
class Stickers:
    """A sheet of plain stickers: how they stand on it. Three by eight, edge to edge, unless said.

    ``taken`` stickers at its beginning are gone already.
    """

    columns: int = 3
    rows: int = 8
    left_mm: float = 0.0  # from the edge of the paper to the first sticker
    top_mm: float = 0.0
    across_mm: float | None = None  # from one sticker to the next; None: shared out evenly
    down_mm: float | None = None
    taken: int = 0


@dataclass(frozen=True, slots=True)
class _Grid:
    columns: int
    rows: int
    left: float
    top: float
    wide: float
    high: float
    taken: int


def label_sheet(
    sheet: LabelSheet,
    *,
    at: datetime,
    paper: Paper = "a4",
    language: str = "",
    stickers: Stickers | None = None,
) -> bytes:
    """Print labels.

    Parameters
    ----------
    sheet : LabelSheet
        Machine and labels in order.
    at : datetime
        When they were printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.
    stickers : Stickers, optional
        How the stickers stand on a sheet; none: labels to cut out, three by eight, with the
        title block under them. A sheet of stickers has no room for a title block: each label
        says its machine.

    Returns
    -------
    bytes
        A PDF of as many pages as the labels need. Long words are set smaller or parted; no code
        is ever cut.

    Raises
    ------
    Unusable
        There is no label, a code is not one, two labels share one, or a sticker is too small.
    """
    _check(sheet.rows)
    grid = _cut_grid(paper) if stickers is None else _sticker_grid(stickers, paper)
    pictures = {f"s{place}.svg": square(_holds(sheet, row)) for place, row in enumerate(sheet.rows)}
    data = _fixed(sheet, at, language) | {
        "paper": paper,
        "block": [] if stickers is not None else _block(sheet, at, language),
        "columns": grid.columns,
        "rows": grid.rows,
        "left": grid.left,
        "top": grid.top,
        "wide": grid.wide,
        "high": grid.high,
        "labels": [None] * grid.taken
        + [_label(row, place, sheet, language) for place, row in enumerate(sheet.rows)],
    }
    return press("label_sheet", data, at=at, pictures=pictures)


def _check(rows: tuple[LabelRow, ...]) -> None:
    """Every code is one, and each stands once."""
    problems = []
    seen: dict[str, int] = {}
    for place, row in enumerate(rows, 1):
        where = f"rows[{place}].code"
        try:
            code = read_code(row.code)
        except Unusable as refused:
            problems.append(Problem(where, refused.reason, refused.remedy))
            continue
        if code in seen:
            what = say("{code} stands on label {number} already", code=code, number=seen[code])
            problems.append(Problem(where, what, say("Give every label a code of its own.")))
        seen.setdefault(code, place)
    if not rows:
        problems.append(Problem("rows", say("there is nothing to label yet")))
    if problems:
        raise Unusable(
            say("These labels cannot be printed"),
            remedy=say("Take something off first, or put its code right."),
            problems=tuple(problems),
        )


def _cut_grid(paper: Paper) -> _Grid:
    wide, high = _PAGES[paper]
    return _Grid(3, 8, _SIDE, _TOP, (wide - 2 * _SIDE) / 3, (high - _TOP - _FOOT) / 8, 0)


def _sticker_grid(stickers: Stickers, paper: Paper) -> _Grid:
    page_wide, page_high = _PAGES[paper]
    columns, rows = max(1, stickers.columns), max(1, stickers.rows)
    wide = stickers.across_mm or (page_wide - 2 * stickers.left_mm) / columns
    high = stickers.down_mm or (page_high - 2 * stickers.top_mm) / rows
    over = stickers.left_mm + wide * columns > page_wide + 0.5
    over = over or stickers.top_mm + high * rows > page_high + 0.5
    if over or wide < _NARROWEST or high < _SMALLEST:
        raise Unusable(
            say(
                "A sticker of {wide} x {high} mm in {columns} by {rows} does not do",
                wide=number(wide, 1),
                high=number(high, 1),
                columns=columns,
                rows=rows,
            ),
            remedy=say(
                "Take stickers of at least {wide} x {high} mm that lie on the paper.",
                wide=number(_NARROWEST),
                high=number(_SMALLEST),
            ),
        )
    taken = min(max(stickers.taken, 0), columns * rows - 1)
    return _Grid(columns, rows, stickers.left_mm, stickers.top_mm, wide, high, taken)


def _holds(sheet: LabelSheet, row: LabelRow) -> str:
    """What a telephone reads off the label."""
    code = read_code(row.code)
    return f"{sheet.address}{code}" if sheet.address else f"{_set_name(sheet)} {code}"


def _set_name(sheet: LabelSheet) -> str:
    told = " ".join(" ".join(map(str, filter(None, (sheet.lot, sheet.machine)))).split())
    return sheet.set_name or told[:_SET_NAME].rstrip()


def _fixed(sheet: LabelSheet, at: datetime, language: str) -> dict[str, object]:
    sentences = {
        "kicker": "Cut along the thin lines. A wire has two halves, one for each end: fold at the "
        "dashes, the narrow strip goes round the wire.",
        "page": "page",
        "from": "from",
        "to": "to",
        "other": "other end",
        "round": "round the wire",
    }
    told = {key: say(text, language=language) for key, text in sentences.items()}
    title = say("Labels: {machine}", language=language, machine=sheet.machine)
    return {
        "title": _short(title, 90),
        "machine": _parted(_short(sheet.machine, 40)),
        "by": sheet.by,
        "language": language,
        "words": told,
    }


def _label(row: LabelRow, place: int, sheet: LabelSheet, language: str) -> dict[str, object]:
    told = {
        name: _parted(_short(getattr(row, name), longest)) for name, longest in _LONGEST.items()
    }
    if row.step.isdigit():
        told["step"] = say("step {number}", language=language, number=row.step)
    code = read_code(row.code)
    says = say("square pattern with the name of this set and {code}", language=language, code=code)
    return told | {
        "step": told["step"].replace(" ", "\u00a0"),
        "code": code,
        "sort": say(SORTS.get(row.sort, row.sort), language=language),
        "flag": row.sort == "wire",
        "square": f"s{place}.svg",
        "says": says,
    }


def _block(sheet: LabelSheet, at: datetime, language: str) -> list[dict[str, str]]:
    counts = [
        (SORTS.get(sort, sort), sum(row.sort == sort for row in sheet.rows)) for sort in SORTS
    ]
    told = ", ".join(f"{say(name, language=language)} {count}" for name, count in counts if count)
    cells = (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("labels: {count}", language=language, count=number(len(sheet.rows)))),
        ("Of these", told),
        ("By", sheet.by),
        ("Printed", minute(at)),
        ("Set, in the square patterns", _set_name(sheet)),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
    return [
        {"name": say(name, language=language), "value": _parted(_short(value, 64))}
        for name, value in cells
    ]


def _parted(text: str) -> str:
    """Long words get places where they may be parted, without a hyphen that is not theirs.

    Examples
    --------
    >>> _parted("K3:14 Kabelbaumverlängerung").replace("\u200b", "|")
    'K3:14 Kabelbaumv|erlängerun|g'
    """
    return re.sub(rf"(\S{{{_UNBROKEN}}})(?=\S)", "\\1\u200b", text)


def _short(text: str, longest: int) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
