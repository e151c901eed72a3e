"""The blank sheet of a test: what to do, in order, and a box for every number."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from retrue.base.formatter import minute, number
from retrue.base.say import say
from retrue.cases.prove.deed import Cell, Deed, Option
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, fitting, press
from retrue.paper.square import square

# letters, columns of boxes, height of a box and of the notes in mm: the roomiest first
_TRIES = ((1.0, 4, 9, 14), (0.94, 5, 8, 10), (0.88, 6, 8, 6), (0.86, 6, 7, 5))
_IN_FULL = 16  # up to so many numbers each has its whole sentence beside it
_LONGEST = 260


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankSheet:
    """A test to be measured with a pencil. Empty words print as blanks to be filled by hand."""

    deed: Deed
    options: Mapping[str, Any]  # as values, of ``options_of``
    cells: tuple[Cell, ...]
    set_name: str = ""  # short name of the set, in the square pattern beside the code
    code: str = ""  # under which the set is kept; empty: made from the test and its options
    address: str = ""  # where it is typed in; empty: the pattern holds the set's name and code
    lot: str = ""
    machine: str = ""
    place: str = ""
    instrument: str = ""
    by: str = ""
    version: str = ""


def blank_code(sheet: BlankSheet) -> str:
    """The code under which the numbers of this sheet are typed in.

    Parameters
    ----------
    sheet : BlankSheet
        The sheet as it is printed.

    Returns
    -------
    str
        Eight signs in two groups; the same test with the same options gives the same code. A set
        that is kept under a code of its own prints that one.
    """
    if sheet.code:
        signs = sheet.code.replace("-", "")
        return f"{signs[:4]}-{signs[4:]}"
    told = (f"{key}\x1e{value}" for key, value in sorted(sheet.options.items()))
    where = (sheet.lot, sheet.machine, sheet.place)
    return code_of(_set_name(sheet), sheet.deed.id, *where, *told)


def blank_sheet(
    sheet: BlankSheet, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print a blank sheet.

    Parameters
    ----------
    sheet : BlankSheet
        The test, its options and its cells in order.
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF; one page where it can be, else as many as the boxes need. No number is left out.
    """
    code = blank_code(sheet)
    fixed = _fixed(sheet, code, at, language) | {"paper": paper}
    widest = max(
        (len(list(rows)) for _, rows in groupby(sheet.cells, lambda c: c.group)), default=1
    )
    pictures = {"square.svg": square(sheet.address or f"{_set_name(sheet)} {code}")}

    def printings() -> Iterator[bytes]:
        for in_full in (True, False):
            if in_full and len(sheet.cells) > _IN_FULL:
                continue
            boxes = {"groups": _groups(sheet.cells, in_full), "in_full": in_full}
            for scale, columns, high, notes in _TRIES:
                room = {"scale": scale, "columns": min(columns, max(widest, 3)), "high": high}
                data = fixed | boxes | room | {"notes": notes}
                yield press("blank_sheet", data, at=at, pictures=pictures)

    return fitting(printings(), 1)


def _set_name(sheet: BlankSheet) -> str:
    return sheet.set_name or " ".join(map(str, filter(None, (sheet.lot, sheet.deed.id))))


