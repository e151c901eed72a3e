"""Which cautions stand before the ways of a fault."""

from __future__ import annotations

import re
from functools import lru_cache

from retrue.cases.find.cautions import LIVE, SPLIT, words
from retrue.cases.find.standing import behind
from retrue.kinds.library import Caution, Fault, Kind

ELECTRIC = ("supply", "cabinet", "spindle drive", "axis drive", "control")


def cautions_before(kind: Kind, fault: Fault) -> tuple[str, ...]:
    """What must be read before a fault's figures, each with what it defers to.

    Parameters
    ----------
    kind : Kind
    fault : Fault

    Returns
    -------
    tuple of str
        Those that name the fault, those of the places its ways open, and that of live panels
        where it sits in one.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> any("springs" in one for one in cautions_before(mill, mill.faults["F03"]))
    True
    """
    opens = {fix.opens for fix in kind.fixes.get(fault.id, ()) if fix.opens}
    places = {each for place in opens for each in behind(kind, place)}
    return tuple(
        words(one)
        for id, one in kind.cautions.items()
        if fault.id in _after(one, "fix")
        or places & _after(one, "strip")
        or (id == LIVE and fault.subsystem in ELECTRIC)
    )


def of_fault(kind: Kind, fault: str) -> tuple[Caution, ...]:
    """The cautions that name a fault, before it is worked on.

    Parameters
    ----------
    kind : Kind
    fault : str
        Its id.

    Returns
    -------
    tuple of Caution

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> [one.id for one in of_fault(load()["vertical_machining_centre"], "F14")]
    []
    """
    return tuple(one for one in kind.cautions.values() if fault in _after(one, "fix"))


def _after(caution: Caution, phase: str) -> frozenset[str]:
    """The words behind a phase's name: ``fix F03 F60`` gives both faults."""
    return _named(caution.shown_before, phase)


@lru_cache(maxsize=1024)
def _named(shown_before: str, phase: str) -> frozenset[str]:
    parts = (re.split(r"\s+", part.strip()) for part in SPLIT.split(shown_before))
    return frozenset(word for first, *rest in parts if first == phase for word in rest)
