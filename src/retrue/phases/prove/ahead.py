"""How far measuring is, in the few words that the next step is chosen from."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.cases.onward_facts import Proving
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.prove.bench import bench
from retrue.phases.prove.places import first_id
from retrue.phases.prove.views import TestLine
from retrue.records.shop import RecordShop


def ahead(shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind]) -> Proving:
    """The next test of a machine by the order of its bench, and what was said so far.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    spot : Spot
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Proving
    """
    made = bench(shop, spot.lot, spot.machine, kinds)
    said = [one for one in made.lines if one.last is not None and not one.last.fact.provisional]
    rulings = [one.last.fact.ruling for one in said if one.last is not None]
    daily = [one for one in made.lines if one.deed.daily]
    return Proving(
        test=made.next.deed.id,
        name=made.next.deed.title,
        set=_going_on(shop, made.next),
        level=made.level,
        judged=len(said),
        tests=len(made.lines),
        daily=len(daily),
        daily_judged=sum(one in said for one in daily),
        good=rulings.count("proved_good"),
        bad=rulings.count("proved_bad"),
    )


def _going_on(shop: RecordShop, line: TestLine) -> str:
    return "" if line.open_set is None else first_id(shop, line.open_set)
