"""Square: two motions against a square that is turned over, two lines, two diameters; a ruler."""

from __future__ import annotations

from dataclasses import replace

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.prove.square_edge import edge_proof
from retrue.cases.prove.square_read import angle_proof
from retrue.cases.prove.table import Table

METHODS = ("reversal", "lines", "diameters", "straightedge")
POINTS = 6


def _cells(options: Options) -> tuple[Cell, ...]:
    if options["method"] == "diameters":
        return _diameters()
    length = float(options["length_mm"])
    column, names = "setup", {"first": say("First set-up"), "turned": say("Turned over")}
    if options["method"] == "lines":
        column = "line"
        first, second = options["axes"]
        names = {
            "first": say("Along {axis}, inside the square", axis=first),
            "second": say("Along {axis}, inside the square", axis=second),
        }
    places = [length * step / (POINTS - 1) for step in range(POINTS)]
    return tuple(
        Cell(
            id=f"{word}_{place:g}",
            row={column: word, "position_mm": f"{place:g}"},
            column="reading_um",
            prompt=say("{place} mm along", place=short(place)),
            unit="µm",
            group=group,
        )
        for word, group in names.items()
        for place in places
    )


def _diameters() -> tuple[Cell, ...]:
    return tuple(
        Cell(
            id=f"{angle}_{run}",
            row={"diagonal_deg": str(angle), "run": str(run)},
            column="diameter_um",
            prompt=say("Diameter at {angle}°, run {run}: less its nominal", angle=angle, run=run),
            unit="µm",
            group=say("Diagonals of the circle"),
        )
        for run in (1, 2)
        for angle in (45, 135)
    )


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    try:
        way = edge_proof if options["method"] == "straightedge" else angle_proof
        made = way(table, options, conditions)
    except ValueError:
        raise Unusable(
            say("these readings do not fix an angle yet"),
            remedy=say("Read both set-ups, or both lines, at two positions at least."),
        ) from None
    return replace(made, cautions=DEED.cautions)


_OPTIONS = (
    Option(
        id="method",
        name=later("how it is read"),
        sort="choice",
        choices=METHODS,
        default="reversal",
        help=later(
            "A square turned over, two lines, two diameters, or a straightedge turned over."
        ),
    ),
    Option(
        id="axes",
        name=later("which two axes"),
        sort="choice",
        choices=("XY", "XZ", "YZ"),
        default="XY",
        help=later("The first one is the one that the second is square to."),
    ),
    Option(
        id="length_mm",
        name=later("length read along"),
        unit="mm",
        default=300.0,
        help=later("From the first position to the last one."),
    ),
    Option(
        id="turned_from",
        name=later("indicator, after turning the square over"),
        sort="choice",
        choices=("other_side", "same_side"),
        default="other_side",
        help=later("Whether it was moved to the other side of the square."),
    ),
    Option(
        id="square_um_per_m",
        name=later("known error of the square"),
        unit="µm/m",
        signed=True,
        help=later("From its certificate; positive when its angle is over 90 degrees."),
    ),
    Option(
        id="radius_mm",
        name=later("radius of the circle"),
        unit="mm",
        default=150.0,
        help=later("Of the two diameters."),
    ),
    Option(
        id="joint_mm",
        name=later("distance of the bolts that are nudged"),
        unit="mm",
        help=later("Of the joint that turns the second axis; without it the angle alone is told."),
    ),
)

DEED = Deed(
    id="square",
    title=later("Square"),
    what=later("Whether two motions are square to each other, and by how much to swing which."),
    columns=("[setup]", "[line]", "[diagonal_deg]", "[position_mm]", "[reading_um]"),
    columns_note={
        "setup": later("first or turned: the square or straightedge before and after it is turned"),
        "line": later("first or second: along which of both axes, inside the square"),
        "diagonal_deg": later("45 or 135, with diameter_um: diameter less its nominal"),
        "position_mm": later("along the line"),
        "reading_um": later("plunger in is positive"),
    },
    options=_OPTIONS,
    cells=_cells,
    prove=_prove,
    judged=("squareness_500_um", "machine_straightness_um"),
    steps=(
        later("Set the foot of the square true to the first axis: the same reading at both ends."),
        later("Indicator on the plus side of the upright face; read along the second axis."),
        later("Turn the square over so that the same face looks the other way; set it true again."),
        later("Move the indicator to that side and read the same places once more."),
    ),
    cautions=(
        later(
            "A square that tips falls on hands and ways: weigh it down or clamp it. Axes move at "
            "slow feed with nobody between indicator and machine, under the rules of the place. "
            "A straightedge that falls hurts feet and ways: two hold it while it is turned."
        ),
    ),
    instrument=later("square, indicator 0.001"),
    instrument_sorts=("square", "indicator", "straightedge", "ball_bar"),
    reading_unit="µm",
    needs_level=True,
    standard="ISO 230-1",
    edition="2012, squareness by reversal (from memory)",
    example="square.csv",
    order=9,
)
