"""Before and after on one sheet."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from tests.paper.reading import text_of
from tests.paper.sensed import light, sheet, sound, vibration
from tests.paper.sheets import AT

from retrue.base.refusals import Unusable
from retrue.paper.before_after_sheet import before_after_sheet
from retrue.paper.press import pages


@cache  # several tests read the same sheet
def printed(*parts) -> str:
    return text_of(before_after_sheet(sheet(*parts), at=AT))


def test_a_value_stands_with_its_doubt_and_the_difference_with_its_own():
    text = printed(sound())
    for part in ("93.0 dB(A) give or take 2.0", "83.0 dB(A) give or take 1.5",
                 "−10.0 dB give or take 2.5", "better, by more than the doubt"):  # fmt: skip
        assert part in text, part


def test_a_difference_inside_its_doubt_is_none_and_more_light_is_better():
    assert "−0.08 mm/s give or take 0.37 no change that the instrument can see" in printed(
        vibration()
    )
    text = printed(light())
    assert "+440 lux give or take 65 better, by more than the doubt" in text
    assert "– 200 lux – not known: one of them has no number" in text


def test_the_caution_stands_before_the_number():
    text = printed(sound())
    assert text.index("Over 80 dBA: plugs or muffs.") < text.index("93.0 dB(A)")
    assert text.index("Estimate for planning.") < text.index("Over 80 dBA")


def test_how_each_was_measured_stands_beside_it():
    text = printed(sound())
    assert "before 2026-11-22 21:40 Ann meter 7, class 2 idle, covers off 7 500 rpm" in text
    assert "Done in between: damping sheets on the belt covers" in text


def test_a_picture_stands_with_its_numbers():
    text = printed(sound(), vibration())
    assert "800 88.0 78.0 −10.0" in text
    assert "outer race expected 108.3 Hz, with slip from 105.1 Hz to 108.3 Hz, found 107.0" in text


def test_a_picture_without_numbers_refuses():
    bare = replace(sound().pictures[0], rows=())
    with pytest.raises(Unusable, match="a picture of operator's ear has no numbers"):
        before_after_sheet(sheet(sound(pictures=(bare,))), at=AT)


def test_nothing_measured_and_a_part_without_a_number_are_refused():
    with pytest.raises(Unusable, match="nothing was measured"):
        before_after_sheet(replace(sheet(), parts=()), at=AT)
    with pytest.raises(Unusable, match="operator's ear has no number"):
        before_after_sheet(sheet(sound(rows=(), pictures=())), at=AT)


def test_without_a_known_level_it_is_indicative():
    assert "Indicative: no known level" in printed(sound(indicative=True, pictures=()))
    assert "Indicative" not in printed(sound(pictures=()))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_three_sorts_are_two_tagged_pages_and_the_same_bytes_twice(paper):
    first, second = (before_after_sheet(sheet(), at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) == 2
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", first)
