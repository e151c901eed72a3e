"""What the cards of one machine take, run by run: the same hours and waits as in the price."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import reduce
from operator import or_

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.belief.network import Impossible
from retrue.belief.worlds import draw
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import contradiction, evidence
from retrue.cases.fix.belief import Belief, bench_of, shared_bench
from retrue.cases.fix.cards import CHANGE, CONTROL, HALF, UNSEEN
from retrue.cases.fix.clearing import clearing_hours
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.layout import Layout, layout_of
from retrue.cases.fix.left import share_left
from retrue.cases.fix.lines import Card
from retrue.cases.fix.looks import ELSEWHERE, LOOK, LOOK_SHARE, looked_at
from retrue.cases.fix.needed import FaultNeed, JobNeed, Needed, done_jobs, gone_of
from retrue.cases.fix.parts import days_to_come
from retrue.cases.plans import RUN_IN_DAYS
from retrue.cases.prepare import Stage, stage
from retrue.cases.restoration import Bench
from retrue.cases.work import Workshop
from retrue.plan.restore import Steps

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
LEAD_LOG_SD = 0.3  # how far a delivery or an outside repair comes off its days (judgement)


@dataclass(frozen=True, slots=True, eq=False)
class CardDraws:
    """What the cards of one machine take, in every run.

    Attributes
    ----------
    hours : mapping of card to ndarray, shape (worlds,)
    days : mapping of (card, card before it) to ndarray, shape (worlds,)
        Waiting for parts or for something to dry; 0 where nothing is waited for.
    not_before : mapping of card to ndarray, shape (worlds,)
        Days from today until its part is here.
    run_in_days : ndarray, shape (worlds,)
    """

    worlds: int
    hours: Mapping[str, Floats]
    days: Mapping[tuple[str, str], Floats] = field(default_factory=dict)
    not_before: Mapping[str, Floats] = field(default_factory=dict)
    run_in_days: Floats = field(default_factory=lambda: np.zeros(0))


def drawn_stage(kept: FixKept, belief: Belief, seed: int, worlds: int) -> Stage:
    """The stage of the price: the same seed and number give the same runs.

    Parameters
    ----------
    kept : FixKept
    belief : Belief
    seed, worlds : int

    Returns
    -------
    Stage

    Raises
    ------
    Unusable
        What was answered contradicts itself.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> kept = fix_of_case(case, load())
    >>> from retrue.cases.fix.belief import belief_of
    >>> drawn_stage(kept, belief_of(kept, load()), 7, 10).states.shape[1]
    10
    """
    built = belief.built
    found, _ = evidence(kept.case, built)
    drawer = Drawer(seed, kept.case.lot.name, worlds)
    columns = len(built.network.names)
    chances = uniforms(seed, drawer.lot, "belief", worlds=worlds, columns=columns)
    try:
        drawn = draw(built.network, found, chances)
    except Impossible:
        raise contradiction() from None
    return stage(kept.case, built, built.there_now(drawn.states), belief.settled, drawer)


def card_draws(on: Stage, need: Needed, cards: Iterable[Card], today: date) -> CardDraws:
    """Draw what every card takes.

    Parameters
    ----------
    on : Stage
        Drawn.
    need : Needed
        Decided on the same case.
    cards : iterable of Card
        Of that machine.
    today : date

    Returns
    -------
    CardDraws
        The hours of all cards together are the own hours of the restoration, world by world,
        as long as nothing is done and nothing was chosen beside.
    """
    work = _Worked(on, need)
    hours = work.hours()
    listed = {card.key: card for card in cards}
    days: dict[tuple[str, str], Floats] = {}
    not_before: dict[str, Floats] = {}
    for key, card in listed.items():
        if card.state == "done" or key not in hours:
            continue
        for before, wait in _waits(work, card, listed, hours):
            days[key, before] = wait
        gate = _gate(work, card, listed, today)
        if gate.any():
            not_before[key] = np.where(hours[key] > 0, gate, 0.0)
    scaled = {key: hours[key] * share_left(card) for key, card in listed.items() if key in hours}
    name = need.machine.name
    return CardDraws(
        worlds=on.drawer.worlds,
        hours=scaled,
        days=days,
        not_before=not_before,
        run_in_days=on.drawer.pert(name, "run-in days", RUN_IN_DAYS),
    )


def _waits(
    work: _Worked, card: Card, listed: Mapping[str, Card], hours: Mapping[str, Floats]
) -> Iterator[tuple[str, Floats]]:
    """Days between a card and each one before it that is still to be done."""
    for wait in card.waits:
        if wait.card not in listed or listed[wait.card].state == "done":
            continue
        if wait.part:
            yield wait.card, work.lead(card.key)
        elif wait.card == UNSEEN:
            yield wait.card, work.rare_lead
        elif wait.days > 0 and wait.card in hours:
            yield wait.card, np.where(hours[wait.card] > 0, wait.days, 0.0)


def _gate(work: _Worked, card: Card, listed: Mapping[str, Card], today: date) -> Floats:
    """Days from today until a card can begin: its part is on its way, what was done dries."""
    gate = np.zeros(work.worlds)
    to_come = [one for one in card.waits if one.part and listed[one.card].state != "done"]
    if card.parts and not to_come and card.sort != "send":
        coming = max(days_to_come(part, today) for part in card.parts)
        sure = coming * work.luck(card.key)
        gate = sure if card.chance >= 1.0 else np.minimum(sure, work.lead(card.key))
    for wait in card.waits:
        if not wait.part and wait.days > 0 and listed[wait.card].state == "done":
            gate = np.maximum(gate, work.dries_yet(wait.card, wait.days, today))
    return gate


class _Worked:
    """One machine worked through in every world."""

    def __init__(self, on: Stage, need: Needed) -> None:
        self.on, self.need = on, need
        gone = gone_of(need.machine)
        self.bench = bench_of(on, need.machine, done_jobs(need.machine),
                              need.openings.open_now, gone)  # fmt: skip
        self.shop = Workshop(self.bench)
        self.layout: Layout = layout_of(need)
        self.level = need.kind.levels[need.level]
        control = need.kind.costs.get(CHANGE) if need.machine.aim == "new_control" else None
        self.change = self.shop.change(control)[1] if control else None
        already = self.shop.already(self.level, control)
        self.worlds = on.drawer.worlds
        self.work: dict[str, Floats] = {}
        self.leads: dict[str, Floats] = {}
        self.opened = np.zeros(self.worlds, np.uint32)
        self._bills(self.bench, need.plan, already)
        if need.shared is not None:
            others = set(need.machine.kind.faults) - set(need.shared.row)
            first = shared_bench(on, need.machine, frozenset(others))
            self._bills(first, need.shared_plan, {})

    def _bills(self, bench: Bench, plan: tuple[Steps, ...], already: Mapping[int, Bools]) -> None:
        for steps, bill in bench.restorer.bills(plan, already=already):
            fault = bench.faults[steps.row].id
            for mine, line in ((self.work, bill.hours), (self.leads, bill.lead_days)):
                mine.setdefault(fault, np.zeros(self.worlds))[bill.where] = line
            if bench is self.bench:
                self.opened[bill.where] |= bill.opened

    def luck(self, key: str) -> Floats:
        """How far the days of one part come off, in every world."""
        quantity = f"{key.removeprefix('send:')} lead"
        return self.on.drawer.lognormal(self.need.machine.name, quantity, LEAD_LOG_SD)

    def dries_yet(self, key: str, days: float, today: date) -> float:
        """Days that something done still dries; done at nobody knows what day, it is dry."""
        done = [one.fact.marked_on for one in self.need.machine.marks
                if one.fact.card == key and one.fact.how == "done"]  # fmt: skip
        passed = (today - date.fromisoformat(done[-1])).days if done else days
        return max(0.0, days - passed)

    def lead(self, key: str) -> Floats:
        """Days of the parts of one fault, where it has to be put right."""
        fault = key.partition(":")[0]
        return self.leads.get(fault, np.zeros(self.worlds)) * self.luck(key)

    @property
    def rare_lead(self) -> Floats:
        """The longest wait of what nobody has seen yet."""
        waits = [self.lead(one.line) for one in self.need.rare]
        return np.asarray(np.maximum.reduce([np.zeros(self.worlds), *waits]))

    def hours(self) -> dict[str, Floats]:
        """Own hours of every card, in its place; the pace of the owner is in them."""
        found, seldom = dict(self._jobs(self.need.jobs)), dict(self._jobs(self.need.rare_jobs))
        found |= dict(self._read())
        for one in self.need.faults:
            found |= dict(self._fault(one))
        unseen = sum((self.work[one.fault.id] for one in self.need.rare
                      if one.fault.id in self.work), start=np.zeros(self.worlds))  # fmt: skip
        unseen = sum(seldom.values(), start=unseen)
        doors, rest = self._doors()
        found |= doors
        if self.need.rare or seldom:
            found[UNSEEN] = unseen + rest
        elif doors:
            found[next(key for key in doors if key.startswith("open:"))] += rest
        for key, looks in clearing_hours(self.need).items():
            found[key] = np.full(self.worlds, looks)
        if self.change is not None:
            found[CONTROL] = self.change
        found |= dict(self._extras())
        pace = self.bench.setting.pace
        return {key: hours * pace for key, hours in found.items()}

    def _fault(self, one: FaultNeed) -> Iterator[tuple[str, Floats]]:
        hours = self.work.get(one.fault.id, np.zeros(self.worlds))
        if one.sent:
            yield f"send:{one.line}", hours * HALF
            hours = hours * (1.0 - HALF)
        yield one.line, hours

    def _jobs(self, jobs: Iterable[JobNeed]) -> Iterator[tuple[str, Floats]]:
        """Base jobs where they are done; what is read at a place goes off the record."""
        weight = {job.id: done for job, done in self.bench.jobs_done(self.level.jobs)}
        for one in jobs:
            done = weight.get(one.job.id)
            hours = self.shop.job(one.job)[1] * one.share
            hours = hours if done is None else hours * done
            self._open(one.job.places, done)
            if one.job.sort == "record":
                hours = hours * (1.0 - sum(self.layout.before.values()))
            yield one.job.id, hours

    def _read(self) -> Iterator[tuple[str, Floats]]:
        """What of the record is read at a place before it comes apart."""
        record = next((j for j in self.need.kind.jobs.values() if j.sort == "record"), None)
        if record is not None:
            left = {one.job.id: one.share for one in self.need.jobs}.get(record.id, 1.0)
            for place, share in self.layout.before.items():
                yield f"before:{place}", self.shop.job(record)[1] * left * share

    def _open(self, places: Iterable[str], where: Bools | None = None) -> None:
        bits = np.uint32(reduce(or_, (self.bench.mask(place) for place in places), 0))
        self.opened[slice(None) if where is None else where] |= bits

    def _doors(self) -> tuple[dict[str, Floats], Floats]:
        """Openings and closings; those without a card of their own apart."""
        machine, kind = self.need.machine, self.need.kind
        chosen = [kind.renewals[one].place for one in machine.renewals if one in kind.renewals]
        chosen += [kind.upgrades[one].place for one in machine.upgrades
                   if one in kind.upgrades and kind.upgrades[one].sort != "finish"]  # fmt: skip
        self._open([*chosen, *self.need.openings.open_now])
        found: dict[str, Floats] = {}
        rest = np.zeros(self.worlds)
        looked = looked_at(self.need, self.layout)
        if ELSEWHERE in looked:
            found[f"{LOOK}{ELSEWHERE}"] = np.zeros(self.worlds)
        for place in self.bench.places:
            used = (self.opened & np.uint32(self.bench.bit[place.id])) != 0
            opening, closing, _ = self.shop.door(place)
            if place.id in self.layout.opened:
                found[f"open:{place.id}"] = opening * used
                share = LOOK_SHARE if place.id in looked else 0.0
                found[f"close:{place.id}"] = closing * used * (1.0 - share)
                if share:
                    found[f"{LOOK}{place.id}"] = closing * used * share
            elif used.any():
                rest += (opening + closing) * used
        return found, rest

    def _extras(self) -> Iterator[tuple[str, Floats]]:
        machine, kind, drawer = self.need.machine, self.need.kind, self.on.drawer
        for one in machine.renewals:
            if one in kind.renewals:
                key = f"renew:{one}"
                yield key, drawer.pert(machine.name, key, kind.renewals[one].hours, column=1)
        for one in machine.upgrades:
            if one in kind.upgrades:
                key = f"upgrade:{one}"
                yield key, drawer.pert(machine.name, key, kind.upgrades[one].hours, column=1)
