"""The days of the invented lot: told in one calendar, laid whole weeks back, so that it is over.

The story is written down once with days of its own. It is walked as if it had ended within the
week before: every day of it moves by the same whole number of weeks. So a Thursday stays a
Thursday, the evenings that somebody has stay his evenings, and no sum of it changes.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, timezone

from retrue.cli.house import House
from retrue.records.hand import Hand

LAST = date(2027, 7, 24)
"""The last day of the story in its own calendar: both machines are closed."""
SUMMER = timezone(timedelta(hours=2))  # Ghent
WEEK = timedelta(weeks=1)

CHAPTERS = {
    "listing": "2026-11-25T20:10:00+01:00",
    "1-photographs.toml": "2026-11-25T20:40:00+01:00",
    "2-telephone.toml": "2026-11-26T19:30:00+01:00",
    "3-visit.toml": "2026-11-28T14:00:00+01:00",
    "freeze": "2026-12-01T20:30:00+01:00",
    "move": "2026-12-02T20:00:00+01:00",
    "first_night": "2026-12-11T19:30:00+01:00",
    "apart": "2026-12-12T19:30:00+01:00",
    "lists": "2027-01-14T18:30:00+01:00",
    "back": "2027-03-20T18:30:00+01:00",
    "plate": "2027-03-22T19:00:00+01:00",
    "plate_lathe": "2027-06-14T19:00:00+02:00",
    "before": "2027-05-11T19:45:00+02:00",
    "after": "2027-05-25T19:45:00+02:00",
    "trouble": "2027-07-21T19:30:00+02:00",
}
"""When each part of it is kept, in its own calendar; none after ``LAST``."""
TOLD = (".toml", ".csv")  # what has days in it; all else is taken as it is

_DAY = re.compile(rb"(?<!\d)(20\d\d)-(\d\d)-(\d\d)(?!\d)")
_TURNED = re.compile(rb"(?<!\d)(\d\d)/(\d\d)/(20\d\d)(?!\d)")
_MARK = re.compile(rb"(?<![\d-])(20\d\d)-(\d\d)(\d\d)(?!\d)")  # a bank's reference


@dataclass(frozen=True, slots=True)
class Days:
    """By how much the days of the story are moved.

    Attributes
    ----------
    moved : timedelta
        Whole weeks, taken off.
    """

    moved: timedelta

    def day(self, told: date) -> date:
        """A day of the story, as it is lived.

        Parameters
        ----------
        told : date

        Returns
        -------
        date

        Examples
        --------
        >>> Days(WEEK).day(LAST)
        datetime.date(2027, 7, 17)
        """
        return told - self.moved

    def when(self, chapter: str) -> datetime:
        """When a part of the story is kept, as it is lived.

        Parameters
        ----------
        chapter : str
            Of ``CHAPTERS``.

        Returns
        -------
        datetime

        Examples
        --------
        >>> Days(WEEK).when("freeze").isoformat()
        '2026-11-24T20:30:00+01:00'
        """
        return datetime.fromisoformat(CHAPTERS[chapter]) - self.moved

    def lived(self, content: bytes) -> bytes:
        """A file of the story with every day in it moved.

        Parameters
        ----------
        content : bytes
            A table, or a file of sections; days as 2027-01-14 or 14/01/2027, and a bank's
            references, 2027-0114.

        Returns
        -------
        bytes

        Examples
        --------
        >>> Days(WEEK).lived(b"2027-01-14T18:30 14/01/2027 2027-0114b")
        b'2027-01-07T18:30 07/01/2027 2027-0107b'
        """
        content = _DAY.sub(self._as(b"%Y-%m-%d"), content)
        content = _MARK.sub(self._as(b"%Y-%m%d"), content)
        return _TURNED.sub(self._as(b"%d/%m/%Y", turned=True), content)

    def _as(self, form: bytes, *, turned: bool = False) -> Callable[[re.Match[bytes]], bytes]:
        def moved(found: re.Match[bytes]) -> bytes:
            year, month, day = map(int, reversed(found.groups()) if turned else found.groups())
            return self.day(date(year, month, day)).strftime(form.decode()).encode()

        return moved


def days_of(house: House) -> Days:
    """By how much the story is moved for a house, by its clock.

    Parameters
    ----------
    house : House

    Returns
    -------
    Days
        The last deed lies on the day before, or up to six days earlier.
    """
    return days_on(house.clock().astimezone().date())


def days_on(today: date) -> Days:
    """By how much the story is moved on a day.

    Parameters
    ----------
    today : date

    Returns
    -------
    Days

    Examples
    --------
    >>> days_on(date(2026, 11, 26)).day(LAST)
    datetime.date(2026, 11, 21)
    >>> days_on(date(2027, 7, 25)).day(LAST)
    datetime.date(2027, 7, 24)
    """
    ahead = LAST - (today - timedelta(days=1))
    return Days(-(-ahead // WEEK) * WEEK)


def at_one_moment(house: House) -> House:
    """The same house with its clock held, so that a walk past midnight keeps one calendar.

    Parameters
    ----------
    house : House

    Returns
    -------
    House
    """
    now = house.clock()
    return replace(house, clock=lambda: now)


def kept_at(house: House, chapter: str) -> Hand:
    """The hand at this keyboard, at the time of a part of the story.

    Parameters
    ----------
    house : House
    chapter : str
        Of ``CHAPTERS``.

    Returns
    -------
    Hand
    """
    return {**house.hand, "observed_at": days_of(house).when(chapter)}


def example(house: House, name: str) -> bytes:
    """A file of the examples, its days moved if it tells of any.

    Parameters
    ----------
    house : House
    name : str
        Below the folder of examples.

    Returns
    -------
    bytes
    """
    content = (house.examples / name).read_bytes()
    return days_of(house).lived(content) if name.endswith(TOLD) else content
