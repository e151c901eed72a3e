"""Flatness of a table or plate, with the plane it belongs to always named."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retrue.base.say import later, say
from retrue.cases.prove import flatness_words as words
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.flatness_read import Plate, bounds_of, plate_of, reading_sd, sizes
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.bound import Bound
from retrue.science.flatness import Flat, flat, moody


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A plate in relief: deviations from the middle of the minimum zone."""

    x_mm: tuple[float, ...]
    y_mm: tuple[float, ...]
    deviations_um: tuple[float, ...]
    chains: tuple[tuple[int, ...], ...]
    flatness_um: float


def cells(options: Options) -> tuple[Cell, ...]:
    """The numbers of the form: step after step along eight lines, or point after point of a grid.

    Parameters
    ----------
    options : mapping
        ``by``, ``length_mm``, ``width_mm``, ``foot_mm``, ``across``, ``deep``.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> plate = {"by": "union-jack", "length_mm": 800.0, "width_mm": 600.0, "foot_mm": 100.0}
    >>> len(cells(plate))
    62
    """
    if options["by"] == "grid":
        return _grid_cells(options)
    made = []
    for line, length in sizes(options).items():
        count = max(2, 2 * round(length / max(options["foot_mm"], 1.0) / 2))
        made += [
            Cell(
                id=f"{line}{step}",
                row={"line": line, "step": str(step)},
                column="tilt_um_per_m",
                prompt=say(
                    "Line {line}, step {step} of {count}: plus if the far end is high",
                    line=line,
                    step=step,
                    count=count,
                ),
                unit="µm/m",
                group=words.line_heading(line),
            )
            for step in range(1, count + 1)
        ]
    return tuple(made)


def _grid_cells(options: Options) -> tuple[Cell, ...]:
    across, deep = max(int(options["across"]), 2), max(int(options["deep"]), 2)
    made = []
    for row in range(deep):
        y = f"{round(row * options['width_mm'] / (deep - 1), 3):g}"
        for column in range(across):
            x = f"{round(column * options['length_mm'] / (across - 1), 3):g}"
            made.append(
                Cell(
                    id=f"g{row + 1}_{column + 1}",
                    row={"x_mm": x, "y_mm": y},
                    column="height_um",
                    prompt=say("x {x} mm, y {y} mm: plus is high", x=x, y=y),
                    unit="µm",
                    group=say("Row at y {y} mm", y=y),
                )
            )
    return tuple(made)


def prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Judge how flat a plate is.

    Parameters
    ----------
    table : Table
        ``line, step, tilt_um_per_m`` or ``x_mm, y_mm, height_um``.
    options : mapping
        Size of the plate and foot of the level.
    conditions : Conditions
        Limit and doubts.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        Readings are missing, stand twice, or do not fit the plate.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,height_um\\n0,0,0\\n9,0,0\\n0,9,0\\n9,9,4\\n", "plate.csv")
    >>> round(prove(table, {}, Conditions()).more["flatness_um"]["minimum_zone"], 6)
    2.0
    """
    plate = plate_of(table, options)
    made = flat(plate.x_mm, plate.y_mm, plate.heights_um)
    sd = reading_sd(plate, conditions)
    bounds = bounds_of(plate, sd, conditions.seed)
    closures = _closures(plate, sd)
    # A doubt that the closures themselves told would hide the jump that made them large.
    stated = conditions.reading_uncertainty is not None
    quantities = _quantities(plate, made, bounds, closures)
    verdict = judge(quantities, conditions)
    return Proof(
        deed="flatness",
        title=DEED.title,
        headline=words.headline(made),
        quantities=quantities,
        more=_more(plate, made),
        verdict=verdict,
        finds=words.finds(plate, made),
        blames=words.blames(plate, made),
        remedy=words.remedies(verdict),
        cannot_tell=words.cannot_tell(plate),
        warnings=words.warnings(plate, closures if stated else (None, None), bounds),
        cautions=DEED.cautions,
        assumed=words.assumed(plate, options.get("foot_mm")),
        method=say(
            "Heights line by line in the plane of the diagonals; then the narrowest pair of "
            "parallel planes, and the least-squares plane, over each point once."
        )
        if plate.jack is not None
        else say("The narrowest pair of parallel planes, and the least-squares plane."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_table(plate, made),),
        drawing=Drawing(
            x_mm=tuple(plate.x_mm.tolist()),
            y_mm=tuple(plate.y_mm.tolist()),
            deviations_um=tuple(made.deviations.tolist()),
            chains=plate.chains,
            flatness_um=made.minimum_zone,
        ),
    )


def _closures(plate: Plate, sd: float | None) -> tuple[float | None, float | None]:
    """Expanded uncertainty of both closures, from the readings they are summed of."""
    if plate.jack is None or plate.rises is None or plate.steps_m is None or sd is None:
        return None, None
    squares = np.zeros(2)
    for line, values in plate.rises.items():
        for step in range(len(values)):
            unit = {name: np.zeros(len(rises)) for name, rises in plate.rises.items()}
            unit[line][step] = sd * plate.steps_m[line]
            moved = moody(unit)
            squares += np.square([moved.closure_g, moved.closure_h])
    g, h = (2 * np.sqrt(squares)).tolist()
    return g, h


def _quantities(
    plate: Plate,
    made: Flat,
    bounds: dict[str, Bound],
    closures: tuple[float | None, float | None],
) -> tuple[Quantity, ...]:
    jack, grid = plate.jack, say("only eight whole lines of a union-jack give it")

    def one(which: str, name: str, value: float | None) -> Quantity:
        return Quantity(
            key=f"flatness_{which}_um",
            name=name,
            value=value,
            unit="µm",
            uncertainty=bounds[which].expanded if which in bounds else None,
            digits=2,
            why="" if value is not None else grid,
        )

    def closure(line: str, value: float | None, doubt: float | None) -> Quantity:
        return Quantity(
            key=f"closure_{line.lower()}_um",
            name=say("closure of line {line} in the middle", line=line),
            value=value,
            unit="µm",
            uncertainty=doubt,
            digits=3,
            signed=True,
            why="" if value is not None else grid,
        )

    return (
        one("minimum_zone", say("flatness, minimum-zone plane"), made.minimum_zone),
        one("least_squares", say("flatness, least-squares plane"), made.least_squares),
        one("moody", say("flatness, plane of the diagonals"), jack.flatness if jack else None),
        Quantity(
            key="flatness_upper_um",
            name=say("not above, nineteen times in twenty"),
            value=bounds["minimum_zone"].upper if bounds else None,
            unit="µm",
            digits=2,
            why="" if bounds else say("the doubt of one reading is not said"),
        ),
        closure("G", jack.closure_g if jack else None, closures[0]),
        closure("H", jack.closure_h if jack else None, closures[1]),
    )


def _more(plate: Plate, made: Flat) -> dict[str, object]:
    told: dict[str, object] = {
        "flatness_um": {
            "moody": plate.jack.flatness if plate.jack else None,
            "least_squares": made.least_squares,
            "minimum_zone": made.minimum_zone,
        },
        "reference": "minimum-zone plane",
        "network_um": None,
    }
    if plate.net is not None:
        net = plate.net
        over = flat(net.shares[:, 0], net.shares[:, 1], net.heights)
        told["network_um"] = {
            "least_squares": over.least_squares,
            "minimum_zone": over.minimum_zone,
            "scatter_of_a_step": net.scatter,
            "freedom": net.freedom,
            "rank": net.rank,
        }
    return told


def _table(plate: Plate, made: Flat) -> Grid:
    return Grid(
        title=say("Deviations from the middle of the minimum zone"),
        columns=(say("x, mm"), say("y, mm"), say("height, µm"), say("deviation, µm")),
        rows=tuple(
            zip(
                [f"{x:g}" for x in plate.x_mm.tolist()],
                [f"{y:g}" for y in plate.y_mm.tolist()],
                plate.heights_um.tolist(),
                made.deviations.tolist(),
                strict=True,
            )
        ),
        digits=3,
    )


DEED = Deed(
    id="flatness",
    title=later("Flatness"),
    what=later("How far a table or plate leaves a plane, and where."),
    columns=(
        "[line]",
        "[step]",
        "[tilt_um_per_m]",
        "[x_mm]",
        "[y_mm]",
        "[height_um]",
    ),
    options=(
        Option(
            id="by",
            name=later("measured as"),
            sort="choice",
            choices=("union-jack", "grid"),
            default="union-jack",
            help=later("Eight lines with a level, or heights of points."),
        ),
        Option(
            id="length_mm",
            name=later("length, along x"),
            unit="mm",
            default=800.0,
            help=later("Of the rectangle that the lines enclose, west to east."),
        ),
        Option(
            id="width_mm",
            name=later("width, along y"),
            unit="mm",
            default=600.0,
            help=later("Of the same rectangle, south to north."),
        ),
        Option(
            id="foot_mm",
            name=later("foot spacing of the level"),
            unit="mm",
            default=100.0,
            help=later("The step from reading to reading; it goes an even number of times."),
        ),
        Option(
            id="across",
            name=later("points along x"),
            sort="whole",
            default=4,
            help=later("Only for a grid."),
        ),
        Option(
            id="deep",
            name=later("points along y"),
            sort="whole",
            default=3,
            help=later("Only for a grid."),
        ),
    ),
    cells=cells,
    prove=prove,
    judged=(
        "flatness_minimum_zone_um",
        "flatness_least_squares_um",
        "flatness_moody_um",
        "flatness_upper_um",
    ),
    steps=words.STEPS,
    cautions=words.CAUTIONS,
    instrument=later("level 0.005 mm/m with feet, or indicator 0.001"),
    instrument_sorts=("level", "indicator"),
    reading_unit="µm/m",
    needs_level=True,
    standard="ISO 1101",
    edition="2017",
    example="flatness.csv",
    order=7,
    columns_note={
        "line": later("A to H: diagonals A, B, edges C, D, E, F, middle lines G, H"),
        "step": later("counted from 1 in the direction of the line"),
        "tilt_um_per_m": later("level reading; plus where the far end is high"),
        "x_mm": later("place of a point, along x"),
        "y_mm": later("place of a point, along y"),
        "height_um": later("height of a point; plus is high"),
    },
)
