"""Whether a line can be put in the book: names to ids, and everything wrong with it. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from retrue.base.currencies import is_whole, known_code, minor_units
from retrue.base.formatter import money
from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.books.rates import Rates
from retrue.books.tax import tax_problems
from retrue.cases.happening import Line
from retrue.cases.known import nearest
from retrue.cases.settle.entries import BRINGING, around, rate_of, settles, tax_of, whole
from retrue.cases.settle.kept import BookKept
from retrue.records.settling import Posting

SHORT = 4  # signs of an id that are enough, where no other begins alike


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grounds:
    """What lines are checked against, made once for many of them.

    Attributes
    ----------
    kept : BookKept
    rates : Rates
    lots : mapping of name or id to id
    machines : mapping of name to keys
    by_id : mapping of first id to Line
        Of the postings that count.
    of : mapping of first id to tuple of Line
        What was returned, settled or given back of it.
    """

    kept: BookKept
    rates: Rates
    lots: Mapping[str, str]
    machines: Mapping[str, tuple[str, ...]]
    by_id: Mapping[str, Line]
    of: Mapping[str, tuple[Line, ...]]


def grounds(kept: BookKept, *, most_days_old: int | None = None) -> Grounds:
    """What lines are checked against.

    Parameters
    ----------
    kept : BookKept
    most_days_old : int or None
        How old a kept rate may be; None: as usual.

    Returns
    -------
    Grounds
    """
    rates = around(kept).rates
    if most_days_old is not None:
        rates.most_days_old = most_days_old
    machines: dict[str, tuple[str, ...]] = {}
    for one in kept.machines.values():
        machines[one.name] = (*machines.get(one.name, ()), one.key)
    of: dict[str, tuple[Line, ...]] = {}
    for line in kept.postings:
        if line.newest.fact.of is not None:
            of[line.newest.fact.of] = (*of.get(line.newest.fact.of, ()), line)
    return Grounds(
        kept=kept,
        rates=rates,
        lots={one.name: id for id, one in kept.lots.items()} | {id: id for id in kept.lots},
        machines=machines,
        by_id={line.first.id: line for line in kept.postings},
        of=of,
    )


def placed(fact: Posting, on: Grounds) -> Posting:
    """A line with ids in place of names, and its currency in capitals.

    Parameters
    ----------
    fact : Posting
        Lot, machines and the line it belongs to by name or id; of a line the first signs of its
        id are enough.
    on : Grounds

    Returns
    -------
    Posting
        A machine brings its lot.

    Raises
    ------
    Unknown
        No such lot, machine or line; the nearest is named.
    Unusable
        No such currency.
    """
    lot = None if fact.lot is None else lot_id(fact.lot, on)
    machine = None if fact.machine is None else machine_key(fact.machine, lot, on)
    return replace(
        fact,
        lot=lot if machine is None else on.kept.machines[machine].lot,
        machine=machine,
        from_machine=None if fact.from_machine is None else machine_key(fact.from_machine, None,
                                                                        on, prefer=lot),
        shared_by=tuple(machine_key(one, None, on, prefer=lot) for one in fact.shared_by),
        of=None if fact.of is None else line_id(fact.of, on),
        currency=fact.currency if fact.currency == on.kept.currency
        else known_code(fact.currency),
        into_currency=known_code(fact.into_currency, field="into_currency")
        if fact.into_currency else "",
    )  # fmt: skip


def lot_id(wanted: str, on: Grounds) -> str:
    """A lot by its name or id.

    Parameters
    ----------
    wanted : str
    on : Grounds

    Returns
    -------
    str

    Raises
    ------
    Unknown
        There is none; the nearest name is told.
    """
    if wanted in on.lots:
        return on.lots[wanted]
    raise Unknown(
        say("there is no lot {wanted}", wanted=wanted),
        remedy=nearest(wanted, [one.name for one in on.kept.lots.values()])
        or say("Open the list again and choose from it."),
        problems=(Problem("lot", say("is none of the shop's")),),
    )


def machine_key(wanted: str, lot: str | None, on: Grounds, *, prefer: str | None = None) -> str:
    """A machine by its key or name.

    Parameters
    ----------
    wanted : str
    lot : str or None
        Its id: only machines of it.
    on : Grounds
    prefer : str or None
        Id of the lot that decides between several of one name.

    Returns
    -------
    str
        Its key.

    Raises
    ------
    Unknown
        There is none, or several.
    """
    every = on.kept.machines
    keys = (wanted,) if wanted in every else on.machines.get(wanted, ())
    mine = tuple(key for key in keys if lot is None or every[key].lot == lot)
    here = tuple(key for key in mine if every[key].lot == prefer)
    found = here or mine
    if len(found) == 1:
        return found[0]
    names = [one.name for one in every.values() if lot is None or one.lot == lot]
    if found:
        raise Unknown(
            say("{count} machines are called {wanted}", count=len(found), wanted=wanted),
            remedy=say("Say of which lot."),
            problems=(Problem("machine", say("is not the only one of its name")),),
        )
    raise Unknown(
        say("there is no machine {wanted}", wanted=wanted),
        remedy=nearest(wanted, names) or say("Open the list again and choose from it."),
        problems=(Problem("machine", say("is none of the shop's")),),
    )


def line_id(wanted: str, on: Grounds) -> str:
    """A line in the book by its first or newest id, or the first signs of it.

    Parameters
    ----------
    wanted : str
    on : Grounds

    Returns
    -------
    str
        Id of its first record.

    Raises
    ------
    Unknown
        There is none, or several.
    """
    if wanted in on.by_id:
        return wanted
    ids = [line.first.id for line in on.kept.postings
           if line.newest.id == wanted or (len(wanted) >= SHORT
                                           and line.first.id.startswith(wanted))]  # fmt: skip
    if len(ids) == 1:
        return ids[0]
    reason = (
        say("{wanted} begins several lines in the book", wanted=wanted)
        if ids
        else say("no line in the book is called {wanted}", wanted=wanted)
    )
    raise Unknown(
        reason,
        remedy=say("Look it up in the book: retrue settle book."),
        problems=(Problem("of", say("is no line that counts")),),
    )


def posting_problems(
    fact: Posting, on: Grounds, *, today: date, instead: str = ""
) -> Iterator[Problem]:
    """Everything that keeps a placed line out of the book, beside what its fields are.

    Parameters
    ----------
    fact : Posting
        As :func:`placed` gives it.
    on : Grounds
    today : date
        Nothing was paid on a later day.
    instead : str
        First id of the line it corrects; empty: it is a new one.

    Yields
    ------
    Problem
    """
    if fact.posted_on > today.isoformat():
        what = say("is {day}, and that is still to come", day=fact.posted_on)
        yield Problem("posted_on", what, say("Write the day of the paper."))
    for name, amount, code in (
        ("amount", fact.amount, fact.currency),
        ("into_amount", fact.into_amount, fact.into_currency),
    ):
        if amount is not None and code and not is_whole(amount, code):
            count = minor_units(code)
            what = say("has more decimals than {currency} has", currency=code)
            yield Problem(name, what, say("Write it with {count} at most.", count=count))
    taxless = fact.sort in ("deposit", "deposit_back", "exchanged", "moved")
    if taxless and fact.tax_rate:
        what = say("stands on a line that has no tax of its own")
        yield Problem("tax_rate", what, say("Leave it out."))
    rate = fact.tax_rate
    yield from tax_problems(rate=rate, scheme=fact.tax_scheme, reclaimable=fact.tax_reclaimable)
    of = on.by_id.get(fact.of or "")
    said = of.newest.fact if of is not None else None
    if rate_of(fact, said, on.rates) is None:
        yield missing_rate(fact.currency, fact.posted_on)
    if said is not None:
        yield from _of_problems(fact, said, on, instead)
    if instead:
        yield from _standing_problems(fact, on, instead)


def missing_rate(currency: str, day: str) -> Problem:
    """No rate leads from a currency to the shop's on that day.

    Parameters
    ----------
    currency, day : str

    Returns
    -------
    Problem
        Of the field ``rate``.
    """
    what = say("missing rate: {currency} on {day}", currency=currency, day=day)
    remedy = say(
        "Type it with the line, or keep it: retrue settle day-rate {currency} RATE --on {day}.",
        currency=currency,
        day=day,
    )
    return Problem("rate", what, remedy)


def refuse_closed(until: str, days: Iterable[str]) -> None:
    """NotYet where a day lies in a part of the book that is closed.

    Parameters
    ----------
    until : str
        ISO date up to which it is closed; empty: it is open.
    days : iterable of str
        ISO dates that something is to be put, corrected or taken back on.

    Raises
    ------
    NotYet
        The book is closed there; the day is named.

    Examples
    --------
    >>> refuse_closed("", ["2026-11-25"])
    >>> refuse_closed("2026-10-31", ["2026-10-01"])
    Traceback (most recent call last):
        ...
    retrue.base.refusals.NotYet: the book is closed up to 2026-10-31, and this is of 2026-10-01
    """
    shut = [day for day in days if until and day <= until]
    if not shut:
        return
    raise NotYet(
        say("the book is closed up to {until}, and this is of {day}", until=until, day=shut[0]),
        remedy=say("Put it on a day after that, or take the closing back first."),
        problems=(Problem("posted_on", say("lies in a part of the book that is closed")),),
    )


def _of_problems(fact: Posting, of: Posting, on: Grounds, instead: str) -> Iterator[Problem]:
    """What a line may do to the one it belongs to: never more than is left of it."""
    if fact.sort == "deposit_back" and of.sort != "deposit":
        yield Problem("of", say("is no deposit"), say("Name the deposit that came back."))
        return
    if fact.sort == "returned" and of.sort not in ("bought", "paid", *BRINGING):
        what = say("is a line of which nothing can be returned")
        yield Problem("of", what, say("Name what was bought or sold."))
        return
    evens = settles(fact, of)
    if not evens and fact.sort not in ("returned", "deposit_back"):
        what = say("is neither owed nor a deposit")
        yield Problem("of", what, say("Leave it out, or name what was owed."))
        return
    if fact.currency != of.currency:
        what = say("is {currency}, and the line it belongs to is in {other}",
                   currency=fact.currency, other=of.currency)  # fmt: skip
        yield Problem("currency", what, say("Give it in {other}.", other=of.currency))
        return
    if fact.posted_on < of.posted_on:
        what = say("is {day}, before {first}, the day of the line it belongs to",
                   day=fact.posted_on, first=of.posted_on)  # fmt: skip
        yield Problem("posted_on", what, say("Look at both dates again."))
    left = left_of(fact.of or "", of, on, sort=fact.sort, without=instead)
    if tax_of(whole(fact, of)).gross > left:
        what = say(
            "is {amount}, more than the {left} that are left of it",
            amount=money(fact.amount, fact.currency, minor_units(fact.currency)),
            left=money(left, fact.currency, minor_units(fact.currency)),
        )
        yield Problem("amount", what, say("Look at the line it belongs to again."))


def left_of(first_id: str, of: Posting, on: Grounds, *, sort: str, without: str = "") -> Decimal:
    """What is left of a line to be returned, given back or settled, in its currency.

    Parameters
    ----------
    first_id : str
        Of the line.
    of : Posting
        It, as it counts.
    on : Grounds
    sort : str
        ``returned`` looks at what was returned alone; of a deposit and of what is owed, all that
        was taken from it counts.
    without : str
        First id of a line that is not looked at.

    Returns
    -------
    Decimal
    """
    taken = [
        line.newest.fact
        for line in on.of.get(first_id, ())
        if line.first.id != without and _takes(line.newest.fact, of, sort)
    ]
    gross = sum((tax_of(whole(one, of)).gross for one in taken), Decimal(0))
    return tax_of(of).gross - gross


def _takes(one: Posting, of: Posting, sort: str) -> bool:
    """Whether a line takes from what is left of another for one of a sort."""
    if of.sort == "deposit":
        return True
    returns = one.sort == "returned"
    if sort == "returned":
        return returns
    return not returns or one.paid_from == "owed"  # what was struck off the bill is not paid


def _standing_problems(fact: Posting, on: Grounds, instead: str) -> Iterator[Problem]:
    """What a correction may not do to the lines that stand on the corrected one."""
    standing = [line.newest.fact for line in on.of.get(instead, ())]
    for one in standing:
        if not _may_belong(one, fact):
            what = say("is {sort}, and {what} stands on this line", sort=fact.sort, what=one.what)
            yield Problem("sort", what, say("Take that line back first."))
            return
        if one.currency != fact.currency or one.posted_on < fact.posted_on:
            what = say("does not go with {what}, which stands on this line", what=one.what)
            field = "currency" if one.currency != fact.currency else "posted_on"
            yield Problem(field, what, say("Take that line back first."))
            return
        if left_of(instead, fact, on, sort=one.sort) < 0:
            what = say("is less than what stands on this line: {what}", what=one.what)
            yield Problem("amount", what, say("Correct or take back that line first."))
            return


def _may_belong(fact: Posting, of: Posting) -> bool:
    if fact.sort == "deposit_back":
        return of.sort == "deposit"
    if fact.sort == "returned":
        return of.sort in ("bought", "paid", *BRINGING)
    return bool(settles(fact, of))


def unplaceable(problem: Unknown | Unusable) -> tuple[Problem, ...]:
    """What was wrong with a line that could not even be placed.

    Parameters
    ----------
    problem : Unknown or Unusable

    Returns
    -------
    tuple of Problem
        By its field, where it has one.
    """
    return problem.problems or (Problem("", problem.reason, problem.remedy),)
