"""What noise does to a largest value that a model was fitted to: bias, and an upper bound."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.science.conformity import GUARD

Floats = NDArray[np.float64]
AT_ONCE = 1_000_000  # readings of repeated measurements that stand in memory together


@dataclass(frozen=True, slots=True)
class Bound:
    """What noise does to a largest value: by how much it is read too large, and an upper bound."""

    bias: float
    sd: float
    upper: float


def upper_bound(
    fitted_um: Floats,
    reading_sd: float,
    observed: float,
    measure: Callable[[Floats], Floats],
    chance: np.random.Generator,
    *,
    draws: int = 200,
) -> Bound:
    """How much too large noise makes a largest value, and what the true one is at most.

    Parameters
    ----------
    fitted_um : ndarray, shape (n,)
        The model without noise, at all points.
    reading_sd : float
        Of one reading, micrometres.
    observed : float
        The value as measured.
    measure : callable
        From deviations of shape (m, n) to m values.
    chance : numpy.random.Generator
        A stream of its own.
    draws : int
        Repeated measurements of the fitted model.

    Returns
    -------
    Bound
        ``upper`` holds in 95 % of measurements.

    Notes
    -----
    A parametric bootstrap: the model is measured again and again with noise of the size found.

    References
    ----------
    Efron and Tibshirani, An Introduction to the Bootstrap, chapters 6 and 10 (from memory).

    Examples
    --------
    >>> from functools import partial
    >>> from retrue.science.circle_zone import zone_widths
    >>> angle = np.radians(np.arange(0, 360, 5.0))
    >>> chance = np.random.Generator(np.random.Philox(1))
    >>> made = upper_bound(2 * np.cos(2 * angle), 0.1, 4.4, partial(zone_widths, angle), chance)
    >>> made.bias > 0, 4.0 < made.upper < 4.5
    (True, True)
    """
    still = float(measure(fitted_um[None])[0])
    at_once = max(AT_ONCE // len(fitted_um), 1)
    parts = []
    for first in range(0, draws, at_once):
        count = min(at_once, draws - first)
        noise = chance.standard_normal((count, len(fitted_um)))
        parts.append(measure(fitted_um + reading_sd * noise) - still)
    seen = np.concatenate(parts)
    bias, sd = float(seen.mean()), float(seen.std(ddof=1)) if draws > 1 else 0.0
    low = float(np.quantile(seen, 0.05)) if draws >= 100 else bias - GUARD * sd
    return Bound(bias=bias, sd=sd, upper=max(observed - low, 0.0))
