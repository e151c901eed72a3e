"""How far a move is, in the few words that the next step is chosen from."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import say
from retrue.cases.onward_facts import Moving
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.move.planning import plan
from retrue.phases.move.views import Plan
from retrue.records.shop import RecordShop

DECISIVE = ("lift", "door", "supply")


def ahead(shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind]) -> Moving:
    """The first number that is missing, the data that is not saved, the next step.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    spot : Spot
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Moving
        Of arrival and rest it says nothing.
    """
    made = plan(shop, spot.lot, spot.machine, kinds)
    done = {line.step.id for line in made.steps if line.record}
    free = [line for line in made.steps if not line.record and not line.waits]
    plugged = "unplugged" not in done
    return Moving(
        done=len(done),
        steps=len(made.steps),
        lacking=None if "loaded" in done else _lacking(made),
        unsaved=tuple((line.sort, line.name) for line in made.data if line.must and not line.done)
        if plugged
        else (),
        step=(free[0].step.id, say(free[0].step.text)) if free else None,
    )


def _lacking(made: Plan) -> tuple[str, str, str] | None:
    """The calculator, what it lacks, and how that is found out."""
    for one in made.methods:
        if one.method.id in DECISIVE and one.reckoning.missing:
            lack = one.reckoning.missing[0]
            return one.method.id, lack.reason, lack.remedy
    return None
