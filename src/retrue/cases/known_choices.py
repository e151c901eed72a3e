"""What a kind knows of what an owner chose: faults, ways, renewals, extras are looked up."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from retrue.base.say import say
from retrue.cases.known import Doubt, nearest
from retrue.kinds.library import Kind
from retrue.records.fixing import Chosen

LIVE_WITH, STOP = "live_with", "STOP"
CONTROL = "E70"  # the cost line of another control


def choice_doubts(chosen: Chosen, kind: Kind) -> Iterator[Doubt]:
    """Look up what a choice names; a stop item cannot be lived with at any level.

    Parameters
    ----------
    chosen : Chosen
        As typed.
    kind : Kind
        Of its machine.

    Yields
    ------
    Doubt
        One for each thing the kind does not have, or does not allow.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> chosen = Chosen(lot="14", machine="mill", sort="way", what="F15", way="locall")
    >>> [(doubt.field, doubt.remedy) for doubt in choice_doubts(chosen, mill)]
    [('way', 'Did you mean local?')]
    """
    match chosen.sort:
        case "way":
            yield from _way_doubts(chosen, kind)
        case "renew":
            yield from _one_of("what", chosen.what, kind.renewals, say("part that can be renewed"))
        case "upgrade":
            yield from _one_of("what", chosen.what, kind.upgrades, say("extra"))
        case "aim":
            if chosen.way == "new_control" and CONTROL not in kind.costs:
                what = say("nobody has priced another control for a {kind}", kind=kind.name)
                yield Doubt("way", what, say("Keep it with the one it has, or choose another aim."))
            if chosen.level:
                yield from _one_of("level", chosen.level, kind.levels, say("level"))


def _way_doubts(chosen: Chosen, kind: Kind) -> Iterator[Doubt]:
    fault, way = chosen.what, chosen.way
    if fault not in kind.faults:
        yield _no_such(fault, kind)
        return
    if not way:
        return
    if way == LIVE_WITH and kind.faults[fault].urgency == STOP:
        what = say("{fault} is a stop item: nobody lives with it", fault=fault)
        others = [fix.way for fix in kind.fixes.get(fault, ()) if fix.way != LIVE_WITH]
        yield Doubt("way", what, say("It can be {named}.", named=", ".join(map(str, others))))
        return
    ways = [fix.way for fix in kind.fixes.get(fault, ())]
    yield from _one_of("way", way, ways, say("way of {fault}", fault=fault))


def _no_such(word: str, kind: Kind) -> Doubt:
    """A word that is neither a fault nor anything else that can be chosen."""
    if word[:1].upper() == "F" and word[1:].isdigit():
        return next(iter(_one_of("what", word, kind.faults, say("fault"))))
    every = (*kind.faults, *kind.renewals, *kind.upgrades)
    inside = [one for one in every if word and word.lower() in one]
    return Doubt(
        "what",
        say("{word} is no fault, no part that can be renewed and no extra", word=word),
        nearest(word, inside) or nearest(word, every) or say("Open the list and choose from it."),
    )


def _one_of(field: str, word: str, known: Collection[str], what: str) -> Iterator[Doubt]:
    if word not in known:
        told = say("{word} is no {what}", word=word, what=what)
        yield Doubt(field, told, nearest(word, known) or say("Open the list and choose from it."))
