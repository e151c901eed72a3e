"""The layout drawing: a floor plan at a true scale, with what each space needs and has."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.base.formatter import minute, number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.reckon.reckoning import ANSWERS, Cell, Listing, Reckoning
from retrue.paper.method_sheet import SHAPES, column_name
from retrue.paper.press import press

LayoutPaper = Literal["a4", "a3", "us-letter", "us-tabloid"]
# Room for the drawing on a sheet that lies on its side, in mm: across, and down.
ROOM: dict[LayoutPaper, tuple[float, float]] = {
    "a4": (269.0, 138.0),
    "a3": (392.0, 225.0),
    "us-letter": (251.0, 144.0),
    "us-tabloid": (403.0, 207.0),
}
CHECK_MM = 100.0  # a line that is measured on the print
_ROWS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutSheet:
    """A floor plan drawn at a scale. Empty words print as blanks."""

    machine: str
    lot: str
    answer: Reckoning  # of the floor plan
    plan: str  # SVG in the colours of paper
    scale: int  # one to that many
    wide_mm: float  # at which it is printed, so that the scale is true
    high_mm: float
    place: str = ""  # whose hall
    by: str = ""
    version: str = ""


def layout_sheet(
    sheet: LayoutSheet, *, at: datetime, paper: LayoutPaper = "a4", language: str = ""
) -> bytes:
    """Print a layout drawing.

    Parameters
    ----------
    sheet : LayoutSheet
        The plan at its scale, and the answer it belongs to.
    at : datetime
        When it was printed, with its offset.
    paper : "a4", "a3", "us-letter" or "us-tabloid"
        Size of the paper; it lies on its side.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF: the drawing on its first page, what each space needs and has on the next.

    Raises
    ------
    Unusable
        The drawing is larger than the room on that paper: its scale would no longer be true.
    """
    wide, high = ROOM[paper]
    if sheet.wide_mm > wide + 0.01 or sheet.high_mm > high + 0.01:
        what = say("{a} x {b} mm on {wide} x {high} mm", a=number(sheet.wide_mm),
                   b=number(sheet.high_mm), wide=number(wide), high=number(high))  # fmt: skip
        raise Unusable(
            say("At 1:{scale} the plan does not fit this paper", scale=sheet.scale),
            remedy=say("Take a smaller scale or larger paper."),
            problems=(Problem("paper", what),),
        )
    data = _fixed(sheet, at, language) | {"paper": paper}
    return press("layout_sheet", data, at=at, pictures={"plan.svg": sheet.plan})


def _fixed(sheet: LayoutSheet, at: datetime, language: str) -> dict[str, object]:
    made = sheet.answer
    sentences = {
        "estimate": "Estimate for planning.",
        "defers": "goes before it:",
        "against": "What stands against it",
        "missing": "What to get first",
        "assumed": "Taken because nobody has said, or from memory and unverified",
        "check": "This line is 100 mm where the print is true to scale.",
        "page": "page",
        "plan": "floor plan to scale, its numbers in the tables behind it",
    }
    title = say("Layout: {machine}", language=language, machine=sheet.machine)
    return {
        "title": _short(title, 90),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in sentences.items()},
        "scale": f"1:{sheet.scale}",
        "wide": sheet.wide_mm,
        "check": CHECK_MM,
        "shape": SHAPES[made.answer],
        "word": say(ANSWERS[made.answer], language=language),
        "headline": " ".join(made.headline.split()),
        "cautions": [
            {"text": " ".join(one.text.split()), "defers": " ".join(one.defers_to.split())}
            for one in made.cautions
        ],
        "against": [[one.reason, one.remedy] for one in made.against],
        "missing": [[one.reason, one.remedy] for one in made.missing],
        "notes": [_short(text, 400) for text in made.notes],
        "assumed": [_short(text, 200) for text in made.assumed],
        "listings": [_listing(one, language) for one in made.listings],
        "block": [
            {"name": say(name, language=language), "value": _short(value, 60)}
            for name, value in _cells(sheet, at, language)
        ],
    }


def _cells(sheet: LayoutSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    return (
        ("Lot", sheet.lot),
        ("Machine", sheet.machine),
        ("Sheet", say("layout drawing", language=language)),
        ("Scale", say("1:{scale}, lengths in mm", language=language, scale=sheet.scale)),
        ("Hall", sheet.place),
        ("By", sheet.by),
        ("On", minute(at)),
        ("Measured by, on", ""),
        ("Checked by, on", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )


def _listing(one: Listing, language: str) -> dict[str, object]:
    left = len(one.rows) - _ROWS
    more = say("{count} more rows stand on the page.", language=language, count=left)
    return {
        "title": _short(one.title, 90),
        "columns": [column_name(name, language) for name in one.columns],
        "rows": [[_cell(cell) for cell in row] for row in one.rows[:_ROWS]],
        "more": more if left > 0 else "",
    }


def _cell(cell: Cell) -> str:
    if cell is None:
        return "\u2013"
    return _short(cell, 80) if isinstance(cell, str) else number(cell)


def _short(text: str, longest: int) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
