"""A plan kept: the same until planned again, stale when anything it was made of has changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.planned import little_search

from retrue.base.refusals import NotYet, Unusable
from retrue.belief.network import Impossible
from retrue.belief.posterior import update
from retrue.phases import fix, worth
from retrue.phases.fix import owned
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms, Withdrawn
from retrue.records.fixing import Chosen, Gear, PlanKept, Worker

NOW = datetime(2026, 11, 26, 12, tzinfo=UTC)
QUICK: dict[str, Any] = {"worlds": 60, "seconds": 0.1}
EVENINGS = (("mon", "19:30", "22:00"), ("tue", "19:30", "22:00"), ("thu", "19:30", "22:00"))


@pytest.fixture(autouse=True)
def little_time(monkeypatch: pytest.MonkeyPatch) -> None:
    little_search(monkeypatch)


@pytest.fixture
def school(kinds) -> tuple[FakeShop, str, str]:
    """One machining centre with a cracked belt, nothing else wrong."""
    shop = FakeShop()
    worth.keep_shop(shop, Shop(hours_a_week=12.0), by="me")
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [mill], by="me")
    machine = view.machines[0][0]
    for fault in kinds["vertical_machining_centre"].faults:
        answer = "present" if fault == "F06" else "absent"
        seen = Finding(lot=view.id, machine=machine, fault=fault, answer=answer, grade=3,
                       channel="apart")  # fmt: skip
        shop.add(seen, by="me")
    return shop, view.id, machine


def test_a_kept_plan_is_read_back_whole_and_goes_stale_with_what_is_kept_since(school, kinds):
    shop, lot, machine = school
    made = fix.plan(shop, kinds, now=NOW, why="first", **QUICK)
    assert fix.kept_plan(shop, kinds, now=NOW) is None
    record = fix.keep_plan(shop, made, by="me")
    kept = fix.kept_plan(shop, kinds, now=NOW + timedelta(days=1))
    assert kept == replace(made, kept=True)
    assert (record.fact.why, record.fact.seed, record.fact.lots) == ("first", 7, (lot,))
    fix.mark(shop, lot, machine, "J01", "done", kinds, on=NOW.date(), hours=2.0, by="me")
    assert fix.kept_plan(shop, kinds, now=NOW).stale
    again = fix.plan(shop, kinds, now=NOW + timedelta(days=1), why="J01 is done", **QUICK)
    fix.keep_plan(shop, again, by="me")
    assert not fix.kept_plan(shop, kinds, now=NOW).stale
    assert "J01" not in {row.card.key for row in again.rows}
    assert len(shop.current(PlanKept)) == 2


def test_other_hands_a_choice_and_a_finding_make_a_plan_stale(school, kinds):
    shop, lot, machine = school
    made = fix.plan(shop, kinds, now=NOW, **QUICK)
    fix.keep_plan(shop, made, by="me")
    changes = (
        Worker(name="An", evenings=EVENINGS),
        Chosen(lot=lot, machine=machine, sort="way", what="F06", way="live_with"),
        Finding(lot=lot, machine=machine, fault="F08", answer="present", grade=3, channel="apart"),
    )
    for fact in changes:
        record = shop.add(fact, by="me")
        assert fix.kept_plan(shop, kinds, now=NOW).stale
        shop.add(fix_gone(record.kind), replaces=record.id, by="me")
        assert not fix.kept_plan(shop, kinds, now=NOW).stale


def fix_gone(kind: str) -> Withdrawn:
    return Withdrawn(of_kind=kind)


def test_found_late_is_planned_again_and_the_broken_promise_says_so(school, kinds):
    shop, lot, machine = school
    fix.keep_plan(shop, fix.plan(shop, kinds, now=NOW, **QUICK), by="me")
    shop.add(Finding(lot=lot, machine=machine, fault="F39", answer="present", grade=3,
                     channel="apart"), by="me")  # fmt: skip
    told = []
    worse = fix.plan(shop, kinds, now=NOW + timedelta(days=1), why="the screw is bent",
                     progress=lambda share, what: told.append(share), **QUICK)  # fmt: skip
    [broke] = worse.broke
    assert "found since" in broke.why
    assert broke.days >= 1
    assert told == sorted(told)


def test_tonight_follows_the_kept_plan(school, kinds):
    shop, lot, machine = school
    fix.mark(shop, lot, machine, "J01", "done", kinds, on=NOW.date(), by="me")
    made = fix.plan(shop, kinds, now=NOW, **QUICK)
    fix.keep_plan(shop, made, by="me")
    told = fix.tonight(shop, kinds, on=NOW.date(), hours=3.0, alone=False, hoist=True)
    assert told.planned
    planned = [row.card.key for row in made.rows]
    picked = [planned.index(pick.card.key) for pick in told.picks]
    assert picked == sorted(picked)


def test_hands_and_gear_are_kept_by_name_and_checked(school):
    shop = school[0]
    first = fix.set_worker(shop, Worker(name="An", evenings=EVENINGS), by="me")
    assert fix.set_worker(shop, first.fact, by="me") == first
    fix.set_worker(shop, replace(first.fact, helps_only=True), by="me")
    [kept] = fix.workers(shop)
    assert kept.fact.helps_only
    with pytest.raises(Unusable):
        fix.set_worker(shop, Worker(name="Jan", evenings=(("monday", "22:00", "19:30"),)), by="me")
    fix.set_gear(shop, Gear(name="hoist", have="hired", days=("2026-12-05",)), by="me")
    assert [one.fact.days for one in fix.gear(shop)] == [("2026-12-05",)]


def test_where_nothing_is_worked_for_it_says_what_to_do_first(school, kinds):
    shop, lot, machine = school
    shop.add(Chosen(lot=lot, machine=machine, sort="aim", way="sell_as_found"), by="me")
    with pytest.raises(NotYet, match="no machine to work for"):
        fix.plan(shop, kinds, now=NOW, **QUICK)
    assert fix.tonight(shop, kinds, on=date(2026, 11, 26)).picks == ()


def test_a_lot_that_contradicts_itself_is_refused_and_the_other_is_still_planned(
    school, kinds, monkeypatch
):
    shop = school[0]
    lathe = Machine(lot="", name="lathe", kind="turning_centre")
    worth.new_lot(shop, Lot(name="barn"), Terms(lot=""), [lathe], by="me")

    def contradict(network, evidence):
        if any(name.startswith("lathe.") for name in network.names):
            raise Impossible("the evidence contradicts itself")
        return update(network, evidence)

    monkeypatch.setattr("retrue.cases.fix.belief.update", contradict)
    told = fix.tonight(shop, kinds, on=NOW.date())
    assert [one.title for one in told.refused] == ["barn"]
    assert [pick.card.machine_name for pick in told.picks] == ["mill"]
    view = fix.plan(shop, kinds, now=NOW, **QUICK)
    assert [one.machine_name for one in view.machines] == ["mill"]
    assert view.refused[0].title == "barn"
    assert view.refused[0].remedy
    with pytest.raises(Unusable):
        fix.tonight(shop, kinds, on=NOW.date(), lot="barn")


def test_what_one_only_bids_for_is_planned_until_something_is_in_hand(school, kinds):
    shop, lot, machine = school
    lathe = Machine(lot="", name="lathe", kind="turning_centre", age_years=20)
    other = worth.new_lot(shop, Lot(name="auction"), Terms(lot=""), [lathe], by="me")
    assert owned.worked_on(shop) == (lot, other.id)
    fix.mark(shop, lot, machine, "J01", "begun", kinds, on=NOW.date(), by="me")
    assert owned.worked_on(shop) == (lot,)
    assert fix.plan(shop, kinds, now=NOW, **QUICK).lots == (lot,)
    evening = fix.tonight(shop, kinds, on=NOW.date(), hours=2.0)
    assert {one.card.machine_name for one in evening.picks} == {"mill"}
