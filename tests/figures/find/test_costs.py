from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, numbers, numbers_drawn, touching
from tests.figures.find.advised import advised, step

from retrue.figures.find.costs import beginnings, costs_rows, draw_costs
from retrue.figures.find.picture import costs
from retrue.figures.ink import PAGE, PAPER

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Co")), max_size=160)
AMOUNTS = st.one_of(st.floats(0, 1e7), st.just(0.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(TEXTS, AMOUNTS), min_size=1, max_size=6), st.booleans())
def test_no_words_touch_and_none_are_cut(rows, narrow):
    advice = advised(*(step(f"C{n}", text, cost) for n, (text, cost) in enumerate(rows)))
    drawn = draw_costs(advice, theme=PAGE, room="phone" if narrow else "wide")
    assert touching(drawn) == []
    assert cut_off(drawn) == []


def test_every_number_of_the_picture_stands_in_the_table():
    advice = advised(step("C31", "insulation", 640.0), step("C32", "winding", 655.0))
    table = numbers([text for row in costs_rows(advice) for text in row])
    for room in ("phone", "wide", "paper"):
        assert numbers_drawn(draw_costs(advice, theme=PAPER, room=room)) == table


def test_the_best_and_what_cannot_be_told_from_it_stand_out():
    advice = advised(step("a", "a", 640.0), step("b", "b", 642.0, tie=True), step("c", "c", 900.0))
    assert [row.best for row in beginnings(advice)] == [True, True, False, False, False]


def test_a_longer_length_costs_more():
    advice = advised(step("a", "a", 100.0), hunch=None, guess_cost=400.0)
    drawn = draw_costs(advice, theme=PAPER, room="wide")
    lengths = [float(part.split('"')[0]) for part in drawn.split(' width="')[2:]]
    assert lengths[1] == pytest.approx(4 * lengths[0], rel=0.01)


def test_nothing_to_compare_is_no_picture():
    assert costs(advised(), theme=PAGE, room="phone") == ""


def test_paper_has_literal_colours_only():
    assert "var(" not in costs(advised(step("a", "a", 1.0)), theme=PAPER, room="paper")
