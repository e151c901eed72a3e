"""Where two ways cost the same: hours a year, days a year; never and always are answers too."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Side = Literal["at", "never", "always"]

HOURS_A_DAY = 8.0  # of a working day, common practice
HOURS_A_YEAR = 8_784.0  # the most there are: 366 days


@dataclass(frozen=True, slots=True)
class BreakEven:
    """From how much on, or up to how much, the first of two ways is the better one.

    Attributes
    ----------
    says : "at", "never" or "always"
        Whether there is such an amount; else the first is better at none, or at every.
    at : float or None
        It; None where it is never or always.
    from_there : bool
        Better from there on; else up to there.
    """

    says: Side
    at: float | None = None
    from_there: bool = True


def same_cost(
    fixed_one: float, hourly_one: float, fixed_other: float, hourly_other: float
) -> BreakEven:
    """Hours a year at which two machines cost the same.

    Parameters
    ----------
    fixed_one, fixed_other : float
        Money a year, whatever the hours.
    hourly_one, hourly_other : float
        Money an hour of work.

    Returns
    -------
    BreakEven
        Hours a year from which, or up to which, the first is the cheaper one.

    Notes
    -----
    Two that cost the same at every number of hours: neither is ever the cheaper one, so never.

    References
    ----------
    By definition: the crossing of two straight lines.

    Examples
    --------
    >>> same_cost(9_000.0, 10.0, 3_000.0, 20.0)
    BreakEven(says='at', at=600.0, from_there=True)
    >>> same_cost(3_000.0, 10.0, 9_000.0, 20.0).says
    'always'
    """
    return crossing(fixed_other - fixed_one, hourly_other - hourly_one)


def own_against_buying_in(fixed: float, hourly: float, bought_in: float) -> BreakEven:
    """Hours a year from which a machine of one's own beats buying the work in.

    Parameters
    ----------
    fixed : float
        Money a year of the machine, whatever the hours.
    hourly : float
        Money an hour of running it, with the operator's.
    bought_in : float
        Money an hour of the same work bought in.

    Returns
    -------
    BreakEven

    References
    ----------
    By definition.

    Examples
    --------
    >>> own_against_buying_in(7_500.0, 20.0, 45.0)
    BreakEven(says='at', at=300.0, from_there=True)
    >>> own_against_buying_in(7_500.0, 50.0, 45.0).says
    'never'
    """
    return same_cost(fixed, hourly, 0.0, bought_in)


def crossing(ahead_at_none: float, ahead_an_hour: float) -> BreakEven:
    """Where a lead that grows or shrinks by the hour is nothing.

    Parameters
    ----------
    ahead_at_none : float
        Money by which the first is ahead at no hours.
    ahead_an_hour : float
        Money by which its lead grows with each; below zero it shrinks.

    Returns
    -------
    BreakEven

    References
    ----------
    By definition.

    Examples
    --------
    >>> crossing(-100.0, 2.0)
    BreakEven(says='at', at=50.0, from_there=True)
    >>> crossing(100.0, -2.0)
    BreakEven(says='at', at=50.0, from_there=False)
    >>> crossing(-100.0, -2.0).says, crossing(100.0, 0.0).says, crossing(0.0, 0.0).says
    ('never', 'always', 'never')
    """
    if ahead_at_none < 0.0 < ahead_an_hour:
        return BreakEven("at", -ahead_at_none / ahead_an_hour, True)
    if ahead_at_none > 0.0 > ahead_an_hour:
        return BreakEven("at", -ahead_at_none / ahead_an_hour, False)
    return BreakEven("always" if ahead_at_none > 0.0 or ahead_an_hour > 0.0 else "never")


def crossings(ahead_at_none: ArrayLike, ahead_an_hour: ArrayLike, *, from_there: bool) -> Floats:
    """The same in every world: the least amount from which, or the most up to which.

    Parameters
    ----------
    ahead_at_none, ahead_an_hour : array_like of float, shape (worlds,), money
    from_there : bool
        The least amount from which the first is ahead; else the most up to which it is.

    Returns
    -------
    ndarray, shape (worlds,)
        Zero and infinity are the words: from 0 on is always, up to 0 is never, and the other way
        round for infinity.

    References
    ----------
    By definition.

    Examples
    --------
    >>> crossings([-100.0, 100.0, -100.0], [2.0, 2.0, -2.0], from_there=True).tolist()
    [50.0, 0.0, inf]
    """
    none, hour = np.broadcast_arrays(
        np.asarray(ahead_at_none, dtype=np.float64), np.asarray(ahead_an_hour, dtype=np.float64)
    )
    sign = 1.0 if from_there else -1.0
    there = (sign * hour > 0.0) & (sign * none < 0.0)
    first, last = (0.0, np.inf) if from_there else (np.inf, 0.0)
    otherwise = np.where((none > 0.0) | ((none == 0.0) & (hour > 0.0)), first, last)
    return np.where(there, -none / np.where(there, hour, 1.0), otherwise)


def days_that_eat(gap_a_year: float, day: float) -> BreakEven:
    """Days a year, lost when there was work, that eat up what the better way saves.

    Parameters
    ----------
    gap_a_year : float
        Money a year by which it is ahead.
    day : float
        Money that such a day costs.

    Returns
    -------
    BreakEven
        Days a year up to which it stays ahead. Never: it is not ahead with none of them. Always: a
        lost day costs nothing.

    References
    ----------
    By definition; a day of eight hours: common practice, no source.

    Examples
    --------
    >>> days_that_eat(7_200.0, lost_day(60.0))
    BreakEven(says='at', at=15.0, from_there=False)
    >>> days_that_eat(-1.0, 480.0).says, days_that_eat(500.0, 0.0).says
    ('never', 'always')
    """
    return crossing(gap_a_year, -max(0.0, day))


def lost_day(an_hour: float, saved: float = 0.0, hours: float = HOURS_A_DAY) -> float:
    """What a day costs on which the machine stands and had work.

    Parameters
    ----------
    an_hour : float
        What the work costs an hour when it is bought in.
    saved : float
        What is not spent in an hour on which it stands: running, and the operator's hour where he
        does other work meanwhile.
    hours : float
        Of that day.

    Returns
    -------
    float
        Money; nothing where more is saved than the work costs.

    References
    ----------
    By definition; a day of eight hours: common practice, no source.

    Examples
    --------
    >>> lost_day(60.0), lost_day(60.0, saved=20.0)
    (480.0, 320.0)
    """
    return max(0.0, an_hour - saved) * hours


def within_a_year(found: BreakEven) -> BreakEven:
    """A number of hours a year as an answer: beyond the hours that a year has it is a word.

    Parameters
    ----------
    found : BreakEven
        Hours a year.

    Returns
    -------
    BreakEven

    References
    ----------
    By definition: 366 days of 24 hours.

    Examples
    --------
    >>> within_a_year(BreakEven("at", 13_322.0, True)).says
    'never'
    >>> within_a_year(BreakEven("at", 13_322.0, False)).says
    'always'
    """
    if found.at is None or found.at <= HOURS_A_YEAR:
        return found
    return BreakEven("never" if found.from_there else "always")
