"""Stop items, guards and interlocks in the way of a sale: then it goes only for parts or repair."""

from __future__ import annotations

from retrue.cases.settle.condition import still_open
from retrue.cases.settle.condition_kept import RecordKept
from retrue.cases.settle.guards import guard_lines
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
    known = state.present | state.found | bad
    rows = [
        StopItem(id=one.id, name=one.what, clears=one.clears, known=one.id in known)
        for one in still_open(kept, sold_as)
    ]
    return tuple(sorted(rows, key=lambda row: not row.known))
