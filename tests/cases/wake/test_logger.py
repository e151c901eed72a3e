"""A logger's file: what is new is taken once; clocks, units, torn lines, other files are named."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.wake.logger import follow_logger

NOW = datetime(2026, 11, 26, 20, 10, tzinfo=UTC)
START = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
GHENT = timezone(timedelta(hours=1))


def lines(
    count, heading="time,nose_c,amps", first=21.0, start=START, every=60, mark=",", point="."
):
    rows = [heading]
    for number in range(count):
        at = start + timedelta(seconds=every * number)
        value = f"{first + 0.5 * number:.1f}".replace(".", point)
        rows.append(mark.join([at.isoformat(), value, "6.0".replace(".", point)]))
    return "".join(f"{row}\n" for row in rows).encode()


def follow(content, now=NOW, **more):
    return follow_logger(content, "log.csv", now=now, **more)


def told(found):
    return " ".join([*map(str, found.problems), *found.asked, *found.notes])


def test_rows_are_taken_once_as_the_file_grows_and_a_torn_line_waits_for_its_end():
    whole = lines(10)
    kept, after, rows_before, head = [], None, None, ""
    for cut in range(0, len(whole) + 1, 17):
        found = follow(whole[:cut], after=after, rows_before=rows_before, head_before=head)
        assert found.half_line == (whole[:cut].rpartition(b"\n")[2].strip() != b"")
        assert not found.problems
        kept += found.rows
        after, rows_before, head = found.last_at, found.rows_in_file, found.head or head
    kept += follow(whole, after=after).rows
    assert kept == list(follow(whole).rows)
    assert len(kept) == 20
    assert kept[-2:] == [("2026-11-26T20:09:00+00:00", "nose", 25.5),
                         ("2026-11-26T20:09:00+00:00", "amps", 6.0)]  # fmt: skip


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(0, 400), min_size=1, max_size=6))
def test_wherever_the_file_is_cut_nothing_is_lost_or_taken_twice(cuts):
    whole, kept, after = lines(8), [], None
    for cut in sorted(min(one, len(whole)) for one in cuts):
        found = follow(whole[:cut], after=after)
        kept += found.rows
        after = found.last_at
    kept += follow(whole, after=after).rows
    assert kept == list(follow(whole).rows)


def test_the_first_row_of_what_is_new_is_its_row_in_the_file():
    found = follow(lines(10), after=START + timedelta(minutes=4))
    assert found.first_row == 7
    assert found.rows_in_file == 10
    assert follow(lines(10), after=NOW).first_row is None


@pytest.mark.parametrize("mark", [";", "\t"])
def test_a_decimal_comma_is_read_where_no_comma_parts_the_cells(mark):
    found = follow(lines(3, heading=f"time{mark}nose_c{mark}amps", mark=mark, point=","))
    assert [value for _, name, value in found.rows if name == "nose"] == [21.0, 21.5, 22.0]


def test_a_comma_that_parts_and_marks_decimals_too_is_named_and_nothing_guessed():
    found = follow(b"time,nose_c\n2026-11-26T20:00:00,21,5\n")
    assert found.rows == ()
    assert "3 cells, 2 columns" in told(found)
    assert "comma" in told(found)


def test_moments_without_an_offset_are_of_the_zone_that_is_said():
    found = follow(b"time,nose_c\n2026-11-26T21:00:00,21\n", zone=GHENT)
    assert found.rows[0][0] == "2026-11-26T21:00:00+01:00"
    assert found.last_at == START


def test_seconds_and_minutes_count_from_where_it_is_said_or_are_refused():
    found = follow(b"minutes,nose_c\n0,21\n1.5,22\n", zero=START)
    assert found.last_at == START + timedelta(seconds=90)
    with pytest.raises(Unusable) as refused:
        follow(b"seconds,nose_c\n0,21\n")
    assert "counts from" in str(refused.value.problems[0])


def test_a_clock_that_goes_back_is_named_and_its_rows_wait():
    back = lines(5) + lines(3, start=START - timedelta(minutes=30)).partition(b"\n")[2]
    found = follow(back)
    assert len(found.rows) == 10
    assert "row 7" in told(found)
    assert "out of order: back by 34 minutes" in told(found)


def test_a_clock_that_is_ahead_is_named_its_rows_are_not_taken_and_it_can_be_said():
    ahead = lines(5, start=START + timedelta(hours=1))
    found = follow(ahead)
    assert found.rows == ()
    assert "ahead by 54 minutes" in told(found)
    whole = follow(ahead, now=START + timedelta(minutes=4))
    assert "ahead by 60 minutes" in told(whole)
    assert "summer time" in told(whole)
    said = follow(ahead, offset_s=-3600.0)
    assert said.rows[0][0] == "2026-11-26T20:00:00+00:00"
    assert not said.problems


def test_where_its_clock_is_ahead_nothing_of_the_file_is_taken_as_if_it_were_live():
    """A logger that was started forty minutes before the watch: its old rows look like now."""
    counted = b"seconds,nose_c\n" + b"".join(b"%d,2%d\n" % (60 * m, m % 9) for m in range(51))
    found = follow(counted, zero=START)
    assert (found.rows, found.counts) == ((), True)
    assert "The logger started at" in told(found)
    assert "19:20" in told(found)
    assert "2,400 s" in told(found).replace("\u202f", ",")
    said = follow(counted, zero=START, offset_s=-2400.0)
    assert said.rows[-1][0] == NOW.isoformat()
    assert not said.problems
    mixed = lines(5) + lines(2, start=START + timedelta(hours=1)).partition(b"\n")[2]
    assert follow(mixed).rows == ()


@pytest.mark.parametrize(
    ("heading", "asks"),
    [("Motor current", "a current"), ("I (A)", "a current"), ("T_lager (°C)", "a temperature"),
     ("temp 1", "a temperature"), ("humidity", "")],
)  # fmt: skip
def test_a_column_that_is_not_understood_is_named_and_asked_about_where_it_looks_like_a_channel(
    heading, asks
):
    found = follow(lines(3, heading=f"time,nose_c,{heading}"))
    assert [name for _, name, _ in found.rows] == ["nose"] * 3
    assert heading in found.unknown[0]
    assert [one.where for one in found.problems] == ([heading] if asks else [])
    assert asks in told(found)


def test_a_jump_forward_and_a_file_that_stopped_growing_are_named():
    jump = lines(3, start=START - timedelta(hours=5)) + lines(3).partition(b"\n")[2]
    assert "jumps forward by 5.0 hours" in told(follow(jump))
    still = follow(lines(5), now=START + timedelta(minutes=30))
    assert "has not grown since" in told(still)
    assert len(still.rows) == 10
    assert "not grown" not in told(follow(lines(5), now=START + timedelta(minutes=6)))


def test_fahrenheit_is_asked_and_until_it_is_answered_not_taken():
    warm = lines(4, first=70.0)
    asked = follow(warm, room_c=21.0)
    assert "°F" in asked.asked[0]
    assert {name for _, name, _ in asked.rows} == {"amps"}
    yes = follow(warm, room_c=21.0, fahrenheit=True)
    assert yes.rows[0][2] == pytest.approx((70 - 32) / 1.8)
    no = follow(warm, room_c=21.0, fahrenheit=False)
    assert no.rows[0][2] == 70.0
    assert not no.asked


def test_what_is_truly_warm_later_is_not_asked_about():
    grown = follow(lines(80, every=5), after=START + timedelta(seconds=300), room_c=20.0)
    assert max(value for _, name, value in grown.rows if name == "nose") > 55
    assert not grown.asked


def test_units_in_the_heading_are_exact_and_one_of_another_sort_is_no_channel():
    found = follow("Time,Nose (°F),Pressure [psi],Motor_case (V)\n"
                   "2026-11-26T20:00:00,70.0,500,3\n".encode())  # fmt: skip
    values = {name: value for _, name, value in found.rows}
    assert values["nose"] == pytest.approx(21.1111, abs=1e-4)
    assert values["pressure_bar"] == pytest.approx(34.4738, abs=1e-4)  # NIST SP 811: 6.894757 kPa
    assert "motor_case" not in values
    assert "Motor_case (V)" in told(found)


@pytest.mark.parametrize(
    ("heading", "named"),
    [("time,humidity", "no column of a channel"), ("nose_c,amps", "no column of the time"),
     ("time,nose_c,nose", "nose stands twice")],
)  # fmt: skip
def test_wrong_columns_are_refused_by_name(heading, named):
    with pytest.raises(Unusable) as refused:
        follow(f"{heading}\n".encode())
    assert named in " ".join(map(str, refused.value.problems))


def test_bad_cells_leave_out_one_reading_each_and_are_counted():
    cells = ["21", "OL", "", "---", "nan", "1e999", "x", "y", "z", "25"]
    rows = "".join(f"2026-11-26T20:0{n}:00,{cell},6\n" for n, cell in enumerate(cells))
    found = follow(f"time,nose_c,amps\n{rows}".encode())
    assert [value for _, name, value in found.rows if name == "nose"] == [21.0, 25.0]
    assert len([row for row in found.rows if row[1] == "amps"]) == 10
    assert "“OL” is no number" in told(found)
    assert "and 1 more" in told(found)


def test_a_file_that_shrank_or_was_replaced_is_named_and_its_later_rows_are_taken():
    first = follow(lines(6))
    shrunk = follow(lines(2), after=first.last_at, rows_before=6, head_before=first.head)
    assert shrunk.rows == ()
    assert "shrank from 6 rows to 2" in told(shrunk)
    other = lines(9, first=30.0)
    replaced = follow(other, after=first.last_at, rows_before=6, head_before=first.head)
    assert "replaced" in told(replaced)
    assert len(replaced.rows) == 6


def test_an_empty_file_and_a_heading_alone_wait():
    assert "empty so far" in told(follow(b""))
    assert follow(b"time,no").half_line
    assert "no reading yet" in told(follow(b"time,nose_c\n"))


def test_what_is_no_text_is_refused():
    with pytest.raises(Unreadable):
        follow(b"PK\x03\x04\x00\x00")
