"""Conformity with a limit: what a measured value proves, its uncertainty counted."""

from __future__ import annotations

import math
from typing import Literal

Ruling = Literal["proved_good", "not_proved", "proved_bad"]
GUARD = 1.6448536269514722  # one-sided 95 % of the normal distribution


def ruling_of(
    value: float, limit: float, standard_uncertainty: float | None, *, rule: str = "guarded"
) -> Ruling:
    """Decide about an upper limit.

    Parameters
    ----------
    value, limit : float
        In one unit.
    standard_uncertainty : float or None
        Of the value, k = 1, same unit; None: not known, which proves nothing by the guarded rule.
    rule : "guarded" or "simple"
        Guarded: a band of 1.645 standard uncertainties on either side of the limit proves neither.
        Simple: the value alone decides, the risk is shared.

    Returns
    -------
    str
        ``proved_good``, ``not_proved`` or ``proved_bad``.

    Raises
    ------
    ValueError
        A rule of another name.

    References
    ----------
    ISO 14253-1:2017, default rule at 95 % conformance probability (from memory); simple acceptance
    after JCGM 106:2012, 8.2 (from memory).

    Examples
    --------
    >>> ruling_of(18.0, 20.0, 1.0), ruling_of(19.0, 20.0, 1.0), ruling_of(22.0, 20.0, 1.0)
    ('proved_good', 'not_proved', 'proved_bad')
    """
    if rule == "simple":
        return "proved_good" if value <= limit else "proved_bad"
    if rule != "guarded":
        raise ValueError(f"no rule {rule!r}: guarded or simple")
    if standard_uncertainty is None:
        return "not_proved"
    band = GUARD * standard_uncertainty
    if value <= limit - band:
        return "proved_good"
    return "proved_bad" if value > limit + band else "not_proved"


def upper_conformance(value: float, limit: float, standard_uncertainty: float) -> float:
    """The chance that the true value is at most the limit.

    Parameters
    ----------
    value, limit : float
        In one unit.
    standard_uncertainty : float
        k = 1, same unit; zero is allowed.

    Returns
    -------
    float
        0 to 1.

    References
    ----------
    JCGM 106:2012, 7.3, normal distribution (from memory).

    Examples
    --------
    >>> round(upper_conformance(18.0, 20.0, 1.0), 5)
    0.97725
    """
    return interval_conformance(value, -math.inf, limit, standard_uncertainty)


def interval_conformance(
    value: float, low: float, high: float, standard_uncertainty: float
) -> float:
    """The chance that the true value lies between two limits.

    Parameters
    ----------
    value, low, high : float
        In one unit; a side without a limit is infinite.
    standard_uncertainty : float
        k = 1, same unit; zero is allowed.

    Returns
    -------
    float
        0 to 1.

    References
    ----------
    JCGM 106:2012, 7.4, worked example (value 13.6, u 1.8, limits 12.5 and 16.3: 0.66).

    Examples
    --------
    >>> round(interval_conformance(13.6, 12.5, 16.3, 1.8), 2)
    0.66
    """
    from scipy.special import ndtr

    if standard_uncertainty == 0:
        return float(low <= value <= high)
    upper = ndtr((high - value) / standard_uncertainty)
    return float(upper - ndtr((low - value) / standard_uncertainty))
