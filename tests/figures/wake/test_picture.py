"""Pictures of first power."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from tests.figures.drawings import cut_off, touching, written
from tests.figures.wakes import MINUTES, TITLES, amps, ladder, run_in, warm_up

from retrue.base.formatter import THIN
from retrue.base.refusals import Unknown, Unusable
from retrue.cases.wake.drawing import LadderDrawing, RunInDrawing, RunInRung, WarmUpDrawing
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE, PAPER

ROOMS = ("phone", "wide", "paper")
ALL = (warm_up(others=(amps(),), called=((40.0, "stop"),), gaps=((50.0, 60.0),)), ladder(),
       run_in())  # fmt: skip
XLINK = "{http://www.w3.org/1999/xlink}href"


@cache
def on_paper(drawing, room) -> str:
    """Drawn once for all tests that only read it."""
    return picture(drawing, theme=PAPER, room=room)


def plain(texts) -> dict[str, str]:
    return {name: value.replace(THIN, " ") for name, value in texts}


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_each_drawing_is_drawn_the_same_twice_in_black_for_paper(drawing, room):
    first = on_paper(drawing, room)
    assert picture(drawing, theme=PAPER, room=room) == first
    assert "var(" not in first
    page = picture(drawing, theme=PAGE, room=room)
    assert "style=" not in page
    assert not re.search(r"#0[1-8]0[1-8]0[1-8]", page)
    assert ET.fromstring(page).attrib["aria-label"].endswith(".")


@pytest.mark.parametrize(
    "empty",
    [WarmUpDrawing(minutes=(), temperature_c=()), LadderDrawing(rungs=()), RunInDrawing(steps=())],
    ids=lambda one: type(one).__name__,
)
def test_a_picture_without_numbers_refuses(empty):
    with pytest.raises(Unusable):
        picture(empty, theme=PAGE, room="wide")


def test_nothing_is_no_picture_and_a_stranger_is_refused():
    assert picture(None, theme=PAGE, room="wide") == ""
    assert rows(None) == ()
    for asked in (lambda: picture("ladder", theme=PAGE, room="wide"), lambda: rows("ladder")):
        with pytest.raises(Unknown, match="no picture of str"):
            asked()


def test_the_numbers_of_a_warm_up_are_those_of_its_readings():
    told = plain(rows(warm_up(temperature_c=(*[20.0] * 12, 35.24), others=(amps(),))))
    assert told == {
        "readings": "13", "last reading": "35.2 °C at minute 60", "over the room": "+16.7 K",
        "settles at": "38.5 °C give or take 1.4 K", "as good as there at minute": "110",
        "expected up to": "38.9 °C", "stop over": "41.5 °C", "spindle current": "4.20 A",
    }  # fmt: skip


def test_dots_and_limits_of_a_warm_up_stand_at_their_degrees():
    """The scale is read off the dots and must put both limits where they belong."""
    drawing = warm_up(fit_minutes=(), fit_c=(), fit_low_c=(), fit_high_c=(), room_c=None)
    root = ET.fromstring(picture(drawing, theme=PAPER, room="wide"))
    uses = [one.attrib for one in root.iter("{http://www.w3.org/2000/svg}use")]
    names = [one[XLINK] for one in uses]
    dots = [one for one in uses if names.count(one[XLINK]) == len(MINUTES)]
    x, y = ([float(one[axis]) for one in dots] for axis in ("x", "y"))
    slope, start = np.polyfit(drawing.temperature_c, y, 1)
    assert np.allclose(np.polyval([slope, start], drawing.temperature_c), y, atol=0.02)
    assert slope < 0
    assert np.allclose(np.diff(x), np.diff(x)[0], atol=0.02)
    level = {
        float(height)
        for height, across in re.findall(
            r"M [\d.]+ ([\d.]+)\s+L [\d.]+ ([\d.]+)", ET.tostring(root, encoding="unicode")
        )
        if height == across
    }
    for limit in (drawing.abort_c, drawing.expected_high_c, drawing.settles_c):
        assert min(abs(start + slope * limit - at) for at in level) < 0.02, limit


def test_a_warm_up_says_where_it_settles_or_that_it_cannot_tell():
    for change, told in (
        ({}, "settles at 38.5 °C give or take 1.4 K, at minute 110"),
        ({"settles_minutes": None}, "settles at 38.5 °C give or take 1.4 K"),
        ({"settles_c": None}, "where it settles cannot be told yet"),
        ({"settles_c": 44.0}, "it would settle at 44.0 °C give or take 1.4 K: over the stop limit"),
        ({"called": ((40.0, "stop"),)}, "stop at minute 40; settles at 38.5 °C"),
    ):
        drawn = on_paper(warm_up(**change), "wide")
        label = ET.fromstring(drawn).attrib["aria-label"].replace(THIN, " ")
        assert label.startswith(told), label


def test_minutes_without_a_reading_are_named_in_the_drawing():
    drawn = on_paper(ALL[0], "wide")
    assert "no reading" in drawn
    assert plain(rows(ALL[0]))["no reading"] == "from minute 50 to 60"


def test_an_end_far_away_is_told_and_not_drawn():
    """Readings of an hour keep their room though the curve would settle after a day."""
    near, far = (
        picture(warm_up(fit_minutes=(), fit_c=(), fit_low_c=(), fit_high_c=(),
                        settles_minutes=at), theme=PAPER, room="wide")
        for at in (None, 1440.0)
    )  # fmt: skip
    dots = [
        [one.attrib["x"] for one in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}use")]
        for svg in (near, far)
    ]
    assert dots[0] == dots[1]
    assert "at minute 1\u202f440" in far


def test_a_channel_says_its_band_and_where_it_stops():
    bar = amps(name="oil and air", unit="bar", abort_low=2.0, expected_low=2.5, expected_high=None,
               abort_high=None)  # fmt: skip
    case = amps(name="the motor's case", unit="C", expected_low=None)
    drawn = picture(warm_up(others=(bar, case)), theme=PAPER, room="wide")
    assert "oil and air, bar; expected 2.50 or more; stop under 2.00" in drawn
    assert "the motor's case, °C; expected up to 4.50; stop over 6.30" in drawn


def test_a_day_of_readings_is_no_larger_than_one_sees():
    minutes = tuple(n / 60 for n in range(86_400))
    long = warm_up(minutes=minutes, temperature_c=tuple(20.0 + m / 200 for m in minutes))
    assert len(picture(long, theme=PAPER, room="phone")) < 120_000


def test_a_warm_up_whose_readings_have_no_minutes_is_refused():
    with pytest.raises(Unusable, match="13 minutes stand beside 1 values"):
        warm_up(temperature_c=(20.0,))


@pytest.mark.parametrize(
    "odd",
    [
        WarmUpDrawing(minutes=(0.0,), temperature_c=(20.0,)),
        WarmUpDrawing(minutes=(5.0, 5.0), temperature_c=(20.0, 20.0)),
        WarmUpDrawing(minutes=(-3.0, 3.0), temperature_c=(-5.0, 500.0), abort_c=60.0),
        warm_up(settles_minutes=0.0, settles_give_or_take_k=0.0, what="a$b <nose>"),
        warm_up(others=(amps(minutes=(0.0,), values=(0.0,)), amps(minutes=(), values=())) * 3),
        RunInDrawing(steps=(RunInRung(number=1, speed_share=0.0, minutes=1.0),)),
    ],
)
def test_odd_numbers_are_drawn_all_the_same(odd):
    for room in ROOMS:
        ET.fromstring(picture(odd, theme=PAGE, room=room))
    assert rows(odd)


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("signed", [0, 5, 11])
def test_words_of_a_ladder_never_touch_and_all_stages_are_named(room, signed):
    drawn = picture(ladder(signed), theme=PAGE, room=room)
    assert touching(drawn) == []
    assert cut_off(drawn) == []
    told = " ".join(one.text for one in written(drawn))
    assert all(title.split()[0] in told and f"P{n}-V" in told for n, title in enumerate(TITLES))
    assert f"{signed} of 11 stages" in ET.fromstring(drawn).attrib["aria-label"]


def test_a_ladder_says_how_each_stage_stands():
    drawing = ladder(3)
    told = dict(rows(drawing))
    assert told["P0-V Everything dead, proved, and proved good"] == "signed 2026-11-20, Ann"
    assert told["P3-V Control and screen, nothing that moves"] == "begun, not signed"
    assert told[f"P4-V {TITLES[4]}"] == "closed: one thing is open"
    assert told["P9-V Helpers, slow: changer, air, tool clamp"] == "closed: 6 things are open"
    stopped = replace(drawing.rungs[3], state="aborted")
    twice = replace(drawing.rungs[3], state="strip")
    assert rows(LadderDrawing(rungs=(stopped, twice)))[0][1] == "stopped: find the cause first"
    assert rows(LadderDrawing(rungs=(stopped, twice)))[1][1].startswith("stopped twice")


def test_only_what_is_signed_without_a_gap_fills_the_rule():
    """The fill ends at the first stage that is not signed, whatever was signed after it."""
    drawing = ladder(3)
    opened = list(drawing.rungs)
    opened[1] = replace(opened[1], state="open")
    tint = re.compile(rf'height="([\d.]+)" fill="{re.escape(PAPER.blue_tint)}"')
    whole, part = (
        float(tint.search(picture(one, theme=PAPER, room="wide"))[1])
        for one in (drawing, replace(drawing, rungs=tuple(opened)))
    )
    assert part < whole / 2


def test_the_steps_of_a_run_in_are_told_one_by_one_and_in_order():
    told = plain(rows(run_in()))
    assert told["step 4"] == (
        "2 400 rpm, 30 % of the highest, 30 minutes, nose up to 15 K over the room, now"
    )
    drawn = on_paper(run_in(), "wide")
    assert "at least 4.8 hours" in ET.fromstring(drawn).attrib["aria-label"]
    with pytest.raises(Unusable, match="out of order"):
        run_in(steps=tuple(reversed(run_in().steps)))
