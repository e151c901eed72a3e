"""Evenings are the clock on the wall: moments of a plan, told and read by it."""

from __future__ import annotations

from datetime import datetime, timezone


def by_the_wall(moment: datetime) -> str:
    """A moment of a plan as the clock on the wall shows it on that day.

    Parameters
    ----------
    moment : datetime
        Reckoned in hours of the wall from the start of the plan.

    Returns
    -------
    str
        ISO 8601 to the minute: with the offset of that day where the zone is known; without any
        where only the offset of the day of planning is, which half the year is another.

    References
    ----------
    ISO 8601-1:2019, 5.3 (local time and its difference from UTC).

    Examples
    --------
    >>> from datetime import timedelta
    >>> from zoneinfo import ZoneInfo
    >>> by_the_wall(datetime(2027, 7, 5, 19, 30, tzinfo=ZoneInfo("Europe/Brussels")))
    '2027-07-05T19:30+02:00'
    >>> by_the_wall(datetime(2027, 7, 5, 19, 30, tzinfo=timezone(timedelta(hours=1))))
    '2027-07-05T19:30'
    """
    fixed = isinstance(moment.tzinfo, timezone)
    return (moment.replace(tzinfo=None) if fixed else moment).isoformat(timespec="minutes")


def on_the_wall(text: str) -> datetime:
    """A moment of a plan read back, by the clock on the wall.

    Parameters
    ----------
    text : str
        ISO 8601; the hour is taken as it stands, whatever offset it has.

    Returns
    -------
    datetime
        Without an offset, so that winter and summer can be held against each other.

    Examples
    --------
    >>> on_the_wall("2027-07-05T19:30+02:00") - on_the_wall("2027-01-04T19:30+01:00")
    datetime.timedelta(days=182)
    """
    return datetime.fromisoformat(text).replace(tzinfo=None)
