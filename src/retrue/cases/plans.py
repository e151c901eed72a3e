"""What one machine of a lot could become, and what each of these is worth in every world."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.cases.alternatives import DAYS_A_YEAR, Worth, later, present_years, resale_share
from retrue.cases.assume import Settled
from retrue.cases.landing import Landing
from retrue.cases.orders import plan_for
from retrue.cases.work import Work, Workshop
from retrue.kinds.library import Kind, Three
from retrue.plan.days import days_until_good_part
from retrue.records.facts import Machine

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Common practice, judgement, no source.
SELL_DAYS = {"as_found": 90.0, "running": 120.0, "proven": 110.0, "parts": 200.0}
SELL_LOG_SD = 0.6
RUN_IN_DAYS = Three(2.0, 4.0, 10.0)
PARTS_SHARE = Three(0.007, 0.02, 0.05)  # of the new price, for the parts of a broken machine
PARTS_HOURS = Three(25.0, 50.0, 100.0)
SCRAP_PER_KG = 0.20
DAYS_A_MONTH = 30.44

KEEP, NEW_CONTROL, DONOR = "keep", "new_control", "donor"
SELL_AS_FOUND, SELL_RUNNING, SELL_PROVEN = "sell_as_found", "sell_running", "sell_proven"
PART_OUT = "part_out"
CONTROL = "E70"  # the cost line of another control
CONTROL_SHARE = 0.5  # of its cost, that the faults it takes along must reach to be looked at
AS_FOUND = "as_found"  # the state of a machine nobody touched


@dataclass(frozen=True, slots=True)
class Plan:
    """One thing to do with one machine.

    Examples
    --------
    >>> Plan("keep", "right").keeps, Plan("sell_as_found").works
    (True, False)
    """

    name: str
    level: str = ""

    @property
    def works(self) -> bool:
        """Whether own hours go into it."""
        return bool(self.level)

    @property
    def keeps(self) -> bool:
        """Whether it stays and earns."""
        return self.name in (KEEP, NEW_CONTROL)


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """A plan carried out in every world, at price 0, against the best alternative.

    ``gain`` counts own hours at the rate; ``money`` is all money spent but the price; all arrays
    have shape (worlds,), in the shop's currency, hours and days. What ends in ``_through`` is
    taken as gone through with everywhere, whatever is found when it stands apart.
    """

    plan: Plan
    gain: Floats
    money: Floats
    landed: Floats
    hours: Floats
    days: Floats
    went_on: Bools
    brings: Floats  # resale in it, discounted
    costs: Mapping[str, Floats]  # through
    hours_through: Floats  # own hours
    days_through: Floats
    gain_through: Floats
    brings_through: Floats
    in_vain: Floats  # spent where it was given up

    @property
    def money_through(self) -> Floats:
        """All money but the price, had it been gone through with everywhere."""
        return _sum(self.costs)

    @property
    def buckets(self) -> dict[str, float]:
        """Where the money goes on average; what was spent before giving up stands apart."""
        split = {name: float((value * self.went_on).mean()) for name, value in self.costs.items()}
        lost = float((self.in_vain * ~self.went_on).mean())
        return split | ({"spent before giving up": lost} if lost > 0 else {})


@dataclass(frozen=True, eq=False)
class Prospect:
    """One machine of the lot with all that its plans need."""

    machine: Machine
    kind: Kind
    settled: Settled
    landing: Landing
    workshop: Workshop
    worth: Worth
    age: Floats
    new: Floats
    resale_luck: Floats
    sell_luck: Floats
    run_in: Floats
    wait: Floats
    fit: bool
    stands: str = AS_FOUND  # the state it would be sold in as it stands
    left_now: Floats | float = 1.0  # share of that state's resale left, for the faults it has
    _resales: dict[tuple[str, float], Floats] = field(default_factory=dict)
    _fixed: dict[Plan, tuple[Floats, Floats]] = field(default_factory=dict)

    def plans(self, *, alone: bool) -> tuple[Plan, ...]:
        """All plans that make sense for it; alone in its lot, selling on comes last."""
        keep = [Plan(KEEP, level) for level in self.kind.levels]
        if self._control_may_pay():
            keep.append(Plan(NEW_CONTROL, "right"))
        sell = [
            Plan(SELL_AS_FOUND),
            Plan(SELL_RUNNING, "just_running"),
            Plan(SELL_PROVEN, "right"),
            Plan(PART_OUT),
        ]
        return tuple((keep if self.fit else []) + sell)

    def _control_may_pay(self) -> bool:
        """Whether the faults another control takes along cost at least half of what it does."""
        change, right = self.kind.costs.get(CONTROL), self.kind.levels.get("right")
        if change is None or right is None:
            return False
        bench, rate = self.workshop.bench, self.settled.rate
        spared = sum(
            float(bench.states[steps.row].mean())
            * change.cures.get(bench.faults[steps.row].id, 0.0)
            * (order.money + order.hours * rate)
            for steps, order in plan_for(bench, right, rate)
        )
        return spared >= CONTROL_SHARE * (change.amount.likely + change.hours.likely * rate)

    def resale(self, state: str, years: float = 0.0) -> Floats:
        """What it brings in a state, that many years from now, undiscounted."""
        if (state, years) not in self._resales:
            level = self.kind.levels.get(state)
            shares = self.kind.as_found_share if level is None else level.resale_share
            share = resale_share(dict(shares), self.age + years)
            self._resales[state, years] = self.new * share * self.resale_luck
        return self._resales[state, years]

    @cached_property
    def floor_money(self) -> Floats:
        """All money until it stands on the floor."""
        return _sum(self.landing.floor)

    @cached_property
    def power_money(self) -> Floats:
        """All money for hook-up and fills."""
        return _sum(self.landing.power)

    def fixed(self, plan: Plan, work: Work) -> tuple[Floats, Floats]:
        """Money without storage, and own hours, of a plan gone through with, whenever begun."""
        if plan not in self._fixed:
            land = self.landing
            last = land.tooling if plan.keeps else land.selling
            hours = work.hours + land.floor_hours + land.power_hours
            self._fixed[plan] = (
                self.floor_money + self.power_money + work.money + last,
                hours + (land.tooling_hours if plan.keeps else land.selling_hours),
            )
        return self._fixed[plan]

    @cached_property
    def salvage(self) -> tuple[Floats, float]:
        """As found, or in parts, whichever is better on average: net of selling; and its mean."""
        as_found, parts = self.as_found.gain, self.in_parts.gain
        floor = self.floor_money + self.landing.floor_hours * self.settled.rate
        better = as_found if as_found.mean() >= parts.mean() else parts
        net = better + floor
        return net, float(net.mean())

    def months(self, days: Floats | float) -> Floats:
        """Money for the floor it takes until a day."""
        return np.asarray(self.landing.storage_a_month * (np.asarray(days) / DAYS_A_MONTH))

    @cached_property
    def as_found(self) -> Outcome:
        """Sell it from our floor without touching it."""
        land, rate = self.landing, self.settled.rate
        gone = self.wait + SELL_DAYS["as_found"] * self.sell_luck
        worth_now = self.resale(self.stands) * self.left_now
        brings = worth_now * later(gone, self.settled.interest)
        hours = land.floor_hours + land.selling_hours
        storage = self.months(gone - self.wait)
        money = self.floor_money + land.selling + storage
        gain = brings - money - hours * rate
        return Outcome(
            plan=Plan(SELL_AS_FOUND),
            gain=gain,
            money=money,
            landed=self.floor_money,
            hours=hours,
            days=gone,
            went_on=np.ones(len(gone), np.bool_),
            brings=brings,
            costs=dict(land.floor) | {"storage": storage, "sale": land.selling},
            hours_through=hours,
            days_through=gone,
            gain_through=gain,
            brings_through=brings,
            in_vain=np.zeros(len(gone)),
        )

    @cached_property
    def in_parts(self) -> Outcome:
        """Take it apart and sell what is good, the rest by weight."""
        land, rate = self.landing, self.settled.rate
        drawer, name = self.workshop.bench.drawer, self.machine.name
        sound = 1.0 - self.workshop.bench.states.mean(axis=0)
        share = drawer.pert(name, "parts share", PARTS_SHARE)
        scrap = (self.machine.mass_kg or self.kind.mass_kg) * SCRAP_PER_KG
        gone = self.wait + SELL_DAYS["parts"] * self.sell_luck
        brings = (self.new * share * sound + scrap) * later(gone, self.settled.interest)
        hours = land.floor_hours + drawer.pert(name, "parts hours", PARTS_HOURS)
        storage = self.months(gone - self.wait) / 2
        money = self.floor_money + storage
        gain = brings - money - hours * rate
        return Outcome(
            plan=Plan(PART_OUT),
            gain=gain,
            money=money,
            landed=self.floor_money,
            hours=hours,
            days=gone,
            went_on=np.ones(len(gone), np.bool_),
            brings=brings,
            costs=dict(land.floor) | {"storage": storage},
            hours_through=hours,
            days_through=gone,
            gain_through=gain,
            brings_through=brings,
            in_vain=np.zeros(len(gone)),
        )


def carry_out(prospect: Prospect, plan: Plan, work: Work, hours_before: Floats) -> Outcome:
    """Restore a machine to its plan's level, to keep or to sell, with the choice when apart.

    When it stands apart its faults are known and nothing else is: it goes on where that is
    expected to be worth more than selling it as it stands.

    Parameters
    ----------
    prospect : Prospect
    plan : Plan
        One with a level.
    work : Work
    hours_before : ndarray, shape (worlds,)
        Own hours another machine takes first.

    Returns
    -------
    Outcome
    """
    land, settled, rate = prospect.landing, prospect.settled, prospect.settled.rate
    days = _days(prospect, work, hours_before, work.rest_hours, work.lead_days)
    sold = days + SELL_DAYS["proven" if plan.level == "right" else "running"] * prospect.sell_luck
    resale = _resale(prospect, plan, work, sold)
    benefit = resale
    if plan.keeps:
        benefit = resale + prospect.worth.margin_from(days) - prospect.worth.value
    end = days if plan.keeps else sold
    storage = prospect.months(end - prospect.wait)
    costs = _costs(prospect, plan, work, storage)
    fixed, hours_on = prospect.fixed(plan, work)
    money_on = fixed + storage
    apart = prospect.wait + (hours_before + work.first_hours) * 7.0 / settled.hours_a_week
    salvage, salvage_mean = prospect.salvage
    stop_money = prospect.floor_money + work.sunk_money + prospect.months(apart - prospect.wait)
    stop_hours = land.floor_hours + work.first_hours
    delay = _delay(prospect, plan, apart)
    goes = _goes_on(prospect, plan, work, benefit, salvage_mean - float(delay.mean()), hours_before)
    gain_on = benefit - money_on - hours_on * rate
    gain_stop = salvage - stop_money - stop_hours * rate - delay
    money = np.where(goes, money_on, stop_money)
    return Outcome(
        plan=plan,
        gain=np.where(goes, gain_on, gain_stop),
        money=money,
        landed=prospect.floor_money + land.power["hook-up"],
        hours=np.where(goes, hours_on, stop_hours),
        days=np.where(goes, end, apart),
        went_on=goes,
        brings=np.where(goes, resale, salvage),
        costs=costs,
        hours_through=hours_on,
        days_through=end,
        gain_through=gain_on,
        brings_through=resale,
        in_vain=stop_money,
    )


def _days(
    prospect: Prospect, work: Work, before: Floats, rest_hours: Floats, lead_days: Floats
) -> Floats:
    return days_until_good_part(
        wait_days=prospect.wait,
        hours_before=before,
        first_hours=work.first_hours,
        rest_hours=rest_hours,
        lead_days=lead_days,
        run_in_days=prospect.run_in,
        hours_a_week=prospect.settled.hours_a_week,
    )


def _resale(prospect: Prospect, plan: Plan, work: Work, sold: Floats) -> Floats:
    """What it brings in the end, discounted: at the horizon if kept, else when it is sold."""
    settled = prospect.settled
    years = settled.horizon if plan.keeps else 0.0
    on = settled.horizon * DAYS_A_YEAR if plan.keeps else sold
    value = prospect.resale(plan.level, years) * work.resale_left
    return np.asarray(value * later(on, settled.interest))


def _costs(prospect: Prospect, plan: Plan, work: Work, storage: Floats) -> dict[str, Floats]:
    land = prospect.landing
    costs = dict(land.floor)
    costs["hook-up"] = land.power["hook-up"]
    costs["consumables and waste"] = land.power["consumables and waste"]
    costs["storage"] = storage
    costs["cleaning, openings, tests"] = work.base
    costs["parts"] = work.parts
    costs["outside work"] = work.outside
    if plan.keeps:
        costs["tooling up"] = land.tooling
    else:
        costs["sale"] = land.selling
    return costs


def _delay(prospect: Prospect, plan: Plan, apart: Floats) -> Floats:
    """What falling back on the best alternative only then has lost."""
    if not plan.keeps or not prospect.worth.delay_costs:
        return np.zeros(len(apart))
    settled = prospect.settled
    lost = present_years(0.0, settled.interest, settled.horizon) - present_years(
        apart, settled.interest, settled.horizon
    )
    return np.asarray(np.maximum(0.0, prospect.worth.margin_a_year) * lost)


def _goes_on(
    prospect: Prospect,
    plan: Plan,
    work: Work,
    benefit: Floats,
    otherwise: float,
    hours_before: Floats,
) -> Bools:
    """Where going on is expected to be worth more; reads the faults, never what was drawn."""
    land, settled = prospect.landing, prospect.settled
    still = prospect.power_money + (land.tooling if plan.keeps else land.selling)
    still_hours = land.power_hours + (land.tooling_hours if plan.keeps else land.selling_hours)
    fixed = float(still.mean()) + float(still_hours.mean()) * settled.rate
    days_an_hour = 7.0 / settled.hours_a_week
    begun = float((prospect.wait + (hours_before + work.first_hours) * days_an_hour).mean())
    ready = (
        begun
        + np.maximum(float(work.lead_days.mean()), work.rest_expected_hours * days_an_hour)
        + float(prospect.run_in.mean())
    )
    mean_days = float(ready.mean())
    margin: Floats | float = 0.0
    if plan.keeps:
        yearly = float(prospect.worth.margin_a_year.mean())
        margin = yearly * (
            present_years(ready, settled.interest, settled.horizon)
            - present_years(mean_days, settled.interest, settled.horizon)
        )
    expected = float(benefit.mean()) + margin - fixed
    rest = work.rest_money + work.rest_expected_hours * settled.rate
    storage = float(land.storage_a_month.mean()) * (ready - begun) / DAYS_A_MONTH
    return np.asarray(expected - rest - storage >= otherwise)


def _sum(parts: Mapping[str, Floats]) -> Floats:
    return np.asarray(sum(parts.values()))
