"""The numbers of a circular test: quantities, causes, tables, what the belief learns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from retrue.base.say import say
from retrue.cases.prove.circle_tables import Readings, Run
from retrue.cases.prove.circle_words import DIGITS, UNITS, Axes, name_of
from retrue.cases.prove.proof import Conditions, Grid, Measured, Quantity
from retrue.science.bound import Bound
from retrue.science.circle import Deviations
from retrue.science.circle_causes import Cause, Separation

M43_RADII_MM = (75.0, 160.0)


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """One run with its deviations and the causes that matter in it, largest reach first."""

    run: Run
    values: Deviations
    found: tuple[Cause, ...]
    bound: Bound
    hysteresis: Bound | None


def quantities(
    judged: Judged, separation: Separation, conditions: Conditions
) -> tuple[Quantity, ...]:
    """Everything ISO 230-4 asks for, the judged one first.

    Parameters
    ----------
    judged : Judged
        The run that is judged.
    separation : Separation
        For the scatter of the readings.
    conditions : Conditions
        Uncertainty of one reading, where it is known.

    Returns
    -------
    tuple of Quantity
        A direction that was not run is None, with its reason, at the end.

    Notes
    -----
    Our own: the spread of the deviation over repeated measurements of the fitted circle, and the
    instrument's uncertainty once for each of the two readings that a range is the difference of.
    """
    values = judged.values
    instrument = (conditions.reading_uncertainty or 0.0) * 2**0.5  # a difference of two readings
    spread = 2 * judged.bound.standard_uncertainty
    lag = judged.hysteresis
    apart = None if lag is None else 2 * lag.standard_uncertainty

    def one(id: str, name: str, value: float | None, own: float | None, why: str) -> Quantity:
        expanded = None if own is None or value is None else (own**2 + instrument**2) ** 0.5
        signed = id.startswith(("mean_radial", "radial"))
        return Quantity(
            key=f"{id}_um", name=name, value=value, unit="µm", uncertainty=expanded or None,
            signed=signed, why="" if value is not None else why,
        )  # fmt: skip

    alone = say("measured in one direction only")
    both_ways = values.hysteresis is not None
    way = {"cw": say("clockwise"), "ccw": say("counter-clockwise")}
    made = [
        one("bidirectional_circular_deviation", say("circular deviation, both directions"),
            values.both if both_ways else None, spread, alone),
        one("circular_deviation_cw", say("circular deviation, clockwise"),
            values.cw, spread, alone),
        one("circular_deviation_ccw", say("circular deviation, counter-clockwise"),
            values.ccw, spread, alone),
        one("hysteresis", say("hysteresis"), values.hysteresis,
            apart, alone),
        one("mean_radial_deviation", say("mean radial deviation"), values.mean_radial,
            2 * separation.residual_sd / separation.effective**0.5, ""),
        one("radial_deviation_max", say("largest radial deviation"), values.radial_max, spread, ""),
        one("radial_deviation_min", say("smallest radial deviation"),
            values.radial_min, spread, ""),
        one("bidirectional_circular_deviation_least_squares",
            say("both directions, about the least-squares circle"),
            values.both_least_squares if both_ways else None, spread, alone),
    ]  # fmt: skip
    for id, value in (("cw", values.cw_least_squares), ("ccw", values.ccw_least_squares)):
        name = say("{way}, about the least-squares circle", way=way[id])
        made.append(one(f"circular_deviation_{id}_least_squares", name, value, spread, alone))
    return tuple(sorted(made, key=lambda q: q.value is None))  # the judged one must have a value


def more(
    readings: Readings,
    values: Sequence[Deviations],
    judged: Judged,
    separation: Separation,
    axes: Axes,
) -> dict[str, Any]:
    """The further keys of ``--json``.

    Parameters
    ----------
    readings : Readings
        All runs.
    values : sequence of Deviations
        One for each run.
    judged : Judged
        The run that is judged.
    separation : Separation
        The causes of all runs.
    axes : Axes
        The plane.

    Returns
    -------
    dict
    """
    return {
        "condition": separation.condition,
        "causes": [
            {
                "id": axes.told(cause.id),
                "name": name_of(cause.id, axes),
                "value": cause.value,
                "unit": cause.unit,
                "standard_uncertainty": cause.standard_uncertainty,
                "separable": cause.separable,
            }
            for cause in separation.causes
        ],
        "residual_sd_um": separation.residual_sd,
        "residual_autocorrelation": separation.autocorrelation,
        **_bounds(judged),
        "circles": [_circle(run, one) for run, one in zip(readings.runs, values, strict=True)],
        **_each_way(judged),
    }


def _bounds(judged: Judged) -> dict[str, float]:
    """Bias and upper bound under the name of what they belong to: one way or both."""
    ways = [path.direction for path in judged.run.paths]
    name = "bidirectional_circular_deviation"
    if len(set(ways)) == 1:
        name = f"circular_deviation_{'ccw' if ways[0] > 0 else 'cw'}"
    return {f"{name}_bias_um": judged.bound.bias, f"{name}_upper_um": judged.bound.upper}


def _circle(run: Run, values: Deviations) -> dict[str, Any]:
    """One of several circles; what it does not have is left out."""
    told = {
        "name": run.name,
        "radius_mm": run.paths[0].radius_mm,
        "feed_mm_min": run.paths[0].feed_mm_min,
        "circular_deviation_um": values.both,
        "hysteresis_um": values.hysteresis,
        "mean_radial_deviation_um": values.mean_radial,
    }
    return {name: value for name, value in told.items() if value is not None}


def _each_way(judged: Judged) -> dict[str, float]:
    """What needs a direction: radial deviations of each path, bounds of the hysteresis."""
    made: dict[str, float] = {}
    if judged.hysteresis is not None:
        made["hysteresis_bias_um"] = judged.hysteresis.bias
        made["hysteresis_upper_um"] = judged.hysteresis.upper
    for path in judged.run.paths:
        way = "ccw" if path.direction > 0 else "cw"
        found = judged.values.ccw_radial if path.direction > 0 else judged.values.cw_radial
        if found is not None:
            made[f"radial_deviation_max_{way}_um"], made[f"radial_deviation_min_{way}_um"] = found
    return made


def causes_grid(separation: Separation, axes: Axes) -> Grid:
    """All causes as a table.

    Parameters
    ----------
    separation : Separation
        The fitted causes.
    axes : Axes
        The plane.

    Returns
    -------
    Grid
        Give or take: two standard uncertainties.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.science.circle import Path
    >>> from retrue.science.circle_causes import separate
    >>> angle = np.radians(np.arange(0.25, 360, 0.5))
    >>> fitted = separate([Path(angle, 4 * np.cos(2 * angle), 1, 160.0)])
    >>> causes_grid(fitted, Axes("X", "Y")).rows[3][:3]
    ('scale of X over Y', 50.0, 'µm/m')
    """
    rows = tuple(
        (
            name_of(cause.id, axes),
            round(cause.value, DIGITS[cause.unit] + 1),
            UNITS[cause.unit],
            round(2 * cause.standard_uncertainty, DIGITS[cause.unit] + 1),
            say("yes") if cause.separable else say("no"),
        )
        for cause in separation.causes
    )
    columns = (say("cause"), say("size"), say("unit"), say("give or take"), say("told apart"))
    return Grid(title=say("The causes, one by one"), columns=columns, rows=rows, digits=2)


def measures(run: Run, judged: Quantity) -> tuple[Measured, ...]:
    """What the belief learns: the circular deviation at a radius about 100 mm.

    Parameters
    ----------
    run : Run
        The circle.
    judged : Quantity
        Its deviation.

    Returns
    -------
    tuple of Measured
        Nothing where the circle is far from that size.
    """
    low, high = M43_RADII_MM
    if judged.value is None or not low <= run.paths[0].radius_mm <= high:
        return ()
    expanded = None if judged.uncertainty is None else judged.uncertainty / 1000
    return (Measured(measure="M43", value=judged.value / 1000, uncertainty=expanded),)
