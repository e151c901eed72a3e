from __future__ import annotations

from datetime import UTC, datetime

import pytest
from tests.figures.find.advised import advised, step
from tests.paper.reading import text_of

from retrue.figures.find.picture import costs
from retrue.figures.ink import PAPER
from retrue.paper.find_sheet import PAGES, FindSheet, TriedRow, find_sheet
from retrue.paper.press import pages

AT = datetime(2026, 11, 3, 18, 0, tzinfo=UTC)
LOOK = step("C31", "Measure the insulation of the spindle motor", 640.0)
REPAIR = step("F20:local", "Send the drive away", 910.0, sort="send_out", who="anyone", cautions=())


def printed(advice, **more):
    return find_sheet(FindSheet(advice=advice, lot="Ghent school lot", **more), at=AT)


def test_the_caution_and_who_may_stand_before_the_numbers():
    text = text_of(printed(advised(LOOK)))
    order = ["Estimate for planning.", "Prove dead first.", "Measure the insulation", "about"]
    at = [text.index(part) for part in order]
    assert at == sorted(at)
    assert "only who may lock off and prove dead" in text


def test_what_must_be_switched_off_stands_before_everything():
    text = text_of(printed(advised(LOOK, switch_off="Switch it off and lock it.")))
    assert text.index("Switch it off") < text.index("Measure the motor's insulation next.")


def test_no_caution_is_ever_cut():
    long = (
        "Switch it off and lock it. " + "Nothing runs before that is cleared dead. " * 20 + "End."
    )
    text = " ".join(text_of(printed(advised(LOOK, switch_off=long, cautions=(long,) * 5))).split())
    assert text.count("End.") == 6
    assert "…" not in text.partition("What to do next")[0]


def test_a_look_has_boxes_for_what_is_seen_and_a_repair_for_whether_it_helped():
    text = text_of(printed(advised(LOOK)))
    assert "not seen" in text
    assert "can't tell" in text
    assert "it still does it" not in text
    text = text_of(printed(advised(REPAIR)))
    assert "it still does it" in text
    assert "can't tell" not in text


def test_what_cannot_be_done_yet_says_why_and_what_opens_it():
    text = text_of(printed(advised(LOOK)))
    assert "A new drive. Its motor has not passed. Measure it." in text


def test_what_guessing_costs_and_what_nobody_could_better_stand_in_small_letters():
    text = text_of(printed(advised(LOOK)))
    assert "€ 1 100" in text
    assert "Who knew everything beforehand would pay € 520." in text


@pytest.mark.parametrize("count", [0, 3, 200])
def test_it_keeps_to_its_pages_and_counts_what_is_left_out(count):
    tried = tuple(
        TriedRow(f"{n}", f"try {n}", "runs", "went again", "not that", "12 EUR")
        for n in range(count)
    )
    steps = [step(f"C{n}", "a long text " * 30, 600.0 + n, why="because " * 60) for n in range(9)]
    sheet = printed(advised(*steps), tried=tried)
    assert pages(sheet) <= PAGES
    text = text_of(sheet)
    if count:
        assert f"try {count - 1}" in text
    assert ("older ones are left out here." in text) is (count == 200)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_same_sheet_is_the_same_bytes_with_its_picture(paper):
    advice = advised(LOOK, REPAIR)
    drawn = costs(advice, theme=PAPER, room="paper")
    sheet = FindSheet(advice=advice, by="Ann")
    first, second = (find_sheet(sheet, picture=drawn, at=AT, paper=paper) for _ in range(2))
    assert first == second


def test_a_met_goal_prints_no_costs():
    text = text_of(printed(advised(met=True, held=(), suspects=(), headline="It is gone.")))
    assert "on average" not in text
