"""What lines in the book are checked against, and names in a line made ids. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from retrue.base.currencies import known_code
from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.books.rates import Rates
from retrue.cases.happening import Line
from retrue.cases.known import nearest
from retrue.cases.settle.entries import around
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

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> grounds(BookKept(shop=Shop()), most_days_old=30).rates.most_days_old
    30
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
    came_from = fact.from_machine
    if came_from is not None:
        came_from = machine_key(came_from, None, on, prefer=lot, field="from_machine")
    return replace(
        fact,
        lot=lot if machine is None else on.kept.machines[machine].lot,
        machine=machine,
        from_machine=came_from,
        shared_by=tuple(
            machine_key(one, None, on, prefer=lot, field="shared_by")
            for one in fact.shared_by
        ),
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


def machine_key(
    wanted: str,
    lot: str | None,
    on: Grounds,
    *,
    prefer: str | None = None,
    field: str = "machine",
) -> str:
    """A machine by its key or name.

    Parameters
    ----------
    wanted : str
    lot : str or None
        Its id: only machines of it.
    on : Grounds
    prefer : str or None
        Id of the lot that decides between several of one name.
    field : str
        Which one a refusal names.

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
            problems=(Problem(field, say("is not the only one of its name")),),
        )
    raise Unknown(
        say("there is no machine {wanted}", wanted=wanted),
        remedy=nearest(wanted, names) or say("Open the list again and choose from it."),
        problems=(Problem(field, say("is none of the shop's")),),
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
        remedy=say("Look it up in the book."),
        problems=(Problem("of", say("is no line that counts")),),
    )
