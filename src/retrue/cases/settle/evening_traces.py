"""What of all that is kept shows that somebody was at a machine, when, at which one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any

from retrue.cases.settle.evening import Edge, Trace, Wall, moment_of
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.records.facts import File, Finding, Note, Outcome
from retrue.records.fixing import CardMarked
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.moving import Arrived, LaidUp, Round
from retrue.records.seeking import Act, PartMoved, Trial
from retrue.records.shop import Record
from retrue.records.stripping import AsFound, Cleaned, CleanReading, PutBack, Taken, Ticked
from retrue.records.waking import (
    CauseFound,
    Sensed,
    StageBegun,
    StageEnded,
    StageReading,
    WatchBegun,
    WatchReadings,
)

SORTS: Mapping[type[Any], str] = {
    File: "photograph",
    Note: "note",
    Finding: "finding",
    CardMarked: "card",
    AsFound: "as_found",
    Ticked: "as_found",
    Taken: "label",
    PutBack: "label",
    Cleaned: "cleaning",
    CleanReading: "cleaning",
    ReadingSet: "measuring",
    Reading: "measuring",
    StageBegun: "first_power",
    StageReading: "first_power",
    StageEnded: "first_power",
    CauseFound: "first_power",
    WatchBegun: "first_power",
    WatchReadings: "first_power",
    Sensed: "measuring",
    Act: "act",
    PartMoved: "act",
    Trial: "act",
    Round: "round",
}
"""Every kind of fact that is a trace, and the sort it is told as."""
OURS: tuple[type[Any], ...] = (Arrived, AsFound, CardMarked, Act, Taken, StageBegun, LaidUp)
"""Kept only of a machine that was bought, the surest first."""
BID_FOR = (File, Note, Finding, ReadingSet, Reading, Sensed)
"""Traces that may also be of a machine that is only bid for; all others are of one's own."""
OFFICE = ("photo", "call")  # channels of what is seen on photographs or told by telephone
EDGES: Mapping[str, Edge] = {"begun": "begin", "done": "end"}
AT_WORK = ("begun", "done", "stuck", "found")  # of a card; putting it off is planning
SEEN = ("image/", "video/", "audio/")
BEFORE = timedelta(days=14)  # a photograph that says it is older was not taken on that evening

InHand = Callable[[str], "datetime | None"]


@dataclass(frozen=True, slots=True)
class _Kept:
    """A trace with what it comes from."""

    device: str
    trace: Trace
    fact: Any


def traces_of(
    seen: Iterable[tuple[datetime, Record[Any]]],
    wall: Wall,
    *,
    in_hand: InHand,
    sets: Mapping[str, ReadingSet] | None = None,
    rules: Rules = RULES,
) -> list[Trace]:
    """The traces of what was kept.

    Parameters
    ----------
    seen : iterable of (datetime, Record)
        When it was first observed, and as it counts now.
    wall : callable
        The clock on the wall, for moments that tell no offset of their own.
    in_hand : callable
        Since when the machines of a lot are the owner's, or None: nothing is guessed of what is
        bid for.
    sets : mapping of str to ReadingSet, optional
        What readings belong to.
    rules : Rules

    Returns
    -------
    list of Trace
        Without office work (looking at photographs, the telephone, planning), without what was
        read from a file, and without batches.

    Examples
    --------
    >>> traces_of((), lambda moment: moment, in_hand=lambda lot: None)
    []
    """
    made: list[_Kept] = []
    for at, record in seen:
        trace = _trace(at, record, wall, sets or {})
        if trace is not None:
            made.append(_Kept(record.device, trace, record.fact))
    return [one.trace for one in _by_hand(made, rules) if _is_ours(one, in_hand)]


def in_hand_since(
    lot: str, outcomes: Iterable[Record[Outcome]], first: Iterable[Record[Any]], wall: Wall
) -> datetime | None:
    """Since when the machines of a lot are the owner's.

    Parameters
    ----------
    lot : str
        Id of its first record.
    outcomes : iterable of Record of Outcome
    first : iterable of Record
        Of the kinds in ``OURS``, what is kept of it.
    wall : callable

    Returns
    -------
    datetime or None
        Midnight before the earliest of them, or before the day it was delivered; None: it is not.

    Examples
    --------
    >>> in_hand_since("school", (), (), lambda moment: moment) is None
    True
    """
    moments = [
        one.observed_at for one in outcomes if one.fact.lot == lot and one.fact.result == "won"
    ]
    for one in first:
        moments.append(one.observed_at)
        if isinstance(one.fact, Arrived):
            moments.append(datetime.fromisoformat(f"{one.fact.delivered_on}T12:00+00:00"))
    if not moments:
        return None
    return wall(min(moments)).replace(hour=0, minute=0, second=0, microsecond=0)


