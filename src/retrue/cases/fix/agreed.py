"""What a line costs and how long it takes, said in one place: table, quote, order, here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from retrue.base import formatter
from retrue.base.say import later, say
from retrue.cases.case import LotCase
from retrue.cases.fix.known_lines import known_lines
from retrue.cases.fix.outs import OutKept
from retrue.cases.fix.owed import PartOut, out_state
from retrue.cases.fix.quotes import CENT, Change, change_of, offers_of, own_figure, rate_of
from retrue.cases.scope import belongs_to_all, paid_by_unit
from retrue.kinds.library import Kind
from retrue.records.facts import CostLine
from retrue.records.fixing import Out, Quoted
from retrue.records.shop import Record

LATE_DAYS = 3.0  # what is past its promise may take so long yet (judgement)
AGREED = ("ordered", "sent_out")


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """What somebody asks or was promised for a line, from today on.

    Attributes
    ----------
    amount : Decimal or None
        Of all its units, in the shop's currency, without tax that comes back; None: nobody said.
    days : float or None
        Until it is here; None: nobody said.
    reason : str
        Who said so, in words.
    units : int
        That the amount is for.
    """

    amount: Decimal | None
    days: float | None
    reason: str
    units: int = 1


ON_THE_SHELF = Agreed(amount=Decimal(0), days=0.0, reason=later("on the shelf"))


def as_agreed(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    outs: Sequence[OutKept] = (),
    quotes: Sequence[Record[Quoted]] = (),
    keys: Mapping[str, str] | None = None,
    used: frozenset[tuple[str, str]] = frozenset(),
    shelf: frozenset[tuple[str, str]] = frozenset(),
) -> LotCase:
    """A case whose figures are what is quoted, agreed and paid by now.

    Parameters
    ----------
    case : LotCase
        As kept: with the owner's own figures.
    kinds : mapping of kind id to Kind
    on : date
        Today: quotes that have run out by then do not count, and days are counted from it.
    outs : sequence of OutKept
    quotes : sequence of Record of Quoted
        Their machine by key or by name; None: each of the lot.
    keys : mapping of name to key, optional
        Of the machines; None: they go by their names.
    used : frozenset of (name of a machine, line)
        Parts that came and are fitted: another one would have to be paid.
    shelf : frozenset of (name of a machine, line)
        Parts that lie on the shelf, each for the machine that takes it.

    Returns
    -------
    LotCase
        With own figures for one unit where a fault is paid by the unit. What is here goes before
        what is ordered, that before the cheapest quote that holds, that before the owner's own
        figure, that before the table. The same case where nothing is quoted or out.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> told = Quoted(lot="a", machine="mill", line="F15:local", vendor="the winder",
    ...               quoted_on="2026-11-24", amount=Decimal(600), days=21)
    >>> at = datetime(2026, 11, 24, tzinfo=UTC)
    >>> kept = Record("q", "quoted", 1, 1, at, at, "me", "", None, told, "", "")
    >>> as_agreed(case, load(), quotes=[kept], on=at.date()).cost_lines[0].reason
    'quote of the winder on 2026-11-24'
    """
    if not outs and not quotes and not shelf:
        return case
    told: dict[tuple[str | None, str], CostLine] = {}
    for machine in case.machines:
        kind = kinds.get(machine.kind)
        if kind is None:
            continue
        names = (machine.name, (keys or {}).get(machine.name, machine.name))
        lines = _told_of(outs, quotes, names) | {line for name, line in shelf if name == names[0]}
        for line in sorted(lines & set(known_lines([kind]))):
            place = None if belongs_to_all(kind, line) else machine.name
            if (place, line) in told:
                continue
            here = (
                ON_THE_SHELF
                if (names[0], line) in shelf
                else agreed(
                    line, names, outs, quotes, change_of(case), on=on, used=(names[0], line) in used
                )
            )
            if here is not None:
                told[place, line] = _figure(case, place, kind, line, here)
    if not told:
        return case
    stay = tuple(one for one in case.cost_lines if (one.machine, one.line) not in told)
    return replace(case, cost_lines=(*stay, *told.values()))


def agreed(
    line: str,
    machine: Sequence[str],
    outs: Iterable[OutKept],
    quotes: Iterable[Record[Quoted]],
    change: Change,
    *,
    on: date,
    used: bool = False,
) -> Agreed | None:
    """What holds for one line of one machine: what is here or out, else the cheapest quote.

    Parameters
    ----------
    line : str
    machine : sequence of str
        Its name and its key.
    outs : iterable of OutKept
    quotes : iterable of Record of Quoted
    change : Change
    on : date
        Today.
    used : bool
        What came is fitted already.

    Returns
    -------
    Agreed or None
        None: nobody said anything that can be counted on. Of quotes that cannot be compared none
        counts until somebody asks.

    Examples
    --------
    >>> agreed("F15:local", ("mill",), (), (), Change(currency="EUR"), on=date(2026, 11, 26))
    """
    quotes = tuple(quotes)
    stands = out_state(
        [one for one in outs if one.out.machine is None or one.out.machine in machine],
        machine=None,
        line=line,
    )
    if stands.out is not None and stands.state == "here" and not used:
        why = say("came from {whom}: nothing more to pay", whom=stands.out.out.whom)
        return Agreed(amount=Decimal(0), days=0.0, reason=why)
    best = _best(quotes_of(quotes, machine, line), change, on)
    if stands.out is None or stands.state not in AGREED:
        return best
    amount = net_of_out(stands.out, change, quotes)
    if stands.out.ended is not None and stands.out.ended.fact.paid is not None:
        amount = Decimal(0)
    days = _days_left(stands, on)
    whom = say("agreed with {whom}", whom=stands.out.out.whom)
    return Agreed(
        amount=amount if amount is not None or best is None else best.amount,
        days=days if days is not None or best is None else best.days,
        reason=whom if amount is not None or best is None else best.reason,
        units=_units(stands.out, quotes) if amount is not None or best is None else best.units,
    )


def quotes_of(
    quotes: Iterable[Record[Quoted]], machine: Sequence[str], line: str
) -> tuple[Record[Quoted], ...]:
    """Quotes of a line of one machine; what names no machine is for each of the lot.

    Parameters
    ----------
    quotes : iterable of Record of Quoted
    machine : sequence of str
        Its name and its key.
    line : str

    Returns
    -------
    tuple of Record of Quoted

    Examples
    --------
    >>> quotes_of((), ("mill",), "F15:local")
    ()
    """
    return tuple(
        one
        for one in quotes
        if one.fact.line == line and (one.fact.machine is None or one.fact.machine in machine)
    )


def net_of_out(
    one: OutKept, change: Change, quotes: Iterable[Record[Quoted]] = ()
) -> Decimal | None:
    """What something that is out costs, in the shop's currency, without tax that comes back.

    Parameters
    ----------
    one : OutKept
    change : Change
    quotes : iterable of Record of Quoted
        The one that was taken brings its rate, and says whether tax is in it.

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
    >>> net_of_out(kept, Change(currency="EUR"))
    Decimal('80')
    """
    if one.out.amount is None:
        return None
    taken = next((quote.fact for quote in quotes if quote.id == one.out.quote), None)
    own, own_on = (taken.rate, taken.rate_on) if taken is not None else (None, None)
    rate = rate_of(one.out.currency, change, own, own_on)
    if rate is None:
        return None
    amount = one.out.amount * rate.value
    if taken is not None and taken.tax == "incl" and change.tax_rate is not None:
        amount = (amount / (1 + Decimal(str(change.tax_rate)))).quantize(CENT)
    return amount


def _told_of(
    outs: Iterable[OutKept], quotes: Iterable[Record[Quoted]], names: Sequence[str]
) -> set[str]:
    facts: list[Out | Quoted] = [*(one.out for one in outs), *(one.fact for one in quotes)]
    return {one.line for one in facts if one.machine is None or one.machine in names}


def _figure(case: LotCase, machine: str | None, kind: Kind, line: str, here: Agreed) -> CostLine:
    """An own figure made of it; what nobody said stays the owner's, else the table's."""
    mine = [one for one in case.cost_lines if one.line == line]
    own = next((one for one in reversed(mine) if one.machine in (machine, None)), None)
    amount = here.amount
    if amount is not None and paid_by_unit(kind, line):
        amount /= here.units
    if amount is None:
        amount = own.amount if own is not None else _by_the_table(kind, line)
    days = here.days
    return CostLine(
        lot=case.lot.name,
        machine=machine,
        line=line,
        amount=amount.quantize(CENT),
        hours=own.hours if own is not None else None,
        days=days if days is not None or own is None else own.days,
        reason=here.reason,
    )


def _by_the_table(kind: Kind, line: str) -> Decimal:
    """What the table takes on average.

    References
    ----------
    D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, Application of a technique for research
    and development program evaluation, Operations Research 7 (1959): (a + 4 m + b) / 6.
    """
    head, _, tail = line.partition(":")
    if head in kind.fixes:
        money = next(fix.money for fix in kind.fixes[head] if fix.way == tail)
    elif head in kind.jobs:
        money = kind.jobs[head].money
    elif head == "renew":
        money = kind.renewals[tail].money
    else:
        money = kind.upgrades[tail].money
    return Decimal(str((money.low + 4 * money.likely + money.high) / 6))


def _best(quotes: Sequence[Record[Quoted]], change: Change, on: date) -> Agreed | None:
    """The cheapest of the quotes that hold."""
    first = next((one for one in offers_of(quotes, change, on=on) if one.cheapest), None)
    if first is None:
        return None
    fact = first.record.fact
    return Agreed(
        amount=own_figure(fact, change),
        days=fact.days,
        units=fact.units,
        reason=say(
            "quote of {vendor} on {day}",
            vendor=fact.vendor,
            day=formatter.day(date.fromisoformat(fact.quoted_on)),
        ),
    )


def _days_left(stands: PartOut, on: date) -> float | None:
    """Days until it is here: what is back and waits to be judged is."""
    if stands.out is not None and stands.out.ended is not None:
        return 0.0
    if stands.promised_on is None:
        return None
    left = (date.fromisoformat(stands.promised_on) - on).days
    return float(left) if left >= 0 else LATE_DAYS


def _units(one: OutKept, quotes: Iterable[Record[Quoted]]) -> int:
    return next((quote.fact.units for quote in quotes if quote.id == one.out.quote), 1)
