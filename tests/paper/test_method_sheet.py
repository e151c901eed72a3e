from __future__ import annotations

import pytest
from tests.paper.moves import CAUTION, against, method_of, reckoning
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.cases.reckon.reckoning import Caution
from retrue.figures.ink import PAPER, line, svg
from retrue.paper.method_sheet import SHAPES, method_sheet
from retrue.paper.press import pages

ORDER = ("lift", "forklift", "ramp", "door", "tie", "supply", "air", "layup")


def printed(*made, pictures=None, **more) -> str:
    return text_of(method_sheet(method_of(*made, **more), at=AT, pictures=pictures))


def test_each_caution_and_what_it_defers_to_stand_before_the_numbers_of_its_answer():
    text = printed(*(reckoning(method) for method in ORDER))
    place = 0
    for method in ORDER:
        place = text.index(CAUTION, place)
        assert text.index("goes before it: the rigger's licence", place) < text.index(
            "Plan 2 263 kg", place
        ), method
        place = text.index("Plan 2 263 kg", place)
    assert text.index("Estimate for planning.") < text.index("go")


def test_nothing_before_the_first_caution_has_a_number():
    text = printed(reckoning(), reckoning("ramp"), lot="", insurance="")
    head = text.partition("Estimate for planning")[0] + text.partition("Where it stands")[2]
    assert not any(sign.isdigit() for sign in head.partition(CAUTION)[0])


def test_no_caution_is_cut():
    long = "Stand away from the load. " * 60 + "End."
    text = printed(reckoning(cautions=(Caution(text=long, defers_to=long),)))
    assert text.count("End.") == 2
    assert "…" not in text


def test_go_no_go_and_get_first_are_told_by_word_and_by_three_shapes():
    text = printed(
        reckoning(),
        reckoning("fork", answer="no_go", headline="No-go: too heavy.", against=(against(),)),
        reckoning("tie", answer="get_first", headline="Get this number first: its mass.",
                  missing=(against("its mass is not known"),)),
    )  # fmt: skip
    assert "go 1, no-go 1, get this number first 1" in text
    assert "the truck is rated 3 333 kg Get a larger one." in text
    assert "its mass is not known Get a larger one." in text
    assert text.count("No-go: too heavy.") == 1
    assert "no-go No-go" not in text
    assert len(set(SHAPES.values())) == 3


def test_figures_have_unit_and_source_and_an_unknown_one_says_why():
    text = printed(reckoning())
    assert "pull in one leg 2 263 kg 29 CFR 1910.184" in text
    assert "not known nobody has measured its height" in text
    assert "a larger fork-lift (E26)" in text
    assert "unverified: rolling resistance 0.05 taken" in text
    assert "60 –" in text


def test_a_caution_of_a_step_stands_before_it():
    text = printed(reckoning())
    assert text.index("Do not take the cell out.") < text.index("Save parameters")


def test_what_is_not_yet_asked_or_saved_says_so():
    text = printed(reckoning(), insurance="", data=())
    assert "who pays if it falls" in text
    assert "Copy them before the plug is pulled." in text
    assert "serial line" not in text


def test_there_are_boxes_for_what_is_written_beside_the_machine():
    text = printed()
    for box in ("mass as weighed, kg", "rigger: name, firm, licence", "rigger: signature"):
        assert box in text


def test_a_picture_stands_with_its_answer_and_one_without_answer_is_left_out():
    drawn = svg([line(0, 0, 40, 30, PAPER.ink)], size=(50, 40), label="lift", sort="lift")
    plain = method_sheet(method_of(reckoning()), at=AT)
    held = method_sheet(method_of(reckoning()), at=AT, pictures={"lift": drawn})
    assert held != plain
    assert method_sheet(method_of(reckoning()), at=AT, pictures={"ramp": drawn}) == plain


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_same_sheet_is_the_same_bytes(paper):
    sheet = method_of(*(reckoning(method) for method in ORDER))
    first, second = (method_sheet(sheet, at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) <= 5
