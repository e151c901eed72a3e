"""Rows of taking apart for programs: JSON, CSV and XLSX of one and the same columns."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.strip.lines import PlaceStands, TakenLine, TickLine

COLUMNS = ("step", "code", "sort", "what", "from", "to", "place", "count", "torque_nm", "shim_mm",
           "state", "back", "text")  # fmt: skip
CREATED = datetime(2026, 1, 1)  # noqa: DTZ001 -- a file says no clock: same rows, same bytes
NOT_SAID = "not said"


def with_why(told: Mapping[str, Any], why: str = NOT_SAID) -> dict[str, Any]:
    """Say of every value that is null why it is.

    Examples
    --------
    >>> with_why({"count": None, "sort": "bag"})
    {'count': None, 'sort': 'bag', 'why': {'count': 'not said'}}
    """
    return dict(told) | {"why": {key: say(why) for key, value in told.items() if value is None}}


def taken_row(line: TakenLine) -> dict[str, Any]:
    """One thing that was undone, for programs."""
    names = ("back", "by", "code", "count", "id", "place", "place_name", "shim_mm", "sort",
             "state", "step", "text", "torque_nm", "what")  # fmt: skip
    told: dict[str, Any] = {name: getattr(line, name) for name in names}
    told |= {"files": list(line.files), "from": line.from_end, "to": line.to_end}
    told["on"] = line.when.date().isoformat() if line.when else None
    return with_why(told)


def tick_row(line: TickLine) -> dict[str, Any]:
    """One tick, for programs."""
    told: dict[str, Any] = {"caution": line.caution, "done": line.done, "id": line.id}
    told |= {"record": line.record, "text": line.text}
    told["on"] = line.at.date().isoformat() if line.at else None
    return with_why(told, "done again, not taken back" if line.done else "not ticked")


def place_row(one: PlaceStands) -> dict[str, Any]:
    """One place, for programs."""
    names = ("id", "may_clean", "may_take_apart", "name", "needs", "shots", "wanted_shots",
             "wanted_wipes", "wipes")  # fmt: skip
    told: dict[str, Any] = {name: getattr(one, name) for name in names}
    told |= {name: list(getattr(one, name)) for name in ("cautions", "cleaned", "files")}
    for name in ("before_clean", "before_apart"):
        told[name] = [line.entry.id for line in getattr(one, name)]
    told["next"] = one.next.entry.id if one.next else None
    told["entries"] = [_entry_row(line) for line in one.entries]
    return with_why(told, "nothing is left to photograph")


def _entry_row(line: Any) -> dict[str, Any]:
    entry = {key: value for key, value in asdict(line.entry).items() if key != "place"}
    told = {"files": list(line.files), "reading": line.reading, "said": line.text}
    told |= {"record": line.record, "state": line.state, "unit": line.unit, "why_not": line.why}
    return with_why(entry | told)


def cells(lines: Iterable[TakenLine]) -> list[list[Any]]:
    """Heading and rows as they are written to a table; it can be read again as it is."""
    rows: list[list[Any]] = [list(COLUMNS)]
    for line in lines:
        told = {"from": line.from_end, "to": line.to_end, "back": "yes" if line.back else "no"}
        told["place"] = line.place_name
        rows.append([told.get(name, getattr(line, name, None)) for name in COLUMNS])
    return rows


def write_tables(rows: Sequence[Sequence[Any]], to_csv: Path | None, xlsx: Path | None) -> None:
    """Write rows to the files that were asked for."""
    if to_csv is not None:
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(
            ["" if cell is None else cell for cell in row] for row in rows
        )
        put_file(to_csv, out.getvalue().encode())
    if xlsx is not None:
        put_file(xlsx, _xlsx(rows))


def put_file(path: Path, content: bytes) -> None:
    """Write a file that was asked for.

    Raises
    ------
    Unusable
        It cannot be written; the path is named.
    """
    try:
        path.write_bytes(content)
    except OSError as wrong:
        what = say("cannot be written: {why}", why=wrong.strerror or wrong)
        remedy = say("Name a file in a folder that is there and may be written to.")
        raise Unusable(
            say("{path} cannot be written: {why}", path=str(path), why=wrong.strerror or wrong),
            remedy=remedy,
            problems=(Problem(str(path), what, remedy),),
        ) from wrong


def _xlsx(rows: Sequence[Sequence[Any]]) -> bytes:
    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"strings_to_formulas": False, "in_memory": True}) as book:
        book.set_properties({"created": CREATED})
        sheet = book.add_worksheet()
        sheet.freeze_panes(1, 0)
        for at, row in enumerate(rows):
            for place, cell in enumerate(row):
                if isinstance(cell, int | float):
                    sheet.write_number(at, place, cell)
                elif cell:
                    sheet.write_string(at, place, str(cell))
    return out.getvalue()
