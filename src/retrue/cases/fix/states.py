"""How every card stands: what was marked, done, sent out, what it waits for, in words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from retrue.base.formatter import day
from retrue.base.say import say
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.lines import Card, CardState
from retrue.cases.fix.looked_again import look_again
from retrue.cases.fix.looks import LOOK, PRESSING, still_open
from retrue.cases.fix.looks_first import look_words, looks_first
from retrue.cases.fix.needed import Needed, gone_of
from retrue.cases.fix.parts import newest_out
from retrue.cases.fix.places import chain
from retrue.cases.fix.rules import DOORS

CERTAIN = 1.0  # chance from which a card is worked without looking first
NO_WORK = (*DOORS, "before", "unseen")
LOOKED = (*DOORS, "before", "measure")
LIKELY_PASS = 0.5  # of a cleaning pass, of an opening


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """What was marked of one card, folded: the newest word, hours spent since it was opened."""

    how: str = ""
    text: str = ""
    spent_hours: float | None = None
    left_hours: float | None = None
    until_on: str | None = None


def marked(machine: MachineKept) -> dict[str, Marked]:
    """What was marked of each card of a machine.

    Parameters
    ----------
    machine : MachineKept

    Returns
    -------
    dict of str to Marked
        By key of the card. Opening a card again forgets how it stood, not the hours.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> marked(SimpleNamespace(marks=()))
    {}
    """
    found: dict[str, Marked] = {}
    for record in sorted(machine.marks, key=lambda one: one.seq):
        fact = record.fact
        old = found.get(fact.card, Marked())
        spent = old.spent_hours
        if fact.hours is not None:
            spent = fact.hours + (spent or 0.0)
        how = {"found": old.how or "begun", "open_again": ""}.get(fact.how, fact.how)
        left = fact.left_hours
        if left is None and old.left_hours is not None:
            left = max(0.0, old.left_hours - (fact.hours or 0.0))
        found[fact.card] = Marked(
            how=how,
            text=fact.text if fact.how != "found" else old.text,
            spent_hours=spent,
            left_hours=None if fact.how == "open_again" else left,
            until_on=fact.until_on if fact.how == "not_now" else None,
        )
    return found


def with_states(
    cards: Iterable[Card], kept: FixKept, need: Needed, on: date | None = None
) -> tuple[Card, ...]:
    """The cards with their states, in the same order; first of all those that are done.

    Parameters
    ----------
    cards : iterable of Card
        In an order that may be worked.
    kept : FixKept
    need : Needed
    on : date, optional
        What was put off until then is open again.

    Returns
    -------
    tuple of Card
    """
    marks, cards = marked(need.machine), tuple(cards)
    made: dict[str, Card] = {}
    shut = _stays_shut(cards, marks, kept, need)
    for card in cards:
        mark = marks.get(card.key, Marked())
        state, why = _state(card, mark, kept, need, made, on)
        if card.key in shut and state == "open":
            state, why = "not_yet", say("closed again: opened only for what is found there")
        made[card.key] = replace(
            card,
            state=state,
            state_why=why,
            spent_hours=mark.spent_hours,
            left_hours=0.0 if state == "done" else mark.left_hours,
            until_on=mark.until_on if state == "not_now" else None,
        )
    return (*_treated(kept, need, made, marks), *made.values())


def _stays_shut(
    cards: Iterable[Card], marks: Mapping[str, Marked], kept: FixKept, need: Needed
) -> set[str]:
    """Openings of places that were closed, and for which nothing certain is to do there."""
    wanted: set[str] = set()
    for card in cards:
        mark = marks.get(card.key, Marked())
        if card.sort in NO_WORK or card.state == "done" or _done(card, mark, kept, need):
            continue
        if _certain(card):
            inner = {wait.card for wait in card.waits if wait.card.startswith("open:")}
            wanted |= {f"open:{one}" for key in inner
                       for one in chain(need.kind, key.partition(":")[2])}  # fmt: skip
    return {f"open:{place}" for place in need.openings.closed} - wanted


def _state(
    card: Card,
    mark: Marked,
    kept: FixKept,
    need: Needed,
    made: Mapping[str, Card],
    on: date | None,
) -> tuple[CardState, str]:
    if card.state == "done" or _done(card, mark, kept, need):
        return "done", ""
    out = _out(card, kept, need)
    if out:
        return "out", out
    if mark.how == "stuck":
        return "stuck", mark.text or say("it is stuck")
    if mark.how == "begun":
        return "begun", ""
    if mark.how == "not_now" and not _over(mark.until_on, on):
        until = mark.until_on
        words = say("put off") if until is None else say("put off until {day}", day=_day(until))
        return "not_now", f"{words}: {mark.text}" if mark.text else words
    far = _far(card, need.machine)
    if far:
        return "begun", far
    if mark.how == "done" and card.faults and card.sort == "work":
        return "not_yet", look_again(need.kind, need.machine.state, card.faults[0]) or say(
            "it was put right before: look again, then keep what you see"
        )
    if card.sort == "unseen" or not _certain(card):
        return "not_yet", say("nobody has seen it yet: look first, then keep what you saw")
    before = [made[wait.card] for wait in card.waits if wait.card in made]
    first = next((one for one in before if one.state != "done" and _holds(one, card)), None)
    if first is not None:
        return "not_yet", say("first: {title}", title=first.title)
    looks = looks_first(card, made, need.machine)
    if looks:
        return "not_yet", look_words(looks)
    return _waits_for_part(card)


def freed_by(card: Card, listed: Mapping[str, Card], done: Collection[str]) -> bool:
    """Whether a card that had to wait can be worked at once when some others are done.

    Parameters
    ----------
    card : Card
    listed : mapping of key to Card
        All of its machine, with their states.
    done : collection of str
        Keys of what would be done.

    Returns
    -------
    bool
        Not where something has to dry or to come first, nor after a look: what is seen decides.

    Examples
    --------
    >>> from retrue.cases.fix.lines import Wait
    >>> from retrue.kinds.judged import Three
    >>> first, second = (
    ...     Card(key=key, lot="l", machine="m", machine_name="mill", sort="open", title=key,
    ...          place="", place_name="", steps=(), hours=Three(1, 1, 1), state=state, waits=waits)
    ...     for key, state, waits in (("a", "open", ()), ("b", "not_yet", (Wait(card="a"),))))
    >>> freed_by(second, {"a": first, "b": second}, {"a"})
    True
    """
    if card.state != "not_yet" or card.sort == "unseen" or not _certain(card):
        return False
    held = [wait for wait in card.waits if wait.card in listed
            and listed[wait.card].state != "done" and _holds(listed[wait.card], card)]  # fmt: skip
    free = all(wait.card in done and wait.days <= 0 and not wait.card.startswith(LOOK)
               for wait in held)  # fmt: skip
    return bool(held) and free and _waits_for_part(card)[0] == "open"


def _far(card: Card, machine: MachineKept) -> str:
    """How far a job is by its own list, in words; empty: not begun, or it has no list."""
    sort = machine.kind.jobs[card.job].sort if card.job in machine.kind.jobs else ""
    if sort == "record" and machine.as_found:
        lines = [one.id for one in machine.kind.as_found.values() if one.place]
        done = sum(id in machine.as_found for id in lines)
        return say("{done} of {count} lines are kept", done=done, count=len(lines))
    if sort == "start" and any(one.signed for one in machine.stages.values()):
        signed = sum(one.signed for one in machine.stages.values())
        return say("{done} of {count} stages are signed", done=signed, count=len(machine.stages))
    return ""


def _waits_for_part(card: Card) -> tuple[CardState, str]:
    for part in card.parts:
        if part.state in ("to_buy", "asked", "no_vendor") and part.days > 0:
            return "waiting", say("order it first: {what}, about {days} days", what=part.what,
                                  days=round(part.days))  # fmt: skip
        if part.state == "ordered":
            when = part.promised_on
            return "waiting", say("ordered, {source}", source=part.source) if when is None else say(
                "ordered, promised for {day}", day=_day(when)
            )
    return "open", ""


def _holds(before: Card, card: Card) -> bool:
    """Whether a card that is not done keeps another from being begun.

    A fault that nobody has seen keeps nothing: it may not be there at all.
    """
    if before.sort == "unseen":
        return False
    return _certain(before) or before.key == f"send:{card.key}"


def _certain(card: Card) -> bool:
    """Whether it will be worked: a pass or an opening from even chances on, a fault once seen."""
    if card.sort in LOOKED and card.urgency in PRESSING:
        return True  # what presses is looked at, however unlikely it is
    return card.chance >= (LIKELY_PASS if card.job or card.sort in LOOKED else CERTAIN)


def _done(card: Card, mark: Marked, kept: FixKept, need: Needed) -> bool:
    sort, _, name = card.key.partition(":")
    if sort == "open":
        return name in need.openings.open_now
    if sort == "close":
        return name in need.openings.closed and name not in need.openings.open_now
    if sort == "send":
        out = newest_out(kept, need.machine, name)
        sent = out is not None and out.out.sort == "sent_out" and (out.open or out.here)
        came = out is not None and out.judged_first and out.ended is not None and out.counts
        agreed = out is None or (out.judged_first and out.ended is None)
        return sent or came or (mark.how == "done" and agreed)
    if card.key.startswith(LOOK):
        return mark.how == "done" and not still_open(card, need)
    return mark.how == "done" and not card.faults


def _out(card: Card, kept: FixKept, need: Needed) -> str:
    """Where a sent-out part is, in words; empty where it is not out."""
    if card.sort != "work" or not card.faults:
        return ""
    out = newest_out(kept, need.machine, card.key)
    if out is None or not out.judged_first or not out.open:
        return ""
    if out.ended is not None:
        return say("back from {whom}: judge it before it goes in", whom=out.out.whom)
    if out.out.sort == "ordered":
        if out.promised_on is None:
            return say("agreed with {whom}", whom=out.out.whom)
        return say(
            "agreed with {whom}, promised for {day}", whom=out.out.whom, day=_day(out.promised_on)
        )
    if out.promised_on is None:
        return say("at {whom}", whom=out.out.whom)
    return say("at {whom}, promised for {day}", whom=out.out.whom, day=_day(out.promised_on))


def _treated(
    kept: FixKept, need: Needed, made: Mapping[str, Card], marks: Mapping[str, Marked]
) -> list[Card]:
    """Ways that were done, as cards: of faults put right, and where a look still stands."""
    machine, found = need.machine, []
    gone = gone_of(machine)
    for fault, ways in machine.state.ways_tried.items():
        if fault not in machine.kind.faults:
            continue
        one = machine.kind.faults[fault]
        for way in sorted(ways):
            key = f"{fault}:{way}"
            fix = next((f for f in machine.kind.fixes.get(fault, ()) if f.way == way), None)
            if fix is None or key in made or (fault not in gone and key not in marks):
                continue
            place = machine.kind.places.get(fix.opens or one.place)
            found.append(
                Card(
                    key=key, lot=kept.lot, machine=machine.key, machine_name=machine.name,
                    sort="work", title=one.name, place=place.id if place else "",
                    place_name=place.name if place else "", steps=(), hours=fix.hours,
                    faults=(fault,), way=way, urgency=one.urgency, state="done", left_hours=0.0,
                    spent_hours=marks.get(key, Marked()).spent_hours,
                )
            )  # fmt: skip
    return found


def _over(until: str | None, on: date | None) -> bool:
    return until is not None and on is not None and date.fromisoformat(until) <= on


def _day(text: str) -> str:
    return day(date.fromisoformat(text))
