from __future__ import annotations

import pytest
from tests.paper.proofs import CAUTION, blank, deed, runs
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.cases.prove.deed import Cell
from retrue.paper.blank_sheet import blank_code, blank_sheet
from retrue.paper.codes import read_code
from retrue.paper.press import pages
from retrue.paper.square import square


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("count", [1, 4, 16, 17, 50])
def test_up_to_fifty_readings_stand_on_one_page(paper, count):
    assert pages(blank_sheet(blank(count), at=AT, paper=paper)) == 1


@pytest.mark.parametrize("count", [50, 160])
def test_every_number_has_its_box_even_where_it_takes_more_pages(count):
    text = text_of(blank_sheet(blank(count), at=AT))
    for number, cell in enumerate(runs(count), 1):
        assert f" {number} {cell.row['target_mm']} mm" in text
    assert "+ \u2212 µm" in text


def test_few_numbers_have_their_whole_sentence():
    text = text_of(blank_sheet(blank(4), at=AT))
    assert "Run 1, forward, at 300 mm: read the deviation" in text


def test_the_caution_stands_before_the_steps_and_the_steps_before_the_boxes():
    text = text_of(blank_sheet(blank(), at=AT))
    order = [text.index(part) for part in (CAUTION[:30], "In this order", "Numbers", "Run 1")]
    assert order == sorted(order)


def test_the_code_can_be_typed_and_stands_in_the_square_pattern_too():
    sheet = blank()
    code = blank_code(sheet)
    assert read_code(code) == code
    assert code in text_of(blank_sheet(sheet, at=AT))
    assert square(f"school-x {code}") != square("school-x")


def test_a_set_that_is_kept_prints_its_own_code():
    assert blank_code(blank(code="ABCDEFGH")) == "ABCD-EFGH"
    assert "ABCD-EFGH" in text_of(blank_sheet(blank(code="ABCDEFGH"), at=AT))


def test_other_options_give_another_code():
    other = blank(options={"axis": "Y", "travel_mm": 400.0})
    assert blank_code(blank()) != blank_code(other)


def test_options_stand_on_the_sheet_and_what_is_not_said_is_a_blank():
    text = text_of(blank_sheet(blank(), at=AT))
    assert "travel 400 mm" in text
    assert "rotary axis" not in text
    assert "travel mm" in text_of(blank_sheet(blank(options={"axis": "X"}), at=AT)).replace(
        " x ", " "
    )


def test_a_sheet_without_signs_asks_for_none():
    cells = (Cell(id="a", row={}, column="play_um", prompt="Push, read", unit="µm", signed=False),)
    text = text_of(blank_sheet(blank(cells=cells), at=AT))
    assert "Write the sign" not in text
    assert "Push, read" in text


def test_boxes_of_one_place_with_two_columns_are_told_apart():
    cells = tuple(
        Cell(id=f"{row}{column}", row={"foot": f"F{row}"}, column=column, prompt="", unit="µm/m")
        for row in range(12)
        for column in ("along_um_per_m", "across_um_per_m")
    )
    text = text_of(blank_sheet(blank(cells=cells), at=AT))
    assert "1 F0, along" in text
    assert "2 F0, across" in text


def test_the_same_sheet_has_the_same_bytes():
    assert blank_sheet(blank(), at=AT) == blank_sheet(blank(), at=AT)


def test_long_words_are_cut_and_no_number_is_lost():
    long = deed(title="long " * 60, what="long " * 90, cautions=("long " * 120,) * 4)
    text = text_of(blank_sheet(blank(50, deed=long), at=AT))
    assert " 50 0 mm" in text
