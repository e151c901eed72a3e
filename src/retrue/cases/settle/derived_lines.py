"""Lines the book knows without typing: the hammer, what came back, deposits, hire days. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from retrue.base.currencies import to_step
from retrue.base.say import say
from retrue.cases.fix.outs import OutKept
from retrue.cases.happening import Line
from retrue.cases.settle.derived_deposit import BUCKET_OF as BUCKET_OF  # from here as well
from retrue.cases.settle.derived_deposit import common_of, deposit_lines, taken_of
from retrue.cases.settle.derived_hire import by_its_days, days_in_book, is_that
from retrue.cases.settle.entries import Around, entry_of
from retrue.cases.settle.kept import BookKept, LotHere
from retrue.cases.settle.lines import BookLine
from retrue.records.facts import Terms
from retrue.records.settling import Posting

WHOLE = "outcome:"  # a line with such a source stands for all that came of the hammer


def expected_lines(
    kept: BookKept, about: Around, posted: Collection[str], *, on: date | None
) -> list[BookLine]:
    """What is known from an outcome, an order or a hire and is not in the book yet.

    Parameters
    ----------
    kept : BookKept
    about : Around
    posted : collection of str
        Sources of the lines that are in the book: what they name is not counted again.
    on : date or None
        Today: days of hire up to it were used; None: none is known to have been.

    Returns
    -------
    list of BookLine
        Of state ``expected``, paid from ``owed``; their id is what they were made from.

    Examples
    --------
    >>> from retrue.cases.settle.entries import around
    >>> from retrue.records.facts import Shop
    >>> empty = BookKept(shop=Shop())
    >>> expected_lines(empty, around(empty), (), on=None)
    []
    """
    return [
        replace(entry_of(fact, None, about, id=fact.source).line, state="expected")
        for fact in still_expected(kept, on=on, posted=posted)
    ]


def still_expected(
    kept: BookKept, *, on: date | None, posted: Collection[str] | None = None
) -> Iterator[Posting]:
    """Lines that are known without typing and are not in the book yet.

    Parameters
    ----------
    kept : BookKept
    on : date or None
        Today.
    posted : collection of str or None
        Sources of the lines that are in the book; None: as kept.
        A line of a day in a closed part is of the first day after it.

    Yields
    ------
    Posting
        Ready to be put in the book.
    """
    if posted is None:
        posted = {line.newest.fact.source for line in kept.postings}
    there = frozenset(posted)
    for fact in expected(kept, on=on):
        late = on is not None and fact.posted_on > on.isoformat()
        if not late and not _is_posted(fact.source, there):
            yield _after_closing(fact, kept.closed_until)


def _after_closing(fact: Posting, closed_until: str) -> Posting:
    """A line of a closed part counts from the first open day: what is closed stays as it was."""
    if not closed_until or fact.posted_on > closed_until:
        return fact
    day = (date.fromisoformat(closed_until) + timedelta(days=1)).isoformat()
    return replace(
        fact, posted_on=day,
        text=say("of {day}, in a part of the book that is closed", day=fact.posted_on),
    )  # fmt: skip


def expected(kept: BookKept, *, on: date | None) -> Iterator[Posting]:
    """Every line that is known without typing, whether it is in the book by now or not.

    Parameters
    ----------
    kept : BookKept
    on : date or None
        Today.

    Yields
    ------
    Posting
        Ready to be put in the book.
    """
    for outcome in kept.outcomes:
        fact = outcome.newest.fact
        lot = kept.lots.get(fact.lot)
        if fact.result == "won" and fact.amount and lot is not None:
            terms = kept.terms.get(fact.lot) or Terms(lot=fact.lot)
            yield from _hammer(outcome, lot, terms, kept.currency)
    given = {
        line.newest.fact.source: line.first.id
        for line in kept.postings
        if line.newest.fact.sort == "deposit"
    }
    taken, days = taken_of(kept), days_in_book(kept)
    for out in kept.outs:
        yield from deposit_lines(out, given, taken)
        if not by_its_days(out, days):
            yield from _out(out, kept)
    if on is not None:
        yield from _hired(kept, on)


def known_sources(kept: BookKept, *, on: date | None) -> frozenset[str]:
    """What a line may say it was made from: all that is expected, each outcome and order whole.

    Parameters
    ----------
    kept : BookKept
    on : date or None
        Today.

    Returns
    -------
    frozenset of str

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> known_sources(BookKept(shop=Shop()), on=None)
    frozenset()
    """
    return frozenset(
        (
            *(fact.source for fact in expected(kept, on=on)),
            *(f"{WHOLE}{one.first.id}" for one in kept.outcomes),
            *(f"out:{one.first.id}" for one in kept.outs),
        )
    )


def _is_posted(source: str, posted: frozenset[str]) -> bool:
    whole = source.rpartition(":")[0]
    return source in posted or (source.startswith(WHOLE) and whole in posted)


def _hammer(outcome: Line, lot: LotHere, terms: Terms, home: str) -> Iterator[Posting]:
    """Price, premium and duty, each with its tax by the terms of the sale."""
    fact = outcome.newest.fact
    scheme: Any = terms.tax_scheme or ""
    day = outcome.newest.observed_at.date().isoformat()
    shows_tax = scheme not in ("margin", "private") and terms.tax_rate is not None
    common: dict[str, Any] = {
        "sort": "bought",
        "posted_on": day,
        "currency": lot.currency,
        "rate": lot.rate if lot.currency != home else None,
        "rate_on": (lot.rate_on or day) if lot.currency != home and lot.rate else None,
        "lot": lot.id,
        "paid_from": "owed",
        "tax_rate": Decimal(repr(terms.tax_rate)) if shows_tax else None,
        "tax_in": False,
        "tax_scheme": scheme,
        "tax_reclaimable": terms.tax_reclaimable if shows_tax else None,
    }
    source = f"{WHOLE}{outcome.first.id}"
    parts: tuple[tuple[str, str, str, float | None], ...] = (
        ("price", "price", say("hammer price of {lot}", lot=lot.name), 1.0),
        ("premium", "premium", say("buyer's premium of {lot}", lot=lot.name), terms.premium),
        ("duty", "tax", say("duty on {lot}", lot=lot.name), terms.duty),
    )
    for part, bucket, what, share in parts:
        if share:
            amount = to_step(fact.amount * Decimal(repr(share)), lot.currency, "half_up")
            yield Posting(
                what=what, amount=amount, bucket=bucket, source=f"{source}:{part}", **common
            )


def tax_of_out(one: OutKept, kept: BookKept) -> dict[str, Any]:
    """How a sum paid for something out is taxed, by the quote that was taken.

    Parameters
    ----------
    one : OutKept
    kept : BookKept

    Returns
    -------
    dict
        ``tax_rate``, ``tax_in`` of a posting; empty where nobody said: no quote was taken, it does
        not say whether it holds the tax, no rate is known, or another sum was paid than either.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.facts import Shop
    >>> from retrue.records.fixing import Out, Quoted
    >>> from retrue.records.shop import Record
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-02",
    ...           amount=Decimal(80), quote="q")
    >>> quote = Quoted(lot="l", line="belt", vendor="the dealer", quoted_on="2026-11-01",
    ...                amount=Decimal(80), tax="excl")
    >>> terms = {"l": Terms(lot="l", tax_rate=0.21)}
    >>> first = Record("a", "out", 1, 1, at, at, "", "", None, out, "", "")
    >>> tax_of_out(OutKept(first=first, out=out),
    ...            BookKept(shop=Shop(), quotes={"q": quote}, terms=terms))
    {'tax_rate': Decimal('0.21'), 'tax_in': False}
    """
    quoted, terms = kept.quotes.get(one.out.quote or ""), kept.terms.get(one.out.lot)
    agreed, rate = one.out.amount, terms.tax_rate if terms is not None else None
    if quoted is None or not quoted.tax or rate is None or agreed is None:
        return {}
    share = Decimal(repr(rate))
    sum_paid = agreed
    if one.ended is not None and one.ended.fact.paid is not None:
        sum_paid = one.ended.fact.paid
    if sum_paid == agreed:
        return {"tax_rate": share, "tax_in": quoted.tax == "incl"}
    with_tax = to_step(agreed * (1 + share), one.out.currency, "half_up")
    if quoted.tax == "excl" and sum_paid == with_tax:
        return {"tax_rate": share, "tax_in": True}
    return {}


def _out(one: OutKept, kept: BookKept) -> Iterator[Posting]:
    """What was paid for something that came back."""
    out, ended = one.out, one.ended
    if ended is None:
        return
    owed = out.amount if one.counts and out.sort != "asked" else None
    paid = ended.fact.paid if ended.fact.paid is not None else owed
    if paid:
        yield Posting(
            sort="bought", posted_on=ended.fact.ended_on, amount=paid, what=out.what,
            bucket=BUCKET_OF[out.sort], source=f"out:{one.first.id}", **common_of(one),
            **tax_of_out(one, kept),
        )  # fmt: skip


def _hired(kept: BookKept, on: date) -> Iterator[Posting]:
    """Days of hire that are over, borne alike by the machines that were worked at.

    Days of what came back with a bill of its own, or is paid by one, are in that bill.
    """
    posted = {line.newest.fact.source for line in kept.postings}
    billed = [
        one for one in kept.outs
        if f"out:{one.first.id}" in posted or (one.ended is not None and any(_out(one, kept)))
    ]  # fmt: skip
    for record in kept.gear:
        gear = record.fact
        if gear.have != "hired" or not gear.day_costs:
            continue
        for day in sorted(set(gear.days)):
            source = f"hire:{gear.name}:{day}"
            covered = any(is_that(one, gear.name, gear.whom, day) for one in billed)
            if day <= on.isoformat() and (source in posted or not covered):
                keys = tuple(key for key in kept.worked.get(day, ()) if key in kept.machines)
                lots = {kept.machines[key].lot for key in keys}
                yield Posting(
                    sort="bought", posted_on=day, what=say("hire of {what}", what=gear.name),
                    whom=gear.whom, amount=gear.day_costs * gear.count, currency=kept.currency,
                    bucket="hire", source=source, paid_from="owed",
                    shared_by=keys, split="equal" if keys else "",
                    lot=lots.pop() if len(lots) == 1 else None,
                )  # fmt: skip
