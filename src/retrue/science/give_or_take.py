"""Expanded uncertainty of a fitted value: few readings widen it, a known instrument does not."""

from __future__ import annotations

from retrue.science.uncertainty import coverage_factor

LEVEL = 0.9544997361036416  # what k = 2 covers of a normal distribution
LEAST_FREEDOM = 3
NOTHING = 0.05  # µm; less than any workshop indicator shows


def expanded(standard_uncertainty: float, freedom: float) -> float:
    """Widen a standard uncertainty to what k = 2 means, the number of readings counted.

    Parameters
    ----------
    standard_uncertainty : float
        k = 1, in any unit.
    freedom : float
        Degrees of freedom it was estimated with; infinite where it was known beforehand.

    Returns
    -------
    float
        Half of the interval that covers 95.45 per cent, in the same unit.

    Raises
    ------
    ValueError
        No degree of freedom is left.

    References
    ----------
    JCGM 100:2008 (GUM), annex G.3; table G.2, column 95.45 per cent: 13.97 for one degree of
    freedom, 2.28 for ten.

    Examples
    --------
    >>> round(expanded(1.0, 1), 2), round(expanded(1.0, 10), 2), round(expanded(1.5, 1e12), 6)
    (13.97, 2.28, 3.0)
    """
    if freedom <= 0:
        raise ValueError("no degree of freedom is left")
    return coverage_factor(freedom, LEVEL) * standard_uncertainty


def doubt_of(unit_uncertainty: float, scatter: float, freedom: int, known: float | None) -> float:
    """Expanded uncertainty of a fitted value from what is known of one reading.

    Parameters
    ----------
    unit_uncertainty : float
        Standard uncertainty of the value where one reading has a standard uncertainty of one.
    scatter : float
        Residual standard deviation of one reading, micrometres.
    freedom : int
        Degrees of freedom of the scatter; 0 where the readings fit of necessity.
    known : float or None
        Expanded uncertainty (k = 2) of one reading, where somebody states one.

    Returns
    -------
    float
        Expanded, in the unit of the value: the larger of what the scatter says and what is stated;
        infinite where neither says anything. A scatter of fewer than three degrees of freedom
        says nothing, and neither does one of less than a twentieth of a micrometre: it shows how
        coarse the indicator is, or that the readings were worked out.

    References
    ----------
    Our own rule; the parts after JCGM 100:2008, 4.2 and 4.3.

    Examples
    --------
    >>> doubt_of(0.5, 0.0, 0, 2.0), doubt_of(0.5, 0.0, 0, None)
    (1.0, inf)
    """
    if freedom < LEAST_FREEDOM or scatter < NOTHING:
        return float("inf") if known is None else unit_uncertainty * known
    seen = expanded(unit_uncertainty * scatter, freedom)
    return seen if known is None else max(seen, unit_uncertainty * known)
