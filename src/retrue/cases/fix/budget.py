"""What a given money or a given day allows: which ways, what is left out, what that gives up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.fix.amounts import about
from retrue.cases.fix.choice_lines import FaultOptions, Fit, Left, LevelSum
from retrue.cases.fix.least import least_within
from retrue.cases.fix.levels import through
from retrue.cases.fix.scene import Scene
from retrue.cases.fix.ways import Choice, Listed, of_accuracy

FIRST = ("STOP", "MUST")
LEAVE = ""  # the way of a fault that is left out
NAMED = 4  # faults named in a sentence
A_WEEK = 7.0
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Pick:
    """One choice of a fault as the search sees it, its chance counted in."""

    way: str
    money: float
    cost: float  # money, own hours, waiting and resale


def fit_of(
    scene: Scene,
    rows: Sequence[Listed],
    levels: Sequence[LevelSum],
    *,
    on: date,
    budget: float | None,
    by_on: date | None,
) -> Fit | None:
    """The ways that a budget, a day or both allow, and give up least.

    Parameters
    ----------
    scene : Scene
    rows : sequence of Listed
    levels : sequence of LevelSum
    on : date
        Today.
    budget : float or None
        Money from here on, in the shop's currency, on average.
    by_on : date or None
        Every wait must be over by then.

    Returns
    -------
    Fit or None
        None where neither is given.
    """
    if budget is None and by_on is None:
        return None
    days = None if by_on is None else float((by_on - on).days)
    menus = [_menu(scene, one, days) for one in rows]
    late = [one for one, menu in zip(rows, menus, strict=True) if not menu]
    menus = [menu or _menu(scene, one, None) for one, menu in zip(rows, menus, strict=True)]
    anyway = _anyway(scene, rows)
    room = float("inf") if budget is None else budget - anyway
    picks = _picked(rows, menus, room)
    if picks is None:
        return _too_little(rows, anyway, _short(rows, menus, room), scene.currency)
    fit = _fit(rows, picks, late, anyway)
    words = []
    if budget is not None:
        words = [_budget_words(fit, budget, scene.currency), _over(scene, fit, budget)]
    if by_on is not None:
        words += _day_words(fit, rows, by_on, by_on - on, levels)
        if budget is None and fit.gives_up >= 1.0:
            words.append(_dearer(fit, by_on, scene.currency))
    return replace(fit, words=" ".join([*words, *_left_words(fit, scene.currency)]))


def with_picks(rows: Sequence[FaultOptions], fit: Fit) -> tuple[FaultOptions, ...]:
    """The same faults with the ways that a budget or a day picked first.

    Parameters
    ----------
    rows : sequence of FaultOptions
    fit : Fit

    Returns
    -------
    tuple of FaultOptions
        Faults that are left out have no chosen way.

    Examples
    --------
    >>> none = Fit(holds=True, money=0.0, anyway=0.0, gives_up=0.0, short=0.0, picks=(), left=(),
    ...            words="")
    >>> with_picks((), none)
    ()
    """
    return tuple(_repicked(one, dict(fit.picks)) for one in rows)


def _repicked(one: FaultOptions, picks: dict[str, str]) -> FaultOptions:
    way = picks.get(one.fault, LEAVE)
    ways = [replace(each, chosen=bool(way) and each.way == way) for each in one.ways]
    ways.sort(key=lambda each: not each.chosen)
    return replace(one, ways=tuple(ways))


def _menu(scene: Scene, one: Listed, days: float | None) -> list[Pick]:
    """The ways that may be picked, best first; what the owner chose stands alone."""
    chance = one.needed
    may = [each for each in one.choices if each.option.allowed]
    owner = [each for each in may if each.option.by_owner]
    in_time = [
        each
        for each in owner or may
        if days is None or _days(each, scene.prospect.settled.hours_a_week) <= days
    ]
    return [
        Pick(each.option.way, chance * each.money, chance * each.option.average) for each in in_time
    ]


def _days(one: Choice, hours_a_week: float) -> float:
    return one.option.days + one.option.hours.likely * A_WEEK / hours_a_week


def _leave(one: Listed, menu: Sequence[Pick]) -> Pick:
    """Leaving it gives up what it takes off the resale; the money it frees is no gain."""
    lost = one.needed * one.fault.resale_drop_share * one.worth
    return Pick(LEAVE, 0.0, min(pick.cost for pick in menu) + lost)


def _picked(
    rows: Sequence[Listed], menus: Sequence[Sequence[Pick]], room: float
) -> tuple[Pick, ...] | None:
    """The best of everything if it fits; else stop and must first, of the rest the least loss."""
    best = tuple(min(menu, key=lambda pick: (pick.cost, pick.money)) for menu in menus)
    if sum(pick.money for pick in best) <= room:
        return best
    may_leave = [
        menu if one.fault.urgency in FIRST else [*menu, _leave(one, menu)]
        for one, menu in zip(rows, menus, strict=True)
    ]
    return _search(menus, room) or _search(may_leave, room)


def _search(menus: Sequence[Sequence[Pick]], room: float) -> tuple[Pick, ...] | None:
    if room < 0.0:
        return None
    found = least_within([[(one.money, one.cost) for one in menu] for menu in menus], room)
    return None if found is None else tuple(m[i] for m, i in zip(menus, found, strict=True))


def _through(scene: Scene) -> Floats:
    """Money from here on in every world, the best ways taken."""
    money = through(scene, scene.plan).money_through
    if scene.index == 0:  # what belongs to shop and lot is listed with the first machine
        money = money + scene.view.chooser.shared.running_money
    return money


def _over(scene: Scene, fit: Fit, budget: float) -> str:
    """How often the money does not do, scattered about its average as with the best ways."""
    money = _through(scene)
    over = float((money - money.mean() + fit.money > budget).mean())
    return say("It goes over that: {chance}.", chance=formatter.odds(over))


def _anyway(scene: Scene, rows: Sequence[Listed]) -> float:
    """Mean money from here on that no choice of ways of these faults changes."""
    mean = float(_through(scene).mean())
    mine = sum(one.needed * one.choices[0].money for one in rows)
    return max(0.0, mean - mine)


def _short(rows: Sequence[Listed], menus: Sequence[list[Pick]], room: float) -> float:
    least = sum(
        min(pick.money for pick in menu)
        for one, menu in zip(rows, menus, strict=True)
        if one.fault.urgency in FIRST and menu
    )
    return least - room


def _too_little(rows: Sequence[Listed], anyway: float, short: float, currency: str) -> Fit:
    must = [one for one in rows if one.fault.urgency in FIRST]
    words = say(
        "Not enough, by about {short}, for what must be put right: {names}. About {anyway} comes "
        "anyway. Stopping here is an option too.",
        short=about(short, currency),
        names=_names([one.fault.name for one in must]),
        anyway=about(anyway, currency),
    )
    return Fit(
        holds=False,
        money=anyway,
        anyway=anyway,
        gives_up=0.0,
        short=short,
        picks=(),
        left=tuple(_left(one) for one in rows),
        words=words,
    )


def _fit(
    rows: Sequence[Listed], picks: Sequence[Pick], late: Sequence[Listed], anyway: float
) -> Fit:
    best = sum(one.needed * _best(one).option.average for one in rows)
    pairs = tuple(zip(rows, picks, strict=True))
    return Fit(
        holds=not any(one.fault.urgency in FIRST for one in late),
        money=anyway + sum(pick.money for pick in picks),
        anyway=anyway,
        gives_up=max(0.0, sum(pick.cost for pick in picks) - best),
        short=0.0,
        picks=tuple((one.fault.id, pick.way) for one, pick in pairs if pick.way != LEAVE),
        left=tuple(_left(one) for one, pick in pairs if pick.way == LEAVE),
        late=tuple(_left(one) for one in late),
        words="",
    )


def _best(one: Listed) -> Choice:
    """What is picked where neither money nor days bind: the owner's, else the least on average."""
    may = [each for each in one.choices if each.option.allowed]
    return next((each for each in may if each.option.by_owner), None) or min(
        may, key=lambda each: each.option.average
    )


