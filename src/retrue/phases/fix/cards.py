"""The job cards of one machine."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import fix_of_case
from retrue.cases.fix.lines import Cards
from retrue.cases.fix.needed import needed
from retrue.cases.known import nearest
from retrue.kinds.library import Kind
from retrue.phases.fix.here import cards_at, machine_at, stood
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


def cards_file(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    level: str | None = None,
    on: date | None = None,
) -> Cards:
    """The same of a machine of a lot from a file, without a shop.

    Parameters
    ----------
    case : LotCase
    machine : str
        Its name.
    kinds : mapping of str to Kind
    level : str, optional
    on : date, optional

    Returns
    -------
    Cards

    Raises
    ------
    Unknown
        No such machine.
    """
    kept = fix_of_case(case, kinds)
    names = [one.name for one in kept.machines]
    if machine not in names:
        raise Unknown(
            say("there is no machine {name} in this lot", name=machine),
            remedy=nearest(machine, names) or say("Name a machine of the lot."),
        )
    belief, stage = stood(kept, kinds)
    return cards_of(kept, needed(kept, kept.machine(machine), belief, stage, level), on)
