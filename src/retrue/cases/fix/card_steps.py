"""The lines of a card in the order of the hand, and its title."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from retrue.base.say import say
from retrue.cases.find.dead import is_dead
from retrue.cases.fix.layout import is_late
from retrue.cases.fix.lines import Step
from retrue.cases.fix.needed import FaultNeed, Needed
from retrue.cases.fix.rules import Manner
from retrue.cases.fix.way_words import way_words
from retrue.cases.wake.closed import clearing_looks
from retrue.kinds.library import Check, Job, Kind, Place

Sort = Literal["open", "before", "work", "clean", "measure", "close"]
ON_THE_SPOT = ("foundation", "geometry", "supply", "lot", "covers", "ways")  # subsystems
MOST_LOOKS = 5
AT_ITS_PLACE = ("outside", "supply", "foundation")  # places nothing is taken out of


def on_the_spot(need: FaultNeed) -> bool:
    """Whether somebody comes to do it, because nothing can be taken out and sent.

    Parameters
    ----------
    need : FaultNeed

    Returns
    -------
    bool

    Examples
    --------
    >>> from types import SimpleNamespace as Made
    >>> on_the_spot(Made(fault=Made(subsystem="foundation"), fix=Made(opens="")))
    True
    >>> on_the_spot(Made(fault=Made(subsystem="spindle"), fix=Made(opens="headstock")))
    False
    """
    return need.fault.subsystem in ON_THE_SPOT or (need.fix.opens or "outside") in AT_ITS_PLACE


def work_title(need: FaultNeed) -> str:
    """Title of the card on which a fault is put right.

    Parameters
    ----------
    need : FaultNeed

    Returns
    -------
    str
    """
    if need.sent and not on_the_spot(need):
        return say("Put back and try: {fault}", fault=need.fault.name)
    if need.sent:
        return say("Take over and try: {fault}", fault=need.fault.name)
    return way_title(need)


def way_title(need: FaultNeed) -> str:
    """A fault and what is done about it: what a part is for.

    Parameters
    ----------
    need : FaultNeed

    Returns
    -------
    str
    """
    return say("{fault}: {way}", fault=need.fault.name, way=way_words(need.fix.way))


def send_title(need: FaultNeed) -> str:
    """Title of the card that brings it to whoever repairs it.

    Parameters
    ----------
    need : FaultNeed

    Returns
    -------
    str
    """
    if on_the_spot(need):
        return say("Have somebody come for: {fault}", fault=need.fault.name)
    return say("Take out and send: {fault}", fault=need.fault.name)


def work_steps(need: FaultNeed, of: Needed, manner: Manner, place: Place | None) -> list[Step]:
    """Lines of the card on which a fault is put right.

    Parameters
    ----------
    need : FaultNeed
    of : Needed
    manner : Manner
    place : Place or None
        What must stand open.

    Returns
    -------
    list of Step
    """
    note = need.fix.note.strip()
    lines = list(manner.work)
    if note and not note.startswith("MUST"):
        lines.insert(0, note)
    if not lines:
        lines.append(work_title(need))
    more = [way for way in (*need.steps[1:], need.surest) if way != need.fix.way]
    other = next((way for way in more if way != "live_with"), "")
    if other:
        lines.append(say("If that does not cure it: {way}.", way=way_words(other)))
    looks = clearing_looks(of.kind, need.fault.id)[:1]
    again = [_again(of.kind.checks[look]) for look in looks]
    return [
        *_stands_open(place, of),
        *_steps("work", lines),
        *_steps("clean", manner.clean),
        *_steps("measure", (*manner.measure, *again)),
    ]


def _again(look: Check) -> str:
    if is_dead(look):
        return say("Look again: {look}.", look=look.text)
    return say("Look again, once it may run: {look}.", look=look.text)


def send_steps(need: FaultNeed, of: Needed, manner: Manner, place: Place | None) -> list[Step]:
    """Lines of the card that brings it to whoever repairs it.

    Parameters
    ----------
    need : FaultNeed
    of : Needed
    manner : Manner
    place : Place or None

    Returns
    -------
    list of Step
    """
    if on_the_spot(need):
        lines = [say("Ring, agree the price and the day, ask what he needs made free.")]
    else:
        lines = [
            say("Label every plug, wire and hose; photograph it before it is loosened."),
            say("Take it out, write down plate, serial number and shims."),
            say("Pack it so that no load comes on a shaft; note to whom it goes and how it comes "
                "back."),
        ]  # fmt: skip
    return [*_stands_open(place, of), *_steps("before", manner.before), *_steps("work", lines)]


def open_steps(place: Place, of: Needed, manner: Manner, alone: bool) -> list[Step]:
    """Lines of an opening.

    Parameters
    ----------
    place : Place
    of : Needed
    manner : Manner
    alone : bool
        Whether what is read before it comes apart stands on this card, having none of its own.

    Returns
    -------
    list of Step
    """
    first = [say("First: {needs}.", needs=place.needs)] if place.needs else []
    lines = [*first, say("Take off: {what}.", what=place.opened_by)]
    return [
        *_steps("open", lines),
        *(before_steps(place, of, manner) if alone else ()),
        *_steps("measure", _to_look_for(place, of)),
    ]


def before_steps(place: Place, of: Needed, manner: Manner) -> list[Step]:
    """What is read and marked before a place comes apart.

    Parameters
    ----------
    place : Place
    of : Needed
    manner : Manner

    Returns
    -------
    list of Step
    """
    listed = [
        one.text
        for one in of.kind.as_found.values()
        if one.place == place.id and one.before == "apart" and one.id not in of.machine.as_found
    ]
    return _steps("before", (*listed, *manner.before))


def close_steps(place: Place, of: Needed, manner: Manner) -> list[Step]:
    """Lines of a closing.

    Parameters
    ----------
    place : Place
    of : Needed
    manner : Manner

    Returns
    -------
    list of Step
    """
    off = [one for one in of.machine.taken if one.place == place.id and not one.back]
    back = [say("Put back what is on the list of this place: {count} not back yet.",
                count=len(off))] if off else []  # fmt: skip
    last = say("Put on again: {what}. Torques and shims as they were written down.",
               what=place.opened_by)  # fmt: skip
    return [
        *_steps("measure", _to_look_for(place, of)),
        *_steps("close", (*back, *manner.close, last)),
    ]


def job_steps(job: Job, kind: Kind, manner: Manner) -> list[Step]:
    """Lines of a base job: the work, and what is looked at on the way.

    Parameters
    ----------
    job : Job
    kind : Kind
    manner : Manner

    Returns
    -------
    list of Step
    """
    sort: Sort = "clean" if job.sort == "clean" else "work"
    late = is_late(kind, job)
    shown = [kind.checks[one] for one in job.reveals if one in kind.checks]
    looks = [one.text for one in shown if late or is_dead(one)]
    return [
        *_steps("before", manner.before if job.sort != "clean" else ()),
        *_steps(sort, (job.name, *manner.work)),
        *_steps("clean", manner.clean),
        *_steps("measure", (*looks, *manner.measure)),
    ]


def _to_look_for(place: Place, of: Needed) -> list[str]:
    """What may be wrong here and nobody has seen yet: looked at while it is open."""
    likely = sorted(
        (one for one in of.faults if not one.confirmed and one.fix.opens == place.id),
        key=lambda one: (-one.chance, one.fault.id),
    )
    if not likely:
        return []
    names = "; ".join(str(one.fault.name) for one in likely[:MOST_LOOKS])
    return [say("Look while it stands open, and keep what you see: {names}.", names=names)]


def _stands_open(place: Place | None, of: Needed) -> list[Step]:
    if place is None:
        return []
    if place.id in of.openings.open_now:
        return _steps("open", (say("{place} stands open.", place=place.name),))
    return _steps("open", (say("{place} is opened first, once for all that is done there.",
                               place=place.name),))  # fmt: skip


def _steps(sort: Sort, lines: Iterable[str]) -> list[Step]:
    return [Step(sort=sort, text=line) for line in dict.fromkeys(lines) if line]
