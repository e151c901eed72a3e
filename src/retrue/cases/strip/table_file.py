"""What was undone, and readings of cleaning, as a table that a person wrote. Nothing is guessed."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from retrue.base.codes import code_of, read_code
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.base.units import convert as converted
from retrue.base.units import number, read
from retrue.cases.prove.table import MOST_NAMED, Table, read_table
from retrue.cases.strip.lines import TakenLine
from retrue.cases.strip.order import SORTS
from retrue.records.checking import problems_of
from retrue.records.stripping import CleanReading, Taken

TAKEN_COLUMNS: Mapping[str, str] = {
    "sort": "wire, hose, connector, bag or part; left out, it is a bag for `strip bags`",
    "what": "what it is",
    "from": "where one end belongs: a wire or a hose has at least one end",
    "to": "where the other end belongs",
    "place": "where on the machine",
    "count": "pieces",
    "torque": "with its unit: 35 Nm, 26 lbf.ft; or a column torque_nm of bare numbers",
    "shim": "with its unit: 0.5 mm, 0.02 in; or a column shim_mm of bare numbers",
    "state": "whole, stuck or broken; left out, whole",
    "step": "order of taking apart; left out, the order of the rows",
    "code": "eight signs, if it has a label already; left out, one is made",
    "back": "yes, if it is back",
    "text": "a sentence",
}
READING_COLUMNS: Mapping[str, str] = {
    "place": "where on the machine",
    "point": "where exactly: the same words before and after",
    "sort": "insulation (a power circuit to earth), winding (a motor to earth), tape, wipe, sludge "
    "or other",
    "when": "before, after or after_running",
    "reading": "with its unit: 20 MΩ, 0.4 GΩ; or a column reading_megohm of bare numbers",
    "seen": "of a wipe or tape: clean, grey, dirty",
    "temperature": "of the room, with its unit: 21 °C, 70 °F; or a column temperature_c",
    "humidity": "of the room, with its unit: 45 %; or a column humidity_percent",
}
BACK = {"yes": True, "y": True, "x": True, "back": True, "no": False, "n": False, "": False}
NO_PLACE = "-"  # of a reading in a table that names none
MOST_DIGITS = 9  # of a count or a step
STATES = ("whole", "stuck", "broken")
_NAMES = {"from_end": "from", "to_end": "to", "torque_nm": "torque", "shim_mm": "shim"}
_BARE = {"torque_nm": ("torque", "Nm"), "shim_mm": ("shim", "mm"),
         "reading_megohm": ("reading", "megohm"), "temperature_c": ("temperature", "°C"),
         "humidity_percent": ("humidity", "%")}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of a table, and all that is wrong with it."""

    table: Table
    at: int
    problems: list[Problem] = field(default_factory=list)

    def cell(self, column: str) -> str:
        """As written; empty where there is no such column."""
        return self.table.columns[column][self.at] if self.table.has(column) else ""

    def wrong(self, column: str, what: str, remedy: str = "") -> None:
        """Name a cell."""
        self.problems.append(Problem(self.table.where(self.at, column), what, remedy))

    def amount(self, bare: str) -> float | None:
        """A quantity: bare in the column that names its unit, with its unit in the other."""
        column, unit = _BARE[bare]
        plain, written = self.cell(bare), self.cell(column)
        if not plain and not written:
            return None
        if plain and written:
            both = say("stands beside a {other} in the same row", other=column)
            self.wrong(bare, both, say("Leave one of the two empty: nothing is chosen."))
            return None
        try:
            if plain:
                return float(number(plain, field=bare))
            found = read(written, field=column)
            if not found.unit:
                example = {"Nm": "35 Nm", "mm": "0.5 mm", "megohm": "20 MΩ", "°C": "21 °C"}
                self.wrong(
                    column,
                    say("{text} has no unit", text=f"“{written}”"),
                    say("Write it as {example}: it is not guessed.",
                        example=example.get(unit, "45 %")),
                )  # fmt: skip
                return None
            return float(converted(found.value, found.unit, unit, field=column))
        except Unusable as refused:
            one = refused.problems[0] if refused.problems else Problem("", refused.reason)
            self.wrong(bare if plain else column, one.what, one.remedy)
            return None

    def whole(self, column: str) -> int | None:
        """A whole number above zero."""
        text = self.cell(column)
        digits = text.lstrip("0") if text.isascii() and text.isdigit() else ""
        if text and not 0 < len(digits) <= MOST_DIGITS:
            short = text if len(text) <= 2 * MOST_DIGITS else f"{text[:MOST_DIGITS]}…"
            what = say("{text} is no whole number above zero", text=f"“{short}”")
            self.wrong(column, what, say("It has {most} digits at most.", most=MOST_DIGITS))
            return None
        return int(text) if text else None

    def word(self, column: str, allowed: tuple[str, ...], empty: str) -> str:
        """One of a few words."""
        text = "_".join(self.cell(column).casefold().split()) or empty
        if text not in allowed:
            said = f"“{text}”" if text else say("an empty cell")
            self.wrong(column, said, say("Write {named}.", named=", ".join(filter(None, allowed))))
            return allowed[0]
        return text


