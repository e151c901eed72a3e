"""An evening told in words: the question, and what it was guessed from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime

from retrue.base.formatter import day as day_text
from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.settle.evening import Evening, Share
from retrue.cases.settle.evening_rules import RULES, Rules

EVENING_FROM = 17  # o'clock: what begins earlier is a day's work
SORT_WORDS = {
    "photograph": "photographs",
    "note": "notes",
    "finding": "findings",
    "card": "job cards",
    "as_found": "as-found lines",
    "label": "labels",
    "cleaning": "cleaning",
    "measuring": "readings",
    "first_power": "first power",
    "act": "what was done",
    "round": "rounds",
    "moment": "moments of a file",
}
EXAMPLE = Evening(
    key="0" * 12, worked_on="2026-11-25", begin="19:40", end="22:10",
    begins=datetime(2026, 11, 25, 19, 40, tzinfo=UTC),
    ends=datetime(2026, 11, 25, 22, 10, tzinfo=UTC),
    hours=2.5, worker="me", traces=9, sorts=(("photograph", 7), ("card", 2)),
    shares=(Share(lot="l", machine="m", line="", hours=2.0, machine_name="lathe"),
            Share(lot="l", machine="n", line="", hours=0.5, machine_name="mill")),
)  # fmt: skip


def hours_text(hours: float) -> str:
    """Hours as they are written: 2.5 h, 2 h, 0.75 h.

    Parameters
    ----------
    hours : float

    Returns
    -------
    str

    Examples
    --------
    >>> hours_text(2.5), hours_text(2.0), hours_text(0.75)
    ('2.5 h', '2 h', '0.75 h')
    """
    digits = 0 if hours == round(hours) else 1 if hours == round(hours, 1) else 2
    return say("{hours} h", hours=number(hours, digits))


def when(evening: Evening, on: date) -> str:
    """When it was, as one says it on that day.

    Parameters
    ----------
    evening : Evening
    on : date

    Returns
    -------
    str

    Examples
    --------
    >>> when(EXAMPLE, date(2026, 11, 25)), when(EXAMPLE, date(2026, 11, 26))
    ('Tonight 19:40 to 22:10', 'Yesterday 19:40 to 22:10')
    >>> when(EXAMPLE, date(2026, 12, 1))
    'Wednesday 2026-11-25, 19:40 to 22:10'
    """
    worked = date.fromisoformat(evening.worked_on)
    named = {"begin": evening.begin, "end": evening.end}
    back = (on - worked).days
    if back == 0 and evening.begins.hour >= EVENING_FROM:
        return say("Tonight {begin} to {end}", **named)
    if back == 0:
        return say("Today {begin} to {end}", **named)
    if back == 1:
        return say("Yesterday {begin} to {end}", **named)
    weekday = say(_DAYS[worked.weekday()])
    return say("{weekday} {day}, {begin} to {end}", weekday=weekday, day=day_text(worked), **named)


def where(evening: Evening) -> str:
    """How many hours at which machine.

    Parameters
    ----------
    evening : Evening

    Returns
    -------
    str

    Examples
    --------
    >>> where(EXAMPLE)
    '2.5 h (2 h on the lathe, 0.5 h on the mill)'
    """
    by_place: dict[str, float] = {}
    for one in evening.shares:
        name = one.machine_name or one.lot_name
        by_place[name] = by_place.get(name, 0.0) + one.hours
    told = hours_text(evening.hours)
    if len(by_place) == 1:
        name = next(iter(by_place))
        return say("{hours} on the {machine}", hours=told, machine=name) if name else told
    parts = [
        say("{hours} on the {machine}", hours=hours_text(hours), machine=name)
        if name
        else say("{hours} at no machine", hours=hours_text(hours))
        for name, hours in by_place.items()
    ]
    return say("{hours} ({parts})", hours=told, parts=", ".join(map(str, parts)))


def question(evening: Evening, on: date, *, me: str = "") -> str:
    """The question as it is asked.

    Parameters
    ----------
    evening : Evening
    on : date
    me : str
        Who is asked: another worker's name is said.

    Returns
    -------
    str

    Examples
    --------
    >>> question(EXAMPLE, date(2026, 11, 25), me="me")
    'Tonight 19:40 to 22:10: 2.5 h (2 h on the lathe, 0.5 h on the mill). Right?'
    """
    named = {"when": when(evening, on), "where": where(evening)}
    if evening.worker and me and evening.worker != me:
        return say("{worker}, {when}: {where}. Right?", worker=evening.worker, **named)
    return say("{when}: {where}. Right?", **named)


def guessed_from(evening: Evening) -> str:
    """What it was guessed from.

    Parameters
    ----------
    evening : Evening

    Returns
    -------
    str

    Examples
    --------
    >>> guessed_from(EXAMPLE)
    'Guessed from 9 things kept that evening: photographs 7, job cards 2.'
    """
    parts = ", ".join(f"{say(SORT_WORDS.get(sort, sort))} {count}" for sort, count in evening.sorts)
    told = say("Guessed from {count} things kept that evening: {parts}.", count=evening.traces,
               parts=parts)  # fmt: skip
    if evening.traces == 1:
        told = say("Guessed from one thing kept that evening: {parts}.", parts=parts)
    if evening.rest:
        return say("{told} The rest of it was told before.", told=told)
    return told


def named(evening: Evening, names: Mapping[str, str]) -> Evening:
    """The same with the names of machines and lots.

    Parameters
    ----------
    evening : Evening
    names : mapping of key to name

    Returns
    -------
    Evening

    Examples
    --------
    >>> named(EXAMPLE, {"m": "slant lathe"}).shares[0].machine_name
    'slant lathe'
    """
    shares = tuple(
        replace(
            one,
            machine_name=names.get(one.machine or "", one.machine_name),
            lot_name=names.get(one.lot or "", one.lot_name),
        )
        for one in evening.shares
    )
    return replace(evening, shares=shares)


def rule_words(rules: Rules = RULES) -> tuple[str, ...]:
    """How it is guessed and counted, for the fine print.

    Parameters
    ----------
    rules : Rules

    Returns
    -------
    tuple of str
    """
    minute = 60.0
    gap, least, most = (
        number(one.total_seconds() / minute)
        for one in (rules.gap, rules.least_lead, rules.most_lead)
    )
    span = number(rules.least_span.total_seconds() / minute)
    long = number(rules.most_span.total_seconds() / 3600)
    rest = number(rules.least_rest.total_seconds() / minute)
    clocked = number(rules.most_clocked.total_seconds() / 3600)
    return (
        say("An evening is guessed from what was kept at a machine: photographs by the time they "
            "were taken, notes, findings, cards, ticks, labels, readings, stages, acts."),
        say("A silence of more than {gap} min begins a new one. It begins before its first trace "
            "and ends after its last by as long as one waits for the next, {least} min at least, "
            "{most} at most; where the first says that work began, or the last that it ended, by "
            "{least} min. Less than {span} min between first and last, or more than {long} h, is "
            "not asked about.", gap=gap, least=least, most=most, span=span, long=long),
        say("The time between two traces belongs to the machine of the later one; what is tied to "
            "no machine goes with the next that is. Several people are asked about apart. It "
            "belongs to the day it began."),
        say("Looking at photographs, telephoning, planning and buying are office work and are not "
            "guessed; nothing is guessed of a lot before it is yours; what was read from a file, "
            "or came {batch} in a row within seconds, is no work. Type such hours.",
            batch=rules.batch),
        say("An answer counts once; of what is kept later for the same evening, {rest} min and "
            "more are asked about.", rest=rest),
        say("A clock that ran longer than {clocked} h counts nothing until it is said when it was "
            "stopped.", clocked=clocked),
        say("These figures are judgement."),
    )  # fmt: skip


def note_words() -> str:
    """The rule that no hour counts twice.

    Returns
    -------
    str
    """
    return say(
        "No hour counts twice: an evening that was answered counts as answered; clocked time "
        "stands before a guess; hours kept with a card count only on days and hands for which no "
        "evening was answered, and at machines for which nothing was typed or clocked that day."
    )


_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
