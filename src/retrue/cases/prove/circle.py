"""The circular test: how round two axes run together, which cause makes what, what to do first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.prove.circle_drawing import drawing_of, picture_grid
from retrue.cases.prove.circle_numbers import Judged, causes_grid, measures, more, quantities
from retrue.cases.prove.circle_tables import LEAST_POINTS, Run, readings_of
from retrue.cases.prove.circle_told import (
    bare,
    cannot_tell,
    headline,
    sentences,
    standstills,
    warnings,
)
from retrue.cases.prove.circle_words import ORDER, PLANES, Axes, blame, look_first, name_of, remedy
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Proof, Remedy, ThenRead
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.bound import Bound, upper_bound_of_fit
from retrue.science.circle import (
    Centre,
    Deviations,
    apart_rows,
    bidirectional,
    deviations,
)
from retrue.science.circle_causes import Cause, Separation, separate, shares, without
from retrue.science.circle_zone import zone_widths
from retrue.science.conformity import GUARD

Floats = NDArray[np.float64]
WORK = 1_600_000  # points that the repeated measurements may take together
USUAL_POINTS, MOST_POINTS = 16, 72  # places a person reads by hand, one direction
LEAST_REACH_UM, LEAST_SHARE = 0.5, 0.05  # below this a cause is not worth a hand's move


def prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Judge circles and separate their causes.

    Parameters
    ----------
    table : Table
        Paths, as `circle_tables.readings_of` takes them.
    options : mapping
        ``radius_mm``, ``feed_mm_min``, ``plane``, ``pitch_mm``, ``centre``.
    conditions : Conditions
        Limit and uncertainties.

    Returns
    -------
    Proof
        Of the circle with the largest deviation; causes of all circles together.

    Raises
    ------
    Unusable
        Readings are missing or do not fit the circle; less than 180 degrees of arc (TooHard).

    References
    ----------
    ISO 230-4 (from memory).

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> import math
    >>> rows = "".join(
    ...     f"{way},{k * 5 + 2.5},{4 * math.cos(2 * math.radians(k * 5 + 2.5)):.4f}\\n"
    ...     for way in ("cw", "ccw") for k in range(72)
    ... )
    >>> table = read_table(("direction,angle_deg,deviation_um\\n" + rows).encode(), "bar.csv")
    >>> made = prove(table, {"radius_mm": 100.0}, Conditions())
    >>> made.quantities[0].key, made.quantities[0].value.__round__(2)
    ('bidirectional_circular_deviation_um', 7.97)
    """
    axes = Axes(*PLANES[options.get("plane") or "XY"])
    readings = readings_of(table, options)
    reading = (conditions.reading_uncertainty or 0.0) / 2
    separation = separate(readings.paths, pitch_mm=options.get("pitch_mm"), reading_sd=reading)
    centre: Centre = "as-set" if options.get("centre") == "as-set" else "least-squares"
    values = [deviations(run.paths, centre=centre) for run in readings.runs]
    worst = max(range(len(values)), key=lambda i: values[i].both)
    judged = _judged(readings.runs[worst], values[worst], separation, conditions)
    given = quantities(judged, separation, conditions)
    drawing = drawing_of(judged.run, separation, judged.values, judged.found, axes)
    moves, reads = _remedies(judged, separation, axes, given[0].uncertainty)
    return Proof(
        deed="circle",
        title=DEED.title,
        headline=headline(judged.run, given[0], judged.found, axes),
        quantities=given,
        more=more(readings, values, judged, separation, axes),
        verdict=judge(given, conditions),
        finds=(
            *sentences(judged.run, judged.values, judged.found, separation, judged.bound, axes),
            *standstills(judged.run, judged.found, axes),
        ),
        blames=tuple(text for cause in judged.found if (text := blame(cause, axes))),
        remedy=moves,
        then_read=reads,
        cannot_tell=cannot_tell(readings, separation, axes, options.get("pitch_mm")),
        warnings=warnings(readings, judged.run, separation),
        cautions=DEED.cautions,
        assumed=(*readings.assumed, *bare(conditions)),
        method=say(
            "Circular deviations about a free centre (minimum zone), least squares beside them; "
            "causes by one least-squares fit to all paths."
        ),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(picture_grid(drawing), causes_grid(separation, axes)),
        measures=measures(judged.run, given[0]),
        drawing=drawing,
    )


