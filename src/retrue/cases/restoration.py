"""A kind's ways, jobs and places as numbers, drawn once for one machine."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial, reduce
from operator import or_

import numpy as np
from numpy.typing import NDArray

from retrue.cases.drawing import Drawer, way_table
from retrue.kinds.library import Fault, Fix, Job, Kind, Three
from retrue.plan.inverse import COARSE
from retrue.plan.restore import Restorer, Steps, WayNumbers
from retrue.plan.ways import Order, Trial
from retrue.records.facts import CostLine

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

OUTSIDE_WAYS = ("outside", "local")
DONATED = ("spindle drive", "axis drive", "control")  # subsystems a like machine can give
DIRT = {
    "dirty": ("AD", "CD", "CN", "ID", "DS"),
    "conductive": ("CD",),
    "abrasive": ("AD",),
    "dried_coolant": ("CN",),
    "rust": ("DS",),
}


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What is needed beside the kind: who restores, under which values."""

    machine: str
    kind: Kind
    states: Callable[[str], Bools | None]  # fault id -> states, None where it cannot be
    history: Callable[[str], Bools | None]
    resale_now: float  # mean resale at the end, discounted: what a drop costs
    live_with: tuple[str, ...]
    done: frozenset[str]  # checks answered at grade 3 or better
    owned: frozenset[str]  # instruments
    overtyped: Mapping[str, CostLine]
    units: Mapping[str, int]
    price_level: Floats  # shape (worlds,): repairs, move and hook-up times this
    pace: Floats  # shape (worlds,): own hours times this
    treats: Callable[[Fault], bool] = lambda fault: True
    ways: Mapping[str, str] = field(default_factory=dict)  # fault -> way, as the owner chose
    tried: Mapping[str, frozenset[str]] = field(default_factory=dict)  # fault -> ways
    jobs_done: frozenset[str] = frozenset()  # base jobs behind us
    open_now: frozenset[str] = frozenset()  # places that stand open


