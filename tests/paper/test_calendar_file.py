"""A calendar file that other readers read; RFC 5545 is the outside word on its form."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

from icalendar import Calendar

from retrue.paper.calendar_file import Entry, calendar_file

AT = datetime(2026, 11, 26, 9, tzinfo=timezone(timedelta(hours=1)))
EVENING = datetime(2026, 11, 30, 19, 30, tzinfo=timezone(timedelta(hours=1)))
CARD = Entry(
    key="card school mill F36:repair", title="mill: ball screw, X", place="X ways",
    begins=EVENING, ends=EVENING + timedelta(hours=2.5), remind_hours=2,
    text="needs the hoist, two people; first this; then that, " + "and on " * 30,
)  # fmt: skip
RING = Entry(key="ring 1", title="Ring the winder", begins=date(2026, 12, 1))


def read(content: bytes) -> list:
    return Calendar.from_ical(content).walk("VEVENT")


def test_moments_are_told_in_utc_and_whole_days_as_days():
    card, ring = read(calendar_file([RING, CARD], name="school", at=AT))
    assert card.decoded("dtstart") == datetime(2026, 11, 30, 18, 30, tzinfo=UTC)
    assert card.decoded("dtend") == datetime(2026, 11, 30, 21, 0, tzinfo=UTC)
    assert ring.decoded("dtstart") == date(2026, 12, 1)
    assert ring.decoded("dtend") == date(2026, 12, 2)  # RFC 5545, 3.6.1: the end is not included
    assert str(ring["transp"]) == "TRANSPARENT"


def test_an_hour_of_the_clock_stays_that_hour_in_summer_and_winter():
    begins = datetime(2027, 7, 5, 19, 30, tzinfo=EVENING.tzinfo)  # in summer the offset is another
    summer = replace(CARD, begins=begins, ends=begins + timedelta(hours=2.5), by_the_clock=True)
    made = calendar_file([summer], name="school", at=AT)
    assert b"DTSTART:20270705T193000\r\n" in made  # RFC 5545, 3.3.5, form 1: local time
    assert b"DTEND:20270705T220000\r\n" in made


def test_words_come_back_whole_however_long_and_lines_keep_to_75_octets():
    made = calendar_file([CARD], name="school", at=AT)
    assert str(read(made)[0]["description"]) == CARD.text
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))  # RFC 5545, 3.1
    assert made.endswith(b"END:VCALENDAR\r\n")


def test_the_same_key_is_the_same_entry_and_the_later_one_counts():
    moved = Entry(key=RING.key, title="Ring again", begins=date(2026, 12, 3))
    first, second = (read(calendar_file(some, name="a", at=AT))
                     for some in ([RING], [RING, moved]))  # fmt: skip
    assert len(second) == 1
    assert first[0]["uid"] == second[0]["uid"]
    assert second[0].decoded("dtstart") == date(2026, 12, 3)


def test_the_same_input_gives_the_same_bytes_in_any_order():
    assert calendar_file([RING, CARD], name="a", at=AT) == calendar_file(
        [CARD, RING], name="a", at=AT
    )


def test_a_reminder_comes_so_long_before():
    alarm = Calendar.from_ical(calendar_file([CARD], name="a", at=AT)).walk("VALARM")[0]
    assert alarm.decoded("trigger") == timedelta(hours=-2)
