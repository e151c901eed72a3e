"""The price of a lot: remembered by all it depends on, with what closed machines have taught."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.said import finding_words
from retrue.cases.sheet import MovedRow, PriceSheet
from retrue.cases.sheet_json import case_key, from_json, to_json
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import LotView, case_of, view_lot
from retrue.records.facts import Finding, Moved
from retrue.records.shop import RecordShop

SEED = 7
WORLDS = 20000


def price(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    processes: int = 1,
) -> PriceSheet:
    """The price sheet of a lot; remembered by the hash of all it depends on.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind
        The library; what closed machines have taught is laid over it here.
    seed, worlds : int
        Printed on the sheet.
    processes : int
        May share the sum out; it changes no digit.

    Returns
    -------
    PriceSheet
        ``moved`` holds what each finding did when it was kept.
    """
    taught = taught_by(shop, kinds)
    return price_taught(shop, lot, taught, seed=seed, worlds=worlds, processes=processes)


def taught_by(shop: RecordShop, kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library with what closed machines have taught laid over it."""
    # Only a price needs what was learned; a note or a list shall not wait for it.
    from retrue.cases.learned_kinds import kinds_taught

    return kinds_taught(shop, kinds)


def price_taught(
    shop: RecordShop, lot: str, taught: Mapping[str, Kind], *, seed: int, worlds: int,
    processes: int = 1,
) -> PriceSheet:  # fmt: skip
    """As :func:`price`, of kinds over which what was learned is laid already."""
    case = case_of(shop, lot, taught)
    sheet = price_of(shop, case, taught, seed=seed, worlds=worlds, processes=processes)
    return replace(sheet, moved=_moved(shop, view_lot(shop, lot), case, taught, sheet.moved))


def price_of(
    shop: RecordShop,
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    seed: int,
    worlds: int,
    processes: int = 1,
) -> PriceSheet:
    """The price sheet of a case, recalled if this very case was priced before."""
    key = "price " + case_key(case, kinds, seed, worlds)
    known = shop.recall(key)
    if known is not None:
        return from_json(known)
    sheet = price_case(case, kinds, seed=seed, worlds=worlds, processes=processes)
    shop.remember(key, to_json(sheet).encode())
    return sheet


def price_case(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    processes: int = 1,
) -> PriceSheet:
    """The price sheet of a case that stands in a file, or of any other."""
    # Only a price needs the sums behind it; a note or a list shall not wait for them.
    from retrue.cases.pricing import price as work_out

    return work_out(case, kinds, seed=seed, worlds=worlds, processes=processes)


def _moved(
    shop: RecordShop,
    view: LotView,
    case: LotCase,
    kinds: Mapping[str, Kind],
    now: tuple[MovedRow, ...],
) -> tuple[MovedRow, ...]:
    """Tell the steps kept with findings that still count; for the others, what they do now."""
    said = {kept.id: kept.finding for kept in case.findings}
    of = {machine.name: kinds.get(machine.kind) for machine in case.machines}
    seqs = {record.id: record.seq for record in shop.current(Finding, lot=view.id)}
    rows: list[MovedRow] = []
    told: set[str] = set()
    for step in shop.current(Moved, lot=view.id):
        first, before, after = step.fact.finding, step.fact.before, step.fact.after
        if first not in said or before is None or after is None:
            continue
        group = {id for id, seq in seqs.items() if seqs[first] <= seq < step.seq}
        told |= group
        text = finding_words(said[first], of)
        if len(group) > 1:
            text = say("{text}, and {count} more", text=text, count=len(group) - 1)
        rows.append(MovedRow(finding=first, text=text, before=float(before), after=float(after)))
    return (*rows, *(row for row in now if row.finding not in told))
