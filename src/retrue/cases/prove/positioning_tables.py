"""A positioning test as numbers for others: the picture's table, and what the belief learns."""

from __future__ import annotations

import math

import numpy as np

from retrue.base.say import say
from retrue.cases.prove.positioning_numbers import Judged, listed, small
from retrue.cases.prove.proof import Grid, Measured, Quantity
from retrue.science.positioning_uncertainty import reversal_doubts

TO_500_MM = 520.0  # the measure of the belief is accuracy over about half a metre


def measures(judged: Judged, made: tuple[Quantity, ...]) -> tuple[Measured, ...]:
    """What the belief learns: reversal in the middle, accuracy over about half a metre.

    Parameters
    ----------
    judged : Judged
        One axis.
    made : tuple of Quantity
        Its quantities, accuracy first.

    Returns
    -------
    tuple of Measured
        Millimetres; nothing of a rotary axis.

    References
    ----------
    Our own choice.

    Examples
    --------
    >>> from retrue.cases.prove.positioning_numbers import evaluate
    >>> from retrue.cases.prove.positioning_readings import Readings
    >>> from retrue.science.positioning_uncertainty import doubts
    >>> one = Readings(np.array([0.0, 90.0]), "°", np.array([[1.0], [3.0]]), None, np.zeros(2))
    >>> measures(Judged(one, evaluate(one), doubts(9.0), {}, None, None, None), ())
    ()
    """
    axis, readings = judged.axis, judged.readings
    told = []
    if readings.unit != "mm":
        return ()
    if axis.reversal is not None and axis.runs > 1:
        centre = (readings.targets[0] + readings.targets[-1]) / 2
        middle = int(np.argmin(np.abs(readings.targets - centre)))
        doubt = math.hypot(
            reversal_doubts(axis)[middle], judged.doubts.of("reversal", axis.runs)[1]
        )
        value = abs(float(axis.reversals[middle])) / 1000
        told.append(Measured(measure="M13", value=value, uncertainty=doubt / 1000))
    first = made[0]
    if first.value is not None and readings.length <= TO_500_MM:
        near = None if first.uncertainty is None else first.uncertainty / 1000
        told.append(Measured(measure="M44", value=first.value / 1000, uncertainty=near))
    return tuple(told)


def picture_grid(judged: Judged) -> Grid:
    """The picture's numbers.

    Parameters
    ----------
    judged : Judged
        One axis.

    Returns
    -------
    Grid

    References
    ----------
    By definition.

    Examples
    --------
    >>> from retrue.cases.prove.positioning_numbers import evaluate
    >>> from retrue.cases.prove.positioning_readings import Readings
    >>> from retrue.science.positioning_uncertainty import doubts
    >>> one = Readings(np.array([0.0, 90.0]), "mm", np.array([[1.0], [3.0]]), None, np.zeros(2))
    >>> picture_grid(Judged(one, evaluate(one), doubts(9.0), {}, None, None, None)).rows[0]
    ('0', 1.0, None, None, None, None, None)
    """
    axis = judged.axis
    columns = (
        axis.mean_forward, 2 * axis.spread_forward, axis.mean_backward, 2 * axis.spread_backward,
        axis.reversals, axis.repeatabilities,
    )  # fmt: skip
    shown = [listed(column) for column in columns]
    return Grid(
        title=say("Deviations at the targets"),
        columns=(
            say("target, {unit}", unit=judged.readings.unit),
            say("forward, µm"),
            say("two spreads, µm"),
            say("backward, µm"),
            say("two spreads, µm"),
            say("reversal, µm"),
            say("repeatability, µm"),
        ),
        rows=tuple(
            (f"{target:g}", *row)
            for target, *row in zip(judged.readings.targets.tolist(), *shown, strict=True)
        ),
        digits=3 if small(axis) else 1,
    )
