"""Looks with everything off, and which of them clear a trouble that means "switch it off"."""

from __future__ import annotations

from retrue.kinds.library import Check, Kind, Symptom

SHOWS_WELL = 0.5  # a look with such a link to a fault can clear it


def is_dead(check: Check) -> bool:
    """Whether a look can be made with everything off.

    Parameters
    ----------
    check : Check

    Returns
    -------
    bool
    """
    return "visit_dead" in check.stages or "apart" in check.stages


def dead_looks_at(symptom: Symptom, kind: Kind) -> tuple[Check, ...]:
    """The looks that clear a symptom with everything off.

    Parameters
    ----------
    symptom : Symptom
    kind : Kind

    Returns
    -------
    tuple of Check
        Its own look, if that can be made dead; else every dead look that shows one of its
        suspects well.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [look.id for look in dead_looks_at(mill.symptoms["Y53"], mill)]  # a tingle
    ['C35']
    """
    own = kind.checks.get(symptom.check)
    if own is not None and is_dead(own):
        return (own,)
    faults = set(symptom.links) | set(own.links if own is not None else ())
    return tuple(
        check
        for check in kind.checks.values()
        if is_dead(check)
        and any(f in faults and link >= SHOWS_WELL for f, link in check.links.items())
    )
