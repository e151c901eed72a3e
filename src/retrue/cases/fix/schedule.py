"""From cards to a schedule: one task a card, what nobody has seen yet in one task a place."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from retrue.cases.fix.hands import FLOOR, HOIST, MAY, Staff
from retrue.cases.fix.left import hours_left
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.worlds import CardDraws
from retrue.plan.jobs import After, Draws, Schedule, Task
from retrue.plan.promise import longer_leads

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bundle:
    """One machine to be planned: its cards, what they take, what a day is worth."""

    cards: Cards
    draws: CardDraws
    day_worth: float
    call_out_days: float = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """A schedule with the way back from its tasks to the cards.

    Attributes
    ----------
    task_of : mapping of (machine, card) to task
    cards_of : mapping of task to tuple of Card
    called : tuple of str
        Titles of what an electrician is called for.
    put_off : mapping of task to (days, days)
        Of what is put off: when its parts come, run by run, and until when it is put off.
    """

    schedule: Schedule
    draws: Draws
    task_of: Mapping[tuple[str, str], str]
    cards_of: Mapping[str, tuple[Card, ...]]
    called: tuple[str, ...] = ()
    put_off: Mapping[str, tuple[Floats, float]] = field(default_factory=dict)


def longer(laid: Laid, factor: float) -> Draws:
    """The same runs with every delivery so many times as long; what is put off stays as it is.

    Parameters
    ----------
    laid : Laid
    factor : float

    Returns
    -------
    Draws
    """
    draws = longer_leads(laid.schedule, laid.draws, factor)
    until = {key: np.maximum(come * factor, days) for key, (come, days) in laid.put_off.items()}
    return replace(draws, not_before={**draws.not_before, **until})


def task_key(machine: str, name: str) -> str:
    """The key of a task, unique over all machines.

    Parameters
    ----------
    machine, name : str

    Returns
    -------
    str

    Examples
    --------
    >>> task_key("mill", "J05")
    'mill/J05'
    """
    return f"{machine}/{name}"


def lay(bundles: Sequence[Bundle], staff: Staff, start: datetime) -> Laid:
    """Make one schedule of the cards of all machines.

    Parameters
    ----------
    bundles : sequence of Bundle
    staff : Staff
    start : datetime

    Returns
    -------
    Laid
        Expected hours and waits are the means of the runs, so that what may not be needed counts
        with its chance. What somebody could see only later is one task a place.
    """
    layers = [_Layer(one, staff, start.date()) for one in bundles]
    worlds = max((one.draws.worlds for one in bundles), default=0)
    hours: dict[str, Floats] = {}
    days: dict[tuple[str, str], Floats] = {}
    not_before: dict[str, Floats] = {}
    tasks: list[Task] = []
    for layer in layers:
        tasks += list(layer.tasks())
        hours |= layer.hours
        days |= layer.days
        not_before |= layer.not_before
    schedule = Schedule(
        start=start,
        tasks=tuple(tasks),
        hands=staff.hands,
        shared=staff.shared,
        day_worth={one.cards.machine: one.day_worth for one in bundles},
        run_in_days={one.cards.machine: float(one.draws.run_in_days.mean()) for one in bundles},
    )
    return Laid(
        schedule=schedule,
        draws=Draws(
            worlds=worlds,
            hours=hours,
            days=days,
            not_before=not_before,
            run_in_days={one.cards.machine: one.draws.run_in_days for one in bundles},
        ),
        task_of={pair: task for layer in layers for pair, task in layer.task_of.items()},
        cards_of={task: tuple(cards) for layer in layers for task, cards in layer.groups.items()},
        called=tuple(title for layer in layers for title in layer.called),
        put_off={key: told for layer in layers for key, told in layer.put_off.items()},
    )


@dataclass(slots=True)
class _Layer:
    """The tasks of one machine."""

    bundle: Bundle
    staff: Staff
    today: date
    groups: dict[str, list[Card]] = field(default_factory=dict)
    task_of: dict[tuple[str, str], str] = field(default_factory=dict)
    hours: dict[str, Floats] = field(default_factory=dict)
    days: dict[tuple[str, str], Floats] = field(default_factory=dict)
    not_before: dict[str, Floats] = field(default_factory=dict)
    called: list[str] = field(default_factory=list)
    put_off: dict[str, tuple[Floats, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        machine = self.bundle.cards.machine
        shut = {card.key for card in self.bundle.cards.cards if card.state != "done"}
        late = _after_closing(self.bundle.cards.cards)
        for card in self.bundle.cards.cards:
            if unsupplied(card):
                continue
            name = _group(card, card.key in late) if _only_likely(card) else card.key
            if card.sort == "before" and f"open:{card.place}" in shut and card.state != "done":
                name = f"open:{card.place}"  # opened and read at one go, in minutes
            key = task_key(machine, name)
            self.groups.setdefault(key, []).append(card)
            self.task_of[machine, card.key] = key

    def tasks(self) -> Iterator[Task]:
        for key, cards in self.groups.items():
            yield self._task(key, cards)

    def _task(self, key: str, cards: list[Card]) -> Task:
        first = cards[0]
        if all(card.state == "done" for card in cards):
            return Task(key=key, machine=first.machine, hours=0.0, done=True,
                        good_part=first.good_part)  # fmt: skip
        drawn = self.bundle.draws
        hours = sum((drawn.hours[c.key] for c in cards if c.key in drawn.hours),
                    start=np.zeros(drawn.worlds))  # fmt: skip
        self.hours[key] = hours
        expected = float(hours.mean()) if drawn.worlds else sum(hours_left(c) for c in cards)
        if first.unbroken and (hours > 0).any():
            expected = float(hours[hours > 0].mean())
        after = tuple(self._after(key, cards))
        gate, part = self._gate(key, cards)
        floor = self._holds_floor(first)
        return Task(
            key=key,
            machine=first.machine,
            hours=expected,
            people=self._people(first),
            may=self._may(first),
            unbroken=first.unbroken,
            least_hours=first.least_hours,
            needs=((HOIST, 1),) if first.hoist else (),
            holds=task_key(first.machine, f"close:{first.place}") if floor else "",
            holding=((FLOOR, 1),) if floor else (),
            after=after,
            not_before=gate,
            part=part,
            good_part=any(card.good_part for card in cards),
        )

    def _people(self, card: Card) -> int:
        """Where nobody was named at all, somebody is taken to come and help."""
        if self.staff.helper:
            return 1
        return 2 if not card.alone and card.people == 1 else card.people

    def _holds_floor(self, card: Card) -> bool:
        """What is lifted out lies on the floor until it goes back."""
        shut = task_key(card.machine, f"close:{card.place}")
        named = any(one.name == FLOOR for one in self.staff.shared)
        return named and card.sort == "open" and card.hoist and shut in self.groups

    def _may(self, card: Card) -> int:
        if card.who == "electrician" and not self.staff.electrician:
            self.called.append(card.title)
            return MAY["competent"]
        return MAY[card.who]

    def _after(self, key: str, cards: list[Card]) -> Iterator[After]:
        """What a task comes after; waits of several cards for the same one run side by side."""
        machine, drawn = cards[0].machine, self.bundle.draws
        found: dict[str, list[tuple[Floats | None, float, str]]] = {}
        for card in cards:
            for wait in card.waits:
                before = self.task_of.get((machine, wait.card))
                if before is None or before == key:
                    continue
                days = drawn.days.get((card.key, wait.card))
                found.setdefault(before, []).append((days, wait.days, wait.part))
        for before, waits in found.items():
            told = [days for days, _, _ in waits if days is not None]
            parts = [part for _, _, part in waits if part]
            part = task_key(machine, parts[0]) if len(parts) == 1 and len(cards) == 1 else (
                key if parts else "")  # fmt: skip
            if not told:
                yield After(task=before, part=part)
                continue
            days = np.maximum.reduce(told)
            self.days[key, before] = days
            yield After(task=before, days=float(days.mean()), part=part)

    def _gate(self, key: str, cards: list[Card]) -> tuple[float, str]:
        """Days before which it cannot begin, and what that waits for."""
        drawn, part = self.bundle.draws, ""
        waits = [np.zeros(drawn.worlds)]
        for card in cards:
            if card.key in drawn.not_before:
                waits.append(drawn.not_before[card.key])
                part = task_key(card.machine, card.key)
        put_off = {card.key: self._days_off(card) for card in cards}
        most = max(put_off.values())
        if len(waits) == 1 and not most:
            return 0.0, ""
        if most > 0:
            first = next(each for each, days in put_off.items() if days > 0)
            part = part or task_key(cards[0].machine, first)
            self.put_off[key] = np.maximum.reduce(waits), most
        days_until = np.maximum(np.maximum.reduce(waits), most)
        self.not_before[key] = days_until
        return float(days_until.mean()), part

    def _days_off(self, card: Card) -> float:
        if card.state == "not_now" and card.until_on:
            return float(max(0, (date.fromisoformat(card.until_on) - self.today).days))
        if card.state == "stuck":
            return 1.0  # it soaks until another evening
        if card.who == "electrician" and not self.staff.electrician:
            return self.bundle.call_out_days
        return 0.0


def unsupplied(card: Card) -> bool:
    """Whether a card waits for a part that nobody supplies: it is left out of the plan.

    Parameters
    ----------
    card : Card

    Returns
    -------
    bool
    """
    return card.state != "done" and any(part.state == "no_vendor" for part in card.parts)


def _only_likely(card: Card) -> bool:
    """Whether a card is of a fault that nobody has seen yet, and done on the spot."""
    return (
        card.sort == "work"
        and bool(card.faults)
        and card.chance < 1.0
        and card.state != "done"
        and not any(wait.card == f"send:{card.key}" for wait in card.waits)
    )


def _group(card: Card, late: bool) -> str:
    """Likely faults of one place that need the same hands; after power each by what it follows."""
    waits = ",".join(sorted(wait.card for wait in card.waits)) if late else ""
    how = f"{card.who}{card.people}{'' if card.alone else '+'}{'h' if card.hoist else ''}"
    unbroken = card.key if card.unbroken else ""
    return f"likely:{card.place or 'outside'}:{_short(f'{waits} {how} {unbroken}')}"


def _after_closing(cards: Sequence[Card]) -> set[str]:
    """Cards that come after anything is closed; they stand in an order that may be worked."""
    late: set[str] = set()
    for card in cards:
        if any(wait.card in late or wait.card.startswith("close:") for wait in card.waits):
            late.add(card.key)
    return late


def _short(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:6]
