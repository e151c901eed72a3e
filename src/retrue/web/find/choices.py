"""What can be done at a machine, as choices of a list: whole jobs, and every way for a fault."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.say import say
from retrue.cases.find.rehearsal import SORTS
from retrue.kinds.library import Kind
from retrue.phases import find

Choices = list[tuple[str, list[tuple[str, str]]]]


def ways_of(kind: Kind, first: Sequence[str] = ()) -> Choices:
    """By heading: key (a job, or a fault and its way) and words.

    Parameters
    ----------
    kind : Kind
    first : sequence of str
        Faults that stand before the others; what is no fault is left out.

    Returns
    -------
    list of (str, list of (str, str))
        Living with it is nothing that is done.
    """
    found = [(say("A whole job"), [(job.id, job.name) for job in kind.jobs.values()])]
    by_name = sorted(kind.faults, key=lambda fault: kind.faults[fault].name)
    for fault in dict.fromkeys([one for one in first if one in kind.faults] + by_name):
        ways = [fix.way for fix in kind.fixes.get(fault, ()) if fix.way in SORTS]
        if ways:
            name = kind.faults[fault].name
            found.append((name, [(f"{fault}:{way}", way_of(name, way)) for way in ways]))
    return found


def way_of(name: str, way: str) -> str:
    """What was done for a fault, in words.

    Parameters
    ----------
    name, way : str

    Returns
    -------
    str
    """
    return say("{name}: {way}", name=name, way=find.way_words(way))
