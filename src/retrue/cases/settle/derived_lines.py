"""Lines the book knows without typing: the hammer, what came back, deposits, hire days. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from retrue.base.currencies import to_step
from retrue.base.say import say
from retrue.cases.fix.outs import OutKept
from retrue.cases.happening import Line
from retrue.cases.settle.entries import Around, entry_of
from retrue.cases.settle.kept import BookKept, LotHere
from retrue.cases.settle.lines import BookLine
from retrue.records.facts import Terms
from retrue.records.settling import Posting

WHOLE = "outcome:"  # a line with such a source stands for all that came of the hammer
BUCKET_OF = {
    "ordered": "parts",
    "sent_out": "outside",
    "asked": "outside",
    "borrowed": "tooling",
    "hired": "hire",
}


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

    Yields
    ------
    Posting
        Ready to be put in the book.
    """
    if posted is None:
        posted = {line.newest.fact.source for line in kept.postings}
    there = frozenset(posted)
    for fact in expected(kept, on=on):
        if not _is_posted(fact.source, there):
            yield fact


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
    for out in kept.outs:
        yield from _out(out, given)
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


def _out(one: OutKept, given: Mapping[str, str]) -> Iterator[Posting]:
    """What was paid for something that came back; a deposit that is out, or came back by now."""
    out, ended = one.out, one.ended
    common: dict[str, Any] = {
        "lot": out.lot,
        "machine": out.machine,
        "whom": out.whom,
        "currency": out.currency,
        "line": out.line,
        "paid_from": "owed",
    }
    came_back = ended is not None and bool(ended.fact.deposit_back)
    source = f"out:{one.first.id}:deposit"
    if out.deposit and came_back and source in given:
        assert ended is not None
        yield Posting(
            sort="deposit_back", posted_on=ended.fact.ended_on, amount=out.deposit,
            what=say("deposit for {what}", what=out.what), of=given[source],
            source=f"{source}:back", **common | {"paid_from": "bank"},
        )  # fmt: skip
    if out.deposit and not came_back:
        yield Posting(
            sort="deposit", posted_on=out.since_on, amount=out.deposit,
            what=say("deposit for {what}", what=out.what), source=source,
            **common,
        )  # fmt: skip
    if ended is None:
        return
    owed = out.amount if one.counts and out.sort != "asked" else None
    paid = ended.fact.paid if ended.fact.paid is not None else owed
    if paid:
        yield Posting(
            sort="bought", posted_on=ended.fact.ended_on, amount=paid, what=out.what,
            bucket=BUCKET_OF[out.sort], source=f"out:{one.first.id}", **common,
        )  # fmt: skip


def _hired(kept: BookKept, on: date) -> Iterator[Posting]:
    """Days of hire that are over, borne alike by the machines that were worked at."""
    for record in kept.gear:
        gear = record.fact
        if gear.have != "hired" or not gear.day_costs:
            continue
        for day in sorted(set(gear.days)):
            if day <= on.isoformat():
                keys = tuple(key for key in kept.worked.get(day, ()) if key in kept.machines)
                lots = {kept.machines[key].lot for key in keys}
                yield Posting(
                    sort="bought", posted_on=day, what=say("hire of {what}", what=gear.name),
                    whom=gear.whom, amount=gear.day_costs * gear.count, currency=kept.currency,
                    bucket="hire", source=f"hire:{gear.name}:{day}", paid_from="owed",
                    shared_by=keys, split="equal" if keys else "",
                    lot=lots.pop() if len(lots) == 1 else None,
                )  # fmt: skip
