"""Evenings, days away, months and years: working time to the calendar and back."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from functools import partial

import numpy as np
import pytest
from bench.evenings import worked

from retrue.plan.calendar import (
    CAP_DAYS,
    NEVER,
    axis,
    days_after,
    fitting,
    moment,
    next_start,
    quarter,
)
from retrue.plan.jobs import Hands, Schedule

clock = partial(datetime, tzinfo=timezone(timedelta(hours=1)))
ME = Hands(name="me", evenings=((1, 19.5, 22.0), (4, 18.25, 22.1)),
           away=((date(2027, 2, 26), date(2027, 3, 3)),),
           also=((date(2027, 2, 28), 9.0, 12.0), (date(2027, 3, 4), 9.0, 12.0)))  # fmt: skip
SON = Hands(name="son", evenings=((4, 20.0, 24.0), (1, 19.0, 20.0)))
START = clock(2027, 2, 23, 20, 7)


@pytest.mark.parametrize("people", [(ME,), (SON,), (ME, SON)], ids=len)
def test_working_quarters_are_those_a_plain_look_at_the_week_finds(people):
    shop = Schedule(start=START, tasks=(), hands=people)
    plain = sorted(set.intersection(*(worked(one, shop, 120) for one in people)))
    made = axis(people, START, 120)
    assert made.begins[:-1].tolist() == plain
    assert made.ends[1:-1].tolist() == [at + 1 for at in plain]
    assert made.begins[-1] == made.ends[-1] == NEVER
    for at in (0, plain[0], plain[0] + 1, plain[-1], plain[-1] + 1):
        assert made.up[at] == sum(each < at for each in plain)


def test_an_evening_is_half_open_and_begins_where_the_plan_does():
    made = axis((ME,), START, 20)
    assert moment(START, int(made.begins[0])) == START.replace(minute=15)
    first = int(made.evening_ends[0])
    assert first == 7
    assert moment(START, int(made.ends[first])) == START.replace(hour=22, minute=0)
    assert moment(START, int(made.begins[first])) == clock(2027, 3, 4, 9)


def test_who_is_away_works_no_other_hours_either_and_comes_back_the_day_after():
    on = {moment(START, int(at)).date() for at in axis((ME,), START, 15).begins[:-1]}
    assert on == {date(2027, 2, 23), date(2027, 3, 4), date(2027, 3, 5), date(2027, 3, 9)}


def test_far_dates_do_not_slip():
    late = clock(2038, 1, 18, 12)
    made = axis((Hands(name="me", evenings=((1, 3.0, 4.0),)),), late, 1100)
    assert moment(late, int(made.begins[0])) == clock(2038, 1, 19, 3)
    last = moment(late, int(made.begins[-2]))
    assert (last.year, last.weekday(), last.hour) == (2041, 1, 3)
    assert quarter(late, moment(late, 100_000)) == 100_000
    assert days_after(late, 48) == 0.0


def test_nobody_needed_is_round_the_clock():
    made = axis((), clock(2027, 1, 1), 3)
    assert made.quarters == 3 * 96
    assert made.longest() == 3 * 96


def test_who_never_works_has_no_axis_and_breaks_nothing():
    made = axis((Hands(name="me", evenings=()),), START)
    assert made.quarters == 0
    assert made.longest() == 0
    assert len(made.up) == CAP_DAYS * 96 + 1


def test_an_unbroken_task_jumps_to_an_evening_that_is_long_enough():
    start = clock(2027, 3, 1)
    made = axis((Hands(name="me", evenings=((0, 20, 21), (1, 20, 22), (2, 20, 21))),), start, 56)
    ends = fitting(made, start, unbroken=True, days=())
    assert next_start(ends, 8).tolist()[:37] == [*[4] * 5, *[20] * 16, *[36] * 16]
    assert next_start(ends, 2).tolist()[:5] == [0, 1, 2, 4, 4]
    assert next_start(ends, 9).tolist() == [128] * 129
    assert next_start(ends, 9, runs_over=True).tolist()[:21] == [*[4] * 5, *[20] * 16]
    days = ((date(2027, 3, 2), date(2027, 3, 3)),)
    two = fitting(made, start, unbroken=False, days=days)
    assert np.flatnonzero(next_start(two, 12) == np.arange(129)).tolist() == [4, 128]
    again = fitting(made, start, unbroken=False, days=days, again=True)
    assert next_start(again, 12)[5:9].tolist() == [5, 6, 7, 8]
    assert next_start(two, 99).tolist() == [128] * 129
