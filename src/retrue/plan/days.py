"""From own hours and waits to days on the calendar, until a schedule is made."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def days_until_good_part(
    *,
    wait_days: Floats | float,
    hours_before: Floats | float,
    first_hours: Floats,
    rest_hours: Floats,
    lead_days: Floats,
    run_in_days: Floats | float,
    hours_a_week: float,
) -> Floats:
    """Days from the hammer to the first good part, one pair of hands.

    Waiting for removal; then whatever own hours are spent on another machine first, opening and
    cleaning; then the longer of the longest wait for parts and the remaining own hours; then
    run-in. Parts are ordered when the machine stands open; a wait runs beside the hours spent
    on the other machine.

    Parameters
    ----------
    wait_days : float or ndarray, shape (worlds,)
        Until the machine stands on the floor.
    hours_before : float or ndarray, shape (worlds,)
        Own hours spent on another machine first.
    first_hours, rest_hours : ndarray, shape (worlds,)
        Opening and cleaning; all the rest.
    lead_days : ndarray, shape (worlds,)
        Longest wait for parts or outside work.
    run_in_days : float or ndarray, shape (worlds,)
    hours_a_week : float
        Own hours a week for this work.

    Returns
    -------
    ndarray, shape (worlds,)
        Days.

    References
    ----------
    Our own: a stand-in until a schedule is made; common practice, no source.

    Examples
    --------
    >>> one = np.array([10.0])
    >>> float(days_until_good_part(wait_days=7.0, hours_before=0.0, first_hours=one,
    ...     rest_hours=one, lead_days=one * 3, run_in_days=3.0, hours_a_week=10.0)[0])
    47.0
    """
    days_an_hour = 7.0 / hours_a_week
    standing = wait_days + (hours_before + first_hours) * days_an_hour
    return np.asarray(standing + np.maximum(lead_days, rest_hours * days_an_hour) + run_in_days)
