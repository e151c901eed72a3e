"""A screened catalogue as a terminal tells it: the best first, then what was made of the file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.screen.heading_words import ROLE_WORDS
from retrue.cases.screen.listing import ListedLot, Listing, Said
from retrue.cases.screen.of_all import starts_above
from retrue.cases.screen.places import Places, places, tied_first
from retrue.cases.screen.rank import By
from retrue.cases.screen.said_wrong import caution_of
from retrue.cases.screen.screened import AskFirst, ScreenedLot
from retrue.cases.screen.tenths import NINETEEN_IN_TWENTY
from retrue.cases.screen.unread import unread_lines
from retrue.cases.screen.worthy import first_prices, has_price, is_worthy
from retrue.cli.worth_screen_sale_lines import all_lines, sale_lines, top_lines
from retrue.kinds.library import Kind

FIELDS = {"age_years": "age", "travel_mm": "travel", "tax_rate": "tax"}  # as columns are called
FEW = 10  # lines of a sort that nobody asked to see whole


def screen_lines(
    listing: Listing,
    rows: Sequence[ScreenedLot],
    currency: str,
    best: int,
    *,
    kinds: Mapping[str, Kind],
    by: By,
    whole: bool,
) -> Iterator[str]:
    """The answer, the best lots with what to ask, and what was made of the file.

    Parameters
    ----------
    listing : Listing
    rows : sequence of ScreenedLot
        Best first.
    currency : str
        Of the shop.
    best : int
        How many lots are told in full.
    kinds : mapping of kind id to Kind
        In the reader's language.
    by : str
        What they are ranked by.
    whole : bool
        Every line of the file and every cell that was guessed or ignored.

    Yields
    ------
    str
    """
    yield say("Caution: estimate for planning. Nobody has seen these machines.")
    yield from unread_lines(listing)
    yield from top_lines(listing)
    if any(map(has_price, rows)):
        yield first_prices()
    yield _answer(listing, rows)
    may_be = places(rows, by)
    yield from _order(may_be)
    listed = {one.number: one for one in listing.lots}
    for place, row in enumerate(rows[:best], 1):
        if row.walk_away is not None:
            yield from _lot(place, row, listed[row.number], may_be[place - 1], currency)
    yield from sale_lines(listing)
    yield from all_lines(listing, kinds)
    yield from _no_price(rows, whole=whole)
    yield ""
    yield from _columns(listing)
    yield from _cells(listing, whole=whole)
    yield from _others(listing, whole=whole)


def _answer(listing: Listing, rows: Sequence[ScreenedLot]) -> str:
    worthy = sum(map(is_worthy, rows))
    return say(
        "{name}. Lots: {lots}; with a price: {priced}; worth a bid: {worthy}; worth a call only, "
        "for as they are known now they bring nothing: {perhaps}.",
        name=listing.name,
        lots=len(listing.lots),
        priced=sum(row.walk_away is not None for row in rows),
        worthy=worthy,
        perhaps=sum(map(has_price, rows)) - worthy,
    )


def _order(may_be: Sequence[Places | None]) -> Iterator[str]:
    """How sure the order is."""
    alike = tied_first(may_be)
    if alike > 1:
        yield say(
            "The order is not sure: any of {count} lots may be the best, by the luck of the draw "
            "alone. More --worlds tell more of them apart.",
            count=alike,
        )


def _lot(
    place: int, row: ScreenedLot, listed: ListedLot, may_be: Places | None, currency: str
) -> Iterator[str]:
    yield ""
    yield say("{place}. Lot {number}: {title}", place=place, number=row.number, title=row.title)
    if may_be is not None and not may_be.sure:
        yield "   " + say(
            "It may stand anywhere from {first} to {last}.", first=may_be.first, last=may_be.last
        )
    if row.wrong:
        yield f"   {caution_of(row.wrong)}"
    yield from (f"   {line}" for line in _price(row, listed, currency))
    yield from (f"   {_ask(one, currency)}" for one in row.ask)
    if row.assumed:
        yield "   " + say("Nobody said: {what}", what="; ".join(map(str, row.assumed)))


def _price(row: ScreenedLot, listed: ListedLot, currency: str) -> Iterator[str]:
    start = starts_above(listed, row.walk_away)
    if not row.walk_away:
        yield say("Do not bid: {why}.", why=row.why)
    elif start is not None:
        yield say(
            "It costs at least {start}, above your price: do not go above {most}.",
            start=formatter.money(start, row.currency),
            most=formatter.money(row.walk_away, row.currency),
        )
    else:
        yield say(
            "Do not go above {most}; it may go for {pays}, and is yours {wins}.",
            most=formatter.money(row.walk_away, row.currency),
            pays=formatter.money(row.pays, row.currency),
            wins=formatter.odds(row.wins),
        )
        yield _gain(row, currency)


def _ask(one: AskFirst, currency: str) -> str:
    if one.worth <= 0:  # what it is worth cannot be told, and the rest hangs on it
        return say("Ask first: {text}", text=one.text)
    worth = formatter.money(one.worth, currency)
    return say("Ask first ({worth}): {text}", worth=worth, text=one.text)


def _gain(row: ScreenedLot, currency: str) -> str:
    """What it may bring, against what is at risk."""
    return say(
        "Gain {gain}, give or take {error}, for {risk} at risk and {hours} own hours; {days} days "
        "to the first good part.",
        gain=formatter.money(row.gain, currency),
        error=formatter.money(NINETEEN_IN_TWENTY * row.error, currency),
        risk=formatter.money(row.at_risk, currency),
        hours=formatter.number(row.hours),
        days=formatter.number(row.days.p50),
    )


def _no_price(rows: Sequence[ScreenedLot], *, whole: bool) -> Iterator[str]:
    without = [row for row in rows if row.walk_away is None]
    if without:
        yield ""
        yield say("Without a price: {count}.", count=len(without))
    if whole:
        for row in without:
            yield "  " + say("Lot {number}: {title}", number=row.number, title=row.title)
            yield f"    {row.why}"
        return
    reasons = Counter(str(row.why) for row in without)
    for why, count in reasons.most_common(FEW):
        yield "  " + say("{count} because {why}", count=count, why=why)


def _columns(listing: Listing) -> Iterator[str]:
    for column in listing.columns:
        if column.role:
            yield say(
                "Column {heading} is read as {role}.",
                heading=column.heading,
                role=ROLE_WORDS[column.role],
            )
    unread = [column.heading for column in listing.columns if not column.role]
    if unread:
        yield say("Shown and not read: {headings}.", headings=", ".join(unread))


def _cells(listing: Listing, *, whole: bool) -> Iterator[str]:
    counts = Counter(said.how for lot in listing.lots for said in lot.said)
    yield say(
        "Cells: {understood} understood, {guessed} guessed, {ignored} ignored.",
        understood=counts["understood"],
        guessed=counts["guessed"],
        ignored=counts["ignored"],
    )
    doubtful = [
        (lot, said) for lot in listing.lots for said in lot.said if said.how != "understood"
    ]
    if whole:
        for lot, said in doubtful:
            yield "  " + _cell(lot, said)
        return
    first = {(one.how, one.field, one.value, one.text, one.why): (at, one) for at, one in
             reversed(doubtful)}  # fmt: skip
    times = Counter((one.how, one.field, one.value, one.text, one.why) for _, one in doubtful)
    shown = sorted(first.items(), key=lambda item: item[1][0].line)[:FEW]
    for key, (lot, said) in shown:
        yield "  " + _cell(lot, said)
        if times[key] > 1:
            yield "    " + say("The same again: {count}.", count=times[key] - 1)
    rest = len(doubtful) - sum(times[key] for key, _ in shown)
    if rest:
        yield say("And {count} more: --all.", count=rest)


def _cell(lot: ListedLot, said: Said) -> str:
    text = said.text or say("nothing written")
    if said.how != "guessed":
        return say("Line {line}, {text}: ignored; {why}", line=lot.line, text=text, why=said.why)
    if said.field == "kind":  # the reason names it
        return say("Line {line}, {text}: guessed; {why}", line=lot.line, text=text, why=said.why)
    return say(
        "Line {line}, {text}: {field} guessed as {value}; {why}",
        line=lot.line,
        text=text,
        field=ROLE_WORDS.get(FIELDS.get(said.field, said.field), said.field),
        value=said.value,
        why=said.why,
    )


def _others(listing: Listing, *, whole: bool) -> Iterator[str]:
    shown = listing.others if whole else listing.others[:FEW]
    for other in shown:
        yield "  " + say(
            "Line {line} is no lot: {why}: {text}", line=other.line, why=other.why, text=other.text
        )
    if len(listing.others) > len(shown):
        yield say("And {count} more: --all.", count=len(listing.others) - len(shown))
