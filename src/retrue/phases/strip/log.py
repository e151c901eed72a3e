"""The whole log of taking a machine apart, as paper and command tell it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from retrue.kinds.library import Kind
from retrue.phases.strip.apart import taken
from retrue.phases.strip.cleaning import cleaning
from retrue.phases.strip.here import machine_at
from retrue.phases.strip.night import day_of, evening, first_night
from retrue.phases.strip.views import CleaningStands, FirstNight, TakenLine, TickLine
from retrue.records.shop import RecordShop
from retrue.records.stripping import Ticked


@dataclass(frozen=True, slots=True)
class StripLog:
    """As found, what was undone and what is back, what is proved clean, every evening.

    Attributes
    ----------
    evenings : tuple of (str, tuple of TickLine)
        ISO date and the ticks of leaving it, oldest first.
    """

    machine: str
    lot: str
    night: FirstNight
    taken: tuple[TakenLine, ...]
    cleaning: CleaningStands
    evenings: tuple[tuple[str, tuple[TickLine, ...]], ...]


def strip_log(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> StripLog:
    """Everything kept of taking one machine apart.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    StripLog
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    ticked = shop.current(Ticked, lot=spot.lot, machine=spot.machine, list="evening")
    days = sorted({day_of(one) for one in ticked})
    here = (shop, lot, machine, kinds)
    return StripLog(
        spot.name,
        spot.lot_name,
        first_night(*here),
        taken(*here),
        cleaning(*here),
        tuple((day, evening(*here, day)) for day in days),
    )
