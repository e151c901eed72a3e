"""Sheets of a reader of Dutch: tools, rulings and units in Dutch, whatever was kept in English."""

from __future__ import annotations

from dataclasses import replace

from tests.paper.cards import visit
from tests.paper.reading import text_of
from tests.paper.sheets import AT
from tests.paper.stages import live, stage

from retrue.base.say import later, speaking
from retrue.cases.wake.lines import BandLine
from retrue.cases.wake.written import read_written, written
from retrue.paper.card_sheet import CardSheet, card_sheet
from retrue.paper.stage_sheet import stage_sheet
from retrue.paper.written import unit_words


def test_tools_of_a_job_card_are_dutch():
    lines = replace(visit(), tools=(later("photos"), later("torch"), later("cloth")))
    with speaking("nl"):
        text = text_of(card_sheet([CardSheet(lines=lines)], at=AT, language="nl"))
    assert "foto's, zaklamp, doek" in text.replace("\u2019", "'")


def test_a_reading_inside_its_band_reads_binnen():
    with speaking("nl"):
        text = text_of(stage_sheet(stage(), at=AT, language="nl"))
    assert "(binnen)" in text
    assert "(over)" not in text


def test_live_work_is_signed_with_a_licence_in_dutch():
    with speaking("nl"):
        text = text_of(stage_sheet(live(), at=AT, language="nl"))
    assert "erkenning, nummer" in text


def test_units_that_are_words_are_dutch():
    with speaking("nl"):
        assert (unit_words("K/min"), unit_words("yes"), unit_words("bar")) == (
            "K per minuut", "ja", "bar",
        )  # fmt: skip


def test_a_band_is_kept_in_english_and_read_in_dutch():
    band = BandLine(name="axis_load", words=later("Load of the axis, slow travel"), unit="%",
                    note=later("of rated, slow travel"), points=(later("L1 to L2"),))  # fmt: skip
    with speaking("nl"):
        kept = written([band])
        (back,) = read_written(kept).bands
        shown = f"{back.note}, {back.taken_by}, {back.points[0]}"
    assert "of rated, slow travel" in kept
    assert back == band
    assert shown == "van nominaal, trage slag, bevoegd, L1 naar L2"
