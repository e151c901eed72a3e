"""What a date hangs on, in words: own hours in one line, then what really makes it late."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from retrue.base.formatter import day, number
from retrue.base.say import say
from retrue.cases.fix.lines import Card
from retrue.cases.fix.schedule import Laid
from retrue.plan.hang import DRIES, PART
from retrue.plan.held_up import HIRED, OTHER_WORK, OWN_WORK, PERSON
from retrue.plan.jobs import Draws, Hands, Promise

MOST_NAMED = 6
MOST_PLACES = 2  # of own work
LEAST_SHARE = 0.1
LEAST_OF_TIME = 0.03
HOURS_A_DAY = 2.0  # only to weigh own hours against waits
OWN = ""  # all own work on the machine itself, whatever it is at
DAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hung:
    """One thing a date hangs on: its words, and about how many days it takes where it counts."""

    words: str
    days: float


def hangs_on(
    promise: Promise, laid: Laid, machine: str, draws: Draws
) -> tuple[tuple[str, float], ...]:
    """What a date hangs on, in words, with the share of the runs in which it does.

    Parameters
    ----------
    promise : Promise
    laid : Laid
    machine : str
        Key of the machine.
    draws : Draws

    Returns
    -------
    tuple of (words, share)
        Own work on the machine first, in one line with its hours; then what takes most of the
        time: parts, services, other people, the other machine, what is hired, what dries. Where
        several people work the share is that of the machine's time until then.
    """
    weight: dict[str, float] = {}
    share: dict[str, float] = {}
    for name, part_of in promise.late_by:
        one = _hung(name, laid, machine, draws)
        if one is None:
            continue
        by = 1.0 if promise.of_time else one.days
        weight[one.words] = weight.get(one.words, 0.0) + part_of * by
        old = share.get(one.words, 0.0)
        share[one.words] = old + part_of if promise.of_time else max(old, part_of)
    least = LEAST_OF_TIME if promise.of_time else LEAST_SHARE
    order = sorted(weight, key=lambda words: (words != OWN, -weight[words], words))
    named = [(words or own_words(laid, machine, draws), share[words])
             for words in order if share[words] >= least]  # fmt: skip
    return tuple(named[:MOST_NAMED])


def own_words(laid: Laid, machine: str, draws: Draws) -> str:
    """Own work on a machine until its first good part in one line: hours, and most of them where.

    Parameters
    ----------
    laid : Laid
    machine : str
        Its key.
    draws : Draws

    Returns
    -------
    str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> task = SimpleNamespace(key="m/a", machine="m", good_part=True, done=False, hours=3.0)
    >>> card = SimpleNamespace(place="cabinet", place_name="Cabinet", title="wiring")
    >>> laid = SimpleNamespace(schedule=SimpleNamespace(tasks=(task,), hands=()),
    ...                        cards_of={"m/a": (card,)})
    >>> own_words(laid, "m", SimpleNamespace(hours={}))
    'your own hours: about 3 (most: Cabinet, 3 h)'
    """
    at: dict[str, float] = {}
    for task in laid.schedule.tasks:
        cards = laid.cards_of.get(task.key, ())
        if task.machine == machine and task.good_part and not task.done and cards:
            hours = float(draws.hours[task.key].mean()) if task.key in draws.hours else task.hours
            at[_where(cards[0])] = at.get(_where(cards[0]), 0.0) + hours
    most = sorted(at, key=lambda place: (-at[place], place))[:MOST_PLACES]
    places = "; ".join(say("{place}, {hours} h", place=place, hours=number(at[place]))
                       for place in most)  # fmt: skip
    told = {"hours": number(sum(at.values())), "places": places}
    if sum(not one.helps_only for one in laid.schedule.hands) > 1:
        return say("hours of work by all of you: about {hours} (most: {places})", **told)
    return say("your own hours: about {hours} (most: {places})", **told)


def _hung(name: str, laid: Laid, machine: str, draws: Draws) -> _Hung | None:
    """A task, a wait, or somebody or something that is not there."""
    told = _of_no_card(name, laid)
    if told is not None:
        return _Hung(words=told, days=0.0)
    dries, part = name.startswith(DRIES), name.startswith(PART)
    key = name.removeprefix(DRIES).removeprefix(PART)
    cards = _cards_of(key, laid)
    if not cards:
        return None
    if part:
        return _Hung(words=_wait_words(key, cards, machine), days=_waited(key, draws))
    if dries and cards[0].sort == "unseen":
        return _Hung(words=say("parts for what nobody has seen yet"), days=0.0)
    if dries:
        return _Hung(words=say("what must dry or set: {what}", what=cards[0].title),
                     days=cards[0].dries_days)  # fmt: skip
    hours = float(draws.hours[key].mean()) if key in draws.hours else 0.0
    other = say("own work on {machine} before it", machine=cards[0].machine_name)
    return _Hung(words=OWN if cards[0].machine == machine else other, days=hours / HOURS_A_DAY)


def _of_no_card(name: str, laid: Laid) -> str | None:
    """Words of what is no card: other work, somebody who is not there, a thing, drying."""
    if name == OWN_WORK:
        return OWN
    if name == OTHER_WORK:
        return say("own work on another machine before it")
    if name == DRIES:
        return say("what must dry or settle")
    if name.startswith(HIRED):
        thing = say(name.removeprefix(HIRED).replace("_", " "))
        return say("waiting for the day of the {thing}", thing=thing)
    if name.startswith(PERSON):
        who = name.removeprefix(PERSON)
        one = next((hands for hands in laid.schedule.hands if hands.name == who), None)
        return _person_words(one) if one else None
    return None


def _person_words(one: Hands) -> str:
    if not one.helps_only:
        return say("{name} is away", name=one.name)
    days = sorted({weekday for weekday, _, _ in one.evenings})
    if not days:
        return say("waiting for {name}", name=one.name)
    *before, on = (say(DAYS[day]) for day in days)
    if before:
        on = say("{days} and {last}", days=", ".join(map(str, before)), last=on)
    return say("waiting for {name}, who comes on {days}", name=one.name, days=on)


def _waited(key: str, draws: Draws) -> float:
    """Days of a wait, on average."""
    days: Iterator[float] = (float(d.mean()) for (task, _), d in draws.days.items() if task == key)
    gate = float(draws.not_before[key].mean()) if key in draws.not_before else 0.0
    return max(gate, *days, 0.0)


def _cards_of(key: str, laid: Laid) -> tuple[Card, ...]:
    """The cards of a task, or of the line a wait is named by."""
    if key in laid.cards_of:
        return laid.cards_of[key]
    machine, _, name = key.partition("/")
    task = laid.task_of.get((machine, name))
    return laid.cards_of.get(task, ()) if task else ()


def _wait_words(key: str, cards: Sequence[Card], machine: str) -> str:
    first = cards[0]
    of = "" if first.machine == machine else f" ({first.machine_name})"
    if first.state == "not_now" and first.until_on:
        until = day(date.fromisoformat(first.until_on))
        return say("put off until {day}: {what}", day=until, what=first.title) + of
    if first.licensed and not first.parts:
        return say("waiting for a licensed electrician: {what}", what=first.title) + of
    if "/likely:" in key or len(cards) > 1:
        place = first.place_name or first.title
        return say("parts for what is seen only when it is open: {place}", place=place) + of
    what = first.parts[0].what if first.parts else first.title
    return say("waiting for: {what}", what=what) + of


def _where(card: Card) -> str:
    """Where own work is: a place; else what it is."""
    if card.place in ("", "outside"):
        return card.title
    return card.place_name or card.title
