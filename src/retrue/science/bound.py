"""How far a result may be off: coverage for few readings, an upper bound for a largest value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.chance import stream
from retrue.science.conformity import GUARD
from retrue.science.uncertainty import coverage_factor

Floats = NDArray[np.float64]
TWO_SIGMA = 0.9544997361036416  # share of a normal distribution within two standard deviations
DRAWS = 400
LOWER = 0.03  # a twentieth, less a margin for what a few hundred draws leave open


@dataclass(frozen=True, slots=True)
class Bound:
    """What noise does to a largest value; all in the unit of the value.

    Attributes
    ----------
    value : float
        As worked out from the readings.
    bias : float
        How much noise lifts it on average.
    standard_uncertainty : float
        How much it scatters.
    upper : float
        What the true value exceeds no more than about one time in twenty.
    """

    value: float
    bias: float
    standard_uncertainty: float
    upper: float

    @property
    def expanded(self) -> float:
        """For a verdict: twice a standard uncertainty that reaches the upper bound as well."""
        return max(2 * self.standard_uncertainty, (self.upper - self.value) * 2 / GUARD)


def expansion_factor(freedom: float | None) -> float:
    """By what a standard uncertainty is multiplied to cover 95.45 %.

    Parameters
    ----------
    freedom : float or None
        Degrees of freedom of the standard uncertainty; None where it is known, not estimated.

    Returns
    -------
    float
        2 where it is known, more where it was estimated from few readings.

    Raises
    ------
    ValueError
        Less than one degree of freedom.

    References
    ----------
    JCGM 100:2008, table G.2 (from memory); NIST TN 1297, table B.1: 2.65 for five.

    Examples
    --------
    >>> expansion_factor(None), round(expansion_factor(5), 2)
    (2.0, 2.65)
    """
    if freedom is None:
        return 2.0
    if freedom < 1:
        raise ValueError("at least one degree of freedom")
    return coverage_factor(freedom, TWO_SIGMA)


def upper_bound(
    statistic: Callable[[Floats], Any],
    values: ArrayLike,
    noise: Callable[[np.random.Generator, int], Floats],
    *,
    seed: int,
    draws: int = DRAWS,
) -> Bound:
    """Bound a largest value by adding the readings' own noise once more, many times over.

    Parameters
    ----------
    statistic : callable
        Takes an array of shape (sets, n), gives one value a set; vectorised.
    values : array_like, shape (n,)
        What the statistic is worked out from, as measured.
    noise : callable
        Takes a generator and a count, gives noise of shape (count, n) like that of the values.
    seed : int
        Of the stream.
    draws : int
        How many times.

    Returns
    -------
    Bound
        Its upper end is never below the value itself.

    Notes
    -----
    Parametric bootstrap, basic form: noise lifts a largest value; what it adds to the measured
    set it has added to the true one before, so the upper end is twice the value less a low one of
    the noisy ones, three in a hundred below it. Where the true form is small against the noise the
    bound is too high rather than too low.

    References
    ----------
    Davison and Hinkley, Bootstrap Methods and their Application, section 5.2 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> heights = np.array([0.0, 10.0, 0.0])
    >>> made = upper_bound(lambda h: np.ptp(h, axis=-1), heights,
    ...                    lambda rng, count: rng.normal(0, 0.1, (count, 3)), seed=7)
    >>> made.value, 10 <= made.upper < 10.5
    (10.0, True)
    """
    middle = np.asarray(values, dtype=np.float64)
    value = float(np.asarray(statistic(middle[None, :]))[0])
    noisy = np.asarray(statistic(middle + noise(stream(seed, "bound"), draws)), dtype=np.float64)
    low = float(np.quantile(noisy, LOWER))
    return Bound(
        value=value,
        bias=float(noisy.mean()) - value,
        standard_uncertainty=float(noisy.std(ddof=1)),
        upper=max(value, 2 * value - low),
    )
