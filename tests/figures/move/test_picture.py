from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, touching, written

from retrue.base.refusals import Unknown
from retrue.cases.move.drawings import (
    DampDrawing,
    FloorDrawing,
    LiftDrawing,
    RampDrawing,
    TipDrawing,
)
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE, PAPER

ROOMS = ("phone", "wide", "paper")
LIFT = LiftDrawing(mass_kg=4200, legs=4, angle_deg=60, leg_kg=2425, span_mm=1800, centre_mm=760,
                   leg_mm=2400, rated_kg=3000)  # fmt: skip
TIP = TipDrawing(half_width_mm=620, height_mm=1150, tip_deg=28.3, slope_deg=5, width_mm=1400)
RAMP = RampDrawing(mass_kg=4200, slope_deg=5, pull_newton=5643, hold_newton=3591)
DAMP = DampDrawing(hours=(0.0, 6.0, 12.0), margin_kelvin=(5.0, 2.4, 4.0), starts="2026-11-20")
FLOOR = FloorDrawing(
    outline=((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0)), pieces=()
)
ALL = (LIFT, TIP, RAMP, DAMP, FLOOR)


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_each_drawing_is_drawn_the_same_twice_in_black_for_paper(drawing, room):
    first, second = (picture(drawing, theme=PAPER, room=room) for _ in range(2))
    assert first == second
    assert "var(" not in first
    assert 'role="img"' in first
    assert "style=" not in picture(drawing, theme=PAGE, room=room)


@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_each_drawing_has_its_numbers_as_rows(drawing):
    assert all(name and any(sign.isdigit() for sign in value) for name, value in rows(drawing))


def test_nothing_is_no_picture_and_a_stranger_is_refused():
    assert picture(None, theme=PAGE, room="wide") == ""
    assert rows(None) == ()
    with pytest.raises(Unknown, match="no picture of str"):
        picture("lift", theme=PAGE, room="wide")
    with pytest.raises(Unknown):
        rows("lift")


@settings(max_examples=30, deadline=None)
@given(
    st.integers(1, 4), st.floats(30, 90), st.floats(1, 99_999), st.floats(0, 1),
    st.sampled_from(ROOMS),
)  # fmt: skip
def test_words_of_a_lift_never_touch(legs, angle, mass, share, room):
    made = LiftDrawing(mass_kg=mass, legs=legs, angle_deg=angle, leg_kg=mass * 2, span_mm=1800,
                       centre_mm=1800 * share)  # fmt: skip
    drawn = picture(made, theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@settings(max_examples=30, deadline=None)
@given(
    st.floats(50, 3000), st.floats(100, 4000), st.one_of(st.none(), st.floats(0.5, 60)),
    st.sampled_from(ROOMS),
)  # fmt: skip
def test_words_of_a_tip_line_never_touch(half, height, slope, room):
    made = TipDrawing(half_width_mm=half, height_mm=height, slope_deg=slope,
                      tip_deg=math.degrees(math.atan2(half, height)))  # fmt: skip
    drawn = picture(made, theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 35), st.floats(1, 99_999), st.sampled_from(ROOMS))
def test_words_of_a_ramp_never_touch(slope, mass, room):
    made = RampDrawing(mass_kg=mass, slope_deg=slope, pull_newton=mass * 3, hold_newton=mass * 2)
    drawn = picture(made, theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


@pytest.mark.parametrize("angle", [30, 45, 60, 75])
def test_a_leg_is_drawn_at_its_angle(angle):
    made = LiftDrawing(
        mass_kg=4000, legs=2, angle_deg=angle, leg_kg=2000 / math.sin(math.radians(angle))
    )
    drawn = picture(made, theme=PAPER, room="wide")
    legs = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"[^>]*stroke-width="2.4"', drawn)
    assert len(legs) == 2
    for x1, y1, x2, y2 in legs:
        run, rise = abs(float(x2) - float(x1)), float(y2) - float(y1)
        assert math.degrees(math.atan2(rise, run)) == pytest.approx(angle, abs=0.1)


def test_the_slope_of_a_ramp_is_true():
    drawn = picture(RAMP, theme=PAPER, room="wide")
    foot, _, head = (
        [float(v) for v in pair.split()]
        for pair in re.search(r'd="M([^"]*)Z"', drawn)[1].split("L")
    )
    slope = math.degrees(math.atan2(foot[1] - head[1], head[0] - foot[0]))
    assert slope == pytest.approx(5, abs=0.05)


def test_a_lift_tells_its_pull_and_that_a_stiff_load_hangs_on_two_legs():
    told = [one.text for one in written(picture(LIFT, theme=PAPER, room="wide"))]
    assert "2\u202f425\u202fkg" in told
    assert any("4 legs: a stiff load hangs on two of them." in text for text in told)


def test_a_log_says_how_near_it_came_and_how_many_readings_were_under_the_margin():
    assert dict(rows(DAMP))["readings under it"] == "1"
    assert "at its dampest 2.4\u202fK over the dew point" in picture(DAMP, theme=PAPER, room="wide")
    wet = DampDrawing(hours=(0.0, 1.0), margin_kelvin=(1.0, -0.5))
    assert "at or under the dew point" in picture(wet, theme=PAPER, room="wide")
    dry = DampDrawing(hours=(0.0, 1.0), margin_kelvin=(9.0, 8.0))
    assert "never nearer than 8.0" in picture(dry, theme=PAPER, room="wide")


def test_a_long_log_counts_days_and_draws_no_more_points_than_one_sees():
    hours = tuple(float(h) for h in range(9000))
    made = DampDrawing(hours=hours, margin_kelvin=tuple(5.0 for _ in hours))
    drawn = picture(made, theme=PAPER, room="phone")
    assert "days from the first reading" in drawn
    assert len(drawn) < 60_000


def test_nothing_logged_is_no_picture():
    empty = DampDrawing(hours=(), margin_kelvin=())
    assert picture(empty, theme=PAGE, room="wide") == ""
    assert rows(empty) == ()
