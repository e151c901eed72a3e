"""A part as it stands: what was quoted, what is out for it, what lies on the shelf."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from retrue.base.say import say
from retrue.cases.fix.buying_lines import Offer, Part
from retrue.cases.fix.kept import FixKept, OutKept
from retrue.cases.fix.owed import PartOut, out_state
from retrue.cases.fix.quotes import Change, change_of, offers_of, rate_of
from retrue.kinds.judged import Three
from retrue.records.fixing import Quoted
from retrue.records.shop import Record


def expected(money: Three) -> float:
    """The mean of a judged range.

    Parameters
    ----------
    money : Three

    Returns
    -------
    float

    References
    ----------
    D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, Application of a technique for research
    and development program evaluation, Operations Research 7 (1959): (a + 4 m + b) / 6.

    Examples
    --------
    >>> expected(Three(1.0, 2.0, 9.0))
    3.0
    """
    return (money.low + 4 * money.likely + money.high) / 6


def part_now(part: Part, kept: FixKept, machine: str, *, on: date) -> Part:
    """A part of a card with all that is known of it today.

    Parameters
    ----------
    part : Part
        As the table or the owner's own figure has it.
    kept : FixKept
        Everything of its lot.
    machine : str
        Id of the machine's first record.
    on : date
        Today.

    Returns
    -------
    Part
        Its state, offers and promise. What is out for it goes before the cheapest quote that
        holds, that before the table: for money, days and source.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> part = Part(line="F15:local", what="winding", money=Three(500, 700, 900), days=20)
    >>> part_now(part, FixKept(lot="a", lot_name="a", case=case, machines=()), "m",
    ...     on=date(2026, 11, 26)) == part
    True
    """
    change = change_of(kept.case)
    stands = out_state(kept.outs, machine=machine, line=part.line)
    offers = offers_of(quotes_for(kept.quotes, machine, part.line), change, on=on)
    best = next((one for one in offers if one.cheapest), None)
    made = _quoted(part, best) if best is not None else part
    if stands.out is not None and stands.state in ("ordered", "sent_out", "here"):
        made = _awaited(made, stands, stands.out, change, kept.quotes, on)
    return replace(made, state=stands.state, offers=offers, promised_on=stands.promised_on)


def quotes_for(
    quotes: Iterable[Record[Quoted]], machine: str, line: str
) -> tuple[Record[Quoted], ...]:
    """Quotes of a line; what names no machine is for each of the lot.

    Parameters
    ----------
    quotes : iterable of Record of Quoted
    machine, line : str

    Returns
    -------
    tuple of Record of Quoted

    Examples
    --------
    >>> quotes_for((), "m", "F15:local")
    ()
    """
    return tuple(
        one for one in quotes if one.fact.line == line and one.fact.machine in (machine, None)
    )


def out_amount(
    one: OutKept, change: Change, quotes: Iterable[Record[Quoted]] = ()
) -> Decimal | None:
    """What something that is out costs, in the shop's currency, exactly.

    Parameters
    ----------
    one : OutKept
    change : Change
    quotes : iterable of Record of Quoted
        The one that was taken brings its rate.

    Returns
    -------
    Decimal or None
        None: nobody said what it costs, or no rate is known.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.fixing import Out
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-02",
    ...     amount=Decimal(80))
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "", "", None, out, "", ""), out=out)
    >>> out_amount(kept, Change(currency="EUR"))
    Decimal('80')
    """
    if one.out.amount is None:
        return None
    taken = next((quote.fact for quote in quotes if quote.id == one.out.quote), None)
    own, own_on = (taken.rate, taken.rate_on) if taken is not None else (None, None)
    rate = rate_of(one.out.currency, change, own, own_on)
    return None if rate is None else one.out.amount * rate.value


def _quoted(part: Part, best: Offer) -> Part:
    amount = best.amount if best.amount is not None else 0.0
    fact = best.record.fact
    return replace(
        part,
        money=Three(amount, amount, amount),
        days=best.days if best.days is not None else part.days,
        units=fact.units,
        source=say("quote of {whom} on {day}", whom=fact.vendor, day=fact.quoted_on),
        mark="",
    )


def _awaited(
    part: Part,
    stands: PartOut,
    one: OutKept,
    change: Change,
    quotes: Iterable[Record[Quoted]],
    on: date,
) -> Part:
    """The price that was agreed, and the days until it was promised."""
    amount = out_amount(one, change, quotes)
    money = part.money if amount is None else Three(*(float(amount),) * 3)
    days = part.days
    if stands.state == "here":
        days = 0.0
    elif stands.promised_on is not None:
        days = float(max(0, (date.fromisoformat(stands.promised_on) - on).days))
    whom = one.out.whom
    source = part.source if amount is None else say("agreed with {whom}", whom=whom)
    return replace(part, money=money, days=days, source=source)
