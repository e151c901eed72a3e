"""The job cards of one machine."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.cases.fix.lines import Cards
from retrue.kinds.library import Kind
from retrue.phases.fix.here import cards_at, machine_at
from retrue.records.shop import RecordShop


def cards(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    level: str | None = None,
    on: date | None = None,
) -> Cards:
    """All cards of a machine as they stand, in an order that may be worked.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    level : str, optional
        As if it were worked for that level; else the one that was chosen.
    on : date, optional
        The day they are looked at: what was put off until then is open again.

    Returns
    -------
    Cards
        None where the machine is sold as found or parted out. What cannot be planned stands
        under ``refused``, with what helps; everything else has its card.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        What was answered contradicts itself.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    return cards_at(shop, spot, kinds, level, on)[2]
