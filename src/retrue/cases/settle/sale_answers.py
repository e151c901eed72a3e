"""What to answer an offer: take it, wait, or refuse it, with why and until when."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.formatter import odds
from retrue.base.say import say
from retrue.cases.fix.amounts import about
from retrue.cases.settle.sale_kept import SaleKept, without_tax
from retrue.cases.settle.sale_lines import OfferLine, Sale
from retrue.records.settling import Offered
from retrue.records.shop import Record

TAKE, WAIT, REFUSE = "take", "wait", "refuse"


def answers(sale: Sale, kept: SaleKept) -> tuple[OfferLine, ...]:
    """Every offer with what to answer today, the highest that stands first.

    Parameters
    ----------
    sale : Sale
        With its line from today.
    kept : SaleKept

    Returns
    -------
    tuple of OfferLine
    """
    rows = [_row(id, record, sale, kept) for id, record in kept.offers]
    open_ones = [one for one in rows if one.record.fact.answer in ("", "waiting") and one.amount]
    best = max(open_ones, key=lambda one: one.amount or 0.0, default=None)
    marked = [one if one is not best else _best(one) for one in rows]
    return tuple(sorted(marked, key=lambda one: (not one.best, -(one.amount or 0.0))))


def _best(one: OfferLine) -> OfferLine:
    return OfferLine(id=one.id, record=one.record, amount=one.amount, say=one.say,
                     words=one.words, until_on=one.until_on, best=True)  # fmt: skip


def _row(id: str, record: Record[Offered], sale: Sale, kept: SaleKept) -> OfferLine:
    fact = record.fact
    amount = kept.in_shop(without_tax(fact), fact.currency, fact.offered_on)
    if amount is None:
        words = say(
            "The rate of {currency} near {day} is missing: nothing can be said of it.",
            currency=fact.currency, day=fact.offered_on,
        )  # fmt: skip
        return OfferLine(id=id, record=record, amount=None, say="", words=words)
    if sale.sold and fact.answer != "taken":
        words = say("It is sold: say so to them.")
        return OfferLine(id=id, record=record, amount=amount, say=REFUSE, words=words)
    floor = sale.answer.dump
    line = [(one.on, one.worth if fact.answer else one.take, one.unsold) for one in sale.line]
    what, words, until = answer(amount, line, floor, sale.currency)
    return OfferLine(id=id, record=record, amount=amount, say=what, words=words, until_on=until)


def answer(
    amount: float, line: Sequence[tuple[str, float, float]], dump: float, currency: str
) -> tuple[str, str, str]:
    """What to answer one offer today.

    Parameters
    ----------
    amount : float
        In the shop's currency.
    line : sequence of (ISO date, money, chance)
        From today on: the lowest offer to take, and that it is still there. Of a new offer what it
        says of the market is counted in; of one kept warm it is known already.
    dump : float
        What it goes for at once, in the shop's currency.
    currency : str
        The shop's.

    Returns
    -------
    what, words, until_on : str
        take, wait, refuse; why; and the day from which on it is worth taking.

    Examples
    --------
    >>> line = [("2026-12-01", 9000.0, 1.0), ("2027-01-01", 8000.0, 0.7)]
    >>> [answer(sum, line, 5000.0, "EUR")[0] for sum in (9100.0, 8200.0, 4000.0)]
    ['take', 'wait', 'refuse']
    >>> answer(8200.0, line, 5000.0, "EUR")[2]
    '2027-01-01'
    """
    now = line[0][1] if line else dump
    if amount >= now:
        words = say(
            "Take it: waiting on is worth no more than {take}, with what a month costs counted in.",
            take=about(now, currency),
        )
        return TAKE, words, ""
    if amount < dump:
        words = say(
            "Refuse it: who takes everything at once pays about {dump}.",
            dump=about(dump, currency),
        )
        return REFUSE, words, ""
    later = next((one for one in line if one[1] <= amount), None)
    if later is None:
        return WAIT, say("Keep it warm: it is more than what it goes for in the end."), ""
    words = say(
        "Not yet: take from {take} on. Keep it warm; from {day} on take it, if it still stands. "
        "That the machine is still there then: {chance}.",
        take=about(now, currency),
        day=later[0],
        chance=odds(later[2]),
    )
    return WAIT, words, later[0]