def _left(one: Listed) -> Left:
    return Left(
        fault=one.fault.id,
        name=one.fault.name,
        resale=one.fault.resale_drop_share * one.worth,
        accuracy=one.fault.accuracy_note,
    )


def _budget_words(fit: Fit, budget: float | None, currency: str) -> str:
    told = say(
        "Within {budget}: about {money} on average, of which {anyway} comes anyway.",
        budget=formatter.money(budget or 0.0, currency),
        money=about(fit.money, currency),
        anyway=about(fit.anyway, currency),
    )
    if fit.gives_up < 1.0:
        return told + " " + say("The best ways fit in it.")
    more = say(
        "It gives up about {more} against the best ways, hours, waits and resale counted.",
        more=about(fit.gives_up, currency),
    )
    return f"{told} {more}"


def _dearer(fit: Fit, by_on: date, currency: str) -> str:
    if fit.late:
        return say(
            "The other waits are over by {day}: about {more} more in all.",
            day=formatter.day(by_on),
            more=about(fit.gives_up, currency),
        )
    return say(
        "To be done with every wait by {day}: about {more} more in all.",
        day=formatter.day(by_on),
        more=about(fit.gives_up, currency),
    )


def _day_words(
    fit: Fit, rows: Sequence[Listed], by_on: date, left: timedelta, levels: Sequence[LevelSum]
) -> list[str]:
    day, sentences = formatter.day(by_on), []
    if fit.late:
        first = {one.fault.id for one in rows if one.fault.urgency in FIRST}
        late = sorted(fit.late, key=lambda one: one.fault not in first)
        names = _names([one.name for one in late])
        sentences.append(say("By {day} nothing can be had for {names}.", day=day, names=names))
        if late[0].fault in first:
            must = _names([one.name for one in late if one.fault in first])
            sentences.append(say("It cannot be done by then: {names} must be put right first.",
                                 names=must))  # fmt: skip
    else:
        sentences.append(say("Every wait is over by {day}.", day=day))
    asked = next((one for one in levels if one.chosen), None)
    if asked is not None and asked.days.p50 > left.days:
        told = say(
            "The whole machine most likely takes {likely} days, with bad luck {bad}; to that day "
            "there are {days}.",
            likely=formatter.number(asked.days.p50),
            bad=formatter.number(asked.days.p90),
            days=formatter.number(left.days),
        )
        sentences.append(told)
    return sentences


def _left_words(fit: Fit, currency: str) -> list[str]:
    if not fit.left:
        return []
    accuracy = [one.accuracy for one in fit.left if of_accuracy(one.accuracy)]
    told = say(
        "Left out: {names}; where they are there they take about {lost} off the resale.",
        names=_names([one.name for one in fit.left]),
        lost=about(sum(one.resale for one in fit.left), currency),
    )
    notes = "; ".join(map(str, accuracy[:NAMED]))
    return [told, *([say("In accuracy: {notes}.", notes=notes)] if notes else [])]


def _names(names: Sequence[str]) -> str:
    some = ", ".join(map(str, names[:NAMED]))
    more = len(names) - NAMED
    return say("{some} and {more} more", some=some, more=more) if more > 0 else some
