"""What a test asks for: its options, its columns, the cells of its form, and how it is told."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median
from typing import Any, Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say, shown_later
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.prove.table import Table, read_table, table_of

Options = Mapping[str, Any]
ODD_TIMES = 8.0  # a reading that many times as large as the others is asked about
MODULES = {
    "level": "level",
    "sweep": "sweep",
    "taper": "taper",
    "backlash": "backlash",
    "float": "end_float",
    "straightness": "straightness",
    "flatness": "flatness",
    "square": "square",
    "alignment": "alignment",
    "rotation": "rotation",
    "positioning": "positioning",
    "circle": "circle",
    "drift": "drift",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """Something a test must know beside its readings; a command's option and a form's field.

    ``id`` carries the unit (``radius_mm``); the command calls it ``--radius-mm``.
    """

    id: str
    name: str  # as a page says it
    sort: Literal["number", "whole", "choice", "text", "flag", "file"] = "number"
    unit: str = ""
    default: Any = None
    choices: tuple[str, ...] = ()
    help: str = ""  # one sentence, ends with a full stop
    needed: bool = False
    signed: bool = False
    form: bool = True  # False: only for files; a phone form does not ask it

    def __post_init__(self) -> None:
        """Its texts are said when they are shown."""
        shown_later(self, "name", "help")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One number that a form asks for; cells of one ``row`` are one row of the table."""

    id: str
    row: Mapping[str, str]  # the fixed columns of its row
    column: str  # the column that the number fills
    prompt: str  # what to do for this one number
    unit: str
    signed: bool = True
    group: str = ""  # the heading under which it stands


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One test, from form to remedy."""

    id: str
    title: str
    what: str  # one sentence: what it tells
    columns: tuple[str, ...]  # of its file; those in brackets may be left out: "[run]"
    options: tuple[Option, ...]
    cells: Callable[[Options], tuple[Cell, ...]]
    prove: Callable[[Table, Options, Conditions], Proof]
    judged: tuple[str, ...]  # keys that may stand against a limit; the first by default
    steps: tuple[str, ...]  # how to measure, in order; cautions are not in here
    cautions: tuple[str, ...]  # before the number
    instrument: str  # the instrument words of a form: "level 0.02 mm/m"
    instrument_sorts: tuple[str, ...]  # level, indicator, test_bar, square, ball_bar, ...
    reading_unit: str  # of one reading and of its uncertainty
    needs_level: bool = False
    daily: bool = False
    standard: str = ""
    edition: str = ""
    example: str = ""  # file name under examples/prove
    order: int = 0
    columns_note: Mapping[str, str] = field(default_factory=dict)  # column -> what stands in it

    def __post_init__(self) -> None:
        """Its texts are said when they are shown."""
        shown_later(
            self, "title", "what", "steps", "cautions", "instrument", "edition", "columns_note"
        )


def deeds() -> tuple[Deed, ...]:
    """All tests, the daily five first.

    Returns
    -------
    tuple of Deed

    Examples
    --------
    >>> [one.id for one in deeds()][:5]
    ['level', 'sweep', 'taper', 'backlash', 'float']
    """
    return tuple(deed(id) for id in MODULES)


def deed(id: str) -> Deed:
    """One test by its id.

    Parameters
    ----------
    id : str
        ``level``, ``sweep`` ...

    Returns
    -------
    Deed

    Raises
    ------
    Unknown
        There is no test of that name.

    Examples
    --------
    >>> deed("level").daily
    True
    """
    if id not in MODULES:
        raise Unknown(
            say("there is no test {id}", id=id),
            remedy=say("Choose one of: {named}.", named=", ".join(MODULES)),
        )
    module = importlib.import_module(f"retrue.cases.prove.{MODULES[id]}")
    made: Deed = module.DEED
    return made


def options_of(one: Deed, typed: Mapping[str, Any]) -> dict[str, Any]:
    """Typed options as values, defaults filled in; all that is wrong is gathered first.

    Parameters
    ----------
    one : Deed
        The test.
    typed : mapping
        Text or values by option id; what is missing or empty takes its default. A ``file`` is its
        bytes or a Table.

    Returns
    -------
    dict
        A value for every option of the test; None where there is none.

    Raises
    ------
    Unusable
        A field is wrong, or one that is needed is empty.

    Examples
    --------
    >>> options_of(deed("sweep"), {"radius_mm": "100"})["radius_mm"]
    100.0
    """
    from retrue.base.units import number

    problems: list[Problem] = []
    made: dict[str, Any] = {}
    for option in one.options:
        given = typed.get(option.id)
        given = given.strip() if isinstance(given, str) else given
        if given is None or given == "":
            made[option.id] = option.default
            if option.needed and option.default is None:
                problems.append(Problem(option.id, say("is empty"), option.help))
            continue
        try:
            made[option.id] = _value(option, given, number)
        except Unusable as wrong:
            what = wrong.problems[0].what if wrong.problems else wrong.reason
            problems.append(Problem(option.id, what, wrong.remedy))
    if problems:
        raise Unusable(
            say("Some fields cannot be used yet"),
            remedy=say("Correct the fields that are named; all others are kept as you typed them."),
            problems=tuple(problems),
        )
    return made


def _value(option: Option, given: Any, number: Callable[..., Any]) -> Any:
    if option.sort == "flag":
        return given in (True, "yes", "on", "true", "1")
    if option.sort == "file":
        return given if isinstance(given, Table) else read_table(given, option.name)
    if option.sort == "text":
        return str(given)
    if option.sort == "choice":
        if given in option.choices:
            return given
        raise Unusable(
            say("{given} is none of the choices", given=given),
            remedy=say("Choose one of: {named}.", named=", ".join(option.choices)),
        )
    value = (
        float(given) if isinstance(given, int | float) else float(number(given, field=option.id))
    )
    if value < 0 and not option.signed:
        raise Unusable(say("a number below zero"), remedy=say("Leave the minus away."))
    if option.sort == "whole":
        if value != int(value):
            raise Unusable(say("not a whole number"), remedy=say("Leave the decimals."))
        return int(value)
    return value


def table_from(
    one: Deed, cells: Sequence[Cell], values: Mapping[str, str], name: str = "form"
) -> Table:
    """The table that a filled form is: the same that a file would have held.

    Parameters
    ----------
    one : Deed
        The test.
    cells : sequence of Cell
        Of its form, in order.
    values : mapping of str to str
        Text by cell id, as typed with its sign; cells without one are left out.
    name : str
        For refusals.

    Returns
    -------
    Table
        Rows that got no number at all are left out.

    Raises
    ------
    Unusable
        No cell is filled.

    Examples
    --------
    >>> cells = (Cell(id="a", row={"run": "1"}, column="value_um", prompt="", unit="µm"),)
    >>> table_from(deed("float"), cells, {"a": "3"}).numbers("value_um").tolist()
    [3.0]
    """
    rows: list[dict[str, str]] = []
    for cell in cells:
        text = values.get(cell.id, "")
        if not text:
            continue
        fixed = dict(cell.row)
        last = rows[-1] if rows else {}
        if rows and cell.column not in last and fixed.items() <= last.items():
            last[cell.column] = text
        else:
            rows.append({**fixed, cell.column: text})
    if not rows:
        raise Unusable(
            say("no reading is kept yet"), remedy=say("Type the first one: {what}.", what=one.title)
        )
    names = list(dict.fromkeys(name for row in rows for name in row))
    body = [[row.get(name, "") for name in names] for row in rows]
    return table_of([names, *body], range(1, len(rows) + 2), name)


def odd(cell: Cell, value: float, others: Sequence[float]) -> str:
    """Ask about a reading that is unlike the others of its set, before it is kept.

    Parameters
    ----------
    cell : Cell
        Where it was typed.
    value : float
        The reading.
    others : sequence of float
        Readings of the same column that are kept already.

    Returns
    -------
    str
        A question, or nothing where it is like the others or there are fewer than three.

    Notes
    -----
    Asked where it lies more than eight times as far from their middle as they do themselves, with
    one unit of reading as the least distance. Common practice, no source.

    Examples
    --------
    >>> cell = Cell(id="a", row={}, column="value_um", prompt="", unit="µm")
    >>> odd(cell, 4.0, [3.0, 5.0, 4.0]), bool(odd(cell, 400.0, [3.0, 5.0, 4.0]))
    ('', True)
    """
    if len(others) < 3:
        return ""
    middle = median(others)
    usual = max(median(abs(other - middle) for other in others), 1.0, abs(middle) / ODD_TIMES)
    if abs(value - middle) <= ODD_TIMES * usual:
        return ""
    return say(
        "{value} {unit} is far from the others, around {middle}. Is it right?",
        value=short(value),
        unit=cell.unit,
        middle=short(middle),
    )
