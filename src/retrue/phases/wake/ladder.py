"""The ladder of first power, one stage of it, and the ladder of a kind alone."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.cases.wake.kept import power_kept
from retrue.cases.wake.ladder import ladder_of, ladder_of_kind
from retrue.cases.wake.stands import stage_stands
from retrue.cases.wake.suspected import suspected_by_stage
from retrue.kinds.library import Kind
from retrue.phases.wake.here import machine_at, stage_of
from retrue.phases.wake.views import Ladder, StageStands
from retrue.records.shop import RecordShop


def ladder(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], *, at_switch: str = ""
) -> Ladder:
    """Every stage of a machine: what is closed, what is wanting, what it should read.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    at_switch : str
        Who stands at the main switch; with nobody there, what energises stays closed.

    Returns
    -------
    Ladder
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    kept = power_kept(shop, spot, kind)
    return ladder_of(kept, at_switch=at_switch, suspected=suspected_by_stage(kept, kinds))


def stage(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    kinds: Mapping[str, Kind],
    *,
    at_switch: str | None = None,
) -> StageStands:
    """One stage of a machine as it stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    kinds : mapping of str to Kind
        The library.
    at_switch : str or None
        Who stands at the main switch; None: that is not judged yet.

    Returns
    -------
    StageStands

    Raises
    ------
    Unknown
        The kind has no such stage.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    kept = power_kept(shop, spot, kind)
    suspected = suspected_by_stage(kept, kinds)
    return stage_stands(kept, of, at_switch=at_switch, suspected=suspected)


def plan(kind: Kind) -> Ladder:
    """The ladder of a kind alone, without any machine.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    Ladder
    """
    return ladder_of_kind(kind)
