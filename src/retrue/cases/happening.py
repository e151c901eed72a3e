"""What happened in fault-finding, from its records: in order, by names, counted in findings. Pure.

A correction stands where the first record of its line stood: what came after stays after.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from retrue.cases.case import Event, Happened, Kept, LotCase
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble
from retrue.records.shop import Record

EVENTS: tuple[type[Event], ...] = (Trouble, Hunch, Trial, Act, PartMoved, Signed)


@dataclass(frozen=True, slots=True)
class Line:
    """A record that counts, and the first one of its line: what others name it by."""

    first: Record[Any]
    newest: Record[Any]


def with_happenings(
    case: LotCase,
    events: Iterable[Line],
    findings: Iterable[Line],
    names: Mapping[str, str],
) -> LotCase:
    """Put what happened into a case; one in which nothing happened stays as it is.

    Parameters
    ----------
    case : LotCase
        With its findings, their ids those of the newest records.
    events : iterable of Line
        Of the facts of fault-finding that count.
    findings : iterable of Line
        Of the case's findings.
    names : mapping of str to str
        Machines' names by the ids of their first records.

    Returns
    -------
    LotCase
        Findings in the order in which they were first kept, and ``happened`` in the same order.
        What speaks of a machine or a trouble no longer there is left out; an act without its
        trouble is still an act.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=())
    >>> with_happenings(case, [], [], {}) is case
    True
    """
    told = sorted(events, key=lambda line: line.first.seq)
    if not told:
        return case
    origin = {line.newest.id: line.first.seq for line in findings}
    since = {line.newest.id: line.first.observed_at for line in findings}
    dated = (
        replace(one, at=min(since[one.id], one.at or since[one.id])) for one in case.findings
    )  # a look that is corrected is no newer for it
    kept = sorted(dated, key=lambda one: origin[one.id])
    order = [origin[one.id] for one in kept]
    open_troubles = {one.first.id for one in told if isinstance(one.newest.fact, Trouble)}
    known = {id: one.first.id for one in told for id in (one.first.id, one.newest.id)}
    happened = [
        Happened(
            id=line.first.id,
            event=event,
            place=bisect_left(order, line.first.seq),
            on=line.first.observed_at.date().isoformat(),
            at=line.first.observed_at,
        )
        for line in told
        if (event := _named(line.newest.fact, case.lot.name, names, known, open_troubles))
    ]
    return replace(case, findings=tuple[Kept, ...](kept), happened=tuple(happened))


def _named(
    event: Event,
    lot: str,
    names: Mapping[str, str],
    known: Mapping[str, str],
    troubles: set[str],
) -> Event | None:
    """An event with names in place of keys; None where what it speaks of is gone."""
    if event.machine not in names:
        return None
    machine = names[event.machine]
    if isinstance(event, Trouble | Signed):
        return replace(event, lot=lot, machine=machine)
    if isinstance(event, PartMoved):
        came = names.get(event.from_machine, event.from_machine)
        return replace(event, lot=lot, machine=machine, from_machine=came)
    trouble = known.get(event.trouble or "")
    if trouble not in troubles:
        if isinstance(event, Hunch) or (isinstance(event, Trial) and event.trouble):
            return None
        return replace(event, lot=lot, machine=machine, trouble=None)
    return replace(event, lot=lot, machine=machine, trouble=trouble)


def of_machine(case: LotCase, machine: str) -> Sequence[Happened]:
    """What happened to one machine, oldest first.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.

    Returns
    -------
    sequence of Happened
        A part that left it happened to it as well.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=())
    >>> of_machine(case, "mill")
    ()
    """
    return tuple(
        one
        for one in case.happened
        if machine == one.event.machine
        or (isinstance(one.event, PartMoved) and machine == one.event.from_machine)
    )
