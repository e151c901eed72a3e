"""How far a positioning result may be off: by the instrument, by heat, by few readings."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.science.bound import Bound, upper_bound_by_trials
from retrue.science.give_or_take import expanded
from retrue.science.positioning import Positioning, largest_values, repeatabilities_of

Floats = NDArray[np.float64]
RECTANGLE = 1 / math.sqrt(3)  # full range of a rectangle to its expanded uncertainty, k = 2
DRAWS = 400
EXTREMES = 4  # targets at either end that may be the true extreme


@dataclass(frozen=True, slots=True)
class Doubts:
    """What the way of measuring leaves open over the measured length; expanded, k = 2, in µm.

    Attributes
    ----------
    device, misalignment, temperature, expansion : float
        Of the length: certificate, slanted line, its temperature, its coefficient.
    surroundings : float
        Of a single reading, by drift of the surroundings while it is measured.
    """

    device: float
    misalignment: float
    temperature: float
    expansion: float
    surroundings: float

    @property
    def length(self) -> float:
        """Of the whole length: what does not differ from reading to reading."""
        return math.hypot(self.device, self.misalignment, self.temperature, self.expansion)

    def of(self, quantity: str, runs: int) -> tuple[float, float]:
        """Of a quantity: its part from the length, its part from the surroundings.

        Parameters
        ----------
        quantity : str
            Named as in Positioning.
        runs : int
            Readings to a target and direction.

        Returns
        -------
        tuple of (float, float)
            Expanded, k = 2, micrometres.

        References
        ----------
        ISO/TR 230-9:2005, annex C (structure from memory); the shares are derived here, drift
        taken as random from reading to reading.
        """
        if quantity == "reversal" or quantity == "mean_reversal":
            return 0.0, self.surroundings * math.sqrt(2 / runs)
        if quantity == "repeatability":
            return 0.0, self.surroundings * math.sqrt(16 + 2 / runs)
        if quantity.startswith("repeatability"):
            return 0.0, self.surroundings * 4
        if quantity == "mean_range":
            return self.length, self.surroundings / math.sqrt(2 * runs)
        if quantity.startswith("systematic"):
            return self.length, self.surroundings / math.sqrt(runs)
        return self.length, self.surroundings


def doubts(
    length_mm: float,
    *,
    device_um: float = 0.0,
    misalignment_mm: float = 0.0,
    temperature_range_k: float = 0.0,
    expansion: float = 11.5,
    expansion_range: float = 0.0,
    warmer_k: float = 0.0,
    drift_range_um: float = 0.0,
) -> Doubts:
    """Put together what the way of measuring leaves open.

    Parameters
    ----------
    length_mm : float
        Measured length.
    device_um : float
        Of the length standard over that length, expanded (k = 2), from its certificate.
    misalignment_mm : float
        By how much the line of measuring runs off beside the axis over that length.
    temperature_range_k : float
        Full range within which the temperature of the measured part is known.
    expansion, expansion_range : float
        Coefficient and full range within which it is known, 1e-6 per kelvin.
    warmer_k : float
        How far from 20 degrees it was measured.
    drift_range_um : float
        Range of readings at rest, over the time that the test takes.

    Returns
    -------
    Doubts
        Expanded, k = 2.

    Raises
    ------
    ValueError
        The length is not over zero.

    References
    ----------
    ISO/TR 230-9:2005; ISO 230-2:2014, annex A (structure from memory, coefficients derived).

    Examples
    --------
    >>> made = doubts(1000, misalignment_mm=1, temperature_range_k=1, expansion=12)
    >>> round(made.misalignment, 3), round(made.temperature, 2)
    (0.289, 6.93)
    """
    if length_mm <= 0:
        raise ValueError("a length over zero")
    return Doubts(
        device=device_um,
        misalignment=RECTANGLE * misalignment_mm**2 / (2 * length_mm) * 1000,
        temperature=RECTANGLE * expansion * length_mm * temperature_range_k / 1000,
        expansion=RECTANGLE * expansion_range * length_mm * abs(warmer_k) / 1000,
        surroundings=RECTANGLE * drift_range_um,
    )


def reversal_doubts(axis: Positioning) -> Floats:
    """Expanded uncertainty of the reversal at each target, from the scatter of the readings.

    Parameters
    ----------
    axis : Positioning
        Two directions, two runs at least.

    Returns
    -------
    ndarray, shape (targets,)
        k = 2 widened for few readings, in the unit of the readings.

    Raises
    ------
    ValueError
        One run only.

    References
    ----------
    JCGM 100:2008 (GUM), G.4, Welch-Satterthwaite.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0, 2], [4, 6]], [[-3, -1], [1, 3]])
    >>> reversal_doubts(axis).round(2).tolist()
    [6.4, 6.4]
    """
    parts = _mean_variances(axis)
    return np.array([_widened(pair, axis.runs - 1) for pair in parts.T])


def mean_reversal_doubt(axis: Positioning) -> float:
    """Expanded uncertainty of the mean reversal, from the scatter of the readings.

    Parameters
    ----------
    axis : Positioning
        Two directions, two runs at least.

    Returns
    -------
    float
        k = 2 widened for few readings, in the unit of the readings.

    Raises
    ------
    ValueError
        One run only.

    References
    ----------
    JCGM 100:2008 (GUM), G.4, Welch-Satterthwaite.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0, 2], [4, 6]], [[-3, -1], [1, 3]])
    >>> round(mean_reversal_doubt(axis), 2)
    2.87
    """
    parts = _mean_variances(axis).ravel()
    return _widened(parts / len(axis.reversals) ** 2, axis.runs - 1)


def sampled(axis: Positioning, *, seed: int, draws: int = DRAWS) -> dict[str, Bound]:
    """What few readings do to the largest values.

    Parameters
    ----------
    axis : Positioning
        As measured; with one run there is nothing to draw from.
    seed : int
        Of the stream.
    draws : int
        How often the test is done over.

    Returns
    -------
    dict of str to Bound
        By quantity, as named in Positioning; those that are None there are left out.

    References
    ----------
    Parametric bootstrap; means normal, spreads by chi-square with runs - 1 degrees of freedom.
    Davison and Hinkley, Bootstrap Methods and their Application, section 2.4 (from memory).

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0, 2], [4, 6]], [[-3, -1], [1, 3]])
    >>> made = sampled(axis, seed=7)
    >>> made["accuracy"].upper >= made["accuracy"].value
    True
    """
    if axis.runs < 2:
        return {}
    again, possible = _drawn(axis, seed, draws)
    made = {}
    for key, drawn in again.items():
        value = getattr(axis, key)
        if value is not None and key != "mean_reversal":
            made[key] = upper_bound_by_trials(value, drawn, possible[key])
    return made


def _drawn(axis: Positioning, seed: int, draws: int) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """The test done over on the axis as measured; axes that may have given what was measured."""
    source = stream(seed, "positioning")
    freedom, shape = axis.runs - 1, (2, draws, len(axis.mean_forward))
    means = np.array([axis.mean_forward, axis.mean_backward])[:, None, :]
    spreads = np.array([axis.spread_forward, axis.spread_backward])[:, None, :]
    share = np.sqrt(source.chisquare(freedom, shape) / freedom)
    normal = source.standard_normal(shape) / math.sqrt(axis.runs)
    measured = means + spreads * normal
    wide = spreads / share
    truth = means + wide * normal
    return largest_values(*measured, *(spreads * share)), _by_place(truth, wide)


def _by_place(means: Floats, spreads: Floats) -> dict[str, Floats]:
    """Each quantity of drawn axes, place by place or pair by pair of places; (draws, places)."""
    (ahead, back), (ahead_spread, back_spread) = means, spreads
    turns = ahead - back
    top, low = means + 2 * spreads, means - 2 * spreads
    middle = (ahead + back) / 2
    return {
        "accuracy": _pairs(np.hstack([top[0], top[1]]), np.hstack([low[0], low[1]])),
        "accuracy_forward": _pairs(top[0], low[0]),
        "accuracy_backward": _pairs(top[1], low[1]),
        "repeatability": repeatabilities_of(turns, ahead_spread, back_spread),
        "repeatability_forward": 4 * ahead_spread,
        "repeatability_backward": 4 * back_spread,
        "systematic": _pairs(np.hstack([ahead, back]), np.hstack([ahead, back])),
        "systematic_forward": _pairs(ahead, ahead),
        "systematic_backward": _pairs(back, back),
        "reversal": np.abs(turns),
        "mean_range": _pairs(middle, middle),
    }


def _pairs(tops: Floats, lows: Floats) -> Floats:
    """The highest few less the lowest few, every pair; shape (draws, pairs)."""
    high = np.argsort(-tops.mean(axis=0))[:EXTREMES]
    deep = np.argsort(lows.mean(axis=0))[:EXTREMES]
    pairs = tops[:, high, None] - lows[:, None, deep]
    return np.asarray(pairs.reshape(len(tops), -1))


def _mean_variances(axis: Positioning) -> Floats:
    if axis.runs < 2:
        raise ValueError("one run has no scatter")
    return np.array([axis.spread_forward**2, axis.spread_backward**2]) / axis.runs


def _widened(variances: Floats, freedom: int) -> float:
    """Root of a sum of variances, each with the same degrees of freedom, widened for few."""
    total = float(variances.sum())
    if total == 0:
        return 0.0
    effective = total**2 / float((variances**2).sum()) * freedom
    return expanded(math.sqrt(total), effective)
