"""Money and sale at the keyboard: the book, own hours, what it cost, the sale and its record."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection

# The words stand here so that help loads nothing: name, where it lives, what it does.
BOOK: dict[str, tuple[str, str]] = {
    "post": ("settle_post:post", "Put a line in the book: bought, paid, sold, returned, moved."),
    "book": ("settle_book:book", "The book: its lines, what stands where; CSV, XLSX."),
    "import": ("settle_import:import_", "Read a bank file or a parts list; shown before kept."),
    "day-rate": ("settle_book:day_rate", "What another currency was worth on a day."),
    "lock": ("settle_book:lock", "Close the book up to a day."),
    "take-back": ("settle_book:take_back", "Take back a line, an hour, an offer, a promise."),
}
HOURS: dict[str, tuple[str, str]] = {
    "hours": ("settle_hours:hours", "Own hours: guessed from the evening, answered, typed."),
    "start": ("settle_hours:start", "Begin to work at a machine."),
    "stop": ("settle_hours:stop", "Stop working."),
}
ANSWERS: dict[str, tuple[str, str]] = {
    "cost": ("settle_cost:cost", "What it cost, against what was expected, and by when."),
    "rate": ("settle_rate:rate", "What an hour of the machine costs."),
    "versus": ("settle_versus:versus", "Was it worth it: against new, used and buying in."),
    "figure": ("settle_rate:figure", "A figure of your own: hours a year, energy, resale."),
    "close": ("settle_close:close", "Close a machine: what we guessed, what was."),
    "share": ("settle_close:share", "Closed machines without names, to give away or to take in."),
}
SALE: dict[str, tuple[str, str]] = {
    "sell": ("settle_sell:sell", "What to ask, take, let it go for; what each repair adds."),
    "offer": ("settle_sell:offer", "Keep an offer, and what to answer."),
    "include": ("settle_record:include", "What goes with it; how its guards stand."),
    "record": ("settle_record:record", "The condition record: PDF, and a file to give away."),
    "check": ("settle_record:check", "Whether a condition record is as it was made."),
    "promise": ("settle_after:promise", "What was promised with a sale, until when; kept."),
    "asked": ("settle_after:asked", "A buyer's question, and what was answered."),
}
SECTIONS = {
    "The book": BOOK,
    "Own hours": HOURS,
    "What it comes to": ANSWERS,
    "The sale": SALE,
}


@click.group(cls=BySection, sections=SECTIONS)
def settle(**_: Any) -> None:
    """Money and sale: what it cost, what an hour costs, and selling the surplus one honestly.

    LOT is a lot in the shop. What is still to come is a range: an estimate for planning. Tax goes
    by local law and an accountant first.
    """
