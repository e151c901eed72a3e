"""The purchase list, quotes and the shelf as a terminal tells them."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.formatter import short
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying, BuyRow, Offer, StockRow
from retrue.cases.fix.preview import Preview
from retrue.cases.fix.spoken import Spoken

FEW = 15  # rows of a list that nobody asked to see whole
STATES = {
    "to_buy": "to buy",
    "asked": "asked",
    "ordered": "ordered",
    "sent_out": "sent out",
    "here": "here",
    "no_vendor": "nobody is named",
}


def buying_lines(view: Buying, *, whole: bool) -> Iterator[str]:
    """The purchase list: cautions, total, rows, weeks, the shelf, what is missing."""
    for text in view.cautions:
        yield say("Caution: {text}", text=text)
    yield say("On average {amount} are still to be spent.",
              amount=formatter.money(view.total, view.currency))  # fmt: skip
    for row in view.rows if whole else view.rows[:FEW]:
        yield from _row(row, view.currency)
    if len(view.rows) > FEW and not whole:
        yield say("And {count} more: --all.", count=len(view.rows) - FEW)
    yield from _weeks(view)
    yield from _shelf(view.stock)
    yield from view.no_vendor
    for told in view.uncounted:
        yield say("Not counted: {what}", what=told)


def _row(row: BuyRow, currency: str) -> Iterator[str]:
    of = ", ".join(map(str, filter(None, (row.part.what, row.machine_name))))
    amount = formatter.money(row.amount, currency)
    yield say("{line}  {what}: {amount}, {state}",
              line=row.part.line, what=of, amount=amount,
              state=say(STATES[row.part.state]))  # fmt: skip
    told = [
        say("late") if row.late else "",
        say("order by {day}", day=row.order_by_on) if row.order_by_on else "",
        say("needed on {day}", day=row.needed_on) if row.needed_on else "",
        say("promised for {day}", day=row.part.promised_on) if row.part.promised_on else "",
        say("needed {odds}", odds=formatter.odds(row.chance)) if 0 < row.chance < 1 else "",
        row.why,
    ]
    yield "  " + "; ".join(map(str, filter(None, told)))
    for offer in row.part.offers:
        yield "  " + _offer(offer, currency)


def _offer(offer: Offer, currency: str) -> str:
    quoted = offer.record.fact
    amount = (
        formatter.money(quoted.amount * quoted.units, quoted.currency, 2)
        if offer.amount is None
        else formatter.money(offer.amount, currency, 2)
    )
    told = [
        say("{whom}, {day}: {amount}", whom=quoted.vendor, day=quoted.quoted_on, amount=amount),
        say("{days} days", days=short(offer.days)) if offer.days is not None else "",
        say("the cheapest") if offer.cheapest else "",
        offer.why,
        offer.record.id,
    ]
    return "; ".join(map(str, filter(None, told)))


def _weeks(view: Buying) -> Iterator[str]:
    for week in view.weeks:
        yield say("Week of {day}: {amount}",
                  day=week.week_on, amount=formatter.money(week.amount, view.currency))  # fmt: skip
    if view.undated:
        yield say("On no day yet: {amount}",
                  amount=formatter.money(view.undated, view.currency))  # fmt: skip


def _shelf(stock: tuple[StockRow, ...]) -> Iterator[str]:
    for row in stock:
        if row.low:
            yield say("Runs out: {row}", row=stock_line(row))


def stock_line(row: StockRow) -> str:
    """One thing on the shelf."""
    amount = " ".join(map(str, filter(None, (short(row.amount), row.unit))))
    told = [
        say("{name}, {amount}", name=row.name, amount=amount),
        say("least {least}", least=short(row.least)) if row.least is not None else "",
        say("the open cards take {needed}", needed=short(row.needed)) if row.needed else "",
    ]
    return "; ".join(map(str, filter(None, told)))


def preview_lines(preview: Preview) -> Iterator[str]:
    """What keeping a table would do, row by row."""
    yield say("{new} new, {changed} changed, {nothing} as they stand, {refused} not understood.",
              new=preview.count("new"), changed=preview.count("changed"),
              nothing=preview.count("nothing"), refused=preview.count("refused"))  # fmt: skip
    for row in preview.rows:
        for problem in row.problems:
            yield str(problem)
        if row.keeps:
            yield say("row {row}: {words}", row=row.number, words=row.words)
    if preview.strange:
        named = ", ".join(map(str, preview.strange))
        yield say("Not read, nothing is known of these columns: {named}.", named=named)


def spoken_lines(spoken: Spoken, currency: str) -> Iterator[str]:
    """What was understood of a quote, to be heard back; in the shop's currency if none was said."""
    money = spoken.currency or currency
    amount = formatter.money(spoken.amount, money, 2) if spoken.amount is not None else ""
    fields = (
        (say("for"), spoken.line),
        (say("who"), spoken.vendor),
        (say("when"), spoken.quoted_on.isoformat()),
        (say("how much"), amount),
        (say("how many"), str(spoken.units) if spoken.units > 1 else ""),
        (say("tax"), spoken.tax),
        (say("how long"), say("{days} days", days=short(spoken.days)) if spoken.days else ""),
        (say("holds until"), str(spoken.valid_until_on or "")),
        (say("rate"), f"{spoken.rate}, {spoken.rate_on}" if spoken.rate else ""),
    )
    yield "; ".join(f"{name}: {value}" for name, value in fields if value)
    for piece in spoken.not_understood:
        yield say("Not understood: {piece}", piece=f"“{piece}”")
