"""What must be seen before a place is closed, and before anything is switched on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from retrue.base.say import say
from retrue.cases.find.dead import SHOWS_WELL, is_dead
from retrue.cases.fix.layout import Layout
from retrue.cases.fix.licensed import is_his
from retrue.cases.fix.lines import Card, Step
from retrue.cases.fix.needed import FaultNeed, Needed
from retrue.cases.fix.places import chain
from retrue.kinds.library import Check, Kind
from retrue.kinds.once import once_a_kind

LOOK, ELSEWHERE = "look:", "outside"
LOOK_SHARE = 0.25  # of the hours of a closing: it begins with a last look (judgement)
PRESSING = ("STOP", "MUST")


def told_dead(kind: Kind, fault: str) -> bool:
    """Whether somebody can see with everything off that a fault is there, or is not.

    Parameters
    ----------
    kind : Kind
    fault : str

    Returns
    -------
    bool
        By a look that shows it well, or the one that clears it as a stop item.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [fault for fault in ("F03", "F31", "F85", "F86") if told_dead(mill, fault)]
    ['F85', 'F86']
    """
    return bool(dead_looks(kind, fault))


@once_a_kind
def dead_looks(kind: Kind, fault: str) -> tuple[Check, ...]:
    """Looks with everything off that tell a fault, the best first.

    Parameters
    ----------
    kind : Kind
    fault : str

    Returns
    -------
    tuple of Check
    """
    cover = kind.stop_cover.get(fault)
    least = {cover.check: 0.0} if cover is not None else {}
    looks = [
        one
        for one in kind.checks.values()
        if one.links.get(fault, -1.0) >= least.get(one.id, SHOWS_WELL) and is_dead(one)
    ]
    return tuple(sorted(looks, key=lambda one: (one.id not in least, -one.links[fault], one.id)))


def looked_at(need: Needed, layout: Layout) -> Mapping[str, tuple[FaultNeed, ...]]:
    """What nobody has seen yet and can see while it is off, by the place that stands open for it.

    Parameters
    ----------
    need : Needed
    layout : Layout

    Returns
    -------
    mapping of place to tuple of FaultNeed
        ``outside`` is what no place has to be opened for; there only what presses. What presses
        and is rare is asked beside, so that a place is not opened again for it.
    """
    found: dict[str, list[FaultNeed]] = {}
    for one in (*need.faults, *(rare for rare in need.rare if presses(rare))):
        if one.confirmed or layout.is_late(one) or not told_dead(need.kind, one.fault.id):
            continue
        inner = layout.inner(need.kind, one.fix.opens or one.fault.place) or ELSEWHERE
        if inner != layout.level_place and (inner != ELSEWHERE or presses(one)):
            found.setdefault(inner, []).append(one)
    return {
        place: tuple(sorted(mine, key=_order))
        for place, mine in found.items()
        if any(one.listed and (presses(one) or place not in need.openings.closed) for one in mine)
    }


def presses(need: FaultNeed) -> bool:
    """Whether nothing may be closed or switched on before it is seen.

    Parameters
    ----------
    need : FaultNeed

    Returns
    -------
    bool
    """
    return need.fault.urgency in PRESSING


def pressing_places(need: Needed, layout: Layout) -> Mapping[str, str]:
    """Places that have to be opened whatever the odds: something behind them must be seen.

    Parameters
    ----------
    need : Needed
    layout : Layout

    Returns
    -------
    mapping of place to urgency
        With the places in front of them.
    """
    found: dict[str, str] = {}
    for place, mine in looked_at(need, layout).items():
        pressing = presses(mine[0]) and mine[0].listed
        for one in chain(need.kind, place) if pressing else ():
            if found.get(one) != PRESSING[0]:
                found[one] = mine[0].fault.urgency
    return found


def look_steps(need: Needed, mine: tuple[FaultNeed, ...]) -> Iterator[Step]:
    """One line a fault: what it is, by which look it is told.

    Parameters
    ----------
    need : Needed
    mine : tuple of FaultNeed

    Yields
    ------
    Step
    """
    for one in mine:
        look = next((c for c in dead_looks(need.kind, one.fault.id) if not is_his(c)), None)
        first = say("there or not: {fault}", fault=one.fault.name)
        yield Step(sort="measure", text=first if look is None else f"{first} ({look.text})")


def still_open(card: Card, need: Needed) -> tuple[str, ...]:
    """Names of what presses on a card of looks and nobody has said of yet.

    Parameters
    ----------
    card : Card
    need : Needed

    Returns
    -------
    tuple of str
    """
    if not card.key.startswith(LOOK):
        return ()
    named = {one.fault.id: one for one in need.faults}
    mine = [named[one] for one in card.faults if one in named]
    return tuple(one.fault.name for one in mine if presses(one))


def _order(one: FaultNeed) -> tuple[int, float, str]:
    rank = PRESSING.index(one.fault.urgency) if presses(one) else 2
    return rank if one.listed else 3, -one.chance, one.fault.id
