"""The book for the terminal: the answer, its lines, what stands where."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.settle.book_words import sort_words
from retrue.cases.settle.lines import Book, BookLine
from retrue.cli.strip_options import columns

FEW = 20


def book_lines(view: Book, *, whole: bool) -> Iterator[str]:
    """A book: what it comes to, the newest lines, what is missing.

    Parameters
    ----------
    view : Book
    whole : bool
        Every line, not the newest few.

    Yields
    ------
    str
    """
    if not view.lines:
        yield say("Nothing is in the book yet: retrue settle post bought 120 bearings.")
        return
    brought = -view.by_bucket.get("brought", Decimal(0))
    cost = sum(view.by_bucket.values(), Decimal(0)) + brought
    told = say(
        "{count} lines: {cost} spent, {brought} brought; balanced in every currency.",
        count=len(view.lines),
        cost=exact(cost, view.currency),
        brought=exact(brought, view.currency),
    )
    yield told if view.balanced else say("The book does not balance.")
    waits = view.expected_cost
    if waits:
        yield say("Of what is spent, {waits} is known and not posted yet: owed, as far as is told.",
                  waits=exact(waits, view.currency))  # fmt: skip
    yield ""
    yield from columns([line_cells(line, view.currency) for line in _some(view, whole)])
    left = len(view.lines) - len(_some(view, whole))
    if left:
        yield say("And {count} older ones: --all.", count=left)
    yield from warnings(view)


def warnings(view: Book) -> Iterator[str]:
    """What is missing in a book, and up to when it is closed."""
    for currency, day in view.missing_rates:
        yield say(
            "missing rate: {currency} on {day}. Until it is kept these lines count with nothing.",
            currency=currency,
            day=day,
        )
    yield from view.doubts
    if view.unplaced:
        yield say("{count} lines are not placed yet: say with --bucket where the money went.",
                  count=view.unplaced)  # fmt: skip
    if view.closed_until:
        yield say("Closed up to {day}.", day=view.closed_until)


def account_lines(view: Book) -> Iterator[str]:
    """What stands where, in every currency."""
    rows = [
        (one.words, exact(abs(one.amount), one.currency)) for one in view.accounts if one.amount
    ]
    yield say("What stands where:") if rows else say("Nothing stands anywhere yet.")
    yield from columns(rows)
    yield (
        say("Every currency sums to nothing: the book is in balance.")
        if view.balanced
        else say("The book does not balance.")
    )


def line_cells(line: BookLine, home: str) -> tuple[str, ...]:
    """One line in columns."""
    expected = say("expected, tax not said") if line.tax_unsaid else say("expected")
    state = "" if line.state == "posted" else expected
    for_whom = ", ".join(one.machine_name or say("nobody's") for one in line.shares)
    cost = "" if line.missing_rate else exact(line.in_shop, home)
    return (
        line.posted_on,
        sort_words(line.sort),
        line.what[:28],
        exact(line.amount, line.currency),
        cost,
        line.bucket or "-",
        for_whom[:20],
        state or line.id[:8],
    )


def exact(amount: Decimal, currency: str) -> str:
    """An amount to its smallest coin."""
    return money(amount, currency, minor_units(currency))


def _some(view: Book, whole: bool) -> tuple[BookLine, ...]:
    return view.lines if whole else view.lines[:FEW]