def _judged(run: Run, values: Deviations, separation: Separation, conditions: Conditions) -> Judged:
    ids = [cause.id for cause in separation.causes]
    model = np.concatenate(shares(run.paths, separation, ids))
    draws = min(max(WORK // len(model), 8), 200)
    # The instrument's own doubt is no scatter: it does not widen a range, it shifts two readings.
    doubt = GUARD * 2**0.5 * (conditions.reading_uncertainty or 0.0) / 2

    def bound(observed: float, measure: Callable[[Floats], Floats], name: str) -> Bound:
        chance = stream(conditions.seed, "circle", name)
        sd = separation.residual_sd
        made = upper_bound_of_fit(model, sd, observed, measure, chance, draws=draws)
        return replace(made, upper=made.upper + doubt)

    angle = np.concatenate([path.angle_rad for path in run.paths])
    ring = bound(values.both, partial(zone_widths, angle), "bidirectional")
    apart = None
    if values.hysteresis is not None:
        apart = bound(values.hysteresis, apart_rows(*run.paths), "hysteresis")
    least = max(LEAST_REACH_UM, LEAST_SHARE * values.both)
    reach = {cause.id: _reach(run, separation, cause) for cause in separation.causes}
    found = [
        cause
        for cause in separation.causes
        if cause.id in ORDER
        and cause.separable
        and abs(cause.value) > 2 * cause.standard_uncertainty
        and reach[cause.id] >= least
    ]
    found.sort(key=lambda cause: -reach[cause.id])
    return Judged(run, values, tuple(found), ring, apart)


def _reach(run: Run, separation: Separation, cause: Cause) -> float:
    made = shares(run.paths, separation, [cause.id])
    return max(float(one.max()) for one in made) - min(float(one.min()) for one in made)


def _remedies(
    judged: Judged, separation: Separation, axes: Axes, expanded: float | None
) -> tuple[tuple[Remedy, ...], tuple[ThenRead, ...]]:
    """Loose things first; each move with what is read once it is done, one after the other."""
    moves: list[Remedy] = []
    reads: list[ThenRead] = []
    gone: list[str] = []
    lost = [c for c in judged.found if c.id.startswith("reversal") and c.value > 0]
    plays = [c for c in judged.found if c.id.startswith("lateral_play")]
    ordered = sorted(judged.found, key=lambda cause: ORDER.index(cause.id))
    for cause in ordered:
        if cause not in plays and lost:
            for one in lost:
                moves.append(look_first(one, axes))
                reads.append(
                    ThenRead(
                        where=say("indicator, backlash of {axis}", axis=axes.of(one.id)),
                        value=one.value,
                        unit="µm",
                        give_or_take=2 * one.standard_uncertainty,
                    )
                )
            lost = []
        gone.append(cause.id)
        moves.append(remedy(cause, axes))
        left = bidirectional(without(judged.run.paths, separation, gone))
        where = say("circle again, after {name} is cured", name=name_of(cause.id, axes))
        reads.append(
            ThenRead(where=where, value=left, unit="µm", give_or_take=expanded, signed=False)
        )
    return tuple(moves), tuple(reads)


def cells(options: Options) -> tuple[Cell, ...]:
    """The numbers that a form asks for: as many places around, in both directions.

    Parameters
    ----------
    options : mapping
        ``points`` around the circle; half a step away from the places where an axis turns round.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> made = cells({"points": 16})
    >>> len(made), made[0].row["angle_deg"], made[0].id
    (32, '11.25', 'ccw-1')
    """
    points = min(max(int(options.get("points") or USUAL_POINTS), LEAST_POINTS), MOST_POINTS)
    words = {"ccw": say("counter-clockwise"), "cw": say("clockwise")}
    made = []
    for way, told in words.items():
        places = range(points) if way == "ccw" else reversed(range(points))
        for order, place in enumerate(places, 1):
            degrees = f"{(place + 0.5) * 360 / points:g}"
            made.append(
                Cell(
                    id=f"{way}-{order}",
                    row={"direction": way, "angle_deg": degrees},
                    column="deviation_um",
                    prompt=say(
                        "Run {way} to {degrees}° and read: plus is outwards.",
                        way=told,
                        degrees=number(float(degrees), 2 if float(degrees) % 1 else 0),
                    ),
                    unit="µm",
                    group=told,
                )
            )
    return tuple(made)


OPTIONS = (
    Option(
        id="radius_mm", name=later("radius of the circle"), unit="mm", help=later("Nominal radius.")
    ),
    Option(
        id="feed_mm_min",
        name=later("feed along the circle"),
        unit="mm/min",
        help=later("Needed to give the lag in milliseconds."),
    ),
    Option(
        id="plane",
        name=later("plane"),
        sort="choice",
        choices=tuple(PLANES),
        default="XY",
        help=later("The angle counts from the first axis to the second."),
    ),
    Option(
        id="pitch_mm",
        name=later("pitch of the two screws"),
        unit="mm",
        help=later("Needed to look for errors once a turn of the screw."),
    ),
    Option(
        id="centre",
        name=later("centre of the nominal circle"),
        sort="choice",
        choices=("least-squares", "as-set"),
        default="least-squares",
        help=later("As set counts the set-up into the radial deviations."),
    ),
    Option(
        id="points",
        name=later("places around the circle"),
        sort="whole",
        default=USUAL_POINTS,
        help=later("Eight to 72, in each direction."),
    ),
)
DEED = Deed(
    id="circle",
    title=later("Circular test"),
    what=later("It tells how round two axes run together, and which cause makes what part of it."),
    columns=(
        "direction",
        "angle_deg",
        "deviation_um",
        "[x_mm]",
        "[y_mm]",
        "[circle]",
        "[radius_mm]",
        "[feed_mm_min]",
        "[x0_mm]",
        "[y0_mm]",
    ),
    options=OPTIONS,
    cells=cells,
    prove=prove,
    judged=(
        "bidirectional_circular_deviation_um",
        "circular_deviation_cw_um",
        "circular_deviation_ccw_um",
        "hysteresis_um",
    ),
    steps=(
        later("Let the axes run for half an hour, so that they are as warm as at work."),
        later(
            "Set the bar or the plate in the middle of the travel, and let it take the room's heat."
        ),
        later(
            "Run the circle counter-clockwise, with a lead-in of a quarter turn that is not read."
        ),
        later("Run it clockwise, same place, same feed, nothing touched in between."),
        later("Run both again at twice the feed: that tells lag from lost motion."),
    ),
    cautions=(
        later(
            "Axes move under power: doors shut, nobody in reach of table and spindle, one hand at "
            "the stop, under the rules that hold where you work. What stands here is an estimate "
            "for planning."
        ),
    ),
    instrument=later("telescoping ball bar or grid plate"),
    instrument_sorts=("ball_bar", "grid_plate"),
    reading_unit="µm",
    needs_level=True,
    standard="ISO 230-4",
    edition="2022",
    example="circle.csv",
    order=12,
    columns_note={
        "direction": later("cw clockwise, ccw counter-clockwise"),
        "angle_deg": later("from the first axis of the plane towards the second"),
        "deviation_um": later("how far outside the nominal circle"),
        "x_mm": later("instead of angle and deviation: place along the first axis of the plane"),
        "y_mm": later("place along the second axis of the plane"),
        "circle": later("name of the set-up, where there are several"),
        "radius_mm": later("nominal radius, where it changes"),
        "feed_mm_min": later("feed, where it changes"),
        "x0_mm": later("nominal centre along the first axis"),
        "y0_mm": later("nominal centre along the second axis"),
    },
)
