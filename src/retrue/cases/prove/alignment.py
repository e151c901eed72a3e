"""Alignment: a spindle and its motion, headstock and tailstock, a turret's bore, a turned bar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.prove.alignment_bar import bar_cells, bar_proof
from retrue.cases.prove.alignment_swept import swept_cells, swept_proof
from retrue.cases.prove.alignment_turned import turned_cells, turned_proof
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.prove.table import Table

METHODS = ("spindle_to_axis", "headstock", "tailstock", "turret", "turned_bar")
_PROOFS: Mapping[str, Callable[[Table, Options, Conditions], Proof]] = {
    "spindle_to_axis": bar_proof,
    "headstock": bar_proof,
    "tailstock": swept_proof,
    "turret": swept_proof,
    "turned_bar": turned_proof,
}


def _cells(options: Options) -> tuple[Cell, ...]:
    if options["method"] in ("spindle_to_axis", "headstock"):
        return bar_cells(options)
    if options["method"] == "turned_bar":
        return turned_cells(options)
    return swept_cells(options)


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    try:
        made = _PROOFS[options["method"]](table, options, conditions)
    except ValueError:
        raise Unusable(
            say("these readings do not fix a line or a centre yet"),
            remedy=say("Read at two positions at least, or at three places round the turn."),
        ) from None
    return replace(made, cautions=DEED.cautions)


DEED = Deed(
    id="alignment",
    title=later("Alignment"),
    what=later("Whether two lines that should be one are one, and which way to nudge which."),
    columns=("[plane]", "[position_mm]", "[turn_deg]", "[angle_deg]", "reading_um"),
    columns_note={
        "plane": later("height or side: where the indicator touches the bar"),
        "position_mm": later("distance from the spindle nose"),
        "turn_deg": later("0 or 180: the spindle turned half round, so that the bar drops out"),
        "angle_deg": later("place of a swept indicator: 0 to the side, 90 on top"),
        "reading_um": later("plunger in is positive; of a turned bar: diameter less its nominal"),
    },
    options=(
        Option(
            id="method",
            name=later("what is compared"),
            sort="choice",
            choices=METHODS,
            default="spindle_to_axis",
            help=later("Spindle and motion, headstock, tailstock, turret bore or a turned bar."),
        ),
        Option(
            id="length_mm",
            name=later("length read along"),
            unit="mm",
            default=300.0,
            help=later("From the first position to the last one."),
        ),
        Option(
            id="joint_mm",
            name=later("distance of the bolts that are nudged"),
            unit="mm",
            help=later("Of a headstock or a tailstock; without it the angle alone is told."),
        ),
        Option(
            id="surface",
            name=later("what a swept indicator feels"),
            sort="choice",
            choices=("bore", "outside"),
            default="bore",
            help=later("A bore from within, or an outside diameter."),
        ),
        Option(
            id="sag_um",
            name=later("droop of the indicator's arm"),
            unit="µm",
            signed=True,
            help=later("Swept on a ring that turns with it; without it height is told with doubt."),
        ),
        Option(
            id="held",
            name=later("how the bar was held"),
            sort="choice",
            choices=("chuck", "centres"),
            default="chuck",
            help=later("In the chuck alone, or between centres."),
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("out_of_line_um", "taper_300_um"),
    steps=(
        later("Clean the bore and the bar; a hair in a taper reads like a bent spindle."),
        later("Set the indicator to the bar or to the bore, on the part that moves past it."),
        later("Read at each place, turn the spindle half round by hand, read again."),
        later("Go back to the first place: it must read as before."),
    ),
    cautions=(
        later(
            "The spindle is turned by hand, with the machine isolated and locked off under the "
            "rules of the place; nothing is read on a turning spindle. A turned bar is cut with "
            "guards closed, by somebody who may run the machine."
        ),
    ),
    instrument=later("indicator 0.001 and a test bar, or a micrometer for a turned bar"),
    instrument_sorts=("indicator", "test_bar", "micrometer"),
    reading_unit="µm",
    needs_level=True,
    standard="ISO 230-1",
    edition="2012, alignment of axes (from memory)",
    example="alignment.csv",
    order=10,
)
