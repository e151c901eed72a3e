"""The demo's money and sale in words, each answer first; its papers, its part of the JSON."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from retrue.base.formatter import money, number, odds
from retrue.base.say import say
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.cost_lines import CostLineRow, CostView
from retrue.cases.settle.cost_said import end_words
from retrue.cases.settle.cost_words import against_words, state_words
from retrue.cases.settle.versus_words import other_words
from retrue.cli.demo_sale import Closed, Sold
from retrue.cli.demo_settle import Books, Story
from retrue.cli.settle_close_lines import closing_lines, moved_words, row_words
from retrue.cli.settle_record_lines import checked_lines
from retrue.cli.settle_sell_lines import after_lines, days_line, offer_lines
from retrue.cli.strip_options import caution_lines
from retrue.cli.strip_rows import put_file, write_tables
from retrue.kinds.learned_ranges import MovedRange
from retrue.phases import settle

FEW = 3
FIRST_WORDS = 9


def settled_lines(books: Books, sold: Sold, closed: Closed) -> Iterator[str]:
    """The demo lot closed: its book, what it cost, whether it was worth it, the sale, the end.

    Parameters
    ----------
    books : Books
    sold : Sold
    closed : Closed

    Yields
    ------
    str
        One line each.
    """
    yield say("The demo lot closed:")
    yield from _book(books)
    for one in books.costs:
        yield from _cost(one)
    yield from _worth(books)
    yield from _sale(sold)
    yield from _record(sold)
    yield from _sold(sold)
    for made in closed.closings:
        yield from _closing(made)
    yield from _shared(closed)


def _book(books: Books) -> Iterator[str]:
    cur = books.currency
    yield say("  Won at {won}; the frozen number was {frozen}.",
              won=money(books.won_for, cur), frozen=money(books.walk_away, cur))  # fmt: skip
    codes = sorted({one.currency for one in books.book.accounts})
    state = say("balanced to the cent") if books.book.balanced else say("NOT balanced")
    yield say("  The book, {lines} lines: {state} in {codes}.", lines=len(books.book.lines),
              state=state, codes=", ".join(codes))  # fmt: skip
    yield say("  The bank's file: {rows} rows, {took} of them pay what was expected, owed or "
              "typed. The same file again adds {again}.", rows=books.rows, took=books.took,
              again=books.again)  # fmt: skip
    one = books.evening
    yield say("  Own hours: {day}, {begin} to {end}, {hours} h on the {machine}. Right? Yes. "
              "The rest typed once a week.", day=one.worked_on, begin=one.begin, end=one.end,
              hours=number(one.hours, 2), machine=books.evening_at)  # fmt: skip


def _cost(view: CostView) -> Iterator[str]:
    cur, at = view.currency, view.by_hour_value
    yield f"  {view.answer}"
    yield f"    {end_words(view)}"
    low, high = (money(one, cur) for one in view.hour_rates)
    yield say("    On the floor {landed}; with own hours at {low} an hour {at_low}, at {high} "
              "{at_high}.", landed=money(view.landed, cur), low=low, high=high,
              at_low=money(at.alternative or 0.0, cur),
              at_high=money(at.full or 0.0, cur))  # fmt: skip
    yield from _buckets(view)
    yield say("    Furthest off:")
    for row in furthest(view):
        expected = money(row.forecast, cur) if row.forecast is not None else say("nothing")
        yield say("      {line} {words}: expected {expected}, {was} so far: {stands}",
                  line=row.line, words=row.words, expected=expected,
                  was=money(row.spent + row.owed, cur), stands=_stands(row))  # fmt: skip
    if view.stop is not None:
        yield f"    {view.stop.words}"


def _buckets(view: CostView) -> Iterator[str]:
    """Where more went than was expected, where less, and what nobody foresaw."""
    told = (
        (say("more than expected"), [row for row in view.rows if row.against == "above"]),
        (say("less than expected"), [row for row in view.rows if row.against == "below"]),
        (say("not foreseen"), [row for row in view.rows if row.state == "not_foreseen"]),
    )
    for words, rows in told:
        largest = sorted(rows, key=lambda row: -row.end.mean)[:FEW]
        if largest:
            named = ", ".join(f"{row.words} {money(row.actual, view.currency)}" for row in largest)
            yield f"    {words}: {named}"


def furthest(view: CostView) -> list[CostLineRow]:
    """The lines that went furthest off what was expected of them.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    list of CostLineRow
        Those on a line of the tables with money in the book.
    """
    spent = [row for row in view.lines if row.line and row.spent + row.owed > 0.0]
    return sorted(spent, key=lambda row: -abs(row.spent + row.owed - (row.forecast or 0.0)))[:FEW]


def _stands(row: CostLineRow) -> str:
    told = state_words(row.state) if row.state not in ("spent", "to_come") else ""
    return told or against_words(row.against) or say("no range")


def _worth(books: Books) -> Iterator[str]:
    cur = books.currency
    yield f"  {books.rate.answer}"
    for row in books.rate.even:
        yield f"    {row.words}"
    yield f"  {books.versus.answer}"
    for other in books.versus.rows:
        yield say("    against {other}: {gap} on average, better in {odds}",
                  other=other_words(other.name), gap=money(other.gap.mean, cur, signed=True),
                  odds=odds(other.chance))  # fmt: skip


def _sale(sold: Sold) -> Iterator[str]:
    one, made = sold.sale.answer, sold.sale
    cur = made.currency
    yield say("The surplus one:")
    yield from (f"  {line}" for line in caution_lines(made.cautions))
    yield say("  {machine}: ask {ask}, take {take} now, let it go at {dump}, as it stands.",
              machine=made.machine_name, ask=money(one.ask, cur), take=money(one.take, cur),
              dump=money(one.dump, cur))  # fmt: skip
    if one.days is not None:
        yield f"  {days_line(one.days)}"
    yield say("  A month of waiting costs {total}.", total=money(made.month.total, cur))
    for row in made.adds[:FEW]:
        yield say("    {words}: adds {adds}, costs {costs} and {hours} h", words=row.words,
                  adds=money(row.adds_mean, cur), costs=money(row.money, cur),
                  hours=number(row.hours, 1))  # fmt: skip


def _record(sold: Sold) -> Iterator[str]:
    named = "; ".join(f"{one.where} {one.what}" for one in (sold.refused[0], sold.refused[-1]))
    yield say("  Its condition record is refused: {count} things are open, among them {named}.",
              count=len(sold.refused), named=named)  # fmt: skip
    told = sold.content
    stated = sum(len(part["stated"]) for part in told.values() if _is_part(part))
    heard = sum(len(part["reported"]) for part in told.values() if _is_part(part))
    yield say("  Cleared, and given on {day}: {stated} things stated as seen, measured or signed, "
              "{heard} only reported; {guards} guards and interlocks, none open.",
              day=told["made_on"], stated=stated, heard=heard,
              guards=len(told["guards"]))  # fmt: skip
    for what, checked in zip(_names(), sold.checks, strict=True):
        told_of = next(checked_lines(checked))
        where = f" {checked.where[-1]}." if checked.where else ""
        yield f"    {what}: {told_of}{where}"


def _names() -> tuple[str, str, str]:
    return say("the paper"), say("the file"), say("the file with one letter changed")


def _is_part(part: object) -> bool:
    return isinstance(part, dict) and "stated" in part


def _sold(sold: Sold) -> Iterator[str]:
    yield from (f"  {line}" for line in offer_lines(sold.offers))
    yield from (f"  {line}" for line in after_lines(sold.after))
    for one in sold.after.questions:
        fact = one.record.fact
        yield say("  Asked by {whom}: {question} {answer}", whom=fact.whom,
                  question=fact.question, answer=fact.answer)  # fmt: skip


def _closing(made: Closing) -> Iterator[str]:
    """The heading, then its totals, then what is said next time, as the command tells them."""
    case = made.case
    lines = closing_lines(made)
    yield next(lines)
    totals = [row for row in case.rows if row.sort == "total"]
    for row in totals:
        yield f"  {row.words}: {row_words(row, case)}"
    yield say("  Faults that somebody saw: {seen}.", seen=made.seen)
    yield say("  Next time:")
    for one in most_moved(made):
        yield f"    {one.line}: {moved_words(one, case.currency)}"


def most_moved(made: Closing) -> list[MovedRange]:
    """The money lines of the tables that this machine moved furthest, for their size."""
    money_lines = [one for one in made.moved if one.what == "money" and one.before.likely > 0.0]
    return sorted(money_lines, key=lambda one: -abs(one.after.likely - one.before.likely))[:FEW]


def _shared(closed: Closed) -> Iterator[str]:
    rows = sum(len(one.case.rows) for one in closed.closings)
    yield say("Without names, to give away: {rows} rows in {lines} lines; it begins {first}",
              rows=rows, lines=closed.shared.count("\n"),
              first=" ".join(closed.shared.split()[:FIRST_WORDS]))  # fmt: skip


def settled_papers(story: Story, sold: Sold, folder: Path) -> tuple[Path, ...]:
    """Write the record of the lathe, on paper and as a file, and the book as tables.

    Parameters
    ----------
    story : Story
    sold : Sold
    folder : Path

    Returns
    -------
    tuple of Path
    """
    machine = sold.sale.machine_name
    pdf, file = folder / f"{machine}-record.pdf", folder / f"{machine}-record.json"
    put_file(pdf, sold.pdf)
    put_file(file, sold.file)
    ledger, sheet = folder / "book.csv", folder / "book.xlsx"
    last = story.told["close"][-1]["on"]
    rows = settle.book_table(story.shop, settle.book(story.shop, on=last))
    write_tables(rows, ledger, sheet)
    return pdf, file, ledger, sheet


def settled_answer(books: Books, sold: Sold, papers: tuple[Path, ...]) -> dict[str, object]:
    """What a program is told of it, money in the shop's currency.

    Parameters
    ----------
    books : Books
    sold : Sold
    papers : tuple of Path
        The first is the condition record.

    Returns
    -------
    dict of str to object
        ``odds`` is the chance that the mill is better than each other way, by its name;
        ``ahead_of_new`` by how much on average it is ahead of a new one.
    """
    rows = books.versus.rows
    assert books.rate.an_hour is not None
    return {
        "ahead_of_new": next(row.gap.mean for row in rows if row.way == "new"),
        "balanced": books.book.balanced,
        "hour_rate": books.rate.an_hour.mean,
        "odds": {row.way: row.chance for row in rows},
        "record": str(papers[0]),
        "sold_for": float(sold.price),
    }
