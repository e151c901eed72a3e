"""Clean is what readings prove: each rule by itself, and all together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.strip.acceptance import PointRead, accepted, judge, points_of, reading_line
from retrue.records.stripping import CleanReading
from retrue.science.insulation import at_40_c


def read(when: str = "after", sort: str = "insulation", value=None, **more) -> CleanReading:
    told = {"unit": "MΩ", "air_c": 20.0, "humidity_percent": 50.0, "point": "main", **more}
    return CleanReading(
        lot="l", machine="m", place="cabinet", when=when, sort=sort, reading=value, **told
    )


def ruling(sort: str, after, before=None, running=None, late=None, first=None):
    one = PointRead(
        "cabinet", "main", sort,
        None if before is None else read("before", sort, before, **(first or {})),
        read("after", sort, after, **(late or {})),
        None if running is None else read("after_running", sort, running),
    )  # fmt: skip
    return judge(one)


# IEC 60204-1:2016, 18.3: at least 1 megohm between power conductors and earth (from memory).


@pytest.mark.parametrize(
    ("after", "said"), [(0.99, "proved_bad"), (1.0, "proved_good"), (5.0, "proved_good")]
)
def test_a_power_circuit_reads_one_megohm_to_earth(after, said):
    assert ruling("insulation", after, before=0.05)[0] == said


# IEEE Std 43-2013, clause 12: 5 megohm at 40 degrees C, random-wound under 1 kV (from memory).
# 20 megohm at 20 degrees C is 5 megohm at 40 degrees C where it halves every 10 K.


@pytest.mark.parametrize(
    ("after", "air_c", "said"),
    [
        (19.9, 20.0, "proved_bad"),
        (20.0, 20.0, "proved_good"),
        (4.9, 40.0, "proved_bad"),
        (5.0, 40.0, "proved_good"),
        (0.5, None, "proved_bad"),
        (50.0, None, "not_proved"),
    ],
)
def test_a_motor_reads_five_megohm_at_forty_degrees(after, air_c, said):
    late = {"air_c": air_c}
    assert ruling("winding", after, 0.2, late=late, first=late)[0] == said


# The gain: our own rule, common practice, no source.


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (3.0, 30.0, "proved_good"),  # ten times
        (3.1, 30.0, "not_proved"),
        (90.0, 100.0, "proved_good"),  # enough by itself
        (90.0, 99.9, "not_proved"),
        (50.0, 49.0, "proved_bad"),  # worse than dirty
        (150.0, 100.0, "proved_bad"),  # and however high
        (None, 99.0, "not_proved"),  # nothing to compare with
        (None, 100.0, "proved_good"),
    ],
)
def test_the_gain_is_ten_times_or_a_hundred_megohm(before, after, said):
    found, why = ruling("insulation", after, before)
    assert found == said
    if found == "proved_good":
        assert "our own rule" in why


@pytest.mark.parametrize(
    ("first", "said"),
    [
        ({"air_c": 25.0, "humidity_percent": 60.0}, "proved_good"),
        ({"air_c": 14.9}, "not_proved"),
        ({"air_c": 25.1}, "not_proved"),
        ({"humidity_percent": 39.9}, "not_proved"),
        ({"humidity_percent": 60.1}, "not_proved"),
        ({"air_c": None}, "not_proved"),
        ({"humidity_percent": None}, "not_proved"),
    ],
)
def test_two_days_are_compared_only_where_they_are_alike(first, said):
    assert ruling("insulation", 50.0, 2.0, first=first)[0] == said


def test_less_than_before_on_another_sort_of_day_proves_nothing():
    found, why = ruling("insulation", 100.0, 150.0, first={"air_c": 5.0})
    assert found == "not_proved"
    assert "day alike" in why


@pytest.mark.parametrize("air_c", [21000.0, -300.0, 150.1])
def test_an_absurd_temperature_proves_nothing_and_says_why(air_c):
    found, why = ruling("winding", 20.0, late={"air_c": air_c})
    assert (found, why) == ("not_proved", f"no winding is at {air_c:g} °C")
    with pytest.raises(Unusable) as refused:
        at_40_c(20.0, air_c)
    assert [one.where for one in refused.value.problems] == ["air_c"]


def test_a_reading_without_a_rule_is_told_in_one_unit_or_not_at_all():
    def sludge(value, unit):
        first = read("before", "sludge", 40.0, unit="mm")
        return reading_line(
            PointRead("tank", "", "sludge", first, read("after", "sludge", value, unit=unit)),
            "Tank",
        )

    line = sludge(1.0, "in")  # NIST SP 811, B.8: an inch is 25.4 mm
    assert (line.before, line.after, line.unit) == (40.0, 25.4, "mm")
    line = sludge(3.0, "kg")
    assert (line.before, line.after) == (40.0, None)
    assert "mm, kg" in line.why


def test_units_of_resistance_are_converted_and_none_is_guessed():
    late, first = {"unit": "GΩ"}, {"unit": "kΩ"}
    assert ruling("insulation", 0.05, 4000.0, late=late, first=first)[0] == "proved_good"
    for unit in ("", "V", "ohms per metre"):
        with pytest.raises(Unusable):
            ruling("insulation", 5.0, late={"unit": unit})


@pytest.mark.parametrize(
    ("seen", "said"),
    [("clean", "proved_good"), ("grey", "not_proved"), ("dirty", "proved_bad"), ("", "not_proved")],
)
def test_a_wipe_is_what_the_towel_shows(seen, said):
    for sort in ("wipe", "tape"):
        assert ruling(sort, None, late={"seen": seen, "text": "x"})[0] == said


@pytest.mark.parametrize(
    ("value", "seen", "said"),
    [
        (19.9, "clean", "proved_bad"),
        (20.0, "", "proved_good"),
        (500.0, "dirty", "proved_bad"),
        (500.0, "grey", "not_proved"),
    ],
)
def test_a_tape_strip_is_open_and_clean(value, seen, said):
    assert ruling("tape", value, late={"seen": seen})[0] == said


def test_what_runs_is_read_again_and_the_worse_one_counts():
    good, why = ruling("insulation", 200.0, 2.0)
    assert good == "proved_good"
    assert "again after running" in why
    assert "again" not in ruling("insulation", 200.0, 2.0, running=150.0)[1]
    assert ruling("insulation", 200.0, 2.0, running=0.5)[0] == "proved_bad"
    assert ruling("insulation", 0.5, 2.0, running=200.0)[0] == "proved_bad"
    assert ruling("insulation", 200.0, 2.0, running=15.0)[0] == "not_proved"


def test_what_has_no_rule_gets_no_ruling_and_what_was_not_read_proves_nothing():
    assert ruling("sludge", 12.0)[0] is None
    only = PointRead("cabinet", "main", "insulation", read("before", value=3.0))
    assert judge(only)[0] == "not_proved"


def test_readings_belong_together_by_place_point_and_sort():
    before, after = read("before", value=1.0), read("after", value=200.0, point=" Main ")
    other = read("after", value=3.0, point="X")
    newer = read("before", value=2.0)
    found = points_of([before, after, other, newer])
    assert [(one.point, one.before, one.after) for one in found] == [
        ("main", newer, after), ("X", None, other),
    ]  # fmt: skip
    line = reading_line(found[0], "Electrical cabinet")
    assert (line.point, line.before, line.after, line.unit) == (
        "Electrical cabinet: main", 2.0, 200.0, "MΩ",
    )  # fmt: skip


def lines(*sorts: str, running: float | None = 200.0, after: float = 200.0):
    found = []
    for sort in sorts:
        late = {"seen": "clean", "text": "x"} if sort == "wipe" else {}
        value = None if sort == "wipe" else after
        again = None if running is None else read("after_running", sort, value, **late)
        one = PointRead("cabinet", sort, sort, None, read("after", sort, value, **late), again)
        found.append(reading_line(one, "cabinet"))
    return found


def test_all_is_accepted_only_with_a_circuit_a_motor_and_again_after_running():
    both = ("insulation", "winding")
    good, why = accepted(lines(*both, "wipe", "sludge"))
    assert good is True
    assert "before, nobody read: cabinet: insulation; cabinet: winding" in why
    full = [replace(line, before=1.0) for line in lines(*both)]
    assert accepted(full)[1] == "every point is proved good, before, after, and again after running"
    for sorts in (("insulation",), ("winding",), ("wipe",)):
        assert accepted(lines(*sorts))[0] is None
    good, why = accepted(lines(*both, running=None))
    assert good is None
    assert "after running" in why
    good, why = accepted([*lines(*both), *lines("insulation", after=0.2)])
    assert good is False
    assert "cabinet: insulation" in why
    half = lines(*both) + lines("winding", after=50.0)
    assert accepted(half)[0] is None
    assert accepted([])[0] is None
