"""Bids of one sale on paper: what to do, boxes for how it went, what is left out and why."""

from __future__ import annotations

from dataclasses import replace

from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.cases.screen.bid_shapes import BidLine, BidPlan, LeftOut, LimitLine
from retrue.paper.bid_sheet import BidSheet, bid_sheet
from retrue.paper.press import pages

LINE = BidLine(
    number="14", title="turning centre <b> #1 $x$", sale="ascending", bid=7200.0, walk_away=7400.0,
    currency="EUR", wins=0.4, pays=6100.0, gain=2300.0, money=11800.0, hours=140.0, floor_m2=8.0,
    won=False, says="bid in steps, stop at € 7 200",
)  # fmt: skip
PLAN = BidPlan(
    lines=(replace(LINE, number="9", won=True, says="yours, at € 5 000"), LINE),
    left_out=(LeftOut(number="22", title="mill", why="it goes above your price"),),
    limits=(
        LimitLine(name="money", limit=40000.0, expected=18000.0, likely=36500.0, if_all=61000.0,
                  over=0.07),
        LimitLine(name="floor", limit=None, expected=9.0, likely=16.0, if_all=24.0, over=0.0),
        LimitLine(name="hours", limit=300.0, expected=150.0, likely=280.0, if_all=420.0, over=0.04),
    ),
    odds=0.9, held=0.92, holds=True, gain=6400.0, error=120.0, at_most=7000.0, best=False, why="",
    currency="EUR", worlds=8000, seed=7,
)  # fmt: skip
SHEET = BidSheet(plan=PLAN, name="closing sale", closes="2026-12-03 18:00", by="owner",
                 version="0.1")  # fmt: skip


def test_it_says_what_to_do_before_what_it_takes() -> None:
    text = text_of(bid_sheet(SHEET, at=AT))
    assert text.index("Estimate for planning") < text.index("€ 7 200")
    for words in ("Bids: closing sale", "Bid on 1: together they may bring € 6 400", "lot 14",
                  "bid in steps, stop at € 7 200", "turning centre <b> #1 $x$", "yours, at € 5 000",
                  "went for", "€ 36 500", "if every bid wins", "it goes above your price",
                  "Closes 2026-12-03 18:00."):  # fmt: skip
        assert words in text, words


def test_a_long_list_goes_on_to_more_pages_and_says_what_is_left() -> None:
    many = replace(PLAN, lines=tuple(replace(LINE, number=str(n)) for n in range(45)))
    printed = bid_sheet(replace(SHEET, plan=many), at=AT)
    assert "and 5 more, on the page" in text_of(printed)
    assert 1 < pages(printed) < 8


def test_where_nothing_is_bid_it_says_why() -> None:
    none = replace(PLAN, lines=(), why="no bid gains anything within your limits")
    text = text_of(bid_sheet(replace(SHEET, plan=none), at=AT))
    assert "Do not bid: no bid gains anything within your limits." in text


def test_limits_that_hold_by_losing_are_told_before_the_number() -> None:
    """Of all ways 92 in 100, of those in which a bid wins 60, of those of this lot 50."""
    line = replace(LINE, held=0.5)
    plan = replace(PLAN, lines=(line,), wins_some=0.25, held_where_won=0.6)
    text = text_of(bid_sheet(replace(SHEET, plan=plan), at=AT))
    caution = "These limits hold mostly because often nothing is won."
    assert text.index(caution) < text.index("together they may bring")
    assert "Something is won about 1 in 4; where it is, all limits hold about 3 in 5." in text
    assert "where won, all limits hold about 1 in 2." in text
    sure = replace(plan, held_where_won=0.95)
    assert caution not in text_of(bid_sheet(replace(SHEET, plan=sure), at=AT))