def _fixed(sheet: BlankSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    """What stands on the sheet however many boxes it has."""
    deed = sheet.deed
    sentences = {
        "kicker": "Write in pencil, type in afterwards under the code below. An empty box is no "
        "reading.",
        "sign": "Write the sign of every number: + or \u2212.",
        "steps": "In this order",
        "estimate": "Estimate for planning.",
        "numbers": "Numbers",
        "note": "Notes: what was odd, what was changed, what was touched",
        "page": "page",
        "square_says": "square pattern with the name of this set and the code printed beside it",
    }
    return {
        "words": {key: say(text, language=language) for key, text in sentences.items()},
        "title": _short(" ".join(map(str, filter(None, (deed.title, sheet.place)))), 90),
        "what": _short(deed.what),
        "by": sheet.by,
        "language": language,
        "cautions": [_short(text, 400) for text in deed.cautions],
        "steps": [_short(text, 320) for text in deed.steps],
        "options": list(_options(deed, sheet.options)),
        "signed": any(cell.signed for cell in sheet.cells),
        "set_name": _short(_set_name(sheet), 40),
        "code": code,
        "block": _block(sheet, at, language),
    }


def _block(sheet: BlankSheet, at: datetime, language: str) -> list[dict[str, str]]:
    cells = (
        ("Lot, machine", ", ".join(map(str, filter(None, (sheet.lot, sheet.machine))))),
        ("Sheet", say("blank sheet: {test}", language=language, test=sheet.deed.id)),
        ("Instrument, number, certificate", sheet.instrument),
        ("Printed", minute(at)),
        ("Measured by, on", ""),
        ("Air, machine in °C", ""),
        ("State of the machine", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
    return [
        {"name": say(name, language=language), "value": _short(value, 46)} for name, value in cells
    ]


def _options(deed: Deed, options: Mapping[str, Any]) -> Iterator[dict[str, str]]:
    """What the test was told beside its numbers; what it must know and nobody told is a blank."""
    for option in deed.options:
        value = options.get(option.id)
        usual = value is None or value == option.default
        if option.sort == "file" or (usual and not (option.form and option.needed)):
            continue
        yield {"name": option.name, "value": _value(option, value), "unit": option.unit}


def _value(option: Option, value: object) -> str:
    if value is None:
        return ""
    if option.sort == "flag":
        return say("yes") if value else say("no")
    if isinstance(value, int | float):
        return number(value, 0 if float(value).is_integer() else 3)
    return str(value)


def _groups(cells: Sequence[Cell], in_full: bool) -> list[dict[str, object]]:
    """Boxes under their headings; a number of its own for each, counted through."""
    groups: list[dict[str, object]] = []
    numbered = enumerate(cells, 1)
    for heading, members in groupby(numbered, key=lambda pair: pair[1].group):
        rows = list(members)
        labels = _labels([cell for _, cell in rows])
        boxes = [
            {
                "number": place,
                "label": _short(cell.prompt if in_full else label, 200 if in_full else 44),
                "unit": cell.unit,
                "signed": cell.signed,
            }
            for (place, cell), label in zip(rows, labels, strict=True)
        ]
        groups.append({"heading": heading, "boxes": boxes})
    return groups


def _labels(cells: Sequence[Cell]) -> list[str]:
    """What tells each box of a group from the others, in few letters.

    Examples
    --------
    >>> rows = [{"target_mm": "0", "run": "1"}, {"target_mm": "100", "run": "1"}]
    >>> _labels([Cell(id=str(i), row=r, column="d_um", prompt="", unit="µm")
    ...          for i, r in enumerate(rows)])
    ['0 mm', '100 mm']
    """
    names = list(dict.fromkeys(name for cell in cells for name in cell.row))
    told = [n for n in names if len({cell.row.get(n, "") for cell in cells}) > 1]
    columns = {cell.column for cell in cells}
    made = []
    for cell in cells:
        parts = [_named(name, cell.row[name]) for name in told if cell.row.get(name)]
        parts += [_bare(cell.column)] if len(columns) > 1 else []
        made.append(", ".join(map(str, parts)) or cell.prompt)
    return made


def _named(column: str, value: str) -> str:
    """A value with the unit that its column's name ends in, or with the column's own name."""
    for ending, unit in (("_mm", "mm"), ("_deg", "°"), ("_s", "s"), ("_rpm", "rpm"), ("_c", "°C")):
        if column.endswith(ending):
            return f"{value}°" if unit == "°" else f"{value} {unit}"
    return f"{_bare(column)} {value}" if value.lstrip("-").isdigit() else value


def _bare(column: str) -> str:
    for ending in ("_um_per_m", "_um", "_mm", "_c"):
        column = column.removesuffix(ending)
    return column.replace("_", " ")


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
