"""What it costs when a place must be opened again: hours, hire, a day at rest."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retrue.cases.find.costs import Purse, mean
from retrue.cases.fix.kept import FixKept
from retrue.choose.together import Opening
from retrue.kinds.library import Kind

DAYS_DOWN = 1.0  # that the machine stands, whatever is waited for (judgement)
HOIST, HIRE = "hoist", "E90"  # need of a place; a day of hire in the tables
OWN = ("owned", "borrowed")


def openings(
    kept: FixKept,
    kind: Kind,
    purse: Purse,
    chain: Sequence[str],
    places: Sequence[str],
    worlds: int,
) -> tuple[Opening, ...]:
    """The set-ups that a failure makes necessary once more.

    Parameters
    ----------
    kept : FixKept
    kind : Kind
    purse : Purse
    chain : sequence of str
        The place that stands open, then what had to be open before it.
    places : sequence of str
        The place of each part, in the order of the parts.
    worlds : int

    Returns
    -------
    tuple of Opening
        Those that open for the same parts are one; what costs nothing is left out.

    Notes
    -----
    A place opens for its own parts and for all that lie behind it. Bolts that were out once are
    taken as loose: nothing is counted for stuck ones.
    """
    found: dict[tuple[bool, ...], float] = {}
    hire = dict.fromkeys(chain, 0.0)
    lifted = [place for place in chain if HOIST in kind.places[place].needs]
    for place in lifted[-1:]:
        hire[place] = hoist_day(kept, kind)
    for depth, place in enumerate(chain):
        row = kind.places[place]
        cost = purse.spent(
            hours=mean(row.open_hours) + mean(row.close_hours), hire=hire[place]
        ).cost
        inside = set(chain[: depth + 1])
        found_for = tuple(one in inside for one in places)
        found[found_for] = found.get(found_for, 0.0) + cost
    rest = purse.spent(days=DAYS_DOWN).cost
    all_of_them = (True,) * len(places)
    found[all_of_them] = found.get(all_of_them, 0.0) + rest
    return tuple(
        Opening(np.full(worlds, cost), np.array(mask, dtype=np.bool_))
        for mask, cost in found.items()
        if cost > 0 and any(mask)
    )


def hoist_day(kept: FixKept, kind: Kind) -> float:
    """What a hoist costs on one day: nothing where it is owned or borrowed.

    Parameters
    ----------
    kept : FixKept
    kind : Kind

    Returns
    -------
    float
        In the shop's currency; the table's where nobody said.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> round(hoist_day(fix_of_case(case, load()), load()["turning_centre"]))
    58
    """
    for record in kept.gear:
        if record.fact.name == HOIST and record.fact.have in OWN:
            return 0.0
        if record.fact.name == HOIST and record.fact.day_costs is not None:
            return float(record.fact.day_costs)
    return mean(kind.costs[HIRE].amount) if HIRE in kind.costs else 0.0
