"""Largest values: how noise lifts them, and an upper bound, by three ways of measuring again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.chance import stream
from retrue.science.conformity import GUARD

Floats = NDArray[np.float64]
DRAWS = 400
AT_ONCE = 1_000_000  # readings of repeated measurements that stand in memory together
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
        """Against a limit above: twice a standard uncertainty that reaches the upper bound."""
        return max(2 * self.standard_uncertainty, (self.upper - self.value) * 2 / GUARD)

    @property
    def expanded_down(self) -> float:
        """Against a limit below: what scatter has lifted it by is taken off as well."""
        return 2 * self.standard_uncertainty + max(self.bias, 0.0) * 2 / GUARD


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


def upper_bound_of_fit(
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
    >>> shape, measure = 2 * np.cos(2 * angle), partial(zone_widths, angle)
    >>> made = upper_bound_of_fit(shape, 0.1, 4.4, measure, chance)
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
    upper = max(observed - low, 0.0)
    return Bound(value=observed, bias=bias, standard_uncertainty=sd, upper=upper)


def upper_bound_by_trials(value: float, again: ArrayLike, possible: ArrayLike) -> Bound:
    """Bound a largest value by what the same measurement would give, done over and over.

    Parameters
    ----------
    value : float
        As worked out from the readings.
    again : array_like, shape (draws,)
        The same quantity measured anew on a machine that is as it was measured, with its scatter.
    possible : array_like, shape (draws,) or (draws, places)
        The quantity, free of scatter, of machines that may have given these readings: means and
        scatter drawn about what was measured, as far as few readings leave them open. Where it is
        the largest of several places, one column a place.

    Returns
    -------
    Bound
        Its upper end is never below the value itself.

    Raises
    ------
    ValueError
        Nothing was drawn.

    Notes
    -----
    Parametric bootstrap; the upper end from the pivots (means by Student, scatter by chi-square),
    as the basic form falls short where scatter itself is the largest part. Of several places each
    gets its own bound and the highest counts: it covers the place that is truly the largest, and
    the largest of many draws does not lift it further.

    References
    ----------
    Davison and Hinkley, Bootstrap Methods and their Application, sections 2.4 and 5.2; Weerahandi,
    Generalized confidence intervals, J. Am. Stat. Assoc. 88 (1993) 899 (both from memory).

    Examples
    --------
    >>> made = upper_bound_by_trials(10.0, [9.0, 10.0, 11.0, 12.0], [9.0, 10.0, 11.0, 12.0])
    >>> made.bias, round(made.upper, 2)
    (0.5, 11.85)
    """
    drawn, open_to = np.asarray(again, dtype=np.float64), np.asarray(possible, dtype=np.float64)
    if drawn.size < 2 or open_to.size < 2:
        raise ValueError("nothing was drawn")
    return Bound(
        value=value,
        bias=float(drawn.mean()) - value,
        standard_uncertainty=float(drawn.std(ddof=1)),
        upper=max(value, float(np.quantile(open_to, 0.95, axis=0).max())),
    )
