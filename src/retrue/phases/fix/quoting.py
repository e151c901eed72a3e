"""Quotes: kept from a line as it was spoken or field by field, and taken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Unpack

from retrue.base.formatter import money
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.fix.kept import OutKept, outs_of
from retrue.cases.fix.known_lines import kinds_of, known_lines, line_problems, line_words
from retrue.cases.fix.quotes import change_of, own_figure
from retrue.cases.fix.spoken import Spoken, quote_line
from retrue.cases.fix.typed import CODES, MOST_DAYS
from retrue.cases.kept_case import kept_case, line_of
from retrue.cases.known import cost_lines, nearest
from retrue.cases.scope import paid_by_unit
from retrue.cases.spot import find_lot
from retrue.kinds.library import Kind
from retrue.phases.fix.out_amending import put, refuse_fields, still_to_come
from retrue.phases.fix.out_finding import SHORT
from retrue.phases.fix.taking import not_taken
from retrue.phases.fix.waiting import placed
from retrue.records.facts import CostLine, Machine
from retrue.records.fixing import Out, Quoted
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop


def quote(
    shop: RecordShop,
    quoted: Quoted,
    kinds: Mapping[str, Kind],
    *,
    today: date | None = None,
    **hand: Unpack[Hand],
) -> Record[Quoted]:
    """Keep what somebody asks for a part or a service.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    quoted : Quoted
        ``lot`` and ``machine`` as name or id; the amount is for each of its units.
    kinds : mapping of str to Kind
        The library.
    today : date or None
        Nothing was quoted on a later day; None: nobody says which day it is.
    **hand : Hand
        Who heard it.

    Returns
    -------
    Record of Quoted
        The same again adds nothing.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        A field cannot be, the line or the currency is none; each is named.
    """
    fact, known = placed(shop, quoted, kinds)
    strange = [] if fact.currency in CODES else [_no_currency(fact.currency)]
    if fact.days is not None and fact.days > MOST_DAYS:
        strange.append(Problem("days", say("is more than ten years"), say("Write it in days.")))
    strange += still_to_come(fact.quoted_on, today, "quoted_on")
    refuse_fields(fact, *line_problems(fact.line, known), *strange)
    same = [one for one in shop.current(Quoted, lot=fact.lot) if one.fact == fact]
    return same[-1] if same else put(shop, fact, None, hand)


def read_quote(
    shop: RecordShop,
    lot: str,
    text: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    machine: str | None = None,
) -> Spoken:
    """Read one line as it was spoken, for a lot or one of its machines; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept; it is only read.
    lot : str
        Name or id.
    text : str
        As for :func:`retrue.cases.fix.spoken.quote_line`.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    machine : str or None
        Name or id.

    Returns
    -------
    Spoken
    """
    home, _ = find_lot(shop, lot)
    machines = [one.fact for one in shop.current(Machine, lot=home)]
    mine = [one for one in machines if machine in (None, one.name)] or machines
    lines = known_lines(kinds_of(mine, kinds))
    return quote_line(text, on=on, lines=lines, tax_rate=tax_rate(shop, home))


def tax_rate(shop: RecordShop, lot: str) -> float | None:
    """The share of tax in a lot, by which a quote that holds tax is read.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot : str
        Name or id.

    Returns
    -------
    float or None
        None: nobody said.
    """
    return kept_case(shop, find_lot(shop, lot)[0]).terms.tax_rate


def quote_said(
    shop: RecordShop,
    lot: str,
    spoken: Spoken,
    kinds: Mapping[str, Kind],
    *,
    machine: str | None = None,
    currency: str = "",
    **hand: Unpack[Hand],
) -> Record[Quoted]:
    """Keep a line as it was spoken and read.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    spoken : Spoken
        With a problem it is refused; what told nothing stays in its text.
    kinds : mapping of str to Kind
        The library.
    machine : str or None
        Name or id; None: for each of the lot.
    currency : str
        Where none was said; empty: the shop's.
    **hand : Hand
        Who heard it.

    Returns
    -------
    Record of Quoted

    Raises
    ------
    Unusable
        Something was not understood that must be; each is named.
    """
    if spoken.problems or spoken.amount is None:
        raise Unusable(
            say("this quote was not understood"),
            remedy=say("Say again what is named; nothing was kept."),
            problems=spoken.problems,
        )
    home = find_lot(shop, lot)[0]
    fact = Quoted(
        lot=home, machine=machine, line=spoken.line, vendor=spoken.vendor, amount=spoken.amount,
        quoted_on=spoken.quoted_on.isoformat(), rate=spoken.rate, units=spoken.units,
        currency=spoken.currency or currency or kept_case(shop, home).shop.currency,
        rate_on=_iso(spoken.rate_on), days=spoken.days, tax=spoken.tax,
        valid_until_on=_iso(spoken.valid_until_on), by_telephone=True, text=spoken.text,
    )  # fmt: skip
    return quote(shop, fact, kinds, **hand)


def take(
    shop: RecordShop,
    quote_id: str,
    *,
    on: date,
    kinds: Mapping[str, Kind] | None = None,
    machine: str | None = None,
    today: date | None = None,
    **hand: Unpack[Hand],
) -> Record[Out]:
    """Take a quote: it is ordered, and its price stands for its line, with the reason.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    quote_id : str
        Any record of its line, the first signs of one, or the name of who quoted once.
    on : date
        The day of the order; the promise is that day and the days that were quoted.
    kinds : mapping of str to Kind or None
        By it the order says in words what it is for, and only lines of the tables get a price.
    machine : str or None
        Id, where the quote names none.
    today : date or None
        No order is of a later day; None: nobody says which day it is.
    **hand : Hand
        Who orders.

    Returns
    -------
    Record of Out
        Taken before and still out, the kept one.

    Raises
    ------
    Unknown
        No such quote.
    Unusable
        No rate leads from its currency to the lot's: the price could not stand; it ran out, it is
        younger than the order, or what it is for is done; each is named.
    """
    first, quoted = find_quote(shop, quote_id)
    order = _order(shop, first, replace(quoted, machine=quoted.machine or machine), on, kinds)
    line = _own_line(shop, replace(quoted, machine=order.machine), kinds)
    taken = [one for one in outs_of(shop, quoted.lot) if _is_taken(one, first, order)]
    if not taken:
        asked = replace(quoted, machine=order.machine)
        refuse_fields(order, *not_taken(shop, asked, on, kinds or {}, today))
    record = taken[-1].first if taken else put(shop, order, None, hand)
    if line is not None:
        where = {"lot": line.lot, "machine": line.machine, "line": line.line}
        old = shop.current(CostLine, **where)
        put(shop, line, old[-1] if old else None, without_id(hand))
    return record


def find_quote(shop: RecordShop, wanted: str) -> tuple[str, Quoted]:
    """A quote that counts: the id of its first record, and what it says.

    Raises
    ------
    Unknown
        There is none, or several go by that name.
    """
    every = [line_of(shop, one) for one in shop.current(Quoted)]
    said = wanted.strip().casefold()
    ids = [one for one in every if wanted in (one.first.id, one.newest.id)]
    short = [one for one in every if len(said) >= SHORT and one.first.id.startswith(said)]
    names = [one for one in every if one.newest.fact.vendor.casefold() == said]
    for found in (ids, short, names):
        if len(found) == 1:
            return found[0].first.id, found[0].newest.fact
    several = short or names
    if several:
        told = "; ".join(f"{one.first.id}: {_said_of(one.newest.fact)}" for one in several)
        raise Unknown(
            say("{wanted} means {count} quotes", wanted=wanted, count=len(several)),
            remedy=say("Say which by its id: {named}.", named=told),
        )
    vendors = sorted({one.newest.fact.vendor for one in every})
    raise Unknown(
        say("{wanted} is no quote that counts", wanted=wanted),
        remedy=nearest(wanted, vendors) or say("Keep it first: retrue fix quote."),
    )


def _said_of(quoted: Quoted) -> str:
    """A quote in a few words, to be told from its like."""
    amount = money(float(quoted.amount * quoted.units), quoted.currency, 2)
    return f"{quoted.line}, {quoted.vendor}, {quoted.quoted_on}, {amount}"


def _order(
    shop: RecordShop, first: str, quoted: Quoted, on: date, kinds: Mapping[str, Kind] | None
) -> Out:
    days = quoted.days
    machines = [one.fact for one in shop.current(Machine, lot=quoted.lot)]
    return Out(
        lot=quoted.lot,
        machine=quoted.machine,
        sort="ordered",
        line=quoted.line,
        what=line_words(quoted.line, kinds_of(machines, kinds or {})),
        whom=quoted.vendor,
        since_on=on.isoformat(),
        promised_on=(on + timedelta(days=round(days))).isoformat() if days is not None else None,
        amount=quoted.amount * quoted.units,
        currency=quoted.currency,
        quote=first,
    )


def _is_taken(one: OutKept, first: str, order: Out) -> bool:
    same = one.out.quote == first and one.out.machine == order.machine
    return same and one.ended is None


def _own_line(
    shop: RecordShop, quoted: Quoted, kinds: Mapping[str, Kind] | None
) -> CostLine | None:
    """The price of its line, where that is one of the tables' ways or jobs."""
    if not _has_price(quoted.line, kinds):
        return None
    change = change_of(kept_case(shop, quoted.lot))
    amount = own_figure(quoted, change, by_unit=_by_unit(shop, quoted, kinds or {}))
    if amount is None:
        what = say("no rate is known for {currency}", currency=quoted.currency)
        remedy = say("Correct the quote: give its rate and the day it is of; then take it.")
        raise Unusable(what, remedy=remedy, problems=(Problem("rate", what, remedy),))
    return CostLine(
        lot=quoted.lot, machine=quoted.machine, line=quoted.line, amount=amount, days=quoted.days,
        reason=say("quote of {whom} on {day}", whom=quoted.vendor, day=quoted.quoted_on),
    )  # fmt: skip


def _by_unit(shop: RecordShop, quoted: Quoted, kinds: Mapping[str, Kind]) -> bool:
    machines = [one.fact for one in shop.current(Machine, lot=quoted.lot)]
    return any(paid_by_unit(kind, quoted.line) for kind in kinds_of(machines, kinds))


def _has_price(line: str, kinds: Mapping[str, Kind] | None) -> bool:
    """Whether a line is a way of a fault or a job."""
    if kinds is not None:
        return line in cost_lines(list(kinds.values()))
    return re.fullmatch(r"F[0-9]+:\w+|J[0-9]+", line) is not None


def _no_currency(code: str) -> Problem:
    what = say("{code} is no currency", code=code)
    return Problem("currency", what, say("Write its three letters: EUR, GBP, CHF, USD."))


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None
