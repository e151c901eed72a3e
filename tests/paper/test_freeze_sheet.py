from __future__ import annotations

import hashlib
import subprocess
import sys
from datetime import timedelta
from functools import cache

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT, CAUTION, PICTURE, frozen, price_sheet

from retrue.paper.freeze_sheet import freeze_sheet
from retrue.paper.press import pages

AGAIN = """
import hashlib
from retrue.paper.freeze_sheet import freeze_sheet
from tests.paper.sheets import AT, PICTURE, frozen, price_sheet
pdf = freeze_sheet(frozen(), price_sheet(), picture=PICTURE, by="owner", at=AT)
print(hashlib.sha256(pdf).hexdigest())
"""


def again(**changes: object) -> bytes:
    return freeze_sheet(frozen(**changes), price_sheet(), picture=PICTURE, by="owner", at=AT)


@cache  # several tests read the same sheet
def printed(**changes: object) -> bytes:
    return again(**changes)


def test_the_same_sheet_has_the_same_bytes_in_another_process(pytestconfig):
    here = hashlib.sha256(printed()).hexdigest()
    run = subprocess.run(
        [sys.executable, "-c", AGAIN],
        cwd=pytestconfig.rootpath,
        env={"PYTHONPATH": "src:.", "PYTHONHASHSEED": "7"},  # another order of sets
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    assert run.stdout.strip() == here
    assert again() == printed()


def test_another_minute_gives_other_bytes():
    later = freeze_sheet(
        frozen(), price_sheet(), picture=PICTURE, by="owner", at=AT + timedelta(minutes=1)
    )
    assert later != printed()


def test_three_numbers_three_dangers_and_what_made_them_stand_on_the_sheet():
    text = text_of(printed(reason="a winder offered 600"))
    for expected in (
        "€ 6 150",
        "€ 9 400",
        "about 1 in 5",
        "€ 17 400",
        "Spindle bearings of the machining centre",
        "Drives of the turning centre after six years unpowered",
        "Ways scored under the torn wiper",
        "Title and serial numbers in writing",
        "age of the turning centre: 25 years",
        "a winder offered 600",
        "7, 20 000",
        "retrue 0.1.0",
        "3f9c" * 16,
        "2026-11-25 21:40",
    ):
        assert expected in text


def test_the_caution_stands_before_the_number():
    text = text_of(printed())
    assert text.index(CAUTION[:40]) < text.index("€ 6 150")


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("times", [0, 1, 6, 40])
def test_it_is_always_one_page(paper, times):
    sheet = price_sheet(times, lot="a lot with a very long name " * 30)
    record = frozen(dangers=("a long danger " * 60,) * 5, reason="because " * 90)
    pdf = freeze_sheet(record, sheet, picture=PICTURE, by="somebody " * 4, at=AT, paper=paper)
    assert pages(pdf) == 1


def test_what_was_left_out_is_counted():
    text = text_of(freeze_sheet(frozen(), price_sheet(40), picture=PICTURE, by="owner", at=AT))
    assert "more, on the price sheet" in text


def test_without_a_picture_the_numbers_still_stand():
    pdf = freeze_sheet(frozen(), price_sheet(), picture=None, by="owner", at=AT)
    assert pages(pdf) == 1
    assert "€ 6 150" in text_of(pdf)
