from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT, CAUTION, look, pack

from retrue.paper.press import Paper, pages
from retrue.paper.visit_pack import PAGES, VisitPack, visit_code, visit_pack


@cache
def printed(count: int, paper: Paper = "a4") -> bytes:
    """So many looks, printed once; who reads it changes nothing."""
    return visit_pack(pack(count), at=AT, paper=paper)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("count", [0, 1, 12, 40, 160])
def test_it_is_at_most_two_pages(paper, count):
    assert pages(printed(count, paper)) <= PAGES


def test_long_texts_still_keep_to_two_pages():
    looks = tuple(
        look(
            index,
            text="a long sentence about one look " * 20,
            cautions=("a long caution " * 40 + str(index),),
            place="a long place " * 20,
            machine="a long machine " * 20,
            tools=("a long tool " * 8 + str(index),),
        )
        for index in range(24)  # twice as many as there is room for
    )
    assert pages(visit_pack(pack(24, looks=looks, lot="long " * 80), at=AT)) <= PAGES


def test_twenty_looks_fit_without_leaving_one_out():
    text = text_of(visit_pack(pack(20), at=AT))
    assert "left out" not in text
    for index in range(20):
        assert f"Look number {index} at" in text


def test_the_looks_worth_least_go_first_and_are_counted():
    sheet = pack(160)
    text = text_of(printed(160, "a4"))
    assert "more looks are left out here; they decide least." in text
    kept = [one.worth for index, one in enumerate(sheet.looks) if f"Look number {index} at" in text]
    gone = [
        one.worth for index, one in enumerate(sheet.looks) if f"Look number {index} at" not in text
    ]
    assert min(kept) >= max(gone)


def test_a_caution_stands_before_the_look_that_needs_it_with_who_may_do_it():
    one = look(1, cautions=("Prove dead first.",), who="electrician")
    text = text_of(visit_pack(pack(1, looks=(one,)), at=AT))
    assert text.index(CAUTION[:40]) < text.index("Prove dead first.") < text.index("Look number 1")
    assert "only a licensed electrician" in text


def test_a_caution_stands_in_full_once():
    looks = (look(0, cautions=("Once only.",)), look(1, cautions=("Once only.",)))
    assert text_of(visit_pack(pack(2, looks=looks), at=AT)).count("Once only.") == 1


def test_tools_stand_once_at_the_top():
    text = text_of(visit_pack(pack(8), at=AT))
    assert text.count("torch") == 1
    assert text.index("torch") < text.index("Look number 0")


def test_every_sort_of_answer_has_its_boxes():
    text = text_of(visit_pack(pack(3), at=AT))
    for word in ("not seen", "slight", "severe", "seen", "can't tell", "mm"):
        assert word in text


def test_the_code_is_printed_and_the_same_looks_give_the_same_code():
    sheet = pack(9)
    assert visit_code(sheet) in text_of(visit_pack(sheet, at=AT))
    assert visit_code(sheet) == visit_code(replace(sheet, by="somebody else", seed=8))
    assert visit_code(sheet) != visit_code(replace(sheet, looks=sheet.looks[:-1]))


def test_a_blank_sheet_prints():
    blank = VisitPack(set_name="visit", lot="", looks=(), caution="")
    assert pages(visit_pack(blank, at=AT)) == 1


def test_the_same_pack_has_the_same_bytes():
    assert visit_pack(pack(30), at=AT) == visit_pack(pack(30), at=AT)


def test_a_list_kept_under_its_own_code_prints_that_code_and_its_numbers():
    looks = (look(0, number=7), look(1, number=3))
    sheet = pack(2, looks=looks, code="ACDEFHJK")
    assert visit_code(sheet) == "ACDE-FHJK"
    text = text_of(visit_pack(sheet, at=AT))
    assert "ACDE-FHJK" in text
    assert text.index("7 Look number 0") < text.index("3 Look number 1")


def test_another_address_gives_another_pattern():
    plain, other = pack(1), pack(1, address="http://192.0.2.1:8000/v/ACDEFHJK")
    assert visit_pack(plain, at=AT) != visit_pack(other, at=AT)
