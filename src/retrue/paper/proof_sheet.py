"""A result on paper: the answer, what to turn, what should then be read, and what it rests on."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import minute, number
from retrue.base.say import say
from retrue.cases.prove.proof import Cell, Grid, Proof
from retrue.cases.prove.said import RULINGS, quantity_words, then_read_words, verdict_words
from retrue.paper.press import Paper, pages, press

# letters, rows of a table, height of the picture in mm, pages allowed: the roomiest first
_TRIES = (
    (1.0, 40, 110, 1), (0.93, 40, 95, 1), (0.86, 40, 80, 1), (0.86, 20, 70, 1),
    (1.0, 60, 150, 2), (0.93, 40, 150, 2), (0.86, 40, 130, 2), (0.86, 12, 120, 2),
    (0.86, 6, 100, 2),
)  # fmt: skip
_WIDEST = 135  # of the picture, mm
_LONGEST = 420


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofSheet:
    """A result and what stood beside its readings. Empty words print as blanks."""

    proof: Proof
    lot: str = ""
    machine: str = ""
    place: str = ""
    instrument: str = ""
    air_c: float | None = None
    machine_c: float | None = None
    state: str = ""
    measured: str = ""  # when the readings were taken, as a person reads it
    code: str = ""  # of the set
    by: str = ""
    version: str = ""


def proof_sheet(
    sheet: ProofSheet,
    *,
    picture: str | None,
    at: datetime,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print a result.

    Parameters
    ----------
    sheet : ProofSheet
        The result, with its place, instrument and temperatures.
    picture : str or None
        Its picture as finished SVG with the colours of paper; None: the table says it.
    at : datetime
        When it is printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page, of two where there is much to say. Rows of a table that do not fit are
        counted.
    """
    pictures = {"picture.svg": picture} if picture else {}
    fixed = _fixed(sheet, at, language) | {"paper": paper, "picture": bool(picture)}
    printed = b""
    shape = _shape(picture or "")
    for scale, rows, high, most in _TRIES:
        grids = [_grid(one, rows, language) for one in sheet.proof.tables]
        data = fixed | {"scale": scale, "grids": grids, "wide": min(_WIDEST, high / shape)}
        printed = press("proof_sheet", data, at=at, pictures=pictures)
        if pages(printed) <= most:
            break
    return printed


def _shape(picture: str) -> float:
    """Height of a drawing over its width.

    Examples
    --------
    >>> _shape('<svg viewBox="0 0 340 170">')
    0.5
    """
    found = re.search(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"', picture)
    return float(found[2]) / float(found[1]) if found else 1.0


def _fixed(sheet: ProofSheet, at: datetime, language: str) -> dict[str, object]:
    """What stands on the sheet whatever its room."""
    proof = sheet.proof
    sentences = {
        "estimate": "Estimate for planning.",
        "remedy": "Do this",
        "read": "You should then read",
        "numbers": "The numbers",
        "means": "What the readings mean",
        "blames": "Where it comes from",
        "cannot": "What these readings cannot tell",
        "warnings": "Mind",
        "rests": "What it rests on",
        "provisional": "Nothing is judged, blamed or turned on these readings.",
        "judged": "Judged:",
        "page": "page",
    }
    return {
        "words": {key: say(text, language=language) for key, text in sentences.items()},
        "title": _short(proof.title + (f", {sheet.place}" if sheet.place else ""), 90),
        "kicker": _short(", ".join(map(str, filter(None, (sheet.lot, sheet.machine)))), 110),
        "language": language,
        "by": sheet.by,
        "headline": _short(proof.headline),
        "picture_says": _short(proof.headline),
        "provisional": proof.provisional,
        "cautions": _all(proof.cautions),
        "warnings": _all(proof.warnings),
        "remedy": _all(one.text for one in proof.remedy),
        "then_read": _all(map(then_read_words, proof.then_read)),
        "finds": _all(proof.finds),
        "blames": _all(proof.blames),
        "cannot_tell": _all(proof.cannot_tell),
        "quantities": [{"name": q.name, "value": quantity_words(q)} for q in proof.quantities],
        "verdict": _verdict(proof, language),
        "rests": list(_rests(proof, language)),
        "block": _block(sheet, at, language),
    }


def _verdict(proof: Proof, language: str) -> dict[str, str] | None:
    verdict = proof.verdict
    if verdict is None:
        return None
    judged = next((q for q in proof.quantities if q.key == verdict.key), None)
    told, limit = verdict_words(verdict, judged.digits if judged else 1)
    return {
        "ruling": verdict.ruling,
        "word": say(RULINGS[verdict.ruling], language=language),
        "told": told,
        "limit": limit,
        "name": judged.name if judged else verdict.key,
        "value": quantity_words(judged) if judged else number(verdict.value, 1),
    }


def _rests(proof: Proof, language: str) -> Iterator[str]:
    """The fine print: method, standard, what was taken where nobody said."""
    if proof.method:
        yield say("Method: {method}.", language=language, method=proof.method.rstrip("."))
    source = " ".join(str(part) for part in (proof.standard, proof.edition) if part)
    if source and source not in proof.method:
        yield say("Standard: {source}.", language=language, source=source)
    yield say("Give or take: expanded uncertainty, k = 2.", language=language)
    yield from _all(proof.assumed)


def _grid(grid: Grid, most: int, language: str) -> dict[str, object]:
    left = len(grid.rows) - most
    more = "and {count} more rows, in the readings themselves"
    return {
        "title": grid.title,
        "columns": list(grid.columns),
        "rows": [[_cell(cell, grid.digits) for cell in row] for row in grid.rows[:most]],
        "more": say(more, language=language, count=left) if left > 0 else "",
    }


def _cell(cell: Cell, digits: int) -> str:
    if cell is None:
        return "\u2013"
    if isinstance(cell, str):
        return cell
    return number(cell, 0 if isinstance(cell, int) else digits)


def _block(sheet: ProofSheet, at: datetime, language: str) -> list[dict[str, object]]:
    proof = sheet.proof
    degrees = [
        say(text, language=language, value=number(value, 1))
        for text, value in (
            ("air {value} °C", sheet.air_c),
            ("machine {value} °C", sheet.machine_c),
        )
        if value is not None
    ]
    cells: tuple[tuple[str, str, int], ...] = (
        ("Lot, machine", ", ".join(map(str, filter(None, (sheet.lot, sheet.machine)))), 2),
        ("Sheet", say("result: {test}", language=language, test=proof.deed), 1),
        ("By, on", ", ".join(map(str, filter(None, (sheet.by, minute(at))))), 2),
        ("Set", sheet.code, 1),
        ("Instrument", sheet.instrument, 2),
        ("Temperature", ", ".join(map(str, degrees)), 1),
        ("State, measured", ", ".join(map(str, filter(None, (sheet.state, sheet.measured)))), 2),
        ("Edition", f"retrue {sheet.version}" if sheet.version else "", 1),
    )
    return [
        {"name": say(name, language=language), "value": _short(value, 46 * span), "span": span}
        for name, value, span in cells
    ]


def _all(texts: Iterable[str]) -> list[str]:
    return [_short(text) for text in texts]


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
