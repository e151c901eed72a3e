"""Whether a rate can be: the wrong way round, a mark too far, of a day to come. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.kept import BookKept
from retrue.records.settling import Posting

MOST_APART = 3  # times, from the last that was kept; judgement, no source


def last_rates(kept: BookKept) -> dict[str, Decimal]:
    """The newest rate of each currency: kept for a day, else typed with a line.

    Parameters
    ----------
    kept : BookKept

    Returns
    -------
    dict of currency to Decimal

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> last_rates(BookKept(shop=Shop()))
    {}
    """
    typed = [line.newest.fact for line in kept.postings if line.newest.fact.rate is not None]
    found = {one.currency: one.rate for one in sorted(typed, key=lambda one: one.posted_on)}
    days = sorted((one.fact for one in kept.rates), key=lambda one: one.rate_on)
    return found | {one.currency: one.rate for one in days}


def rate_doubts(
    currency: str, rate: Decimal, last: Mapping[str, Decimal], field: str = "rate"
) -> Iterator[Problem]:
    """What makes a rate doubtful beside the last one of its currency.

    Parameters
    ----------
    currency : str
    rate : Decimal
        Shop's currency for one unit of it.
    last : mapping of currency to Decimal
    field : str
        Where it was given.

    Yields
    ------
    Problem

    References
    ----------
    Judgement: a currency that moves threefold between two papers is asked about.

    Examples
    --------
    >>> next(rate_doubts("JPY", Decimal(163), {"JPY": Decimal("0.0061")})).what
    'is 163, and the last of JPY was 0.0061: it is the wrong way round'
    >>> list(rate_doubts("CHF", Decimal("1.07"), {"CHF": Decimal("1.05")}))
    []
    """
    before = last.get(currency)
    if before is None or rate <= 0 or before <= 0 or _near(rate, before):
        return
    what = say("is {rate}, and the last of {currency} was {last}",
               rate=rate, currency=currency, last=before)  # fmt: skip
    if _near(1 / rate, before):
        what = say("{told}: it is the wrong way round", told=what)
    remedy = say("Write what one {currency} is worth in the shop's money; or say that you are "
                 "sure.", currency=currency)  # fmt: skip
    yield Problem(field, what, remedy)


def typed_problems(fact: Posting, home: str, *, today: date) -> Iterator[Problem]:
    """What is wrong with a rate that came with a line, whatever the last one was.

    Parameters
    ----------
    fact : Posting
    home : str
        The shop's currency.
    today : date

    Yields
    ------
    Problem
        It is of a day to come, or stands on a line in the shop's own money.

    Examples
    --------
    >>> line = Posting(sort="paid", posted_on="2026-11-25", what="belt", amount=Decimal(9),
    ...                rate=Decimal("1.2"), rate_on="2026-11-27")
    >>> [one.where for one in typed_problems(line, "EUR", today=date(2026, 11, 26))]
    ['rate', 'rate_on']
    """
    if fact.rate is None:
        return
    if fact.currency == home and fact.rate != 1:
        what = say("stands on a line in {currency}, the shop's own", currency=home)
        yield Problem("rate", what, say("Leave it out, or say in which currency the paper is."))
    if fact.rate_on is not None and fact.rate_on > today.isoformat():
        what = say("is {day}, and that is still to come", day=fact.rate_on)
        yield Problem("rate_on", what, say("Write the day on which it was."))


def _near(one: Decimal, other: Decimal) -> bool:
    return one <= other * MOST_APART and other <= one * MOST_APART
