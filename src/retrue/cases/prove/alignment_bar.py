"""A bar in the spindle, read along its length in two planes: does the axis run with the motion."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Cell, Options
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity, Remedy, ThenRead
from retrue.cases.prove.said import amount
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.alignment import Slope, along
from retrue.science.give_or_take import doubt_of

PLANES = {"height": "height", "vertical": "height", "side": "side", "horizontal": "side"}
OVER_M = 0.3
LEAST_UM = 0.5  # a nudge smaller than that is none


@dataclass(frozen=True, slots=True)
class AlignmentDrawing:
    """Readings along a length with their lines, or one offset seen from the axis (height, side)."""

    method: str
    series: tuple[tuple[str, tuple[float, ...], tuple[float, ...], float, float], ...] = ()
    side: float = 0.0  # µm
    height: float = 0.0
    doubt: float | None = None
    largest: float = 0.0


def bar_cells(options: Options) -> tuple[Cell, ...]:
    """The readings that a form asks for: two planes, two positions, two places of the turn.

    Parameters
    ----------
    options : mapping
        ``length_mm``.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> len(bar_cells({"length_mm": 300.0}))
    8
    """
    names = {"height": say("Indicator on top of the bar"), "side": say("Indicator at its side")}
    places = {0.0: say("at the nose"), float(options["length_mm"]): say("at the far end")}
    return tuple(
        Cell(
            id=f"{plane}_{position:g}_{turn}",
            row={"plane": plane, "position_mm": f"{position:g}", "turn_deg": str(turn)},
            column="reading_um",
            prompt=say("{where}, spindle at {turn}°", where=where, turn=turn),
            unit="µm",
            group=group,
        )
        for plane, group in names.items()
        for position, where in places.items()
        for turn in (0, 180)
    )


def bar_proof(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Work out how far a spindle's axis runs away from a motion.

    Parameters
    ----------
    table : Table
        Columns plane, position_mm, reading_um and, where the bar was turned, turn_deg.
    options : mapping
        Of the test.
    conditions : Conditions
        Limit and doubt.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        Columns are missing, or a plane has fewer than two positions.

    Examples
    --------
    >>> from retrue.cases.prove.deed import deed, options_of
    >>> from retrue.cases.prove.table import read_table
    >>> rows = b"plane,position_mm,turn_deg,reading_um\\nside,0,0,3\\nside,0,180,-3\\n"
    >>> table = read_table(rows + b"side,300,0,17\\nside,300,180,7\\n", "bar.csv")
    >>> options = options_of(deed("alignment"), {})
    >>> round(bar_proof(table, options, Conditions()).quantities[0].value, 6)
    12.0
    """
    table.need("plane", "position_mm", "reading_um")
    lines = _lines(table)
    known = conditions.reading_uncertainty
    quantities = _quantities(lines, known)
    worst = quantities[0]
    turned = _is_turned(table)
    return Proof(
        deed="alignment",
        title=say("Alignment"),
        headline=_headline(lines, worst),
        quantities=quantities,
        more={"method": options["method"], "bar_turned": turned},
        verdict=judge(quantities, conditions),
        finds=_finds(lines),
        remedy=_remedy(lines, options),
        then_read=_then_read(lines, known),
        cannot_tell=_cannot_tell(turned, lines),
        warnings=() if turned else (_not_turned(),),
        method=say("Line by least squares through the mean of opposite places of the turn."),
        standard="ISO 230-1",
        edition="2012, alignment of axes (from memory)",
        tables=(_grid(lines),),
        drawing=_drawing(lines, options, worst),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    plane: str
    positions: tuple[float, ...]
    readings: tuple[float, ...]
    slope: Slope  # through the mean of each position: the bar's own run-out is no scatter of it
    fewest: int  # readings at the position that has the fewest


def _lines(table: Table) -> tuple[_Line, ...]:
    planes = table.words("plane", PLANES)
    positions, readings = table.numbers("position_mm"), table.numbers("reading_um")
    made = []
    for plane in ("height", "side"):
        rows = [i for i, one in enumerate(planes) if one == plane]
        if not rows:
            continue
        there = positions[rows]
        if len(set(there.tolist())) < 2:
            raise Unusable(
                say("one plane is read at one position only"),
                remedy=say("Read at the nose and as far from it as the bar reaches."),
                problems=(Problem(table.name, say("plane {plane}", plane=plane)),),
            )
        read = readings[rows]
        places = np.unique(there)
        means = [float(read[there == place].mean()) for place in places]
        fewest = min(int((there == place).sum()) for place in places)
        made.append(
            _Line(plane, tuple(there.tolist()), tuple(read.tolist()), along(places, means), fewest)
        )
    return tuple(made)


def _is_turned(table: Table) -> bool:
    """Whether every position of every plane was read at two places half a turn apart."""
    if not table.has("turn_deg"):
        return False
    planes = table.words("plane", PLANES)
    turns = table.numbers("turn_deg") % 360
    found: dict[tuple[str, float], list[float]] = {}
    for plane, where, turn in zip(planes, table.numbers("position_mm"), turns, strict=True):
        found.setdefault((plane, float(where)), []).append(float(turn))
    return all(
        len(each) % 2 == 0 and sorted(each) == sorted((turn + 180) % 360 for turn in each)
        for each in found.values()
    )


def _doubt(line: _Line, known: float | None) -> float | None:
    """Expanded, of the slope, µm/m."""
    slope = line.slope
    one = None if known is None else known / math.sqrt(line.fewest)
    told = doubt_of(slope.unit_uncertainty, slope.scatter_um, slope.freedom, one)
    return told if math.isfinite(told) else None


def _quantities(lines: tuple[_Line, ...], known: float | None) -> tuple[Quantity, ...]:
    doubts = {line.plane: _doubt(line, known) for line in lines}
    worst = max(lines, key=lambda line: abs(line.slope.um_per_m))
    over = doubts[worst.plane]
    made = [
        Quantity(
            key="out_of_line_um",
            name=say("out of line over 300 mm, worse plane"),
            value=abs(worst.slope.um_per_m) * OVER_M,
            unit="µm",
            uncertainty=None if over is None else over * OVER_M,
        )
    ]
    names = {"height": say("rise of the far end"), "side": say("far end towards the indicator")}
    read = {line.plane: line for line in lines}
    for plane, name in names.items():
        line, doubt = read.get(plane), doubts.get(plane)
        made.append(
            Quantity(
                key=f"{plane}_um_per_m",
                name=name,
                value=None if line is None else line.slope.um_per_m,
                unit="µm/m",
                uncertainty=doubt,
                signed=True,
                why="" if line else say("this plane was not read"),
            )
        )
    return tuple(made)


def _headline(lines: tuple[_Line, ...], worst: Quantity) -> str:
    assert worst.value is not None
    if worst.value < LEAST_UM:
        return say("The axis runs with the motion as far as the indicator tells.")
    ways = say(" and ").join(_way(line) for line in lines if _nudge(line))
    return say(
        "Over 300 mm the axis runs out of line by {most}: {ways}.",
        most=amount(worst.value, "µm"),
        ways=ways,
    )


def _nudge(line: _Line) -> bool:
    return abs(line.slope.um_per_m) * OVER_M >= LEAST_UM


def _way(line: _Line) -> str:
    rises = line.slope.um_per_m > 0
    if line.plane == "height":
        return say("its far end rises") if rises else say("its far end falls")
    if rises:
        return say("its far end goes towards the side indicator")
    return say("its far end goes away from the side indicator")


def _finds(lines: tuple[_Line, ...]) -> tuple[str, ...]:
    return tuple(
        say(
            "{way}: {size} a metre.",
            way=_way(line)[0].upper() + _way(line)[1:],
            size=amount(abs(line.slope.um_per_m), "µm"),
        )
        for line in lines
        if _nudge(line)
    )


def _remedy(lines: tuple[_Line, ...], options: Options) -> tuple[Remedy, ...]:
    made = []
    for line in lines:
        if not _nudge(line):
            continue
        joint = options["joint_mm"]
        how = ""
        if joint:
            move = abs(line.slope.um_per_m) * joint / 1000
            how = say(
                ", {move} over the {joint} mm between its bolts",
                move=amount(move, "µm"),
                joint=short(joint),
            )
        made.append(Remedy(text=_move(line, options["method"]) + how + "."))
    return tuple(made)


def _move(line: _Line, method: str) -> str:
    rises = line.slope.um_per_m > 0
    if line.plane == "height":
        if method == "headstock":
            if rises:
                return say("Shim the headstock’s rear up, or its front down")
            return say("Shim the headstock’s front up, or its rear down")
        if rises:
            return say("Bring the far end of the axis down at the joint of the head")
        return say("Bring the far end of the axis up at the joint of the head")
    if rises:
        return say("Swing the far end of the axis away from the side indicator")
    return say("Swing the far end of the axis towards the side indicator")


def _then_read(lines: tuple[_Line, ...], known: float | None) -> tuple[ThenRead, ...]:
    """The same line with its slope taken out: far end less nose."""
    made = []
    names = {"height": say("far end less nose, on top"), "side": say("far end less nose, at side")}
    for line in lines:
        if not _nudge(line):
            continue
        length = (max(line.positions) - min(line.positions)) / 1000
        doubt = _doubt(line, known)
        made.append(
            ThenRead(
                where=names[line.plane],
                value=0.0,
                unit="µm",
                give_or_take=None if doubt is None else doubt * length,
            )
        )
    return tuple(made)


def _cannot_tell(turned: bool, lines: tuple[_Line, ...]) -> tuple[str, ...]:
    told = [say("How the machine stands under load or warm: read again when it is.")]
    if not turned:
        told.append(say("The bar’s own bend: read each place half a turn on as well."))
    missing = {"height", "side"} - {line.plane for line in lines}
    if "height" in missing:
        told.append(say("Whether the axis rises or falls: put the indicator on top of the bar."))
    if "side" in missing:
        told.append(say("Whether the axis goes sideways: put the indicator at its side."))
    return tuple(told)


def _not_turned() -> str:
    return say("The bar was not read half a turn on: its own run-out is in these numbers.")


def _grid(lines: tuple[_Line, ...]) -> Grid:
    rows = [
        (line.plane, position, reading, line.slope.start_um + line.slope.um_per_m * position / 1000)
        for line in lines
        for position, reading in zip(line.positions, line.readings, strict=True)
    ]
    columns = (say("plane"), say("position, mm"), say("reading, µm"), say("line, µm"))
    return Grid(title=say("Readings along the bar"), columns=columns, rows=tuple(rows))


def _drawing(lines: tuple[_Line, ...], options: Options, worst: Quantity) -> AlignmentDrawing:
    assert worst.value is not None
    return AlignmentDrawing(
        method=options["method"],
        series=tuple(
            (line.plane, line.positions, line.readings, line.slope.start_um, line.slope.um_per_m)
            for line in lines
        ),
        doubt=worst.uncertainty,
        largest=worst.value,
    )
