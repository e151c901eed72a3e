"""Days on which something is hired: all that needs it on as few of them as pays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import islice
from math import prod

from retrue.base.say import say
from retrue.cases.fix.lines import Card
from retrue.cases.fix.plan_lines import HireDay
from retrue.plan.calendar import moment
from retrue.plan.gather import gathered
from retrue.plan.jobs import Order, Placed, Schedule
from retrue.plan.network import network
from retrue.plan.priority import Bench, Spot, by_list, cost

USUAL_DAY_COSTS = 60.0  # of a hoist for hire, fetched and brought back (judgement)
AGAIN_DAYS = 2 * 366  # so long after the days that were named it can be hired anew
MOST_TRIED = 2000  # orders that are tried for one thing
HARDLY = 0.25  # a day that is needed more rarely is not hired ahead (judgement)


def put_together(
    schedule: Schedule,
    order: Order,
    name: str,
    day_costs: float | None,
    chances: Mapping[str, float] | None = None,
) -> Order:
    """The same plan with what needs something hired on fewer days, as long as that pays.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        Planned as if it were there every day.
    name : str
        Of what is hired.
    day_costs : float or None
        Of one day; None: about what is usual.
    chances : mapping of task to float, or None
        That it is there at all: a day counts by the chance that anything on it is.

    Returns
    -------
    Order
        Days of hire and what a day of every machine is worth are held against each other. Where
        days are named already, they stay.
    """
    index = next((at for at, one in enumerate(schedule.shared) if one.name == name), None)
    if index is None or schedule.shared[index].days or not order.placed:
        return order
    costs = USUAL_DAY_COSTS if day_costs is None else day_costs
    if order.priority:
        return gathered(schedule, order, name, costs, chances)
    mover = _Mover(schedule, index, costs, chances or {})
    return mover.move(order)


class _Mover:
    """Moves uses to the day of another, later or sooner, wherever that is cheaper."""

    def __init__(
        self, schedule: Schedule, thing: int, day_costs: float, chances: Mapping[str, float]
    ) -> None:
        self.schedule, self.day_costs = schedule, day_costs
        self.net = network(schedule)
        self.bench = Bench(self.net)
        self.users = {
            at
            for at, job in enumerate(self.net.jobs)
            if job.quarters and thing in {one for one, _ in job.takes}
        }
        self.rare = {at: 1.0 - chances.get(self.net.jobs[at].key, 1.0) for at in self.users}
        self.before: list[set[int]] = []
        for job in self.net.jobs:
            mine: set[int] = set()
            for each, _, _ in job.before:
                mine |= {each} | self.before[each]
            self.before.append(mine)

    def move(self, order: Order) -> Order:
        numbers = {job.key: at for at, job in enumerate(self.net.jobs)}
        listed = [numbers[one.key] for one in order.placed if one.key in numbers]
        spots = by_list(self.bench, listed)
        least = self._value(spots)
        first, dates = least, cost(self.net, spots)[1]
        left, moved = MOST_TRIED, True
        while moved and left > 0:
            moved = False
            for tried in islice(self._tries([spot.job for spot in spots], spots), left):
                new, left = by_list(self.bench, tried), left - 1
                value = self._value(new)
                if len(new) == len(spots) and value < least - 1e-6:
                    spots, least, moved = new, value, True
                    break
        if least >= first:
            return order
        same = cost(self.net, spots)[1] <= dates + 1e-9
        return replace(self._order(order, spots), proved=order.proved and same)

    def _tries(self, listed: list[int], spots: Sequence[Spot]) -> Iterator[list[int]]:
        """Uses put right before a later one or after a sooner one, alone or all of a day."""
        days = {spot.job: self._day(spot) for spot in spots}
        uses = [number for number in listed if number in self.users]
        for far in range(1, len(uses)):
            for one, other in zip(uses, uses[far:], strict=False):
                if days[one] != days[other]:
                    yield self._later(listed, one, other)
                    yield self._sooner(listed, one, other)
                    together = [each for each in uses if days[each] == days[one]]
                    if len(together) > 1:
                        moved = listed
                        for each in reversed(together):
                            moved = self._later(moved, each, other)
                        yield moved

    def _later(self, listed: list[int], one: int, other: int) -> list[int]:
        """One use right before another, with all that hangs on it behind."""
        at, to = listed.index(one), listed.index(other)
        between = listed[at + 1 : to]
        needs = [b for b in between if one in self.before[b] and b in self.before[other]]
        later = [b for b in between if one in self.before[b] and b not in needs]
        free = [b for b in between if one not in self.before[b]]
        return [*listed[:at], *free, one, *needs, other, *later, *listed[to + 1 :]]

    def _sooner(self, listed: list[int], one: int, other: int) -> list[int]:
        """Another use right after one, with all that it needs before."""
        at, to = listed.index(one), listed.index(other)
        between = listed[at + 1 : to]
        needs = [b for b in between if b in self.before[other]]
        rest = [b for b in between if b not in self.before[other]]
        return [*listed[: at + 1], *needs, other, *rest, *listed[to + 1 :]]

    def _day(self, spot: Spot) -> date:
        return moment(self.schedule.start, spot.begins).date()

    def _value(self, spots: Sequence[Spot]) -> float:
        """Days of hire, and what the expected days of all machines are worth, in money."""
        most = max(self.schedule.day_worth.values(), default=0.0) or 1.0
        idle: dict[date, float] = {}
        for spot in spots:
            if spot.job in self.users:
                day = self._day(spot)
                idle[day] = idle.get(day, 1.0) * self.rare[spot.job]
        days = sum(1.0 - rare for rare in idle.values())
        return most * cost(self.net, spots)[1] + self.day_costs * days

    def _order(self, order: Order, spots: Sequence[Spot]) -> Order:
        names = [one.name for one in self.schedule.hands]
        rows = sorted(spots, key=lambda spot: (spot.begins, spot.ends, spot.job))
        placed = tuple(
            Placed(
                key=self.net.jobs[spot.job].key,
                people=tuple(names[person] for person in spot.people),
                begins=moment(self.schedule.start, spot.begins),
                ends=moment(self.schedule.start, spot.ends),
            )
            for spot in rows
        )
        return replace(order, placed=placed)


def hired_again(schedule: Schedule) -> Schedule:
    """The same schedule with everything to be had again after the last of its named days.

    Parameters
    ----------
    schedule : Schedule

    Returns
    -------
    Schedule
        By it a plan is played through: whoever misses the day hires another.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Shared
    >>> hoist = Shared(name="hoist", days=(date(2026, 12, 5),))
    >>> plan = Schedule(start=datetime(2026, 11, 26), tasks=(), hands=(), shared=(hoist,))
    >>> str(hired_again(plan).shared[0].days[1])
    '2026-12-06'
    """
    return replace(
        schedule,
        shared=tuple(
            replace(one, days=(*one.days, *_after(max(one.days)))) if one.days else one
            for one in schedule.shared
        ),
    )


def _after(day: date) -> tuple[date, ...]:
    return tuple(day + timedelta(days=at) for at in range(1, AGAIN_DAYS))


def hire_days(
    schedule: Schedule,
    order: Order,
    name: str,
    cards_of: Mapping[str, tuple[Card, ...]],
    day_costs: float | None,
) -> tuple[HireDay, ...]:
    """The days on which something is hired, with all that is done on each.

    Parameters
    ----------
    schedule : Schedule
    order : Order
    name : str
    cards_of : mapping of task to tuple of Card
    day_costs : float or None

    Returns
    -------
    tuple of HireDay
        ``saved`` is against hiring it anew for every card; a day on which it is hardly needed is
        told with its chance.
    """
    costs = USUAL_DAY_COSTS if day_costs is None else day_costs
    users = _users(schedule, name)
    by_day: dict[date, list[Card]] = {}
    for one in order.placed:
        if one.key in users:
            for day in sorted({one.begins.date(), *(begin.date() for begin, _ in one.pieces)}):
                by_day.setdefault(day, []).extend(cards_of.get(one.key, ())[:1])
    return tuple(
        HireDay(
            name=name,
            on=day.isoformat(),
            cards=tuple(card.key for card in cards),
            titles=tuple(_title(card) for card in cards),
            costs=costs,
            saved=costs * (len(cards) - 1),
            assumed=day_costs is None,
            chance=1.0 - prod(1.0 - card.chance for card in cards),
        )
        for day, cards in sorted(by_day.items())
    )


def likely_days(days: Iterable[HireDay]) -> tuple[HireDay, ...]:
    """Days that are hired ahead; what is hardly needed is hired when it is seen to be.

    Parameters
    ----------
    days : iterable of HireDay

    Returns
    -------
    tuple of HireDay

    Examples
    --------
    >>> day = HireDay(name="hoist", on="2026-12-05", cards=("F42",), titles=("",), costs=60.0,
    ...               saved=0.0, chance=0.09)
    >>> likely_days((day, replace(day, chance=0.9)))[0].chance
    0.9
    """
    return tuple(one for one in days if one.chance >= HARDLY)


def _title(card: Card) -> str:
    named = f"{card.title} ({card.machine_name})"
    return named if card.chance >= 1.0 else say("{title}, if it is needed", title=named)


def _users(schedule: Schedule, name: str) -> set[str]:
    return {one.key for one in schedule.tasks if name in {thing for thing, _ in one.needs}}
