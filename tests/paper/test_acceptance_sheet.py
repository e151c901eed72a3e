from __future__ import annotations

import pytest
from tests.paper.proofs import CAUTION, accepted, row
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.paper.acceptance_sheet import acceptance_sheet
from retrue.paper.press import pages


def printed(**changes) -> str:
    return text_of(acceptance_sheet(accepted(**changes), at=AT, by="owner", version="0.1.0"))


def test_it_counts_each_ruling_and_what_is_provisional_first():
    text = printed()
    assert "1 proved good, 1 not proved, 1 proved bad, 1 without a limit, 1 provisional." in text


def test_the_caution_stands_before_the_first_number():
    text = printed()
    assert text.index(CAUTION[:30]) < text.index("1 proved good")
    assert text.index("Estimate for planning.") < text.index("1 proved good")


def test_every_limit_carries_its_mark():
    text = printed()
    assert text.count("from memory, unverified") == 3
    assert "40.0 µm/m, ISO 230-1 2012, from memory, unverified" in text


def test_a_result_without_a_limit_is_not_called_good():
    text = printed(rows=(row("backlash", "Backlash", 6.0, when=AT),))
    assert "no limit, not judged" in text
    assert "proved good" not in text


def test_what_is_provisional_or_not_tested_is_listed_and_never_ruled():
    rows = (row("circle", "Circular test", None), row("drift", "Drift", None))
    text = printed(rows=rows)
    assert "Squareness: provisional, machine not level" in text
    assert "Circular test, Drift." in text
    assert "2 not tested" in text
    assert "proved" not in text


def test_a_result_that_is_not_defined_stays_on_the_sheet():
    text = printed(rows=(row("positioning", "Positioning", None, when=AT, why="one run only"),))
    assert "not defined" in text
    assert "one run only" in text
    assert "not tested" not in text.replace("Not tested", "")


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_one_machine_with_thirteen_results_is_one_page(paper):
    rows = tuple(
        row(str(i), f"Test number {i}", 10.0 + i, uncertainty=2.0, limit=20.0,
            ruling="not_proved", why="Nearer to the limit than the reading may be off.",
            mark="from memory, unverified", when=AT, by="owner", instrument="indicator 0.001 mm")
        for i in range(13)
    )  # fmt: skip
    assert pages(acceptance_sheet(accepted(rows=rows), at=AT, paper=paper)) == 1


def test_the_same_machine_has_the_same_bytes():
    first, second = (acceptance_sheet(accepted(), at=AT) for _ in range(2))
    assert first == second
