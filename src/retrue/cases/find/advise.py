"""Fault-finding for a person: the next step and why, what waits, who is suspected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from retrue import __version__
from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.find import cautions
from retrue.cases.find.advice import Advice, Goal, GroupStands, Held, HunchCost, Step
from retrue.cases.find.clearing import first_way, off_symptoms
from retrue.cases.find.options import Option, option_of
from retrue.cases.find.reasons import (
    goal_words,
    how_likely,
    separates,
    sort_of,
    step_text,
    suspect_rows,
    why,
)
from retrue.cases.find.seek import Sought, seek
from retrue.cases.find.steps import Offered, Waiting, offered
from retrue.kinds.library import Kind
from retrue.records.seeking import Hunch, Trouble

MOST_STEPS = 12


def advise(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    goal: Goal,
    trouble: str | None = None,
    seed: int = 7,
    worlds: int = 1000,
) -> Advice:
    """What to do next with one machine, and why.

    Parameters
    ----------
    case : LotCase
    machine : str
        Its name.
    kinds : mapping of kind id to Kind
    goal : {"clear", "just_running", "right", "like_new"}
    trouble : str, optional
        Id of the trouble to clear; the newest open one if it is not said.
    seed : int
    worlds : int
        How many ways it could be are drawn.

    Returns
    -------
    Advice

    Raises
    ------
    Unknown
        No such machine, goal or trouble.

    Examples
    --------
    >>> from retrue.cases.case import Happened
    >>> from retrue.cases.case import LotCase
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> from retrue.records.seeking import Trouble
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> advice = advise(case, "A", load(), goal="clear", worlds=200)
    >>> advice.title, advice.met, advice.currency
    ('Growls from the spindle, more with speed', False, 'EUR')
    """
    sought = seek(case, machine, kinds, goal=goal, trouble=trouble, seed=seed, worlds=worlds)
    return told(sought, offered(sought))


def told(sought: Sought, steps: Offered) -> Advice:
    """A finished search in words.

    Parameters
    ----------
    sought : Sought
    steps : Offered

    Returns
    -------
    Advice
    """
    shown = tuple(_step(sought, option) for option in _shown(steps.options))
    found = sought.found
    return Advice(
        machine=sought.machine,
        goal=sought.aim,
        trouble=None if sought.trouble is None else sought.trouble.id,
        title=_title(sought),
        headline=_headline(sought, shown),
        met=sought.met,
        switch_off=_switch_off(sought),
        steps=shown,
        held=tuple(_held(sought, one) for one in steps.held),
        suspects=() if sought.met else suspect_rows(sought),
        hunch=_hunch(sought, steps),
        expected_cost=shown[0].expected_cost if shown else found.plain,
        guess_cost=found.guess,
        plain_cost=found.plain,
        bound=found.bound,
        cautions=cautions.general(sought.kind),
        set_aside=sought.set_aside,
        not_used=sought.not_used,
        assumed=_assumed(sought),
        currency=sought.case.shop.currency,
        seed=sought.seed,
        worlds=sought.worlds,
        kind_hash=sought.kind.hash,
        version=__version__,
        groups=tuple(_groups(sought)),
    )


def _groups(sought: Sought) -> Iterator[GroupStands]:
    """What a level asks for, group by group: what nothing is searched for in any more is right."""
    if sought.trouble is None:
        for group in sought.kind.groups.values():
            yield GroupStands(group.id, group.name, group.id not in sought.suspects.groups)


def _shown(options: tuple[Option, ...]) -> tuple[Option, ...]:
    """The best ones, and help always."""
    kept = options[:MOST_STEPS]
    return kept + tuple(one for one in options[MOST_STEPS:] if one.sort == "help")[:1]


def _step(sought: Sought, option: Option) -> Step:
    look, way, kind = option.look, option.way, sought.kind
    spent = look.spent if look else way.spent if way else sought.purse.spent()
    parted = separates(sought, option)
    opens = look.opens if look else way.opens if way else 0
    opened = [
        place
        for i, place in enumerate(kind.places.values())
        if (opens & ~sought.search.open_now) >> i & 1 and place.opened_by != "nothing"
    ]
    return Step(
        id=step_id(sought, option),
        sort=sort_of(sought, option),
        text=step_text(sought, option),
        why=why(sought, option, parted),
        expected_cost=option.value,
        cost=option.cost,
        money=spent.money,
        minutes=spent.hours * 60.0 if look or way else _minutes(sought, option),
        hire=spent.hire,
        days=spent.days,
        opens=tuple(place.name for place in opened),
        separates=parted,
        cautions=cautions.before(sought, option),
        who=look.check.who if look else _who(sought, option),
        tie=option.tie,
        check=look.check.id if look else None,
        fault=way.fault if way else None,
        way=way.way if way else "",
        place=opened[0].name if opened else "",
    )


def step_id(sought: Sought, option: Option) -> str:
    """What a step is called where it is answered or done.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    str
        ``C31``, ``F15:local``, ``J07``, ``swap:axis_drive``, ``again``, ``group:spindle``,
        ``sign:running``, ``help``; for a level ``help:`` and the group.
    """
    if option.sort != "help":
        return option.key
    return "help" if sought.trouble is not None else f"help:{sought.suspects.groups[option.goal]}"


def _minutes(sought: Sought, option: Option) -> float:
    if option.sort != "again":
        return 60.0 * sought.purse.estimate("call_out_hours") if option.sort == "help" else 0.0
    rate = sought.purse.rate
    if sought.symptom is not None:
        return sought.symptom.minutes
    return option.cost / rate * 60.0 if rate else 0.0


def _who(sought: Sought, option: Option) -> str:
    """Anyone may clean and adjust; what is behind a lock is for the competent."""
    if option.way is not None and sought.purse.open_cost(option.way.opens) > 0.0:
        return "competent"
    return "anyone"


def _held(sought: Sought, one: Waiting) -> Held:
    return Held(
        id=one.option.key,
        text=step_text(sought, one.option),
        reason=one.block.reason,
        remedy=one.block.remedy,
        opens_with=one.opens.key if one.opens is not None else "",
    )


def _title(sought: Sought) -> str:
    if sought.trouble is not None and isinstance(sought.trouble.event, Trouble):
        words = sought.trouble.event.words
        return words or (sought.symptom.words if sought.symptom else sought.trouble.event.symptom)
    return goal_words(sought.aim)


def _headline(sought: Sought, steps: tuple[Step, ...]) -> str:
    if sought.met:
        return (
            say("It is cleared: it was tried again and no longer does it")
            if sought.trouble is not None
            else say("Nothing is left to do: every group passed its proof")
        )
    if not steps:
        return say("Everything waits for another step: see what opens it")
    if sought.trouble is None:
        return say("Next: {text}", text=steps[0].text)
    share = sought.suspects.share
    if not len(share):
        return say("Next: {text}", text=steps[0].text)
    top = int(share.argmax())
    fault = sought.suspects.items[top].fault
    name = sought.kind.faults[fault].name if fault else say("something that is on no list")
    return say(
        "{likely} it is: {name}. Next: {text}",
        likely=how_likely(float(share[top])).capitalize(),
        name=name,
        text=steps[0].text,
    )


def _switch_off(sought: Sought) -> str:
    """What keeps the machine off, on every page of it: this trouble, or others."""
    symptoms = off_symptoms(sought)
    if not symptoms:
        return ""
    told = (f"{one.words.rstrip('.')}: {one.recipe.rstrip('.')}" for one in symptoms)
    return say(
        "Switch it off now, lock the main switch with your own key and leave it off. {why}. "
        "Nothing runs before that is cleared dead; local code and licensed practice decide.",
        why="; ".join(map(str, told)),
    )


def _hunch(sought: Sought, steps: Offered) -> HunchCost | None:
    """What following the newest hunch costs, against the best step."""
    if sought.trouble is None or sought.met or not steps.options:
        return None
    hunches = [
        one.event
        for one in sought.case.happened
        if isinstance(one.event, Hunch) and one.event.trouble == sought.trouble.id
    ]
    if not hunches or hunches[-1].fault not in sought.kind.faults:
        return None
    fault, best = hunches[-1].fault, steps.options[0].value
    follow = _follow(sought, fault, best)
    if follow is None:
        return None
    name, currency = sought.kind.faults[fault].name, sought.case.shop.currency
    text = say(
        "Your hunch first ({name}) costs {follow} on average {until}; the best step {best}",
        name=name,
        follow=money(follow, currency),
        best=money(best, currency),
        until=goal_words(sought.aim),
    )
    return HunchCost(fault, name, text, follow, best)


def _follow(sought: Sought, fault: str, best: float) -> float | None:
    """Expected cost if a fault is treated first; one that cannot be behind it is only paid for."""
    for move in sought.found.moves:
        if move.sort == "treat" and sought.suspects.items[move.item].fault == fault:
            return max(best, move.value)
    option = option_of(sought, first_way(sought, fault), fault)
    return None if option is None else best + option.cost + sought.search.goals[0].again


def _assumed(sought: Sought) -> tuple[str, ...]:
    currency, price = sought.case.shop.currency, sought.purse
    rows = [
        say("an own hour counts {rate}", rate=money(price.rate, currency)),
        say(
            "a day of waiting counts {worth}",
            worth=money(price.estimate("day_worth"), currency),
        ),
        say(
            "somebody called costs {money} and {days} days, and the parts",
            money=money(price.help(0.0).money, currency),
            days=number(price.estimate("call_out_days")),
        ),
    ]
    return tuple(rows)