def read_taken(content: bytes, name: str, sort: str = "") -> tuple[TakenLine, ...]:
    """Read a list of what was undone.

    Parameters
    ----------
    content : bytes
        CSV, one thing a row; the columns of ``TAKEN_COLUMNS``, none of which must be there but
        sort, and what or an end.
    name : str
        For refusals.
    sort : str
        What a row is where the table has no column sort.

    Returns
    -------
    tuple of TakenLine
        In the order of taking apart. A code that is not given follows from the row's words, so the
        same list gives the same codes.

    Raises
    ------
    Unreadable, Unusable
        Every bad cell is named by row and column.

    Examples
    --------
    >>> [line] = read_taken(b"sort,from,torque\\nhose,pump P1,26 lbf.ft\\n", "list.csv")
    >>> line.from_end, round(line.torque_nm, 3)
    ('pump P1', 35.251)
    """
    table = _table(content, name)
    if not sort:
        table.need("sort")
    _known_columns(table, TAKEN_COLUMNS)
    problems: list[Problem] = []
    rows = [_taken(_Row(table, at, problems), sort) for at in range(len(table))]
    problems += _twice(table, [row["code"] for row in rows])
    _refuse(name, problems)
    have = {row["code"] for row in rows}  # the written ones first: a made one gives way to them
    made: list[TakenLine] = []
    for at, row in enumerate(rows):
        code = row["code"] or _code(row, have)
        have.add(code)
        line = TakenLine(
            **{**row, "code": code, "step": row["step"] or at + 1},
            id=code, record=code, place_name=row["place"], files=(), when=None, by="",
        )  # fmt: skip
        made.append(line)
    return tuple(sorted(made, key=lambda line: line.step))


def read_cleaning(content: bytes, name: str) -> tuple[CleanReading, ...]:
    """Read the readings that cleaning is proved by.

    Parameters
    ----------
    content : bytes
        CSV, one reading a row; the columns of ``READING_COLUMNS``.
    name : str
        For refusals.

    Returns
    -------
    tuple of CleanReading
        In the order of the rows.

    Raises
    ------
    Unreadable, Unusable
        Every bad cell is named by row and column.

    Examples
    --------
    >>> text = "point,sort,when,reading\\nmain,insulation,after,0.5 GΩ\\n".encode()
    >>> read_cleaning(text, "readings.csv")[0].reading
    500.0
    """
    table = _table(content, name)
    table.need("sort", "when")
    _known_columns(table, READING_COLUMNS)
    problems: list[Problem] = []
    found = [_reading(_Row(table, at, problems)) for at in range(len(table))]
    _refuse(name, problems)
    return tuple(found)


def _table(content: bytes, name: str) -> Table:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise Unreadable(
            say("{name} is written in UTF-16", name=name),
            remedy=say("Save it as CSV in UTF-8, or as XLSX."),
        )
    return read_table(content, name)


def _taken(row: _Row, sort: str) -> dict[str, Any]:
    back = row.cell("back").casefold()
    if back not in BACK:
        row.wrong("back", f"“{back}”", say("Write yes, or leave it empty."))
    told: dict[str, Any] = {
        "sort": row.word("sort", SORTS, "" if row.table.has("sort") else sort),
        "place": row.cell("place"), "what": row.cell("what"), "from_end": row.cell("from"),
        "to_end": row.cell("to"), "count": row.whole("count"), "text": row.cell("text"),
        "torque_nm": row.amount("torque_nm"), "shim_mm": row.amount("shim_mm"),
        "state": row.word("state", STATES, "whole"), "step": row.whole("step"),
        "code": _typed(row), "back": BACK.get(back, False),
    }  # fmt: skip
    fact = {key: value for key, value in told.items() if key != "back"}
    _as_record(row, Taken(lot="-", machine="-", **{**fact, "place": "-", "code": "-"}))
    return told


