"""What to do at the keyboard: tonight, who owes what, choices, purchases, dates, matching."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection

# The words stand here so that help loads nothing: name, where it lives, what it does.
LISTS: dict[str, tuple[str, str]] = {
    "tonight": ("fix_tonight:tonight", "What to do in so many hours, alone or not."),
    "waiting": ("fix_waiting:waiting", "What is out, at whom, promised when, whom to ring."),
    "options": ("fix_options:options", "Ways to put each fault right; levels; stop or go on."),
    "together": ("fix_together:together", "While you're in there: what to renew as well."),
    "upgrades": ("fix_together:upgrades", "Extras: what they cost, what they add."),
    "match": ("fix_match:match", "What may replace a part, property by property."),
    "cards": ("fix_cards:cards", "Job cards: every step, shared openings; --pdf to print."),
    "buy": ("fix_buy:buy", "Purchase list, order-by days, cash by week; CSV, XLSX."),
    "plan": ("fix_plan:plan", "When it will cut: dates, what they hang on; --pdf, --ics."),
}
CARDS: dict[str, tuple[str, str]] = {
    "begin": ("fix_tonight:begin", "Mark a card begun."),
    "done": ("fix_tonight:done", "Mark a card done, with its hours."),
    "stuck": ("fix_tonight:stuck", "Mark a card stuck, and hear what next."),
    "met": ("fix_tonight:met", "Keep what was found while a card was worked."),
    "notnow": ("fix_tonight:notnow", "Put a card off, to a day if you like."),
    "reopen": ("fix_tonight:reopen", "Open a card again that was marked done."),
    "choose": ("fix_options:choose", "Choose a way, a level, a renewal or an extra."),
}
OUT: dict[str, tuple[str, str]] = {
    "quote": ("fix_buy:quote", "Keep a quote in one line: who, when, how much, how long."),
    "take": ("fix_buy:take", "Take a quote: it is ordered."),
    "send": ("fix_waiting:send", "Keep what was sent out, ordered, asked, borrowed, hired."),
    "ring": ("fix_waiting:ring", "Keep what was said on the phone."),
    "back": ("fix_waiting:back", "It came back, came wrong, or was called off."),
    "judge": ("fix_waiting:judge", "What came back is good, or bad."),
    "take-back": ("fix_waiting:take_back", "Take back what was kept out, quoted, on the shelf."),
    "stock": ("fix_buy:stock", "What is on the shelf, and when to buy more."),
}
HANDS: dict[str, tuple[str, str]] = {
    "hands": ("fix_plan:hands", "Who works, on which evenings, and when away."),
    "gear": ("fix_plan:gear", "Hoist, floor places: owned, borrowed, hired, on which days."),
}
SECTIONS = {
    "Lists": LISTS,
    "Cards and choices": CARDS,
    "What is out": OUT,
    "Hands and gear": HANDS,
}


@click.group(cls=BySection, sections=SECTIONS, noun="list")
def fix(**_: Any) -> None:
    """What to do: tonight, who owes you what, what to renew, what to buy, and when it will cut.

    LOT is a lot in the shop. Dates and money are ranges: estimates for planning. Lifting, supply
    and everything under power go by local codes and licensed trades first.
    """
