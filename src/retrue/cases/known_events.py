"""What a kind knows of fault-finding: symptoms, ways, jobs, groups and parts are looked up."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from retrue.base.say import say
from retrue.cases.case import Event
from retrue.cases.known import Doubt, nearest
from retrue.kinds.library import Kind
from retrue.records.seeking import Act, Hunch, PartMoved, Trial, Trouble


def event_doubts(event: Event, kind: Kind) -> Iterator[Doubt]:
    """Look up what something that happened names.

    Parameters
    ----------
    event : Event
        As typed.
    kind : Kind
        Of its machine.

    Yields
    ------
    Doubt
        One for each thing the kind does not have.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> act = Act(lot="14", machine="mill", sort="repair", fault="F15", way="locall")
    >>> [(doubt.field, doubt.remedy) for doubt in event_doubts(act, mill)]
    [('way', 'Did you mean local?')]
    """
    match event:
        case Trouble():
            yield from _one_of("symptom", event.symptom, kind.symptoms, "symptom", kind)
        case Hunch():
            yield from _one_of("fault", event.fault, kind.faults, "fault", kind)
        case Trial() if event.group is not None:
            yield from _one_of("group", event.group, kind.groups, "group", kind)
        case Act():
            yield from _act_doubts(event, kind)
        case PartMoved():
            what = "part that can change places"
            yield from _one_of("part", event.part, kind.swappable, what, kind)


def _act_doubts(act: Act, kind: Kind) -> Iterator[Doubt]:
    if act.job is not None:
        yield from _one_of("job", act.job, kind.jobs, "job", kind)
    if act.fault is None:
        return
    if act.fault not in kind.faults:
        yield from _one_of("fault", act.fault, kind.faults, "fault", kind)
    elif act.way:
        ways = [fix.way for fix in kind.fixes.get(act.fault, ())]
        if act.way not in ways:
            told = say("{word} is no way to put {fault} right", word=act.way, fault=act.fault)
            yield Doubt("way", told, nearest(act.way, ways))


def _one_of(
    field: str, word: str, known: Collection[str], what: str, kind: Kind
) -> Iterator[Doubt]:
    if word not in known:
        told = say("{word} is no {what} of a {kind}", word=word, what=what, kind=kind.name)
        yield Doubt(field, told, nearest(word, known))
