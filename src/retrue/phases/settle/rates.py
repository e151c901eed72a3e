"""What another currency was worth on a day, typed or from a file; and the closing of the book."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Unpack

from retrue.base.currencies import known_code
from retrue.base.refusals import NotYet, Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.settle.bearers import borne
from retrue.cases.settle.kept import book_kept, closed_until
from retrue.cases.settle.ledger import book_of
from retrue.cases.settle.posting_rules import refuse_closed
from retrue.cases.settle.rate_doubts import last_rates, rate_doubts
from retrue.phases.settle.keeping import day_problems, put, refuse, refuse_fields
from retrue.records.facts import Shop
from retrue.records.hand import Hand, numbered
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import Record, RecordShop, ToAdd

COLUMNS = ("date", "currency", "rate")


def day_rate(
    shop: RecordShop,
    currency: str,
    rate: Decimal,
    *,
    rate_on: date,
    on: date,
    source: str = "",
    text: str = "",
    sure: bool = False,
    **hand: Unpack[Hand],
) -> Record[DayRate]:
    """Keep what one unit of another currency was worth on a day.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    currency : str
        Three letters.
    rate : Decimal
        Shop's currency for one unit of it.
    rate_on : date
    on : date
        Today.
    source : str
        Where it is from; empty: typed.
    text : str
    sure : bool
        It is right, however far it is from the last one of that currency.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of DayRate
        A second figure for the same day takes the place of the first.

    Raises
    ------
    Unusable
        No such currency, or it is the shop's own, a rate of nothing or far from the last, a day
        still to come.
    NotYet
        The book is closed on that day.
    """
    fact = DayRate(
        currency=known_code(currency), rate_on=rate_on.isoformat(), rate=rate, source=source,
        text=text,
    )  # fmt: skip
    refuse_fields(fact, *_own(shop, fact), *day_problems(fact.rate_on, on, "rate_on"))
    refuse_closed(closed_until(shop), [fact.rate_on])
    if not sure:
        refuse(rate_doubts(fact.currency, rate, last_rates(book_kept(shop))))
    old = shop.current(DayRate, currency=fact.currency, rate_on=fact.rate_on)
    return put(shop, fact, old[-1] if old else None, hand)


def import_rates(
    shop: RecordShop,
    content: bytes,
    name: str,
    *,
    on: date,
    sure: bool = False,
    **hand: Unpack[Hand],
) -> list[Record[DayRate]]:
    """Keep the rates of a CSV file with columns date, currency, rate; all of them or none.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.
    content : bytes
        UTF-8; a comma or a semicolon between columns.
    name : str
        Of the file.
    on : date
        Today.
    sure : bool
        They are right, however far one is from the last of its currency.
    **hand : Hand
        Who reads it; with an ``id`` they become id, id.2, id.3 ...

    Returns
    -------
    list of Record of DayRate
        Those that are new or changed; the same file twice adds nothing.

    Raises
    ------
    Unreadable
        It is no table, or a column is missing.
    Unusable
        A row cannot be; each is named by its line, and nothing is kept.
    NotYet
        The book is closed on one of the days.
    """
    facts = read_rates(content, name)
    wrong = [
        _at(line, one)
        for line, fact in facts
        for one in (*_own(shop, fact), *day_problems(fact.rate_on, on, "date"))
    ]
    wrong += [] if sure else list(_doubts(shop, facts))
    if wrong:
        raise _rows_wrong(name, wrong)
    kept = {(one.fact.currency, one.fact.rate_on): one for one in shop.current(DayRate)}
    new = [fact for _, fact in facts if _changes(kept.get((fact.currency, fact.rate_on)), fact)]
    refuse_closed(closed_until(shop), [fact.rate_on for fact in new])
    return [
        put(shop, fact, kept.get((fact.currency, fact.rate_on)), numbered(hand, at))
        for at, fact in enumerate(new)
    ]


def refuse_used(shop: RecordShop, rate: Record[DayRate]) -> None:
    """NotYet where a line would have another rate without that one, or none.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    rate : Record of DayRate
        That is to be taken back.

    Raises
    ------
    NotYet
        The line is named.
    """
    kept = book_kept(shop)
    left = replace(kept, rates=tuple(one for one in kept.rates if one.id != rate.id), around=())
    before = {line.id: line.rate for line in book_of(kept).lines}
    lost = [one for one in book_of(left).lines if one.rate != before[one.id]]
    if lost:
        raise NotYet(
            say("{what} of {day} stands on this rate", what=lost[-1].what, day=lost[-1].posted_on),
            remedy=say("Keep another rate of that day in its place: it takes this one's."),
        )  # fmt: skip


def _doubts(shop: RecordShop, facts: list[tuple[int, DayRate]]) -> Iterator[Problem]:
    """Rows far from the last rate of their currency, each beside the row before it."""
    last = last_rates(book_kept(shop))
    for line, fact in facts:
        yield from (_at(line, one) for one in rate_doubts(fact.currency, fact.rate, last))
        last[fact.currency] = fact.rate


def read_rates(content: bytes, name: str) -> list[tuple[int, DayRate]]:
    """Rates of a CSV file, each with its line.

    Parameters
    ----------
    content : bytes
        UTF-8; a comma or a semicolon between columns.
    name : str
        Of the file.

    Returns
    -------
    list of tuple of (int, DayRate)

    Raises
    ------
    Unreadable
        It is no table, or a column is missing.
    Unusable
        A row cannot be; each is named by its line.
    """
    rows = list(_rows(content, name))
    wrong: list[Problem] = []
    made = []
    for line, row in rows:
        try:
            made.append((line, _rate_of(row, name)))
        except Unusable as refusal:
            told = refusal.problems or (Problem("", refusal.reason, refusal.remedy),)
            wrong += [_at(line, one) for one in told]
    if wrong:
        raise _rows_wrong(name, wrong)
    return made


def kept_rates(shop: RecordShop) -> list[Record[DayRate]]:
    """Rates that were kept, the newest day first.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept; it is only read.

    Returns
    -------
    list of Record of DayRate
    """
    return sorted(
        shop.current(DayRate), key=lambda one: (one.fact.rate_on, one.fact.currency), reverse=True
    )


def lock(
    shop: RecordShop, until: date, *, on: date, text: str = "", **hand: Unpack[Hand]
) -> Record[BooksClosed]:
    """Close the book up to a day: nothing is put, corrected or taken back there any more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    until : date
    on : date
        Today.
    text : str
    **hand : Hand
        Who closes it.

    Returns
    -------
    Record of BooksClosed

    Raises
    ------
    NotYet
        A line up to that day has no rate or is for a lot without a machine, or the book is closed
        further already.
    Unusable
        The day is still to come.
    """
    fact = BooksClosed(until_on=until.isoformat(), text=text)
    refuse_fields(fact, *day_problems(fact.until_on, on, "until_on"))
    _refuse_lock(shop, fact)
    _refuse_bare(shop, fact.until_on)
    same = shop.current(BooksClosed, until_on=fact.until_on)
    _write_bearers(shop, fact.until_on, hand)
    return same[-1] if same else put(shop, fact, None, hand)


def _refuse_bare(shop: RecordShop, until: str) -> None:
    """NotYet where a line is for a lot without a machine: the first one would take it over."""
    kept = book_kept(shop)
    full = {one.lot for one in kept.machines.values()}
    for line in kept.postings:
        fact: Posting = line.newest.fact
        alone = fact.machine is None and not fact.shared_by and fact.of is None
        if fact.posted_on <= until and alone and fact.lot in kept.lots and fact.lot not in full:
            raise NotYet(
                say("{what} of {day} is for a lot that has no machine",
                    what=fact.what, day=fact.posted_on),
                remedy=say("Name its machines first, or say that it is for the shop as a whole."),
            )  # fmt: skip


def _write_bearers(shop: RecordShop, until: str, hand: Hand) -> None:
    """Who bears a shared line, written into those that do not say it yet: it moves no more."""
    kept = book_kept(shop)
    new = [
        ToAdd(fact=fact, replaces=line.newest.id)
        for line in kept.postings
        if line.newest.fact.posted_on <= until and not line.newest.fact.weights
        and (fact := borne(line.newest.fact, kept.machines, kept.worth))
        != line.newest.fact
    ]  # fmt: skip
    if new:
        shop.add_all(new, by=hand["by"], device=hand.get("device", ""),
                     observed_at=hand.get("observed_at"))  # fmt: skip


def closings(shop: RecordShop) -> list[Record[BooksClosed]]:
    """Closings that count, the newest day first.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept; it is only read.

    Returns
    -------
    list of Record of BooksClosed
    """
    return sorted(shop.current(BooksClosed), key=lambda one: one.fact.until_on, reverse=True)


def _refuse_lock(shop: RecordShop, fact: BooksClosed) -> None:
    until = closed_until(shop)
    if fact.until_on < until:
        raise NotYet(
            say("the book is closed up to {until} already", until=until),
            remedy=say("To open it again take that closing back."),
        )
    missing = [pair for pair in book_of(book_kept(shop)).missing_rates if pair[1] <= fact.until_on]
    if missing:
        raise NotYet(
            say("missing rate: {currency} on {day}", currency=missing[0][0], day=missing[0][1]),
            remedy=say("Keep it first: what has no rate counts with nothing."),
            problems=tuple(
                Problem(currency, say("has no rate on {day}", day=day)) for currency, day in missing
            ),
        )


def _at(line: int, one: Problem) -> Problem:
    """A problem of a row by the line it stands on."""
    where = say("line {line}", line=line)
    return Problem(where, f"{one.where} {one.what}".strip(), one.remedy)


def _own(shop: RecordShop, fact: DayRate) -> Iterator[Problem]:
    mine = shop.current(Shop)
    home = mine[-1].fact.currency if mine else Shop().currency
    if fact.currency == home:
        what = say("is the shop's own currency")
        yield Problem("currency", what, say("Name the other one."))


def _changes(old: Record[DayRate] | None, fact: DayRate) -> bool:
    return old is None or old.fact.rate != fact.rate


def _rows(content: bytes, name: str) -> Iterator[tuple[int, dict[str, str]]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(
            say("{name} is not UTF-8 text", name=name),
            remedy=say("Save it as CSV with UTF-8 and send it again."),
        ) from None
    first = text.partition("\n")[0]
    reader = csv.DictReader(io.StringIO(text), delimiter=";" if ";" in first else ",")
    missing = [one for one in COLUMNS if one not in (reader.fieldnames or ())]
    if missing:
        raise Unreadable(
            say("{name} has no column {column}", name=name, column=missing[0]),
            remedy=say("Give it the columns date, currency, rate."),
            problems=tuple(Problem(one, say("is missing")) for one in missing),
        )
    for row in reader:
        if any(value for value in row.values() if isinstance(value, str) and value.strip()):
            cells = {key: str(row[key] or "").strip() for key in COLUMNS}
            yield reader.line_num, cells


def _rate_of(row: dict[str, str], name: str) -> DayRate:
    try:
        day = date.fromisoformat(row["date"]).isoformat()
    except ValueError:
        what = say("is {value}, no day", value=repr(row["date"]))
        remedy = say("Write it as 2026-11-25.")
        raise Unusable(what, remedy=remedy, problems=(Problem("date", what, remedy),)) from None
    fact = DayRate(
        currency=known_code(row["currency"]), rate_on=day,
        rate=number(row["rate"], field="rate"), source=name,
    )  # fmt: skip
    refuse_fields(fact)
    return fact


def _rows_wrong(name: str, problems: list[Problem]) -> Unusable:
    return Unusable(
        say("{count} rows of {name} cannot be used", count=len(problems), name=name),
        remedy=say("Mend what is named and read it again; nothing was kept."),
        problems=tuple(problems),
    )
