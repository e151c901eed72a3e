"""Pictures of sound and vibration."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from tests.figures.sounds import AFTER, BEFORE, bands, spectrum

from retrue.base.formatter import THIN
from retrue.base.refusals import Unknown, Unusable
from retrue.cases.prove.sense_drawing import (
    BandLevels,
    BandsDrawing,
    BeforeAfter,
    ExpectedLine,
    SpectrumDrawing,
)
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.prove.bands import table

ROOMS = ("phone", "wide", "paper")


def drawn(drawing, room="wide", theme=PAPER) -> str:
    return picture(drawing, theme=theme, room=room)


@cache
def once(make, room="wide") -> str:
    """The usual drawing of its sort for paper, drawn once for all who only read it."""
    return drawn(make(), room)


def label(svg: str) -> str:
    return ET.fromstring(svg).attrib["aria-label"].replace(THIN, " ")


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("make", [bands, spectrum])
def test_each_drawing_is_drawn_the_same_twice_in_black_for_paper(make, room):
    first = once(make, room)
    assert drawn(make(), room) == first
    assert "var(" not in first
    page = drawn(make(), room, PAGE)
    assert "style=" not in page
    assert not re.search(r"#0[1-8]0[1-8]0[1-8]|#000000", page)  # the dark page has no black words


@pytest.mark.parametrize(
    "empty",
    [
        BandsDrawing(nominal_hz=(), series=()),
        BandsDrawing(nominal_hz=(125.0,), series=(BandLevels(name="", level_db=(None,)),)),
        SpectrumDrawing(frequency_hz=(), amplitude=()),
    ],
)
def test_a_picture_without_numbers_refuses(empty):
    with pytest.raises(Unusable, match="nothing to draw"):
        drawn(empty)


def test_nothing_is_no_picture_and_a_stranger_is_refused():
    assert drawn(None) == ""
    assert rows(None) == ()
    for asked in (lambda: drawn("bands"), lambda: rows("bands")):
        with pytest.raises(Unknown, match="no picture of str"):
            asked()


def test_bands_are_told_before_after_and_by_how_much():
    told = {name.replace(THIN, " "): value.replace(THIN, " ") for name, value in rows(bands())}
    assert told["all bands together, A-weighted"] == "before 93.0 dB(A), after 83.1 dB(A), −9.9 dB"
    assert told["800 Hz"] == "before 88.0 dB, after 78.0 dB, −10.0 dB"
    heads, lines = table(bands())
    assert heads == ("band, Hz", "before, dB", "after, dB", "difference, dB")
    assert lines[15] == ("800", "88.0", "78.0", "−10.0")
    assert label(once(bands)) == "Most changed at 800 Hz: −10.0 dB."


def test_one_recording_has_no_difference_and_an_empty_band_is_none():
    series = (BandLevels(name="idle", level_db=(None, 71.26)),)
    one = BandsDrawing(nominal_hz=(500.0, 1000.0), series=series, weighting="A", thirds=False)
    assert table(one) == (("band, Hz", "idle, dB(A)"), (("500", "–"), ("1\u202f000", "71.3")))
    assert rows(one)[0] == ("500\u202fHz", "idle none")
    svg = drawn(one)
    assert "octave band, Hz" in svg
    assert label(svg) == "Loudest band 1 000 Hz, 71.3 dB(A)."


def test_the_outlines_of_bands_stand_at_their_levels():
    """Heights read off both outlines lie on one scale of decibels."""
    heights = []
    for shape in re.findall(r'<path d="([^"]+)"', once(bands)):
        points = re.findall(r"[ML] ([\d.]+) ([\d.]+)", shape)
        if len(points) == 2 * len(BEFORE) + 2:
            heights.append([float(y) for _, y in points[1:-1:2]])
    before, after = heights[:2]
    slope, start = np.polyfit(BEFORE, before, 1)
    assert slope < 0
    assert np.allclose(np.polyval([slope, start], BEFORE), before, atol=0.02)
    assert np.allclose(np.polyval([slope, start], AFTER), after, atol=0.02)


def test_what_heard_no_known_level_is_indicative():
    assert "level, dB, indicative" in once(bands)
    assert "indicative" not in drawn(bands(calibrated=True))


def test_expected_lines_are_named_and_those_found_ringed():
    svg = once(spectrum)
    for part in ("outer race", "inner race", "rolling element", "cage", "shaft", "108.3"):
        assert part in svg, part
    told = dict(rows(spectrum()))
    assert told["highest line"].replace(THIN, " ") == "0.424 m/s² at 107.1 Hz"
    assert told["inner race"].replace(THIN, " ") == (
        "expected 141.7 Hz, with slip from 137.4 Hz to 141.7 Hz, not found, 1.2 dB over its "
        "neighbourhood"
    )
    assert told["outer race, 2 times"].endswith("not found")
    assert label(svg) == "envelope spectrum, spindle nose: outer race."


def test_on_a_phone_what_the_conclusion_rests_on_keeps_its_name():
    lines = spectrum().lines
    last = replace(lines[0], name="worn belt", expected_hz=12.5, score_db=None)
    svg = drawn(spectrum(lines=(*lines, last), named=("worn belt",)), "phone")
    assert "worn belt" in svg
    assert "inner race" not in svg


@pytest.mark.parametrize("points", [1, 2000, 60_000])
def test_a_long_spectrum_is_thinned_and_keeps_its_highest_line(points):
    made = spectrum(points)
    svg = drawn(made, "phone")
    assert len(svg) < 150_000
    if points == 60_000:
        tall, less = (
            min(float(y) for y in re.findall(r"L [\d.]+ ([\d.]+)", drawn(one, "phone")))
            for one in (replace(made, lines=()), replace(spectrum(900), lines=()))
        )
        assert tall <= less + 0.5


@pytest.mark.parametrize(
    "odd",
    [
        SpectrumDrawing(frequency_hz=(0.0, 1.0, 2.0), amplitude=(0.0, 0.0, 0.0)),
        SpectrumDrawing(
            frequency_hz=(5.0,), amplitude=(1.0,), named=("near",),
            lines=(ExpectedLine(name="near", expected_hz=5.0),
                   ExpectedLine(name="far", expected_hz=900.0, found_hz=899.0)),
        ),
        SpectrumDrawing(
            frequency_hz=(0.0, 100.0), amplitude=(1.0, 2.0),
            lines=tuple(ExpectedLine(name=f"a rather long name {n}", expected_hz=50 + n / 10)
                        for n in range(12)),
        ),
        BandsDrawing(nominal_hz=(1000.0,), series=(BandLevels(name="<x>", level_db=(-20.0,)),)),
        BandsDrawing(
            nominal_hz=(1000.0, 2000.0),
            series=tuple(BandLevels(name=f"s{n}", level_db=(50.0, None)) for n in range(3)),
        ),
    ],
)  # fmt: skip
def test_odd_numbers_are_drawn_all_the_same(odd):
    for room in ROOMS:
        ET.fromstring(drawn(odd, room, PAGE))
    assert rows(odd)


def test_a_drawing_whose_numbers_do_not_pair_is_refused():
    with pytest.raises(Unusable, match="1 levels stand beside 2 bands"):
        BandsDrawing(nominal_hz=(1.0, 2.0), series=(BandLevels(name="x", level_db=(1.0,)),))
    with pytest.raises(Unusable, match="2 frequencies stand beside 1 amplitudes"):
        SpectrumDrawing(frequency_hz=(1.0, 2.0), amplitude=(1.0,))


@pytest.mark.parametrize(
    ("before", "after", "offs", "better", "told"),
    [
        (93.0, 83.0, (2.0, 1.5), "less", "better"),
        (83.0, 93.0, (2.0, 1.5), "less", "worse"),
        (180.0, 620.0, (18.0, 62.0), "more", "better"),
        (620.0, 180.0, (18.0, 62.0), "more", "worse"),
        (80.0, 77.5, (2.0, 1.5), "less", "cannot_tell"),  # exactly its doubt
        (80.0, 70.0, (None, 1.5), "less", "cannot_tell"),
        (None, 70.0, (2.0, 1.5), "less", "unknown"),
    ],
)
def test_a_change_is_judged_by_its_own_doubt(before, after, offs, better, told):
    """Doubts of independent readings add by their squares (JCGM 100:2008, 5.1.2)."""
    made = BeforeAfter(name="", unit="", before=before, after=after, better=better,
                       before_give_or_take=offs[0], after_give_or_take=offs[1])  # fmt: skip
    assert made.told == told
    if before is not None and offs == (2.0, 1.5):
        assert made.give_or_take == pytest.approx(2.5)
        assert made.difference == pytest.approx(after - before)
