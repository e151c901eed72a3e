"""One machine brought to one level in every world: money, own hours, waits, resale left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import or_

import numpy as np
from numpy.typing import NDArray

from retrue.cases.orders import plan_for
from retrue.cases.restoration import Bench
from retrue.kinds.library import Check, Cost, Job, Level, Place, Three
from retrue.plan.restore import Steps
from retrue.plan.ways import Order

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SIXTEENTHS = np.float32(16)
STUCK_STRETCH = 2.2  # a stuck opening takes about this many times its hours (judgement)
STUCK_LOG_SD = 0.4
STUCK_MONEY = Three(3.0, 16.0, 45.0)
FIRST_SORTS = ("record", "clean")  # jobs done while it comes apart
SEEN_SORTS = ("record", "check", "measure")  # jobs that shrink by what is already answered


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """One machine at one level, world by world, without its price.

    All arrays have shape (worlds,); money before tax in the shop's currency.
    """

    parts: Floats
    outside: Floats
    donated: Floats  # that part of both which a like machine could give
    base: Floats  # base jobs, cleaning, openings: money
    first_hours: Floats  # opening and cleaning
    rest_hours: Floats
    lead_days: Floats
    resale_left: Floats  # share of the resale left for what is lived with
    rest_money: Floats  # money still to come when it stands apart, as expected from its faults
    rest_expected_hours: Floats  # own hours likewise
    sunk_money: Floats  # spent by then

    @property
    def money(self) -> Floats:
        """All money of the restoration."""
        return np.asarray(self.parts + self.outside + self.base)

    @property
    def hours(self) -> Floats:
        """All own hours."""
        return np.asarray(self.first_hours + self.rest_hours)


@dataclass(frozen=True, slots=True, eq=False)
class _Passes:
    """Base jobs and openings of a level: the part before it stands apart, and the part after."""

    first_money: Floats
    first_hours: Floats
    rest_money: Floats
    rest_hours: Floats
    opened: NDArray[np.uint32]  # bits of the places the jobs open, in each world
    always_open: int  # those opened in every world


class Workshop:
    """One machine on the bench: its levels, its openings drawn once."""

    def __init__(self, bench: Bench) -> None:
        """Take a bench; nothing is drawn before it is needed."""
        self.bench = bench
        self._doors: dict[str, tuple[Floats, Floats, Floats]] = {}
        self._jobs: dict[str, tuple[Floats, Floats]] = {}
        self._level_passes: dict[tuple[str, ...], _Passes] = {}
        self._always_doors: dict[int, tuple[Floats, Floats, Floats]] = {}

    def bring_to(self, level: Level, rate: float, control: Cost | None = None) -> Work:
        """Bring the machine to a level in every world.

        Parameters
        ----------
        level : Level
        rate : float
            What an own hour is worth when ways are chosen, money an hour.
        control : Cost or None
            A change of the control, which takes faults along before they are treated.

        Returns
        -------
        Work
        """
        bench, setting = self.bench, self.bench.setting
        plan = plan_for(bench, level, rate)
        passes = self._passes(level.jobs)
        already = self.already(level, control)
        effort = bench.restorer.effort(tuple(steps for steps, _ in plan), already=already)
        opened = effort.opened | passes.opened
        open_hours, close_hours, stuck_money = self._openings(opened, passes.always_open)
        change_money, change_hours = self.change(control)
        expected_money, expected_hours = self._expected(plan, passes.always_open, already)
        first_hours = (passes.first_hours + open_hours) * setting.pace
        rest_hours = effort.hours + passes.rest_hours + close_hours + change_hours
        return Work(
            parts=effort.parts * setting.price_level + change_money,
            outside=effort.outside * setting.price_level,
            donated=effort.donated * setting.price_level,
            base=passes.first_money + passes.rest_money + stuck_money,
            first_hours=first_hours,
            rest_hours=rest_hours * setting.pace,
            lead_days=effort.lead_days.astype(np.float64),
            resale_left=np.exp(effort.log_drop.astype(np.float64)),
            rest_money=expected_money + float(passes.rest_money.mean() + change_money.mean()),
            rest_expected_hours=expected_hours
            + float(passes.rest_hours.mean() + close_hours.mean() + change_hours.mean()),
            sunk_money=passes.first_money + stuck_money,
        )

    def already(self, level: Level, control: Cost | None) -> dict[int, Bools]:
        """What is healed before the ways begin: by jobs of this level alone, by a new control."""
        bench = self.bench
        healed: dict[int, Bools] = {}
        words = tuple(word for word in level.jobs if word != "always")
        for job, done in bench.jobs_done(words):
            healed.update(bench.healed_by(job, done))
        if control is not None:
            for fault, chance in control.cures.items():
                if fault in bench.row:
                    row = bench.row[fault]
                    gone = bench.drawer.happens(
                        bench.setting.machine, f"{control.id} takes {fault}", chance
                    )
                    healed[row] = gone | healed.get(row, np.zeros_like(gone))
        return healed

    def change(self, control: Cost | None) -> tuple[Floats, Floats]:
        """Money and own hours of another control."""
        drawer, name = self.bench.drawer, self.bench.setting.machine
        if control is None:
            nothing = np.zeros(drawer.worlds)
            return nothing, nothing
        money = drawer.pert(name, control.id, control.amount)
        return money, drawer.pert(name, control.id, control.hours, column=1)

    def _passes(self, words: tuple[str, ...]) -> _Passes:
        """Base jobs and openings that belong to these words; the shorter list is shared."""
        if words not in self._level_passes:
            before = self._passes(words[:-1]) if len(words) > 1 else self._before_all()
            self._level_passes[words] = self._added(before, words[-1:])
        return self._level_passes[words]

    def _before_all(self) -> _Passes:
        """The checks that clear STOP faults; what stands open already must be closed."""
        worlds, open_now = self.bench.drawer.worlds, self.bench.open_now
        money, hours = self.clearing()
        return _Passes(
            np.zeros(worlds),
            np.zeros(worlds),
            np.full(worlds, money, np.float64),
            np.full(worlds, hours, np.float64),
            np.full(worlds, open_now, np.uint32),
            open_now,
        )

    def _added(self, before: _Passes, words: tuple[str, ...]) -> _Passes:
        first_money, first_hours = before.first_money.copy(), before.first_hours.copy()
        rest_money, rest_hours = before.rest_money.copy(), before.rest_hours.copy()
        opened, always = before.opened.copy(), before.always_open
        for job, done in self.bench.jobs_done(words):
            share = self.share_left(job)
            weight = share if done is None else share * done
            money, hours = self.job(job)
            early = job.sort in FIRST_SORTS
            (first_money if early else rest_money).__iadd__(money * weight)
            (first_hours if early else rest_hours).__iadd__(hours * weight)
            bits = reduce(or_, (self.bench.mask(place) for place in job.places), 0)
            if done is None:
                always |= bits
            else:
                opened[done] |= np.uint32(bits)
        opened |= np.uint32(always)
        return _Passes(first_money, first_hours, rest_money, rest_hours, opened, always)

    def job(self, job: Job) -> tuple[Floats, Floats]:
        """Money and own hours of one base job, as drawn or as the owner typed them."""
        if job.id not in self._jobs:
            drawer, name = self.bench.drawer, self.bench.setting.machine
            line = self.bench.setting.overtyped.get(job.id)
            money = drawer.pert(name, job.id, job.money)
            hours = drawer.pert(name, job.id, job.hours, column=1)
            if line is not None:
                money = np.full(drawer.worlds, float(line.amount))
                hours = hours if line.hours is None else np.full(drawer.worlds, line.hours)
            self._jobs[job.id] = (money, hours)
        return self._jobs[job.id]

    def share_left(self, job: Job) -> float:
        """How much of a job is still to do when some of what it shows is already known."""
        if job.sort not in SEEN_SORTS or not job.reveals:
            return 1.0
        left = [check for check in job.reveals if check not in self.bench.setting.done]
        return max(0.25, len(left) / len(job.reveals))

    def clearing(self) -> tuple[float, float]:
        """Money and hours of the checks that clear STOP faults and belong to no base job."""
        todo, owned = self.clearing_checks(), self.bench.setting.owned
        hire = sum(c.tool_hire for c in todo if not set(c.tools) <= owned)
        return hire, sum(c.minutes for c in todo) / 60

    def clearing_checks(self) -> list[Check]:
        """Those checks, as far as they were not made yet."""
        setting = self.bench.setting
        within = {check for job in setting.kind.jobs.values() for check in job.reveals}
        open_checks = {
            cover.check
            for cover in setting.kind.stop_cover.values()
            if cover.fault in self.bench.row
        } - within
        return [setting.kind.checks[c] for c in sorted(open_checks - setting.done)]

    def _openings(
        self, opened: NDArray[np.uint32], always: int = 0
    ) -> tuple[Floats, Floats, Floats]:
        """Hours to open, hours to close, and money for what was stuck."""
        if always not in self._always_doors:
            doors = [self.door(p) for p in self.bench.places if always & self.bench.bit[p.id]]
            nothing = np.zeros(self.bench.drawer.worlds)
            self._always_doors[always] = (
                sum((door[0] for door in doors), start=nothing),
                sum((door[1] for door in doors), start=nothing),
                sum((door[2] for door in doors), start=nothing),
            )
        open_hours, close_hours, money = (part.copy() for part in self._always_doors[always])
        for place in self.bench.places:
            bit = self.bench.bit[place.id]
            if always & bit or place.open_hours.high + place.close_hours.high == 0:
                continue
            used = (opened & np.uint32(bit)) != 0
            if used.any():
                opening, closing, stuck = self.door(place)
                open_hours += opening * used
                close_hours += closing * used
                money += stuck * used
        return open_hours, close_hours, money

    def door(self, place: Place) -> tuple[Floats, Floats, Floats]:
        """Hours to open one place, hours to close it, and money for what was stuck."""
        if place.id not in self._doors:
            drawer, name = self.bench.drawer, self.bench.setting.machine
            stuck = self._stuck(place)
            stretch = drawer.lognormal(name, f"{place.id} stretch", STUCK_LOG_SD) * STUCK_STRETCH
            opening = drawer.pert(name, place.id, place.open_hours)
            closing = drawer.pert(name, place.id, place.close_hours, column=1)
            money = drawer.pert(name, f"{place.id} stuck money", STUCK_MONEY)
            shut = 0.0 if self.bench.open_now & self.bench.bit[place.id] else 1.0
            self._doors[place.id] = (
                np.where(stuck, opening * stretch, opening) * shut,
                closing,
                money * stuck * shut,
            )
        return self._doors[place.id]

    def _stuck(self, place: Place) -> Bools:
        """Where this opening has a stuck bolt: base odds times what the past life does."""
        drawer, setting = self.bench.drawer, self.bench.setting
        if place.stuck_chance <= 0:
            return np.zeros(drawer.worlds, dtype=np.bool_)
        odds = np.full(drawer.worlds, place.stuck_chance / (1 - place.stuck_chance))
        for life, times in place.stuck_raisers.items():
            states = setting.history(life)
            if states is not None:
                odds = np.where(states, odds * times, odds)
        draw = drawer.bits(setting.machine, f"{place.id} stuck")
        return np.asarray(draw < odds / (1 + odds) * 65536)

    def _expected(
        self,
        plan: tuple[tuple[Steps, Order], ...],
        opened_by_jobs: int,
        already: Mapping[int, Bools],
    ) -> tuple[Floats, Floats]:
        """Money and hours still to come when it stands apart, from its faults alone.

        The faults are known, the costs and successes are not: means only. Means are taken to the
        sixteenth, so that their sums are exact and no processor's order of adding shows.
        """
        bench = self.bench
        table = np.zeros((2, len(bench.faults)), dtype=np.float32)
        for steps, order in plan:
            left = 1.0 - float(already[steps.row].mean()) if steps.row in already else 1.0
            extra = self._extra_opening(steps, order, opened_by_jobs)
            table[:, steps.row] = order.money, order.hours + extra / steps.units
            table[:, steps.row] *= steps.units * left
        np.divide(np.rint(table * SIXTEENTHS), SIXTEENTHS, out=table)
        money, hours = (table @ bench.numbers).astype(np.float64)
        return money, hours

    def _extra_opening(self, steps: Steps, order: Order, opened_by_jobs: int) -> float:
        """Mean hours to open and close what the base jobs do not open anyway."""
        ways = (*steps.ways, steps.surest)
        hours = 0.0
        for reached, way in zip(order.attempted, ways, strict=True):
            bits = self.bench.ways[way].opens & ~opened_by_jobs
            if bits:
                for bit, both in self._mean_doors:
                    if bits & bit:
                        hours += reached * both
        return hours

    @cached_property
    def _mean_doors(self) -> list[tuple[int, float]]:
        """The bit of each place, and its mean hours to open and to close."""
        return [
            (self.bench.bit[place.id], _mean(place.open_hours) + _mean(place.close_hours))
            for place in self.bench.places
        ]


def _mean(three: Three) -> float:
    return (three.low + 4 * three.likely + three.high) / 6
