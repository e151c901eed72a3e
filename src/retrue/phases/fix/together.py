"""While you're in there: what to renew of a place that stands open."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from retrue.cases.case import LotCase
from retrue.cases.fix.choice_lines import Together
from retrue.cases.fix.kept import fix_kept, fix_of_case
from retrue.cases.fix.together import together as weigh
from retrue.cases.fix.together_file import PlainPart, read_parts, together_file
from retrue.kinds.library import Kind
from retrue.phases.fix.here import machine_at
from retrue.records.shop import RecordShop

__all__ = ["PlainPart", "read_parts", "together", "together_case", "together_file"]

SEED = 7
WORLDS = 2000
YEARS = 5.0


def together(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    place: str,
    years: float = YEARS,
    now: datetime,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Together:
    """What to renew now that a place of one machine stands open.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    place : str
        Id of the place; what must be open before it stands open with it.
    years : float
        How far ahead.
    now : datetime
        Ages are counted up to its day.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    Together

    Raises
    ------
    Unknown
        No such lot, machine or place.
    Unusable
        Years that are none, answers that contradict each other.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    kept = fix_kept(shop, spot.lot, kinds, on=now.date())
    asked = {"seed": seed, "worlds": worlds}
    return weigh(kept, spot.machine, kinds, place=place, years=years, on=now.date(), **asked)


def together_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    place: str,
    years: float = YEARS,
    now: datetime,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Together:
    """The same for a lot that stands in a file; ``machine`` by name."""
    kept, asked = fix_of_case(case, kinds), {"seed": seed, "worlds": worlds}
    return weigh(kept, machine, kinds, place=place, years=years, on=now.date(), **asked)
