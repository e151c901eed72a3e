"""An angle between two motions: from readings to the answer and the way to swing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
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
from retrue.science.give_or_take import doubt_of
from retrue.science.squareness import (
    ARCSECONDS,
    Squareness,
    reversed_square,
    two_diameters,
    two_lines,
)

Floats = NDArray[np.float64]
OVER_M = 0.5
LEAST = 1.0  # µm/m: what is less is square
SETUPS = {"first": "first", "turned": "turned"}
LINES = {"first": "first", "second": "second", "x": "first", "y": "second"}


@dataclass(frozen=True, slots=True)
class SquareDrawing:
    """Two axes with their angle, or two traces along a straightedge."""

    method: str
    axes: str
    um_per_m: float = 0.0
    doubt: float | None = None
    traces: tuple[tuple[str, tuple[float, ...], tuple[float, ...]], ...] = ()
    largest: float = 0.0


def angle_proof(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Work out a squareness.

    Parameters
    ----------
    table : Table
        Columns setup or line, position_mm, reading_um; or diagonal_deg and diameter_um.
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
        A column is missing, a cell is no number, or a set-up was not read.
    ValueError
        Too few positions.

    Examples
    --------
    >>> from retrue.cases.prove.deed import deed, options_of
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"diagonal_deg,diameter_um\\n45,-6\\n135,6\\n", "bar.csv")
    >>> options = options_of(deed("square"), {"method": "diameters", "radius_mm": "150"})
    >>> round(angle_proof(table, options, Conditions()).quantities[1].value, 6)
    40.0
    """
    found = _found(table, options)
    doubt = doubt_of(
        found.unit_uncertainty, found.scatter_um, found.freedom, conditions.reading_uncertainty
    )
    quantities = _quantities(found, doubt if math.isfinite(doubt) else None)
    over, near = quantities[0].value, quantities[0].uncertainty
    assert over is not None
    return Proof(
        deed="square",
        title=say("Square"),
        headline=_headline(found, options),
        quantities=quantities,
        more={"method": options["method"], "axes": options["axes"]},
        verdict=judge(quantities, conditions),
        remedy=_remedy(found, options),
        then_read=_then_read(found, quantities[1].uncertainty, options),
        cannot_tell=_cannot_tell(options),
        assumed=_assumed(options),
        method=_method(options["method"]),
        standard="ISO 230-4" if options["method"] == "diameters" else "ISO 230-1",
        edition=say("2012, squareness (from memory)")
        if options["method"] != "diameters"
        else say("2022, by definition"),
        tables=(_grid(table, options),),
        measures=(
            Measured(
                measure="M49",
                value=abs(over) / 1000,
                uncertainty=None if near is None else near / 1000,
            ),
        ),
        drawing=SquareDrawing(
            method=options["method"],
            axes=options["axes"],
            um_per_m=found.machine_um_per_m,
            doubt=quantities[1].uncertainty,
            largest=abs(found.machine_um_per_m),
        ),
    )


def _found(table: Table, options: Options) -> Squareness:
    method = options["method"]
    if method == "diameters":
        table.need("diagonal_deg", "diameter_um")
        angles = table.numbers("diagonal_deg") % 180
        wrong = [i for i, a in enumerate(angles) if a not in (45.0, 135.0)]
        if wrong:
            where = {table.where(i, "diagonal_deg"): f"{angles[i]:g}" for i in wrong}
            table.refuse(where, say("Write 45 or 135."))
        sizes = table.numbers("diameter_um")
        return two_diameters(sizes[angles == 45.0], sizes[angles == 135.0], options["radius_mm"])
    if method == "lines":
        first, second = parts(table, "line", LINES, ("first", "second"))
        return two_lines(first, second, square_um_per_m=options["square_um_per_m"] or 0.0)
    first, turned = parts(table, "setup", SETUPS, ("first", "turned"))
    if options["turned_from"] == "other_side":
        turned = turned[0], -turned[1]
    return reversed_square(first, turned)


