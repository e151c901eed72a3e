"""Largest values: how noise lifts them, and an upper bound by measuring again in the mind."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from retrue.science.conformity import GUARD


@dataclass(frozen=True, slots=True)
class Largest:
    """A largest value and what the scatter of its readings does to it; all in its unit.

    Attributes
    ----------
    value, bias, standard_uncertainty : float
        As worked out; how much scatter lifts it on average; how much it scatters itself.
    upper : float
        What the true value exceeds at most about one time in twenty.
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


def upper_bound(value: float, again: ArrayLike, possible: ArrayLike) -> Largest:
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
    Largest
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
    >>> made = upper_bound(10.0, [9.0, 10.0, 11.0, 12.0], [9.0, 10.0, 11.0, 12.0])
    >>> made.bias, round(made.upper, 2)
    (0.5, 11.85)
    """
    drawn, open_to = np.asarray(again, dtype=np.float64), np.asarray(possible, dtype=np.float64)
    if drawn.size < 2 or open_to.size < 2:
        raise ValueError("nothing was drawn")
    return Largest(
        value=value,
        bias=float(drawn.mean()) - value,
        standard_uncertainty=float(drawn.std(ddof=1)),
        upper=max(value, float(np.quantile(open_to, 0.95, axis=0).max())),
    )
