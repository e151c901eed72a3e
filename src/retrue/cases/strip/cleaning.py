"""The plan of cleaning: each sort of muck with its way, its waste, and what must never be done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.strip import cautions
from retrue.cases.strip.acceptance import accepted, points_of, reading_line
from retrue.cases.strip.lines import CleaningLine, CleaningStands
from retrue.kinds.library import Kind
from retrue.records.stripping import CleanReading


def plan_line(kind: Kind, muck: str) -> CleaningLine:
    """How one sort of muck is taken off this kind of machine.

    Parameters
    ----------
    kind : Kind
    muck : str
        Id of one of its sorts.

    Returns
    -------
    CleaningLine

    Raises
    ------
    Unknown
        There is no such sort.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> plan_line(load()["turning_centre"], "conductive").never
    'Never blown. Never wetted. No power until the tape is clean.'
    """
    if muck not in kind.mucks:
        raise Unknown(
            say("{word} is no sort of muck", word=muck),
            remedy=nearest(muck, kind.mucks)
            or say("It can be {named}.", named=", ".join(kind.mucks)),
        )
    one = kind.mucks[muck]
    return CleaningLine(
        muck=one.id,
        name=one.name,
        how=one.how,
        never=one.never,
        quantities=tuple((q.what, q.low, q.likely, q.high, q.unit) for q in one.quantities),
        waste=one.waste,
        hours=one.hours,
        cautions=cautions.told(kind, one.cautions),
        accept=one.accept,
        mark=one.mark,
    )


def cleaning_stands(
    kind: Kind,
    mucks: Iterable[str],
    readings: Iterable[CleanReading],
    place_names: Mapping[str, str] | None = None,
) -> CleaningStands:
    """The plan, the readings, and whether they prove it clean.

    Parameters
    ----------
    kind : Kind
    mucks : iterable of str
        Sorts to be taken off.
    readings : iterable of CleanReading
        Oldest first.
    place_names : mapping of str to str, optional
        As a page names the places; else those of the kind.

    Returns
    -------
    CleaningStands
    """
    names = place_names or {id: place.name for id, place in kind.places.items()}
    lines = tuple(
        reading_line(read, names.get(read.place, read.place)) for read in points_of(readings)
    )
    good, why = accepted(lines)
    plan = tuple(plan_line(kind, muck) for muck in dict.fromkeys(mucks))
    return CleaningStands(plan=plan, readings=lines, accepted=good, why=why)
