"""Drift: how far a machine moves while it warms up, and what that does to a workpiece."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.drift_words import (
    cannot_tell,
    finds,
    headline,
    remedy,
    then_read,
    warnings,
)
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.drift import (
    Settling,
    largest_range,
    settling,
    until_at_rest,
    within_a_part,
)
from retrue.science.give_or_take import doubt_of, expanded
from retrue.science.least_squares import fit

FIRST_MINUTES = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """One sensor: minutes and micrometres, with what was fitted to them."""

    name: str
    minutes: tuple[float, ...]
    values: tuple[float, ...]
    curve: Settling | None
    first_hour: float
    total: float
    by_warmth: float | None
    by_warmth_doubt: float | None


@dataclass(frozen=True, slots=True)
class DriftDrawing:
    """Curves of all sensors: name, minutes, values, fitted times and values (empty: none)."""

    curves: tuple[tuple[str, tuple[float, ...], tuple[float, ...], tuple[float, ...]], ...]
    times: tuple[float, ...]  # of the fitted values
    rest_minutes: float | None
    largest: float


def _cells(options: Options) -> tuple[Cell, ...]:
    every, lasts = float(options["every_minutes"]), float(options["last_minutes"])
    count = int(lasts // every) + 1 if every > 0 else 0
    return tuple(
        Cell(
            id=f"at_{index}",
            row={"time_s": f"{index * every * 60:g}", "sensor": "1"},
            column="value_um",
            prompt=say("After {minutes} minutes", minutes=short(index * every)),
            unit="µm",
            group=say("The same place each time, spindle stopped the same way"),
        )
        for index in range(min(count, 200))
    )


def _traces(table: Table) -> list[Trace]:
    table.need("time_s", "value_um")
    seconds, values = table.numbers("time_s"), table.numbers("value_um")
    sensors = np.array(table.text("sensor") if table.has("sensor") else ["1"] * len(table))
    kelvin = _temperatures(table)
    made = []
    for name in dict.fromkeys(sensors.tolist()):
        rows = np.flatnonzero(sensors == name)
        rows = rows[np.argsort(seconds[rows], kind="stable")]
        minutes, seen = (seconds[rows] - seconds.min()) / 60, values[rows]
        slope, doubt = _by_warmth(None if kelvin is None else kelvin[rows], seen)
        made.append(
            Trace(
                name=name,
                minutes=tuple(minutes.tolist()),
                values=tuple(seen.tolist()),
                curve=_curve(minutes, seen),
                first_hour=largest_range(minutes, seen, FIRST_MINUTES),
                total=largest_range(minutes, seen),
                by_warmth=slope,
                by_warmth_doubt=doubt,
            )
        )
    return made


def _temperatures(table: Table) -> Any:
    if not table.has("temperature_c") or not any(table.text("temperature_c")):
        return None
    return table.numbers("temperature_c")


def _curve(minutes: Any, seen: Any) -> Settling | None:
    try:
        return settling(minutes, seen)
    except ValueError:
        return None


def _by_warmth(kelvin: Any, seen: Any) -> tuple[float | None, float | None]:
    if kelvin is None or len(np.unique(kelvin)) < 3:
        return None, None
    found = fit(np.column_stack([np.ones_like(kelvin), kelvin - kelvin.mean()]), seen)
    return float(found.parameters[1]), expanded(
        float(found.standard_uncertainties[1]), found.freedom
    )


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    traces = _traces(table)
    if all(len(trace.values) < 2 for trace in traces):
        raise Unusable(
            say("one reading alone does not drift"),
            remedy=say("Read the same place again later, at least twice."),
            problems=(Problem(table.name, say("{n} readings", n=len(table))),),
        )
    worst = max(traces, key=lambda trace: trace.first_hour)
    quantities = _quantities(worst, options, conditions)
    curve = _settled(worst)
    rest = None if curve is None else until_at_rest(curve, options["rest_um"])
    return Proof(
        deed="drift",
        title=DEED.title,
        headline=headline(worst.first_hour, worst.total, curve, len(traces), worst.name),
        quantities=quantities,
        more={"sensors": [_plain(trace, options) for trace in traces], **_tilt(traces, options)},
        verdict=judge(quantities, conditions),
        finds=finds(curve, options, worst.by_warmth),
        remedy=remedy(curve, rest, options),
        then_read=then_read(curve, rest, options, quantities[0].uncertainty),
        cannot_tell=cannot_tell(curve, worst.by_warmth),
        warnings=warnings(worst.minutes, worst.curve),
        cautions=DEED.cautions,
        method=say("Ranges as read; first-order approach to rest by least squares."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_grid(traces),),
        drawing=_drawing(traces, rest),
    )


def _settled(trace: Trace) -> Settling | None:
    return trace.curve if trace.curve is not None and trace.curve.settled else None


def _quantities(trace: Trace, options: Options, conditions: Conditions) -> tuple[Quantity, ...]:
    curve = _settled(trace)
    raw = trace.curve
    scatter, freedom = (raw.residual_sd, raw.freedom) if raw is not None else (0.0, 0)
    two = doubt_of(math.sqrt(2), scatter, freedom, conditions.reading_uncertainty)
    near = two if math.isfinite(two) else None
    why = say("the readings do not come to rest: no end can be told from them")

    def fitted(key: str, name: str, unit: str, value: float | None, doubt: float | None,
               signed: bool = False) -> Quantity:  # fmt: skip
        told = None if curve is None else value
        return Quantity(
            key=key, name=name, value=told, unit=unit, uncertainty=None if told is None else doubt,
            signed=signed, why=why if told is None else "",
        )  # fmt: skip

    part = options["part_minutes"]
    first = last = rest = end = constant = end_doubt = constant_doubt = None
    if curve is not None:
        rest = until_at_rest(curve, options["rest_um"])
        first, last = within_a_part(curve, 0.0, part), within_a_part(curve, rest, part)
        end, end_doubt = curve.rise, expanded(curve.rise_u, curve.freedom)
        constant = curve.time_constant
        constant_doubt = expanded(curve.time_constant_u, curve.freedom)
    return (
        Quantity(
            key="drift_60_um", name=say("drift in the first hour"), value=trace.first_hour,
            unit="µm", uncertainty=near,
        ),
        Quantity(
            key="drift_total_um", name=say("drift in the whole test"), value=trace.total,
            unit="µm", uncertainty=near,
        ),
        fitted("settled_um", say("drift when it has come to rest"), "µm",
               end, end_doubt, True),
        fitted("time_constant_minutes", say("time constant"), "min",
               constant, constant_doubt),
        fitted("warm_up_minutes", say("until it is as good as at rest"), "min", rest, None),
        fitted("part_cold_um", say("in one workpiece, begun cold"), "µm", first, None),
        fitted("part_warm_um", say("in one workpiece, begun warm"), "µm", last, None),
        Quantity(
            key="um_per_k", name=say("for each degree"), value=trace.by_warmth, unit="µm/K",
            uncertainty=trace.by_warmth_doubt, digits=2, signed=True,
            why="" if trace.by_warmth is not None else say("no temperatures were read"),
        ),
    )  # fmt: skip


def _plain(trace: Trace, options: Options) -> Mapping[str, Any]:
    curve = _settled(trace)
    return {
        "sensor": trace.name,
        "drift_60_um": trace.first_hour,
        "drift_total_um": trace.total,
        "settled_um": None if curve is None else curve.rise,
        "time_constant_minutes": None if curve is None else curve.time_constant,
        "warm_up_minutes": None if curve is None else until_at_rest(curve, options["rest_um"]),
        "um_per_k": trace.by_warmth,
    }


def _tilt(traces: list[Trace], options: Options) -> dict[str, Any]:
    """Two sensors a distance apart: how far the line between them turns, largest less smallest."""
    distance = options["distance_mm"]
    if not distance or len(traces) != 2 or traces[0].minutes != traces[1].minutes:
        return {}
    apart = np.subtract(traces[0].values, traces[1].values) / distance * 1000
    return {"tilt_range_um_per_m": float(np.ptp(apart))}


def _grid(traces: list[Trace]) -> Grid:
    rows: list[tuple[str | float | None, ...]] = []
    for trace in traces:
        curve = _settled(trace)
        fits = [None] * len(trace.values) if curve is None else curve.at(trace.minutes).tolist()
        rows += [
            (trace.name, minute, value, one)
            for minute, value, one in zip(trace.minutes, trace.values, fits, strict=True)
        ]
    columns = (say("sensor"), say("minutes"), say("reading, µm"), say("fitted, µm"))
    return Grid(title=say("Drift"), columns=columns, rows=tuple(rows))


def _drawing(traces: list[Trace], rest: float | None) -> DriftDrawing:
    times = np.linspace(0.0, max(max(trace.minutes) for trace in traces), 121)
    curves = tuple(
        (
            trace.name,
            trace.minutes,
            trace.values,
            () if (curve := _settled(trace)) is None else tuple(curve.at(times).tolist()),
        )
        for trace in traces
    )
    largest = max(trace.first_hour for trace in traces)
    return DriftDrawing(curves, tuple(times.tolist()), rest, largest)


DEED = Deed(
    id="drift",
    title=later("Drift"),
    what=later("How far the machine moves while it warms up, and how long to let it run first."),
    columns=("time_s", "[sensor]", "value_um", "[temperature_c]"),
    columns_note={
        "time_s": later("seconds since the start"),
        "sensor": later("its name; one or several in one file"),
        "value_um": later("plunger in is positive"),
        "temperature_c": later("of the spindle’s nose or of the air; it may be left out"),
    },
    options=(
        Option(id="every_minutes", name=later("a reading every"), unit="min", default=5.0,
               help=later("For the form.")),
        Option(id="last_minutes", name=later("for"), unit="min", default=60.0,
               help=later("For the form; an hour at least, four tell more.")),
        Option(id="part_minutes", name=later("one workpiece takes"), unit="min", default=20.0,
               help=later("To tell what the drift does to it.")),
        Option(id="rest_um", name=later("as good as at rest"), unit="µm", default=2.0,
               help=later("What may still be to come when the work begins.")),
        Option(id="distance_mm", name=later("distance of two sensors"), unit="mm", form=False,
               help=later("Two sensors in one plane: their difference is a tilt.")),
    ),
    cells=_cells,
    prove=_prove,
    judged=("drift_60_um", "drift_total_um"),
    steps=(
        later("Cold machine, indicator on a bar in the spindle, its base on the table."),
        later("Zero it, run at three quarters of the highest speed the bar allows."),
        later("Stop, read the same place of the turn, run on. The same pace every time."),
        later("Write the temperature of the nose beside each reading."),
    ),
    cautions=(
        later(
            "Reach for the indicator only when the spindle stands and cannot start, under the "
            "rules of the place; a plain bar, held and balanced for that speed; guards closed "
            "while it runs."
        ),
    ),
    instrument=later("indicator 0.001, test bar, thermometer"),
    instrument_sorts=("indicator", "test_bar", "thermometer"),
    reading_unit="µm",
    standard="ISO 230-3",
    edition="2020 (from memory)",
    example="drift.csv",
    order=13,
)  # fmt: skip
