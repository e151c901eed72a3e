"""End float: pushed and pulled, how far a screw or a spindle gives way along its axis."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove.deed import Cell, Deed, Option, Options
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
from retrue.science.end_float import EndFloat, end_float
from retrue.science.give_or_take import doubt_of

WAYS = {"push": "push", "pull": "pull"}
RUNS = 5


@dataclass(frozen=True, slots=True)
class EndFloatDrawing:
    """Readings of both ways, run after run, µm."""

    pushed: tuple[float, ...]
    pulled: tuple[float, ...]
    float_um: float
    doubt: float | None


def _cells(options: Options) -> tuple[Cell, ...]:
    names = {
        "push": say("Push it towards the indicator and hold"),
        "pull": say("Pull it away and hold"),
    }
    return tuple(
        Cell(
            id=f"{way}_{run}",
            row={"direction": way, "run": str(run)},
            column="reading_um",
            prompt=prompt,
            unit="µm",
            group=say("Run {run} of {runs}", run=run, runs=RUNS),
        )
        for run in range(1, RUNS + 1)
        for way, prompt in names.items()
    )


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    ways = np.array(table.words("direction", WAYS))
    readings = table.numbers("reading_um")
    pushed, pulled = readings[ways == "push"], readings[ways == "pull"]
    if not len(pushed) or not len(pulled):
        missing = "pull" if len(pushed) else "push"
        raise Unusable(
            say("one way is not read yet"),
            remedy=say("Read it while pushed and while pulled, the same force each way."),
            problems=(Problem(table.name, say("no row with direction {way}", way=missing)),),
        )
    found = end_float(pushed, pulled)
    doubt = doubt_of(
        found.unit_uncertainty, found.scatter_um, found.freedom, conditions.reading_uncertainty
    )
    near = doubt if math.isfinite(doubt) else None
    size = abs(found.float_um)
    quantities = (
        Quantity(
            key="end_float_um", name=say("end float"), value=size, unit="µm", uncertainty=near
        ),
        Quantity(
            key="scatter_um", name=say("scatter of one reading"), value=found.scatter_um, unit="µm"
        ),
    )
    feels = size > (near or 0.0)
    screw = options["part"] == "screw"
    return Proof(
        deed="float",
        title=DEED.title,
        headline=_headline(size, feels, screw),
        quantities=quantities,
        more={"part": options["part"], "readings": len(readings)},
        verdict=judge(quantities, conditions),
        blames=_blames(feels, screw),
        remedy=_remedy(size, options) if feels else (),
        then_read=_then_read(near, screw) if feels else (),
        cannot_tell=_cannot_tell(screw),
        warnings=_warnings(found, near),
        cautions=DEED.cautions,
        method=say("Difference of both means."),
        tables=(_grid(pushed.tolist(), pulled.tolist()),),
        measures=_measures(size, near, screw),
        drawing=EndFloatDrawing(tuple(pushed.tolist()), tuple(pulled.tolist()), size, near),
    )


def _headline(size: float, feels: bool, screw: bool) -> str:
    if not feels:
        return say("No end float that this indicator can tell.")
    if screw:
        return say("The screw moves {size} along its axis.", size=amount(size, "µm"))
    return say("The spindle moves {size} along its axis.", size=amount(size, "µm"))


def _blames(feels: bool, screw: bool) -> tuple[str, ...]:
    if not feels:
        return ()
    if screw:
        return (say("The screw’s end bearing has lost its preload, or its nut is loose."),)
    return (say("The spindle’s bearings have lost their preload, or their nut is loose."),)


def _remedy(size: float, options: Options) -> tuple[Remedy, ...]:
    turn = ""
    if pitch := options["nut_pitch_mm"]:
        degrees = size / 1000 / pitch * 360
        turn = say(": about {degrees}° of the nut", degrees=number(degrees, 1))
    text = say("Take up {size} at the bearing’s nut", size=amount(size, "µm"))
    settle = say("Then turn it through by hand, push and pull again, and feel it for heat later.")
    return (Remedy(text=f"{text}{turn}. {settle}"),)


def _then_read(near: float | None, screw: bool) -> tuple[ThenRead, ...]:
    where = say("pushed less pulled, at the screw’s end")
    if not screw:
        where = say("pushed less pulled, at the spindle")
    return (ThenRead(where=where, value=0.0, unit="µm", give_or_take=near),)


def _cannot_tell(screw: bool) -> tuple[str, ...]:
    told = [say("Loose from worn: tighten the nut and read again; what stays is wear.")]
    if screw:
        told.append(say("Play between nut and screw: read backlash at the table as well."))
    return tuple(told)


def _warnings(found: EndFloat, near: float | None) -> tuple[str, ...]:
    if found.float_um < -(near or 0.0):
        return (
            say(
                "It reads less when pushed than when pulled: the two were exchanged, or the "
                "indicator stands at the other end. The size holds."
            ),
        )
    return ()


def _grid(pushed: list[float], pulled: list[float]) -> Grid:
    longest = max(len(pushed), len(pulled))
    rows = tuple(
        (
            float(run + 1),
            pushed[run] if run < len(pushed) else None,
            pulled[run] if run < len(pulled) else None,
        )
        for run in range(longest)
    )
    columns = (say("run"), say("pushed, µm"), say("pulled, µm"))
    return Grid(title=say("Pushed and pulled"), columns=columns, rows=rows)


def _measures(size: float, near: float | None, screw: bool) -> tuple[Measured, ...]:
    if not screw:
        return ()
    doubt = None if near is None else near / 1000
    return (Measured(measure="M15", value=size / 1000, uncertainty=doubt),)


DEED = Deed(
    id="float",
    title=later("End float"),
    what=later("How far a screw or a spindle gives way along its axis, and how much to take up."),
    columns=("direction", "[run]", "reading_um"),
    columns_note={
        "direction": later("push (towards the indicator) or pull"),
        "run": later("1, 2, 3 ..."),
        "reading_um": later("plunger in is positive"),
    },
    options=(
        Option(
            id="part",
            name=later("what is pushed"),
            sort="choice",
            choices=("screw", "spindle"),
            default="screw",
            help=later("The end of a feed screw, or the spindle."),
        ),
        Option(
            id="nut_pitch_mm",
            name=later("pitch of the bearing’s nut"),
            unit="mm",
            help=later("To tell how far the nut turns; without it the distance alone is told."),
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("end_float_um",),
    steps=(
        later("Grease a ball into the centre of the screw’s end; set the indicator on the ball."),
        later("Push the part towards the indicator with a bar, the same force each time; read."),
        later("Pull it away, hold, read. Five times each way."),
    ),
    cautions=(
        later(
            "With the machine isolated and locked off under the rules of the place, an upright "
            "axis propped: what is pushed must not be able to start or to drop."
        ),
    ),
    instrument=later("ball, indicator 0.001"),
    instrument_sorts=("indicator",),
    reading_unit="µm",
    daily=True,
    example="float.csv",
    order=4,
)