class Bench:
    """Everything drawn once for one machine, so that levels and rates share it."""

    def __init__(self, setting: Setting, drawer: Drawer) -> None:
        """Draw jobs, openings and ways of one machine.

        Parameters
        ----------
        setting : Setting
        drawer : Drawer
        """
        self.setting = setting
        self.drawer = drawer
        kind = setting.kind
        self.faults = tuple(
            fault
            for fault in kind.faults.values()
            if setting.treats(fault) and setting.states(fault.id) is not None
        )
        self.row = {fault.id: i for i, fault in enumerate(self.faults)}
        self.places = tuple(kind.places.values())
        self.bit = {place.id: 1 << i for i, place in enumerate(self.places)}
        self.fixes = tuple(fix for fault in self.faults for fix in kind.fixes.get(fault.id, ()))
        self.way: dict[tuple[str, str], int] = {
            (fix.fault, fix.way): i for i, fix in enumerate(self.fixes)
        }
        self.plans: dict[tuple[str, float], tuple[tuple[Steps, Order], ...]] = {}
        self.trials: dict[tuple[str, str], Trial] = {}
        self._tables = self._ranges()
        self.ways = self._way_numbers()
        self.mean_money, self.mean_hours = (
            table.mean(axis=1).astype(np.float64).tolist() for table in self._tables[:2]
        )
        self.states = self._after_jobs()
        self.restorer = Restorer(self.states, self.ways, partial(drawer.two, setting.machine))

    @cached_property
    def numbers(self) -> NDArray[np.float32]:
        """The faults left as zeros and ones, shape (faults, worlds)."""
        return self.states.astype(np.float32)

    @cached_property
    def _masks(self) -> dict[str | None, int]:
        """The bits of each place and of all that must be open first."""
        by_id = self.setting.kind.places
        masks: dict[str | None, int] = {None: 0}
        for place in by_id:
            bits, behind = self.bit[place], by_id[place].behind
            while behind is not None and behind in by_id and not bits & self.bit[behind]:
                bits |= self.bit[behind]
                behind = by_id[behind].behind
            masks[place] = bits
        return masks

    def mask(self, place: str | None) -> int:
        """The bits of a place and of all that must be open first; none for an unknown one."""
        return self._masks.get(place, 0)

    def _way_numbers(self) -> tuple[WayNumbers, ...]:
        money, hours, leads = self._tables
        anyway = self._open_anyway()
        return tuple(
            WayNumbers(
                key=f"{fix.fault}:{fix.way}",
                money=money[i],
                hours=hours[i],
                cures=fix.cures,
                paid_if_it_fails=fix.paid_if_it_fails,
                lead_days=leads[i],
                opens=self.mask(fix.opens) & ~anyway,
                also=tuple(
                    (self.row[other], chance)
                    for other, chance in fix.also_cures.items()
                    if other in self.row
                ),
                log_drop=self._log_drop(fix),
                bucket="outside" if fix.way in OUTSIDE_WAYS else "parts",
                donated=self.setting.kind.faults[fix.fault].subsystem in DONATED,
            )
            for i, fix in enumerate(self.fixes)
        )

    def _open_anyway(self) -> int:
        """Places open already, or opened by the jobs of every level: a way needs not ask."""
        bits = self.open_now
        for job in self._jobs_left():
            if job.when == "always":
                for place in job.places:
                    bits |= self.mask(place)
        return bits

    def _ranges(self) -> tuple[NDArray[np.float32], NDArray[np.float32], list[float]]:
        shape = (len(self.fixes), COARSE)  # also where nothing is wrong that has a way
        money = np.array([way_table(*_three(f.money)) for f in self.fixes], np.float32)
        hours = np.array([way_table(*_three(f.hours)) for f in self.fixes], np.float32)
        money, hours = money.reshape(shape), hours.reshape(shape)
        leads = [fix.lead_days for fix in self.fixes]
        for i, fix in enumerate(self.fixes):
            line = self.setting.overtyped.get(f"{fix.fault}:{fix.way}")
            if line is not None:
                money[i] = float(line.amount)
                hours[i] = hours[i] if line.hours is None else line.hours
                leads[i] = leads[i] if line.days is None else line.days
        return money, hours, leads

    def _log_drop(self, fix: Fix) -> float:
        if fix.way != "live_with":
            return 0.0
        return math.log1p(-min(0.99, self.setting.kind.faults[fix.fault].resale_drop_share))

    def _after_jobs(self) -> Bools:
        """The faults the base jobs of every level leave behind, shape (faults, worlds)."""
        worlds = self.drawer.worlds
        states = np.empty((len(self.faults), worlds), dtype=np.bool_)
        for i, fault in enumerate(self.faults):
            known = self.setting.states(fault.id)
            assert known is not None
            states[i] = known
        for job, done in self.jobs_done(("always",)):
            for row, healed in self.healed_by(job, done).items():
                states[row] &= ~healed
        return states

    def jobs_done(self, words: tuple[str, ...]) -> list[tuple[Job, Bools | None]]:
        """Base jobs with one of these words; with "always" also the passes the dirt asks for.

        Those that are done already are left out.
        The second value tells in which worlds the job is done; None means in all.
        """
        chosen: list[tuple[Job, Bools | None]] = []
        for job in self._jobs_left():
            if job.when in words:
                chosen.append((job, None))
            elif "always" in words and job.when in DIRT:
                chosen.append((job, self._dirt(job.when)))
        return chosen

    @cached_property
    def open_now(self) -> int:
        """The bits of the places that stand open."""
        return reduce(or_, (self.mask(place) for place in self.setting.open_now), 0)

    def _jobs_left(self) -> list[Job]:
        done = self.setting.jobs_done
        return [job for job in self.setting.kind.jobs.values() if job.id not in done]

    def _dirt(self, when: str) -> Bools:
        lives = [self.setting.history(life) for life in DIRT[when]]
        present = [life for life in lives if life is not None]
        none = np.zeros(self.drawer.worlds, dtype=np.bool_)
        return np.asarray(np.logical_or.reduce([none, *present]))

    def healed_by(self, job: Job, done: Bools | None) -> dict[int, Bools]:
        """Fault rows and worlds in which a base job cures them."""
        healed = {}
        for fault, chance in job.cures.items():
            if fault in self.row:
                lucky = self.drawer.happens(self.setting.machine, f"{job.id} heals {fault}", chance)
                healed[self.row[fault]] = lucky if done is None else lucky & done
        return healed


def _three(three: Three) -> tuple[float, float, float]:
    return three.low, three.likely, three.high
