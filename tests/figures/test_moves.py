from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.figures.drawings import cut_off, numbers, numbers_drawn, touching

from retrue.base.refusals import Unusable
from retrue.cases.sheet import Move, MovedRow
from retrue.figures.ink import PAPER
from retrue.figures.moves import moved_picture, moved_rows, moves_picture, moves_rows

NAMES = st.text(st.characters(exclude_categories=("Cc", "Cs", "Co", "Nd")), max_size=60)
AMOUNTS = st.one_of(st.floats(-50_000, 50_000), st.just(0.0), st.floats(0, 1e9))
MOVES = st.lists(st.builds(Move, what=NAMES, low=AMOUNTS, high=AMOUNTS), min_size=1, max_size=9)
MOVED = st.lists(
    st.builds(MovedRow, finding=st.just("f"), text=NAMES, before=AMOUNTS, after=AMOUNTS),
    min_size=1,
    max_size=9,
)


@settings(max_examples=40, deadline=None)
@given(MOVES, AMOUNTS, st.booleans())
def test_what_would_move_it_never_overlaps_and_tells_its_numbers_in_the_table(moves, now, narrow):
    drawn = moves_picture(moves, now, "EUR", narrow=narrow)
    assert touching(drawn) == []
    assert cut_off(drawn) == []
    rows = moves_rows(moves, now, "EUR")
    assert numbers_drawn(drawn) == numbers([text for row in rows for text in row[1:]])


@settings(max_examples=40, deadline=None)
@given(MOVED, st.booleans())
def test_what_moved_it_never_overlaps_and_tells_its_numbers_in_the_table(moved, narrow):
    drawn = moved_picture(moved, "EUR", narrow=narrow)
    assert touching(drawn) == []
    assert cut_off(drawn) == []
    rows = moved_rows(moved, "EUR")
    assert numbers_drawn(drawn) <= numbers([text for row in rows for text in row[1:]])


def test_the_farthest_mover_stands_first():
    near, far = Move(what="near", low=90, high=120), Move(what="far", low=100, high=40)
    assert [row[0] for row in moves_rows([near, far], 100, "EUR")] == ["far", "near", "now"]


def test_a_row_whose_ends_lie_on_one_side_still_shows_both():
    drawn = moves_picture([Move(what="odd", low=150, high=130)], 100, "EUR")
    assert {"150", "130", "100"} <= numbers_drawn(drawn)
    assert touching(drawn) == []


def test_ends_differ_by_shape_so_that_grey_print_can_tell():
    drawn = moves_picture([Move(what="a", low=5, high=20)], 10, "EUR", theme=PAPER)
    fills = [e.attrib["fill"] for e in ET.fromstring(drawn).iter() if e.tag.endswith("rect")]
    assert len(set(fills)) == 2
    assert "var(" not in drawn


def test_nothing_to_draw_is_refused():
    with pytest.raises(Unusable):
        moves_picture([], 0, "EUR")
    with pytest.raises(Unusable):
        moved_picture([], "EUR")
