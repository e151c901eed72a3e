"""Upgrades and finish of one machine: what each costs, what it adds; chosen, never slipped in."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.cases.case import LotCase
from retrue.cases.fix.choice_lines import Upgrades
from retrue.cases.fix.kept import fix_kept, fix_of_case
from retrue.cases.fix.upgrade_readings import readings_kept, readings_of_case
from retrue.cases.fix.upgrades import upgrades as all_of
from retrue.kinds.library import Kind
from retrue.phases.fix.here import machine_at
from retrue.records.shop import RecordShop


def upgrades(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> Upgrades:
    """All extras of one machine, held against what was read of its noise and light.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind

    Returns
    -------
    Upgrades

    Raises
    ------
    Unknown
        No such lot or machine.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    kept = fix_kept(shop, spot.lot, kinds, on=shop.today())
    read = readings_kept(shop, spot.lot, spot.machine, kept.case, spot.name)
    return all_of(kept, spot.machine, kinds, read)


def upgrades_case(case: LotCase, machine: str, kinds: Mapping[str, Kind]) -> Upgrades:
    """The same for a lot that stands in a file; ``machine`` by name."""
    return all_of(fix_of_case(case, kinds), machine, kinds, readings_of_case(case, machine))