def by_the_wall(moment: datetime, wall: Wall) -> datetime:
    """A moment as its device told it; one that tells none but world time, by this shop's clock.

    Parameters
    ----------
    moment : datetime
        With its offset.
    wall : callable

    Returns
    -------
    datetime

    Examples
    --------
    >>> from datetime import UTC, timezone
    >>> here = timezone(timedelta(hours=1))
    >>> by_the_wall(datetime(2026, 11, 25, 18, 40, tzinfo=UTC),
    ...             lambda moment: moment.astimezone(here)).hour
    19
    """
    return moment if moment.utcoffset() else wall(moment)


def _trace(
    at: datetime, record: Record[Any], wall: Wall, sets: Mapping[str, ReadingSet]
) -> Trace | None:
    fact = record.fact
    sort = SORTS.get(type(fact))
    if sort is None or _is_office(fact):
        return None
    place = sets.get(fact.set) if isinstance(fact, Reading) else fact
    if place is None or _is_from_file(place):
        return None
    moment = by_the_wall(at, wall)
    if isinstance(fact, File):
        moment = _taken(fact, moment, wall)
    return Trace(
        at=moment, worker=record.by, lot=place.lot, machine=place.machine, sort=sort,
        line=_line(fact), edge=_edge(fact),
    )  # fmt: skip


def _is_office(fact: Any) -> bool:
    if isinstance(fact, Finding):
        return fact.channel in OFFICE
    if isinstance(fact, CardMarked):
        return fact.how not in AT_WORK
    return isinstance(fact, File) and not fact.media_type.startswith(SEEN)


def _is_from_file(fact: Any) -> bool:
    """What was read from a table, a logger or a recording tells when it was read in."""
    if isinstance(fact, WatchReadings):
        return fact.source != "typed"
    return isinstance(fact, ReadingSet | Sensed) and bool(fact.file)


def _line(fact: Any) -> str:
    if isinstance(fact, CardMarked):
        return fact.card
    if isinstance(fact, Act):
        return fact.job or (f"{fact.fault}:{fact.way}" if fact.fault and fact.way else "")
    return ""


def _edge(fact: Any) -> Edge:
    """Whether it says of itself that work began or ended with it."""
    if isinstance(fact, StageBegun | WatchBegun):
        return "begin"
    if isinstance(fact, StageEnded):
        return "end"
    if isinstance(fact, CardMarked):
        return EDGES.get(fact.how, "")
    return "end" if isinstance(fact, Ticked) and fact.list == "evening" else ""


def _taken(fact: File, observed: datetime, wall: Wall) -> datetime:
    """When a photograph says it was taken, unless its camera's clock cannot be right."""
    try:
        taken = datetime.fromisoformat(fact.taken or "")
    except ValueError:
        return observed
    if taken.utcoffset() is None:
        taken = moment_of(taken.date(), f"{taken:%H:%M}", wall) + timedelta(seconds=taken.second)
    late = taken - observed
    return taken if -BEFORE <= late <= timedelta(minutes=5) else observed


def _is_ours(one: _Kept, in_hand: InHand) -> bool:
    if one.trace.lot is None or not isinstance(one.fact, BID_FOR):
        return True
    since = in_hand(one.trace.lot)
    return since is not None and one.trace.at >= since


def _by_hand(made: Sequence[_Kept], rules: Rules) -> list[_Kept]:
    """All but what came in batches: an import, a demonstration. Photographs make no batch."""
    told: list[_Kept] = []
    ordered = sorted(made, key=lambda one: (one.trace.worker, one.device, one.trace.at))
    for _, rows in groupby(ordered, key=lambda one: (one.trace.worker, one.device)):
        mine = list(rows)
        tapped = [one.trace for one in mine if not isinstance(one.fact, File)]
        spans = list(_batches(tapped, rules))
        told += [
            one for one in mine if not any(first <= one.trace.at <= last for first, last in spans)
        ]
    return told


def _batches(traces: Sequence[Trace], rules: Rules) -> Iterator[tuple[datetime, datetime]]:
    run: list[Trace] = []
    for trace in traces:
        if run and trace.at - run[-1].at > rules.batch_apart:
            yield from _batch(run, rules)
            run = []
        run.append(trace)
    yield from _batch(run, rules)


def _batch(run: Sequence[Trace], rules: Rules) -> Iterator[tuple[datetime, datetime]]:
    if len(run) >= rules.batch:
        yield run[0].at, run[-1].at
