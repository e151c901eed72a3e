"""What can be done tonight, on every machine that is worked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import fix_kept
from retrue.cases.fix.lines import Tonight
from retrue.cases.fix.needed import needed
from retrue.cases.fix.tonight import Here, tonight_of
from retrue.cases.spot import find_lot
from retrue.kinds.library import Kind
from retrue.phases.fix.here import lots_worked, machine_at, stood
from retrue.records.fixing import CardMarked
from retrue.records.shop import RecordShop


def tonight(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    hours: float = 2.0,
    alone: bool = True,
    hoist: bool = False,
    lot: str | None = None,
    machine: str | None = None,
) -> Tonight:
    """What to do in so many hours, and why just that.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    hours : float
    alone, hoist : bool
        Whether nobody else is in the house; whether the hoist is here.
    lot, machine : str, optional
        Name or id; else all machines worked for, of all lots not lost or walked away from.

    Returns
    -------
    Tonight
        No worlds are drawn for it. Nothing under power is offered to somebody alone, and nothing
        that is left to a licensed electrician to anybody.

    Raises
    ------
    Unknown
        No such lot or machine.
    """
    marks = shop.current(CardMarked)
    last = marks[-1].fact.machine if marks else ""
    here = tuple(_here(shop, kinds, on, lot, machine))
    return tonight_of(here, hours=hours, alone=alone, hoist=hoist, worked_on=last)


def _here(
    shop: RecordShop, kinds: Mapping[str, Kind], on: date, lot: str | None, machine: str | None
) -> Iterator[Here]:
    """The machines worked for, with their cards."""
    lots = lots_worked(shop) if lot is None else (find_lot(shop, lot)[0],)
    for one in lots:
        only = None if machine is None else machine_at(shop, one, machine, kinds)[0].machine
        kept = fix_kept(shop, one, kinds)
        mine = [m for m in kept.machines if m.worked_for and only in (None, m.key)]
        if not mine:
            continue
        belief, stage = stood(kept, kinds)
        for each in mine:
            cards = cards_of(kept, needed(kept, each, belief, stage), on)
            yield Here(kept=kept, machine=each, cards=cards)
