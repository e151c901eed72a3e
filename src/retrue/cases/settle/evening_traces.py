"""What of all that is kept shows that somebody was at a machine, when, at which one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from retrue.cases.settle.evening import Edge, Trace
from retrue.cases.settle.evening_clock import Wall, moment_of, pinned
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.records.facts import File, Finding, Note, Outcome
from retrue.records.fixing import CardMarked
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.moving import Arrived, Round
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
OURS: tuple[type[Any], ...] = (Arrived, AsFound, CardMarked, Act)
"""Kept only of a machine that was bought, the surest first."""
BID_FOR = (File, Note, Finding, ReadingSet, Reading, Sensed)
"""Traces that may also be of a machine that is only bid for; all others are of one's own."""
OFFICE = ("photo", "call")  # channels of what is seen on photographs or told by telephone
EDGES: Mapping[str, Edge] = {"begun": "begin", "done": "end"}
AT_WORK = ("begun", "done", "stuck", "found")  # of a card; putting it off is planning
SEEN = ("image/", "video/", "audio/")
BEFORE = timedelta(days=14)  # a photograph that says it is older was not taken on that evening

MOST_MADE = 32_768  # traces that are remembered, about 10 MB
_MADE: dict[tuple[str, datetime, Wall], tuple[ReadingSet | None, Trace | None]] = {}

InHand = Callable[[str], "datetime | None"]
Seen = tuple[datetime, Record[Any]]


def traces_of(
    seen: Iterable[Seen],
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
    known = {} if sets is None else sets
    made = ((_known_trace(row, wall, known), row[1].fact) for row in _by_hand(seen, rules))
    return [trace for trace, fact in made if trace is not None and _is_ours(trace, fact, in_hand)]


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
    return pinned(moment if moment.utcoffset() else wall(moment))


def _known_trace(row: Seen, wall: Wall, sets: Mapping[str, ReadingSet]) -> Trace | None:
    """The trace of a record: neither ever changes, so it is made once."""
    at, record = row
    place = sets.get(record.fact.set) if isinstance(record.fact, Reading) else None
    key = (record.sha256, at, wall)
    before = _MADE.get(key)
    if before is not None and before[0] == place:
        return before[1]
    made = _trace(at, record, wall, sets)
    if len(_MADE) >= MOST_MADE:
        _MADE.clear()
    _MADE[key] = (place, made)
    return made


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


def _is_ours(trace: Trace, fact: Any, in_hand: InHand) -> bool:
    if trace.lot is None or not isinstance(fact, BID_FOR):
        return True
    since = in_hand(trace.lot)
    return since is not None and trace.at >= since


def _by_hand(seen: Iterable[Seen], rules: Rules) -> Iterator[Seen]:
    """All but what came in batches: an import, a demonstration. Photographs make no batch."""
    devices: dict[tuple[str, str], list[Seen]] = {}
    for row in seen:
        devices.setdefault((row[1].by, row[1].device), []).append(row)
    for rows in devices.values():
        rows.sort(key=_moment)
        tapped = [at for at, record in rows if record.kind != File.KIND]
        spans = list(_batches(tapped, rules))
        if not spans:
            yield from rows
            continue
        yield from (
            row for row in rows if not any(first <= row[0] <= last for first, last in spans)
        )


def _moment(row: Seen) -> datetime:
    return row[0]


def _batches(moments: Sequence[datetime], rules: Rules) -> Iterator[tuple[datetime, datetime]]:
    start = 0
    for n in range(1, len(moments) + 1):
        if n < len(moments) and moments[n] - moments[n - 1] <= rules.batch_apart:
            continue
        if n - start >= rules.batch:
            yield moments[start], moments[n - 1]
        start = n
