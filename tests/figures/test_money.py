from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, numbers, numbers_drawn, touching

from retrue.base.formatter import money
from retrue.base.refusals import Unusable
from retrue.figures.ink import PAPER
from retrue.figures.money import money_picture, money_rows

NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Co")), max_size=50)
BUCKETS = st.dictionaries(
    NAMES,
    st.one_of(st.floats(-1e7, 1e7), st.just(0.0), st.floats(0, 1e12)),
    min_size=1,
    max_size=12,
)


@settings(max_examples=40, deadline=None)
@given(BUCKETS, st.booleans())
def test_no_words_touch_and_none_are_cut(buckets, narrow):
    drawn = money_picture(buckets, "EUR", narrow=narrow)
    assert touching(drawn) == []
    assert cut_off(drawn) == []


def test_every_number_of_the_picture_stands_in_the_table():
    buckets = {"price": 7134.0, "parts": 3100.4, "own hours": 2480.0, "sold": -1800.0}
    table = numbers([text for row in money_rows(buckets, "EUR") for text in row])
    for narrow in (True, False):
        assert numbers_drawn(money_picture(buckets, "EUR", narrow=narrow)) == table


def test_the_last_row_is_the_sum():
    assert money_rows({"a": 1.25, "b": -0.25}, "EUR")[-1][1] == money(1, "EUR")


def test_nothing_to_draw_is_refused():
    with pytest.raises(Unusable):
        money_picture({}, "EUR")


def test_paper_has_literal_colours_only():
    assert "var(" not in money_picture({"a": 1.0}, "EUR", theme=PAPER)
