"""Which cautions stand before a step."""

from __future__ import annotations

import re

from retrue.cases.find.options import RANK, Option, stage_of
from retrue.cases.find.seek import Sought
from retrue.cases.find.standing import behind
from retrue.kinds.library import Caution, Kind

ALWAYS = ("X01",)
HANDS = "X02"  # main switch locked off: before anything is opened
SECOND_PERSON = "X32"
LIVE = "X05"
SPLIT = re.compile(r"[;,]")


def general(kind: Kind) -> tuple[str, ...]:
    """What stands on the page before everything.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    tuple of str
    """
    return tuple(words(kind.cautions[id]) for id in ALWAYS if id in kind.cautions)


def words(caution: Caution) -> str:
    """A caution with what it defers to.

    Parameters
    ----------
    caution : Caution

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> words(load()["turning_centre"].cautions["X42"])[:35]
    'Over 80 dBA: plugs or muffs. Over 8'
    """
    return f"{caution.text} ({caution.defers_to})"


def before(sought: Sought, option: Option) -> tuple[str, ...]:
    """The cautions that stand before a step, in the order of the kind's list.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    tuple of str
    """
    kind = sought.kind
    wanted: set[str] = set()
    if option.look is not None:
        wanted |= _of_look(kind, option)
    if option.way is not None:
        wanted |= _of_way(sought, option)
    rank = RANK[stage_of(sought, option)]
    if rank > 1:
        wanted.add(SECOND_PERSON)
    if option.sort == "sign":
        wanted |= {HANDS, SECOND_PERSON} if rank > 1 else {HANDS}
    if option.look is not None and option.look.check.who == "electrician":
        wanted.add(LIVE)
    return tuple(words(one) for id, one in kind.cautions.items() if id in wanted)


def _of_look(kind: Kind, option: Option) -> set[str]:
    assert option.look is not None
    check = option.look.check
    wanted = {check.caution} if check.caution else set()
    for id, caution in kind.cautions.items():
        if check.id in re.findall(r"[A-Z]+\d+", caution.shown_before):
            wanted.add(id)
        if option.look.part is not None and _names(caution, "find"):
            wanted.add(id)
    if option.look.opens:
        wanted.add(HANDS)
    return wanted


def _of_way(sought: Sought, option: Option) -> set[str]:
    assert option.way is not None
    way, kind = option.way, sought.kind
    opened = {one for place in way.places for one in behind(kind, place)}
    wanted = {HANDS} if sought.purse.open_cost(way.opens) > 0.0 else set()
    for id, caution in kind.cautions.items():
        faults = _after(caution, "fix")
        places = _after(caution, "strip")
        if way.fault in faults or opened & places:
            wanted.add(id)
    return wanted


def _names(caution: Caution, phase: str) -> bool:
    return any(part.split()[:1] == [phase] for part in SPLIT.split(caution.shown_before))


def _after(caution: Caution, phase: str) -> set[str]:
    """The words that follow a phase's name: ``fix F03 F60`` gives both faults."""
    found: set[str] = set()
    for part in SPLIT.split(caution.shown_before):
        first, *rest = part.split() or [""]
        if first == phase:
            found |= set(rest)
    return found
