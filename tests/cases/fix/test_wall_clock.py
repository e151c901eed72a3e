"""Evenings of a plan stay the hours on the wall, over the change to summer time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

import pytest
from tests.cases.fix.bare import bare, read
from tests.cases.priced import kinds

from retrue.cases.fix.bench_drawing import bench_drawing
from retrue.cases.fix.evenings import all_stints
from retrue.cases.fix.hands import staff
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.planned import Wish, plan_of_all
from retrue.cases.fix.wall_clock import on_the_wall
from retrue.records.fixing import Worker

ME = Worker(name="me", evenings=tuple((day, "19:00", "22:00") for day in ("thu", "sun", "mon")))
SUMMER = "2027-03-28"  # the night before its evening the clocks go forward


def planned(zone: tzinfo) -> PlanView:
    kept, _, _ = read(bare(machines=("mill",)))
    wish = Wish(now=datetime(2027, 3, 25, 12, tzinfo=zone), worlds=20, seconds=0.1)
    return plan_of_all((kept,), kinds(), staff((ME,), (), 9.0), wish)


@pytest.mark.parametrize(
    ("zone", "before", "after"),
    [(ZoneInfo("Europe/Brussels"), "+01:00", "+02:00"), (timezone(timedelta(hours=1)), "", ""),
     (UTC, "", "")],
)  # fmt: skip
def test_hours_of_an_evening_stay_over_the_change_and_an_offset_is_that_of_its_day(
    zone: tzinfo, before: str, after: str
):
    view = planned(zone)
    every = [text for row in view.rows for text in (row.begins, row.ends)]
    assert all(19 <= on_the_wall(one).hour + on_the_wall(one).minute / 60 <= 22 for one in every)
    old = [one for one in every if one < SUMMER]
    new = [one for one in every if one >= SUMMER]
    assert old
    assert new
    assert {one[16:] for one in old} == {before}
    assert {one[16:] for one in new} == {after}
    assert any(row.late_ends[:10] >= SUMMER for row in view.rows)
    assert all(0 < one.hours <= 3.0 for one in all_stints(view.rows, staff((ME,), (), 9.0).hands)
               if one.row.begins != one.row.ends)  # fmt: skip
    drawn = bench_drawing(view)
    assert drawn is not None
    bars = [bar for machine in drawn.machines for row in machine.rows for bar in row.bars]
    assert all(bar.begins >= drawn.start for bar in bars)


def test_a_plan_kept_with_offsets_is_read_by_the_wall():
    assert on_the_wall("2027-07-05T19:30+01:00").isoformat() == "2027-07-05T19:30:00"
