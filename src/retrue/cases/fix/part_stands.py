"""A part as it stands: what was quoted, what is out for it, what lies on the shelf."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from retrue.cases.fix.agreed import Agreed, agreed, quotes_of
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.owed import out_state
from retrue.cases.fix.quotes import change_of, offers_of
from retrue.kinds.judged import Three


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
    names = (machine, *(one.name for one in kept.machines if one.key == machine))
    change = change_of(kept.case)
    stands = out_state(kept.outs, machine=machine, line=part.line)
    offers = offers_of(quotes_of(kept.quotes, names, part.line), change, on=on)
    made = agreed(part.line, names, kept.outs, kept.quotes, change, on=on)
    if made is not None:
        part = _told(part, made)
    return replace(part, state=stands.state, offers=offers, promised_on=stands.promised_on)


def _told(part: Part, made: Agreed) -> Part:
    """A part at what was said of it; what nobody said stays."""
    amount = None if made.amount is None else float(made.amount)
    return replace(
        part,
        money=part.money if amount is None else Three(amount, amount, amount),
        days=part.days if made.days is None else made.days,
        units=made.units,
        source=made.reason,
        mark=part.mark if amount is None else "",
    )
