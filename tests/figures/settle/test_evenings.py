"""The picture of a week's evenings: on the scale of its clock, all of it in the table."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from tests.figures.drawings import cut_off, touching

from retrue.base.refusals import Unusable
from retrue.cases.settle.evening_drawing import EveningBar, EveningDay, EveningDrawing
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE

MONDAY = date(2026, 11, 23)
TOLD = EveningBar(begins=19.0 + 2 / 3, ends=22.0 + 1 / 6, sort="told", words="lathe")
OPEN = EveningBar(begins=22.5, ends=23.75, sort="guess", words="")


def week(*bars: EveningBar, hours: float = 2.5) -> EveningDrawing:
    days = [EveningDay(on=MONDAY + timedelta(days=n), bars=(), hours=0.0) for n in range(7)]
    days[2] = EveningDay(on=days[2].on, bars=bars, hours=hours, open_hours=1.25)
    return EveningDrawing(days=tuple(days))


def stretches(drawn: str) -> list[tuple[float, float]]:
    found = re.findall(r'<rect x="([\d.]+)"[^>]*?width="([\d.]+)" height="13"', drawn)
    return [(float(x), float(wide)) for x, wide in found]


def test_the_numbers_stand_in_a_table():
    told = dict(rows(week(TOLD, OPEN)))
    assert told["2026-11-25"] == "2.5 h, 19:40–22:10; 1.25 h guessed, not answered"
    assert told["2026-11-23"] == "0 h"
    assert len(told) == 7


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_stretches_lie_on_the_clock_in_proportion(room):
    drawn = picture(week(TOLD, OPEN), theme=PAGE, room=room)
    (x, wide), (further, short) = stretches(drawn)
    an_hour = wide / 2.5
    assert short == pytest.approx(1.25 * an_hour, rel=0.01)
    assert further - x == pytest.approx((22.5 - 19 - 2 / 3) * an_hour, rel=0.01)
    assert cut_off(drawn) == []
    assert touching(drawn) == []


@pytest.mark.parametrize("room", ["phone", "wide", "paper"])
def test_a_night_and_a_day_fit_as_well(room):
    night = EveningBar(begins=5.0, ends=30.0, sort="told", words="")
    drawn = picture(week(night, hours=25.0), theme=PAGE, room=room)
    assert cut_off(drawn) == []
    assert touching(drawn) == []


def test_a_week_without_days_is_refused():
    with pytest.raises(Unusable):
        picture(EveningDrawing(days=()), theme=PAGE, room="phone")
