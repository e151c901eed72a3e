"""How fault-finding of one machine stands, for its next step."""

from __future__ import annotations

from retrue.cases.case import Happened, LotCase
from retrue.cases.find.off import stays_off
from retrue.cases.find.standing import standing, troubles
from retrue.cases.onward_facts import Seeking
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.records.seeking import Trouble


def seek_kept(case: LotCase, spot: Spot, kind: Kind) -> Seeking:
    """The open troubles of a machine.

    Parameters
    ----------
    case : LotCase
        Of its lot.
    spot : Spot
    kind : Kind

    Returns
    -------
    Seeking
        A trouble whose cause was opened and there is not searched for any more; ``found`` is that
        cause until a way to put it right is chosen.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> hum = Trouble(lot="a", machine="mill", symptom="Y01", words="it hums")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(Happened(id="1", event=hum, place=0),))
    >>> spot = Spot(lot="a", lot_name="a", machine="b", name="mill", kind=None)
    >>> seek_kept(case, spot, load()[mill.kind]).title
    'it hums'
    """
    mine = [one.event for one in case.happened if one.event.machine == spot.name]
    told = [one for one in mine if isinstance(one, Trouble)]
    if not told:
        return Seeking()
    stands = standing(case, spot.name, kind)
    off = stays_off(case, stands)
    still = troubles(case, spot.name)
    seen = stands.present & _opened(case, spot.name)
    causes = {one.id: sorted(_links(one, kind) & seen) for one in still}
    sought = [one for one in reversed(still) if not causes[one.id]]
    first = (*off, *sought)
    ids = {one.id for one in (*off, *still)}
    found = [fault for one in reversed(still) for fault in causes[one.id]]
    mine_chosen = [one for one in case.chosen if one.machine == spot.name and one.sort == "way"]
    ways = {one.what: one.way for one in mine_chosen}
    to_choose = next((fault for fault in found if not ways.get(fault)), "")
    return Seeking(
        trouble=first[0].id if first else "",
        title=_words(first[0], kind) if first else "",
        means_off=bool(off),
        found=to_choose,
        found_name=kind.faults[to_choose].name if to_choose else "",
        open=len(ids),
        told=len(told),
    )


def _opened(case: LotCase, machine: str) -> frozenset[str]:
    """Faults that were there when their place was opened."""
    told = (one.finding for one in case.findings if one.finding.machine == machine)
    return frozenset(
        one.fault
        for one in told
        if one.fault and one.channel == "apart" and one.answer == "present"
    )


def _links(one: Happened, kind: Kind) -> frozenset[str]:
    """Faults that make a machine do what is told of it."""
    assert isinstance(one.event, Trouble)
    symptom = kind.symptoms.get(one.event.symptom)
    return frozenset(symptom.links) if symptom else frozenset()


def _words(one: Happened, kind: Kind) -> str:
    assert isinstance(one.event, Trouble)
    symptom = kind.symptoms.get(one.event.symptom)
    return one.event.words or (symptom.words if symptom else one.event.symptom)