def parts(
    table: Table, column: str, allowed: dict[str, str], wanted: tuple[str, str]
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Positions and readings of both set-ups.

    Parameters
    ----------
    table : Table
        With position_mm, reading_um and the column that tells both apart.
    column : str
        ``setup`` or ``line``.
    allowed : dict
        Words that may stand in it, and what each means.
    wanted : (str, str)
        Both that are needed.

    Returns
    -------
    ((ndarray, ndarray), (ndarray, ndarray))
        Shapes (n,) each: mm and um.

    Raises
    ------
    Unusable
        One of both was not read.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = b"setup,position_mm,reading_um\\nfirst,0,1\\nturned,0,2\\n"
    >>> parts(read_table(rows, "a.csv"), "setup", SETUPS, ("first", "turned"))[1][1].tolist()
    [2.0]
    """
    table.need(column, "position_mm", "reading_um")
    words = np.array(table.words(column, allowed))
    positions, readings = table.numbers("position_mm"), table.numbers("reading_um")
    missing = [word for word in wanted if not (words == word).any()]
    if missing:
        raise Unusable(
            say("one half of the readings is still missing"),
            remedy=say("Read it too: the two halves together part the machine from the square."),
            problems=tuple(
                Problem(table.name, say("no row with {column} {word}", column=column, word=word))
                for word in missing
            ),
        )
    one, other = (words == word for word in wanted)
    return (positions[one], readings[one]), (positions[other], readings[other])


def _quantities(found: Squareness, doubt: float | None) -> tuple[Quantity, ...]:
    angle = found.machine_um_per_m
    made = [
        Quantity(
            key="squareness_500_um",
            name=say("out of square over 500 mm"),
            value=angle * OVER_M,
            unit="µm",
            uncertainty=None if doubt is None else doubt * OVER_M,
            signed=True,
        ),
        Quantity(
            key="squareness_um_per_m",
            name=say("angle over 90 degrees"),
            value=angle,
            unit="µm/m",
            uncertainty=doubt,
            signed=True,
        ),
        Quantity(
            key="squareness_arcsec",
            name=say("the same in seconds of arc"),
            value=angle * ARCSECONDS,
            unit="″",
            uncertainty=None if doubt is None else doubt * ARCSECONDS,
            digits=2,
            signed=True,
        ),
    ]
    if found.artefact_um_per_m is not None:
        made.append(
            Quantity(
                key="square_error_um_per_m",
                name=say("the square’s own lean, first set-up"),
                value=found.artefact_um_per_m,
                unit="µm/m",
                uncertainty=doubt,
                signed=True,
            )
        )
    return tuple(made)


def _headline(found: Squareness, options: Options) -> str:
    first, second = options["axes"]
    size = abs(found.machine_um_per_m)
    if size < LEAST:
        return say("{a} and {b} are square as far as the readings tell.", a=first, b=second)
    over = amount(size * OVER_M, "µm")
    if found.machine_um_per_m > 0:
        return say(
            "The angle from +{a} to +{b} is over 90°, {over} over 500 mm: {b} leans to −{a}.",
            a=first,
            b=second,
            over=over,
        )
    return say(
        "The angle from +{a} to +{b} is under 90°, {over} over 500 mm: {b} leans to +{a}.",
        a=first,
        b=second,
        over=over,
    )


def _remedy(found: Squareness, options: Options) -> tuple[Remedy, ...]:
    if abs(found.machine_um_per_m) < LEAST:
        return ()
    a, b = options["axes"]
    size = amount(abs(found.machine_um_per_m) * 0.3, "µm")
    over = ""
    if joint := options["joint_mm"]:
        move = amount(abs(found.machine_um_per_m) * joint / 1000, "µm")
        over = say(", {move} over the {joint} mm between its bolts", move=move, joint=short(joint))
    if found.machine_um_per_m > 0:
        text = say(
            "Swing the plus end of {b} towards +{a}: {size} over 300 mm",
            a=a,
            b=b,
            size=size,
        )
    else:
        text = say(
            "Swing the plus end of {b} towards −{a}: {size} over 300 mm",
            a=a,
            b=b,
            size=size,
        )
    return (Remedy(text=text + over + "."),)


def _then_read(found: Squareness, doubt: float | None, options: Options) -> tuple[ThenRead, ...]:
    """By the same model with the machine's part taken out: what is left is the square's own."""
    if abs(found.machine_um_per_m) < LEAST:
        return ()
    left = found.artefact_um_per_m or 0.0
    if options["method"] == "lines":
        left = -(options["square_um_per_m"] or 0.0)
    if options["method"] == "diameters":
        where = say("diameter at 135° less the one at 45°")
        near = None if doubt is None else doubt * 2 * options["radius_mm"] / 1000
        return (ThenRead(where=where, value=0.0, unit="µm", give_or_take=near),)
    length = options["length_mm"] / 1000
    return (
        ThenRead(
            where=say("end less start, over {length} mm", length=short(options["length_mm"])),
            value=left * length,
            unit="µm",
            give_or_take=None if doubt is None else doubt * length,
        ),
    )


def _cannot_tell(options: Options) -> tuple[str, ...]:
    told = [say("Squareness elsewhere: it holds for the place and the height it was read at.")]
    if options["method"] == "diameters":
        told.append(say("Gains that differ from squareness: run the circle both ways round."))
    if options["method"] == "lines" and options["square_um_per_m"] is None:
        told.append(say("The square from the machine: turn it over and read once more."))
    return tuple(told)


def _assumed(options: Options) -> tuple[str, ...]:
    if options["method"] == "lines" and options["square_um_per_m"] is None:
        return (say("The square is true."),)
    return ()


def _method(method: str) -> str:
    return {
        "reversal": say("Square turned over: half the sum of both slopes is the machine."),
        "lines": say("Two lines inside a square: the sum of both slopes."),
        "diameters": say("Two diameters of a circle: their difference by twice the radius."),
    }[method]


def _grid(table: Table, options: Options) -> Grid:
    if options["method"] == "diameters":
        pairs = zip(table.numbers("diagonal_deg"), table.numbers("diameter_um"), strict=True)
        return Grid(
            title=say("Diameters"),
            columns=(say("diagonal, degrees"), say("diameter less nominal, µm")),
            rows=tuple((float(a), float(d)) for a, d in pairs),
        )
    column = "line" if options["method"] == "lines" else "setup"
    rows = zip(
        table.text(column),
        table.numbers("position_mm"),
        table.numbers("reading_um"),
        strict=True,
    )
    columns = (say("which"), say("position, mm"), say("reading, µm"))
    made = tuple((word, float(x), float(r)) for word, x, r in rows)
    return Grid(title=say("Readings"), columns=columns, rows=made)
