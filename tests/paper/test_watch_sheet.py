"""The run-in watch on paper."""

from __future__ import annotations

import re

import pytest
from tests.figures.wakes import run_in
from tests.paper.reading import text_of
from tests.paper.sheets import AT
from tests.paper.stages import watch

from retrue.base.refusals import Unusable
from retrue.figures.drawing import picture
from retrue.figures.ink import PAPER
from retrue.paper.press import pages
from retrue.paper.watch_sheet import (
    MOST_ROWS,
    WatchLimit,
    WatchSheet,
    WatchStep,
    rows_of,
    watch_sheet,
)


def printed(**more) -> str:
    return text_of(watch_sheet(watch(**more), at=AT))


def short(**more) -> str:
    return printed(steps=(WatchStep(number=1, words="5 %", minutes=10, expected_rise_k=5,
                                    abort_rise_k=8),), **more)  # fmt: skip


def test_it_says_first_that_no_alarm_sounds_from_paper():
    text = short()
    assert text.index("The alarm does not sound from paper.") < text.index("Stop at once when")
    assert text.index("Stop at once when") < text.index("Step 1")
    assert "Stand where you reach neither chuck nor spindle" in text


def test_the_timer_and_the_silence_that_means_stop_are_told():
    text = short(every_minutes=4, silence_minutes=7)
    assert "Set the kitchen timer to 4 minutes" in text
    assert "7 minutes without a row written" in text


def test_a_rate_a_minute_becomes_a_difference_between_two_rows():
    assert "more than 5 K over the row before" in short()
    assert "more than 6 K over the row before" in short(
        every_minutes=4, silence_minutes=6, rise_k_per_minute=1.5
    )
    assert "over the row before" not in short(rise_k_per_minute=None)


def test_limits_of_the_nose_are_degrees_where_the_room_is_known_and_rises_where_not():
    text = short(room_c=18.5)
    assert "nose up to 5 K over the room: 23.5 °C" in text
    assert "stop over 8 K: 26.5 °C" in text
    bare = short(room_c=None)
    assert "nose up to 5 K over the room; stop over 8 K" in bare
    assert "26.5" not in bare


def test_each_step_has_its_speed_its_limits_and_a_row_for_each_ring():
    text = printed()
    assert "Step 3: 20 % of the highest speed at least 30 minutes; 1 600 rpm" in text
    assert text.count("levelled, sounds clean: next step, name") == 9
    assert text.count("held") >= sum(rows_of(step, 5) for step in watch().steps)


def test_rows_reach_past_the_least_time_so_that_holding_has_room():
    step = WatchStep(number=1, words="", minutes=30)
    assert [rows_of(step, every) for every in (5, 6, 7)] == [9, 8, 8]
    assert "0 " in short()
    assert " 20 " in short().partition("Step 1")[2]


def test_when_to_step_on_is_told_with_its_numbers():
    text = short(level_k=0.4, level_minutes=6)
    assert "changes by less than 0.4 K in 6 minutes and it sounds clean" in text
    assert "Every next step is signed." in text


def test_limits_of_every_step_stand_before_the_start_and_unknown_ones_are_boxes():
    text = short()
    assert "spindle current from 0.9 to 4.5 A over 6.3 A" in text
    assert "pressure of the oil and air bar bar" in text


def test_rules_of_the_stage_stand_beside_those_of_paper():
    text = short()
    for part in ("new growl", "trip at stop", "nobody stands at the main switch any more",
                 "start again two steps lower", "Dead is measured, not waited for"):  # fmt: skip
        assert part in text, part


def test_without_steps_there_are_as_many_rows_as_asked():
    text = printed(steps=(), rows=7, what="")
    assert text.count("stepped down") == 1
    assert text.count("rough") == 7
    assert text.startswith(
        "bed-type vertical machining centre, Ghent school lot, P8-V Run-in watch on paper The"
    )


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"every_minutes": 10}, "the timer rings every 10.0 minutes"),
        ({"every_minutes": 0}, "the timer rings every 0.0 minutes"),
        ({"steps": (WatchStep(number=2, words="", minutes=5),
                    WatchStep(number=2, words="", minutes=5))}, "step 2 is out of order"),
        ({"steps": (WatchStep(number=1, words="", minutes=0),)}, "step 1 takes no time"),
        ({"steps": (), "rows": 0}, "0 rows"),
        ({"steps": (), "rows": MOST_ROWS + 1}, "401 rows"),
    ],
)  # fmt: skip
def test_what_cannot_be_watched_on_paper_is_refused(more, why):
    with pytest.raises(Unusable, match=re.escape(why)):
        watch_sheet(watch(**more), at=AT)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_whole_run_in_is_a_few_tagged_pages_and_the_same_bytes_twice(paper):
    first, second = (watch_sheet(watch(), at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert 3 <= pages(first) <= 6
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", first)
    assert not re.search(r"[=<>≤≥±σΔτ*]", text_of(first))


def test_the_stair_of_the_steps_stands_only_where_there_are_steps():
    stair = picture(run_in(), theme=PAPER, room="paper")
    with_it, without = (watch_sheet(watch(), at=AT, picture=one) for one in (stair, None))
    assert with_it.count(b"/Alt") == without.count(b"/Alt") + 1
    bare = watch(steps=(), rows=3)
    assert watch_sheet(bare, at=AT, picture=stair) == watch_sheet(bare, at=AT)


def test_a_watch_of_nothing_named_prints_its_blanks():
    text = text_of(watch_sheet(WatchSheet(limits=(WatchLimit("nose", "C"),)), at=AT))
    assert "at the main switch, name" in text
    assert "nose °C °C" in text
