"""One machine without doubt, priced with a pencil.

Every range is made a single number, every fault excluded but one that is certainly there; then
the gain of a world is a sum anybody can do. The discounting is numpy-financial's.
"""

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import numpy_financial as npf
import pytest
from tests.cases.priced import MILL, found, kinds, lot

from retrue.cases.alternatives import RUNNING_PER_HOUR
from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.landing import lateness
from retrue.cases.network import build
from retrue.cases.plans import Plan, carry_out
from retrue.cases.prepare import chooser
from retrue.cases.returns import return_row
from retrue.cases.view import View, look
from retrue.kinds.library import Kind, Three

THERE = "F06"  # the spindle belt: certainly there
RATE, WEEK, INTEREST, HORIZON = 12.0, 16.0, 0.08, 7.0


def sure(three: Three) -> Three:
    return Three(three.likely, three.likely, three.likely)


def without_doubt(kind: Kind) -> Kind:
    """The kind with every range made one number."""
    return replace(
        kind,
        fixes={
            fault: tuple(
                replace(f, money=sure(f.money), hours=sure(f.hours), cures=1.0)
                for f in fixes
                if f.way != "live_with"
            )
            for fault, fixes in kind.fixes.items()
        },
        jobs={
            id: replace(j, money=sure(j.money), hours=sure(j.hours), cures={})
            for id, j in kind.jobs.items()
        },
        places={
            id: replace(
                p, open_hours=sure(p.open_hours), close_hours=sure(p.close_hours), stuck_chance=0.0
            )
            for id, p in kind.places.items()
        },
        costs={
            id: replace(c, amount=sure(c.amount), hours=sure(c.hours))
            for id, c in kind.costs.items()
        },
    )


@pytest.fixture(scope="module")
def seen() -> View:
    kind = without_doubt(kinds()[MILL])
    known = [
        found(f"k{id}", "mill", fault=id, answer="present" if id == THERE else "absent", grade=4)
        for id in kind.faults
    ]
    lives = [found(f"h{id}", "mill", history=id, answer="no") for id in kind.histories]
    case = lot(*known, *lives, machines=("mill",))
    shop = replace(case.shop, uses_rigger=True, supply_outlet=True, supply_phases=3)
    case = replace(case, shop=shop, terms=replace(case.terms, loader_fee=Decimal(200)))
    return _look(case, kind)


def _look(case: LotCase, kind: Kind, worlds: int = 400) -> View:
    built = build(case, {MILL: kind})
    made, _ = evidence(case, built)
    return look(case, built, made, settle(case, built.kinds), drawer=Drawer(3, "school", worlds))


def test_money_and_hours_are_the_sum_of_the_lines(seen: View) -> None:
    """Belt, base jobs, openings, clearing checks: added up from the tables."""
    prospect = seen.chooser.prospects[0]
    kind, work = prospect.kind, prospect.workshop.bring_to(prospect.kind.levels["right"], RATE)
    belt = min(kind.fixes[THERE], key=lambda f: f.money.likely + RATE * f.hours.likely)
    jobs = [j for j in kind.jobs.values() if j.when in ("always", "level:right")]
    assert np.allclose(work.parts, belt.money.likely * seen.stage.price_level, rtol=1e-5)
    within = {check for job in kind.jobs.values() for check in job.reveals}
    clearing = [
        kind.checks[c.check]
        for c in kind.stop_cover.values()
        if c.fault in prospect.workshop.bench.row and c.check not in within
    ]
    money = sum(j.money.likely for j in jobs) + sum(c.tool_hire for c in clearing)
    assert np.allclose(work.base, money)
    opened = {place for job in jobs for place in job.places} | {belt.opens}
    for place in list(opened):
        behind = kind.places[place].behind if place else None
        while behind:
            opened.add(behind)
            behind = kind.places[behind].behind
    hours = belt.hours.likely + sum(j.hours.likely for j in jobs)
    hours += sum(c.minutes for c in clearing) / 60
    hours += sum(
        kind.places[p].open_hours.likely + kind.places[p].close_hours.likely for p in opened if p
    )
    assert np.allclose(work.hours, hours * seen.stage.pace, rtol=1e-5)


def test_the_gain_of_every_world_is_the_pencil_sum(seen: View) -> None:
    prospect = seen.chooser.prospects[0]
    kind, land, worth = prospect.kind, prospect.landing, prospect.worth
    work = prospect.workshop.bring_to(kind.levels["right"], RATE)
    outcome = carry_out(prospect, Plan("keep", "right"), work, np.zeros(400))
    assert outcome.went_on.all()
    daily = npf_force()
    for world in range(0, 400, 13):
        first, rest = work.first_hours[world], work.rest_hours[world]
        days = (
            prospect.wait[world]
            + first * 7 / WEEK
            + max(work.lead_days[world], rest * 7 / WEEK)
            + prospect.run_in[world]
        )
        assert outcome.days[world] == pytest.approx(days)
        storage = land.storage_a_month[world] * (days - prospect.wait[world]) / 30.44
        spent = sum(v[world] for v in land.floor.values())
        spent += sum(v[world] for v in land.power.values()) + land.tooling[world]
        spent += work.money[world] + storage
        hours = work.hours[world] + land.floor_hours[world] + land.power_hours[world]
        hours += land.tooling_hours[world]
        yearly = worth.hours_a_year[world] * (52.0 - RUNNING_PER_HOUR - RATE)
        flow = yearly * (math.exp(-daily * days) - math.exp(-daily * HORIZON * 365.25))
        earned = flow / math.log1p(INTEREST)
        resale = prospect.resale("right", HORIZON)[world] * work.resale_left[world]
        left = -npf.pv(INTEREST, HORIZON, 0, resale)
        gain = earned + left - worth.value[world] - spent - hours * RATE
        assert outcome.gain[world] == pytest.approx(gain, rel=1e-6, abs=0.05)


