"""A logger's file: moments or hours, gaps, midnight, and what cannot be read."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.cases.move.drawings import DampDrawing
from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
HEAD = "time,air_c,humidity_percent,surface_c\n"


def told(*rows: str, head: str = HEAD) -> Reckoning:
    content = (head + "\n".join(rows) + "\n").encode()
    return answered(method("layup"), {"log": content}, CAUTIONS)


def value(made: Reckoning, key: str) -> float:
    found = next(one.value for one in made.figures if one.key == key)
    assert found is not None
    return found


def test_moments_and_hours_say_the_same():
    """WMO-No. 8, Magnus form: 20 degrees and 50 % have their dew point at 9.26."""
    by_hours = told("0,20,50,20", "6,20,50,12", "12,20,50,20")
    by_moment = told("2026-11-25T20:00,20,50,20", "2026-11-26T02:00,20,50,12",
                     "2026-11-26T08:00,20,50,20")  # fmt: skip
    for key in ("hours_logged", "hours_near", "hours_sweating", "worst_kelvin", "worst_hours"):
        assert value(by_hours, key) == value(by_moment, key)
    assert value(by_moment, "hours_logged") == 12
    assert value(by_moment, "worst_kelvin") == pytest.approx(12 - 9.255, abs=0.001)
    assert value(by_moment, "worst_hours") == 6
    assert value(by_moment, "hours_near") == 6  # the reading stands for three hours each way
    assert by_moment.answer == "no_go"  # under 3 K, as for one reading
    assert any("less than 3 K" in one.reason for one in by_moment.against)


def test_days_begin_at_midnight():
    rows = [f"2026-11-25T{hour:02d}:30,20,50,20" for hour in range(20, 24)]
    rows += [f"2026-11-26T{hour:02d}:30,20,50,20" for hour in range(3)]
    days = told(*rows).listings[0].rows
    assert [row[0] for row in days] == [1.0, 2.0]
    assert [row[2] for row in days] == pytest.approx([3.5, 2.5])


def test_iron_that_sweats_is_a_no_go_and_told_in_hours():
    made = told("0,20,50,20", "1,20,50,9", "2,20,50,20")
    assert made.answer == "no_go"
    assert value(made, "hours_sweating") == pytest.approx(1)
    dry = told("0,20,50,20", "1,20,50,20", "2,20,50,20")
    assert not any("Under 3 K" in note for note in dry.notes)


def test_iron_that_was_not_logged_is_assumed_to_follow_slowly():
    bare = "time,air_c,humidity_percent\n"
    made = told("0,5,50", "1,15,80", "2,15,80", head=bare)
    assert any("six hours" in line for line in made.assumed)
    assert value(made, "worst_kelvin") < 0  # cold iron in air that turned warm and damp


def test_a_gap_is_told_and_not_counted():
    rows = [f"{hour},20,50,20" for hour in (*range(10), *range(40, 50))]
    made = told(*rows)
    assert value(made, "hours_logged") < 25
    assert any("Gaps in the log: 1" in note for note in made.notes)


def test_a_long_log_is_thinned_for_its_picture_only():
    made = told(*(f"{place / 60:.4f},20,50,20" for place in range(6000)))
    assert isinstance(made.drawing, DampDrawing)
    assert 1000 <= len(made.drawing.hours) <= 2000
    assert value(made, "hours_logged") == pytest.approx(5999 / 60, abs=0.01)


@pytest.mark.parametrize(
    ("rows", "named"),
    [
        (("0,20,50,20", "1,20,50,20"), "2 lines"),
        (("0,20,50,20", "1,x,50,20", "2,20,50,20"), "row 3, column air_c"),
        (("0,20,50,20", "soon,20,50,20", "2,20,50,20"), "row 3, time"),
        (("0,20,150,20", "1,20,50,20", "2,20,50,20"), "humidity"),
        (("2,20,50,20", "1,20,50,20", "3,20,50,20"), "time"),
        (("2026-11-25T20:00,20,50,20", "2026-11-25T21:00+01:00,20,50,20",
          "2026-11-25T22:00,20,50,20"), "offset"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_and_named(rows: tuple[str, ...], named: str) -> None:
    with pytest.raises(Unusable) as refusal:
        told(*rows)
    said = " ".join([refusal.value.reason, refusal.value.remedy,
                     *(str(one) for one in refusal.value.problems)])  # fmt: skip
    assert named in said
    assert refusal.value.problems


def test_a_missing_column_is_named():
    with pytest.raises(Unusable) as refusal:
        told("0,20", "1,20", "2,20", head="time,air_c\n")
    assert any("humidity_percent" in str(one) for one in refusal.value.problems)
