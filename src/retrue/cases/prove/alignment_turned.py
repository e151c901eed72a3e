"""A bar turned in one light cut and measured along its length: the taper of the turning line."""

from __future__ import annotations

import math

from retrue.base.formatter import short
from retrue.base.say import say
from retrue.cases.prove.alignment_bar import LEAST_UM, AlignmentDrawing
from retrue.cases.prove.deed import Cell, Options
from retrue.cases.prove.proof import (
    Conditions,
    Grid,
    Measured,
    Proof,
    Quantity,
    Remedy,
    ThenRead,
)
from retrue.cases.prove.said import amount
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.alignment import Slope, along
from retrue.science.give_or_take import doubt_of

OVER_M = 0.3
BANDS = 3


def turned_cells(options: Options) -> tuple[Cell, ...]:
    """The readings that a form asks for: three bands, each measured twice.

    Parameters
    ----------
    options : mapping
        ``length_mm``.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> [cell.row["position_mm"] for cell in turned_cells({"length_mm": 300.0})]
    ['0', '0', '150', '150', '300', '300']
    """
    length = float(options["length_mm"])
    places = [length * band / (BANDS - 1) for band in range(BANDS)]
    return tuple(
        Cell(
            id=f"{place:g}_{turn}",
            row={"position_mm": f"{place:g}", "turn_deg": str(turn)},
            column="reading_um",
            prompt=say(
                "Band {place} mm from the chuck, {turn}°: diameter less its nominal",
                place=short(place),
                turn=turn,
            ),
            unit="µm",
            group=say("Three bands of one light cut"),
        )
        for place in places
        for turn in (0, 90)
    )


def turned_proof(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Work out the taper of a turned bar.

    Parameters
    ----------
    table : Table
        Columns position_mm (from the chuck) and reading_um (diameter less its nominal).
    options : mapping
        Of the test: how the bar was held, and the distance of the bolts.
    conditions : Conditions
        Limit and doubt.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        A column is missing or a cell is no number.
    ValueError
        Fewer than two bands.

    Examples
    --------
    >>> from retrue.cases.prove.deed import deed, options_of
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"position_mm,reading_um\\n0,0\\n150,6\\n300,12\\n", "bar.csv")
    >>> options = options_of(deed("alignment"), {"method": "turned_bar"})
    >>> round(turned_proof(table, options, Conditions()).quantities[0].value, 6)
    12.0
    """
    table.need("position_mm", "reading_um")
    positions, readings = table.numbers("position_mm"), table.numbers("reading_um")
    line = along(positions, readings)
    doubt = doubt_of(
        line.unit_uncertainty, line.scatter_um, line.freedom, conditions.reading_uncertainty
    )
    near = doubt * OVER_M if math.isfinite(doubt) else None
    quantities = _quantities(line, near)
    length = float(positions.max() - positions.min()) / 1000
    return Proof(
        deed="alignment",
        title=say("Alignment"),
        headline=_headline(line),
        quantities=quantities,
        more={"method": "turned_bar", "held": options["held"]},
        verdict=judge(quantities, conditions),
        remedy=_remedy(line, options, length),
        then_read=_then_read(line, doubt, length),
        cannot_tell=_cannot_tell(options),
        method=say("Line by least squares through the diameters along the bar."),
        standard="ISO 13041-6",
        edition="2009, turned cylinder (from memory)",
        tables=(_grid(table, line),),
        measures=(
            Measured(
                measure="M38",
                value=abs(line.um_per_m) * OVER_M / 1000,
                uncertainty=None if near is None else near / 1000,
            ),
        ),
        drawing=_drawing(positions.tolist(), readings.tolist(), line, near),
    )


def _quantities(line: Slope, near: float | None) -> tuple[Quantity, ...]:
    taper = line.um_per_m * OVER_M
    return (
        Quantity(
            key="out_of_line_um",
            name=say("taper on diameter over 300 mm"),
            value=abs(taper),
            unit="µm",
            uncertainty=near,
        ),
        Quantity(
            key="taper_300_um",
            name=say("diameter at 300 mm less at the chuck"),
            value=taper,
            unit="µm",
            uncertainty=near,
            signed=True,
        ),
    )


def _headline(line: Slope) -> str:
    taper = line.um_per_m * OVER_M
    if abs(taper) < LEAST_UM:
        return say("The bar is as thick at its far end as at the chuck.")
    size = amount(abs(taper), "µm")
    if taper > 0:
        return say("The bar is {size} thicker at its far end, over 300 mm.", size=size)
    return say("The bar is {size} thinner at its far end, over 300 mm.", size=size)


def _remedy(line: Slope, options: Options, length: float) -> tuple[Remedy, ...]:
    """Thicker at the far end: the tool stands too far from the axis there, so bring the axis in."""
    taper = line.um_per_m * length
    if abs(line.um_per_m) * OVER_M < LEAST_UM:
        return ()
    half = amount(abs(taper) / 2, "µm")
    thick = taper > 0
    if options["held"] == "centres":
        if thick:
            return (Remedy(text=say("Nudge the tailstock {half} towards the tool.", half=half)),)
        return (Remedy(text=say("Nudge the tailstock {half} away from the tool.", half=half)),)
    joint = options["joint_mm"]
    over = ""
    if joint:
        over = say(
            ": {move} over the {joint} mm between its bolts",
            move=amount(abs(line.um_per_m) / 2 * joint / 1000, "µm"),
            joint=short(joint),
        )
    if thick:
        text = say("Swing the headstock so that the far end of the bar goes {half} to the tool",
                   half=half)  # fmt: skip
    else:
        text = say("Swing the headstock so that the far end of the bar goes {half} from the tool",
                   half=half)  # fmt: skip
    return (Remedy(text=text + over + "."),)


def _then_read(line: Slope, doubt: float, length: float) -> tuple[ThenRead, ...]:
    if abs(line.um_per_m) * OVER_M < LEAST_UM:
        return ()
    return (
        ThenRead(
            where=say("a new light cut: far end less chuck, on diameter"),
            value=0.0,
            unit="µm",
            give_or_take=doubt * length if math.isfinite(doubt) else None,
        ),
    )


def _cannot_tell(options: Options) -> tuple[str, ...]:
    told = [
        say("Wear of the bed from a twisted bed: level it first, then turn again."),
        say("Whether the axis rises or falls: a bar on top tells, a diameter hardly feels it."),
    ]
    if options["held"] == "chuck":
        told.append(say("Bending under the cut from a swung headstock: cut lighter and compare."))
    return tuple(told)


def _drawing(
    positions: list[float], readings: list[float], line: Slope, near: float | None
) -> AlignmentDrawing:
    series = ("diameter", tuple(positions), tuple(readings), line.start_um, line.um_per_m)
    return AlignmentDrawing(
        method="turned_bar",
        series=(series,),
        doubt=near,
        largest=abs(line.um_per_m) * OVER_M,
    )


def _grid(table: Table, line: Slope) -> Grid:
    rows = tuple(
        (float(x), float(y), line.start_um + line.um_per_m * float(x) / 1000)
        for x, y in zip(table.numbers("position_mm"), table.numbers("reading_um"), strict=True)
    )
    columns = (say("from the chuck, mm"), say("diameter less nominal, µm"), say("line, µm"))
    return Grid(title=say("Diameters along the bar"), columns=columns, rows=rows)