def npf_force() -> float:
    """Interest a day that grows to the yearly rate, by numpy-financial."""
    years = 100.0
    grown = npf.fv(INTEREST, years, 0, -1.0)
    return float(math.log(grown) / (years * 365.25))


def test_the_return_is_the_one_of_the_reference_library(seen: View) -> None:
    """Present value and rate of the same payments by numpy-financial; the payments by hand."""
    row = return_row(seen, 5_000.0)
    outcome, prospect = seen.option.outcomes[0], seen.chooser.prospects[0]
    assert outcome.plan.keeps
    payments = [-(5_000.0 * seen.settled.k + float(seen.option.money.mean()))]
    for year in range(1, 8):
        earning = np.clip(year - outcome.days / 365.25, 0.0, 1.0)
        payments.append(float((prospect.worth.margin_a_year * earning).mean()))
    payments[-1] += float(outcome.brings.mean()) * (1 + INTEREST) ** HORIZON
    assert row.present_value == pytest.approx(npf.npv(INTEREST, payments), abs=0.01)
    assert row.rate == pytest.approx(npf.irr(payments), abs=1e-6)
    assert row.payback_years is not None
    whole = int(row.payback_years)
    assert sum(payments[: whole + 1]) <= 0 < sum(payments[: whole + 2])


def test_giving_up_costs_what_was_spent_and_the_margin_lost_meanwhile(seen: View) -> None:
    """A restoration made hopeless: every world stops when apart, at the pencil sum."""
    prospect = seen.chooser.prospects[0]
    land, worth = prospect.landing, prospect.worth
    plain = prospect.workshop.bring_to(prospect.kind.levels["right"], RATE)
    hopeless = replace(plain, rest_money=plain.rest_money + 1e6)
    outcome = carry_out(prospect, Plan("keep", "right"), hopeless, np.zeros(400))
    assert not outcome.went_on.any()
    salvage, _ = prospect.salvage
    daily = npf_force()
    for world in range(0, 400, 17):
        waited = plain.first_hours[world] * 7 / WEEK
        days = prospect.wait[world] + waited
        spent = sum(v[world] for v in land.floor.values()) + plain.sunk_money[world]
        spent += land.storage_a_month[world] * waited / 30.44
        hours = land.floor_hours[world] + plain.first_hours[world]
        yearly = worth.hours_a_year[world] * (52.0 - RUNNING_PER_HOUR - RATE)
        lost = yearly * (1 - math.exp(-daily * days)) / math.log1p(INTEREST)
        gain = salvage[world] - spent - hours * RATE - lost
        assert worth.delay_costs
        assert lost > 0
        assert outcome.gain[world] == pytest.approx(gain, rel=1e-6, abs=0.05)


def test_the_fine_is_the_days_beyond_the_deadline_and_is_paid(seen: View) -> None:
    """By hand: days from the hammer less days allowed, none below nought, times the fine."""
    stage = seen.stage
    terms = replace(stage.case.terms, removal_days=10.0, late_fine_per_day=Decimal(60))
    case = replace(stage.case, terms=terms)
    wait, fine = lateness(
        case, replace(stage.settled, removal_days=10.0), stage.drawer, _kind(seen)
    )
    assert np.allclose(fine, [max(0.0, days - 10.0) * 60.0 for days in wait])
    assert 0 < (fine > 0).mean() < 1
    without = chooser(replace(stage, fine=np.zeros(400)))
    with_it = chooser(replace(stage, fine=fine))
    assert np.allclose(with_it.shared.money - without.shared.money, fine)
    gains = [
        next(o for o in c.options() if o.id == "mill:sell_as_found").gain
        for c in (without, with_it)
    ]
    assert np.allclose(gains[0] - gains[1], fine)


def test_a_past_life_multiplies_the_odds_of_a_stuck_bolt() -> None:
    """Base chance .2 is odds 1 to 4; times 2 they are 1 to 2: a third."""
    kind = kinds()[MILL]
    place = replace(kind.places["axis_x"], stuck_chance=0.2, stuck_raisers={"CN": 2.0})
    kind = replace(kind, places={**kind.places, "axis_x": place})
    shares = []
    for answer in ("no", "yes"):
        life = found("h", "mill", history="CN", answer=answer)
        looked = _look(lot(life, machines=("mill",)), kind, worlds=20_000)
        shares.append(looked.chooser.prospects[0].workshop._stuck(place).mean())
    assert shares == pytest.approx([0.2, 1 / 3], abs=0.012)


def _kind(seen: View) -> Kind:
    return seen.chooser.prospects[0].kind
