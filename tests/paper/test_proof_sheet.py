from __future__ import annotations

import pytest
from tests.paper.proofs import CAUTION, PICTURE, proof, sheet, verdict
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.base.refusals import Unusable
from retrue.cases.prove.proof import Grid, held_back
from retrue.paper.press import pages
from retrue.paper.proof_sheet import proof_sheet


def printed(one=None, picture=PICTURE, **more) -> str:
    return text_of(proof_sheet(sheet(one, **more), picture=picture, at=AT))


def test_the_order_is_caution_answer_remedy_then_read_numbers_doubts_fine_print():
    text = printed()
    parts = (
        CAUTION[:30],
        "The readings crept",
        "The axis comes within",
        "Not proved. Nearer to the limit",
        "Enter 6 µm as reversal of X.",
        "reversal at 200 mm: 0.0 µm, give or take 0.8",
        "accuracy, both ways 14.0 µm, give or take 2.5",
        "20 µm over the metre",
        "Whether the screw or the coupling",
        "ISO 230-2:2014, 4.1",
        "step gauge 0.001 mm, certificate 118",
    )
    places = [text.index(part) for part in parts]
    assert places == sorted(places)


def test_a_limit_says_where_it_comes_from():
    assert "Limit 15.0 µm, ISO 230-2 2014, from memory, unverified" in printed()


@pytest.mark.parametrize(
    ("ruling", "word"),
    [("proved_good", "Proved good."), ("not_proved", "Not proved."), ("proved_bad", "Proved bad.")],
)
def test_each_ruling_has_its_word_and_a_shape_of_its_own(ruling, word):
    one = proof(verdict=verdict(ruling=ruling, why=""))
    assert word in printed(one)
    others = {
        proof_sheet(sheet(proof(verdict=verdict(ruling=r, why="same"))), picture=None, at=AT)
        for r in ("proved_good", "not_proved", "proved_bad")
    }
    assert len(others) == 3


def test_a_number_that_is_not_defined_says_why():
    assert "repeatability not defined: three runs are too few" in printed()


def test_out_of_order_there_is_no_remedy_no_ruling_and_no_blame():
    text = printed(held_back(proof(), "provisional, machine not level"))
    assert "provisional, machine not level. Nothing is judged" in text
    assert "14.0 µm" in text
    for gone in ("Enter 6 µm", "Not proved", "has worn", "You should then read"):
        assert gone not in text


def test_temperatures_instrument_and_code_stand_in_the_title_block():
    text = printed()
    assert "air 19.5 °C, machine 20.5 °C" in text
    assert "ABCD-EFGH" in text


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_an_ordinary_result_is_one_page(paper):
    assert pages(proof_sheet(sheet(), picture=PICTURE, at=AT, paper=paper)) == 1


def test_a_long_table_is_cut_and_counted():
    rows = tuple((float(index), 1.0) for index in range(3600))
    grid = Grid(title="By angle", columns=("angle, °", "deviation, µm"), rows=rows)
    pdf = proof_sheet(sheet(proof(tables=(grid,))), picture=PICTURE, at=AT)
    assert pages(pdf) <= 2
    assert "more rows, in the readings themselves" in text_of(pdf)


def test_without_a_picture_the_numbers_still_stand():
    assert "14.0 µm" in printed(picture=None)


def test_a_picture_with_the_colours_of_a_page_is_refused():
    with pytest.raises(Unusable):
        printed(picture='<svg fill="var(--ink)"/>')


def test_the_same_result_has_the_same_bytes():
    first, second = (proof_sheet(sheet(), picture=PICTURE, at=AT) for _ in range(2))
    assert first == second
