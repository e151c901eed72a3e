"""What stands on a floor plan, as rows: read from a file, each bad cell named by row and column.

One row a thing, the columns in any order; a number without a unit is in the unit its column's name
ends in, any other unit of the same sort may be written behind it (2.4 m, 94 in).

=============  ====================================================================================
what           shop or corner (the hall); machine, other, column, joint, hall_door, walk (on the
               floor); door, slide, cabinet, operator, service (on a machine)
name, of       its name; the machine it belongs to, the first one where empty
side           front, right, rear, left: of the machine
x_mm, y_mm     on the floor: from the lower left corner of the hall to the nearest corner of the
               thing as it stands; on a machine: along its side from the left end for who stands
               before that side, and away from it
width_mm       of the thing; of a joint or a door of the hall, its length
depth_mm       of the thing; of a space, how far it reaches away from the machine
turn_deg       counter-clockwise; at zero the front looks to the lower wall; 90 for what runs upward
swing_mm       length of a hinged leaf; way of a sliding one
swing_deg      how far a leaf opens, 90 where empty
hinge          left or right end of the leaf, for who stands before it; left where empty
=============  ====================================================================================
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import amount
from retrue.cases.prove.table import MOST_NAMED, Table, read_table

SIDES = ("front", "right", "rear", "left")
HANGS = ("door", "slide", "cabinet", "operator", "service")  # these belong to a machine
STANDS = ("shop", "corner", "machine", "other", "column", "joint", "hall_door", "walk")
WHAT = (*STANDS, *HANGS)
COLUMNS = (
    "what", "name", "of", "side", "x_mm", "y_mm", "width_mm", "depth_mm", "turn_deg", "swing_mm",
    "swing_deg", "hinge",
)  # fmt: skip
MOST_THINGS = 300
LONGEST_MM = 1_000_000.0  # a kilometre: no workshop is larger
NEEDED: dict[str, tuple[str, ...]] = {
    "shop": ("width_mm", "depth_mm"),
    "machine": ("width_mm", "depth_mm"),
    "other": ("width_mm", "depth_mm"),
    "column": ("width_mm", "depth_mm"),
    "walk": ("width_mm", "depth_mm"),
    "joint": ("width_mm",),
    "hall_door": ("width_mm",),
    "door": ("side", "swing_mm"),
    "slide": ("side", "width_mm", "swing_mm"),
    "cabinet": ("side", "swing_mm"),
    "operator": ("side", "depth_mm"),
    "service": ("side", "depth_mm"),
}
_NUMBERS = ("x_mm", "y_mm", "width_mm", "depth_mm", "turn_deg", "swing_mm", "swing_deg")
_MAY_BE_BELOW = ("x_mm", "y_mm", "turn_deg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """One row of a floor plan.

    What stands on the floor is placed from the hall's corner; what hangs on a machine from the
    left end of one of its sides, seen by who stands before that side.
    """

    what: str
    name: str = ""
    of: str = ""  # the machine it belongs to; empty: the first
    side: str = ""
    x_mm: float = 0.0
    y_mm: float = 0.0
    width_mm: float = 0.0
    depth_mm: float = 0.0
    turn_deg: float = 0.0
    swing_mm: float = 0.0  # length of a leaf; way of a sliding one
    swing_deg: float = 90.0
    hinge: str = "left"
    row: int = 0  # of the file; 0: not from a file


def read_things(content: bytes, name: str) -> tuple[Thing, ...]:
    """Read a floor plan from a plain table.

    Parameters
    ----------
    content : bytes
        CSV with the columns of ``COLUMNS`` in any order; only ``what`` must be there. A number
        without a unit is in the unit its column's name ends in; any other unit of length or angle
        may be written behind it.
    name : str
        For refusals.

    Returns
    -------
    tuple of Thing
        In the order of the file.

    Raises
    ------
    Unreadable
        It is no table.
    Unusable
        Cells that cannot be used, each named by row and column.

    Examples
    --------
    >>> rows = b"what,x_mm,width_mm,depth_mm\\nshop,0,9 m,6 m\\nmachine,78.5 in,2100,2300\\n"
    >>> [(thing.what, thing.x_mm, thing.width_mm) for thing in read_things(rows, "plan.csv")]
    [('shop', 0.0, 9000.0), ('machine', 1993.9, 2100.0)]
    """
    table = read_table(content, name)
    table.need("what")
    problems = _strangers(table)
    if len(table) > MOST_THINGS:
        what = say("{count} rows", count=len(table))
        problems.append(
            Problem(name, what, say("Keep to {most} things.", most=MOST_THINGS))
        )  # fmt: skip
        _refuse(problems, name)
    things = []
    for index in range(len(table)):
        thing, wrong = _thing(table, index)
        problems += wrong
        things.append(thing)
    _refuse(problems, name)
    return tuple(things)


def check_things(things: tuple[Thing, ...]) -> None:
    """Whether what hangs on a machine finds it, and every hall has its corners.

    Parameters
    ----------
    things : tuple of Thing

    Raises
    ------
    Unusable
        All that does not fit together.
    """
    problems = []
    names = [thing.name for thing in things if thing.what in ("machine", "other")]
    for name in sorted({name for name in names if name and names.count(name) > 1}):
        what = say("{name} stands twice", name=name)
        problems.append(Problem("name", what, say("Give each its own name.")))
    for thing in things:
        if thing.what in HANGS and thing.of and thing.of not in names:
            what = say("there is no machine {name}", name=thing.of)
            problems.append(Problem(_where(thing, "of"), what, say("Name one of the plan.")))
        if thing.what in HANGS and not names:
            what = say("there is no machine to hang {name} on", name=thing.name or thing.what)
            problems.append(Problem(_where(thing, "of"), what, say("Add a row of a machine.")))
    corners = sum(thing.what == "corner" for thing in things)
    halls = sum(thing.what == "shop" for thing in things)
    if halls > 1 or (halls and corners):
        problems.append(
            Problem("what", say("the hall stands twice"), say("Give its size or its corners."))
        )
    if 0 < corners < 3:
        problems.append(
            Problem("what", say("a hall of {count} corners", count=corners),
                    say("Give three or more, in order round the hall."))
        )  # fmt: skip
    _refuse(problems, say("the floor plan"))


def _where(thing: Thing, column: str) -> str:
    if not thing.row:
        return column
    return say("row {row}, column {column}", row=thing.row, column=column)


def _strangers(table: Table) -> list[Problem]:
    unknown = [name for name in table.columns if name not in COLUMNS]
    told = say("The columns are: {named}.", named=", ".join(COLUMNS))
    return [
        Problem(table.name, say("column {column} is unknown", column=name), told)
        for name in unknown
    ]


def _thing(table: Table, index: int) -> tuple[Thing, list[Problem]]:
    """One row as a thing, with all that is wrong in it."""
    cells = {name: column[index] for name, column in table.columns.items()}
    problems: list[Problem] = []

    def wrong(column: str, what: str, remedy: str) -> None:
        problems.append(Problem(table.where(index, column), what, remedy))

    words = {name: cells.get(name, "").strip() for name in ("what", "name", "of", "side", "hinge")}
    words["what"] = words["what"].casefold().replace(" ", "_")
    made = Thing(what=words["what"], name=words["name"], of=words["of"], row=table.rows[index])
    if made.what not in WHAT:
        wrong("what", say("{cell} is none of the things", cell=repr(cells["what"])),
              say("Write one of: {named}.", named=", ".join(map(str, WHAT))))  # fmt: skip
        return made, problems
    made = _worded(made, words, wrong)
    for column in _NUMBERS:
        text = cells.get(column, "").strip()
        if text:
            made = _numbered(made, column, text, wrong)
    for column in NEEDED.get(made.what, ()):
        if not cells.get(column, "").strip():
            wrong(column, say("is empty"), say("A row of {what} needs it.", what=made.what))
    return made, problems


def _worded(made: Thing, words: dict[str, str], wrong: Callable[[str, str, str], None]) -> Thing:
    for column, allowed in (("side", SIDES), ("hinge", ("left", "right"))):
        cell = words[column].casefold()
        if cell and cell not in allowed:
            wrong(column, say("{cell} is none of its words", cell=repr(cell)),
                  say("Write one of: {named}.", named=", ".join(allowed)))  # fmt: skip
        elif cell:
            made = replace(made, **{column: cell})  # type: ignore[arg-type]  # the column is a field of words
    return made


def _numbered(made: Thing, column: str, text: str, wrong: Callable[[str, str, str], None]) -> Thing:
    unit = column.rsplit("_", 1)[1]
    try:
        value = float(amount(text, unit, field=column))
    except Unusable as refused:
        what = refused.problems[0].what if refused.problems else refused.reason
        remedy = refused.problems[0].remedy if refused.problems else refused.remedy
        wrong(column, what, remedy or refused.remedy)
        return made
    if value < 0 and column not in _MAY_BE_BELOW:
        wrong(column, say("a number below zero"), say("Leave the minus away."))
    elif abs(value) > LONGEST_MM:
        wrong(column, say("is longer than any hall"), say("Check its unit."))
    elif value == 0 and column in NEEDED.get(made.what, ()):
        wrong(column, say("is zero"), say("Measure it."))
    elif column == "swing_deg" and value > 180:
        wrong(column, say("a leaf does not open by more than 180°"), say("Measure it again."))
    return replace(made, **{column: value})  # type: ignore[arg-type]  # the column is a field of numbers


def _refuse(problems: list[Problem], name: str) -> None:
    if not problems:
        return
    left = len(problems) - MOST_NAMED
    more = [Problem(name, say("and {count} more like them", count=left))] if left > 0 else []
    raise Unusable(
        say("some rows of {name} cannot be used", name=name),
        remedy=say("Correct the cells that are named; all the others are kept as they are."),
        problems=(*problems[:MOST_NAMED], *more),
    )
