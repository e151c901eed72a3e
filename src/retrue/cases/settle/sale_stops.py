"""Stop items, guards and interlocks in the way of a sale: then it goes only for parts or repair."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.cases.settle.condition import still_open
from retrue.cases.settle.condition_kept import RecordKept
from retrue.cases.settle.guards import guard_lines
from retrue.cases.settle.record_lines import OpenItem
from retrue.cases.settle.sale_lines import StopItem
from retrue.records.settling import SoldAs

GUARDS_KNOWN = ("defeated", "missing")


def stops_kept(kept: RecordKept, sold_as: SoldAs = "as_found") -> tuple[StopItem, ...]:
    """What the condition record holds to be open, those that were found first.

    Parameters
    ----------
    kept : RecordKept
    sold_as : str
        Running and proven want more than as found.

    Returns
    -------
    tuple of StopItem
        ``known`` where the fault was found, or the guard is defeated or missing.
    """
    state = kept.power.state
    bad = {one.id for one in guard_lines(kept) if one.state in GUARDS_KNOWN}
    return found_first(still_open(kept, sold_as), state.present | state.found | bad)


def found_first(items: Iterable[OpenItem], known: Iterable[str]) -> tuple[StopItem, ...]:
    """What is open, those that were found before those that are only not cleared.

    Parameters
    ----------
    items : iterable of OpenItem
    known : iterable of str
        Ids of those that were found.

    Returns
    -------
    tuple of StopItem

    Examples
    --------
    >>> rows = [OpenItem(id=id, sort="stop", what=id) for id in ("F15", "F102")]
    >>> [(one.id, one.known) for one in found_first(rows, {"F102"})]
    [('F102', True), ('F15', False)]
    """
    there = frozenset(known)
    rows = [
        StopItem(id=one.id, name=one.what, clears=one.clears, known=one.id in there)
        for one in items
    ]
    return tuple(sorted(rows, key=lambda row: not row.known))
