"""From drawn worlds to a lot ready to be valued: prospects, shared money, the queue of plans."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from retrue.cases.alternatives import (
    DAYS_A_YEAR,
    ages,
    later,
    new_prices,
    resale_luck,
    resale_share,
    worth_of_work,
)
from retrue.cases.assume import Settled
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.find.standing import standing
from retrue.cases.landing import SPARE, Landing, land, lateness, road
from retrue.cases.need import cannot_serve, fits
from retrue.cases.network import CaseNetwork
from retrue.cases.options import Chooser, Shared
from retrue.cases.orders import plan_for
from retrue.cases.plans import RUN_IN_DAYS, SELL_LOG_SD, Prospect
from retrue.cases.restoration import Bench, Setting
from retrue.cases.scope import of_machine
from retrue.cases.work import Workshop
from retrue.kinds.library import Fault, Kind
from retrue.plan.restore import Effort
from retrue.records.facts import CostLine, Machine

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

PRICE_LEVEL_LOG_SD = 0.25  # one region's prices against the tables
PACE_LOG_SD = 0.22  # one owner's hours against the tables


@dataclass(frozen=True, slots=True, eq=False)
class Stage:
    """What all machines of one lot share in a drawing of worlds."""

    case: LotCase
    built: CaseNetwork
    states: Bools  # (variables, worlds)
    settled: Settled
    drawer: Drawer
    price_level: Floats
    pace: Floats
    wait: Floats
    fine: Floats

    def fault(self, machine: str, fault: str) -> Bools | None:
        """States of a fault, None where it cannot be."""
        place = self.built.faults.get((machine, fault))
        return None if place is None else self.states[place]

    def history(self, machine: str, life: str) -> Bools | None:
        """States of a past life."""
        place = self.built.histories.get((machine, life))
        return None if place is None else self.states[place]


def stage(
    case: LotCase, built: CaseNetwork, states: Bools, settled: Settled, drawer: Drawer
) -> Stage:
    """Draw what all machines share.

    Parameters
    ----------
    case : LotCase
    built : CaseNetwork
    states : ndarray of bool, shape (variables, worlds)
    settled : Settled
    drawer : Drawer

    Returns
    -------
    Stage
    """
    kind = built.kinds[case.machines[0].name]
    wait, fine = lateness(case, settled, drawer, kind)
    return Stage(
        case=case,
        built=built,
        states=states,
        settled=settled,
        drawer=drawer,
        price_level=drawer.lognormal(SPARE, "price level", PRICE_LEVEL_LOG_SD),
        pace=drawer.lognormal(SPARE, "pace", PACE_LOG_SD),
        wait=wait,
        fine=fine,
    )


def chooser(stage: Stage) -> Chooser:
    """A lot ready to be valued.

    Parameters
    ----------
    stage : Stage

    Returns
    -------
    Chooser
    """
    prospects = tuple(_prospect(stage, machine) for machine in stage.case.machines)
    return Chooser(prospects=prospects, shared=_shared(stage, len(prospects)))


def _prospect(stage: Stage, machine: Machine) -> Prospect:
    kind, drawer, settled = stage.built.kinds[machine.name], stage.drawer, stage.settled
    age, new = ages(machine, drawer), new_prices(machine, kind, drawer)
    luck = resale_luck(machine, kind, drawer)
    landing = land(stage.case, machine, kind, settled, drawer)
    end = later(settled.horizon * DAYS_A_YEAR, settled.interest)
    resale = new * resale_share(dict(kind.levels["right"].resale_share), age + settled.horizon)
    return Prospect(
        machine=machine,
        kind=kind,
        settled=settled,
        landing=_at_price_level(landing, stage.price_level),
        workshop=Workshop(Bench(setting_of(stage, machine, float((resale * end).mean())), drawer)),
        worth=worth_of_work(stage.case, kind, settled, drawer),
        age=age,
        new=new,
        resale_luck=luck,
        sell_luck=drawer.lognormal(machine.name, "days to sell", SELL_LOG_SD),
        run_in=drawer.pert(machine.name, "run-in days", RUN_IN_DAYS),
        wait=stage.wait,
        fit=not cannot_serve(fits(stage.case, machine)),
    )


def _at_price_level(landing: Landing, level: Floats) -> Landing:
    """Move and hook-up follow the prices of the region, as repairs do."""
    return replace(
        landing,
        floor={name: value * level for name, value in landing.floor.items()},
        power={**landing.power, "hook-up": landing.power["hook-up"] * level},
    )


def setting_of(stage: Stage, machine: Machine, resale: float) -> Setting:
    """What restoring one machine needs beside its kind.

    Parameters
    ----------
    stage : Stage
    machine : Machine
    resale : float
        Mean resale at the end, discounted: what a drop costs.

    Returns
    -------
    Setting
    """
    kind, findings = stage.built.kinds[machine.name], stage.case.findings
    state = standing(stage.case, machine.name, kind) if stage.case.happened else None
    mine = [k.finding for k in findings if k.finding.machine in (machine.name, None)]
    done = {
        f.check for f in mine if f.check is not None and f.grade >= 3 and f.answer != "cant_tell"
    }
    named: dict[str, int] = {}
    for finding in mine:
        if finding.units > 1:
            for fault in _named(kind, finding.check, finding.fault):
                named[fault] = max(named.get(fault, 1), finding.units)
    return Setting(
        machine=machine.name,
        kind=kind,
        states=partial(stage.fault, machine.name),
        history=partial(stage.history, machine.name),
        resale_now=resale,
        live_with=machine.live_with,
        done=frozenset(done),
        owned=frozenset(stage.case.shop.instruments),
        overtyped=_overtyped(stage.case, machine.name),
        units=named,
        price_level=stage.price_level,
        pace=stage.pace,
        treats=of_machine,
        ways=_ways(stage.case, machine.name),
        tried=state.ways_tried if state else {},
        jobs_done=state.jobs_done if state else frozenset(),
        open_now=state.open_places if state else frozenset(),
    )


def _ways(case: LotCase, machine: str | None = None) -> dict[str, str]:
    """The ways an owner chose for one machine, or for any of the lot."""
    return {
        one.what: one.way
        for one in case.chosen
        if one.sort == "way" and one.way and machine in (one.machine, None)
    }


def _overtyped(case: LotCase, machine: str | None = None) -> dict[str, CostLine]:
    """Own figures by line: of one machine, where it has none those of the lot; of all, any."""
    lines = case.cost_lines
    mine = {c.line: c for c in lines if c.machine == machine}
    return {c.line: c for c in lines if c.machine is None or machine is None} | mine


def _named(kind: Kind, check: str | None, fault: str | None) -> list[str]:
    """Faults paid by the unit that a finding with a count is about."""
    if fault is not None:
        return [fault]
    links = kind.checks[check].links if check is not None and check in kind.checks else {}
    return [f for f in links if f in kind.faults and kind.faults[f].paid == "unit"]


def _of_all(fault: Fault) -> bool:
    """Whether a fault is put right once for shop and lot.

    >>> from types import SimpleNamespace
    >>> _of_all(SimpleNamespace(scope="shop", paid="once"))
    True
    """
    return not of_machine(fault)


def _shared(stage: Stage, machines: int) -> Shared:
    drawer, first = stage.drawer, stage.case.machines[0]
    kind = stage.built.kinds[first.name]
    money, hours = road(stage.case, kind, stage.settled, drawer, machines)
    effort = _shop_effort(stage, first, kind)
    share = kind.costs.get("E62")
    return Shared(
        money=money * stage.price_level + stage.fine,
        hours=hours * stage.pace,
        running_money=(effort.parts + effort.outside) * stage.price_level,
        running_hours=effort.hours * stage.pace,
        donor_share=np.zeros(drawer.worlds)
        if share is None
        else drawer.pert(SPARE, "donor share", share.amount),
    )


def _shop_effort(stage: Stage, first: Machine, kind: Kind) -> Effort:
    """What belongs to the shop and the lot, done once: supply, rotation, drawings."""
    bench = shop_bench(stage, first)
    plan = plan_for(bench, kind.levels["right"], stage.settled.rate)
    return bench.restorer.effort(tuple(steps for steps, _ in plan))


def shop_bench(stage: Stage, first: Machine) -> Bench:
    """What belongs to the shop and the lot on a bench of its own.

    Parameters
    ----------
    stage : Stage
    first : Machine
        The first of the lot.

    Returns
    -------
    Bench
    """
    kind = stage.built.kinds[first.name]
    setting = Setting(
        machine=SPARE,
        kind=kind,
        states=partial(stage.fault, first.name),
        history=partial(stage.history, first.name),
        resale_now=0.0,
        live_with=(),
        done=frozenset(),
        owned=frozenset(),
        overtyped=_overtyped(stage.case),
        units={},
        price_level=stage.price_level,
        pace=stage.pace,
        treats=_of_all,
        ways=_ways(stage.case),
    )
    return Bench(setting, stage.drawer)
