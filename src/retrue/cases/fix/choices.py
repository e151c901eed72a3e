"""Whether a choice can be kept: known things, ways a level allows, never a stop item left."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.ways import level_words, why_not_live
from retrue.cases.known_choices import LIVE_WITH, choice_doubts
from retrue.cases.orders import rank
from retrue.kinds.library import Fix, Kind
from retrue.records.checking import problems_of
from retrue.records.facts import Machine
from retrue.records.fixing import Chosen


def refuse_choice(chosen: Chosen, machine: Machine, kind: Kind, level: str) -> None:
    """Refuse what cannot be chosen, with everything that is wrong named.

    Parameters
    ----------
    chosen : Chosen
    machine : Machine
        As it stands: the must faults its owner agreed to live with.
    kind : Kind
        Of the machine.
    level : str
        What it is worked for now.

    Raises
    ------
    Unusable
        An unknown fault, way, level, renewal or extra; a way that the level does not allow.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> one = Machine(lot="a", name="mill", kind=mill.id)
    >>> refuse_choice(Chosen(lot="a", machine="mill", sort="way", what="F15", way="local"),
    ...               one, mill, "right")
    """
    problems = [
        *problems_of(chosen),
        *(Problem(doubt.field, doubt.what, doubt.remedy) for doubt in choice_doubts(chosen, kind)),
    ]
    if not problems and chosen.sort == "way" and chosen.way:
        problems += _not_at(chosen, machine, kind, level)
    if problems:
        raise Unusable(
            say("this cannot be chosen as it stands"),
            remedy=say("Mend what is named."),
            problems=tuple(problems),
        )


def _not_at(chosen: Chosen, machine: Machine, kind: Kind, level: str) -> Iterator[Problem]:
    """A way that the level does not allow, and what to do about it."""
    fault, fixes = kind.faults[chosen.what], kind.fixes[chosen.what]
    fix = next(one for one in fixes if one.way == chosen.way)
    if fix.way == LIVE_WITH:
        why = why_not_live(fault, fix, kind.levels[level], machine.live_with)
    else:
        why = _too_little(fix, fixes, level)
    if why:
        yield Problem(f"way {fix.way} of {fault.id}", why.rstrip("."), _remedy(fixes, level))


def _too_little(fix: Fix, fixes: tuple[Fix, ...], level: str) -> str:
    """A way that is good only for less, where there is one that is good enough."""
    curing = [one for one in fixes if one.way != LIVE_WITH]
    if rank(fix.good_for) >= rank(level) or not _good(curing, level):
        return ""
    return say("It is good enough only for {level}.", level=level_words(fix.good_for))


def _remedy(fixes: tuple[Fix, ...], level: str) -> str:
    others = [one.way for one in _good([f for f in fixes if f.way != LIVE_WITH], level)]
    if not others:
        others = [one.way for one in fixes if one.way != LIVE_WITH]
    return say(
        "At {level} it can be {named}; or aim for less.",
        level=level_words(level),
        named=", ".join(map(str, others)),
    )


def _good(fixes: list[Fix], level: str) -> list[Fix]:
    return [one for one in fixes if rank(one.good_for) >= rank(level)]
