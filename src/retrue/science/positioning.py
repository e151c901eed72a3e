"""Positioning of one axis over its travel, as ISO 230-2 evaluates it, and drift over the runs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Positioning:
    """One axis; lengths in the unit of the readings, arrays with one entry a target.

    Means of a direction that was not measured, and spreads of a single run, are NaN; a quantity
    that cannot be worked out from them is None.

    Attributes
    ----------
    mean_forward, mean_backward : ndarray, shape (targets,)
        Mean deviation, measured less commanded.
    spread_forward, spread_backward : ndarray, shape (targets,)
        With runs - 1 degrees of freedom.
    reversals, repeatabilities : ndarray, shape (targets,)
        B and R of each target: forward less backward, so negative for lost motion.
    runs : int
        Readings to a target and direction.
    accuracy, repeatability, systematic, reversal, mean_reversal, mean_range : float or None
        A, R, E, B, mean of the reversals (signed), M; those of one direction carry its name.
    """

    mean_forward: Floats
    mean_backward: Floats
    spread_forward: Floats
    spread_backward: Floats
    reversals: Floats
    repeatabilities: Floats
    runs: int
    accuracy: float | None
    accuracy_forward: float | None
    accuracy_backward: float | None
    repeatability: float | None
    repeatability_forward: float | None
    repeatability_backward: float | None
    systematic: float | None
    systematic_forward: float | None
    systematic_backward: float | None
    reversal: float | None
    mean_reversal: float | None
    mean_range: float | None


def largest_values(
    ahead: Floats, back: Floats, ahead_spread: Floats, back_spread: Floats
) -> dict[str, Floats]:
    """The quantities of an axis from means and spreads, many axes at once.

    Parameters
    ----------
    ahead, back : ndarray, shape (..., targets)
        Mean deviations forward and backward.
    ahead_spread, back_spread : ndarray, shape (..., targets)
        Spreads of the readings.

    Returns
    -------
    dict of str to ndarray, shape (...)
        Named as in Positioning; NaN where something is not measured.

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> still = np.zeros(2)
    >>> float(largest_values(np.array([1.0, 5.0]), np.array([-2.0, 2.0]), still, still)["reversal"])
    3.0
    """
    top_ahead, low_ahead = ahead + 2 * ahead_spread, ahead - 2 * ahead_spread
    top_back, low_back = back + 2 * back_spread, back - 2 * back_spread
    turns = ahead - back
    both = repeatabilities_of(turns, ahead_spread, back_spread)
    return {
        "accuracy": np.maximum(top_ahead, top_back).max(-1)
        - np.minimum(low_ahead, low_back).min(-1),
        "accuracy_forward": top_ahead.max(-1) - low_ahead.min(-1),
        "accuracy_backward": top_back.max(-1) - low_back.min(-1),
        "repeatability": both.max(-1),
        "repeatability_forward": 4 * ahead_spread.max(-1),
        "repeatability_backward": 4 * back_spread.max(-1),
        "systematic": np.maximum(ahead, back).max(-1) - np.minimum(ahead, back).min(-1),
        "systematic_forward": ahead.max(-1) - ahead.min(-1),
        "systematic_backward": back.max(-1) - back.min(-1),
        "reversal": np.abs(turns).max(-1),
        "mean_reversal": turns.mean(-1),
        "mean_range": (ahead + back).max(-1) / 2 - (ahead + back).min(-1) / 2,
    }


def repeatabilities_of(reversals: Floats, ahead_spread: Floats, back_spread: Floats) -> Floats:
    """R at each target: four spreads of one direction, or both directions and what lies between.

    Parameters
    ----------
    reversals, ahead_spread, back_spread : ndarray, shape (..., targets)
        In one unit.

    Returns
    -------
    ndarray, shape (..., targets)

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> repeatabilities_of(np.array([-12.0]), np.array([3.0]), np.array([5.0])).tolist()
    [28.0]
    """
    both = 2 * ahead_spread + 2 * back_spread + np.abs(reversals)
    return np.asarray(np.maximum(both, 4 * np.maximum(ahead_spread, back_spread)))


def bidirectional(forward: ArrayLike, backward: ArrayLike) -> Positioning:
    """Evaluate a positioning test approached from both sides.

    Parameters
    ----------
    forward, backward : array_like, shape (targets, runs), micrometres
        Measured less commanded position, approached in the positive and in the negative
        direction; row i of both is the same target, column j of both the same run.

    Returns
    -------
    Positioning
        Lengths in micrometres.

    Raises
    ------
    ValueError
        The shapes differ, a table is empty, or a reading is missing.

    Notes
    -----
    How many targets and runs a test needs is the test plan's business. With one run the spreads
    are not defined, so repeatabilities and accuracies are None.

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> axis = bidirectional([[0, 2], [4, 6]], [[-3, -1], [1, 3]])
    >>> axis.reversal, axis.systematic, axis.mean_range
    (3.0, 7.0, 4.0)
    """
    ahead, back = _table(forward), _table(backward)
    if ahead.shape != back.shape:
        raise ValueError("both directions need the same targets and runs")
    return _evaluated(ahead, back)


def one_way(readings: ArrayLike, *, forward: bool = True) -> Positioning:
    """Evaluate a positioning test approached from one side only.

    Parameters
    ----------
    readings : array_like, shape (targets, runs), micrometres
        Measured less commanded position.
    forward : bool
        From which side.

    Returns
    -------
    Positioning
        Lengths in micrometres; all that needs both directions is None.

    Raises
    ------
    ValueError
        The table is empty or a reading is missing.

    References
    ----------
    ISO 230-2:2014, clause 3 (from memory).

    Examples
    --------
    >>> axis = one_way([[0, 2], [4, 6]])
    >>> axis.systematic_forward, axis.reversal
    (4.0, None)
    """
    table = _table(readings)
    missing = np.full(table.shape, np.nan)
    return _evaluated(*((table, missing) if forward else (missing, table)))


def _evaluated(ahead: Floats, back: Floats) -> Positioning:
    means = ahead.mean(axis=1), back.mean(axis=1)
    spreads = _spread(ahead), _spread(back)
    reversals = np.asarray(means[0] - means[1])
    found = {key: _known(value) for key, value in largest_values(*means, *spreads).items()}
    return Positioning(
        mean_forward=means[0],
        mean_backward=means[1],
        spread_forward=spreads[0],
        spread_backward=spreads[1],
        reversals=reversals,
        repeatabilities=repeatabilities_of(reversals, *spreads),
        runs=ahead.shape[1],
        accuracy=found["accuracy"],
        accuracy_forward=found["accuracy_forward"],
        accuracy_backward=found["accuracy_backward"],
        repeatability=found["repeatability"],
        repeatability_forward=found["repeatability_forward"],
        repeatability_backward=found["repeatability_backward"],
        systematic=found["systematic"],
        systematic_forward=found["systematic_forward"],
        systematic_backward=found["systematic_backward"],
        reversal=found["reversal"],
        mean_reversal=found["mean_reversal"],
        mean_range=found["mean_range"],
    )


@dataclass(frozen=True, slots=True, eq=False)
class RunDrift:
    """How the readings climb from run to run.

    Attributes
    ----------
    per_run, standard_uncertainty : float
        Slope over the run order, in the unit of the readings.
    chance : float
        How often readings that do not climb would show as steep a slope.
    total : float
        From the first run to the last.
    without : tuple of ndarray, shape (targets, runs)
        The tables with the slope taken out.
    """

    per_run: float
    standard_uncertainty: float
    chance: float
    total: float
    without: tuple[Floats, ...]


def drift_over_runs(*tables: ArrayLike) -> RunDrift | None:
    """Regress the readings on the order of the runs.

    Parameters
    ----------
    *tables : array_like, shape (targets, runs)
        One for each direction, micrometres; columns in the order they were measured.

    Returns
    -------
    RunDrift or None
        None with fewer than three runs.

    Raises
    ------
    ValueError
        A table is empty, or a reading is missing.

    Notes
    -----
    The line is laid through the means of the runs, not through single readings: what shifts all
    readings of one run together (a zero set anew) must not pass for many witnesses. Student's t
    with runs - 2 degrees of freedom.

    References
    ----------
    Our own use of an ordinary straight line; by definition.

    Examples
    --------
    >>> drift = drift_over_runs([[0.0, 1.1, 2.0, 2.9, 4.0], [5.0, 6.0, 7.1, 8.0, 9.0]])
    >>> round(drift.per_run, 2), drift.chance < 0.001
    (0.99, True)
    """
    from scipy.special import stdtr

    arrays = [_table(one) for one in tables]
    runs = arrays[0].shape[1]
    if runs < 3:
        return None
    means = np.concatenate(arrays).mean(axis=0)
    order = np.arange(runs) - (runs - 1) / 2
    squares = float(order @ order)
    slope = float(order @ means) / squares
    left = means - means.mean() - slope * order
    doubt = float(np.sqrt(left @ left / (runs - 2) / squares))
    if doubt == 0:
        chance = 1.0 if slope == 0 else 0.0
    else:
        chance = float(2 * stdtr(runs - 2, -abs(slope) / doubt))
    return RunDrift(
        per_run=slope,
        standard_uncertainty=doubt,
        chance=chance,
        total=slope * (runs - 1),
        without=tuple(one - slope * order for one in arrays),
    )


def _table(readings: ArrayLike) -> Floats:
    table = np.asarray(readings, dtype=np.float64)
    if table.ndim != 2 or table.size == 0:
        raise ValueError("readings are a table of targets by runs")
    if not np.isfinite(table).all():
        raise ValueError("a reading is missing")
    return table


def _spread(table: Floats) -> Floats:
    if table.shape[1] < 2:
        return np.full(len(table), np.nan)
    return np.asarray(table.std(axis=1, ddof=1), dtype=np.float64)


def _known(value: Floats) -> float | None:
    return None if np.isnan(value) else float(value)
