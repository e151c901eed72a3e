"""Told hours that cannot be: each is refused by name, before anything is kept."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.evening_clock import Span, Wall, span_of
from retrue.cases.settle.evening_rules import MOST_A_DAY
from retrue.cases.settle.evening_shown import hours_text
from retrue.cases.settle.hours import HoursKept, person, span_told
from retrue.records.settling import HoursTold
from retrue.records.shop import Record

MOST_OVER_MIDNIGHT = timedelta(hours=10)  # judgement: longer, begin and end are taken as exchanged


def refuse_told(
    fact: HoursTold, worker: str, kept: HoursKept, wall: Wall, *, now: datetime, replaces: str = ""
) -> None:
    """Refuse hours that cannot be, naming every field and what they run into.

    Parameters
    ----------
    fact : HoursTold
        As it is to be kept.
    worker : str
        Whose hours they are.
    kept : HoursKept
        What is told and clocked already.
    wall : callable
    now : datetime
    replaces : str
        Id of the record it corrects, which stands in nobody's way.

    Raises
    ------
    Unusable
        Below zero, none, more than a day has; an end before the begin; more than lies between
        them; a day to come; hours of the same person over each other; more than 24 h of a day.
    """
    problems = list(_alone(fact, now, wall))
    if not problems:
        problems = list(_beside(fact, worker, kept, wall, replaces))
    if problems:
        raise Unusable(
            say("these hours cannot be: {what}", what=problems[0].what),
            remedy=problems[0].remedy,
            problems=tuple(problems),
        )


def refuse_day(
    facts: Iterable[HoursTold], worker: str, kept: HoursKept, *, replaces: Collection[str] = ()
) -> None:
    """Refuse an answer with which its day would have more than 24 hours.

    Parameters
    ----------
    facts : iterable of HoursTold
        Of one evening, as they are to be kept.
    worker : str
        Whose hours they are.
    kept : HoursKept
    replaces : collection of str
        Ids of what they correct.

    Raises
    ------
    Unusable
        It would.

    Examples
    --------
    >>> refuse_day([HoursTold(worked_on="2026-11-25", hours=2.5)], "me", HoursKept())
    """
    new = list(facts)
    days = {one.worked_on for one in new}
    told = sum(
        one.fact.hours
        for one in kept.told
        if person(one) == worker and one.fact.worked_on in days and one.id not in replaces
    )
    if told + sum(one.hours for one in new) > MOST_A_DAY:
        problem = _too_full(told)
        raise Unusable(
            say("these hours cannot be: {what}", what=problem.what),
            remedy=problem.remedy,
            problems=(problem,),
        )


def from_times(begin: str, end: str) -> float | None:
    """Hours between two times of the clock; None where one of them is missing or none.

    Parameters
    ----------
    begin, end : str
        HH:MM.

    Returns
    -------
    float or None

    Examples
    --------
    >>> from_times("19:40", "22:10"), from_times("23:00", "00:30"), from_times("19:40", "")
    (2.5, 1.5, None)
    """
    first, last = _minutes(begin), _minutes(end)
    if first is None or last is None:
        return None
    return round(((last - first) % (24 * 60)) / 60, 2)


def _minutes(clock: str) -> int | None:
    hour, _, minute = clock.partition(":")
    if not (hour.isdigit() and minute.isdigit() and len(minute) == 2):
        return None
    told = int(hour) * 60 + int(minute)
    return told if int(minute) < 60 and told <= 24 * 60 else None


def _alone(fact: HoursTold, now: datetime, wall: Wall) -> Iterator[Problem]:
    """What is wrong with it by itself."""
    if fact.hours < 0:
        yield Problem("hours", say("below zero"), say("Leave the minus away."))
    elif fact.hours == 0 and fact.answer != "not_mine":
        yield Problem("hours", say("no hours"), say("Say how many."))
    elif fact.hours > MOST_A_DAY:
        yield Problem("hours", say("more than 24 h on a day"), say("Say the rest on another day."))
    on = _day(fact.worked_on)
    if on is None:
        yield Problem("worked_on", say("not a day"), say("Type it as 2026-11-25."))
    elif on > wall(now).date():
        yield Problem("worked_on", say("a day to come"), say("Tell hours once they are worked."))
    yield from _times(fact, wall)


def _times(fact: HoursTold, wall: Wall) -> Iterator[Problem]:
    begin, end = _minutes(fact.begin), _minutes(fact.end)
    for name, text, value in (("begin", fact.begin, begin), ("end", fact.end, end)):
        if text and value is None:
            yield Problem(name, say("not a time"), say("Type it as 19:40."))
    if bool(fact.begin) != bool(fact.end):
        name = "end" if fact.begin else "begin"
        yield Problem(name, say("is missing"), say("Say both times, or neither."))
    if begin is None or end is None or _day(fact.worked_on) is None:
        return
    if begin == end:
        yield Problem("end", say("the end is the begin"), say("Say when it ended."))
        return
    span = span_of("", fact.worked_on, fact.begin, fact.end, wall)
    lasts = span.ends - span.begins
    if end < begin and lasts > MOST_OVER_MIDNIGHT:
        yield Problem(
            "end",
            say("the end is before the begin"),
            say("Exchange them; over midnight, no more than 10 h are taken."),
        )
    elif timedelta(hours=fact.hours) > lasts + timedelta(minutes=1):
        told = hours_text(round(lasts / timedelta(hours=1), 2))
        yield Problem("hours", say("more than from begin to end"),
                      say("Between them are {hours}.", hours=told))  # fmt: skip


def _beside(
    fact: HoursTold, worker: str, kept: HoursKept, wall: Wall, replaces: str
) -> Iterator[Problem]:
    """What it runs into."""
    mine = [one for one in kept.told if person(one) == worker and one.id != replaces]
    if fact.begin and fact.end:
        span = span_of(worker, fact.worked_on, fact.begin, fact.end, wall)
        yield from _over(span, _told_spans(mine, kept, wall), _clocks(kept, worker))
    same = [
        one for one in mine
        if not fact.begin and not one.fact.begin and one.fact.worked_on == fact.worked_on
        and (one.fact.machine, one.fact.hours, one.fact.line, one.fact.text)
        == (fact.machine, fact.hours, fact.line, fact.text)
    ]  # fmt: skip
    if same:
        yield Problem(
            "hours",
            say("the same hours are told for that day already ({id})", id=same[0].id),
            say("If it is other work, say from when to when, or what it was."),
        )
    yield from _answered(fact, mine, replaces)
    day = sum(one.fact.hours for one in mine if one.fact.worked_on == fact.worked_on)
    if day + fact.hours > MOST_A_DAY:
        yield _too_full(day)


def _answered(
    fact: HoursTold, mine: Sequence[Record[HoursTold]], replaces: str
) -> Iterator[Problem]:
    """Hours without times beside an evening of that day that was answered: probably the same."""
    if fact.begin or not fact.hours or replaces:
        return
    for one in mine:
        told = one.fact
        alike = fact.machine is None or told.machine in (None, fact.machine)
        if told.evening and told.hours and told.worked_on == fact.worked_on and alike:
            yield Problem(
                "hours",
                say("an evening of that day is answered already: {hours}, {begin} to {end} ({id})",
                    hours=hours_text(told.hours), begin=told.begin, end=told.end, id=one.id),
                say("If it is other work, say from when to when; else correct that answer."),
            )  # fmt: skip
            return


def _too_full(day: float) -> Problem:
    return Problem(
        "hours",
        say("with the {hours} told for that day it is more than 24 h", hours=hours_text(day)),
        say("Take back or correct one of them."),
    )


def _told_spans(
    mine: Iterable[object], kept: HoursKept, wall: Wall
) -> Iterator[tuple[Span, str, str]]:
    ids = {id(one) for one in mine}
    for one in kept.told:
        span = span_told(one, wall) if id(one) in ids else None
        if span is not None and (one.fact.hours or one.fact.answer == "not_mine"):
            name = kept.names.get(one.fact.machine or "", "")
            yield span, _named(name, one.fact.hours), one.id


def _clocks(kept: HoursKept, worker: str) -> Iterator[tuple[Span, str, str]]:
    for one in kept.stretches:
        if one.worker == worker and one.counts and one.ends is not None:
            name = kept.names.get(one.start.fact.machine or "", "")
            hours = round((one.ends - one.begins) / timedelta(hours=1), 2)
            yield one.span, _named(name, hours), one.start.id


def _named(machine: str, hours: float) -> str:
    told = hours_text(hours)
    return say("{hours} on the {machine}", hours=told, machine=machine) if machine else told


def _over(span: Span, *others: Iterable[tuple[Span, str, str]]) -> Iterator[Problem]:
    for rows in others:
        for other, words, key in rows:
            if other.begins < span.ends and span.begins < other.ends:
                yield Problem(
                    "begin",
                    say("over {begin} to {end}, {words} ({id})", begin=f"{other.begins:%H:%M}",
                        end=f"{other.ends:%H:%M}", words=words, id=key),
                    say("Nobody works twice at a time: say other times, or correct that one."),
                )  # fmt: skip


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
