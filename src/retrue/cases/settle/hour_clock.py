"""Start and stop: stretches of work by the clock, those that run, those that ran too long."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from retrue.base.formatter import number
from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.evening_clock import Span, Wall
from retrue.cases.settle.evening_rules import RULES, Rules
from retrue.cases.settle.evening_traces import by_the_wall
from retrue.records.settling import ClockRung
from retrue.records.shop import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Work from a start to its stop.

    Attributes
    ----------
    begins, ends : datetime
        By the clock on the wall; ``ends`` None: it runs.
    too_long : bool
        Longer than a clock may run without an answer: it counts nothing.
    """

    start: Record[ClockRung]
    worker: str
    begins: datetime
    ends: datetime | None
    too_long: bool = False

    @property
    def counts(self) -> bool:
        """Whether its hours are known."""
        return self.ends is not None and not self.too_long

    @property
    def span(self) -> Span:
        """As time that is spoken for; of a clock that runs nothing."""
        return Span(worker=self.worker, begins=self.begins, ends=self.ends or self.begins)


def stretches(
    rung: Iterable[Record[ClockRung]], wall: Wall, *, now: datetime, rules: Rules = RULES
) -> tuple[Stretch, ...]:
    """Starts and stops as stretches of work.

    Parameters
    ----------
    rung : iterable of Record of ClockRung
        In any order: each counts at the moment it tells.
    wall : callable
    now : datetime
    rules : Rules

    Returns
    -------
    tuple of Stretch
        In the order of time. A second start ends the first; a stop without a start is none.

    Examples
    --------
    >>> from datetime import UTC
    >>> stretches((), lambda moment: moment, now=datetime(2026, 11, 25, tzinfo=UTC))
    ()
    """
    mine: dict[str, list[tuple[datetime, Record[ClockRung]]]] = {}
    for one in rung:
        at = by_the_wall(datetime.fromisoformat(one.fact.at), wall)
        mine.setdefault(worker_of(one), []).append((at, one))
    made: list[Stretch] = []
    for worker, rows in mine.items():
        made += _of(worker, sorted(rows, key=lambda row: (row[0], row[1].seq)), now, rules)
    return tuple(sorted(made, key=lambda one: one.begins))


def worker_of(record: Record[ClockRung]) -> str:
    """Whose clock it is: the worker named, else whose hand rang it.

    Parameters
    ----------
    record : Record of ClockRung

    Returns
    -------
    str
    """
    return record.fact.worker or record.by


def running(every: Sequence[Stretch], worker: str) -> Stretch | None:
    """The clock of a worker that runs.

    Parameters
    ----------
    every : sequence of Stretch
    worker : str

    Returns
    -------
    Stretch or None

    Examples
    --------
    >>> running((), "me") is None
    True
    """
    mine = [one for one in every if one.worker == worker]
    return mine[-1] if mine and mine[-1].ends is None else None


def refuse_second(going: Stretch | None, name: str) -> None:
    """Refuse a start while a clock runs, and name it.

    Parameters
    ----------
    going : Stretch or None
    name : str
        Of the machine it runs at.

    Raises
    ------
    NotYet
        It runs.

    Examples
    --------
    >>> refuse_second(None, "")
    """
    if going is not None:
        raise NotYet(
            say("a clock runs already, at {machine} since {when}", machine=name,
                when=_when(going.begins)),
            remedy=say("Stop it first; say when, if it was earlier."),
        )  # fmt: skip


def refuse_stop(
    going: Stretch | None, at: datetime, *, said: bool, rules: Rules = RULES
) -> Stretch:
    """The clock that a stop ends; a stop without a start, before it, or far too late is refused.

    Parameters
    ----------
    going : Stretch or None
    at : datetime
        When it stops.
    said : bool
        Somebody said that moment; else it is now.
    rules : Rules

    Returns
    -------
    Stretch

    Raises
    ------
    NotYet
        No clock runs; or it began so long ago that a stop now would not be believed.
    Unusable
        It would end before it began, or be longer than a day.
    """
    if going is None:
        raise NotYet(
            say("no clock runs"),
            remedy=say("Start one, or say the hours: they count as well."),
        )
    if at <= going.begins:
        what = say("is before the start, {when}", when=_when(going.begins))
        raise _end(what, say("Say when it was stopped."))
    lasts = at - going.begins
    if not said and lasts > rules.most_clocked:
        raise NotYet(
            say("the clock began {when}, {hours} h ago", when=_when(going.begins),
                hours=number(lasts / timedelta(hours=1))),
            remedy=say("Say when you stopped, or how many hours it was."),
        )  # fmt: skip
    if lasts > timedelta(hours=24):
        raise _end(say("is more than a day after the start"), say("Say when it was stopped."))
    return going


def _end(what: str, remedy: str) -> Unusable:
    reason = say("this stop cannot be: it {what}", what=what)
    return Unusable(reason, remedy=remedy, problems=(Problem("at", what, remedy),))


def _when(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M}"


def _of(
    worker: str, rows: Sequence[tuple[datetime, Record[ClockRung]]], now: datetime, rules: Rules
) -> Iterator[Stretch]:
    going: tuple[datetime, Record[ClockRung]] | None = None
    for at, one in rows:
        if going is not None:
            # a stop that was typed says when: it is believed for as long as a day has hours
            said = one.fact.how == "stop" and abs(one.observed_at - at) > rules.step
            yield _stretch(worker, going, at, timedelta(hours=24) if said else rules.most_clocked)
        going = (at, one) if one.fact.how == "start" else None
    if going is not None:
        began, start = going
        late = now - began > rules.most_clocked
        yield Stretch(start=start, worker=worker, begins=began, ends=None, too_long=late)


def _stretch(
    worker: str, going: tuple[datetime, Record[ClockRung]], ends: datetime, most: timedelta
) -> Stretch:
    began, start = going
    late = ends - began > most
    return Stretch(start=start, worker=worker, begins=began, ends=ends, too_long=late)
