"""Amounts, days and chances as one says them across a counter: never finer than known."""

from __future__ import annotations

import math

from retrue.base import formatter
from retrue.base.say import say

DAYS_A_WEEK = 7.0
WEEKS_FROM = 12.0  # days from which one speaks of weeks
MONTHS_FROM = 75.0
DAYS_A_MONTH = 30.44


def rounded(value: float) -> float:
    """To two figures.

    Parameters
    ----------
    value : float

    Returns
    -------
    float

    Examples
    --------
    >>> rounded(1234.0), rounded(-86.4), rounded(0.0), rounded(5.2)
    (1200.0, -86.0, 0.0, 5.0)
    """
    if abs(value) < 10.0:
        return float(round(value))
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 1)
    return float(round(value / step) * step)


def about(value: float, currency: str) -> str:
    """Money to two figures.

    Parameters
    ----------
    value : float
    currency : str

    Returns
    -------
    str
    """
    return formatter.money(rounded(value), currency)


def days_words(days: float) -> str:
    """A wait in days, weeks or months.

    Parameters
    ----------
    days : float

    Returns
    -------
    str

    Examples
    --------
    >>> [days_words(days) for days in (0, 1, 4, 15, 90)]
    ['no wait', 'a day', '4 days', '2 weeks', '3 months']
    """
    if days < 0.5:
        return say("no wait")
    if days < 1.5:
        return say("a day")
    if days < WEEKS_FROM:
        return say("{count} days", count=round(days))
    if days < MONTHS_FROM:
        return say("{count} weeks", count=round(days / DAYS_A_WEEK))
    return say("{count} months", count=round(days / DAYS_A_MONTH))


def in_ten(share: float) -> str:
    """A chance as one says it of a mend.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    str

    Examples
    --------
    >>> in_ten(0.6), in_ten(0.97), in_ten(0.02)
    ('6 in 10', 'nearly always', 'hardly ever')
    """
    if share >= 0.96:
        return say("nearly always")
    if share < 0.05:
        return say("hardly ever")
    return say("{count} in 10", count=max(1, min(9, round(10 * share))))
