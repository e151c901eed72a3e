"""Everything out and quoted of a lot, read from the shop and put down to its machines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from retrue.cases.case import LotCase
from retrue.cases.find.standing import Standing, standing
from retrue.cases.fix.agreed import as_agreed
from retrue.cases.fix.known_lines import known_lines
from retrue.cases.fix.outs import OutKept, outs_of
from retrue.cases.scope import belongs_to_all, paid_by_unit
from retrue.cases.spot import first_id
from retrue.kinds.library import Kind
from retrue.records.facts import Machine
from retrue.records.fixing import CardMarked, Quoted, Stock
from retrue.records.shop import Record, RecordShop

EXTRAS = ("renew:", "upgrade:")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """A lot as agreed, with what is out and quoted, each put down to its machine."""

    case: LotCase
    outs: tuple[OutKept, ...]
    quotes: tuple[Record[Quoted], ...]


def agreed_of(
    shop: RecordShop,
    lot: str,
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    marks: Iterable[Record[CardMarked]] = (),
) -> Told:
    """Read what is out and quoted of a lot, and let it stand in the case.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Id of its first record.
    case : LotCase
        As kept.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    marks : iterable of Record of CardMarked
        By them what came for a renewal is known to be fitted.

    Returns
    -------
    Told
    """
    outs, quoted = outs_of(shop, lot), shop.current(Quoted, lot=lot)
    stock = {one.fact.name: one.fact.amount for one in shop.current(Stock)}
    if not outs and not quoted and not stock:
        return Told(case=case, outs=(), quotes=())
    keys = {one.fact.name: first_id(shop, one) for one in shop.current(Machine, lot=lot)}
    here = [
        (keys[one.name], kinds[one.kind], standing(case, one.name, kinds[one.kind]))
        for one in case.machines
        if one.kind in kinds
    ]
    newest = {first_id(shop, one): one.id for one in quoted}
    outs = tuple(_by_newest(one, newest) for one in homed(outs, here))
    mine = [one.name for one in case.machines if one.kind in kinds]
    of = [kind for _, kind, _ in here]
    quotes = tuple(_of_all(one, of) for one in quoted)
    used = used_up(case, kinds) | _fitted(marks, {key: name for name, key in keys.items()})
    named = [(name, kind, state) for (_, kind, state), name in zip(here, mine, strict=True)]
    made = as_agreed(
        case,
        kinds,
        on=on,
        outs=outs,
        quotes=quotes,
        keys=keys,
        used=used,
        shelf=shelved(stock, named),
    )
    return Told(case=made, outs=outs, quotes=quotes)


def homed(
    outs: Iterable[OutKept],
    machines: Sequence[tuple[str, Kind, Standing]],
) -> tuple[OutKept, ...]:
    """What is out for a line of a machine and names none, put down to one of them.

    Parameters
    ----------
    outs : iterable of OutKept
    machines : sequence of (key, Kind, Standing)
        Of the lot, in its order.

    Returns
    -------
    tuple of OutKept
        One order is for one machine: the first that has the fault, else the first that may have
        it; words of the owner's own stay for the lot. What belongs to shop and lot is kept with
        the first machine.

    Examples
    --------
    >>> homed((), ())
    ()
    """
    lines = {kind.id: frozenset(known_lines([kind])) for _, kind, _ in machines}
    return tuple(
        _homed(one, [row for row in machines if one.out.line in lines[row[1].id]], machines)
        for one in outs
    )


def shelved(
    stock: Mapping[str, float], machines: Sequence[tuple[str, Kind, Standing]]
) -> frozenset[tuple[str, str]]:
    """Which machine takes what lies on the shelf: those that have the fault first.

    Parameters
    ----------
    stock : mapping of name to float
        How many there are; a part goes by its line.
    machines : sequence of (name, Kind, Standing)
        Of the lot, in its order.

    Returns
    -------
    frozenset of (name of a machine, line)
        Of what is paid by the unit nothing is taken: how many it needs is seen when it is open.

    Examples
    --------
    >>> shelved({"way oil": 12.0}, ())
    frozenset()
    """
    taken = set()
    lines = {kind.id: frozenset(known_lines([kind])) for _, kind, _ in machines}
    for name, amount in stock.items():
        line = name.strip()
        fault = line.partition(":")[0]
        knows = [
            row
            for row in machines
            if line in lines[row[1].id]
            and not paid_by_unit(row[1], line)
            and fault not in row[2].treated | row[2].absent
        ]
        knows.sort(key=lambda row: fault not in row[2].present | row[2].found)
        taken |= {(row[0], line) for row in knows[: max(0, int(amount))]}
    return frozenset(taken)


def _homed(
    one: OutKept,
    knows: Sequence[tuple[str, Kind, Standing]],
    machines: Sequence[tuple[str, Kind, Standing]],
) -> OutKept:
    """Put down to one of the machines that know its line."""
    line = one.out.line
    if not knows:
        return one
    if belongs_to_all(knows[0][1], line):
        return replace(one, out=replace(one.out, machine=machines[0][0]))
    if one.out.machine is not None:
        return one
    fault = line.partition(":")[0]
    has = [row for row in knows if fault in row[2].present | row[2].found]
    may = [row for row in knows if fault not in row[2].treated | row[2].absent]
    return replace(one, out=replace(one.out, machine=(has or may or knows)[0][0]))


def _of_all(one: Record[Quoted], kinds: Iterable[Kind]) -> Record[Quoted]:
    """A quote of what belongs to shop and lot names no machine."""
    if not any(belongs_to_all(kind, one.fact.line) for kind in kinds):
        return one
    return replace(one, fact=replace(one.fact, machine=None))


def _by_newest(one: OutKept, newest: Mapping[str, str]) -> OutKept:
    """What is out names the quote that was taken as it counts now."""
    taken = one.out.quote or ""
    return replace(one, out=replace(one.out, quote=newest.get(taken, taken) or None))


def used_up(case: LotCase, kinds: Mapping[str, Kind]) -> frozenset[tuple[str, str]]:
    """Ways that were gone already: what came for them is fitted.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of kind id to Kind

    Returns
    -------
    frozenset of (name of a machine, line)

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> used_up(LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=()), {})
    frozenset()
    """
    return frozenset(
        (machine.name, f"{fault}:{way}")
        for machine in case.machines
        if machine.kind in kinds
        for fault, ways in standing(case, machine.name, kinds[machine.kind]).ways_tried.items()
        for way in ways
    )


def _fitted(
    marks: Iterable[Record[CardMarked]], names: Mapping[str, str]
) -> frozenset[tuple[str, str]]:
    """Renewals and upgrades that are done: what came for them is fitted."""
    turned = {
        (names.get(one.fact.machine, ""), one.fact.card): one.fact.how == "done"
        for one in sorted(marks, key=lambda mark: mark.seq)
        if one.fact.how in ("done", "open_again") and one.fact.card.startswith(EXTRAS)
    }
    return frozenset(key for key, done in turned.items() if done)
