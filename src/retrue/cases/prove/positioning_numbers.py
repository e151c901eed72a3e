"""The quantities of a positioning test, each with its doubt or the reason why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.prove.compensation_table import Plan
from retrue.cases.prove.deed import Options
from retrue.cases.prove.positioning_readings import Readings
from retrue.cases.prove.proof import Conditions, Quantity
from retrue.science.bound import Bound
from retrue.science.compensation import slope_um_per_m
from retrue.science.positioning import Positioning, RunDrift, bidirectional, one_way
from retrue.science.positioning_uncertainty import (
    Doubts,
    doubts,
    mean_reversal_doubt,
    reversal_doubts,
)

Floats = NDArray[np.float64]
NAMES = {
    "accuracy": "accuracy, both directions",
    "accuracy_forward": "accuracy, forward",
    "accuracy_backward": "accuracy, backward",
    "repeatability": "repeatability, both directions",
    "repeatability_forward": "repeatability, forward",
    "repeatability_backward": "repeatability, backward",
    "systematic": "range of the means, both directions",
    "systematic_forward": "range of the means, forward",
    "systematic_backward": "range of the means, backward",
    "reversal": "largest reversal",
    "mean_reversal": "mean reversal, forward less backward",
    "mean_range": "range of the means of both directions",
}
KEYS = {name: f"{name}_um" for name in NAMES} | {"mean_range": "mean_deviation_range_um"}
ONE_WAY = frozenset({"accuracy", "repeatability", "systematic", "reversal", "mean_reversal",
                     "mean_range"})  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """One axis, evaluated."""

    readings: Readings
    axis: Positioning
    doubts: Doubts
    sampled: dict[str, Bound]
    drift: RunDrift | None
    without_drift: Positioning | None
    reading: float | None  # expanded uncertainty of one reading, where it is stated


def evaluate(readings: Readings) -> Positioning:
    """Evaluate readings of one or both directions.

    Parameters
    ----------
    readings : Readings
        Sorted.

    Returns
    -------
    Positioning

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> one = Readings(np.array([0.0, 9.0]), "mm", np.array([[1.0], [3.0]]), None, np.zeros(2))
    >>> evaluate(one).systematic_forward
    2.0
    """
    return _of(readings.forward, readings.backward)


def _of(forward: Floats | None, backward: Floats | None) -> Positioning:
    if forward is not None and backward is not None:
        return bidirectional(forward, backward)
    if forward is not None:
        return one_way(forward)
    assert backward is not None
    return one_way(backward, forward=False)


def without(readings: Readings, drift: RunDrift | None) -> Positioning | None:
    """The axis as it would have been without the climb from run to run.

    Parameters
    ----------
    readings : Readings
        As measured.
    drift : RunDrift or None
        Of the same tables.

    Returns
    -------
    Positioning or None

    References
    ----------
    Our own use of an ordinary straight line.

    Examples
    --------
    >>> without(Readings(np.zeros(2), "mm", np.zeros((2, 2)), None, np.zeros(2)), None) is None
    True
    """
    if drift is None:
        return None
    tables = iter(drift.without)
    forward = next(tables) if readings.forward is not None else None
    return _of(forward, next(tables) if readings.backward is not None else None)


def doubts_of(readings: Readings, options: Options, conditions: Conditions) -> Doubts:
    """What the way of measuring leaves open, from the options and the stated uncertainty.

    Parameters
    ----------
    readings : Readings
        Their length.
    options : mapping
        ``device_um`` (else the conditions' uncertainty of one reading), ``misalignment_mm``,
        ``temperature_range_k``, ``expansion``, ``expansion_range``, ``drift_range_um``, and the
        temperatures.
    conditions : Conditions
        As given.

    Returns
    -------
    Doubts

    References
    ----------
    ISO/TR 230-9:2005 (structure from memory).

    Examples
    --------
    >>> one = Readings(np.array([0.0, 500.0]), "mm", None, None, np.zeros(2))
    >>> doubts_of(one, {"device_um": 1.2}, Conditions()).length
    1.2
    """
    device = options.get("device_um")
    warm = [abs(options[key] - 20.0) for key in ("scale_c", "gauge_c") if options.get(key)]
    rotary = readings.unit == "°"
    return doubts(
        readings.length,
        device_um=(conditions.reading_uncertainty or 0.0) if device is None else device,
        misalignment_mm=0.0 if rotary else options.get("misalignment_mm") or 0.0,
        temperature_range_k=0.0 if rotary else options.get("temperature_range_k") or 0.0,
        expansion=options.get("expansion") or 11.5,
        expansion_range=options.get("expansion_range") or 0.0,
        warmer_k=0.0 if rotary else max(warm, default=0.0),
        drift_range_um=options.get("drift_range_um") or 0.0,
    )


def quantities(judged: Judged) -> tuple[Quantity, ...]:
    """All quantities, accuracy first.

    Parameters
    ----------
    judged : Judged
        One axis.

    Returns
    -------
    tuple of Quantity

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> one = Readings(np.array([0.0, 9.0]), "mm", np.array([[1.0], [3.0]]), None, np.zeros(2))
    >>> axis = evaluate(one)
    >>> made = quantities(Judged(one, axis, doubts(9.0), {}, None, None, None))
    >>> made[0].key, made[0].value, made[0].why
    ('accuracy_um', None, 'only one direction was measured')
    """
    made = []
    for name, words in NAMES.items():
        value = getattr(judged.axis, name)
        made.append(
            Quantity(
                key=KEYS[name],
                name=say(words),
                value=value,
                unit="µm",
                uncertainty=None if value is None else _doubt(judged, name),
                digits=3 if small(judged.axis) else 1,
                signed=name == "mean_reversal",
                why="" if value is not None else _why(judged, name),
            )
        )
    return tuple(made)


def small(axis: Positioning) -> bool:
    """Whether a tenth of a micrometre is too coarse to tell anything.

    Parameters
    ----------
    axis : Positioning
        As measured.

    Returns
    -------
    bool
    """
    sizes = (axis.systematic, axis.systematic_forward, axis.systematic_backward)
    return max((size for size in sizes if size is not None), default=1.0) < 1.0


def _doubt(judged: Judged, name: str) -> float | None:
    """Scatter and surroundings are the same thing seen twice: the larger counts."""
    length, surroundings = judged.doubts.of(name, judged.axis.runs)
    if judged.axis.runs < 2:
        single = judged.reading or 0.0
        between = math.sqrt(2 / judged.readings.targets.size if name == "mean_reversal" else 2)
        told = math.hypot(length, surroundings, between * single)
        return told if told > 0 else None
    if name == "mean_reversal":
        scatter = mean_reversal_doubt(judged.axis)
    else:
        scatter = 2 * judged.sampled[name].standard_uncertainty
    return math.hypot(length, max(scatter, surroundings))


def sided(
    judged: Judged, made: tuple[Quantity, ...], conditions: Conditions
) -> tuple[Quantity, ...]:
    """The quantities as they stand against a limit: doubt of the side on which the limit lies.

    Parameters
    ----------
    judged : Judged
        One axis.
    made : tuple of Quantity
        Its quantities.
    conditions : Conditions
        The limit.

    Returns
    -------
    tuple of Quantity
        A largest value may be truly higher by far more than lower: few readings hide scatter.

    References
    ----------
    Our own rule; the bounds after `science.bound`.
    """
    if conditions.limit is None:
        return made
    by_key = {KEYS[name]: one for name, one in judged.sampled.items()}
    told = []
    for one in made:
        found = by_key.get(one.key)
        if found is None or one.uncertainty is None or one.value is None:
            told.append(one)
            continue
        inside = abs(one.value) <= conditions.limit.value
        scatter = found.expanded if inside else found.expanded_down
        length = judged.doubts.length if _by_length(one.key) else 0.0
        told.append(replace(one, uncertainty=max(one.uncertainty, math.hypot(length, scatter))))
    return tuple(told)


def _by_length(key: str) -> bool:
    return key.startswith(("accuracy", "systematic", "mean_deviation"))


def _why(judged: Judged, name: str) -> str:
    readings = judged.readings
    measured = {"forward": readings.forward, "backward": readings.backward}
    gone = name in ONE_WAY and None in [None if t is None else 1 for t in measured.values()]
    gone = gone or any(name.endswith(f"_{way}") and t is None for way, t in measured.items())
    if gone:
        return say("only one direction was measured")
    return say("one run only: how far it repeats was not measured")


def more(judged: Judged, plan: Plan) -> dict[str, Any]:
    """Further keys of the answer, plain values.

    Parameters
    ----------
    judged : Judged
        One axis.
    plan : Plan
        What to enter.

    Returns
    -------
    dict

    References
    ----------
    Our own keys.
    """
    axis, readings = judged.axis, judged.readings
    told: dict[str, Any] = {
        "targets": listed(readings.targets),
        "target_unit": readings.unit,
        "runs": readings.runs,
        "mean_forward_um": listed(axis.mean_forward),
        "mean_backward_um": listed(axis.mean_backward),
        "spread_forward_um": listed(axis.spread_forward),
        "spread_backward_um": listed(axis.spread_backward),
        "reversals_um": listed(axis.reversals),
        "repeatabilities_um": listed(axis.repeatabilities),
        "slope_um_per_m": None if readings.unit == "°" else _slope(judged),
        "heat_removed_um": listed(readings.heat),
        "drift": _drift(judged),
        "bounds": {
            KEYS[name]: {"bias_um": one.bias, "upper_um": one.upper}
            for name, one in judged.sampled.items()
        },
        "uncertainty_parts": {
            "device_um": judged.doubts.device,
            "misalignment_um": judged.doubts.misalignment,
            "temperature_um": judged.doubts.temperature,
            "expansion_um": judged.doubts.expansion,
            "surroundings_um": judged.doubts.surroundings,
        },
        "compensation": {
            "table": "incremental" if plan.incremental else "absolute",
            "sign": plan.sign,
            "reference": float(readings.targets[plan.reference]),
            "entries_um": listed(plan.typed),
            "reversal_um": plan.made.reversal,
            "systematic_after_um": plan.systematic,
            "accuracy_after_um": plan.accuracy,
        },
    }
    if axis.runs > 1 and axis.reversal is not None:
        told["reversals_uncertainty_um"] = listed(reversal_doubts(axis))
    return told


def _slope(judged: Judged) -> float:
    axis = judged.axis
    means = np.nanmean([axis.mean_forward, axis.mean_backward], axis=0)
    return slope_um_per_m(judged.readings.targets, means)


def _drift(judged: Judged) -> dict[str, Any] | None:
    drift, left = judged.drift, judged.without_drift
    if drift is None or left is None:
        return None
    return {
        "per_run_um": drift.per_run,
        "standard_uncertainty_um": drift.standard_uncertainty,
        "total_um": drift.total,
        "chance": drift.chance,
        "repeatability_without_um": left.repeatability,
        "accuracy_without_um": left.accuracy,
    }


def listed(values: Floats) -> list[float | None]:
    """Numbers as plain values; what was not measured is None.

    Parameters
    ----------
    values : ndarray, shape (n,)
        NaN where there is none.

    Returns
    -------
    list
    """
    return [None if math.isnan(value) else value + 0.0 for value in values.tolist()]