def _reading(row: _Row) -> CleanReading:
    sort = row.word("sort", _choices("sort"), "")
    megohm = sort in ("insulation", "winding", "tape")
    value, unit = (row.amount("reading_megohm"), "MΩ") if megohm else _as_written(row)
    words: dict[str, Any] = {
        "sort": sort,
        "when": row.word("when", _choices("when"), ""),
        "seen": row.word("seen", _choices("seen"), ""),
    }
    fact = CleanReading(
        lot="-", machine="-", place=row.cell("place") or NO_PLACE, point=row.cell("point"),
        reading=value, unit=unit, air_c=row.amount("temperature_c"),
        humidity_percent=row.amount("humidity_percent"), text=row.cell("text"), **words,
    )  # fmt: skip
    _as_record(row, fact)
    return fact


def _choices(name: str) -> tuple[str, ...]:
    words = {"sort": "insulation winding tape wipe sludge other",
             "when": "before after after_running"}  # fmt: skip
    return tuple(words[name].split()) if name in words else ("", "clean", "grey", "dirty")


def _as_written(row: _Row) -> tuple[float | None, str]:
    """A reading of another sort, in the unit it was written in."""
    text = row.cell("reading")
    if not text:
        return None, ""
    try:
        found = read(text, field="reading")
    except Unusable as refused:
        row.wrong("reading", refused.problems[0].what, refused.problems[0].remedy)
        return None, ""
    return float(found.value), found.unit


def _as_record(row: _Row, fact: Taken | CleanReading) -> None:
    """What the rules of a record say of it, where no cell was named before."""
    at = row.table.rows[row.at]
    before = any(one.where.startswith(say("row {row}, ", row=at)) for one in row.problems)
    for one in () if before else problems_of(fact):
        row.wrong(_NAMES.get(one.where, one.where), one.what, one.remedy)


def _typed(row: _Row) -> str:
    text = row.cell("code")
    if not text:
        return ""
    try:
        return read_code(text)
    except Unusable as refused:
        row.wrong("code", refused.reason, refused.remedy)
        return ""


def _code(row: Mapping[str, Any], have: Container[str]) -> str:
    """From the words of the row; of rows alike each has one of its own."""
    words = [str(row[key]) for key in ("sort", "place", "what", "from_end", "to_end")]
    extra: list[str] = []
    while (code := code_of("labels", *words, *extra)) in have:
        extra.append("+")
    return code


def _twice(table: Table, codes: list[str]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for at, code in enumerate(codes):
        if code and code in seen:
            first = say("row {row}", row=table.rows[seen[code]])
            what = say("{code} stands in {first} already", code=code, first=first)
            yield Problem(table.where(at, "code"), what, say("Every label has a code of its own."))
        elif code:
            seen[code] = at


def _known_columns(table: Table, known: Mapping[str, str]) -> None:
    extra = {"torque_nm", "shim_mm"} if "torque" in known else {
        "reading_megohm", "temperature_c", "humidity_percent", "text"
    }  # fmt: skip
    strange = [name for name in table.columns if name not in {*known, *extra}]
    if strange:
        raise Unusable(
            say("{name} has a column that nothing is known of", name=table.name),
            remedy=say("Columns: {named}.", named=", ".join([*known, *sorted(extra)])),
            problems=tuple(
                Problem(table.name, say("column {column}", column=name)) for name in strange
            ),
        )


def _refuse(name: str, problems: list[Problem]) -> None:
    if not problems:
        return
    listed = problems[:MOST_NAMED]
    left = len(problems) - len(listed)
    if left:
        listed.append(Problem(name, say("and {count} more like them", count=left)))
    raise Unusable(
        say("some rows of {name} cannot be used", name=name),
        remedy=say("Correct the cells that are named; nothing is guessed."),
        problems=tuple(listed),
    )
