"""One posting as it counts: its line for a reader, and its legs. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from retrue.base.currencies import to_step
from retrue.books.postings import (
    DEPOSITS,
    OWED_BY_US,
    OWED_TO_US,
    Deal,
    Leg,
    cost_in_home,
    legs_of,
)
from retrue.books.rates import Rate, Rates, changed
from retrue.books.split import shared_out
from retrue.books.tax import Taxed, tax_problems, taxed
from retrue.cases.settle.bearers import NOBODY, Bearers, bearers_of
from retrue.cases.settle.kept import BookKept, MachineHere
from retrue.cases.settle.lines import BookLine, BookShare
from retrue.records.settling import Posting

NO_COST = ("deposit", "deposit_back", "exchanged")
BRINGING = ("sold", "received")
TAX_FIELDS = ("tax_rate", "tax_scheme", "tax_reclaimable")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Around:
    """What a posting needs beside itself: machines, lots, worth, rates."""

    home: str
    machines: Mapping[str, MachineHere]
    lot_names: Mapping[str, str]
    worth: Mapping[str, float]
    rates: Rates


@dataclass(frozen=True, slots=True)
class Entry:
    """A posting as it counts."""

    line: BookLine
    legs: tuple[Leg, ...]


def around(kept: BookKept) -> Around:
    """What every posting of a book needs beside itself.

    Parameters
    ----------
    kept : BookKept

    Returns
    -------
    Around
    """
    return Around(
        home=kept.currency,
        machines=kept.machines,
        lot_names={id: one.name for id, one in kept.lots.items()},
        worth=kept.worth,
        rates=Rates(
            kept.currency,
            ((one.fact.currency, one.fact.rate_on, one.fact.rate) for one in kept.rates),
        ),
    )


def settles(fact: Posting, of: Posting | None) -> str:
    """The account that a line evens out in place of being a cost or a sale; empty: none.

    Parameters
    ----------
    fact : Posting
    of : Posting or None
        The line it belongs to.

    Returns
    -------
    str
        ``deposits`` where a deposit was kept by the other side: then it is a cost.

    Examples
    --------
    >>> bill = Posting(sort="bought", posted_on="2026-11-25", what="belt", amount=Decimal(9),
    ...                paid_from="owed")
    >>> settles(replace(bill, sort="paid", of="a", paid_from="bank"), bill)
    'owed'
    """
    if of is None or fact.sort not in ("bought", "paid", "received"):
        return ""
    if fact.sort == "received":
        return OWED_TO_US if of.sort == "sold" and of.paid_from == "owed" else ""
    if of.sort == "deposit":
        return DEPOSITS
    return OWED_BY_US if of.paid_from == "owed" and fact.sort == "paid" else ""


def whole(fact: Posting, of: Posting | None) -> Posting:
    """A line with what it leaves unsaid taken from the line it belongs to.

    Parameters
    ----------
    fact : Posting
    of : Posting or None

    Returns
    -------
    Posting
    """
    if of is None:
        return fact
    more: dict[str, Any] = {}
    if fact.lot is None and fact.machine is None and not fact.shared_by:
        names = ("lot", "machine", "split", "shared_by", "weights")
        more |= {name: getattr(of, name) for name in names}
    more |= {
        name: getattr(of, name) for name in ("bucket", "line", "whom") if not getattr(fact, name)
    }
    if fact.sort == "returned" and fact.tax_rate is None and not fact.tax_scheme:
        more |= {name: getattr(of, name) for name in TAX_FIELDS}
    return replace(fact, **more)


def rate_of(fact: Posting, of: Posting | None, rates: Rates) -> Rate | None:
    """The rate a line is changed by; what is returned, by that of the line it undoes.

    Parameters
    ----------
    fact : Posting
    of : Posting or None
    rates : Rates

    Returns
    -------
    Rate or None
        None: missing.
    """
    if fact.rate is None and fact.sort == "returned" and of is not None:
        return rates.on(of.currency, of.posted_on, typed=of.rate, typed_on=of.rate_on)
    return rates.on(fact.currency, fact.posted_on, typed=fact.rate, typed_on=fact.rate_on)


def tax_of(fact: Posting) -> Taxed:
    """The tax of a line; only a cost, a sale or what undoes one has any.

    Parameters
    ----------
    fact : Posting

    Returns
    -------
    Taxed
        A line whose tax cannot be is taken without any.
    """
    amount = to_step(fact.amount, fact.currency)
    rate = fact.tax_rate if fact.sort not in (*NO_COST, "moved") else None
    wrong = tax_problems(rate=rate, scheme=fact.tax_scheme, reclaimable=fact.tax_reclaimable)
    return taxed(
        amount, fact.currency, rate=None if wrong else rate, included=fact.tax_in,
        scheme="" if wrong else fact.tax_scheme,
        reclaimable=None if wrong else fact.tax_reclaimable,
    )  # fmt: skip


def entry_of(said: Posting, of: Posting | None, about: Around, *, id: str, seq: int = 0) -> Entry:
    """One posting as it counts.

    Parameters
    ----------
    said : Posting
    of : Posting or None
        The line it belongs to, as it counts now.
    about : Around
    id : str
        First id of its line; of what is not posted, what it was made from.
    seq : int
        Number of its record.

    Returns
    -------
    Entry
        Its legs sum to nothing in every currency; its shares to what it costs.
    """
    fact = whole(said, of)
    found = rate_of(fact, of, about.rates)
    rate = None if found is None else found.rate
    told = tax_of(fact)
    evens = settles(fact, of)
    if evens in (OWED_BY_US, OWED_TO_US) and of is not None:
        shares, words, sign = _moved_rate(fact, told, rate, of, about)
    else:
        shares, words, sign = _shares(fact, told, rate, of, about)
    deal = Deal(
        sort=fact.sort,
        taxed=told,
        currency=fact.currency,
        home=about.home,
        rate=rate,
        money=_money(fact, evens),
        shares=tuple((_account(fact, of, key), sign * amount) for key, amount in shares),
        undoes="sale" if of is not None and of.sort in BRINGING else "cost",
        settles=evens,
        into_amount=to_step(fact.into_amount or Decimal(0), fact.into_currency or fact.currency),
        into_currency=fact.into_currency,
        into_money=fact.into_place,
    )
    line = _line(fact, told, found, shares if rate is not None else (), about)
    sells = _sells(fact, of)
    back = to_step(Decimal(0), fact.currency) if sells else told.back
    line = replace(line, id=id, seq=seq, split_words=words, brings=sells, tax_back=back)
    return Entry(line, legs_of(deal))


def _line(
    fact: Posting,
    told: Taxed,
    found: Rate | None,
    shares: tuple[tuple[str, Decimal], ...],
    about: Around,
) -> BookLine:
    """The line for a reader, but for what it is called and how it was shared."""
    lot = _lot(fact, about)
    foreign = found is not None and fact.currency != about.home
    return BookLine(
        id="", posted_on=fact.posted_on, sort=fact.sort, what=fact.what, whom=fact.whom,
        currency=fact.currency, amount=told.gross, net=told.net, tax=told.tax, tax_back=told.back,
        rate=found.rate if found is not None and foreign else None,
        rate_on=found.day if found is not None and foreign else "",
        in_shop=sum((amount for _, amount in shares), Decimal(0)),
        lot=lot, lot_name=about.lot_names.get(lot, ""), machine=fact.machine or "",
        bucket=fact.bucket, line=fact.line,
        shares=tuple(BookShare(machine=key, machine_name=_name(key, about), amount=amount)
                     for key, amount in shares),
        receipt=fact.receipt, source=fact.source, paid_from=fact.paid_from, of=fact.of or "",
        missing_rate=found is None, into_amount=fact.into_amount,
        into_currency=fact.into_currency, text=fact.text, tax_rate=fact.tax_rate,
        tax_scheme=fact.tax_scheme,
    )  # fmt: skip


def _lot(fact: Posting, about: Around) -> str:
    if fact.lot is None and fact.machine is not None and fact.machine in about.machines:
        return about.machines[fact.machine].lot
    return fact.lot or ""


def _name(key: str, about: Around) -> str:
    return about.machines[key].name if key in about.machines else ""


def _money(fact: Posting, evens: str) -> str:
    """Where the money goes or comes from; a deposit that was kept pays for itself."""
    if fact.paid_from == "owed" and fact.sort == "sold":
        return OWED_TO_US
    if evens in (OWED_BY_US, OWED_TO_US) and fact.paid_from == "owed":
        return "bank"
    return fact.paid_from


def _account(fact: Posting, of: Posting | None, key: str) -> str:
    return f"sales:{key}" if _sells(fact, of) else f"cost:{key}"


def _sells(fact: Posting, of: Posting | None) -> bool:
    """Whether a line is a sale, or undoes one."""
    return fact.sort in BRINGING or (of is not None and of.sort in BRINGING)


def _shares(
    fact: Posting,
    told: Taxed,
    rate: Decimal | None,
    of: Posting | None,
    about: Around,
) -> tuple[tuple[tuple[str, Decimal], ...], str, int]:
    """What each machine bears, in the shop's currency; and which way its legs are to be read."""
    if fact.sort in NO_COST:
        return (), "", 1
    if fact.sort == "moved":
        amount = told.gross if rate is None else changed(told.gross, rate, about.home)
        come_from = fact.from_machine or NOBODY
        return ((fact.machine or NOBODY, amount), (come_from, -amount)), "", 1
    cost, _ = cost_in_home(told, rate, about.home)
    if _sells(fact, of):
        cost = -_without_tax(told, rate, about.home)
    bearers: Bearers = bearers_of(fact, about.machines, about.worth)
    sign = -1 if fact.sort == "returned" else 1
    currency = about.home if rate is not None else fact.currency
    parts = shared_out(sign * cost, bearers.weights, currency)
    return tuple(zip(bearers.keys, parts, strict=True)), bearers.words, sign


def _moved_rate(
    fact: Posting, told: Taxed, rate: Decimal | None, of: Posting, about: Around
) -> tuple[tuple[tuple[str, Decimal], ...], str, int]:
    """What a debt costs more, or brings more, as its currency moved until it was paid.

    References
    ----------
    IAS 21, 28: differences on settling at another rate are gain or loss (from memory).
    """
    then = rate_of(of, None, about.rates)
    if rate is None or then is None or fact.currency == about.home:
        return (), "", 1
    more = changed(told.gross, rate, about.home) - changed(told.gross, then.rate, about.home)
    if not more:
        return (), "", 1
    bearers = bearers_of(of, about.machines, about.worth)  # whoever bore the debt
    sign = -1 if _sells(fact, of) else 1
    parts = shared_out(sign * more, bearers.weights, about.home)
    return tuple(zip(bearers.keys, parts, strict=True)), bearers.words, 1


def _without_tax(told: Taxed, rate: Decimal | None, home: str) -> Decimal:
    if rate is None:
        return told.gross - told.tax
    return changed(told.gross, rate, home) - changed(told.tax, rate, home)
