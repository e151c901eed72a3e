"""The plan as a calendar file: evenings of work, hire days, whom to ring, promised dates."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from retrue.base.say import say

if TYPE_CHECKING:  # large: only when a calendar is written
    from icalendar import Alarm, Event

HOUSE = "retrue.invalid"  # RFC 2606: a domain that is nobody's


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the calendar: with hours of the day, or a whole day.

    Attributes
    ----------
    key : str
        What it is about; the same key gives the same entry when the file is read again.
    begins : datetime or date
        A moment with its offset, or a day.
    ends : datetime or None
        None for a whole day.
    remind_hours : float or None
        So long before it begins.
    by_the_clock : bool
        That hour of the clock on the wall, summer or winter, whatever its offset says.
    """

    key: str
    title: str
    begins: datetime | date
    ends: datetime | None = None
    text: str = ""
    place: str = ""
    remind_hours: float | None = None
    by_the_clock: bool = False


def calendar_file(
    entries: Iterable[Entry], *, name: str, at: datetime, version: str = "", language: str = ""
) -> bytes:
    """Write a calendar file that any calendar reads.

    Parameters
    ----------
    entries : iterable of Entry
        In any order; of two with one key the later one counts.
    name : str
        Of the calendar.
    at : datetime
        When it was made, with its offset.
    version : str
        Edition of this program.
    language : str
        Two letters.

    Returns
    -------
    bytes
        The same arguments give the same bytes.

    References
    ----------
    RFC 5545, Internet Calendaring and Scheduling Core Object Specification (iCalendar), 3.6.1; what
    is by the clock is form 1 of 3.3.5, local time.

    Examples
    --------
    >>> ring = Entry(key="ring 1", title="Ring the winder", begins=date(2026, 12, 1))
    >>> made = calendar_file([ring], name="school", at=datetime(2026, 11, 26, 8, tzinfo=UTC))
    >>> b"DTSTART;VALUE=DATE:20261201" in made, made.startswith(b"BEGIN:VCALENDAR")
    (True, True)
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", f"-//retrue//{version or '0'}//{language.upper()}")
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    book.add("method", "PUBLISH")
    book.add("x-wr-calname", name)
    kept = {one.key: one for one in entries}
    for one in sorted(kept.values(), key=lambda one: (_first(one), one.key)):
        book.add_component(_event(one, at))
    written: bytes = book.to_ical()
    return written


def _first(one: Entry) -> str:
    begins = one.begins
    return (_moment(begins, one) if isinstance(begins, datetime) else begins).isoformat()


def _moment(when: datetime, of: Entry) -> datetime:
    """In UTC, or the hour of the clock, which has no offset."""
    return when.replace(tzinfo=None) if of.by_the_clock else when.astimezone(UTC)


def _event(one: Entry, at: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"{hashlib.sha256(one.key.encode()).hexdigest()[:32]}@{HOUSE}")
    event.add("dtstamp", at.astimezone(UTC))
    event.add("summary", one.title)
    if isinstance(one.begins, datetime):
        event.add("dtstart", _moment(one.begins, one))
        event.add("dtend", _moment(one.ends or one.begins, one))
    else:
        event.add("dtstart", one.begins)
        event.add("dtend", one.begins + timedelta(days=1))
        event.add("transp", "TRANSPARENT")  # a whole day does not block its hours
    if one.text:
        event.add("description", one.text)
    if one.place:
        event.add("location", one.place)
    if one.remind_hours is not None:
        event.add_component(_alarm(one.title, one.remind_hours))
    return event


def _alarm(title: str, hours: float) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", say("Soon: {title}", title=title))
    alarm.add("trigger", timedelta(hours=-hours))
    return alarm
