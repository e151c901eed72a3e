"""A screened catalogue as a table, and as the numbers of its picture."""

from __future__ import annotations

from tests.cases.screen.screened import ASK, row

from retrue.cases.screen.drawing import MOST, screen_drawing
from retrue.cases.screen.table import HEADINGS, screen_table
from retrue.cases.screen.worthy import is_worthy
from retrue.store.table_out import csv_of


def test_each_lot_has_a_cell_for_each_heading_and_stands_in_the_order_it_is_given() -> None:
    rows = [row("12", ask=ASK), row("7/2", walk_away=None, why="no machine", gain=0.0)]
    told = screen_table(rows, "CHF")
    assert [len(one) for one in told] == [len(HEADINGS)] * 3
    named = [dict(zip(HEADINGS, one, strict=True)) for one in told[1:]]
    assert [one["place"] for one in named] == [1, 2]
    assert [one["number"] for one in named] == ["12", "7/2"]
    assert (named[0]["currency"], named[0]["shop_currency"]) == ("EUR", "CHF")
    assert named[0]["gain_per_euro_at_risk"] == 0.125  # 1000 for 8000
    assert named[0]["gain_per_own_hour"] == 12.5  # 1000 in 80 h
    assert "film of the spindle from cold; Ask since" in named[0]["ask_first"]
    assert (named[1]["do_not_go_above"], named[1]["why_no_price"]) == (None, "no machine")


def test_a_title_that_looks_like_a_formula_stays_a_text() -> None:
    told = csv_of(screen_table([row("1", title="=cmd()")], "EUR")).decode()
    assert ",'=cmd()," in told


def test_the_picture_has_the_first_that_bring_something_and_none_where_none_does() -> None:
    rows = [row(str(n), gain=100.0 * n) for n in range(14, -1, -1)]
    drawing = screen_drawing(rows, "EUR")
    assert drawing is not None
    assert [one.number for one in drawing.points] == [str(n) for n in range(14, 14 - MOST, -1)]
    assert screen_drawing([row("1", gain=0.0)], "EUR") is None


def test_worth_a_call_is_what_has_a_price_and_brings_something() -> None:
    assert is_worthy(row("1"))
    assert not is_worthy(row("1", walk_away=None))
    assert not is_worthy(row("1", walk_away=0.0))
    assert not is_worthy(row("1", gain=0.0))
