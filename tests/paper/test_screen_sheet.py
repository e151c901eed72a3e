"""The lots worth a call on paper: what to ask, with boxes; the others in a short table."""

from __future__ import annotations

from dataclasses import replace

from tests.cases.screen.screened import ASK, row
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.cases.screen.listing import ListedLot, Listing
from retrue.paper.press import pages
from retrue.paper.screen_sheet import ScreenSheet, screen_sheet, sheet_of

SHEET = ScreenSheet(
    name="closing sale",
    rows=(row("12", ask=ASK), row("40", title="mill <b> #1 $x$")),
    currency="EUR", lots=412, priced=96, seed=7, worlds=2000, closes="2026-12-03 18:00",
    bidders={"40": "An"}, by="owner", version="0.1",
)  # fmt: skip


def test_it_says_what_not_to_go_above_what_to_ask_and_who_bids() -> None:
    text = text_of(screen_sheet(SHEET, at=AT))
    assert text.index("Estimate for planning") < text.index("€ 5 200")
    for words in ("Worth a call: closing sale", "412 lots, 96 with a price, 2 worth a bid.",
                  "Closes 2026-12-03 18:00.", "lot 12", "Ask for a film of the spindle from cold",
                  "mill <b> #1 $x$", "(who bids: An)", "my bid", "said"):  # fmt: skip
        assert words in text, words


def test_the_best_ten_are_told_in_full_and_the_next_in_short() -> None:
    many = replace(SHEET, rows=tuple(row(str(n), ask=ASK) for n in range(75)))
    printed = screen_sheet(many, at=AT)
    text = text_of(printed)
    assert text.count("Ask since when it stands") == 10
    assert "and 15 more, on the page" in text
    assert pages(printed) < 8


def test_a_catalogue_without_one_worth_a_bid_says_so() -> None:
    lot = ListedLot(number="1", line=2, title="cupboard", case=None, why="is no machine", kinds=(),
                    stand_in=False, said=(), gaps=())  # fmt: skip
    listing = Listing(name="a sale", currencies=(), columns=(), lots=(lot,), others=())
    sheet = sheet_of(listing, [row("1", walk_away=None, gain=0.0)], by="owner", version="0.1")
    assert (sheet.lots, sheet.priced, sheet.rows) == (1, 0, ())
    assert "No lot of this catalogue has a price to bid up to." in text_of(
        screen_sheet(sheet, at=AT)
    )
