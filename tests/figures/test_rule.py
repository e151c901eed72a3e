from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from PIL import ImageFont
from tests.figures.drawings import cut_off, numbers, numbers_drawn, touching, written

from retrue.base.refusals import Unusable
from retrue.cases.sheet import Spread
from retrue.figures.ink import PAGE, PAPER
from retrue.figures.labels import GAP, Label, place
from retrue.figures.letters import width, wrap
from retrue.figures.rule import RuleWords, rule, rule_rows
from retrue.figures.scale import fitted, tidy

VALUES = st.one_of(
    st.floats(-1e12, 1e12),
    st.floats(-30_000, 30_000).map(round),
    st.floats(-1e-5, 1e-5),
    st.just(0.0),
)
UNITS = st.sampled_from(["EUR", "CHF", "µm", "mm/m", ""])


@settings(max_examples=50, deadline=None)
@given(st.lists(VALUES, min_size=3, max_size=3), st.none() | VALUES, UNITS, st.booleans())
def test_a_rule_is_valid_and_no_label_touches_another_or_is_cut(values, act_on, unit, narrow):
    spread = Spread(**dict(zip(("low", "even", "high"), sorted(values), strict=True)))
    drawn = rule(spread, act_on, unit, narrow=narrow)
    assert touching(drawn) == []
    assert cut_off(drawn) == []
    rows = rule_rows(spread, act_on, unit)
    assert numbers_drawn(drawn) <= numbers([text for row in rows for text in row])
    assert ET.fromstring(drawn).attrib["role"] == "img"


def test_the_sentence_for_those_who_cannot_see_names_all_four_numbers():
    drawn = rule(Spread(low=6150, even=9800, high=14200), 6150, "EUR")
    label = ET.fromstring(drawn).attrib["aria-label"]
    for _, value in rule_rows(Spread(low=6150, even=9800, high=14200), 6150, "EUR"):
        assert value in label


def test_words_of_a_person_are_escaped():
    labels = RuleWords(act_on='<b onload="x">&', even="a<b", low="\x00\x1b", high="]]>")
    drawn = rule(Spread(low=1, even=2, high=3), 2, "EUR", labels)
    assert "<b " not in drawn
    assert any("<b" in one.text for one in written(drawn))


def test_paper_has_literal_colours_and_pages_have_variables():
    spread = Spread(low=1, even=2, high=3)
    assert "var(" not in rule(spread, 2, "EUR", theme=PAPER)
    assert "var(--brass" in rule(spread, 2, "EUR", theme=PAGE)


def test_the_phone_has_its_own_drawing():
    spread = Spread(low=6150, even=9800, high=14200)
    wide, narrow = rule(spread, 6150, "EUR"), rule(spread, 6150, "EUR", narrow=True)
    assert ET.fromstring(narrow).attrib["viewBox"].split()[2] == "300"
    sizes = {e.attrib["font-size"] for e in ET.fromstring(narrow).iter() if "font-size" in e.attrib}
    assert min(map(float, sizes)) >= 12.5  # not the wide one shrunk to half
    assert wide != narrow


def test_a_band_that_runs_backwards_and_a_value_that_is_no_number_are_refused():
    with pytest.raises(Unusable, match="backwards"):
        rule(Spread(low=2, even=1, high=3), None, "EUR")
    with pytest.raises(Unusable, match="1e15"):
        rule(Spread(low=1, even=2, high=3e15), None, "EUR")
    with pytest.raises(Unusable):
        rule(Spread(low=1, even=2, high=3), math.nan, "EUR")


@settings(max_examples=50, deadline=None)
@given(st.lists(VALUES, min_size=1, max_size=6), st.integers(1, 8))
def test_graduations_are_one_two_or_five_and_hold_every_value(values, intervals):
    scale = tidy(values, intervals)
    exponent = math.floor(math.log10(scale.step) + 1e-9)
    assert round(scale.step / 10.0**exponent) in (1, 2, 5)
    slack = 1e-6 * scale.step
    assert scale.low - slack <= min(values)
    assert max(values) <= scale.high + slack
    assert len(scale.marks) - 1 <= max(intervals, 2)
    assert scale.marks[0] == pytest.approx(scale.low)
    assert scale.marks[-1] == pytest.approx(scale.high)


def test_small_graduations_keep_their_distance():
    for room in (100.0, 276.0, 576.0):
        scale = fitted([0, 14200], room, 12)
        steps = (len(scale.marks) - 1) * scale.cuts
        assert scale.cuts == 1 or room / steps >= 4


@settings(max_examples=50, deadline=None)
@given(
    st.lists(
        st.builds(Label, st.floats(0, 300), st.floats(1, 290), st.integers(0, 5)),
        min_size=1,
        max_size=7,
    )
)
def test_placed_labels_of_one_row_stand_apart_inside_the_drawing(labels):
    spots = place(labels, 0, 300)
    for row in {spot.row for spot in spots}:
        here = sorted(
            (spot.x - label.wide / 2, spot.x + label.wide / 2)
            for label, spot in zip(labels, spots, strict=True)
            if spot.row == row
        )
        assert here[0][0] >= -1e-6
        assert here[-1][1] <= 300 + 1e-6
        for (_, end), (start, _) in pairwise(here):
            assert start - end >= GAP - 1e-6


def test_a_label_alone_stands_at_its_mark():
    assert place([Label(150, 60, 0)], 0, 300)[0].x == 150


def test_widths_agree_with_the_font_itself():
    """The file read by FreeType (through Pillow), an independent reader of OpenType."""
    from importlib.resources import as_file, files

    text = "Do not go above €\u00a06150: ½ of “näher”, — 12.5 µm @ 20 °C; WQ%mæ"
    with as_file(files("retrue") / "web/static/fonts/B612-Regular.otf") as path:
        font = ImageFont.truetype(str(path), 2000, layout_engine=ImageFont.Layout.BASIC)
        true = sum(font.getlength(letter) for letter in text)
    assert width(text, 2000) == pytest.approx(true, rel=0.002)


@example("\x1f no-break \u00a0", 20.0)
@given(st.text(max_size=80), st.floats(20, 300))
def test_wrapping_loses_no_letter_and_keeps_to_the_room(text, room):
    lines = wrap(text, room, 12)
    squeezed = "".join(letter for letter in text if letter not in " \t\r\n")
    kept = "".join("".join(lines).split(" "))
    assert "".join(letter for letter in kept if letter not in " \t\r\n") == squeezed
    assert all(width(line, 12) <= room or len(line) == 1 for line in lines)
