"""Working time: which quarter-hours of the calendar somebody works, and the way there and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from retrue.plan.jobs import QUARTERS_AN_HOUR, Hands

Counts = NDArray[np.int64]
QUARTERS_A_DAY = 24 * QUARTERS_AN_HOUR
CAP_DAYS = 3 * 366  # nothing is planned further ahead
NEVER = 1 << 40  # a quarter-hour that does not come


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """The working time of one person, or of several at once.

    Quarter-hours of the calendar count from the midnight before the plan starts; working
    quarter-hours count from the first that is worked. Evenings are half-open.

    Attributes
    ----------
    begins : ndarray, shape (working quarters + 1,)
        Where on the calendar each working quarter begins; the last entry never comes.
    ends : ndarray, shape (working quarters + 2,)
        Where on the calendar so much work is done; the last entry never comes.
    up : ndarray, shape (calendar quarters + 1,)
        How many working quarters lie before a moment: the next that can be worked.
    evening_ends : ndarray, shape (working quarters + 1,)
        The working quarter before which the evening of each ends.
    """

    begins: Counts
    ends: Counts
    up: Counts
    evening_ends: Counts

    @property
    def quarters(self) -> int:
        """How many quarter-hours are worked."""
        return len(self.begins) - 1

    def longest(self) -> int:
        """The longest evening, in quarter-hours."""
        if not self.quarters:
            return 0
        return int((self.evening_ends[:-1] - np.arange(self.quarters)).max())


def midnight(start: datetime) -> datetime:
    """The midnight from which quarter-hours of the calendar count.

    Parameters
    ----------
    start : datetime
        From when on is planned.

    Returns
    -------
    datetime
        On the same clock.
    """
    return datetime.combine(start.date(), time(), tzinfo=start.tzinfo)


def quarter(start: datetime, moment: datetime) -> int:
    """The first quarter-hour of the calendar that begins at a moment or after it.

    Parameters
    ----------
    start, moment : datetime
        The start of the plan, and a moment on the same clock; read on the wall.

    Returns
    -------
    int
        Quarter-hours from the midnight before the start.

    Examples
    --------
    >>> quarter(datetime(2026, 11, 26, 20, 7), datetime(2026, 11, 26, 20, 7))
    81
    """
    passed = moment.replace(tzinfo=None) - midnight(start).replace(tzinfo=None)
    return ceil(passed / timedelta(minutes=60 // QUARTERS_AN_HOUR))


def moment(start: datetime, at: int) -> datetime:
    """A quarter-hour of the calendar as the clock on the wall shows it.

    Parameters
    ----------
    start : datetime
        The start of the plan.
    at : int
        Quarter-hours from the midnight before it.

    Returns
    -------
    datetime
        With the offset of the start.

    Examples
    --------
    >>> moment(datetime(2026, 11, 26, 20, 7), 96 + 78)
    datetime.datetime(2026, 11, 27, 19, 30)
    """
    return midnight(start) + timedelta(minutes=at * 60 // QUARTERS_AN_HOUR)


def days_after(start: datetime, at: float) -> float:
    """Calendar days from the start of the plan to a quarter-hour.

    Parameters
    ----------
    start : datetime
    at : float
        Quarter-hours from the midnight before it.

    Returns
    -------
    float
        Days.

    Examples
    --------
    >>> days_after(datetime(2026, 11, 26, 12, 0), 96)
    0.5
    """
    return at / QUARTERS_A_DAY - (start - midnight(start)) / timedelta(days=1)


def working(one: Hands, start: datetime, days: int) -> NDArray[np.bool_]:
    """Mark the quarter-hours of the calendar that one person works.

    Parameters
    ----------
    one : Hands
        Evenings, days away, hours beside.
    start : datetime
        Nothing is worked before it.
    days : int
        How far ahead.

    Returns
    -------
    ndarray of bool, shape (days * 96,)
        True where he or she works.

    Notes
    -----
    An evening may end after midnight (hours above 24). Who is away works neither weekly nor
    other hours on that day. A quarter that is not worked whole is not worked.
    """
    first = start.date()
    away = _away(one, first, days)
    worked = np.zeros((days + 1) * QUARTERS_A_DAY, dtype=bool)
    for weekday, begin, end in one.evenings:
        for day in range((weekday - first.weekday()) % 7, days, 7):
            if not away[day]:
                _mark(worked, day, begin, end)
    for on, begin, end in one.also:
        day = (on - first).days
        if 0 <= day < days and not away[day]:
            _mark(worked, day, begin, end)
    worked[: quarter(start, start)] = False
    return worked[: days * QUARTERS_A_DAY]


def _mark(worked: NDArray[np.bool_], day: int, begin: float, end: float) -> None:
    base = day * QUARTERS_A_DAY
    a, b = ceil(begin * QUARTERS_AN_HOUR - 1e-9), floor(end * QUARTERS_AN_HOUR + 1e-9)
    worked[base + a : base + max(a, b)] = True


def _away(one: Hands, first: date, days: int) -> NDArray[np.bool_]:
    away = np.zeros(days, dtype=bool)
    for begin, end in one.away:
        away[max(0, (begin - first).days) : max(0, (end - first).days + 1)] = True
    return away


def axis(people: Sequence[Hands], start: datetime, days: int = CAP_DAYS) -> Axis:
    """The working time of people who are needed at once; of nobody: round the clock.

    Parameters
    ----------
    people : sequence of Hands
    start : datetime
    days : int
        How far ahead.

    Returns
    -------
    Axis

    References
    ----------
    Our own: a calendar as two integer tables, each the other's inverse.

    Examples
    --------
    >>> me = Hands(name="me", evenings=((3, 19.5, 22.0), (4, 19.5, 22.0)))
    >>> one = axis((me,), datetime(2026, 11, 26, 20, 7), days=7)
    >>> one.quarters, int(one.begins[0]), int(one.ends[7]), int(one.up[88])
    (17, 81, 88, 7)
    """
    together = np.ones(days * QUARTERS_A_DAY, dtype=bool)
    together[: quarter(start, start)] = False
    for one in people:
        together &= working(one, start, days)
    begins = np.flatnonzero(together).astype(np.int64)
    up = np.concatenate(([0], np.cumsum(together))).astype(np.int64)
    last = np.diff(begins, append=NEVER) > 1
    edges = np.flatnonzero(last) + 1
    evening_ends = edges[np.searchsorted(edges, np.arange(len(begins)), side="right")]
    return Axis(
        np.append(begins, NEVER),
        np.concatenate(([0], begins + 1, [NEVER])).astype(np.int64),
        up,
        np.append(evening_ends, len(begins)).astype(np.int64),
    )


def fitting(
    one: Axis,
    start: datetime,
    *,
    unbroken: bool,
    days: Sequence[Sequence[date]],
    again: bool = False,
) -> Counts:
    """For every working quarter the one before which the stretch it lies in ends.

    Parameters
    ----------
    one : Axis
    start : datetime
    unbroken : bool
        A stretch is an evening; else working time runs on.
    days : sequence of sequence of date
        For every hired thing that is needed, the days on which it is there.
    again : bool
        Whoever comes too late for the last of them hires it again, for as long as it takes.

    Returns
    -------
    ndarray, shape (working quarters + 1,)
        A quarter at which something is not there ends its stretch before it begins.
    """
    count = one.quarters
    ends = one.evening_ends if unbroken else np.full(count + 1, count, dtype=np.int64)
    on = one.begins[:-1] // QUARTERS_A_DAY
    barred = np.zeros(count, dtype=bool)
    for there in days:
        wanted = [(day - start.date()).days for day in there]
        barred |= ~np.isin(on, wanted) & ~(again & (on > max(wanted)))
    at = np.flatnonzero(barred)
    nearest = np.append(at, count)[np.searchsorted(at, np.arange(count + 1))]
    return np.asarray(np.minimum(ends, nearest))


def next_start(ends: Counts, quarters: int, *, runs_over: bool = False) -> Counts:
    """From every working quarter the next at which so much work fits into one stretch.

    Parameters
    ----------
    ends : ndarray, shape (working quarters + 1,)
        Of `fitting`.
    quarters : int
        How long the work takes.
    runs_over : bool
        What takes longer than every stretch still to come begins with the longest of them and
        runs over: never in a plan, but it happens in one of many runs of it.

    Returns
    -------
    ndarray, shape (working quarters + 1,)
        The last entry, past all working time, where it fits no more.
    """
    count = len(ends) - 1
    room = ends - np.arange(count + 1)
    room[count] = 0
    enough = np.full(count + 1, quarters)
    if runs_over:
        longest = np.maximum.accumulate(room[::-1])[::-1]
        longest[count * 3 // 4 :] = longest[count * 3 // 4]  # the calendar goes on behind its end
        enough = np.minimum(enough, longest)
    fits = (room >= enough) & (room > 0)
    at = np.where(fits, np.arange(count + 1), count)
    return np.minimum.accumulate(at[::-1])[::-1].astype(np.int64)
