"""Stages of first power on paper."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT
from tests.paper.stages import WHEN, live, stage

from retrue.base.formatter import minute
from retrue.paper.press import pages
from retrue.paper.stage_sheet import (
    BandRow,
    CautionRow,
    ClosedRow,
    StageSheet,
    stage_code,
    stage_sheet,
)

MATHEMATICS = re.compile(r"[=<>≤≥±σμΔτλ∑√×*^]")


@cache  # many tests read the same sheet
def printed(sheet: StageSheet, **more) -> str:
    return text_of(stage_sheet(sheet, at=AT, **more))


def in_order(text: str, *parts: str) -> bool:
    places = [text.index(part) for part in parts]
    return places == sorted(places)


def test_cautions_stand_first_then_people_closed_bands_stop_and_signature_last():
    text = printed(stage())
    assert in_order(
        text, "Estimate for planning.", "Who stands at the main switch?", "at the main switch, "
        "name", "Closed before anything is switched on", "Numbers: the band stands before",
        "Stop at once", "Stop here and sign", "signature",
    )  # fmt: skip


def test_what_is_closed_has_its_date_and_reading_and_what_is_open_says_so():
    text = printed(stage())
    assert f"C36 Age of the memory cell read looked at {minute(WHEN)} 3.1 V Ann" in text
    assert f"F97 Door switch bridged put right {minute(WHEN)} Ann" in text
    assert "C121 Stop chain proved dead open" in text


def test_a_band_stands_before_its_box_with_its_stop_limits_and_its_mark():
    text = printed(stage())
    assert "from 22.8 to 25.2 V under 21.6 V, over 26.4 V 24.1 V (in)" in text
    assert "up to 10 K over 15 K top" in text
    assert "Bands: from memory, unverified." in text
    assert text.count("from memory, unverified") == 1
    assert "common practice, no source" in text  # of the one band that differs


def test_a_band_that_cannot_be_told_names_what_is_missing():
    assert "missing: rated current of the control" in printed(stage())
    bare = stage(bands=(BandRow(words="control current", unit="A"),))
    assert "write before the start" in printed(bare)


def test_live_work_prints_why_who_numbers_limits_and_signature_and_no_step():
    text = printed(live())
    assert "connect the meter" not in text
    assert "In this stage" not in text
    for part in ("Wrong volts, lost earth or wrong rotation", "licensed electrician", "B-1187",
                 "L1 to L2", "from 380 to 420 V", "under 360 V, over 440 V", "licence, number",
                 "earth over 0.1 ohm", "To hand back"):  # fmt: skip
        assert part in text, part


def test_dead_work_prints_its_steps_and_no_reason_for_live_work():
    text = printed(stage(why="a reason"))
    assert "1. first thing if it starts: save the data and read them back" in text
    assert "a reason" not in text
    assert "licence, number" not in text


def test_nobody_at_the_switch_keeps_it_closed_and_says_what_can_be_done_alone():
    text = printed(stage(at_switch=""))
    assert "Nobody at the main switch: this stage stays closed." in text
    assert "Alone, instead: tags, photographs, cleaning." in text
    dead = printed(stage(alone_allowed=True))
    assert "This stage may be done alone" in dead
    assert "at the main switch, name" not in dead


@pytest.mark.parametrize("make", [stage, live])
def test_dead_is_measured_and_never_waited_for(make):
    text = printed(make())
    assert "Dead is measured, not waited for: under 50 V DC" in text
    assert not re.search(r"wait \d+|wait the longer", text, re.IGNORECASE)


@pytest.mark.parametrize("make", [stage, live])
def test_no_mathematics_stands_on_it(make):
    assert not MATHEMATICS.search(printed(make()))


def test_the_sheet_of_a_kind_alone_has_blanks_for_all_that_a_machine_would_tell():
    blank = stage(
        machine="", lot="", at_switch="", by_name="", begun=None, by="", address="",
        closed=(ClosedRow(text="Stop chain proved dead"),),
        bands=(BandRow(words="control volts, DC", unit="V", lacks="rated control volts"),),
    )  # fmt: skip
    text = printed(blank)
    assert "Bea" not in text
    assert "missing: rated control volts" in text
    assert stage_code(blank) != stage_code(stage())


def test_what_keeps_it_closed_is_told():
    text = printed(stage(wanting=("P2-V is not signed",)))
    assert "What keeps this stage closed P2-V is not signed".replace(" ", "") in re.sub(
        r"[ •]", "", text
    )


def test_what_stands_in_a_row_already_is_not_told_twice():
    text = printed(stage(wanting=("Stop chain proved dead", "P2-V is not signed")))
    assert text.count("Stop chain proved dead") == 1
    assert "1 of 3 still open" in text
    done = tuple(replace(one, how="look") for one in stage().closed)
    assert "still open" not in printed(stage(closed=done))


def test_no_caution_is_cut_whatever_its_length():
    long = "Stand back and prove it dead. " * 40 + "End."
    text = printed(stage(cautions=(CautionRow(long, "lockout rules"),)))
    assert "End. (goes before it: lockout rules)" in text


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("make", [stage, live])
def test_a_stage_is_one_tagged_page_and_the_same_bytes_twice(make, paper):
    first, second = (stage_sheet(make(), at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) == 1
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", first)
    assert b"/StructTreeRoot" in first


def test_forty_things_to_close_take_more_pages_and_lose_none():
    many = tuple(ClosedRow(id=f"C{n}", text=f"look number {n}") for n in range(40))
    made = stage_sheet(stage(closed=many), at=AT)
    text = text_of(made)
    assert all(f"C{n} look number {n} open" in text for n in range(40))
    assert pages(made) >= 2


def test_the_code_stands_beside_the_square_and_is_the_stage_s_own():
    first, other = stage_code(stage()), stage_code(stage(stage="P4-V"))
    assert first != other
    assert first in printed(stage())
    assert "A1B2-C3D4" in printed(replace(stage(), code="A1B2-C3D4"))
