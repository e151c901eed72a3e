"""Why a task cannot be planned, in words, and what helps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from retrue.base.formatter import number
from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.cases.fix.lines import Card, Refused
from retrue.plan.jobs import LeftOut

MOST_WAITING = 3  # of what waits for something left out, named one by one


def left_words(
    left_out: Sequence[LeftOut], cards_of: Mapping[str, tuple[Card, ...]]
) -> tuple[Refused, ...]:
    """What could not be planned: the causes, each with what waits for it.

    Parameters
    ----------
    left_out : sequence of LeftOut
    cards_of : mapping of task to tuple of Card

    Returns
    -------
    tuple of Refused
        What only waits for something left out is counted with it, not listed again.

    Examples
    --------
    >>> left_words((), {})
    ()
    """
    roots = _roots(left_out)
    found = list(_endless(left_out, cards_of))
    for one in left_out:
        cards = cards_of.get(one.key, ())
        if one.why in ("waits_for_left_out", "no_end") or not cards:
            continue
        why, remedy = _words(one, cards_of)
        waiting = [cards_of[key][0].title for key in roots.get(one.key, ()) if cards_of.get(key)]
        if waiting:
            named = "; ".join(map(str, waiting[:MOST_WAITING]))
            more = len(waiting) - MOST_WAITING
            tail = say(" and {count} more", count=more) if more > 0 else ""
            many = say("{why}. {named}{tail} wait for it", why=why, named=named, tail=tail)
            why = many if len(waiting) > 1 else say("{why}. {named} waits for it", why=why,
                                                    named=named)  # fmt: skip
        title = say("{title} ({machine})", title=cards[0].title, machine=cards[0].machine_name)
        found.append(Refused(card=cards[0].key, title=title, why=why, remedy=remedy))
    return tuple(found)


def _endless(
    left_out: Sequence[LeftOut], cards_of: Mapping[str, tuple[Card, ...]]
) -> Iterator[Refused]:
    """All that finds no evening, told once a machine."""
    lost: dict[str, list[LeftOut]] = {}
    for one in left_out:
        cards = cards_of.get(one.key, ())
        if one.why == "no_end" and cards:
            lost.setdefault(cards[0].machine, []).append(one)
    for mine in lost.values():
        first = cards_of[mine[0].key][0]
        titles = list(dict.fromkeys(cards_of[one.key][0].title for one in mine))
        named = "; ".join(map(str, titles[:MOST_WAITING]))
        more = len(titles) - MOST_WAITING
        tail = say(" and {count} more", count=more) if more > 0 else ""
        why, remedy = _words(mine[0], cards_of)
        title = say("{title} ({machine})", title=named + tail, machine=first.machine_name)
        yield Refused(card=first.key, title=title, why=why, remedy=remedy)


def causes(left_out: Sequence[LeftOut], keys: Iterable[str]) -> tuple[LeftOut, ...]:
    """What keeps tasks from being planned, in the end.

    Parameters
    ----------
    left_out : sequence of LeftOut
    keys : iterable of str
        Of those that are asked about.

    Returns
    -------
    tuple of LeftOut
        Each once.

    Examples
    --------
    >>> lost = (LeftOut(key="a", why="no_day"),
    ...         LeftOut(key="b", why="waits_for_left_out", about={"task": "a"}))
    >>> [one.key for one in causes(lost, ["b", "a"])]
    ['a']
    """
    by_key = {one.key: one for one in left_out}
    found = [_cause(by_key[key], by_key) for key in keys if key in by_key]
    return tuple({one.key: one for one in found}.values())


def left_reason(one: LeftOut, cards_of: Mapping[str, tuple[Card, ...]]) -> str:
    """Why a task cannot be planned, in words.

    Parameters
    ----------
    one : LeftOut
    cards_of : mapping of task to tuple of Card

    Returns
    -------
    str

    Examples
    --------
    >>> left_reason(LeftOut(key="a", why="no_day", about={"thing": "hoist", "count": "0"}), {})
    'there is no hoist'
    """
    return _words(one, cards_of)[0]


def refused_lot(name: str, wrong: Refusal) -> Refused:
    """A whole lot that cannot be read, as one refusal beside the others.

    Parameters
    ----------
    name : str
        Of the lot.
    wrong : Refusal

    Returns
    -------
    Refused

    Examples
    --------
    >>> refused_lot("hall 3", Refusal("two words contradict", remedy="Look again.")).why
    'two words contradict'
    """
    return Refused(card="", title=name, why=wrong.reason, remedy=wrong.remedy)


def _roots(left_out: Sequence[LeftOut]) -> dict[str, list[str]]:
    """What waits for each cause, by the cause."""
    by_key = {one.key: one for one in left_out}
    found: dict[str, list[str]] = {}
    for one in left_out:
        at = _cause(one, by_key)
        if at is not one:
            found.setdefault(at.key, []).append(one.key)
    return found


def _cause(one: LeftOut, by_key: Mapping[str, LeftOut]) -> LeftOut:
    at, seen = one, set[str]()
    while at.why == "waits_for_left_out" and at.key not in seen:
        seen.add(at.key)
        cause = by_key.get(at.about.get("task", ""))
        if cause is None:
            break
        at = cause
    return at


def _words(one: LeftOut, cards_of: Mapping[str, tuple[Card, ...]]) -> tuple[str, str]:
    about = dict(one.about)
    match one.why:
        case "circular":
            loop = [_title(key, cards_of) for key in about.get("loop", "").split(" > ")]
            return (say("these cards wait for each other: {loop}", loop=" → ".join(map(str, loop))),
                    say("Let one of them go without another in your kind of machine."))  # fmt: skip
        case "nobody" if about.get("together"):
            return (say("nobody is ever there at the same time as the other"),
                    say("Give both of them one evening in common under Hands."))  # fmt: skip
        case "nobody" if about.get("may") == "2":
            return (say("it is left to a licensed electrician, and none is among the hands"),
                    say("Name one under Hands, or have it done outside."))  # fmt: skip
        case "nobody":
            people = about.get("people", "")
            return (
                say("it takes {people} people, and they are not there", people=people),
                say("Name somebody who helps under Hands, with the evenings he has."),
            )
        case "no_evening":
            return (
                say("it takes {hours} h in one go, and the longest free evening has {longest} h",
                    hours=_hours(about, "hours"), longest=_hours(about, "longest_hours")),
                say("Give one longer day under Hands, such as a Saturday, bring a second person, "
                    "or split the work and mark what is left."),
            )  # fmt: skip
        case "no_day":
            return _no_day(about)
        case _:
            return (say("there is no end of it in three years of these evenings"),
                    say("Give more evenings under Hands."))  # fmt: skip


def _no_day(about: Mapping[str, str]) -> tuple[str, str]:
    """Why nothing hired or shared is there for it: none at all, no room, too short, never."""
    thing = about.get("thing", "").replace("_", " ")
    if about.get("count") == "0":
        return (say("there is no {thing}", thing=thing),
                say("Borrow or hire one, and say so under Gear."))  # fmt: skip
    if about.get("held"):
        return (say("there is no room for it on the days of the {thing}: what is opened on one "
                    "must be closed again on one", thing=thing),
                say("Name a second day of the {thing}, or give more hours on the day it is "
                    "there.", thing=thing))  # fmt: skip
    if float(about.get("longest_hours", "0")) > 0:
        return (say("it takes {hours} h with the {thing}, and the longest day of it has "
                    "{longest} h", hours=_hours(about, "hours"), thing=thing,
                    longest=_hours(about, "longest_hours")),
                say("Name a longer day of it, or somebody who works longer."))  # fmt: skip
    return (say("{thing} is never there when somebody could use it", thing=thing),
            say("Give it a day on which somebody works, or give somebody a day on which it is "
                "there."))  # fmt: skip


def _title(key: str, cards_of: Mapping[str, tuple[Card, ...]]) -> str:
    cards = cards_of.get(key, ())
    return cards[0].title if cards else key


def _hours(about: Mapping[str, str], name: str) -> str:
    return number(float(about.get(name, "0")), 1)
