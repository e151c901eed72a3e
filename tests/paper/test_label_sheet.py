from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.paper.labels import label, labels
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.base.refusals import Unusable
from retrue.paper.label_sheet import Stickers, label_sheet
from retrue.paper.press import pages
from retrue.paper.square import square

LONG = "Donaudampfschifffahrtskabelbaumverlängerungsstück " * 4


def joined(pdf: bytes) -> str:
    """The text without spaces: a code of a flag stands on two lines."""
    return text_of(pdf).replace(" ", "")


@pytest.mark.parametrize(("paper", "count", "sheets"), [("a4", 160, 7), ("us-letter", 49, 3)])
def test_a_hundred_and_sixty_labels_print_each_with_its_code(paper, count, sheets):
    sheet = labels(count)
    printed = label_sheet(sheet, at=AT, paper=paper)
    text = joined(printed)
    assert pages(printed) == sheets
    for row in sheet.rows:
        assert text.count(row.code) == (2 if row.sort == "wire" else 1), row.code


def test_each_half_of_a_wire_names_its_own_end_before_the_other():
    text = text_of(label_sheet(labels(1), at=AT))
    assert "K3:0 other end X12.0" in text
    assert "X12.0 other end K3:0" in text


def test_a_hose_says_from_where_to_where_what_and_place_once():
    text = text_of(label_sheet(labels(2), at=AT))
    assert "K3:1 → X12.1" in text
    assert text.count("what 1 is") == 1
    assert "control cabinet" in text


@pytest.mark.parametrize("sort", ["wire", "bag"])
@pytest.mark.parametrize("stickers", [None, Stickers()])
def test_long_words_cut_no_code_and_stay_on_their_page(sort, stickers):
    sheet = labels(24, sort=sort, what=LONG, from_end=LONG, to_end=LONG, place=LONG)
    printed = label_sheet(sheet, at=AT, stickers=stickers)
    assert pages(printed) == 1
    text = joined(printed)
    assert all(row.code in text for row in sheet.rows)


def test_the_widest_code_stands_whole_on_a_flag():
    text = joined(label_sheet(labels(1, code="WWMM-WWMP"), at=AT))
    assert text.count("WWMM-WWMP") == 2


def test_the_title_block_counts_each_sort():
    text = text_of(label_sheet(labels(12), at=AT))
    assert "wire 3, hose 3, connector 2, bag 2, part 2" in text
    assert "labels: 12" in text
    assert "page 1 / 1" in text


def test_a_bare_number_of_a_step_is_named():
    assert "step 12" in text_of(label_sheet(labels(1, step="12"), at=AT))
    assert "step 12" in text_of(label_sheet(labels(1, step="step 12"), at=AT))


def test_a_long_name_of_lot_and_machine_keeps_the_squares_coarse():
    """ISO/IEC 18004: version 4 has 33 modules, 37 with its zone: 0.3 mm each on a flag."""
    drawn: list[str] = []

    def noted(text: str) -> str:
        drawn.append(text)
        return square(text)

    sheet = replace(labels(1), lot="A lot of the closing school", machine="machine " * 9)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("retrue.paper.label_sheet.square", noted)
        label_sheet(sheet, at=AT)
    (held,) = drawn
    assert held.endswith(sheet.rows[0].code)
    assert int(re.search(r' width="(\d+)"', square(held))[1]) <= 37


def test_stickers_begin_behind_those_that_are_gone_and_name_the_machine():
    assert pages(label_sheet(labels(24), at=AT, stickers=Stickers())) == 1
    printed = label_sheet(labels(24), at=AT, stickers=Stickers(taken=1))
    assert pages(printed) == 2
    assert "bed-type vertical machining centre" in text_of(printed)


@pytest.mark.parametrize(
    "stickers",
    [Stickers(columns=5), Stickers(rows=20), Stickers(across_mm=90.0), Stickers(down_mm=40.0)],
)
def test_a_sticker_too_small_or_beside_the_paper_is_refused(stickers):
    with pytest.raises(Unusable, match="does not do") as refused:
        label_sheet(labels(3), at=AT, stickers=stickers)
    assert "at least 52 x 20 mm" in refused.value.remedy


def test_wrong_and_doubled_codes_are_named_all_at_once():
    rows = (label(1), label(1, sort="bag"), label(2, code="0000-0000"))
    with pytest.raises(Unusable) as refused:
        label_sheet(replace(labels(0), rows=rows), at=AT)
    assert [one.where for one in refused.value.problems] == ["rows[2].code", "rows[3].code"]


def test_nothing_to_label_is_refused():
    with pytest.raises(Unusable) as refused:
        label_sheet(labels(0), at=AT)
    assert "nothing to label" in str(refused.value.problems[0])


def test_the_same_labels_have_the_same_bytes_and_an_address_changes_the_squares():
    sheet = labels(9)
    first, second = (label_sheet(sheet, at=AT) for _ in range(2))
    assert first == second
    assert label_sheet(replace(sheet, address="http://shop.local/t/"), at=AT) != first
