"""Positioning: how true an axis comes to its targets from both sides, and what to enter."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import later, say
from retrue.cases.prove.compensation_table import Plan, files, grid, plan, remedies
from retrue.cases.prove.deed import Cell, Deed, Options
from retrue.cases.prove.positioning_numbers import (
    Judged,
    doubts_of,
    evaluate,
    more,
    quantities,
    sided,
    without,
)
from retrue.cases.prove.positioning_options import OPTIONS
from retrue.cases.prove.positioning_readings import Readings, place, readings_of
from retrue.cases.prove.positioning_tables import measures, picture_grid
from retrue.cases.prove.positioning_words import (
    blames,
    cannot_tell,
    drifts,
    finds,
    headline,
    scatters,
    warnings,
)
from retrue.cases.prove.proof import Conditions, Proof, Remedy, ThenRead
from retrue.cases.prove.table import Table, asked_inches
from retrue.cases.prove.verdicts import judge
from retrue.science.positioning import drift_over_runs
from retrue.science.positioning_uncertainty import sampled

Floats = NDArray[np.float64]
MOST_READ = 11  # targets that are told one by one; more stand in the table
GOLDEN = 0.6180339887498949


@dataclass(frozen=True, slots=True)
class PositioningDrawing:
    """What the picture needs: per target, in µm; NaN where a direction was not measured."""

    targets: tuple[float, ...]
    unit: str
    forward: tuple[float, ...]
    backward: tuple[float, ...]
    forward_spread: tuple[float, ...]
    backward_spread: tuple[float, ...]
    after_forward: tuple[float, ...]
    after_backward: tuple[float, ...]
    entered: bool
    accuracy: float | None
    systematic: float
    systematic_after: float


def prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Judge a positioning test and work out what to enter.

    Parameters
    ----------
    table : Table
        As `positioning_readings.readings_of` takes it.
    options : mapping
        Those of the deed.
    conditions : Conditions
        Limit and uncertainties.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        Readings are missing or stand twice, or an option does not fit them.

    References
    ----------
    ISO 230-2:2014, clause 3; ISO/TR 230-9:2005 (both from memory).

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = b"target_mm,approach,run,deviation_um\\n" + b"".join(
    ...     f"{x},{way},{run},{x / 100 + lost + run}\\n".encode()
    ...     for x in (0, 100) for way, lost in (("forward", 0), ("backward", 6)) for run in (1, 2))
    >>> made = prove(read_table(rows, "x.csv"), {"increment_um": 1.0}, Conditions())
    >>> made.quantities[-3].key, made.quantities[-3].value, made.quantities[-2].value
    ('reversal_um', 6.0, -6.0)
    """
    readings = readings_of(table, options)
    judged = _judged(readings, options, conditions)
    planned = plan(judged.axis, readings, options)
    made = quantities(judged)
    entered = not planned.nothing
    return Proof(
        deed="positioning",
        title=DEED.title,
        headline=headline(judged, made),
        quantities=made,
        more=more(judged, planned),
        verdict=judge(sided(judged, made, conditions), conditions),
        finds=finds(judged, planned),
        blames=blames(judged, planned),
        remedy=_remedy(judged, planned, options),
        then_read=_then_read(judged, planned) if entered else (),
        cannot_tell=cannot_tell(judged, options),
        warnings=(*warnings(judged, options, planned), *_inches(table)),
        cautions=DEED.cautions,
        assumed=_assumed(judged, options),
        method=say("Means and two spreads from both sides at every target, ISO 230-2 clause 3."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(picture_grid(judged), *((grid(planned, readings),) if entered else ())),
        files=files(planned, readings, options),
        measures=measures(judged, made),
        drawing=_drawing(judged, planned),
    )


def _judged(readings: Readings, options: Options, conditions: Conditions) -> Judged:
    axis = evaluate(readings)
    tables = [one for one in (readings.forward, readings.backward) if one is not None]
    drift = drift_over_runs(*tables)
    return Judged(
        readings=readings,
        axis=axis,
        doubts=doubts_of(readings, options, conditions),
        sampled=sampled(axis, seed=conditions.seed),
        drift=drift,
        without_drift=without(readings, drift),
        reading=conditions.reading_uncertainty,
    )


def _remedy(judged: Judged, planned: Plan, options: Options) -> tuple[Remedy, ...]:
    first = []
    if drifts(judged):
        first.append(
            Remedy(
                text=say(
                    "Before anything is entered: warm the machine up, fix the zero, measure again. "
                    "A table made now would hold today's heat."
                )
            )
        )
    elif scatters(judged):
        first.append(
            Remedy(
                text=say(
                    "Before anything is entered: find what is loose, from the coupling to the nut. "
                    "A table cannot cure what does not repeat."
                )
            )
        )
    return (*first, *remedies(planned, judged.readings, options))


def _then_read(judged: Judged, planned: Plan) -> tuple[ThenRead, ...]:
    axis = judged.axis

    def doubt(key: str) -> float | None:
        one = judged.sampled.get(key)
        return None if one is None else math.hypot(one.expanded, judged.doubts.length)

    made = [
        ThenRead(
            where=say("range of the means"),
            value=planned.systematic,
            unit="µm",
            give_or_take=doubt("systematic"),
            signed=False,
        )
    ]
    if planned.accuracy is not None:
        made.append(
            ThenRead(
                where=say("accuracy"),
                value=planned.accuracy,
                unit="µm",
                give_or_take=doubt("accuracy"),
                signed=False,
            )
        )
    if len(judged.readings.targets) > MOST_READ:
        return tuple(made)
    for words, means, spreads in (
        (say("forward"), planned.forward, axis.spread_forward),
        (say("backward"), planned.backward, axis.spread_backward),
    ):
        made.extend(_each(judged, words, means, spreads))
    return tuple(made)


def _each(judged: Judged, words: str, means: Floats, spreads: Floats) -> list[ThenRead]:
    """One reading falls within two spreads of its mean."""
    told = []
    for target, mean, spread in zip(judged.readings.targets, means, spreads, strict=True):
        if math.isnan(mean):
            continue
        where = say("{target} {unit}, {way}", target=place(target), unit=judged.readings.unit,
                    way=words)  # fmt: skip
        near = None if math.isnan(spread) else 2 * float(spread)
        told.append(ThenRead(where=where, value=float(mean) + 0.0, unit="µm", give_or_take=near))
    return told


def _assumed(judged: Judged, options: Options) -> tuple[str, ...]:
    told = [
        say("Forward is the approach towards larger numbers; a deviation is where the axis is, "
            "less where it was sent."),
        say("The compensation that stands in the control was switched on as it is entered."),
    ]  # fmt: skip
    if options.get("scale_c") is None and judged.readings.unit == "mm":
        told.append(say("All temperatures count as 20 °C: none is given."))
    return tuple(told)


def _drawing(judged: Judged, planned: Plan) -> PositioningDrawing:
    axis = judged.axis
    sizes = (axis.systematic, axis.systematic_forward, axis.systematic_backward)
    return PositioningDrawing(
        targets=tuple(judged.readings.targets.tolist()),
        unit=judged.readings.unit,
        forward=tuple(axis.mean_forward.tolist()),
        backward=tuple(axis.mean_backward.tolist()),
        forward_spread=tuple(axis.spread_forward.tolist()),
        backward_spread=tuple(axis.spread_backward.tolist()),
        after_forward=tuple(planned.forward.tolist()),
        after_backward=tuple(planned.backward.tolist()),
        entered=not planned.nothing,
        accuracy=axis.accuracy,
        systematic=next(size for size in sizes if size is not None),
        systematic_after=planned.systematic,
    )


def cells(options: Options) -> tuple[Cell, ...]:
    """The readings of a form, in the order they are taken: out and back, run after run.

    Parameters
    ----------
    options : mapping
        ``variant``, ``from_mm``, ``to_mm``, ``targets``, ``runs``, ``pitch_mm``.

    Returns
    -------
    tuple of Cell

    References
    ----------
    ISO 230-2:2014, clause 4, standard test cycle (from memory).

    Examples
    --------
    >>> made = cells({"targets": 5, "runs": 5})
    >>> len(made), made[0].id, made[0].row
    (50, 'run1_forward1', {'target_mm': '0', 'approach': 'forward', 'run': '1'})
    """
    places = _targets(options)
    rotary = options.get("variant") == "rotary"
    column, unit = ("target_deg", "°") if rotary else ("target_mm", "mm")
    runs = options.get("runs") or (1 if options.get("variant") == "long" else 5)
    forward = say("Come to {target} {unit} from the smaller numbers, stop, read.")
    backward = say("Come to {target} {unit} from the larger numbers, stop, read.")
    made = []
    for run in range(1, runs + 1):
        for way, prompt in (("forward", forward), ("backward", backward)):
            order = list(enumerate(places, 1))
            group = say("Run {run}, forward", run=run)
            if way == "backward":
                order, group = order[::-1], say("Run {run}, backward", run=run)
            for number, target in order:
                made.append(
                    Cell(
                        id=f"run{run}_{way}{number}",
                        row={column: f"{target:g}", "approach": way, "run": str(run)},
                        column="deviation_um",
                        prompt=prompt.format(target=place(target), unit=unit),
                        unit="µm",
                        group=group,
                    )
                )
    return tuple(made)


def _targets(options: Options) -> list[float]:
    """Targets that fall on ever different places of the screw's turn, all inside the travel."""
    rotary = options.get("variant") == "rotary"
    low = float(options.get("from_mm") or 0.0)
    high = options.get("to_mm")
    high = float((low + 315 if rotary else low + 400) if high is None else high)
    low, high = min(low, high), max(low, high)
    length = high - low
    if rotary:
        usual = 8
    elif options.get("variant") == "long":
        usual = math.ceil(length / 250) + 1
    else:
        usual = max(5, math.ceil(length / 200))
    count = max(2, int(options.get("targets") or usual))
    period = min(0.0 if rotary else float(options.get("pitch_mm") or 0.0), length / (4 * count))
    step = (length - period) / (count - 1)
    return [round(low + i * step + period * math.fmod(i * GOLDEN, 1.0), 2) for i in range(count)]


def _inches(table: Table) -> tuple[str, ...]:
    return asked_inches(table.numbers("target_mm")) if table.has("target_mm") else ()


DEED = Deed(
    id="positioning",
    title=later("Positioning of an axis"),
    what=later("How true an axis comes to its targets from both sides, and what to enter."),
    columns=("target_mm", "approach", "run", "deviation_um"),
    options=OPTIONS,
    cells=cells,
    prove=prove,
    judged=(
        "accuracy_um", "accuracy_forward_um", "accuracy_backward_um", "repeatability_um",
        "repeatability_forward_um", "repeatability_backward_um", "systematic_um",
        "systematic_forward_um", "systematic_backward_um", "reversal_um", "mean_reversal_um",
        "mean_deviation_range_um",
    ),
    steps=(
        later("Warm the axis up: run it over its whole travel until it no longer grows."),
        later("Set the length standard along the axis, in line with it, where work is held."),
        later("Let the standard lie until it is as warm as the machine; read both temperatures."),
        later("Set zero at the first target, coming from the smaller numbers."),
        later("Go out from target to target, overrun the last, come back the same way; five "
              "times."),
        later("At each stop write where the axis is, less where it was sent."),
    ),
    cautions=(
        later("The axis moves by itself: guards and interlocks stay as they are, nobody reaches in "
            "while it moves, low feed, one hand at the stop; local rules and a competent person "
            "decide who may do this."),
    ),
    instrument=later("step gauge, or a length-measuring instrument, 0.001 mm"),
    instrument_sorts=("step_gauge", "laser", "indicator"),
    reading_unit="µm",
    needs_level=True,
    standard="ISO 230-2",
    edition="2014",
    example="positioning.csv",
    order=11,
    columns_note={
        "target_mm": later("where the axis is sent; target_deg on a rotary axis"),
        "approach": later("forward or backward"),
        "run": later("1, 2, 3 ..."),
        "deviation_um": later("where it is, less where it was sent"),
    },
)  # fmt: skip
