from __future__ import annotations

import re
import zlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.base.refusals import Unusable
from retrue.cases.move.floor import METHOD
from retrue.cases.reckon.method import values_of
from retrue.cases.reckon.reckoning import Caution, Reckoning
from retrue.figures.ink import PAPER
from retrue.figures.move.floor_plan import PAPER_UNIT_MM, to_scale
from retrue.paper.layout_sheet import ROOM, LayoutSheet, layout_sheet
from retrue.paper.press import pages

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "move" / "floor.csv"
CAUTION = Caution(text="Nobody under or beside a load that could tip.", defers_to="the rigger")


def answer(**more: str) -> Reckoning:
    made = METHOD.reckon(values_of(METHOD, {"plan": EXAMPLE.read_bytes(), **more}))
    return replace(made, cautions=(CAUTION,))


def layout(paper: Any = "a3", made: Reckoning | None = None) -> LayoutSheet:
    told = made or answer()
    wide, high = ROOM[paper]
    drawn = to_scale(told.drawing, theme=PAPER, wide_mm=wide, high_mm=high)
    return LayoutSheet(
        machine="mill and lathe", lot="Ghent school lot", answer=told, plan=drawn.svg,
        scale=drawn.scale, wide_mm=drawn.wide_mm, high_mm=drawn.high_mm, by="Ann",
        version="0.1.0",
    )  # fmt: skip


@pytest.mark.parametrize(("paper", "scale"), [("a4", 100), ("a3", 50), ("us-tabloid", 50)])
def test_the_scale_is_stated_as_it_is(paper, scale):
    text = text_of(layout_sheet(layout(paper), at=AT, paper=paper))
    assert f"1:{scale}, lengths in mm" in text


def test_a_drawing_unit_is_printed_a_quarter_of_a_millimetre_wide():
    """The placement of the drawing on its page (ISO 32000-1:2008, 8.4.4, operator cm)."""
    printed = layout_sheet(layout(), at=AT, paper="a3")
    streams = re.finditer(rb"FlateDecode[^>]*>>\s*stream\r?\n(.*?)\nendstream", printed, re.S)
    plain = b" ".join(zlib.decompress(found[1]) for found in streams)
    placed = re.findall(rb"(?<![\d.-])([\d.]+) 0 0 -?([\d.]+) [\d.-]+ [\d.-]+ cm", plain)
    unit_in_points = pytest.approx(PAPER_UNIT_MM / 25.4 * 72, rel=1e-5)
    assert [pair for pair in placed if float(pair[0]) != 1]
    assert all(float(one) == unit_in_points for pair in placed for one in pair if float(one) != 1)


def test_a_plan_too_large_for_the_paper_is_refused_and_never_shrunk():
    with pytest.raises(Unusable, match="1:50 the plan does not fit") as refused:
        layout_sheet(layout("a3"), at=AT, paper="a4")
    assert "larger paper" in refused.value.remedy


def test_the_caution_stands_before_the_drawing_and_the_tables_behind_it():
    text = text_of(layout_sheet(layout(), at=AT, paper="a3"))
    parts = ("Estimate for planning.", CAUTION.text, "It fits: 10 spaces", "needed, mm")
    order = [text.index(part) for part in parts]
    assert order == sorted(order)
    assert "chip conveyor lathe 1 500 1 700 the wall" in text
    assert "needed, mm" in text


def test_what_has_no_room_stands_on_the_sheet_with_what_helps():
    text = text_of(layout_sheet(layout(made=answer(passage_mm="1.5 m")), at=AT, paper="a3"))
    assert "no-go" in text
    assert "before cabinet, open of lathe lacks 100 mm, the wall is in the way." in text
    assert "Move or turn the machine" in text


@pytest.mark.parametrize("paper", sorted(ROOM))
def test_the_same_plan_is_the_same_bytes_on_two_pages(paper):
    sheet = layout(paper)
    first, second = (layout_sheet(sheet, at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) == 2
