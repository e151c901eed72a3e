"""An evening guessed from what it left behind: when it began and ended, at which machine."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, timezone
from itertools import groupby, pairwise
from typing import Literal

from retrue.cases.settle.evening_clock import Span, pinned
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.cases.settle.evening_shares import Slice, filled, hours_of, shares_of

Edge = Literal["", "begin", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Something kept that shows somebody was at a machine.

    Attributes
    ----------
    at : datetime
        By the clock on the wall, with its offset.
    worker : str
        Whose hand kept it.
    lot, machine : str or None
        None: it is tied to nothing.
    sort : str
        photograph, note, finding, card ...
    line : str
        The card it belongs to; empty: none.
    edge : str
        begin or end, where it says of itself that work began or ended with it.
    """

    at: datetime
    worker: str
    lot: str | None = None
    machine: str | None = None
    sort: str = "note"
    line: str = ""
    edge: Edge = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Hours of an evening at one machine, for one card where it is known."""

    lot: str | None
    machine: str | None
    line: str
    hours: float
    machine_name: str = ""
    lot_name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """A stretch of work as it is guessed.

    Attributes
    ----------
    key : str
        The same for the same worker, day and beginning.
    worked_on : str
        ISO date of the day it began.
    begin, end : str
        HH:MM by the clock on the wall, to five minutes.
    begins, ends : datetime
        The same with their offsets.
    hours : float
        To a quarter of an hour; the sum of the shares.
    worker : str
        Whose hand kept its traces.
    shares : tuple of Share
        The longest first.
    traces : int
        How many it was guessed from.
    sorts : tuple of (str, int)
        Of which sort, how many, the most first.
    last_trace : datetime or None
        When the last of them was kept.
    rest : bool
        A part of it was answered or clocked; this is what is left.
    """

    key: str
    worked_on: str
    begin: str
    end: str
    begins: datetime
    ends: datetime
    hours: float
    worker: str
    shares: tuple[Share, ...]
    traces: int
    sorts: tuple[tuple[str, int], ...]
    last_trace: datetime | None = None
    rest: bool = False

    @property
    def asked_until(self) -> datetime:
        """The moment up to which it is asked about: what comes later is a question of its own."""
        return max(self.ends, self.last_trace or self.ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guessed:
    """Evenings, the newest first, and how often what was kept was too short or too long."""

    evenings: tuple[Evening, ...]
    not_asked: int = 0


def evenings(
    traces: Iterable[Trace],
    *,
    spoken_for: Sequence[Span] = (),
    now: datetime | None = None,
    rules: Rules = RULES,
) -> Guessed:
    """Put traces together into evenings.

    Parameters
    ----------
    traces : iterable of Trace
        In any order; each counts at its own moment, however late it came in.
    spoken_for : sequence of Span
        What was answered or clocked: it is asked no more.
    now : datetime, optional
        No evening ends after it.
    rules : Rules

    Returns
    -------
    Guessed

    Notes
    -----
    A silence longer than ``rules.gap`` begins a new evening. It begins as long before its first
    trace, and ends as long after its last, as one waits for the next trace on average, within
    ``rules.least_lead`` and ``rules.most_lead``: for traces that come by chance at an even rate
    the wait for the first one is as long. A first trace that says that work began, and a last one
    that says that it ended, are taken at their word: only the least is added.

    References
    ----------
    The mean wait of a Poisson process with a dead time, by definition; gap and limits are
    judgement.

    Examples
    --------
    >>> from datetime import UTC
    >>> def at(hour: int, minute: int) -> Trace:
    ...     return Trace(at=datetime(2026, 11, 25, hour, minute, tzinfo=UTC), worker="me",
    ...                  lot="school", machine="lathe")
    >>> (one,) = evenings([at(19, 50), at(20, 10), at(20, 30), at(21, 15), at(22, 0)]).evenings
    >>> one.worked_on, one.begin, one.end, one.hours
    ('2026-11-25', '19:30', '22:20', 2.75)
    """
    made: list[Evening] = []
    not_asked = 0
    at_fixed = (replace(one, at=pinned(one.at)) if _floats(one.at) else one for one in traces)
    by_worker = sorted(at_fixed, key=lambda one: (one.worker, one.at))
    for worker, mine in groupby(by_worker, key=lambda one: one.worker):
        spans = [span for span in spoken_for if span.worker == worker]
        spans.sort(key=lambda span: span.begins)
        for several in _groups(list(mine), rules):
            if all(one.lot is None for one in several):
                continue  # notes tied to nothing: somebody wrote, at no machine
            if not rules.least_span <= several[-1].at - several[0].at <= rules.most_span:
                not_asked += 1
                continue
            made += _of_group(several, spans, now, rules)
    made.sort(key=lambda one: (one.begins, one.worker), reverse=True)
    return Guessed(evenings=tuple(made), not_asked=not_asked)


def key_of(worker: str, worked_on: str, begin: str) -> str:
    """The key of an evening: the same for the same worker, day and beginning.

    Parameters
    ----------
    worker : str
    worked_on : str
        ISO date.
    begin : str
        HH:MM.

    Returns
    -------
    str
        Twelve signs.

    Examples
    --------
    >>> key_of("me", "2026-11-25", "19:40") == key_of("me", "2026-11-25", "19:40")
    True
    >>> len(key_of("me", "2026-11-25", "19:40"))
    12
    """
    told = "\n".join((worker, worked_on, begin))
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()[:12]


def _floats(moment: datetime) -> bool:
    return not isinstance(moment.tzinfo, timezone)


def _groups(traces: Sequence[Trace], rules: Rules) -> Iterator[list[Trace]]:
    group: list[Trace] = []
    for trace in traces:
        if group and trace.at - group[-1].at > rules.gap:
            yield group
            group = []
        group.append(trace)
    if group:
        yield group


def _lead(traces: Sequence[Trace], rules: Rules) -> timedelta:
    """How long before the first and after the last trace: their mean wait, within limits.

    Moments that lie closer than ``rules.one_moment`` count as one; that dead time is taken off
    their mean distance.
    """
    moments = [traces[0].at]
    for trace in traces[1:]:
        if trace.at - moments[-1] >= rules.one_moment:
            moments.append(trace.at)
    if len(moments) == 1:
        return rules.least_lead
    apart = (moments[-1] - moments[0]) / (len(moments) - 1) - rules.one_moment
    return min(max(apart, rules.least_lead), rules.most_lead)


def _of_group(
    traces: Sequence[Trace], spans: Sequence[Span], now: datetime | None, rules: Rules
) -> Iterator[Evening]:
    lead = _lead(traces, rules)
    before = rules.least_lead if traces[0].edge == "begin" else lead
    after = rules.least_lead if traces[-1].edge == "end" else lead
    begins, ends = traces[0].at - before, traces[-1].at + after
    if now is not None and ends > now:
        ends = max(traces[-1].at, now.astimezone(ends.tzinfo))
    owners = filled([(one.lot, one.machine, one.line) for one in traces])
    slices = [Slice(begins, traces[0].at, owners[0], lead=True)]
    slices += [
        Slice(one.at, other.at, owner)
        for (one, other), owner in zip(pairwise(traces), owners[1:], strict=True)
    ]
    slices.append(Slice(traces[-1].at, ends, owners[-1], lead=True))
    left = [piece for one in slices for piece in _left_of(one, traces, spans)]
    touched = sum((one.lasts for one in left), timedelta()) < ends - begins
    for run in _runs(left):
        made = _evening(run, traces, touched, rules)
        if made is not None and not (touched and run[-1].ends - run[0].begins < rules.least_rest):
            yield made


def _left_of(one: Slice, traces: Sequence[Trace], spans: Sequence[Span]) -> Iterator[Slice]:
    """What of a slice is not spoken for; of a lead nothing, where its trace is."""
    if not spans:
        yield one
        return
    first = traces[0].at
    at = first if one.ends == first and one.lead else traces[-1].at
    if one.lead and any(span.begins <= at <= span.ends for span in spans):
        return
    start = one.begins
    for span in spans:
        if span.ends <= start or span.begins >= one.ends:
            continue
        if span.begins > start:
            yield replace(one, begins=start, ends=span.begins)
        start = max(start, span.ends)
    if start < one.ends or (start == one.begins == one.ends):
        yield replace(one, begins=start)


def _runs(left: Sequence[Slice]) -> Iterator[list[Slice]]:
    run: list[Slice] = []
    for one in left:
        if run and one.begins != run[-1].ends:
            yield run
            run = []
        run.append(one)
    if run:
        yield run


def _evening(
    run: Sequence[Slice], traces: Sequence[Trace], touched: bool, rules: Rules
) -> Evening | None:
    begins, ends = _stepped(run[0].begins, rules), _stepped(run[-1].ends, rules)
    total = hours_of(run[-1].ends - run[0].begins, rules)
    mine = [one for one in traces if run[0].begins <= one.at <= run[-1].ends]
    if not mine or not total:
        return None
    shares = tuple(
        Share(lot=lot, machine=machine, line=line, hours=hours)
        for (lot, machine, line), hours in shares_of(run, total, rules)
    )
    counted: dict[str, int] = {}
    for one in mine:
        counted[one.sort] = counted.get(one.sort, 0) + 1
    worker, worked_on, begin = mine[0].worker, begins.date().isoformat(), f"{begins:%H:%M}"
    return Evening(
        key=key_of(worker, worked_on, begin), worked_on=worked_on, begin=begin, end=f"{ends:%H:%M}",
        begins=begins, ends=ends, hours=total, worker=worker, shares=shares, traces=len(mine),
        sorts=tuple(sorted(counted.items(), key=lambda row: (-row[1], row[0]))), rest=touched,
        last_trace=mine[-1].at,
    )  # fmt: skip


def _stepped(moment: datetime, rules: Rules) -> datetime:
    """To the nearest step of the clock."""
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    steps = round((moment - midnight) / rules.step)
    return midnight + steps * rules.step
